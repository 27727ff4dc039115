//! One layout held against the brief: what of it is broken, and by which number.

use num_traits::Signed;

use super::exact::exact_ratios;
use super::wheels::broken;
use super::wish::{Window, Wish, holds};
use crate::brief::Brief;
use crate::build::nests;
use crate::num::{Fraction, to_f64};
use crate::score::{Assessment, Criterion, Setting, assess};
use crate::train::{HOUSING, Layout};

/// What a layout must keep.
#[derive(Clone, Debug)]
pub struct Rules<'a> {
    pub brief: &'a Brief,
    pub wish: Wish,
    /// Whether only layouts that nest count.
    pub nesting_required: bool,
}

/// Which part of the brief a breach is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// Sets, shafts, elements and special shafts.
    Space,
    Gears,
    Teeth,
    /// Nesting and `[limits]`.
    Limits,
}

/// Something that the brief does not allow.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Breach {
    pub part: Part,
    pub what: String,
    pub found: String,
}

/// What is known of a layout whose gears are all live, exactly but for the logarithms.
#[derive(Clone, Debug)]
pub struct Solved {
    /// In the order of the brief: forward first to top, then reverse.
    pub ratios: Vec<Fraction>,
    pub spread: Fraction,
    pub deviation: f64,
}

impl<'a> Rules<'a> {
    pub fn new(brief: &'a Brief, nesting_required: bool) -> Self {
        Self { brief, wish: Wish::of(&brief.gears), nesting_required }
    }

    /// The gears of a layout, solved by the plain way; the breach says why they are not.
    pub fn solve(&self, layout: &Layout) -> Result<Solved, Breach> {
        let wrong =
            |what: &str, found: String| Breach { part: Part::Gears, what: what.into(), found };
        let names = self.wish.names();
        let written: Vec<&str> = layout.gears.iter().map(|gear| gear.name.as_str()).collect();
        let place = |name: &String| written.iter().position(|other| other == name);
        let places: Option<Vec<usize>> = names.iter().map(place).collect();
        let Some(places) = places.filter(|places| places.len() == written.len()) else {
            return Err(wrong("the gears are named as the brief counts them", written.join(", ")));
        };
        let solved = exact_ratios(layout);
        let mut ratios = Vec::new();
        for (name, &place) in names.iter().zip(&places) {
            let gear = &layout.gears[place];
            if gear.engaged.len() != layout.engaged() {
                let found = format!("gear {name} engages {} elements", gear.engaged.len());
                return Err(wrong("a gear engages shafts − sets − 1 elements", found));
            }
            match &solved[place] {
                Some(ratio) => ratios.push(ratio.clone()),
                None => return Err(wrong("every gear is live", format!("gear {name} is not"))),
            }
        }
        let forward = &ratios[..self.wish.forward.len()];
        if !forward.iter().all(Signed::is_positive) {
            return Err(wrong("forward gears turn forward", exact_list(forward)));
        }
        let spread = &forward[0] / &forward[forward.len() - 1];
        let deviation = self.deviation(forward);
        Ok(Solved { spread, deviation, ratios })
    }

    /// max_k |ln φ_k − ln φ*_k|, from exact steps.
    fn deviation(&self, forward: &[Fraction]) -> f64 {
        let spread = to_f64(&(&forward[0] / &forward[forward.len() - 1]));
        let wanted = self.wish.wanted_steps(spread.ln());
        let steps = forward.windows(2).map(|pair| to_f64(&(&pair[0] / &pair[1])).ln());
        steps.zip(wanted).map(|(step, wanted)| (step - wanted).abs()).fold(0.0, f64::max)
    }

    /// All that the brief does not allow about a layout.
    pub fn breaches(&self, layout: &Layout, solved: &Solved) -> Vec<Breach> {
        let mut breaches = self.of_space(layout);
        breaches.extend(self.of_gears(layout, solved));
        breaches.extend(self.of_teeth(layout));
        breaches.extend(self.of_limits(layout, solved));
        breaches
    }

    fn of_space(&self, layout: &Layout) -> Vec<Breach> {
        let (core, slots) = layout.wiring();
        let space = &self.brief.space;
        let number = |count: usize| count as u8;
        let bare_input = layout.shafts[0].members.is_empty();
        let others = layout.shafts.iter().skip(1);
        let (fewest, most) = space.elements;
        let apart =
            core.seats().iter().all(|set| set[0] != set[1] && set[1] != set[2] && set[0] != set[2]);
        let real = core.slots();
        let mut sorted = slots.clone();
        sorted.sort_unstable();
        sorted.dedup();
        let held = core.seats().iter().flatten().any(|&seat| seat == HOUSING);
        let rules = [
            ("as many sets as the brief searches", space.sets.contains(&number(layout.sets.len()))),
            ("as many shafts as it searches", space.shafts.contains(&core.shafts)),
            ("as many elements", (fewest..=most).contains(&number(slots.len()))),
            ("a bare input only where it may be", space.bare_input.admits(bare_input)),
            ("held members only where they may be", space.held_shaft.admits(held)),
            ("members on every other shaft", others.clone().all(|s| !s.members.is_empty())),
            ("members of a set on different shafts", apart),
            (
                "elements in slots, each in its own",
                sorted.len() == slots.len() && slots.iter().all(|slot| real.contains(slot)),
            ),
        ];
        let broken = rules.into_iter().filter(|(_, keeps)| !keeps);
        let breach = |what: &str| Breach {
            part: Part::Space,
            what: what.into(),
            found: crate::train::canonical(&core, &slots).to_string(),
        };
        broken.map(|(what, _)| breach(what)).collect()
    }

