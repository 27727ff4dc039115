//! What the teeth may be, and what a mesh loses.

use super::checks::{Open, Reach, ceiling, number, span, wholes, window};
use super::written::{WrittenLosses, WrittenTeeth};
use crate::error::Mistake;
use crate::motion::MeshEfficiency;
use crate::teeth::ToothLimits;

/// Fewest and most teeth of any wheel.
const TEETH: (u32, u32) = (6, 500);
const PLANETS: (u32, u32) = (2, 12);

/// The mesh efficiencies that a brief gives.
pub(super) fn losses(written: &WrittenLosses) -> Result<MeshEfficiency, Mistake> {
    let default = MeshEfficiency::default();
    let efficiency = |key: &str, value: Option<f64>, default: f64| {
        value.map_or(Ok(default), |value| number(key, value, (0.5, 1.0)))
    };
    Ok(MeshEfficiency {
        external: efficiency("losses.external", written.external, default.external)?,
        internal: efficiency("losses.internal", written.internal, default.internal)?,
    })
}

/// The tooth limits that a brief gives.
pub(super) fn understand(written: &WrittenTeeth) -> Result<ToothLimits, Mistake> {
    let default = ToothLimits::default();
    let teeth = |key: &str, ends: &Option<Vec<i64>>, default: (u32, u32)| {
        ends.as_ref().map_or(Ok(default), |ends| span(key, ends, TEETH))
    };
    let size = |key: &str, value: Option<f64>, ends: (f64, f64), default: f64| {
        value.map_or(Ok(default), |value| number(key, value, ends))
    };
    let ratios = Reach { least: 1.05, most: 20.0, open: Open::Never };
    let limits = ToothLimits {
        sun: teeth("teeth.sun", &written.sun, default.sun)?,
        planet: teeth("teeth.planet", &written.planet, default.planet)?,
        ring: teeth("teeth.ring", &written.ring, default.ring)?,
        planets: match &written.planets {
            Some(counts) => wholes("teeth.planets", &counts.list(), PLANETS)?,
            None => default.planets,
        },
        base_ratio: match &written.base_ratio {
            Some(ends) => window("teeth.base_ratio", ends, ratios)?,
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
            Some(most) => ceiling("teeth.largest_diameter", most, (f64::MIN_POSITIVE, 1e5))?,
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
    };
    some_set_fits(&limits)?;
    Ok(limits)
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

/// At least one set must pass the plain conditions, or the search would look through all
/// layouts to find nothing. Interference is left to the catalogue of sets, which judges
/// each set in full.
fn some_set_fits(limits: &ToothLimits) -> Result<(), Mistake> {
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
        let odd = ToothLimits { sun: (20, 20), planet: (20, 20), planets: vec![3], ..limits() };
        assert_eq!(some_set_fits(&ToothLimits { unequal_spacing: true, ..odd.clone() }), Ok(()));
        assert_eq!(some_set_fits(&ToothLimits { odd_planet: true, ..odd }), Ok(()));
    }
}
