//! Laws of the judgement on random sets, and a slow oracle for the width needed.

use proptest::prelude::*;

use super::*;
use crate::teeth::{Shifts, WheelKind};
use crate::train::GearSet;

/// Module 1.5, width 15, all of case-hardened steel.
pub(super) fn body_of(set: GearSet) -> SetBody {
    let steel = Material::find("case-hardened-steel").unwrap();
    SetBody {
        set,
        shifts: Shifts::default(),
        module_mm: 1.5,
        pressure_angle_deg: 20.0,
        width_mm: 15.0,
        sun: steel,
        planet: steel,
        ring: steel,
        pin_mm: None,
        plates: None,
    }
}

/// 45 N m at 1000 rpm, the carrier at 500.
pub(super) const LOAD: SetLoad =
    SetLoad { sun_torque_nm: 45.0, sun_to_carrier_rpm: 1000.0, carrier_rpm: 500.0 };

/// Single and paired sets of plausible teeth.
pub(super) fn sets() -> impl Strategy<Value = GearSet> {
    let single = (12u32..60, 12u32..50, 1u32..7).prop_map(|(sun, planet, planets)| GearSet {
        planets: Some(planets),
        ..GearSet::single(sun, sun + 2 * planet)
    });
    let paired = (20u32..50, 12u32..24, 12u32..24, 1u32..6, 0u32..12).prop_map(
        |(sun, inner, outer, planets, off)| GearSet {
            planet: Some(inner),
            outer_planet: Some(outer),
            planets: Some(planets),
            // Up to the ring at which both planets stand in line.
            ..GearSet::paired(sun, sun + 2 * (inner + outer) - off)
        },
    );
    prop_oneof![single, paired]
}

fn materials() -> impl Strategy<Value = &'static Material> {
    (0..MATERIALS.len()).prop_map(|index| &MATERIALS[index])
}

fn bodies() -> impl Strategy<Value = SetBody> {
    let shift = prop_oneof![Just(0.0), -0.5f64..0.5];
    let size = (0.5f64..6.0, 2f64..80.0, 14.5f64..28.0, prop::option::of(2f64..30.0));
    (sets(), shift, size, materials(), materials(), materials())
        .prop_map(
            |(set, x, (module_mm, width_mm, pressure_angle_deg, pin_mm), sun, planet, ring)| {
                SetBody {
                    set,
                    shifts: Shifts { sun: -x, planet: x, ring: x },
                    module_mm,
                    pressure_angle_deg,
                    width_mm,
                    sun,
                    planet,
                    ring,
                    pin_mm,
                    plates: None,
                }
            },
        )
        .prop_filter("wheels that mesh", |body| super::meshes::Meshes::of(body).is_ok())
}

fn loads() -> impl Strategy<Value = SetLoad> {
    (0.01f64..3000.0, any::<bool>(), -6000f64..6000.0, -6000f64..6000.0).prop_map(
        |(torque, back, sun_to_carrier_rpm, carrier_rpm)| SetLoad {
            sun_torque_nm: if back { -torque } else { torque },
            sun_to_carrier_rpm,
            carrier_rpm,
        },
    )
}

fn demands() -> impl Strategy<Value = Demand> {
    let makings = [Making::Ground, Making::Hobbed, Making::Milled, Making::Cast];
    let making = prop::option::of(prop::sample::select(makings.to_vec()));
    (1f64..2.0, prop::option::of(1f64..2.0), making, 0.5f64..3.0).prop_map(
        |(application, sharing, making, safety)| Demand {
            application,
            sharing,
            making,
            safety,
            ..Demand::default()
        },
    )
}

/// The slow oracle: the width at which the least safety that [`judge`] tells is the one
/// asked for, by bisection on the logarithm; knows no formula.
fn bisected(body: &SetBody, load: &SetLoad, demand: &Demand) -> f64 {
    let holds = |width_mm: f64| {
        let found = judge(&SetBody { width_mm, ..*body }, load, demand).unwrap();
        let mut least = f64::INFINITY;
        for mesh in &found.meshes {
            for tooth in mesh.bending {
                least = least.min(tooth.allowable_mpa / tooth.stress_mpa);
            }
            least = least.min(mesh.contact.allowable_mpa / mesh.contact.stress_mpa);
        }
        least >= demand.safety
    };
    let (mut low, mut high) = (1e-3f64, 1e5f64);
    for _ in 0..80 {
        let middle = (low * high).sqrt();
        if holds(middle) {
            high = middle;
        } else {
            low = middle;
        }
    }
    high
}

