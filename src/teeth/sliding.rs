//! Specific sliding of a mesh, and the profile shift that makes it alike at both ends of
//! the path of contact of sun and planet.
//!
//! Lengths are in modules. Source of the formulas: ISO 21771 (specific sliding); that equal
//! extremes are a usual aim of profile shift: ISO/TR 4467.

use super::case::{Case, judged, planets_of};
use super::flank::border;
use super::involute::Rack;
use super::limits::ToothLimits;
use super::outline::{Finish, Outline, Side};
use super::placing::{Mesh, PlacedSet, clear_of_fillets};
use super::rules::first_broken;
use super::wheels::{Family, Shifts, Teeth, families};
use crate::train::GearSet;

/// Specific sliding of `mesh` at the root of the first wheel (where the other's tip
/// touches it) and at the root of the second: sliding speed over the wheel's own rolling
/// speed, negative in a root. These are the extremes of the mesh. `None` for a mesh that
/// the set has not.
///
/// ζ₁ = 1 − (z₁ ρ₂) / (z₂ ρ₁) and ζ₂ = 1 − (z₂ ρ₁) / (z₁ ρ₂) with the radii of curvature ρ
/// where the flanks touch: √(r_a² − r_b²) at a tip, and ρ₁ + ρ₂ = a sin α_w, in a ring
/// ρ₂ − ρ₁ = a sin α_w. Rounded tips are taken as sharp. Source: ISO 21771.
pub fn specific_sliding(set: &PlacedSet, mesh: Mesh) -> Option<[f64; 2]> {
    let (one, two, centre) = set.pair_of(mesh)?;
    let reach = |wheel: &Outline| (wheel.tip.powi(2) - wheel.base.powi(2)).max(0.0).sqrt();
    let sign = if two.side == Side::Internal { -1.0 } else { 1.0 };
    let line = (centre.powi(2) - (two.base + sign * one.base).powi(2)).max(0.0).sqrt();
    let ratio = f64::from(one.teeth) / f64::from(two.teeth);
    Some(extremes(ratio, [reach(one), reach(two)], line, sign))
}

/// ζ₁ and ζ₂ at the roots; `ratio` is z₁ / z₂, `tips` the radii of curvature at the tips,
/// `line` a sin α_w, `sign` −1 for a ring as second wheel. Without bound where a tip would
/// touch the other flank inside its base circle.
fn extremes(ratio: f64, tips: [f64; 2], line: f64, sign: f64) -> [f64; 2] {
    let sliding = |ratio: f64, own: f64, other: f64| match own > 0.0 {
        true => 1.0 - ratio * other / own,
        false => f64::NEG_INFINITY,
    };
    let roots = [sign * (line - tips[1]), line - sign * tips[0]];
    [sliding(ratio, roots[0], tips[1]), sliding(1.0 / ratio, roots[1], tips[0])]
}

/// Shifts are tried in these steps before they are refined.
const STEP: f64 = 0.005;
/// Extremes that differ by less are alike.
const ALIKE: f64 = 1e-6;

/// The profile shifts with which sun and planet slide alike at both roots: ζ_S = ζ_P of
/// [`specific_sliding`], with tips as [`PlacedSet::new`] cuts them without backlash.
///
/// Only shifts within `limits.largest_shift` with which every rule of
/// [`fn@super::conditions`] holds are taken (whether planets go in at all no shift
/// changes). Where none of them balances, it is the one that comes nearest, so ask
/// [`specific_sliding`] of [`PlacedSet::with_shifts`] what it leaves. Of several that
/// balance (an odd planet leaves the centre distance free in quarters) it is the one whose
/// largest shift is smallest. `None` where wheels are unknown, or no shift keeps the rules.
pub fn balanced_shift(set: &GearSet, limits: &ToothLimits) -> Option<Shifts> {
    let rack = Rack::new(limits.pressure_angle, limits.addendum);
    let teeth = Teeth::of(set)?;
    let mut best: Option<(f64, f64, Shifts)> = None;
    for family in families(&teeth, limits, &rack) {
        for (off, shifts) in (Balance { set, teeth, limits, rack, family }).offers() {
            let off = if off.abs() < ALIKE { 0.0 } else { off.abs() };
            let size = shifts.largest();
            if best.is_none_or(|(least, smallest, _)| (off, size) < (least, smallest)) {
                best = Some((off, size, shifts));
            }
        }
    }
    best.map(|(.., shifts)| shifts)
}

/// The balance of one family of placements as the planet's shift goes through the limits.
struct Balance<'a> {
    set: &'a GearSet,
    teeth: Teeth,
    limits: &'a ToothLimits,
    rack: Rack,
    family: Family,
}

