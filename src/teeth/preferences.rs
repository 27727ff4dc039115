//! What is wished of a set but never enforced: hunting teeth and a mesh phase.

use num_integer::gcd;

use super::case::planets_of;
use super::conditions::{Condition, any_spacing};
use super::spacing::{places, planet_places};
use super::wheels::Teeth;
use crate::train::GearSet;

/// Hunting and mesh phase of `set`, told as conditions whose `holds` means "as wished".
/// Hunting is left out where a paired set does not name its planets.
///
/// - Hunting: gcd of the teeth of every two wheels in mesh is 1, so that every tooth meets
///   every other and wear spreads. Source: usual shop rule, e.g. Niemann/Winter,
///   Maschinenelemente II. Breaks as a wish where teeth are matched in pairs on purpose.
/// - Mesh phase: k = Z_S mod N is not 0 (unequal spacing: Z_S p_i mod places not all 0,
///   with p_i the place of a planet). k = 0 puts all planets in phase and their torque
///   ripple adds up; k = 1 or N − 1 leaves a lateral force, other k cancel both. Source:
///   R. G. Parker, J. Sound Vib. 236(4), 2000, 561–573. Breaks beyond the first harmonic
///   of the tooth frequency: harmonic l has the phase l k.
pub fn preferences(set: &GearSet) -> Vec<Condition> {
    let hunting = Teeth::of(set).map(|teeth| {
        let pairs = meshes(&teeth);
        let told: Vec<String> = pairs
            .iter()
            .map(|&(a, b)| match gcd(a, b) {
                1 => format!("{a} and {b} share no factor"),
                factor => format!("{a} and {b} share the factor {factor}"),
            })
            .collect();
        let holds = pairs.iter().all(|&(a, b)| gcd(a, b) == 1);
        Condition { name: "hunting", holds, detail: format!("Teeth in mesh: {}.", told.join(", ")) }
    });
    hunting.into_iter().chain(std::iter::once(mesh_phase(set))).collect()
}

fn mesh_phase(set: &GearSet) -> Condition {
    let planets = planets_of(set);
    let holds = sequential(set, planets);
    let detail = match (any_spacing(set, planets), holds) {
        (None, _) => format!("{planets} planets do not assemble, so their meshes have no phase."),
        (_, true) => format!(
            "Z_S = {} with {planets} planets: they do not all enter mesh at once, so torque \
             ripple does not add up.",
            set.sun
        ),
        (_, false) => format!(
            "Z_S = {} with {planets} planets: all enter mesh at the same moment, so torque \
             ripple adds up.",
            set.sun
        ),
    };
    Condition { name: "mesh phase", holds, detail }
}

/// Whether the planets mesh one after the other (false where they do not assemble).
pub(super) fn sequential(set: &GearSet, planets: u32) -> bool {
    let places = places(set);
    let phase = |place: u64| u128::from(set.sun) * u128::from(place) % u128::from(places);
    planet_places(planets, places).into_iter().any(|place| phase(place) != 0)
}

/// The pairs of teeth in mesh, from the sun outwards.
fn meshes(teeth: &Teeth) -> Vec<(u32, u32)> {
    let wheels = [Some(teeth.sun), Some(teeth.planet), teeth.outer, Some(teeth.ring)];
    let chain: Vec<u32> = wheels.into_iter().flatten().collect();
    chain.windows(2).map(|pair| (pair[0], pair[1])).collect()
}

/// How far a single set is from the wishes, lower is better: 1 for a mesh phase of 0, ½
/// for a common factor of sun and planet, ½ for one of planet and ring.
pub(super) fn missed(sun: u32, planet: u32, ring: u32, phased: Phase) -> f64 {
    let half = |common: bool| if common { 0.5 } else { 0.0 };
    let hunting = half(gcd(sun, planet) > 1) + half(gcd(planet, ring) > 1);
    hunting + if phased == Phase::Together { 1.0 } else { 0.0 }
}

/// Whether all planets enter mesh at the same moment.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Phase {
    Together,
    InTurn,
}

#[cfg(test)]
mod tests {
    use super::*;

    fn wishes(set: GearSet) -> Vec<(&'static str, bool)> {
        preferences(&set).iter().map(|c| (c.name, c.holds)).collect()
    }

    #[test]
    fn hunting_and_phase_by_hand() {
        // 30/18/66: common factors 6 and 6; 30 mod 3 = 0.
        let set = GearSet { planets: Some(3), ..GearSet::single(30, 66) };
        assert_eq!(wishes(set), [("hunting", false), ("mesh phase", false)]);
        // 31/19/69 has none; 31 mod 4 = 3 (31 + 69 = 100).
        let set = GearSet { planets: Some(4), ..GearSet::single(31, 69) };
        assert_eq!(wishes(set), [("hunting", true), ("mesh phase", true)]);
        assert_eq!(wishes(GearSet::paired(30, 66)), [("mesh phase", false)]);
    }

    #[test]
    fn equal_spacing_phase_is_sun_modulo_planets() {
        for (sun, ring) in [(30, 66), (31, 69), (24, 60), (25, 59)] {
            for planets in 2..7 {
                let set = GearSet::single(sun, ring);
                if (sun + ring) % planets == 0 {
                    assert_eq!(sequential(&set, planets), sun % planets != 0);
                }
            }
        }
    }
}