fn near(one: f64, two: f64) -> bool {
    (one - two).abs() <= 1e-9 * one.abs().max(two.abs())
}

proptest! {
    #[test]
    fn width_needed_is_the_bisected_one(
        body in bodies(), load in loads(), demand in demands(),
    ) {
        let quick = width_needed(&body, &load, &demand).unwrap();
        prop_assume!((2e-3..5e4).contains(&quick));
        let slow = bisected(&body, &load, &demand);
        prop_assert!((quick / slow - 1.0).abs() < 1e-7, "{} {}", quick, slow);
    }

    /// The law of a set tells the same as the judgement of each load.
    #[test]
    fn the_law_of_widths_is_the_judgement(
        body in bodies(), load in loads(), demand in demands(),
    ) {
        let law = WidthLaw::new(&body, &demand).unwrap();
        let plain = width_needed(&body, &load, &demand).unwrap();
        prop_assert!(near(law.width(&load), plain), "{} {}", law.width(&load), plain);
    }

    /// At the width needed the governing safety is the one asked for, and none is less.
    #[test]
    fn at_the_width_needed_the_safety_is_the_one_asked_for(
        body in bodies(), load in loads(), demand in demands(),
    ) {
        let told = judge(&body, &load, &demand).unwrap();
        let width_mm = width_needed(&body, &load, &demand).unwrap();
        prop_assert_eq!(told.width_needed_mm, width_mm);
        prop_assume!((2e-3..5e4).contains(&width_mm));
        let there = judge(&SetBody { width_mm, ..body }, &load, &demand).unwrap();
        prop_assert!(near(there.least_safety().unwrap(), demand.safety));
        prop_assert!(near(there.governing.unwrap().safety, demand.safety));
        prop_assert!(near(there.width_needed_mm, width_mm));
    }

    /// Root stress goes with 1 / b, flank stress with 1 / √b.
    #[test]
    fn stress_falls_with_width(
        body in bodies(), load in loads(), demand in demands(), times in 1.1f64..5.0,
    ) {
        let wide = SetBody { width_mm: body.width_mm * times, ..body };
        let (one, two) = (judge(&body, &load, &demand), judge(&wide, &load, &demand));
        for (one, two) in one.unwrap().meshes.iter().zip(&two.unwrap().meshes) {
            for (one, two) in one.bending.iter().zip(&two.bending) {
                prop_assert!(near(one.stress_mpa, two.stress_mpa * times));
            }
            prop_assert!(near(one.contact.stress_mpa, two.contact.stress_mpa * times.sqrt()));
        }
    }

    /// Root stress goes with the torque, flank stress with its root, the width needed with
    /// it; its sign changes nothing.
    #[test]
    fn stress_grows_with_torque(
        body in bodies(), load in loads(), demand in demands(), times in 1.1f64..5.0,
    ) {
        let back = SetLoad { sun_torque_nm: -load.sun_torque_nm, ..load };
        let told = judge(&body, &load, &demand).unwrap();
        prop_assert_eq!(&told, &judge(&body, &back, &demand).unwrap());
        let more = SetLoad { sun_torque_nm: load.sun_torque_nm * times, ..load };
        let (one, two) = (told, judge(&body, &more, &demand).unwrap());
        prop_assert!(near(one.width_needed_mm * times, two.width_needed_mm));
        for (one, two) in one.meshes.iter().zip(&two.meshes) {
            prop_assert!(near(one.bending[0].stress_mpa * times, two.bending[0].stress_mpa));
            prop_assert!(near(one.contact.stress_mpa * times.sqrt(), two.contact.stress_mpa));
        }
    }

    /// More planets never raise the force of a mesh but through K_γ.
    #[test]
    fn more_planets_share_the_load(body in bodies(), load in loads(), planets in 1u32..8) {
        for demand in [Demand::default(), Demand { sharing: Some(1.0), ..Demand::default() }] {
            let force = |planets: u32| {
                let set = GearSet { planets: Some(planets), ..body.set };
                judge(&SetBody { set, ..body }, &load, &demand).unwrap().loads
            };
            let (few, many) = (force(planets), force(planets + 1));
            let relative = many.sharing / few.sharing;
            let expected = few.force_n * relative * f64::from(planets) / f64::from(planets + 1);
            prop_assert!(near(many.force_n, expected));
            if demand.sharing.is_some() {
                prop_assert!(many.force_n < few.force_n);
            }
        }
    }

    /// Faster never needs less width; a set that turns as a block is loaded all the same.
    #[test]
    fn speed_adds_to_the_load(body in bodies(), load in loads(), demand in demands()) {
        let block = SetLoad { sun_to_carrier_rpm: 0.0, ..load };
        let told = judge(&body, &block, &demand).unwrap();
        prop_assert!(told.width_needed_mm > 0.0);
        prop_assert!(told.meshes.iter().all(|mesh| mesh.velocity == 1.0));
        prop_assert!(told.pins.iter().all(|pin| pin.sliding_m_s == 0.0));
        let turning = width_needed(&body, &load, &demand).unwrap();
        prop_assert!(turning >= told.width_needed_mm);
    }

    /// Whatever is asked, there is an answer or a fault in words, and no number that is
    /// none.
    #[test]
    fn nothing_panics(
        (sun, ring, planet, outer_planet, planets) in (
            prop_oneof![0u32..120, Just(u32::MAX)],
            prop_oneof![0u32..200, Just(u32::MAX)],
            prop::option::of(prop_oneof![0u32..90, Just(u32::MAX)]),
            prop::option::of(0u32..90),
            prop::option::of(prop_oneof![0u32..9, Just(u32::MAX)]),
        ),
        paired in any::<bool>(),
        odd in prop::array::uniform8(prop_oneof![
            4 => 0.1f64..30.0,
            1 => Just(0.0), 1 => Just(f64::NAN), 1 => Just(f64::INFINITY), 1 => Just(-1e300),
            1 => Just(1e9), 1 => Just(1e-9), 1 => -2f64..2.0,
        ]),
    ) {
        let base = if paired { GearSet::paired(sun, ring) } else { GearSet::single(sun, ring) };
        let set = GearSet { planet, outer_planet, planets, ..base };
        let [module_mm, width_mm, angle, pin, x, torque, speed, application] = odd;
        let shifts = Shifts { sun: -x / 20.0, planet: x / 20.0, ring: x };
        let body = SetBody {
            shifts, module_mm, width_mm, pressure_angle_deg: 14.0 + angle, pin_mm: Some(pin),
            ..body_of(set)
        };
        let load = SetLoad { sun_torque_nm: torque, sun_to_carrier_rpm: speed, carrier_rpm: speed };
        let demand = Demand { application, ..Demand::default() };
        match judge(&body, &load, &demand) {
            Err(fault) => prop_assert!(!fault.to_string().is_empty()),
            Ok(told) => {
                prop_assert_eq!(width_needed(&body, &load, &demand), Ok(told.width_needed_mm));
                for factor in told.factors() {
                    prop_assert!(factor.value.is_finite(), "{:?}", factor);
                }
            }
        }
    }
}

