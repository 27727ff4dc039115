//! The wheels of one set with a profile shift, placed at their centre distances.
//!
//! Knows which shifts may be tried, in which order, and what tips they give; not which of
//! them serve. Lengths are in modules.

use smallvec::{SmallVec, smallvec};

use super::involute::{Rack, Wheel};
use super::limits::ToothLimits;
use crate::train::{GearSet, SetKind};

/// Profile shift coefficients of a set, positive away from the wheel's own axis (so a
/// ring and a planet of equal shift keep their centre distance).
///
/// Both planets of a paired set have the shift `planet`.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Shifts {
    pub sun: f64,
    pub planet: f64,
    pub ring: f64,
}

impl Shifts {
    /// The largest shift, without its sign.
    pub fn largest(&self) -> f64 {
        self.sun.abs().max(self.planet.abs()).max(self.ring.abs())
    }
}

/// Shifts are tried in steps of 1/20 = 0.05.
const STEPS_PER_MODULE: f64 = 20.0;

/// Tooth numbers of a set whose planets are all known.
#[derive(Clone, Copy, Debug)]
pub(super) struct Teeth {
    pub kind: SetKind,
    pub sun: u32,
    /// Of the planet that meshes with the sun.
    pub planet: u32,
    /// Of the outer planet of a paired set.
    pub outer: Option<u32>,
    pub ring: u32,
}

impl Teeth {
    /// The teeth of `set`, with Z_P = ⌊(Z_R − Z_S) / 2⌋ where a single set does not say;
    /// `None` where a paired set does not name its planets, or where a wheel has no teeth
    /// or does not fit into the ring.
    pub fn of(set: &GearSet) -> Option<Self> {
        let filling = set.ring.saturating_sub(set.sun) / 2;
        let (planet, outer) = match set.kind {
            SetKind::Single => (set.planet.unwrap_or(filling), None),
            SetKind::Paired => (set.planet?, Some(set.outer_planet?)),
        };
        let teeth = Self { kind: set.kind, sun: set.sun, planet, outer, ring: set.ring };
        let smallest = teeth.sun.min(planet).min(teeth.in_ring());
        (smallest > 0 && teeth.ring > teeth.in_ring()).then_some(teeth)
    }

    /// Teeth of the planet that meshes with the ring.
    pub fn in_ring(&self) -> u32 {
        self.outer.unwrap_or(self.planet)
    }

    /// Z_R − Z_S − 2 Z_P of a single set: 0 when unshifted wheels are coaxial, the
    /// missing (or surplus) double centre distance in modules otherwise. 0 for paired
    /// sets, whose planets can stand beside the line of centres.
    pub fn excess(&self) -> i64 {
        match self.kind {
            SetKind::Single => {
                i64::from(self.ring) - i64::from(self.sun) - 2 * i64::from(self.planet)
            }
            SetKind::Paired => 0,
        }
    }
}

/// Shifts and centre distances that may be tried for a set.
#[derive(Clone, Copy, Debug)]
pub(super) struct Placement {
    pub shifts: Shifts,
    /// From the set's axis to the planet that meshes with the sun.
    pub sun_centre: f64,
    /// From the set's axis to the planet that meshes with the ring.
    pub ring_centre: f64,
    /// Between the two planets of a pair.
    pub pair_centre: Option<f64>,
}

/// Placements in the order of their largest shift, the first one as small as can be; at
/// least one, which is the only one where shift is not allowed or cannot help.
///
/// Where the teeth leave no excess e = Z_R − Z_S − 2 Z_P the centre distance stays
/// standard and the planet's shift x in steps of 0.05 is met by −x on the sun and x on
/// the ring; the two planets of a pair both take x and stand so much further apart, which
/// the pair is free to do. An excess of up to 2 is bridged if the limits allow it: the centre distance
/// takes 0, ¼, ½, ¾ or all of e/2 up in the sun's mesh, the ring's mesh gives the rest,
/// and the shifts follow from x₁ + x₂ = 2 a₀ (inv α_w − inv α) / (2 tan α) in each (see
/// [`Rack::shift_for`]). Both meshes share the centre distance; their working pressure
/// angles then differ.
pub(super) fn placements(
    teeth: &Teeth,
    limits: &ToothLimits,
    rack: &Rack,
) -> SmallVec<[Placement; 24]> {
    let steps = (limits.largest_shift * STEPS_PER_MODULE + 1e-9).floor().clamp(0.0, 40.0) as i32;
    let shift = |step: i32| f64::from(step) / STEPS_PER_MODULE;
    let families = families(teeth, limits, rack);
    if !bridged(teeth, limits) {
        let outwards = (1..=steps).flat_map(|step| [shift(step), shift(-step)]);
        // No shift makes up for an excess that may not be bridged.
        let tried = if teeth.excess() == 0 { usize::MAX } else { 1 };
        let standard = |x| families[0].at(teeth, x, rack);
        return std::iter::once(0.0).chain(outwards).map(standard).take(tried).collect();
    }
    let each = families.iter().flat_map(|family| (-steps..=steps).map(move |n| (family, n)));
    let mut tried: SmallVec<[Placement; 24]> =
        each.map(|(family, step)| family.at(teeth, shift(step), rack)).collect();
    tried.sort_by(|a, b| a.shifts.largest().total_cmp(&b.shifts.largest()));
    let fits = |p: &&Placement| p.shifts.largest() <= limits.largest_shift + 1e-9;
    let fitting = tried.iter().take_while(fits).count();
    // One too large is kept, so that what is told of a broken set names the shift needed.
    tried.truncate(fitting.max(1));
    if tried.is_empty() { smallvec![Family::standard(teeth).at(teeth, 0.0, rack)] } else { tried }
}

