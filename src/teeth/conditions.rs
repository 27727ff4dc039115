//! Every condition of a set, told in sentences: for a set that was given, whatever its
//! teeth. Knows nothing of catalogues.

use super::case::{best_case, planets_of, shifts_of, unequal};
use super::involute::{CLEARANCE, Rack};
use super::limits::ToothLimits;
use super::rules::{COAXIAL, RULES};
use super::spacing::{Spacing, Unequal, places, spacing};
use super::wheels::{Shifts, Teeth};
use crate::train::{GearSet, SetKind};

/// One condition of a set: its short name, whether it holds, and a sentence with numbers.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Condition {
    /// "coaxial", "assembly", "neighbours", "undercut", "ring tip", "involute",
    /// "trochoid", "trimming" (only where planets go in radially), "tip thickness",
    /// "contact ratio"; of preferences "hunting" and "mesh phase".
    pub name: &'static str,
    pub holds: bool,
    pub detail: String,
}

/// Name of the condition that planets can be put in.
pub(super) const ASSEMBLY: &str = "assembly";

/// Every condition of `set` under `limits`; formulas and sources stand at the rules.
///
/// Any set is judged. Where its planets are not counted, three are judged; where a single
/// set does not name Z_P, the planet that fills the gap between sun and ring is. The
/// smallest profile shift within the limits with which all conditions hold is assumed, or
/// where there is none the one that breaks fewest. "coaxial" and "assembly" are always
/// told; the others need wheels that exist, so they are left out where a wheel has no
/// teeth, the planet has no room in the ring, or a paired set does not name its planets.
/// The ranges of `limits` (teeth, diameter, base ratio) are no conditions.
pub fn conditions(set: &GearSet, limits: &ToothLimits) -> Vec<Condition> {
    let assembly = assembly(set, limits);
    let Some(teeth) = Teeth::of(set) else { return vec![without_wheels(set, limits), assembly] };
    let rack = Rack::new(limits.pressure_angle, limits.addendum);
    let case = best_case(set, teeth, planets_of(set), limits, &rack);
    let binding = RULES.iter().filter(|rule| rule.binds(&case));
    let mut told: Vec<Condition> = binding
        .map(|rule| {
            let (holds, detail) = rule.report(&case);
            Condition { name: rule.name, holds, detail }
        })
        .collect();
    told.insert(1, assembly);
    told
}

/// Coaxial, of a set whose wheels are not all known or cannot exist.
fn without_wheels(set: &GearSet, limits: &ToothLimits) -> Condition {
    let GearSet { sun, ring, .. } = *set;
    let known = set.planet.is_some() && set.outer_planet.is_some();
    let (holds, detail) = if sun == 0 || ring <= sun {
        (false, format!("A ring of {ring} teeth has no room for a sun of {sun} teeth."))
    } else if set.kind == SetKind::Single || known {
        let planet = set.outer_planet.or(set.planet).unwrap_or((ring - sun) / 2);
        (
            false,
            format!(
                "A ring of {ring} teeth and a sun of {sun} leave no room for a planet of {planet} teeth."
            ),
        )
    } else {
        // The inner planet must miss the ring and the outer one the sun, which takes
        // Z_R − Z_S > 2 Z_P + 4 h_a; undercut sets the smallest Z_P.
        let rack = Rack::new(limits.pressure_angle, limits.addendum);
        let saved = 1.0 - limits.largest_shift.max(0.0) / limits.addendum;
        let planet = (rack.undercut_teeth() * saved).ceil().max(3.0);
        let (room, needed) = (f64::from(ring - sun), 2.0 * planet + 4.0 * limits.addendum);
        let detail = format!(
            "The planets of the pair are not named, so only their room is judged: \
             Z_R − Z_S = {ring} − {sun} = {room}, and even planets of {planet} teeth, the fewest \
             without undercut, need more than {needed}."
        );
        (room > needed, detail)
    };
    Condition { name: COAXIAL, holds, detail }
}

