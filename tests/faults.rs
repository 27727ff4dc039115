//! Failing elements and shifts: a worked example, and laws.

mod common;

use coaxle::motion::{Duty, Effect, Failure, MeshEfficiency, Status, faults, shifts, solve_state};
use coaxle::num::{Fraction, fraction};
use coaxle::train::{ElementMask, Layout, parse_layout};
use num_traits::Zero;
use proptest::prelude::*;

fn two_sets() -> Layout {
    parse_layout(include_str!("layouts/two-sets.toml")).unwrap()
}

/// Gears 1 = A D, 2 = A C, 3 = A B, R = B D.
#[test]
fn every_fault_of_two_sets() {
    let layout = two_sets();
    let found = faults(&layout);
    assert_eq!(found.len(), 8);
    let of = |element: usize, failure: Failure| {
        found.iter().find(|fault| (fault.element, fault.failure) == (element, failure)).unwrap()
    };
    let kept = || Effect::Kept { free: false };
    let lost = || Effect::Lost(Status::Loose);
    let locked = || Effect::Lost(Status::Locked);
    // A: the way from the input to the front ring.
    assert_eq!(of(0, Failure::CannotEngage).gears, [lost(), lost(), lost(), kept()]);
    assert_eq!(of(0, Failure::StaysEngaged).gears, [kept(), kept(), kept(), locked()]);
    // C brakes the suns: reverse and direct drive need them free.
    assert_eq!(of(2, Failure::CannotEngage).gears, [kept(), lost(), kept(), kept()]);
    assert_eq!(of(2, Failure::StaysEngaged).gears, [locked(), kept(), locked(), locked()]);
    // With C stuck, opening D makes second of first, opening B makes second of third.
    let instead: Vec<_> = of(2, Failure::StaysEngaged)
        .instead
        .iter()
        .map(|instead| (instead.gear, instead.opened, instead.ratio.clone()))
        .collect();
    assert_eq!(instead, [(0, 3, fraction(16, 11)), (2, 1, fraction(16, 11))]);
}

/// A part without load runs free when its element fails, and the gear is kept.
#[test]
fn an_element_without_torque_is_not_missed() {
    let text = r#"
        sets = [{ sun = 30, ring = 66 }, { sun = 30, ring = 66 }]
        [shafts]
        input = ["S1", "S2"]
        output = ["C1"]
        ring = ["R1"]
        idle-carrier = ["C2"]
        idle-ring = ["R2"]
        [elements]
        A = { brake = "ring" }
        B = { brake = "idle-carrier" }
        [gears]
        1 = ["A", "B"]
    "#;
    let layout = parse_layout(text).unwrap();
    let found = faults(&layout);
    assert_eq!(found[0].gears, [Effect::Lost(Status::Loose)]);
    assert_eq!(found[2].gears, [Effect::Kept { free: true }]);
    assert_eq!(found[3].gears, [Effect::Kept { free: false }]);
}

/// First to second: D opens and C closes. Suns at −121/135 in first come to rest; the output
/// keeps 11/27, so the input falls to 16/27 of its speed.
#[test]
fn first_to_second_by_hand() {
    let found = shifts(&two_sets(), &[0, 1, 2]);
    assert_eq!(found.len(), 3);
    let shift = &found[0];
    assert_eq!((shift.from, shift.to), (0, 1));
    assert_eq!((shift.released, shift.applied), (ElementMask::of([3]), ElementMask::of([2])));
    assert!(shift.is_single());
    let [a, c, d] = &shift.elements[..] else { panic!("A stays, C and D change") };
    assert_eq!((a.element, c.element, d.element), (0, 2, 3));
    assert_eq!(a.speed_change, fraction(16, 27) - fraction(1, 1));
    assert_eq!(c.slip_before, fraction(-121, 135));
    assert_eq!(c.speed_change, fraction(121, 135));
    assert!(c.slip_after.is_zero() && d.slip_before.is_zero() && a.slip_after.is_zero());
    // The rear carrier: ω_C = ρ ω_R / (1 + ρ) with the suns at rest.
    assert_eq!(d.slip_after, fraction(11, 16) * fraction(11, 27));
}

