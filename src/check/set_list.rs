//! The sets to choose from: of each base ratio that the brief's teeth allow one set, listed by the
//! plain rules.

use std::collections::BTreeMap;

use num_integer::gcd;

use super::wheels::broken;
use crate::teeth::ToothLimits;
use crate::train::GearSet;

/// One set for each base ratio, ratios rising.
#[derive(Clone, Debug)]
pub struct SetList {
    sets: Vec<GearSet>,
    ratios: Vec<f64>,
}

impl SetList {
    /// Every base ratio within the limits, with the smallest ring that has it. `None` when
    /// stopped.
    pub fn of(limits: &ToothLimits, stopped: &dyn Fn() -> bool) -> Option<Self> {
        let mut found: BTreeMap<(u32, u32), GearSet> = BTreeMap::new();
        // Rings rise, so the first set of a ratio has its smallest ring.
        for ring in limits.ring.0..=limits.ring.1 {
            for sun in limits.sun.0.max(1)..=limits.sun.1.min(ring.saturating_sub(1)) {
                if stopped() {
                    return None;
                }
                let common = gcd(sun, ring);
                let key = (ring / common, sun / common);
                if found.contains_key(&key) {
                    continue;
                }
                if let Some(set) = some_set(sun, ring, limits) {
                    found.insert(key, set);
                }
            }
        }
        let mut sets: Vec<GearSet> = found.into_values().collect();
        sets.sort_by(|a, b| a.base_ratio().total_cmp(&b.base_ratio()));
        let ratios = sets.iter().map(GearSet::base_ratio).collect();
        Some(Self { sets, ratios })
    }

    pub fn len(&self) -> usize {
        self.ratios.len()
    }

    pub fn is_empty(&self) -> bool {
        self.ratios.is_empty()
    }

    pub fn ratio(&self, index: usize) -> f64 {
        self.ratios[index]
    }

    pub fn set(&self, index: usize) -> GearSet {
        self.sets[index]
    }

    /// The place of the set with this base ratio, if it is listed.
    pub fn find(&self, set: &GearSet) -> Option<usize> {
        let ratio = set.base_ratio();
        self.ratios.iter().position(|have| (have / ratio - 1.0).abs() < 1e-12)
    }

    /// Ways to give `sets` sets a base ratio each; as large as can be where that is more than fits.
    pub fn points(&self, sets: usize) -> u64 {
        (self.len() as u64).saturating_pow(sets as u32)
    }
}

/// A set of sun and ring, with the first planets that go.
fn some_set(sun: u32, ring: u32, limits: &ToothLimits) -> Option<GearSet> {
    let half = (ring - sun) / 2;
    let planets = (half.saturating_sub(1)..=half + 1).filter(|&planet| planet > 0);
    let made = planets.flat_map(|planet| {
        limits.planets.iter().map(move |&count| GearSet {
            planet: Some(planet),
            planets: Some(count),
            ..GearSet::single(sun, ring)
        })
    });
    made.into_iter().find(|set| broken(set, limits).is_none())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::teeth::Catalogue;

    #[test]
    fn it_has_the_base_ratios_of_the_catalogue() {
        for odd_planet in [false, true] {
            let limits = ToothLimits { ring: (48, 80), odd_planet, ..ToothLimits::default() };
            let list = SetList::of(&limits, &|| false).unwrap();
            let catalogue = Catalogue::build(&limits);
            assert!(list.len() > 50);
            assert_eq!(list.ratios, catalogue.ratios());
            assert_eq!(list.find(&list.set(7)), Some(7));
        }
        assert!(SetList::of(&ToothLimits::default(), &|| true).is_none());
    }
}
