//! The catalogue: every single set within the limits that meets every condition, in
//! classes of equal base ratio.

use super::case::{Fit, fit, unequal};
use super::conditions::{ASSEMBLY, diameter_with};
use super::involute::Rack;
use super::limits::ToothLimits;
use super::preferences::{Phase, missed, sequential};
use super::rules::{COAXIAL, RULES};
use super::spacing::{Spacing, planet_angles, spacing};
use super::wheels::{Shifts, Teeth};
use crate::train::GearSet;

/// One set of the catalogue, with planet and number of planets.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Entry {
    pub set: GearSet,
    /// The smallest profile shifts with which every condition holds.
    pub shift: Shifts,
    pub spacing: Spacing,
    /// Lower is better: 1 for planets that all mesh at the same moment, ½ each for a
    /// common factor of Z_S and Z_P and of Z_P and Z_R, 1 for unequal spacing, the
    /// largest shift, and the outer diameter in thousands of modules, so that among equals
    /// the smaller set wins.
    pub preference: f64,
    /// Outside diameter of the ring in mm, see [`super::outer_diameter`].
    pub outer_diameter: f64,
}

impl Entry {
    /// Angles in degrees at which the planets stand, the first at 0.
    pub fn planet_angles(&self) -> Vec<f64> {
        planet_angles(&self.set, self.set.planets.unwrap_or(0))
    }
}

/// Every single set within limits that meets every condition.
#[derive(Clone, Debug)]
pub struct Catalogue {
    /// By rising base ratio, then preference, then teeth.
    entries: Vec<Entry>,
    /// Where each class starts in `entries`; one more at the end.
    starts: Vec<usize>,
    ratios: Vec<f64>,
    candidates: usize,
    funnel: Vec<(&'static str, usize)>,
}

/// Name of the limit on the outside diameter in the funnel.
const DIAMETER: &str = "outer diameter";

impl Catalogue {
    /// Candidates that are judged between two questions whether to go on.
    pub const BETWEEN_QUESTIONS: usize = 64;

    /// How many candidates [`Catalogue::build`] judges within `limits`.
    pub fn count_candidates(limits: &ToothLimits) -> usize {
        candidate_sets(limits).count()
    }

    /// Tries every sun, ring, planet and number of planets within `limits`. Takes time in
    /// proportion to suns × rings × numbers of planets; some milliseconds for a hundred
    /// teeth.
    pub fn build(limits: &ToothLimits) -> Self {
        Self::build_unless(limits, &|| false).expect("nobody stops it")
    }

    /// As [`Catalogue::build`]; `None` as soon as `stopped`, which is asked after so many
    /// candidates as [`Catalogue::BETWEEN_QUESTIONS`], says so: wide limits make a catalogue
    /// of many seconds.
    pub fn build_unless(limits: &ToothLimits, stopped: &dyn Fn() -> bool) -> Option<Self> {
        let rack = Rack::new(limits.pressure_angle, limits.addendum);
        let names = [COAXIAL, ASSEMBLY].into_iter().chain(RULES.iter().map(|r| r.name).skip(1));
        let mut funnel: Vec<_> = names.chain([DIAMETER]).map(|name| (name, 0)).collect();
        let (mut entries, mut candidates) = (Vec::new(), 0);
        for set in candidate_sets(limits) {
            candidates += 1;
            if candidates % Self::BETWEEN_QUESTIONS == 0 && stopped() {
                return None;
            }
            match judge(&set, limits, &rack) {
                Ok(entry) => entries.push(entry),
                Err(name) => {
                    let fallen = funnel.iter_mut().find(|(test, _)| *test == name);
                    fallen.into_iter().for_each(|(_, count)| *count += 1);
                }
            }
        }
        entries.sort_by(order);
        let classes = entries.chunk_by(|a, b| ratio_order(a, b).is_eq());
        let mut starts = vec![0];
        for class in classes {
            starts.push(starts[starts.len() - 1] + class.len());
        }
        let firsts = &starts[..starts.len() - 1];
        let ratios = firsts.iter().map(|&start| entries[start].set.base_ratio()).collect();
        Some(Self { entries, starts, ratios, candidates, funnel })
    }

    /// The base ratio of each class, strictly rising.
    pub fn ratios(&self) -> &[f64] {
        &self.ratios
    }

    /// Number of classes.
    pub fn len(&self) -> usize {
        self.ratios.len()
    }

    /// Whether no set meets the limits.
    pub fn is_empty(&self) -> bool {
        self.ratios.is_empty()
    }

    /// The sets of class `index`, best preference first (see [`Entry::preference`]; ties
    /// by sun, planet and number of planets, fewest first).
    ///
    /// # Panics
    /// If there is no such class.
    pub fn class(&self, index: usize) -> &[Entry] {
        &self.entries[self.starts[index]..self.starts[index + 1]]
    }

    /// The best set of class `index`.
    ///
    /// # Panics
    /// If there is no such class.
    pub fn best(&self, index: usize) -> &Entry {
        &self.entries[self.starts[index]]
    }

