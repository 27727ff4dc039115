//! What the teeth may be, and what a mesh loses.

use super::checks::{Open, Reach};
use super::dialect::Dialect;
use super::keys::SEARCH;
use super::score::Limit;
use super::written::{WrittenLosses, WrittenTeeth};
use crate::error::Mistake;
use crate::motion::{MeshEfficiency, MeshScaling};
use crate::score::Criterion;
use crate::teeth::{Catalogue, ToothLimits};

/// Fewest and most teeth of any wheel.
const TEETH: (u32, u32) = (6, 500);
const PLANETS: (u32, u32) = (2, 12);
/// Largest outside diameter that a brief may write, in mm.
const LARGEST_DIAMETER: f64 = 1e5;

/// The mesh efficiencies that a brief gives.
pub(super) fn losses(
    dialect: &Dialect,
    written: &WrittenLosses,
) -> Result<MeshEfficiency, Mistake> {
    let default = MeshEfficiency::default();
    let efficiency = |key: &str, value: Option<f64>, default: f64| {
        value.map_or(Ok(default), |value| dialect.number(key, value, (0.5, 1.0)))
    };
    Ok(MeshEfficiency {
        external: efficiency("losses.external", written.external, default.external)?,
        internal: efficiency("losses.internal", written.internal, default.internal)?,
        scaling: match written.by_teeth {
            Some(true) => MeshScaling::Teeth,
            Some(false) => MeshScaling::Even,
            None => default.scaling,
        },
    })
}

/// The tooth limits that a brief for `search` gives.
pub(super) fn understand(written: &WrittenTeeth) -> Result<ToothLimits, Mistake> {
    let limits = limits(&SEARCH, written, ToothLimits::default())?;
    some_set_fits(&limits)?;
    Ok(limits)
}

/// The tooth limits that a brief gives, each by itself; `default` where it says nothing.
pub(super) fn limits(
    dialect: &Dialect,
    written: &WrittenTeeth,
    default: ToothLimits,
) -> Result<ToothLimits, Mistake> {
    let teeth = |key: &str, ends: &Option<Vec<i64>>, default: (u32, u32)| {
        ends.as_ref().map_or(Ok(default), |ends| dialect.span(key, ends, TEETH))
    };
    let size = |key: &str, value: Option<f64>, ends: (f64, f64), default: f64| {
        value.map_or(Ok(default), |value| dialect.number(key, value, ends))
    };
    let ratios = Reach { least: 1.05, most: 20.0, open: Open::Never };
    Ok(ToothLimits {
        sun: teeth("teeth.sun", &written.sun, default.sun)?,
        planet: teeth("teeth.planet", &written.planet, default.planet)?,
        ring: teeth("teeth.ring", &written.ring, default.ring)?,
        planets: match &written.planets {
            Some(counts) => dialect.wholes("teeth.planets", &counts.list(), PLANETS)?,
            None => default.planets,
        },
        base_ratio: match &written.base_ratio {
            Some(ends) => dialect.window("teeth.base_ratio", ends, ratios)?,
            None => default.base_ratio,
        },
        module: size("teeth.module", written.module, (0.05, 50.0), default.module)?,
        pressure_angle: size(
            "teeth.pressure_angle",
            written.pressure_angle,
            (10.0, 35.0),
            default.pressure_angle,
        )?,
        addendum: size("teeth.addendum", written.addendum, (0.5, 1.5), default.addendum)?,
        gap: size("teeth.gap", written.gap, (0.0, 5.0), default.gap)?,
        rim: size("teeth.rim", written.rim, (0.0, 20.0), default.rim)?,
        largest_diameter: match written.largest_diameter {
            Some(most) => dialect.ceiling(
                "teeth.largest_diameter",
                most,
                (f64::MIN_POSITIVE, LARGEST_DIAMETER),
            )?,
            None => default.largest_diameter,
        },
        largest_shift: size(
            "teeth.largest_shift",
            written.largest_shift,
            (0.0, 1.0),
            default.largest_shift,
        )?,
        odd_planet: written.odd_planet.unwrap_or(default.odd_planet),
        unequal_spacing: written.unequal_spacing.unwrap_or(default.unequal_spacing),
        radial_assembly: written.radial_assembly.unwrap_or(default.radial_assembly),
    })
}

