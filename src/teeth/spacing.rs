//! Where planets can be put round the sun so that they mesh.

use crate::train::{GearSet, SetKind};

/// How the planets of a set are spaced.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Spacing {
    /// 360° / N apart.
    Equal,
    /// On the multiples of 360° / (Z_S + Z_R) (paired: Z_R − Z_S) nearest to equal.
    Unequal,
}

impl Spacing {
    /// As written in reports.
    pub fn word(self) -> &'static str {
        match self {
            Self::Equal => "equal",
            Self::Unequal => "unequal",
        }
    }
}

/// Number of places round the sun where a planet meshes with sun and ring at once, while
/// these stand still: Z_S + Z_R, paired Z_R − Z_S (as an absolute value).
///
/// Turning the carrier by 360° / places brings the same tooth positions back. Sources:
/// SDP/SI metric gear handbook D785; any textbook of machine theory. Breaks when planets
/// are stepped (two gears of one planet): further conditions bind then.
pub fn places(set: &GearSet) -> u64 {
    let (sun, ring) = (u64::from(set.sun), u64::from(set.ring));
    match set.kind {
        SetKind::Single => sun + ring,
        SetKind::Paired => ring.abs_diff(sun),
    }
}

/// The place of planet `index` of `planets`: `index · places / planets`, rounded to the
/// nearest. Exact where equal spacing assembles. The gaps are then ⌊places / planets⌋ or
/// one more, and no choice of places has a larger smallest gap; with an even number of
/// places and planets every planet has an opposite one.
fn place(index: u32, planets: u32, places: u64) -> u64 {
    let (index, planets) = (u128::from(index), u128::from(planets));
    let rounded = (2 * index * u128::from(places) + planets) / (2 * planets);
    u64::try_from(rounded).unwrap_or(u64::MAX)
}

/// More planets than this are no gear set; a list of them would only fill the memory.
const MOST_PLANETS: u32 = 1000;

/// The places of all planets, in turns of 360° / places; starts with 0. Empty where
/// there are no planets, fewer places than planets, or more than a thousand planets.
pub(super) fn planet_places(planets: u32, places: u64) -> Vec<u64> {
    if places < u64::from(planets) || planets > MOST_PLANETS {
        return Vec::new();
    }
    (0..planets).map(|index| place(index, planets, places)).collect()
}

/// Angles in degrees at which the planets of a set stand, the first at 0; exact multiples
/// of 360° / [`places`]. Empty where the places do not suffice (or for more than a
/// thousand planets).
pub fn planet_angles(set: &GearSet, planets: u32) -> Vec<f64> {
    let places = places(set);
    let degrees = |place: u64| 360.0 * place as f64 / places as f64;
    planet_places(planets, places).into_iter().map(degrees).collect()
}

/// The spacing at which `planets` planets assemble, equal where that is possible; `None`
/// where they do not. Equal: (Z_S + Z_R) mod N = 0, paired (Z_R − Z_S) mod N = 0.
/// Unequal, if `allowed`: as many places as planets. Source and limits: [`places`].
pub(super) fn spacing(set: &GearSet, planets: u32, allowed: Unequal) -> Option<Spacing> {
    let (places, planets) = (places(set), u64::from(planets));
    if planets == 0 || places < planets {
        return None;
    }
    if places.is_multiple_of(planets) {
        return Some(Spacing::Equal);
    }
    (allowed == Unequal::Allowed).then_some(Spacing::Unequal)
}

/// Whether unequal spacing may be used.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Unequal {
    Allowed,
    Forbidden,
}

/// The smallest angle between neighbouring planets in radians: 2π / N where equal,
/// 2π ⌊places / N⌋ / places where not.
pub(super) fn smallest_gap(planets: u32, places: u64, spacing: Spacing) -> f64 {
    let turn = std::f64::consts::TAU;
    match spacing {
        Spacing::Equal => turn / f64::from(planets.max(1)),
        Spacing::Unequal => turn * (places / u64::from(planets)) as f64 / places as f64,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn equal_and_unequal_spacing() {
        // 30 + 66 = 96 places: 3 and 4 planets equally, 5 only unequally.
        let set = GearSet::single(30, 66);
        assert_eq!(spacing(&set, 3, Unequal::Forbidden), Some(Spacing::Equal));
        assert_eq!(spacing(&set, 5, Unequal::Forbidden), None);
        assert_eq!(spacing(&set, 5, Unequal::Allowed), Some(Spacing::Unequal));
        assert_eq!(spacing(&set, 0, Unequal::Allowed), None);
        assert_eq!(spacing(&GearSet::paired(30, 66), 5, Unequal::Forbidden), None);
        assert_eq!(spacing(&GearSet::paired(30, 66), 4, Unequal::Forbidden), Some(Spacing::Equal));
        assert_eq!(planet_angles(&set, 4), [0.0, 90.0, 180.0, 270.0]);
    }

    proptest! {
        #[test]
        fn angles_are_places_with_the_told_gap(sun in 10u32..80, more in 4u32..90, planets in 1u32..9) {
            let set = GearSet::single(sun, sun + more);
            let count = places(&set);
            let chosen = planet_places(planets, count);
            let next = |i: usize| if i + 1 < chosen.len() { chosen[i + 1] } else { count };
            let gaps: Vec<u64> = (0..chosen.len()).map(|i| next(i) - chosen[i]).collect();
            prop_assert_eq!(gaps.iter().sum::<u64>(), count);
            let kind = spacing(&set, planets, Unequal::Allowed).unwrap();
            let least = *gaps.iter().min().unwrap() as f64 / count as f64 * std::f64::consts::TAU;
            prop_assert!((least - smallest_gap(planets, count, kind)).abs() < 1e-12);
            for (angle, place) in planet_angles(&set, planets).iter().zip(&chosen) {
                let turns = angle * count as f64 / 360.0;
                prop_assert!((turns - *place as f64).abs() < 1e-9);
            }
            if count.is_multiple_of(2) && planets.is_multiple_of(2) {
                let half = planets as usize / 2;
                prop_assert!((0..half).all(|i| chosen[i + half] == chosen[i] + count / 2));
            }
        }
    }
}
