//! Laws of the catalogue: it is what a plain filter by the told conditions leaves.

use std::collections::BTreeSet;

use num_integer::gcd;
use proptest::prelude::*;

use super::*;
use crate::train::{GearSet, SetKind};

type Key = (u32, Option<u32>, u32, Option<u32>);

fn key(set: &GearSet) -> Key {
    (set.sun, set.planet, set.ring, set.planets)
}

/// Every set in plain loops over the ranges, kept where every told condition holds.
fn brute_force(limits: &ToothLimits) -> BTreeSet<Key> {
    let mut kept = BTreeSet::new();
    for sun in limits.sun.0..=limits.sun.1 {
        for ring in limits.ring.0..=limits.ring.1 {
            for planet in limits.planet.0..=limits.planet.1 {
                for &planets in &limits.planets {
                    let ratio = f64::from(ring) / f64::from(sun);
                    let ends = limits.base_ratio;
                    if ring <= sun || ratio < ends.0 || ratio > ends.1 {
                        continue;
                    }
                    let (kind, outer_planet) = (SetKind::Single, None);
                    let (planet, planets) = (Some(planet), Some(planets));
                    let set = GearSet { kind, sun, ring, planet, outer_planet, planets };
                    let small = |most| outer_diameter(&set, limits) <= most;
                    if conditions(&set, limits).iter().all(|c| c.holds)
                        && limits.largest_diameter.is_none_or(small)
                    {
                        kept.insert(key(&set));
                    }
                }
            }
        }
    }
    kept
}

#[test]
fn the_default_catalogue_meets_every_condition() {
    let limits = ToothLimits::default();
    let catalogue = Catalogue::build(&limits);
    assert!(catalogue.len() > 100, "{}", catalogue.len());
    for entry in catalogue.entries() {
        let told = conditions(&entry.set, &limits);
        assert!(told.iter().all(|c| c.holds), "{:?}: {told:#?}", entry.set);
        assert_eq!(entry.outer_diameter, outer_diameter(&entry.set, &limits));
        assert_eq!(entry.shift, profile_shifts(&entry.set, &limits));
        assert_eq!(entry.spacing, Spacing::Equal);
    }
    let fallen: usize = catalogue.funnel().iter().map(|(_, count)| count).sum();
    assert_eq!(fallen + catalogue.entries().len(), catalogue.candidates());
}

#[test]
fn classes_are_exact_ratios_in_rising_order() {
    let catalogue = Catalogue::build(&ToothLimits::default());
    assert!(catalogue.ratios().windows(2).all(|pair| pair[0] < pair[1]));
    let mut counted = 0;
    for (index, &ratio) in catalogue.ratios().iter().enumerate() {
        let class = catalogue.class(index);
        counted += class.len();
        let reduced = |set: &GearSet| {
            let factor = gcd(set.sun, set.ring);
            (set.sun / factor, set.ring / factor)
        };
        assert!(class.iter().all(|e| reduced(&e.set) == reduced(&class[0].set)));
        assert!(class.windows(2).all(|pair| pair[0].preference <= pair[1].preference));
        assert_eq!(catalogue.best(index), &class[0]);
        assert_eq!(catalogue.find(ratio), Some(index));
        assert_eq!(catalogue.nearest(ratio + 1e-9), Some(index));
    }
    assert_eq!(counted, catalogue.entries().len());
    assert_eq!(catalogue.find(2.123_456_789), None);
    assert_eq!(catalogue.nearest(0.0), Some(0));
    assert_eq!(catalogue.nearest(99.0), Some(catalogue.len() - 1));
}

#[test]
fn limits_that_nothing_meets_give_an_empty_catalogue() {
    let limits = ToothLimits { planets: vec![], ..ToothLimits::default() };
    let catalogue = Catalogue::build(&limits);
    assert!(catalogue.is_empty() && catalogue.find(2.0).is_none() && catalogue.ratios().is_empty());
    let none = ToothLimits { largest_diameter: Some(20.0), ..ToothLimits::default() };
    assert!(Catalogue::build(&none).is_empty());
}

#[test]
fn odd_planets_and_unequal_spacing_only_where_allowed() {
    let odd = |e: &&Entry| e.set.ring != e.set.sun + 2 * e.set.planet.unwrap();
    let unequal = |e: &&Entry| e.spacing == Spacing::Unequal;
    let strict = ToothLimits::default();
    let free = ToothLimits { odd_planet: true, unequal_spacing: true, ..strict.clone() };
    let (strict, free) = (Catalogue::build(&strict), Catalogue::build(&free));
    assert_eq!(strict.entries().iter().filter(odd).count(), 0);
    assert_eq!(strict.entries().iter().filter(unequal).count(), 0);
    assert!(free.entries().iter().filter(odd).count() > 100);
    assert!(free.entries().iter().filter(odd).all(|e| e.shift.largest() > 0.0));
    for entry in free.entries().iter().filter(unequal) {
        let step = 360.0 / f64::from(entry.set.sun + entry.set.ring);
        let angles = entry.planet_angles();
        assert_eq!(angles.len(), entry.set.planets.unwrap() as usize);
        assert!(angles.iter().all(|angle| (angle / step - (angle / step).round()).abs() < 1e-9));
        assert_ne!((entry.set.sun + entry.set.ring) % entry.set.planets.unwrap(), 0);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn the_catalogue_is_the_plain_filter(
        sun in 12u32..40,
        ring in 40u32..90,
        numbers in prop::collection::vec(1u32..7, 1..3),
        shift in prop_oneof![Just(0.0), Just(0.5)],
        switches in any::<(bool, bool, bool)>(),
        diameter in prop::option::of(90.0..150.0),
    ) {
        let limits = ToothLimits {
            sun: (sun, sun + 6),
            ring: (ring, ring + 8),
            planet: (10, 40),
            planets: numbers,
            largest_shift: shift,
            odd_planet: switches.0,
            unequal_spacing: switches.1,
            radial_assembly: switches.2,
            largest_diameter: diameter,
            ..ToothLimits::default()
        };
        let catalogue = Catalogue::build(&limits);
        let listed: Vec<Key> = catalogue.entries().iter().map(|e| key(&e.set)).collect();
        let distinct: BTreeSet<Key> = listed.iter().copied().collect();
        prop_assert_eq!(listed.len(), distinct.len());
        prop_assert_eq!(distinct, brute_force(&limits));
    }

    /// The module scales the diameter and nothing else.
    #[test]
    fn the_module_scales_the_diameter(module in 0.5f64..5.0) {
        let unit = ToothLimits { module: 1.0, sun: (24, 30), ..ToothLimits::default() };
        let one = Catalogue::build(&unit);
        let other = Catalogue::build(&ToothLimits { module, ..unit });
        prop_assert_eq!(one.ratios(), other.ratios());
        for (a, b) in one.entries().iter().zip(other.entries()) {
            prop_assert_eq!(a.set, b.set);
            prop_assert!((a.outer_diameter * module - b.outer_diameter).abs() < 1e-9);
        }
    }
}
