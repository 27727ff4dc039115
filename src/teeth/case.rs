//! One set as the rules judge it: its teeth, its planets, its spacing, and the smallest
//! profile shift with which every rule holds.

use super::involute::{InternalMesh, Rack};
use super::limits::ToothLimits;
use super::rules::{self, Rule};
use super::spacing::{self, Spacing, Unequal};
use super::wheels::{Placement, Shifts, Teeth, Wheels, placements};
use crate::train::GearSet;

/// A set with its wheels cut and its planets placed.
#[derive(Clone, Copy, Debug)]
pub(super) struct Case<'a> {
    pub limits: &'a ToothLimits,
    pub rack: &'a Rack,
    pub teeth: Teeth,
    pub planets: u32,
    /// Smallest angle between neighbouring planets in radians.
    pub gap: f64,
    pub wheels: Wheels,
    pub ring_mesh: InternalMesh,
}

/// What the search for a shift ended with.
pub(super) enum Fit<'a> {
    /// With the smallest shift that serves, every rule holds.
    Whole(Case<'a>),
    /// No shift serves; the case of the smallest shift, and the first rule it breaks.
    Broken(Case<'a>, &'static Rule),
}

/// The unequal spacing that `limits` allow.
pub(super) fn unequal(limits: &ToothLimits) -> Unequal {
    if limits.unequal_spacing { Unequal::Allowed } else { Unequal::Forbidden }
}

/// Tries the shifts that `limits` allow from the smallest, until every rule holds.
pub(super) fn fit<'a>(
    set: &GearSet,
    teeth: Teeth,
    planets: u32,
    limits: &'a ToothLimits,
    rack: &'a Rack,
) -> Fit<'a> {
    let mut first = None;
    for case in cases(set, teeth, planets, limits, rack) {
        match rules::first_broken(&case) {
            None => return Fit::Whole(case),
            Some(rule) => {
                first.get_or_insert((case, rule));
                // Wheels that no shift makes coaxial have no other placement to try.
                if rule.name == rules::COAXIAL {
                    break;
                }
            }
        }
    }
    let (case, rule) = first.expect("there is always one placement to try");
    Fit::Broken(case, rule)
}

/// As [`fit`], but where no shift serves, the case that breaks the fewest rules (the
/// smallest shift of these): what is worth telling of a set that cannot be built so.
pub(super) fn best_case<'a>(
    set: &GearSet,
    teeth: Teeth,
    planets: u32,
    limits: &'a ToothLimits,
    rack: &'a Rack,
) -> Case<'a> {
    match fit(set, teeth, planets, limits, rack) {
        Fit::Whole(case) => case,
        Fit::Broken(case, _) => {
            cases(set, teeth, planets, limits, rack).min_by_key(rules::count_broken).unwrap_or(case)
        }
    }
}

/// The shift of every wheel of `set`, and its ring's spacing, as the catalogue would build
/// it: the smallest shift with which every rule holds, or no shift where none does.
pub(super) fn shifts_of(set: &GearSet, limits: &ToothLimits) -> Shifts {
    let rack = Rack::new(limits.pressure_angle, limits.addendum);
    let Some(teeth) = Teeth::of(set) else { return Shifts::default() };
    match fit(set, teeth, planets_of(set), limits, &rack) {
        Fit::Whole(case) => case.wheels.placement.shifts,
        Fit::Broken(..) => Shifts::default(),
    }
}

/// N of a set, 3 where it is not given.
pub(super) fn planets_of(set: &GearSet) -> u32 {
    set.planets.unwrap_or(3)
}

fn cases<'a>(
    set: &GearSet,
    teeth: Teeth,
    planets: u32,
    limits: &'a ToothLimits,
    rack: &'a Rack,
) -> impl Iterator<Item = Case<'a>> {
    let gap = gap_of(set, planets, limits);
    let made = move |placement| case(teeth, planets, limits, rack, placement, gap);
    placements(&teeth, limits, rack).into_iter().map(made)
}

/// The case of one placement of `set`.
pub(super) fn judged<'a>(
    set: &GearSet,
    teeth: Teeth,
    planets: u32,
    limits: &'a ToothLimits,
    rack: &'a Rack,
    placement: Placement,
) -> Case<'a> {
    case(teeth, planets, limits, rack, placement, gap_of(set, planets, limits))
}

fn case<'a>(
    teeth: Teeth,
    planets: u32,
    limits: &'a ToothLimits,
    rack: &'a Rack,
    placement: Placement,
    gap: f64,
) -> Case<'a> {
    let wheels = Wheels::cut(&teeth, placement, rack);
    let ring_mesh = InternalMesh::new(rack, wheels.in_ring(), wheels.ring, placement.ring_centre);
    Case { limits, rack, teeth, planets, gap, wheels, ring_mesh }
}

/// Smallest angle between planets. Where they do not assemble, their neighbours are judged
/// as if they did.
fn gap_of(set: &GearSet, planets: u32, limits: &ToothLimits) -> f64 {
    let chosen = spacing::spacing(set, planets, unequal(limits)).unwrap_or(Spacing::Equal);
    spacing::smallest_gap(planets, spacing::places(set), chosen)
}
