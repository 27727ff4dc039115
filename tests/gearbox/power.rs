//! Power of members, clutches and shafts: sums that vanish, and power that runs in circles.

use coaxle::motion::{
    Branch, PowerFlow, Station, outer_planet_speed, power_flow, solve_state, solve_torques,
};
use coaxle::num::{Fraction, fraction};
use coaxle::train::{ElementMask, Grip, Layout, Member, Role, parse_layout};
use num_traits::{One, Signed, Zero};
use proptest::prelude::*;

fn flow_of(layout: &Layout, engaged: ElementMask) -> Option<PowerFlow> {
    let motion = solve_state(layout, engaged);
    Some(power_flow(layout, &motion, &solve_torques(layout, &motion)?))
}

const TWO_SETS: &str = include_str!("../layouts/two-sets.toml");

/// Gear 1 by hand, ρ = 11/5: T_S1 = 5/11 at ω_S = −121/135, R1 takes all of the input at
/// ω = 1, C1 gives 16/11 · 11/27; set 2 hands what the suns bring to its ring.
#[test]
fn first_gear_by_hand() {
    let layout = parse_layout(TWO_SETS).unwrap();
    let flow = flow_of(&layout, ElementMask::of([0, 3])).unwrap();
    let expected = [
        [fraction(-11, 27), fraction(1, 1), fraction(-16, 27)],
        [fraction(11, 27), fraction(-11, 27), fraction(0, 1)],
    ];
    for (found, expected) in flow.members.iter().flatten().zip(expected.iter().flatten()) {
        assert_eq!(found.as_ref(), Some(expected));
    }
    // A gives all of the input to the front ring: minus what it gives to the input shaft.
    assert_eq!(flow.elements[0], Some(fraction(-1, 1)));
    assert_eq!(flow.largest_branch(), Some(fraction(1, 1)));
    assert_eq!(flow.loops, Some(Vec::new()));
    let output = &flow.shafts[1];
    assert_eq!(output.through, Some(Fraction::one()));
    let branches = output.branches.clone().unwrap();
    let of = |branch: Branch| branches.iter().find(|(b, _)| *b == branch).unwrap().1.clone();
    assert_eq!(of(Branch::Member(Member::new(0, Role::Carrier))), fraction(16, 27));
    assert_eq!(of(Branch::Member(Member::new(1, Role::Ring))), fraction(11, 27));
    assert_eq!(of(Branch::Outside), fraction(-1, 1));
}

/// Both suns and both carriers joined, one ring held: at 91 : 1 ninety times the input runs
/// from the suns through one set and back through the other.
#[test]
fn coupled_sets_send_power_round() {
    let text = "sets = [{ sun = 30, ring = 90 }, { sun = 30, ring = 91 }]\n[shafts]\n\
                input = [\"C1\", \"C2\"]\noutput = [\"R2\"]\nsuns = [\"S1\", \"S2\"]\n\
                housing = [\"R1\"]\n";
    let layout = parse_layout(text).unwrap();
    let flow = flow_of(&layout, ElementMask::default()).unwrap();
    let loops = flow.loops.clone().unwrap();
    assert_eq!(loops.len(), 1);
    let stations =
        [Station::Shaft(0), Station::Set(1), Station::Shaft(2), Station::Set(0)].to_vec();
    assert_eq!(loops[0].through, stations);
    // T_S = 1 / (ρ2 − ρ1) = 30 at ω_S = 1 + ρ1 = 4: 120 go through the suns.
    assert_eq!(loops[0].power, fraction(120, 1));
    assert!(flow.largest_branch().unwrap() > fraction(100, 1));
    assert_eq!(outer_planet_speed(&layout, &solve_state(&layout, ElementMask::default()), 0), None);
}

/// What is left of the flow when the circles are taken out has none: stations can be put in
/// an order in which power only goes on.
fn runs_on_only(layout: &Layout, flow: &PowerFlow) -> bool {
    let mut arcs: Vec<(Station, Station, Fraction)> = Vec::new();
    for (set, powers) in flow.members.iter().enumerate() {
        for (seat, power) in layout.seats(set).into_iter().zip(powers) {
            if let Some(shaft) = seat {
                arcs.push((Station::Shaft(shaft.0), Station::Set(set), power.clone().unwrap()));
            }
        }
    }
    for (element, power) in layout.elements.iter().zip(&flow.elements) {
        if let Grip::Clutch(first, second) = element.grip {
            arcs.push((Station::Shaft(second.0), Station::Shaft(first.0), power.clone().unwrap()));
        }
    }
    for arc in arcs.iter_mut().filter(|arc| arc.2.is_negative()) {
        *arc = (arc.1, arc.0, -arc.2.clone());
    }
    for one in flow.loops.as_ref().unwrap() {
        let ends = one.through.iter().zip(one.through.iter().cycle().skip(1));
        for (from, to) in ends {
            // Parallel arcs share what is taken.
            let mut left = one.power.clone();
            for arc in arcs.iter_mut().filter(|arc| (arc.0, arc.1) == (*from, *to)) {
                let part = left.clone().min(arc.2.clone());
                arc.2 -= &part;
                left -= part;
            }
            if !left.is_zero() {
                return false;
            }
        }
    }
    arcs.retain(|arc| arc.2.is_positive());
    while !arcs.is_empty() {
        let before = arcs.len();
        let heads: Vec<Station> = arcs.iter().map(|arc| arc.1).collect();
        arcs.retain(|arc| heads.contains(&arc.0));
        if arcs.len() == before {
            return false;
        }
    }
    true
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn power_is_neither_made_nor_lost(layout in crate::common::any_layout()) {
        for engaged in layout.states() {
            let Some(flow) = flow_of(&layout, engaged) else { continue };
            for powers in &flow.members {
                let sum: Fraction = powers.iter().map(|power| power.clone().unwrap()).sum();
                prop_assert!(sum.is_zero());
            }
            for shaft in &flow.shafts {
                let branches = shaft.branches.as_ref().unwrap();
                let sum: Fraction = branches.iter().map(|(_, power)| power).sum();
                prop_assert!(sum.is_zero());
                let sizes: Fraction = branches.iter().map(|(_, power)| power.abs()).sum();
                prop_assert_eq!(sizes, shaft.through.clone().unwrap() * fraction(2, 1));
            }
            for (element, power) in layout.elements.iter().zip(&flow.elements) {
                if let Grip::Brake(_) = element.grip {
                    prop_assert!(power.as_ref().unwrap().is_zero());
                }
            }
        }
    }

    /// Power that only runs on never exceeds the input's; what exceeds it runs round.
    #[test]
    fn circles_are_all_that_exceeds_the_input(layout in crate::common::any_layout()) {
        for engaged in layout.states() {
            let Some(flow) = flow_of(&layout, engaged) else { continue };
            let round: Fraction = flow.loops.iter().flatten().map(|one| one.power.clone()).sum();
            prop_assert!(flow.largest_branch().unwrap() <= Fraction::one() + round);
            prop_assert!(runs_on_only(&layout, &flow));
        }
    }
}