/// Placements of one centre distance, in which the planet's shift x is free: the sun takes
/// `sum` − x, the ring `difference` + x.
#[derive(Clone, Copy, Debug)]
pub(super) struct Family {
    sun_centre: f64,
    ring_centre: f64,
    sum: f64,
    difference: f64,
}

impl Family {
    /// That of unshifted wheels.
    fn standard(teeth: &Teeth) -> Self {
        let (sun_centre, ring_centre) = standard_centres(teeth);
        Self { sun_centre, ring_centre, sum: 0.0, difference: 0.0 }
    }

    /// That of given shifts: the centre distances at which both meshes are free of
    /// backlash.
    pub fn of(teeth: &Teeth, shifts: &Shifts, rack: &Rack) -> Self {
        let (sun, ring) = standard_centres(teeth);
        let (sum, difference) = (shifts.sun + shifts.planet, shifts.ring - shifts.planet);
        let sun_centre = rack.centre_for(sun, sum);
        Self { sun_centre, ring_centre: rack.centre_for(ring, difference), sum, difference }
    }

    /// The placement with the planet shifted by `x`.
    pub fn at(&self, teeth: &Teeth, x: f64, rack: &Rack) -> Placement {
        let Self { sun_centre, ring_centre, sum, difference } = *self;
        let between = |outer: u32| (f64::from(teeth.planet) + f64::from(outer)) / 2.0;
        let pair_centre = teeth.outer.map(|outer| rack.centre_for(between(outer), 2.0 * x));
        let shifts = Shifts { sun: sum - x, planet: x, ring: difference + x };
        Placement { shifts, sun_centre, ring_centre, pair_centre }
    }
}

/// Whether `limits` allow an excess of teeth to be bridged by shift, where there is one.
fn bridged(teeth: &Teeth, limits: &ToothLimits) -> bool {
    teeth.excess() != 0 && limits.odd_planet && teeth.excess().abs() <= 2
}

/// The centre distances that may be tried, see [`placements`]: the standard one, or those
/// that bridge an excess.
pub(super) fn families(teeth: &Teeth, limits: &ToothLimits, rack: &Rack) -> SmallVec<[Family; 5]> {
    let standard = Family::standard(teeth);
    if !bridged(teeth, limits) {
        return smallvec![standard];
    }
    let quarter = |quarters: u32| {
        let (sun, ring) = (standard.sun_centre, standard.ring_centre);
        let centre = sun + teeth.excess() as f64 / 8.0 * f64::from(quarters);
        let (sum, difference) = rack.shift_for(sun, centre).zip(rack.shift_for(ring, centre))?;
        Some(Family { sun_centre: centre, ring_centre: centre, sum, difference })
    };
    (0..=4).filter_map(quarter).collect()
}

/// (Z_S + Z_P) / 2 and (Z_R − Z_P) / 2: the centre distances of unshifted wheels.
fn standard_centres(teeth: &Teeth) -> (f64, f64) {
    let half = |z: f64| z / 2.0;
    let sun = half(f64::from(teeth.sun) + f64::from(teeth.planet));
    (sun, half(f64::from(teeth.ring) - f64::from(teeth.in_ring())))
}

/// The wheels of a set, cut with their shifts and placed.
#[derive(Clone, Copy, Debug)]
pub(super) struct Wheels {
    pub placement: Placement,
    pub sun: Wheel,
    pub planet: Wheel,
    /// Of a paired set.
    pub outer: Option<Wheel>,
    pub ring: Wheel,
}