/// Assembly: the planets mesh with sun and ring at once. Equal spacing needs
/// (Z_S + Z_R) mod N = 0, paired (Z_R − Z_S) mod N = 0; unequal spacing, where the limits
/// allow it, puts planets at multiples of 360° / (Z_S + Z_R) (Z_R − Z_S).
///
/// Source and limits: [`places`]. Profile shift changes nothing here, because it turns no
/// tooth.
fn assembly(set: &GearSet, limits: &ToothLimits) -> Condition {
    let (sum, planets) = (places(set), planets_of(set));
    let formula = match set.kind {
        SetKind::Single => format!("Z_S + Z_R = {} + {} = {sum}", set.sun, set.ring),
        SetKind::Paired => format!("Z_R − Z_S = {} − {} = {sum}", set.ring, set.sun),
    };
    let found = spacing(set, planets, unequal(limits));
    let mut detail = match found {
        _ if planets == 0 => format!("{formula}, but a set without planets transmits nothing"),
        None if sum < u64::from(planets) => {
            format!("{formula} leaves fewer places than {planets} planets need")
        }
        Some(Spacing::Equal) => format!(
            "{formula} is {} times {planets}, so {planets} planets go in at equal angles",
            sum / u64::from(planets)
        ),
        Some(Spacing::Unequal) => format!(
            "{formula} is no multiple of {planets}, so {planets} planets go in at unequal \
             angles, multiples of {:.4}°",
            360.0 / sum as f64
        ),
        None => format!(
            "{formula} leaves {} when divided by {planets}, so {planets} planets do not go in \
             at equal angles",
            sum % u64::from(planets)
        ),
    };
    if set.planets.is_none() {
        detail.push_str(&format!(
            " (the number of planets is not given, 3 are judged; {})",
            suitable(sum)
        ));
    }
    Condition { name: ASSEMBLY, holds: found.is_some(), detail: detail + "." }
}

/// The numbers of planets up to 8 that go in at equal angles.
fn suitable(places: u64) -> String {
    let fit = |n: &u64| places >= *n && places.is_multiple_of(*n);
    let numbers: Vec<String> = (2..=8).filter(fit).map(|n| n.to_string()).collect();
    if numbers.is_empty() {
        return "no number from 2 to 8 goes in so".into();
    }
    format!("{} would go in so", numbers.join(", "))
}

/// Outside diameter of the ring in mm: m (Z_R + 2 x_R + 2 (h_a + c) + 2 rim), that is the
/// root circle (dedendum h_a + c, 1.25 with the standard addendum, moved out by the
/// ring's shift x_R) and the wall `limits.rim` round it, on both sides.
///
/// The shift is the smallest within the limits with which every condition of the set
/// holds, 0 where none does. Source: ISO 53 (dedendum). Breaks when the ring carries
/// splines, lugs or a brake lining outside: those come on top.
pub fn outer_diameter(set: &GearSet, limits: &ToothLimits) -> f64 {
    diameter_with(set, shifts_of(set, limits).ring, limits)
}

/// [`outer_diameter`] for a ring shift that is already known.
pub(super) fn diameter_with(set: &GearSet, ring_shift: f64, limits: &ToothLimits) -> f64 {
    let wall = limits.addendum + CLEARANCE + limits.rim;
    limits.module * (f64::from(set.ring) + 2.0 * ring_shift + 2.0 * wall)
}

/// The profile shifts with which `set` would be cut: the smallest within the limits with
/// which every condition holds; none where none does.
pub fn profile_shifts(set: &GearSet, limits: &ToothLimits) -> Shifts {
    shifts_of(set, limits)
}

/// How the planets of `set` are spaced (three where they are not counted): equal where
/// that assembles, unequal where the limits allow it, `None` where neither does.
pub fn planet_spacing(set: &GearSet, limits: &ToothLimits) -> Option<Spacing> {
    spacing(set, planets_of(set), unequal(limits))
}