/// Leaves out the sets that a limit on the outer diameter forbids.
pub(super) fn narrow(limits: &mut ToothLimits, limit: &Limit) -> Result<(), Mistake> {
    let (Criterion::OuterDiameter, Some(most)) = (limit.criterion, limit.most) else {
        return Ok(());
    };
    if most > LARGEST_DIAMETER || limits.largest_diameter.is_some_and(|given| given <= most) {
        return Ok(());
    }
    limits.largest_diameter = Some(most);
    // Some set fitted before, so that it is the diameter at which all fall now.
    some_set_fits(limits).map_err(|mistake| {
        Mistake::at(
            "limits.outer_diameter.most",
            format!("is {most}: {}", mistake.problem),
            mistake.mend,
        )
    })
}

/// The conditions that a set meets by counting alone, in the order in which they are told
/// when all sets fall at them.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Hurdle {
    Coaxial,
    BaseRatio,
    Diameter,
    Assembly,
    Neighbours,
    None,
}

/// Candidates up to which the catalogue is built to see whether it is empty: some tens of
/// milliseconds. Wider limits are judged by counting alone; the search judges them in full
/// before it begins.
const MOST_JUDGED: u64 = 250_000;

/// At least one set must meet every condition, or the search would have nothing to try.
pub(super) fn some_set_fits(limits: &ToothLimits) -> Result<(), Mistake> {
    let catalogue = (most_candidates(limits) <= MOST_JUDGED).then(|| Catalogue::build(limits));
    if catalogue.as_ref().is_some_and(|catalogue| !catalogue.is_empty()) {
        return Ok(());
    }
    // Counting tells the reason better where counting is enough.
    some_set_counts(limits)?;
    catalogue.map_or(Ok(()), |catalogue| Err(none_meshes(&catalogue)))
}

/// Not fewer than the catalogue tries.
fn most_candidates(limits: &ToothLimits) -> u64 {
    let span = |(fewest, most): (u32, u32)| u64::from(most.saturating_sub(fewest)) + 1;
    let planets = if limits.odd_planet { 3 } else { 1 };
    span(limits.sun) * span(limits.ring) * planets * limits.planets.len() as u64
}

/// Every set fell at a condition of the wheels; told by the one that a set came furthest to.
fn none_meshes(catalogue: &Catalogue) -> Mistake {
    let fallen = catalogue.funnel().iter().filter(|(_, count)| *count > 0);
    let furthest = fallen.clone().next_back().map_or("", |(name, _)| name);
    let (key, mend) = mend_for(furthest);
    let fallen: Vec<String> =
        fallen.map(|(name, count)| format!("{count} fell at {name}")).collect();
    let problem = format!(
        "no set within [teeth] meets every condition; of {} choices of sun, planet, ring and \
         number of planets {}",
        catalogue.candidates(),
        fallen.join(", ")
    );
    Mistake::at(key, problem, mend)
}

