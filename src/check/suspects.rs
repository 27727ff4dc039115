//! What looked better in floats, judged in fractions before it counts.

use itertools::Itertools;

use super::breaches::{Rules, Scores};
use super::findings::Counterexample;
use super::standing::{FrontPoints, Standing, objective};
use crate::num::to_f64;
use crate::score::Criterion;
use crate::train::{Core, ElementMask, Gear, GearSet, Layout, Slot, canonical};

/// A wiring with teeth and gears that the front seems to have no answer to.
#[derive(Clone, Debug)]
pub struct Suspect {
    pub core: Core,
    pub slots: Vec<Slot>,
    pub sets: Vec<GearSet>,
    /// The engaged elements of each gear, forward first to top, then reverse.
    pub gears: Vec<u32>,
}

/// The layout as a counterexample, where it meets the brief exactly and the front has no answer
/// to its objectives as tables would print them.
pub fn judge(suspect: &Suspect, rules: &Rules<'_>, front: &FrontPoints) -> Option<Counterexample> {
    let mut layout = Layout::from_core(&suspect.core, &suspect.slots, suspect.sets.clone());
    let names = rules.wish.names().into_iter();
    let gears = names.zip(&suspect.gears);
    layout.gears = gears.map(|(name, &mask)| Gear { name, engaged: ElementMask(mask) }).collect();
    layout.title = Some(rules.brief.title.clone());
    let solved = rules.solve(&layout).ok()?;
    if !rules.breaches(&layout, &solved).is_empty() {
        return None;
    }
    let scores = Scores::of(rules.brief, &layout, &solved);
    let values: Vec<Option<f64>> = front.objectives.iter().map(|&c| scores.score(c)).collect();
    let point: Vec<f64> =
        front.objectives.iter().zip(&values).map(|(&c, &value)| objective(c, value)).collect();
    let beats = match front.standing(&point) {
        Standing::Answered => return None,
        Standing::Beats(row) => Some(row),
        Standing::New => None,
    };
    let gear = |(gear, ratio): (&Gear, &crate::num::Fraction)| {
        let engaged = gear.engaged.iter().map(|e| layout.elements[e].name.as_str()).join("+");
        format!("{}:{ratio}={} {engaged}", gear.name, rounded(to_f64(ratio)))
    };
    let named =
        |(criterion, value): (&Criterion, &Option<f64>)| (criterion.name(), value.map(rounded));
    Some(Counterexample {
        canonical: canonical(&suspect.core, &suspect.slots).to_string(),
        gears: layout.gears.iter().zip(&solved.ratios).map(gear).join("; "),
        objectives: front.objectives.iter().zip(&values).map(named).collect(),
        beats,
        layout,
    })
}

fn rounded(value: f64) -> f64 {
    (value * 1e6).round() / 1e6
}