fn with_every_state_a_gear(mut layout: Layout) -> Layout {
    let states: Vec<ElementMask> = layout.states().collect();
    layout.gears = states
        .into_iter()
        .map(|engaged| coaxle::train::Gear { name: format!("{:b}", engaged.0), engaged })
        .collect();
    layout
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1000))]

    /// An element is missed exactly when it carries torque: the torque of a constraint is
    /// the factor with which it enters the output's speed.
    #[test]
    fn what_carries_torque_is_missed(layout in common::any_layout()) {
        let layout = with_every_state_a_gear(layout);
        for fault in faults(&layout).iter().filter(|f| f.failure == Failure::CannotEngage) {
            for (gear, effect) in layout.gears.iter().zip(&fault.gears) {
                let duty = Duty::plain(&layout, gear.engaged, &MeshEfficiency::default());
                let Some(duty) = duty else {
                    prop_assert_eq!(effect, &Effect::Dead);
                    continue;
                };
                let loaded = duty.loaded.unwrap().contains(fault.element);
                let kept = matches!(effect, Effect::Kept { .. });
                prop_assert_eq!(kept, !loaded, "{:?}", effect);
            }
        }
    }

    /// One more constraint than needed: it holds already, or the input is locked.
    #[test]
    fn what_stays_engaged_locks_or_changes_nothing(layout in common::any_layout()) {
        let layout = with_every_state_a_gear(layout);
        for fault in faults(&layout).iter().filter(|f| f.failure == Failure::StaysEngaged) {
            for (gear, effect) in layout.gears.iter().zip(&fault.gears) {
                let motion = solve_state(&layout, gear.engaged);
                if motion.status != Status::Live {
                    continue;
                }
                let rests = motion.slip(&layout.elements[fault.element]).unwrap().is_zero();
                let expected = match rests {
                    true => Effect::Kept { free: false },
                    false => Effect::Lost(Status::Locked),
                };
                prop_assert_eq!(effect, &expected);
            }
            for instead in &fault.instead {
                let engaged = layout.gears[instead.gear].engaged;
                prop_assert!(engaged.contains(instead.opened) && !engaged.contains(fault.element));
            }
        }
    }

    /// The output keeps its speed, what is applied comes to rest, and what a shift asks is
    /// undone by the shift back.
    #[test]
    fn shifts_keep_the_output_and_can_be_undone(layout in common::any_layout()) {
        let layout = with_every_state_a_gear(layout);
        let all: Vec<usize> = (0..layout.gears.len()).take(8).collect();
        let back: Vec<usize> = all.iter().rev().copied().collect();
        let (up, down) = (shifts(&layout, &all), shifts(&layout, &back));
        prop_assert_eq!(up.len(), down.len());
        for shift in &up {
            let other = down.iter().find(|d| (d.from, d.to) == (shift.to, shift.from)).unwrap();
            prop_assert_eq!(shift.released, other.applied);
            let ratio = |gear: usize| solve_state(&layout, layout.gears[gear].engaged).ratio.unwrap();
            let scale: Fraction = ratio(shift.to) / ratio(shift.from);
            for (one, two) in shift.elements.iter().zip(&other.elements) {
                prop_assert_eq!(one.element, two.element);
                prop_assert_eq!(&one.speed_change, &(-&two.speed_change * &scale));
                prop_assert_eq!(&one.slip_after, &(&two.slip_before * &scale));
                prop_assert!(!shift.applied.contains(one.element) || one.slip_after.is_zero());
                prop_assert!(!shift.released.contains(one.element) || one.slip_before.is_zero());
            }
        }
    }
}