/// What to change when sets fall at a condition of the catalogue.
fn mend_for(condition: &str) -> (&'static str, &'static str) {
    match condition {
        "coaxial" => (
            "teeth.largest_shift",
            "allow a larger teeth.largest_shift, or widen teeth.sun, teeth.planet or teeth.ring",
        ),
        "assembly" => {
            ("teeth.planets", "allow other numbers of planets, or write unequal_spacing = true")
        }
        "neighbours" => {
            ("teeth.planets", "allow fewer planets, a smaller teeth.gap or smaller teeth.planet")
        }
        "undercut" => (
            "teeth.largest_shift",
            "sun or planet is undercut: allow a larger teeth.largest_shift, more teeth in \
             teeth.sun and teeth.planet, or a smaller teeth.addendum",
        ),
        "ring tip" | "involute" | "trochoid" => (
            "teeth.ring",
            "planet and ring interfere: allow more teeth in teeth.ring and teeth.planet, a larger \
             teeth.largest_shift or a smaller teeth.addendum",
        ),
        "trimming" => (
            "teeth.radial_assembly",
            "planets cannot go in radially: write radial_assembly = false, or allow more teeth in \
             teeth.ring",
        ),
        "tip thickness" => (
            "teeth.addendum",
            "teeth come to a point: write a smaller teeth.addendum or teeth.pressure_angle, or \
             allow more teeth",
        ),
        "contact ratio" => (
            "teeth.addendum",
            "a mesh has less than 1.2 teeth in contact: write a larger teeth.addendum, a smaller \
             teeth.pressure_angle, or allow more teeth",
        ),
        "outer diameter" => (
            "teeth.largest_diameter",
            "allow a larger diameter, a smaller teeth.module or fewer teeth.ring",
        ),
        _ => ("teeth", "widen teeth.sun, teeth.planet or teeth.ring, or allow shift"),
    }
}

/// At least one set must pass the conditions that counting decides.
fn some_set_counts(limits: &ToothLimits) -> Result<(), Mistake> {
    let mut furthest = Hurdle::Coaxial;
    for sun in limits.sun.0..=limits.sun.1 {
        for planet in limits.planet.0..=limits.planet.1 {
            for ring in rings(limits, sun, planet) {
                furthest = furthest.max(hurdle(limits, sun, planet, ring));
                if furthest == Hurdle::None {
                    return Ok(());
                }
            }
        }
    }
    let (key, problem, mend) = match furthest {
        Hurdle::Coaxial => (
            "teeth.ring",
            "no ring has the teeth of a sun and twice a planet, Z_R = Z_S + 2 Z_P",
            "widen teeth.sun, teeth.planet or teeth.ring",
        ),
        Hurdle::BaseRatio => (
            "teeth.base_ratio",
            "no sun and ring in their limits have such a ratio Z_R / Z_S",
            "widen teeth.base_ratio, teeth.sun or teeth.ring",
        ),
        Hurdle::Diameter => (
            "teeth.largest_diameter",
            "even the smallest ring is larger: its pitch circle is module · Z_R",
            "allow a larger diameter, a smaller teeth.module or fewer teeth.ring",
        ),
        Hurdle::Assembly => (
            "teeth.planets",
            "no set assembles with so many planets: (Z_S + Z_R) / planets must be whole",
            "allow other numbers of planets, or write unequal_spacing = true",
        ),
        Hurdle::Neighbours | Hurdle::None => (
            "teeth.planets",
            "neighbouring planets would touch in every set",
            "allow fewer planets, a smaller teeth.gap or smaller teeth.planet",
        ),
    };
    Err(Mistake::at(key, problem, mend))
}

/// Rings for a sun and a planet: Z_R = Z_S + 2 Z_P; with odd planets Z_P may differ from
/// (Z_R − Z_S) / 2 by up to 1, so Z_R by up to 2.
fn rings(limits: &ToothLimits, sun: u32, planet: u32) -> impl Iterator<Item = u32> + use<> {
    let middle = sun + 2 * planet;
    let off = if limits.odd_planet { 2 } else { 0 };
    let ends = limits.ring;
    (middle - off..=middle + off).filter(move |ring| (ends.0..=ends.1).contains(ring))
}

