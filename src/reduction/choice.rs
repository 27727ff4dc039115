//! The sets that a reduction may be made of, over all modules, in classes of equal base
//! ratio.

use crate::brief::ReductionBrief;
use crate::teeth::{Catalogue, Entry, Shifts, Spacing, ToothLimits, balanced_shift};
use crate::train::{GearSet, SetKind};

use super::pairs::paired_entries;
use super::stock::stock_choices;

/// One set with teeth, planets and module.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Choice {
    pub set: GearSet,
    /// mm.
    pub module: f64,
    pub shift: Shifts,
    pub spacing: Spacing,
    /// mm, over the ring.
    pub outer_diameter: f64,
    /// As [`Entry::preference`], lower being better.
    pub preference: f64,
    /// Of all its wheels in the stock list, 0 without one.
    pub price: f64,
    /// Its place among all choices of its kind.
    pub number: u32,
}

impl Choice {
    pub(super) fn new(entry: &Entry, module: f64) -> Self {
        let Entry { set, shift, spacing, preference, outer_diameter } = *entry;
        Self { set, module, shift, spacing, outer_diameter, preference, price: 0.0, number: 0 }
    }

    /// Number of planets, those of a pair counted both.
    pub fn planets(&self) -> u32 {
        let pairs = if self.set.kind == SetKind::Paired { 2 } else { 1 };
        pairs * self.set.planets.unwrap_or(0)
    }

    /// Sun, ring, planets, a pin for each, two carrier plates.
    pub fn parts(&self) -> u32 {
        4 + 2 * self.planets()
    }
}

/// The sets of one base ratio.
#[derive(Clone, Debug, PartialEq)]
pub struct RatioClass {
    /// ρ = Z_R / Z_S.
    pub ratio: f64,
    /// Never empty.
    pub choices: Vec<Choice>,
    /// Least outside diameter, mm.
    pub least_diameter: f64,
    /// Least module, mm.
    pub least_module: f64,
    /// Fewest parts.
    pub least_parts: u32,
}

/// All sets of one kind that a brief allows, by rising base ratio.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Choices {
    pub classes: Vec<RatioClass>,
}

impl Choices {
    /// Every set of `kind` at every module of the brief, or from its stock. Complete for
    /// single sets. Of paired sets each sun, ring and number of planets comes once, with the
    /// pair of planets that keeps all conditions and fills the gap best.
    pub fn of(brief: &ReductionBrief, kind: SetKind) -> Self {
        Self::of_unless(brief, kind, &|| false).expect("nobody stops it")
    }

    /// As [`Choices::of`]; `None` as soon as `stopped`, which is asked now and then, says so.
    pub fn of_unless(
        brief: &ReductionBrief,
        kind: SetKind,
        stopped: &dyn Fn() -> bool,
    ) -> Option<Self> {
        let mut choices = match &brief.stock {
            Some(stock) => stock_choices(stock, brief, kind, stopped)?,
            None => {
                let mut all = Vec::new();
                for &module in &brief.room.modules {
                    all.extend(at_module(brief, kind, module, stopped)?);
                }
                all
            }
        };
        choices.sort_by(order);
        (0..).zip(&mut choices).for_each(|(number, choice)| choice.number = number);
        let same = |a: &Choice, b: &Choice| ratio_order(&a.set, &b.set).is_eq();
        Some(Self { classes: choices.chunk_by(same).map(RatioClass::new).collect() })
    }

    /// Number of sets.
    pub fn len(&self) -> usize {
        self.classes.iter().map(|class| class.choices.len()).sum()
    }

    pub fn is_empty(&self) -> bool {
        self.classes.is_empty()
    }

    /// Classes with a base ratio from `low` to `high`, both a little widened against
    /// rounding.
    pub fn between(&self, low: f64, high: f64) -> std::ops::Range<usize> {
        let (low, high) = (low - low.abs() * 1e-9, high + high.abs() * 1e-9);
        let start = self.classes.partition_point(|class| class.ratio < low);
        let end = self.classes.partition_point(|class| class.ratio <= high);
        start..end.max(start)
    }
}

impl RatioClass {
    fn new(choices: &[Choice]) -> Self {
        let least = |of: fn(&Choice) -> f64| choices.iter().map(of).fold(f64::INFINITY, f64::min);
        Self {
            ratio: choices[0].set.base_ratio(),
            choices: choices.to_vec(),
            least_diameter: least(|choice| choice.outer_diameter),
            least_module: least(|choice| choice.module),
            least_parts: choices.iter().map(Choice::parts).min().unwrap_or(0),
        }
    }
}

/// The tooth limits of a brief at one module, its bore as the largest diameter.
pub fn limits_at(brief: &ReductionBrief, module: f64) -> ToothLimits {
    ToothLimits { module, largest_diameter: brief.room.bore, ..brief.teeth.clone() }
}

fn at_module(
    brief: &ReductionBrief,
    kind: SetKind,
    module: f64,
    stopped: &dyn Fn() -> bool,
) -> Option<Vec<Choice>> {
    let limits = limits_at(brief, module);
    let entries = match kind {
        SetKind::Single => Catalogue::build_unless(&limits, stopped)?.entries().to_vec(),
        SetKind::Paired => paired_entries(&limits, stopped)?,
    };
    let mut choices = Vec::new();
    for entry in &entries {
        let choice = Choice::new(entry, module);
        if !brief.making.balanced_sliding {
            choices.push(choice);
            continue;
        }
        if stopped() {
            return None;
        }
        choices.extend(balanced(choice, &limits));
    }
    Some(choices)
}

/// The same with balanced sliding; `None` where the ring then leaves the bore.
fn balanced(choice: Choice, limits: &ToothLimits) -> Option<Choice> {
    let shift = balanced_shift(&choice.set, limits)?;
    // The ring's root circle, and the wall round it, move with its shift.
    let wider = 2.0 * limits.module * (shift.ring - choice.shift.ring);
    let outer_diameter = choice.outer_diameter + wider;
    let fits = limits.largest_diameter.is_none_or(|most| outer_diameter <= most + 1e-9);
    fits.then_some(Choice { shift, outer_diameter, ..choice })
}

/// Compares base ratios exactly, as Z_R / Z_S against Z_R' / Z_S'.
fn ratio_order(a: &GearSet, b: &GearSet) -> std::cmp::Ordering {
    let cross = |one: &GearSet, two: &GearSet| u64::from(one.ring) * u64::from(two.sun);
    cross(a, b).cmp(&cross(b, a))
}

fn order(a: &Choice, b: &Choice) -> std::cmp::Ordering {
    let teeth = |choice: &Choice| {
        let GearSet { sun, planet, outer_planet, planets, .. } = choice.set;
        (sun, planet, outer_planet, planets)
    };
    ratio_order(&a.set, &b.set)
        .then_with(|| teeth(a).cmp(&teeth(b)))
        .then(a.module.total_cmp(&b.module))
}