#[test]
fn no_load_asks_for_no_width() {
    let load = SetLoad { sun_torque_nm: 0.0, ..LOAD };
    let body = body_of(GearSet::single(30, 66));
    let told = judge(&body, &SetLoad { carrier_rpm: 0.0, ..load }, &Demand::default()).unwrap();
    assert_eq!(told.width_needed_mm, 0.0);
    assert_eq!(width_needed(&body, &load, &Demand::default()), Ok(0.0));
    assert_eq!((told.governing, told.least_safety()), (None, None));
    assert_eq!((told.pins[0].diameter_mm, told.pins[0].stress_mpa), (0.0, 0.0));
    assert_eq!((told.speeds.sliding_rpm, told.speeds.pv_rpm), (None, None));
    assert!(told.factors().iter().all(|factor| factor.value.is_finite()));
}

/// One set by longhand from end to end: 30/18/66, module 1.5, width 15, 45 N m, three
/// planets, K_γ 1.1, K_A 1.25, sun at 1000 rpm, milled.
///
/// F_t = 733.33, v = 2.3562, K_v = 8.4562 / 6.1 = 1.38626, F = 733.33 · 1.25 · 1.38626 =
/// 1270.74 N. Sun: Y = 0.484 − 2.87 / 30 = 0.388333, σ_F = 1270.74 / (15 · 1.5 · 0.388333)
/// = 145.44 MPa of 350. Planet: Y = 0.484 − 2.87 / 18 = 0.324556, σ_F = 174.02 MPa of 245:
/// 10.654 mm. Ring: Y = 0.484 − 2.2 / 66 = 0.450667, 125.32 MPa. Contact, sun: d₁ = 27, u = 30/18, Z_E Z_H =
/// 189.81 · 2.4946 = 473.50, σ_H = 473.50 √(1270.74 · 1.6 / (15 · 27)) = 1060.9 MPa of 1300:
/// 15 · (1060.9 / 1300)² = 9.990 mm. Contact, ring: u = 66/18, 1 − 1/u = 0.727273, σ_H =
/// 473.50 √(1270.74 · 0.727273 / 405) = 715.3 MPa.
#[test]
fn a_set_by_longhand() {
    let body = body_of(GearSet { planets: Some(3), ..GearSet::single(30, 66) });
    let told = judge(&body, &LOAD, &Demand::default()).unwrap();
    let [sun, ring] = told.meshes[..] else { panic!("two meshes") };
    let close = |found: f64, by_hand: f64| {
        assert!((found / by_hand - 1.0).abs() < 2e-4, "{found} {by_hand}");
    };
    close(sun.force_n, 1270.74);
    close(sun.bending[0].stress_mpa, 145.44);
    close(sun.bending[1].stress_mpa, 174.02);
    close(sun.bending[1].allowable_mpa, 245.0);
    close(sun.contact.stress_mpa, 1060.9);
    close(sun.contact.width_needed_mm, 9.990);
    close(ring.bending[0].stress_mpa, 174.02);
    close(ring.bending[1].stress_mpa, 125.32);
    close(ring.contact.stress_mpa, 715.3);
    close(told.width_needed_mm, 10.654);
    assert_eq!(told.governing.unwrap().limit, Limit::Bending(WheelKind::Planet));
    assert_eq!(told.width_range_mm, (12.0, 18.0));
    // Every letter that a reader needs to do it again is among the rows.
    let rows = told.factors();
    for symbol in ["T_S", "N", "K_γ", "K_A", "K_v", "Y", "Y_M", "Z_E", "Z_H", "u", "d_1", "p v"] {
        assert!(rows.iter().any(|row| row.symbol == symbol), "{symbol}");
    }
    assert!(rows.iter().all(|row| !row.source.is_empty() && !row.name.is_empty()));
}