impl Balance<'_> {
    /// ζ_S − ζ_P with the planet shifted by `x`; `None` where a rule is broken.
    fn off(&self, x: f64) -> Option<f64> {
        let placement = self.family.at(&self.teeth, x, &self.rack);
        if placement.shifts.largest() > self.limits.largest_shift.max(0.0) + 1e-9 {
            return None;
        }
        let planets = planets_of(self.set);
        let case: Case = judged(self.set, self.teeth, planets, self.limits, &self.rack, placement);
        if first_broken(&case).is_some() {
            return None;
        }
        let wheels = clear_of_fillets(&case.wheels, &self.rack, &Finish::default())?;
        let (sun, planet, centre) = (&wheels.sun, &wheels.planet, placement.sun_centre);
        let angle = self.rack.working_angle((sun.teeth + planet.teeth) / 2.0, centre)?;
        let tips = [sun.reach(&self.rack), planet.reach(&self.rack)];
        let [at_sun, at_planet] =
            extremes(sun.teeth / planet.teeth, tips, centre * angle.sin(), 1.0);
        Some(at_sun - at_planet).filter(|off| off.is_finite())
    }

    /// Shifts that keep the rules and are worth comparing, each with its ζ_S − ζ_P: every
    /// step, every end of what the rules allow, every balance.
    fn offers(&self) -> Vec<(f64, Shifts)> {
        let steps = (self.limits.largest_shift.max(0.0) / STEP + 1e-9).floor() as i32;
        let grid = (-steps..=steps).map(|step| f64::from(step) * STEP);
        let tried: Vec<(f64, Option<f64>)> = grid.map(|x| (x, self.off(x))).collect();
        let mut found: Vec<f64> = tried.iter().filter(|t| t.1.is_some()).map(|t| t.0).collect();
        for pair in tried.windows(2) {
            match (pair[0], pair[1]) {
                ((a, Some(from)), (b, Some(to))) if (from < 0.0) != (to < 0.0) => {
                    let below = |x| self.off(x).is_some_and(|off| (off < 0.0) == (from < 0.0));
                    found.push(border(a, b, below));
                }
                ((a, Some(_)), (b, None)) | ((b, None), (a, Some(_))) => {
                    found.push(border(a, b, |x| self.off(x).is_some()));
                }
                _ => {}
            }
        }
        let offer =
            |x: f64| Some((self.off(x)?, self.family.at(&self.teeth, x, &self.rack).shifts));
        found.into_iter().filter_map(offer).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// All shifts in steps of 0.001 by the plain way: rules judged, wheels placed, sliding
    /// read off their outlines. Least difference of the two extremes, with its shift.
    fn scanned(set: &GearSet, limits: &ToothLimits) -> Option<(f64, Shifts)> {
        let rack = Rack::new(limits.pressure_angle, limits.addendum);
        let teeth = Teeth::of(set)?;
        let most = (limits.largest_shift * 1000.0).round() as i32;
        let mut best: Option<(f64, Shifts)> = None;
        for family in families(&teeth, limits, &rack) {
            for x in (-most..=most).map(|step| f64::from(step) / 1000.0) {
                let placement = family.at(&teeth, x, &rack);
                let case = judged(set, teeth, planets_of(set), limits, &rack, placement);
                let shifts = placement.shifts;
                let within = shifts.largest() <= limits.largest_shift + 1e-9;
                if !within || first_broken(&case).is_some() {
                    continue;
                }
                let finish = Finish { chord: 0.05, ..Finish::default() };
                let placed = PlacedSet::with_shifts(set, limits, &finish, &shifts)?;
                let [sun, planet] = specific_sliding(&placed, Mesh::SunPlanet)?;
                let off = (sun - planet).abs();
                if best.is_none_or(|(least, _)| off < least) {
                    best = Some((off, shifts));
                }
            }
        }
        best
    }

    fn left(set: &GearSet, limits: &ToothLimits, shifts: &Shifts) -> f64 {
        let placed = PlacedSet::with_shifts(set, limits, &Finish::default(), shifts).unwrap();
        let [sun, planet] = specific_sliding(&placed, Mesh::SunPlanet).unwrap();
        (sun - planet).abs()
    }

    #[test]
    fn balance_is_what_a_plain_scan_finds() {
        let odd = ToothLimits { odd_planet: true, unequal_spacing: true, ..ToothLimits::default() };
        let tight = ToothLimits { largest_shift: 0.1, ..ToothLimits::default() };
        let paired = GearSet {
            planet: Some(18),
            outer_planet: Some(20),
            planets: Some(3),
            ..GearSet::paired(36, 84)
        };
        let mut balanced = 0;
        for (set, limits) in [
            (GearSet::single(30, 78), &odd),
            (GearSet::single(24, 84), &odd),
            (GearSet::single(18, 72), &odd),
            (GearSet::single(30, 66), &odd),
            (GearSet::single(48, 84), &odd),
            (GearSet::single(18, 72), &tight),
            (GearSet::single(31, 74), &odd),
            (GearSet { planet: Some(21), ..GearSet::single(30, 74) }, &odd),
            (paired, &odd),
        ] {
            let (least, scan) = scanned(&set, limits).unwrap();
            let shifts = balanced_shift(&set, limits).unwrap();
            let found = left(&set, limits, &shifts);
            assert!(found <= least + 1e-6, "{set:?}: {found} {shifts:?}, by scan {least} {scan:?}");
            // A step of the scan changes the difference by less than this.
            if least < 0.01 {
                assert!(found < 1e-5, "{set:?}: {found}, by scan {least}");
                balanced += 1;
            } else {
                assert!((shifts.planet - scan.planet).abs() < 1.5e-3, "{shifts:?} {scan:?}");
            }
        }
        assert!((3..9).contains(&balanced), "{balanced}");
    }

    #[test]
    fn no_shift_balances_what_cannot_be_built() {
        let limits = ToothLimits::default();
        assert_eq!(balanced_shift(&GearSet::paired(36, 84), &limits), None);
        assert_eq!(balanced_shift(&GearSet::single(30, 71), &limits), None);
        assert_eq!(balanced_shift(&GearSet::single(30, 40), &limits), None);
        let equal = GearSet::single(30, 90);
        assert_eq!(balanced_shift(&equal, &limits), Some(Shifts::default()));
    }
}
