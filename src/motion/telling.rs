//! The words and equations of a derivation, one function a kind of step.

use itertools::Itertools;
use num_bigint::BigInt;
use num_traits::{One, Zero};

use super::derivation::{Step, StepKind};
use super::elimination::{Elimination, Move, Put, Row};
use super::equations::{in_symbols, speed_of};
use super::expression::{Expression, Symbol};
use super::formula::Formula;
use super::script::Line;
use super::speeds::Motion;
use super::system::System;
use crate::num::{Fraction, fraction, listed};
use crate::train::{ElementMask, GearSet, Grip, INPUT, Layout, Member, OUTPUT, Role, ShaftId};

const NOT_NEEDED: &str = " The ratio does not need it.";

pub(super) struct Telling<'a> {
    pub layout: &'a Layout,
    pub system: &'a System<'a>,
    pub solved: &'a Elimination,
    pub motion: &'a Motion,
}

impl Telling<'_> {
    /// What turns as one, what is held, what is unknown.
    pub fn joined(&self, engaged: ElementMask, needed: ElementMask) -> Step {
        let name = |shaft: ShaftId| &self.layout.shafts[shaft.0].name;
        let elements = &self.layout.elements;
        let mut words: Vec<String> = needed
            .iter()
            .map(|element| match elements[element].grip {
                Grip::Brake(shaft) => format!("{} holds {}.", elements[element].name, name(shaft)),
                Grip::Clutch(a, b) => {
                    format!("{} joins {} and {}.", elements[element].name, name(a), name(b))
                }
            })
            .collect();
        let idle = engaged.iter().filter(|&element| !needed.contains(element));
        let idle = idle.map(|element| elements[element].name.clone()).collect_vec();
        match idle.len() {
            0 => {}
            1 => words.push(format!("{} adds nothing and is passed over.", idle[0])),
            _ => words.push(format!("{} add nothing and are passed over.", listed(&idle, "and"))),
        }
        let fixed = self.layout.held.iter().map(ToString::to_string).collect_vec();
        match fixed.len() {
            0 => {}
            1 => words.push(format!("{} is fixed in the housing.", fixed[0])),
            _ => words.push(format!("{} are fixed in the housing.", listed(&fixed, "and"))),
        }
        let unknown = (1..self.system.count()).map(|body| self.system.speed(Some(body)).text());
        let unknown = unknown.collect_vec();
        words.push(match unknown.len() {
            0 => "The input turns at 1, and no speed is unknown.".to_owned(),
            1 => format!("The input turns at 1; unknown is {}.", unknown[0]),
            _ => format!("The input turns at 1; unknown are {}.", listed(&unknown, "and")),
        });
        Step {
            kind: StepKind::Joined,
            set: None,
            sentence: words.join(" "),
            lines: self.system.joints(),
        }
    }

    /// The Willis equation of a set: in symbols, with the speeds of the shafts, with the
    /// teeth, and in the unknowns.
    pub fn willis(&self, set: usize) -> Step {
        let (teeth, bodies) = (self.layout.sets[set], self.bodies(set));
        let at = bodies.map(|body| self.system.known_or_speed(body));
        let members = members(set).map(|member| Expression::Symbol(Symbol::MemberSpeed(member)));
        let willis = teeth.willis().map(BigInt::from);
        let counted = willis.iter().zip(at.clone());
        let counted = counted.filter(|(factor, _)| !factor.is_zero());
        let counted = counted.map(|(factor, speed)| Expression::term(factor, speed)).collect();
        let zero = || Expression::whole(0);
        let (coefficients, right) = self.system.whole_row(set);
        let divisor = Row::divisor(&coefficients, &right);
        let mut sentence = format!("Set {}: {}.", set + 1, self.seating(set));
        if let Some(told) = tied(bodies) {
            sentence.push_str(told);
        }
        let by = format!(" and is divided by {divisor}");
        let by = if divisor > BigInt::one() { &by } else { "" };
        if !coefficients.iter().all(Zero::is_zero) {
            sentence.push_str(&format!(" The last line has the unknowns on the left{by}."));
        }
        let lines = vec![
            Line::equal(&[in_symbols(set, teeth, members), zero()]),
            Line::equal(&[in_symbols(set, teeth, at), zero()]),
            Line::equal(&[Expression::sum(counted), zero()]),
            self.system.line(&self.system.row(set)),
        ];
        Step { kind: StepKind::Willis, set: Some(set + 1), sentence, lines }
    }

    /// "S1 turns with input, R1 is held and C1 turns with output".
    fn seating(&self, set: usize) -> String {
        let seats = members(set).into_iter().zip(self.bodies(set));
        let told = seats.map(|(member, body)| match body {
            Some(body) => format!("{member} turns with {}", self.system.shafts(Some(body))[0]),
            None => format!("{member} is held"),
        });
        listed(&told.collect_vec(), "and")
    }

    /// The move at `index` of the solution.
    pub fn step(&self, index: usize) -> Step {
        let mut told = match &self.solved.moves[index] {
            Move::Solve { row, unknown, value, puts } => self.solve(row, *unknown, value, puts),
            Move::Express { row, unknown, puts } => self.express(row, *unknown, puts),
            Move::PutBack { row, unknown, value } => self.put_back(row, *unknown, value),
        };
        if let Some(set) = told.set {
            told.sentence.push_str(self.unneeded(index, set - 1));
        }
        told
    }

    fn solve(&self, row: &Row, unknown: usize, value: &Fraction, puts: &[Put]) -> Step {
        let number = Expression::Number(value.clone());
        let speed = self.system.speed(Some(unknown + 1));
        let mut sentence = format!("Set {} has one unknown left, {}.", row.set + 1, speed.text());
        if !puts.is_empty() {
            sentence.push_str(&format!(" Its value is put into {}.", self.sets_of(puts)));
        }
        sentence.push_str(&self.emptied(puts));
        let mut lines = vec![self.system.line(row)];
        if !row.coefficients[unknown].is_one() {
            lines.push(Line::equal(&[speed, number.clone()]));
        }
        lines.extend(self.system.put_lines(unknown, &number, puts));
        Step { kind: StepKind::Solve, set: Some(row.set + 1), sentence, lines }
    }

    fn express(&self, row: &Row, unknown: usize, puts: &[Put]) -> Step {
        let set = row.set + 1;
        let speed = self.system.speed(Some(unknown + 1));
        let others = row.unknowns().into_iter().filter(|&other| other != unknown);
        let others = others.map(|other| self.system.speed(Some(other + 1)).text()).collect_vec();
        let by = self.system.expressed(row, unknown);
        let sentence = if puts.is_empty() {
            format!(
                "{} stands in set {set} alone: set {set} gives it when {} {} known.",
                speed.text(),
                listed(&others, "and"),
                if others.len() == 1 { "is" } else { "are" }
            )
        } else {
            format!(
                "No set has one unknown left. Set {set} gives {} by {}; this is put into {}.{}",
                speed.text(),
                listed(&others, "and"),
                self.sets_of(puts),
                self.emptied(puts)
            )
        };
        let mut lines = vec![self.system.line(row), Line::equal(&[speed, by.clone()])];
        lines.extend(self.system.put_lines(unknown, &by, puts));
        Step { kind: StepKind::Express, set: Some(set), sentence, lines }
    }

    fn put_back(&self, row: &Row, unknown: usize, value: &Fraction) -> Step {
        let by = self.system.expressed(row, unknown);
        let put = by.put(&|symbol| self.value_of(symbol));
        let speed = self.system.speed(Some(unknown + 1));
        let sentence = format!(
            "What is known now, put back into set {}, gives {}.",
            row.set + 1,
            speed.text()
        );
        let sides = distinct(vec![speed, by, put, Expression::Number(value.clone())]);
        let lines = vec![Line::equal(&sides)];
        Step { kind: StepKind::PutBack, set: Some(row.set + 1), sentence, lines }
    }

    /// What came of the rows that an unknown was put into: nothing new, perhaps.
    fn emptied(&self, puts: &[Put]) -> String {
        let empty = puts.iter().filter(|put| put.after.unknowns().is_empty());
        let empty = empty.map(|put| put.after.set).collect_vec();
        match empty.len() {
            0 => String::new(),
            1 => format!(" {} then says nothing new.", sets(&empty, "Set")),
            _ => format!(" {} then say nothing new.", sets(&empty, "Set")),
        }
    }

    /// Says so where the ratio does not rest on the move at `index` with the row of `set`:
    /// the output speed is known before, or that set has no part in it.
    fn unneeded(&self, index: usize, set: usize) -> &'static str {
        let Some(wanted) = self.system.wanted() else { return NOT_NEEDED };
        let gives = |step: &Move| match step {
            Move::Solve { unknown, .. } | Move::PutBack { unknown, .. } => *unknown == wanted,
            Move::Express { .. } => false,
        };
        let found = self.solved.moves.iter().position(gives);
        let needed = found.is_none_or(|found| index <= found);
        if needed && self.solved.from[wanted] >> set & 1 == 1 { "" } else { NOT_NEEDED }
    }

    /// Output speed and ratio.
    pub fn result(&self, ratio: &Fraction) -> Step {
        let [input, output] =
            [INPUT, OUTPUT].map(|shaft| speed_of(&self.layout.shafts[shaft.0].name));
        let speed = Expression::Number(ratio.recip());
        let as_input = self.system.wanted().is_none().then(|| input.clone());
        let turning = [output.clone()].into_iter().chain(as_input).chain([speed.clone()]);
        let quotient = Expression::quotient(input, output);
        let numbers = Expression::Quotient(Box::new(Expression::whole(1)), Box::new(speed));
        let mut sides = vec![
            Expression::Symbol(Symbol::Ratio),
            quotient,
            numbers,
            Expression::Number(ratio.clone()),
        ];
        let rounded = match Expression::rounded(ratio) {
            _ if ratio.is_integer() => None,
            (true, decimals) => {
                sides.push(decimals);
                None
            }
            (false, decimals) => Some(decimals),
        };
        let lines =
            vec![Line::equal(&turning.collect_vec()), Line::chain(&sides, rounded.as_ref())];
        let mut sentence = "The ratio is the input speed over the output speed.".to_owned();
        for set in 0..self.layout.sets.len() {
            sentence.push_str(&self.block(set));
        }
        Step { kind: StepKind::Result, set: None, sentence, lines }
    }

    /// Whether a set turns as a block or stands still.
    fn block(&self, set: usize) -> String {
        let speeds = self.layout.seats(set).map(|seat| self.motion.speed_at(seat));
        match &speeds[0] {
            Some(speed) if speeds.iter().all_equal() => match speed.is_zero() {
                true => format!(" Set {} stands still.", set + 1),
                false => format!(" Set {} turns as a block, all its speeds equal.", set + 1),
            },
            _ => String::new(),
        }
    }

    /// The ratio once more from the formulas.
    pub fn check(&self, formula: Option<&Formula>, ratio: &Fraction) -> Step {
        let base = |set: usize| {
            let GearSet { sun, ring, .. } = self.layout.sets[set];
            fraction(ring.into(), sun.into())
        };
        let rho = (0..self.layout.sets.len()).map(base).collect_vec();
        let Some(formula) = formula.filter(|f| f.evaluate(&rho).as_ref() == Some(ratio)) else {
            let sentence = "With these teeth the equations of the sets depend on each other, \
                            so no formula in the base ratios has this ratio.";
            let sentence = sentence.to_owned();
            return Step { kind: StepKind::Check, set: None, sentence, lines: Vec::new() };
        };
        let in_teeth = formula.in_teeth();
        let (matter, other): (Vec<usize>, Vec<usize>) =
            (0..rho.len()).partition(|set| in_teeth.sets().contains(set));
        let mut sentence = match matter.first() {
            None => "The formula is 1 whatever the teeth.".to_owned(),
            Some(set) => format!(
                "The formulas in base ratios and in tooth counts (S{0} for sun {0}) give the same.",
                set + 1
            ),
        };
        if !other.is_empty() && !matter.is_empty() {
            let verb = if other.len() == 1 { "does" } else { "do" };
            let ratios = if other.len() == 1 { "base ratio" } else { "base ratios" };
            let of = sets(&other, "set");
            sentence.push_str(&format!(" The {ratios} of {of} {verb} not matter."));
        }
        let mut lines = matter.iter().copied().map(|set| self.base_ratio(set)).collect_vec();
        for rule in [formula.expression(), in_teeth.expression()] {
            let put = rule.put(&|symbol| self.value_of(symbol));
            let result = Expression::Number(ratio.clone());
            let sides = vec![Expression::Symbol(Symbol::Ratio), rule, put, result];
            lines.push(Line::equal(&distinct(sides)));
        }
        lines.dedup();
        Step { kind: StepKind::Check, set: None, sentence, lines }
    }

    /// ρ1 = R1 / S1 = 66 / 30 = 11/5.
    fn base_ratio(&self, set: usize) -> Line {
        let GearSet { sun, ring, .. } = self.layout.sets[set];
        let teeth = |role| Expression::Symbol(Symbol::Teeth(Member::new(set, role)));
        let value = fraction(ring.into(), sun.into());
        let mut sides = vec![
            Expression::Symbol(Symbol::BaseRatio(set)),
            Expression::quotient(teeth(Role::Ring), teeth(Role::Sun)),
            Expression::quotient(Expression::whole(ring), Expression::whole(sun)),
            Expression::Number(value.clone()),
        ];
        if *value.denom() == BigInt::from(sun) {
            sides.remove(2);
        }
        Line::equal(&sides)
    }

    fn value_of(&self, symbol: &Symbol) -> Option<Fraction> {
        let count = |member: &Member| {
            let teeth = self.layout.sets[member.set];
            if member.role == Role::Sun { teeth.sun } else { teeth.ring }
        };
        match symbol {
            Symbol::BaseRatio(set) => {
                let GearSet { sun, ring, .. } = self.layout.sets[*set];
                Some(fraction(ring.into(), sun.into()))
            }
            Symbol::Teeth(member) => Some(fraction(count(member).into(), 1)),
            Symbol::ShaftSpeed(name) => {
                let shaft = self.layout.shafts.iter().position(|shaft| shaft.name == *name)?;
                self.motion.speeds[shaft].clone()
            }
            Symbol::MemberSpeed(_) | Symbol::Ratio => None,
        }
    }

    fn bodies(&self, set: usize) -> [Option<usize>; 3] {
        self.layout.seats(set).map(|seat| self.system.body(seat))
    }

    fn sets_of(&self, puts: &[Put]) -> String {
        sets(&puts.iter().map(|put| put.before.set).collect_vec(), "set")
    }
}

fn members(set: usize) -> [Member; 3] {
    Role::ALL.map(|role| Member::new(set, role))
}

/// What it means for a set that some of its members turn as one.
fn tied(bodies: [Option<usize>; 3]) -> Option<&'static str> {
    let held = bodies.iter().filter(|body| body.is_none()).count();
    Some(match (held, bodies.iter().duplicates().next(), bodies.iter().all_equal()) {
        (3, ..) => " All are held, so the set says nothing about the others.",
        (2, ..) => " Two are held, so the third stands still.",
        (_, Some(_), true) => " They turn as one, so the set is a block and says nothing more.",
        (_, Some(_), false) => " Two turn as one, so the set turns as a block.",
        _ => return None,
    })
}

/// Sides of an equation, each once where neighbours are written alike.
fn distinct(mut sides: Vec<Expression>) -> Vec<Expression> {
    sides.dedup_by_key(|side| side.text());
    sides
}

/// "set 2", "sets 1 and 3", from indices.
fn sets(indices: &[usize], word: &str) -> String {
    let numbers = indices.iter().map(|set| (set + 1).to_string()).collect_vec();
    format!("{word}{} {}", if numbers.len() == 1 { "" } else { "s" }, listed(&numbers, "and"))
}