impl Wheels {
    /// Cuts the wheels. Tips are as high as the shift gives (h_a + x, ring h_a − x) but
    /// leave the rack's clearance to the root they dip into; with a centre distance off
    /// the standard one that shortens them.
    ///
    /// Source: ISO 21771 (tip alteration). Breaks when both wheels are meant to have full
    /// teeth and less clearance.
    pub fn cut(teeth: &Teeth, placement: Placement, rack: &Rack) -> Self {
        let Placement { shifts, sun_centre, ring_centre, pair_centre } = placement;
        let height = rack.addendum;
        let pitch = |z: u32| f64::from(z) / 2.0;
        let wheel = |z: u32, shift: f64, tip: f64| Wheel { teeth: f64::from(z), shift, tip };
        let outward = |z: u32, shift: f64| wheel(z, shift, pitch(z) + height + shift);
        let mut sun = outward(teeth.sun, shifts.sun);
        let mut planet = outward(teeth.planet, shifts.planet);
        let mut outer = teeth.outer.map(|z| outward(z, shifts.planet));
        let mut ring = wheel(teeth.ring, shifts.ring, pitch(teeth.ring) - height + shifts.ring);
        // How far a tip may reach towards a wheel of `z` teeth whose axis is `centre` away.
        let reach = |centre: f64, z: u32, shift: f64| centre - pitch(z) + height - shift;
        let to_ring = pitch(teeth.ring) + height + shifts.ring - ring_centre;
        sun.tip = sun.tip.min(reach(sun_centre, teeth.planet, shifts.planet));
        planet.tip = planet.tip.min(reach(sun_centre, teeth.sun, shifts.sun));
        match (&mut outer, teeth.outer, pair_centre) {
            (Some(outer), Some(z), Some(centre)) => {
                planet.tip = planet.tip.min(reach(centre, z, shifts.planet));
                outer.tip = outer.tip.min(reach(centre, teeth.planet, shifts.planet)).min(to_ring);
            }
            _ => planet.tip = planet.tip.min(to_ring),
        }
        let inwards = ring_centre + pitch(teeth.in_ring()) - height + shifts.planet;
        ring.tip = ring.tip.max(inwards);
        Self { placement, sun, planet, outer, ring }
    }

    /// The planet that meshes with the ring.
    pub fn in_ring(&self) -> Wheel {
        self.outer.unwrap_or(self.planet)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn teeth(sun: u32, planet: u32, ring: u32) -> Teeth {
        Teeth { kind: SetKind::Single, sun, planet, outer: None, ring }
    }

    #[test]
    fn standard_teeth_keep_the_standard_distance_and_full_tips() {
        let rack = Rack::new(20.0, 1.0);
        let teeth = teeth(30, 18, 66);
        let placements = placements(&teeth, &ToothLimits::default(), &rack);
        assert_eq!(placements.len(), 21);
        assert_eq!(placements[0].shifts, Shifts::default());
        for placement in placements {
            let wheels = Wheels::cut(&teeth, placement, &rack);
            let x = placement.shifts.planet;
            assert!((wheels.sun.tip - (16.0 - x)).abs() < 1e-9);
            assert!((wheels.planet.tip - (10.0 + x)).abs() < 1e-9);
            assert!((wheels.ring.tip - (32.0 + x)).abs() < 1e-9);
        }
    }

    #[test]
    fn odd_differences_share_one_centre_distance() {
        let rack = Rack::new(20.0, 1.0);
        let limits = ToothLimits { odd_planet: true, ..ToothLimits::default() };
        for (sun, planet, ring) in [(30, 18, 67), (30, 18, 65), (30, 18, 68), (40, 25, 88)] {
            let teeth = teeth(sun, planet, ring);
            let placements = placements(&teeth, &limits, &rack);
            assert!(placements.len() > 1);
            for p in placements {
                assert_eq!(p.sun_centre, p.ring_centre);
                // Each mesh is free of backlash at that distance.
                let (first, second) = standard_centres(&teeth);
                let sum = rack.shift_for(first, p.sun_centre).unwrap();
                let difference = rack.shift_for(second, p.ring_centre).unwrap();
                assert!((p.shifts.sun + p.shifts.planet - sum).abs() < 1e-12);
                assert!((p.shifts.ring - p.shifts.planet - difference).abs() < 1e-12);
                assert!(p.shifts.largest() <= 0.5 + 1e-9);
            }
        }
    }
}