/// The spacing at which a set assembles at all, for preferences that judge its phases.
pub(super) fn any_spacing(set: &GearSet, planets: u32) -> Option<Spacing> {
    spacing(set, planets, Unequal::Allowed)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn find<'a>(told: &'a [Condition], name: &str) -> &'a Condition {
        told.iter().find(|c| c.name == name).expect(name)
    }

    fn broken(set: &GearSet, limits: &ToothLimits) -> Vec<&'static str> {
        conditions(set, limits).iter().filter(|c| !c.holds).map(|c| c.name).collect()
    }

    #[test]
    fn a_usual_set_meets_everything() {
        let set = GearSet { planets: Some(3), ..GearSet::single(30, 66) };
        let limits = ToothLimits { radial_assembly: true, ..ToothLimits::default() };
        let told = conditions(&set, &limits);
        assert!(told.iter().all(|c| c.holds), "{told:#?}");
        let names: Vec<_> = told.iter().map(|c| c.name).collect();
        let expected = [
            "coaxial",
            "assembly",
            "neighbours",
            "undercut",
            "ring tip",
            "involute",
            "trochoid",
            "trimming",
            "tip thickness",
            "contact ratio",
        ];
        assert_eq!(names, expected);
        assert!(find(&told, "assembly").detail.contains("30 + 66 = 96"));
        // 18 teeth in 66 need a shift of 0.1 against involute interference.
        assert_eq!(profile_shifts(&set, &limits), Shifts { sun: -0.1, planet: 0.1, ring: 0.1 });
        let unshifted = ToothLimits { largest_shift: 0.0, ..limits };
        assert_eq!(broken(&set, &unshifted), ["involute"]);
        let larger = GearSet { planets: Some(3), ..GearSet::single(30, 78) };
        assert_eq!(broken(&larger, &unshifted), [""; 0]);
    }

    #[test]
    fn assembly_is_judged_for_three_planets_where_none_are_given() {
        let told = conditions(&GearSet::single(30, 68), &ToothLimits::default());
        let assembly = find(&told, "assembly");
        assert!(!assembly.holds);
        assert!(assembly.detail.contains("leaves 2 when divided by 3"), "{}", assembly.detail);
        assert!(assembly.detail.contains("2, 7 would go in"), "{}", assembly.detail);
        let allowed = ToothLimits { unequal_spacing: true, ..ToothLimits::default() };
        assert!(find(&conditions(&GearSet::single(30, 68), &allowed), "assembly").holds);
    }

    /// (Z_S + Z_P) sin(π/N) > Z_P + 2 h_a + gap: with 18 and 36 teeth 4 planets stand
    /// 54 · 0.7071 = 38.18 apart, below 38.5; with gap 0.1 they are far enough.
    #[test]
    fn neighbours_by_the_textbook_formula() {
        let set = GearSet { planets: Some(4), ..GearSet::single(18, 90) };
        let limits = ToothLimits { largest_shift: 0.0, ..ToothLimits::default() };
        assert_eq!(broken(&set, &limits), ["neighbours"]);
        assert_eq!(broken(&set, &ToothLimits { gap: 0.1, ..limits.clone() }), [""; 0]);
        let three = GearSet { planets: Some(3), ..set };
        assert_eq!(broken(&three, &limits), [""; 0]);
    }

    #[test]
    fn a_small_planet_is_saved_by_shift_if_that_is_allowed() {
        // 16 teeth in a ring of 80: x ≥ 1 − 16 sin²20° / 2 = 0.064 saves the planet, and
        // the sun of 48 can spare it.
        let set = GearSet { planets: Some(4), ..GearSet::single(48, 80) };
        let limits = ToothLimits::default();
        assert_eq!(broken(&set, &limits), [""; 0]);
        let shifts = profile_shifts(&set, &limits);
        assert!(shifts.planet >= 0.064 && shifts.planet <= 0.5, "{shifts:?}");
        assert_eq!((shifts.sun, shifts.ring), (-shifts.planet, shifts.planet));
        let rigid = ToothLimits { largest_shift: 0.0, ..limits };
        assert!(broken(&set, &rigid).contains(&"undercut"));
    }

    #[test]
    fn odd_differences_need_leave() {
        let set = GearSet { planets: Some(3), ..GearSet::single(31, 74) };
        assert_eq!(broken(&set, &ToothLimits::default()), ["coaxial"]);
        let odd = ToothLimits { odd_planet: true, ..ToothLimits::default() };
        assert_eq!(broken(&set, &odd), [""; 0]);
        let rigid = ToothLimits { largest_shift: 0.0, ..odd };
        assert!(broken(&set, &rigid).contains(&"coaxial"));
        let far = GearSet { planet: Some(19), ..set };
        assert!(broken(&far, &ToothLimits { odd_planet: true, ..rigid }).contains(&"coaxial"));
    }

    #[test]
    fn pairs_are_judged_when_their_planets_are_named() {
        let limits = ToothLimits::default();
        let named = GearSet {
            planet: Some(18),
            outer_planet: Some(20),
            planets: Some(3),
            ..GearSet::paired(36, 84)
        };
        assert_eq!(broken(&named, &limits), [""; 0], "{:#?}", conditions(&named, &limits));
        // A larger inner planet runs into the ring; more pairs run into each other.
        assert_eq!(broken(&GearSet { planet: Some(23), ..named }, &limits), ["neighbours"]);
        assert_eq!(broken(&GearSet { planets: Some(6), ..named }, &limits), ["neighbours"]);
        // Two planets of 10 and 13 teeth are 11.5 modules apart: short of 24.
        let short = GearSet { planet: Some(10), outer_planet: Some(13), ..named };
        assert!(broken(&short, &limits).contains(&"coaxial"));
        let told = conditions(&GearSet::paired(36, 84), &limits);
        assert_eq!(told.iter().map(|c| c.name).collect::<Vec<_>>(), ["coaxial", "assembly"]);
        assert!(told.iter().all(|c| c.holds));
        assert!(broken(&GearSet::paired(36, 56), &limits).contains(&"coaxial"));
    }

    #[test]
    fn small_planets_of_a_pair_are_shifted_apart() {
        let set = GearSet {
            planet: Some(16),
            outer_planet: Some(16),
            planets: Some(4),
            ..GearSet::paired(40, 80)
        };
        let limits = ToothLimits::default();
        let shifts = profile_shifts(&set, &limits);
        assert!(shifts.planet >= 0.064 && shifts.sun == -shifts.planet, "{shifts:?}");
        assert_eq!(broken(&set, &limits), [""; 0]);
        let rigid = ToothLimits { largest_shift: 0.0, ..limits.clone() };
        assert!(broken(&set, &rigid).contains(&"undercut"));
        let told = conditions(&set, &limits);
        assert!(find(&told, "coaxial").detail.contains("centres 16.2"), "{told:#?}");
    }

    #[test]
    fn outer_diameter_by_hand() {
        // 1.5 · (78 + 2 · 1.25 + 2 · 2.5) = 128.25 mm; 66 teeth with x = 0.1 take
        // 1.5 · (66 + 0.2 + 7.5) = 110.55 mm.
        let diameter = |ring: u32| {
            let set = GearSet { planets: Some(3), ..GearSet::single(30, ring) };
            outer_diameter(&set, &ToothLimits::default())
        };
        assert!((diameter(78) - 128.25).abs() < 1e-9);
        assert!((diameter(66) - 110.55).abs() < 1e-9);
    }

    proptest! {
        /// Any set is judged without a panic, by the same names, in whole sentences.
        #[test]
        fn any_set_is_judged(
            sun in prop_oneof![0u32..120, Just(u32::MAX)],
            ring in prop_oneof![0u32..200, Just(u32::MAX)],
            planet in prop::option::of(prop_oneof![0u32..90, Just(u32::MAX)]),
            outer_planet in prop::option::of(0u32..90),
            planets in prop::option::of(prop_oneof![0u32..9, Just(u32::MAX)]),
            paired in any::<bool>(),
            odd_planet in any::<bool>(),
            unequal_spacing in any::<bool>(),
        ) {
            let kind = if paired { SetKind::Paired } else { SetKind::Single };
            let set = GearSet { kind, sun, ring, planet, outer_planet, planets };
            let limits = ToothLimits {
                odd_planet, unequal_spacing, radial_assembly: true, ..ToothLimits::default()
            };
            let told = conditions(&set, &limits);
            for name in ["coaxial", "assembly"] {
                prop_assert_eq!(told.iter().filter(|c| c.name == name).count(), 1);
            }
            for condition in &told {
                prop_assert!(condition.detail.ends_with('.'), "{:?}", condition);
                prop_assert!(!condition.detail.contains("NaN"), "{:?}", condition);
            }
            if told.iter().any(|c| !c.holds && c.name != "assembly") {
                prop_assert_eq!(profile_shifts(&set, &limits), Shifts::default());
            }
            prop_assert!(outer_diameter(&set, &limits).is_finite());
        }

        /// A set grown by a whole factor keeps every condition it met unshifted.
        #[test]
        fn growth_breaks_nothing(sun in 18u32..50, planet in 18u32..50, planets in 3u32..6, k in 2u32..5) {
            let limits = ToothLimits { largest_shift: 0.0, radial_assembly: true, ..ToothLimits::default() };
            let set = |k: u32| GearSet { planets: Some(planets), ..GearSet::single(k * sun, k * (sun + 2 * planet)) };
            prop_assume!(broken(&set(1), &limits).is_empty());
            prop_assert_eq!(broken(&set(k), &limits), [""; 0]);
        }
    }
}