/// The first plain condition at which a set falls with every number of planets allowed.
///
/// Sources: equal spacing and neighbours as in `teeth`; the pitch circle of the ring, d =
/// m Z_R, lies inside its outside diameter for every profile shift in use.
fn hurdle(limits: &ToothLimits, sun: u32, planet: u32, ring: u32) -> Hurdle {
    let ratio = f64::from(ring) / f64::from(sun);
    if !(limits.base_ratio.0..=limits.base_ratio.1).contains(&ratio) {
        return Hurdle::BaseRatio;
    }
    if limits.largest_diameter.is_some_and(|most| limits.module * f64::from(ring) > most) {
        return Hurdle::Diameter;
    }
    let assembles = |count: &&u32| limits.unequal_spacing || (sun + ring).is_multiple_of(**count);
    let mut counts = limits.planets.iter().filter(assembles).peekable();
    if counts.peek().is_none() {
        return Hurdle::Assembly;
    }
    let clear = |count: u32| {
        let apart = f64::from(sun + planet) * (std::f64::consts::PI / f64::from(count)).sin();
        apart > f64::from(planet) + 2.0 * limits.addendum + limits.gap
    };
    if counts.any(|&count| clear(count)) { Hurdle::None } else { Hurdle::Neighbours }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn limits_without_a_set_are_told_by_the_condition_that_fails() {
        let limits = ToothLimits::default;
        assert_eq!(some_set_fits(&limits()), Ok(()));
        let cases = [
            (ToothLimits { ring: (200, 210), ..limits() }, "teeth.ring"),
            (ToothLimits { base_ratio: (15.0, 20.0), ..limits() }, "teeth.base_ratio"),
            (ToothLimits { largest_diameter: Some(20.0), ..limits() }, "teeth.largest_diameter"),
            (
                ToothLimits { sun: (20, 20), planet: (20, 20), planets: vec![3], ..limits() },
                "teeth.planets",
            ),
            (ToothLimits { planets: vec![12], gap: 5.0, ..limits() }, "teeth.planets"),
        ];
        for (limits, key) in cases {
            assert_eq!(some_set_fits(&limits).unwrap_err().key, key);
        }
        // These pass all counting; their wheels do not mesh.
        let unshifted = |limits: ToothLimits| ToothLimits { largest_shift: 0.0, ..limits };
        let cases = [
            (
                ToothLimits { sun: (10, 12), ..unshifted(limits()) },
                "teeth.largest_shift",
                "undercut",
            ),
            (
                ToothLimits { ring: (48, 56), planet: (17, 20), ..unshifted(limits()) },
                "teeth.ring",
                "involute",
            ),
            (
                ToothLimits { pressure_angle: 35.0, addendum: 1.3, ..limits() },
                "teeth.addendum",
                "tip thickness",
            ),
            (ToothLimits { addendum: 0.5, ..limits() }, "teeth.addendum", "contact ratio"),
            (
                ToothLimits { largest_diameter: Some(80.0), ..limits() },
                "teeth.largest_diameter",
                "outer diameter",
            ),
        ];
        for (limits, key, condition) in cases {
            assert_eq!(some_set_counts(&limits), Ok(()));
            let mistake = some_set_fits(&limits).unwrap_err();
            assert_eq!(mistake.key, key, "{mistake}");
            assert!(mistake.problem.ends_with(&format!("fell at {condition}")), "{mistake}");
        }
        let odd = ToothLimits { sun: (20, 20), planet: (20, 20), planets: vec![3], ..limits() };
        assert_eq!(some_set_fits(&ToothLimits { unequal_spacing: true, ..odd.clone() }), Ok(()));
        assert_eq!(some_set_fits(&ToothLimits { odd_planet: true, ..odd }), Ok(()));
    }

    /// The catalogue's names of conditions are keys here.
    #[test]
    fn every_condition_of_the_catalogue_has_a_mend() {
        for (name, _) in Catalogue::build(&ToothLimits::default()).funnel() {
            assert_ne!(mend_for(name).0, "teeth", "{name}");
        }
    }

    /// The widest limits that a brief may write are not judged in full before the search.
    #[test]
    fn judging_is_bounded() {
        let everything = ToothLimits {
            sun: TEETH,
            planet: TEETH,
            ring: TEETH,
            planets: (PLANETS.0..=PLANETS.1).collect(),
            odd_planet: true,
            ..ToothLimits::default()
        };
        assert!(most_candidates(&everything) > MOST_JUDGED);
        assert_eq!(some_set_fits(&everything), Ok(()));
        let default = ToothLimits::default();
        assert!(most_candidates(&default) <= MOST_JUDGED);
        assert!(Catalogue::build(&default).candidates() as u64 <= most_candidates(&default));
    }
}
