//! The teeth of one set, judged plainly: windows of the brief, coaxial, assembly, neighbours in
//! whole numbers or one line of trigonometry. Then all conditions, undercut and interference among
//! them, by the formulas of `teeth`, which have their own sources and tests.

use std::f64::consts::TAU;

use crate::teeth::{ToothLimits, conditions, outer_diameter, profile_shifts};
use crate::train::{GearSet, SetKind};

/// Rounding of floats in windows and clearances.
const SLACK: f64 = 1e-9;

/// What of the brief a set breaks, `None` where it keeps all: the name, and the numbers.
pub fn broken(set: &GearSet, limits: &ToothLimits) -> Option<(&'static str, String)> {
    let (sun, ring) = (set.sun, set.ring);
    let (Some(planet), Some(planets)) = (set.planet, set.planets) else {
        return Some(("planets are named", format!("{sun}/{ring} without planets")));
    };
    if let Some(name) = plainly_broken(set, planet, planets, limits) {
        return Some((name, format!("{sun}/{planet}/{ring} with {planets} planets")));
    }
    let diameter = outer_diameter(set, limits);
    if limits.largest_diameter.is_some_and(|largest| diameter > largest + SLACK) {
        return Some(("outer diameter", format!("{diameter} mm")));
    }
    // All of them once more by the program's formulas: with profile shift the tips move, and a
    // shift that mends one rule may break another.
    let mut told = conditions(set, limits).into_iter();
    told.find(|condition| !condition.holds).map(|condition| (condition.name, condition.detail))
}

/// The first of the plain rules that a set breaks.
fn plainly_broken(
    set: &GearSet,
    planet: u32,
    planets: u32,
    limits: &ToothLimits,
) -> Option<&'static str> {
    let (sun, ring) = (set.sun, set.ring);
    let within = |teeth: u32, window: (u32, u32)| window.0 <= teeth && teeth <= window.1;
    let ratio = f64::from(ring) / f64::from(sun.max(1));
    let (least, most) = limits.base_ratio;
    // Z_R = Z_S + 2 Z_P; Z_P may be off by 1 where the brief lets shift bridge it.
    let excess = i64::from(ring) - i64::from(sun) - 2 * i64::from(planet);
    let bridged = if limits.odd_planet { 2 } else { 0 };
    let places = u64::from(sun) + u64::from(ring);
    let equal = planets > 0 && places.is_multiple_of(u64::from(planets));
    let unequal = limits.unequal_spacing && planets > 0 && places >= u64::from(planets);
    let rules = [
        ("single planets", set.kind == SetKind::Single && set.outer_planet.is_none()),
        ("teeth of the sun", within(sun, limits.sun)),
        ("teeth of the planet", within(planet, limits.planet)),
        ("teeth of the ring", within(ring, limits.ring) && ring > sun),
        ("number of planets", limits.planets.contains(&planets)),
        ("base ratio", ratio >= least * (1.0 - SLACK) && ratio <= most * (1.0 + SLACK)),
        ("coaxial", excess.abs() <= bridged),
        ("assembly", equal || unequal),
    ];
    if let Some((name, _)) = rules.iter().find(|(_, keeps)| !keeps) {
        return Some(name);
    }
    let least_turn = match equal {
        true => TAU / f64::from(planets),
        false => TAU * (places / u64::from(planets)) as f64 / places as f64,
    };
    // Unshifted: (Z_S + Z_P) sin(θ/2) > Z_P + 2 h_a + gap, in half modules of the diameter.
    let apart = f64::from(sun + planet) * (least_turn / 2.0).sin();
    let needed = f64::from(planet) + 2.0 * limits.addendum + limits.gap;
    let unshifted = excess == 0 && profile_shifts(set, limits).largest() == 0.0;
    (unshifted && planets > 1 && apart <= needed + SLACK).then_some("neighbours")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::teeth::Catalogue;

    fn set(sun: u32, planet: u32, ring: u32, planets: u32) -> GearSet {
        GearSet { planet: Some(planet), planets: Some(planets), ..GearSet::single(sun, ring) }
    }

    #[test]
    fn each_plain_rule_has_a_set_that_breaks_it() {
        let limits = ToothLimits::default();
        let name = |set: GearSet| broken(&set, &limits).map(|(name, _)| name);
        assert_eq!(name(set(30, 18, 66, 3)), None);
        assert_eq!(name(set(17, 18, 53, 5)), Some("teeth of the sun"));
        assert_eq!(name(set(30, 15, 60, 3)), Some("teeth of the planet"));
        assert_eq!(name(set(50, 32, 114, 4)), Some("teeth of the ring"));
        assert_eq!(name(set(30, 18, 66, 6)), Some("number of planets"));
        assert_eq!(name(set(60, 16, 92, 4)), None);
        assert_eq!(name(set(20, 36, 92, 4)), Some("base ratio"));
        assert_eq!(name(set(30, 19, 66, 3)), Some("coaxial"));
        assert_eq!(name(set(30, 18, 66, 5)), Some("assembly"));
        // 20/30/80 with five planets: 50 sin 36° = 29.4, and the tips need 32.5.
        assert_eq!(name(set(20, 30, 80, 5)), Some("neighbours"));
        assert_eq!(
            name(GearSet { planets: None, ..set(30, 18, 66, 3) }),
            Some("planets are named")
        );
    }

    /// The catalogue and the plain rules let the same sets pass, whatever leave the brief gives.
    #[test]
    fn the_same_sets_pass_as_in_the_catalogue() {
        let small = ToothLimits { ring: (48, 70), ..ToothLimits::default() };
        let cases = [
            small.clone(),
            ToothLimits { odd_planet: true, unequal_spacing: true, ..small.clone() },
            ToothLimits { largest_shift: 0.0, radial_assembly: true, ..small.clone() },
            ToothLimits { largest_diameter: Some(105.0), gap: 1.0, ..small },
        ];
        let mut passed = 0;
        for limits in cases {
            let catalogue = Catalogue::build(&limits);
            for (sun, ring) in itertools::iproduct!(limits.sun.0..=limits.sun.1, 48..=70) {
                for (planet, &planets) in itertools::iproduct!(10..30, &limits.planets) {
                    let set = set(sun, planet, ring, planets);
                    let listed = catalogue.entries().iter().any(|entry| entry.set == set);
                    let found =
                        if ring > sun { broken(&set, &limits) } else { Some(("", "".into())) };
                    assert_eq!(found.is_none(), listed, "{set:?}: {found:?}");
                    passed += u32::from(listed);
                }
            }
        }
        assert!(passed > 100, "{passed}");
    }
}
