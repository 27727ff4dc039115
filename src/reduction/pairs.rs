//! Paired sets that meet every condition.

use crate::teeth::{
    Entry, ToothLimits, conditions, outer_diameter, planet_spacing, profile_shifts,
};
use crate::train::GearSet;

/// Teeth by which the planets of a pair may differ.
const APART: u32 = 2;

/// Each sun, ring and number of planets once, with the largest pair of planets that keeps
/// all conditions; the two of a pair differ by at most two teeth.
/// `None` as soon as `stopped` says so.
pub(super) fn paired_entries(
    limits: &ToothLimits,
    stopped: &dyn Fn() -> bool,
) -> Option<Vec<Entry>> {
    let mut entries = Vec::new();
    for sun in limits.sun.0..=limits.sun.1 {
        for ring in limits.ring.0.max(sun + 1)..=limits.ring.1 {
            let ratio = f64::from(ring) / f64::from(sun);
            if ratio < limits.base_ratio.0 || ratio > limits.base_ratio.1 {
                continue;
            }
            if stopped() {
                return None;
            }
            let counted = limits.planets.iter().filter(|&&n| (ring - sun).is_multiple_of(n));
            entries.extend(counted.filter_map(|&planets| entry(sun, ring, planets, limits)));
        }
    }
    Some(entries)
}

fn entry(sun: u32, ring: u32, planets: u32, limits: &ToothLimits) -> Option<Entry> {
    // Planets that are hardly in each other's way fill the gap with half a tooth height each.
    let most = ((ring - sun) / 2).min(limits.planet.1);
    let pairs = (limits.planet.0..=most).rev().flat_map(|inner| {
        (inner.saturating_sub(APART).max(limits.planet.0)..=inner + APART)
            .map(move |outer| (inner, outer))
    });
    let sets = pairs.map(|(inner, outer)| GearSet {
        planet: Some(inner),
        outer_planet: Some(outer),
        planets: Some(planets),
        ..GearSet::paired(sun, ring)
    });
    let set = sets.into_iter().find(|set| keeps_all(set, limits))?;
    let outer_diameter = outer_diameter(&set, limits);
    if limits.largest_diameter.is_some_and(|most| outer_diameter > most + 1e-9) {
        return None;
    }
    let shift = profile_shifts(&set, limits);
    let preference = shift.largest() + outer_diameter / limits.module / 1000.0;
    let spacing = planet_spacing(&set, limits)?;
    Some(Entry { set, shift, spacing, preference, outer_diameter })
}

fn keeps_all(set: &GearSet, limits: &ToothLimits) -> bool {
    conditions(set, limits).iter().all(|condition| condition.holds)
}