/// A pair has three meshes and two pins; both planets bend to and fro.
#[test]
fn a_paired_set() {
    let set = GearSet {
        planet: Some(18),
        outer_planet: Some(20),
        planets: Some(3),
        ..GearSet::paired(36, 84)
    };
    let told = judge(&body_of(set), &LOAD, &Demand::default()).unwrap();
    assert_eq!((told.meshes.len(), told.pins.len()), (3, 2));
    assert_eq!(told.meshes[1].bending.map(|tooth| tooth.reversal), [0.7, 0.7]);
    assert_eq!(
        told.meshes[2].bending.map(|tooth| tooth.wheel),
        [WheelKind::OuterPlanet, WheelKind::Ring]
    );
    assert_eq!(told.loads.outer_planet_rpm, Some(1800.0));
    let unnamed = judge(&body_of(GearSet::paired(36, 84)), &LOAD, &Demand::default());
    assert_eq!(unnamed, Err(Fault::Wheels));
    let few = judge(&body_of(GearSet::single(9, 66)), &LOAD, &Demand::default());
    assert_eq!(few, Err(Fault::FewTeeth { wheel: WheelKind::Sun, teeth: 9, least: 10 }));
    assert!(few.unwrap_err().to_string().contains("sun has 9 teeth"));
}
