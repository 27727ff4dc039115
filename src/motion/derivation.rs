//! The ratio of a live state derived step by step, as a student would by hand.

use std::fmt;

use serde::Serialize;

use super::bodies::Bodies;
use super::elimination::eliminate;
use super::formula::formula;
use super::needed::needed_elements;
use super::script::Line;
use super::speeds::solve_state;
use super::system::System;
use super::telling::Telling;
use crate::train::{ElementMask, Layout};

/// How the ratio of one live state follows from the speed equations of its sets.
///
/// All speeds are per input speed, so that the input turns at 1, positive in its sense.
/// Prints as numbered steps of plain text.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Derivation {
    /// The names of the engaged elements.
    pub engaged: Vec<String>,
    /// Engaged elements that add nothing to the others and are passed over.
    pub passed_over: Vec<String>,
    pub steps: Vec<Step>,
    /// i = input speed / output speed, exactly: "27/11".
    pub ratio: String,
}

/// One step: a few sentences, then equations.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Step {
    pub kind: StepKind,
    /// The set whose equation the step uses, counted from 1.
    pub set: Option<usize>,
    /// Plain text, with symbols as in [`Line::text`].
    pub sentence: String,
    pub lines: Vec<Line>,
}

/// What a step does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum StepKind {
    /// What turns as one, what is held, which speeds are unknown.
    Joined,
    /// The speed equation of one set: in symbols, with the shafts' speeds, with the teeth.
    Willis,
    /// An equation with one unknown gives its value, which is put into the others.
    Solve,
    /// An equation gives one unknown by others; that is put into the other equations.
    Express,
    /// What an unknown was expressed by is known, and is put in.
    PutBack,
    /// The output speed and the ratio.
    Result,
    /// The same from the formulas in base ratios and in teeth.
    Check,
}

/// Derives the ratio of a live state; `None` for any other.
///
/// Shafts joined by elements drop to one unknown each, held ones to 0, the input to 1.
/// What is left is one Willis equation a set (see [`crate::train::GearSet::willis`]),
/// solved one unknown at a time. Every equation holds exactly at the speeds that
/// [`solve_state`] finds; only what follows `≈` is rounded.
pub fn derivation(layout: &Layout, engaged: ElementMask) -> Option<Derivation> {
    let motion = solve_state(layout, engaged);
    let ratio = motion.ratio.as_ref()?;
    let needed = needed_elements(layout, engaged)?;
    let bodies = Bodies::new(layout, needed);
    let system = System::new(layout, &bodies)?;
    let rows = (0..layout.sets.len()).map(|set| system.row(set)).collect();
    let solved = eliminate(rows, bodies.count - 1, system.wanted())?;
    let told = Telling { layout, system: &system, solved: &solved, motion: &motion };
    let mut steps = vec![told.joined(engaged, needed)];
    steps.extend((0..layout.sets.len()).map(|set| told.willis(set)));
    steps.extend((0..solved.moves.len()).map(|index| told.step(index)));
    steps.push(told.result(ratio));
    let rule = formula(layout, needed);
    steps.push(told.check(rule.as_ref(), ratio));
    let names = |mask: ElementMask| {
        mask.iter().map(|element| layout.elements[element].name.clone()).collect()
    };
    Some(Derivation {
        engaged: names(engaged),
        passed_over: names(ElementMask(engaged.0 & !needed.0)),
        steps,
        ratio: ratio.to_string(),
    })
}

impl fmt::Display for Derivation {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (index, step) in self.steps.iter().enumerate() {
            writeln!(f, "{}. {}", index + 1, step.sentence)?;
            for line in &step.lines {
                writeln!(f, "     {}", line.text)?;
            }
        }
        Ok(())
    }
}