    fn of_gears(&self, layout: &Layout, solved: &Solved) -> Vec<Breach> {
        let wish = &self.wish;
        let (forward, reverse) = solved.ratios.split_at(wish.forward.len());
        let mut breaches = Vec::new();
        let mut ask = |what: String, value: &Fraction, window: Window| {
            if !holds(value, window) {
                breaches.push(Breach { part: Part::Gears, what, found: exact(value) });
            }
        };
        let told = |(least, most): Window| format!("within {least} to {most}");
        for (gear, (ratio, &window)) in (1..).zip(forward.iter().zip(&wish.forward)) {
            ask(format!("gear {gear} {}", told(window)), ratio, window);
        }
        for (ratio, &window) in reverse.iter().zip(&wish.reverse) {
            ask(format!("reverse {}", told(window)), &-ratio, window);
        }
        for (gear, pair) in (1..).zip(forward.windows(2)) {
            let step = &pair[0] / &pair[1];
            ask(format!("step {gear} {}", told(wish.step)), &step, wish.step);
        }
        ask(format!("spread {}", told(wish.spread)), &solved.spread, wish.spread);
        let engaged = |name: &String| {
            layout.gears.iter().find(|gear| gear.name == *name).map_or(0, |gear| gear.engaged.0)
        };
        let masks: Vec<u32> = wish.names()[..forward.len()].iter().map(engaged).collect();
        for (gear, pair) in (1..).zip(masks.windows(2)) {
            if !wish.allows_shift(pair[0], pair[1]) {
                let what = "neighbours differ by one element released and one applied".to_owned();
                let found = format!("gears {gear} and {} do not", gear + 1);
                breaches.push(Breach { part: Part::Gears, what, found });
            }
        }
        breaches
    }

    fn of_teeth(&self, layout: &Layout) -> Vec<Breach> {
        let numbered = (1..).zip(&layout.sets);
        let breach = |(number, set)| {
            let (name, found) = broken(set, &self.brief.teeth)?;
            Some(Breach { part: Part::Teeth, what: format!("set {number}: {name}"), found })
        };
        numbered.filter_map(breach).collect()
    }

    fn of_limits(&self, layout: &Layout, solved: &Solved) -> Vec<Breach> {
        let mut breaches = Vec::new();
        if self.nesting_required && !nests(layout) {
            let what = "the layout nests".to_owned();
            breaches.push(Breach { part: Part::Limits, what, found: "it does not".into() });
        }
        let scores = Scores::of(self.brief, layout, solved);
        for limit in &self.brief.limits {
            let score = scores.score(limit.criterion);
            if !score.is_some_and(|score| limit.holds(score)) {
                let end = |end: Option<f64>| end.map_or("any".to_owned(), |end| end.to_string());
                let name = limit.criterion.name();
                let what = format!("{name} from {} to {}", end(limit.least), end(limit.most));
                let found = score.map_or("no value".to_owned(), |score| score.to_string());
                breaches.push(Breach { part: Part::Limits, what, found });
            }
        }
        breaches
    }
}

/// Every score of a layout: spread, steps and counts by the plain way, the rest by the program's
/// own functions.
pub struct Scores<'a> {
    brief: &'a Brief,
    layout: &'a Layout,
    solved: &'a Solved,
    assessment: std::cell::OnceCell<Assessment>,
}

impl<'a> Scores<'a> {
    pub fn of(brief: &'a Brief, layout: &'a Layout, solved: &'a Solved) -> Self {
        Self { brief, layout, solved, assessment: std::cell::OnceCell::new() }
    }

    /// Whether a score is worked out here, and not by the program's own functions.
    pub fn is_plain(criterion: Criterion) -> bool {
        matches!(
            criterion,
            Criterion::Spread
                | Criterion::StepDeviation
                | Criterion::ElementCount
                | Criterion::ShiftElements
                | Criterion::Sets
        )
    }

    pub fn score(&self, criterion: Criterion) -> Option<f64> {
        let (sets, elements) = (self.layout.sets.len(), self.layout.elements.len());
        match criterion {
            Criterion::Spread => Some(to_f64(&self.solved.spread)),
            Criterion::StepDeviation => Some(self.solved.deviation),
            Criterion::ElementCount => Some((sets + elements) as f64),
            Criterion::ShiftElements => Some(elements as f64),
            Criterion::Sets => Some(sets as f64),
            other => {
                let brief = self.brief;
                let assessment = self.assessment.get_or_init(|| assess(self.layout, &brief.mesh));
                let setting =
                    Setting { progression: &brief.gears.progression, teeth: &brief.teeth };
                assessment.score(other, self.layout, &setting)
            }
        }
    }
}

/// A fraction with its decimals.
pub fn exact(value: &Fraction) -> String {
    format!("{value} = {:.6}", to_f64(value))
}

fn exact_list(values: &[Fraction]) -> String {
    values.iter().map(exact).collect::<Vec<_>>().join(", ")
}