    /// All sets, class after class.
    pub fn entries(&self) -> &[Entry] {
        &self.entries
    }

    /// The class of base ratio `ratio` (but for rounding), if there is one.
    pub fn find(&self, ratio: f64) -> Option<usize> {
        self.nearest(ratio).filter(|&index| (self.ratios[index] / ratio - 1.0).abs() < 1e-12)
    }

    /// The class whose base ratio is nearest to `ratio`, the lower of two; `None` only
    /// where the catalogue is empty.
    pub fn nearest(&self, ratio: f64) -> Option<usize> {
        let above = self.ratios.partition_point(|&have| have < ratio);
        let around = above.saturating_sub(1)..(above + 1).min(self.len());
        let off = |index: usize| (self.ratios[index] - ratio).abs();
        around.min_by(|&a, &b| off(a).total_cmp(&off(b)))
    }

    /// How many combinations of sun, planet, ring and number of planets lay within the
    /// ranges of the limits.
    pub fn candidates(&self) -> usize {
        self.candidates
    }

    /// How many candidates fell at which condition: the first one broken, in this order,
    /// with the smallest shift. What is left is the catalogue.
    pub fn funnel(&self) -> &[(&'static str, usize)] {
        &self.funnel
    }
}

/// Every single set within the ranges of `limits`, coaxial or not.
fn candidate_sets(limits: &ToothLimits) -> impl Iterator<Item = GearSet> {
    let mut numbers = limits.planets.clone();
    numbers.sort_unstable();
    numbers.dedup();
    let within = |ratio: f64| {
        let (least, most) = limits.base_ratio;
        ratio >= least * (1.0 - 1e-12) && ratio <= most * (1.0 + 1e-12)
    };
    let rings = |sun: u32| limits.ring.0.max(sun + 1)..=limits.ring.1;
    (limits.sun.0.max(1)..=limits.sun.1.min(u32::MAX - 1))
        .flat_map(move |sun| rings(sun).map(move |ring| GearSet::single(sun, ring)))
        .filter(move |set| within(set.base_ratio()))
        .flat_map(move |set| planets_for(set, limits).map(move |planet| (set, planet)))
        .flat_map(move |(set, planet)| {
            let set = GearSet { planet: Some(planet), ..set };
            let counted = move |&n: &u32| GearSet { planets: Some(n), ..set };
            numbers.iter().map(counted).collect::<Vec<_>>()
        })
}

/// The planets that `limits` let stand between sun and ring: ⌊(Z_R − Z_S) / 2⌋, or all
/// within 1 of (Z_R − Z_S) / 2 where shift may bridge that.
fn planets_for(set: GearSet, limits: &ToothLimits) -> impl Iterator<Item = u32> {
    let room = set.ring - set.sun;
    let (least, most) = match limits.odd_planet {
        false => (room / 2, room / 2),
        true => ((room.max(2) - 1) / 2, room / 2 + 1),
    };
    let (low, high) = limits.planet;
    least.max(low).max(1)..=most.min(high)
}

/// The entry of `set`, or the name of the condition it falls at.
fn judge(set: &GearSet, limits: &ToothLimits, rack: &Rack) -> Result<Entry, &'static str> {
    let (Some(teeth), Some(planets)) = (Teeth::of(set), set.planets) else { return Err(COAXIAL) };
    // Integer conditions first: they fell most candidates and cost least.
    if teeth.excess() != 0 && !limits.odd_planet {
        return Err(COAXIAL);
    }
    let spacing = spacing(set, planets, unequal(limits)).ok_or(ASSEMBLY)?;
    let case = match fit(set, teeth, planets, limits, rack) {
        Fit::Whole(case) => case,
        Fit::Broken(_, rule) => return Err(rule.name),
    };
    let shift = case.wheels.placement.shifts;
    let outer_diameter = diameter_with(set, shift.ring, limits);
    if limits.largest_diameter.is_some_and(|largest| outer_diameter > largest + 1e-9) {
        return Err(DIAMETER);
    }
    let phase = if sequential(set, planets) { Phase::InTurn } else { Phase::Together };
    let unequal = if spacing == Spacing::Unequal { 1.0 } else { 0.0 };
    let size = outer_diameter / limits.module / 1000.0;
    let wishes = missed(set.sun, teeth.planet, set.ring, phase);
    let preference = wishes + unequal + shift.largest() + size;
    Ok(Entry { set: *set, shift, spacing, preference, outer_diameter })
}

/// Compares base ratios exactly, as Z_R / Z_S against Z_R' / Z_S'.
fn ratio_order(a: &Entry, b: &Entry) -> std::cmp::Ordering {
    let cross = |one: &Entry, two: &Entry| u64::from(one.set.ring) * u64::from(two.set.sun);
    cross(a, b).cmp(&cross(b, a))
}

fn order(a: &Entry, b: &Entry) -> std::cmp::Ordering {
    let teeth = |entry: &Entry| (entry.set.sun, entry.set.planet, entry.set.planets);
    ratio_order(a, b)
        .then(a.preference.total_cmp(&b.preference))
        .then_with(|| teeth(a).cmp(&teeth(b)))
}
