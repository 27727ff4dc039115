//! The nesting test as its model tells it, slow and plain: wheels for the sets, pieces for
//! the shafts, and every way to split tried. An oracle for the fast test; tests only.

use itertools::Itertools;
use proptest::prelude::*;

use super::planar::Graph;
use super::{nests, nests_wiring};
use crate::train::{Core, HOUSING, Slot, parse_layout};

/// Pairs of pieces, one a set on the shaft, that make a tree of the pieces.
fn shapes(carriers: usize) -> Vec<Vec<(usize, usize)>> {
    let pairs: Vec<(usize, usize)> =
        (0..=carriers).array_combinations().map(|[a, b]| (a, b)).collect();
    let choices = (0..carriers).map(|_| pairs.clone()).multi_cartesian_product();
    let tree = |edges: &Vec<(usize, usize)>| {
        let mut label: Vec<usize> = (0..=carriers).collect();
        for &(a, b) in edges {
            let (old, new) = (label[a], label[b]);
            label.iter_mut().filter(|l| **l == old).for_each(|l| *l = new);
        }
        label.iter().all_equal()
    };
    choices.filter(tree).collect()
}

/// Everything that sits on a shaft besides carriers: (what, shaft).
#[derive(Clone, Copy)]
enum Attached {
    Sun(usize),
    Ring(usize),
    Element(usize),
    Outside,
}

fn attachments(core: &Core, slots: &[Slot]) -> Vec<(Attached, u8)> {
    let mut all: Vec<(Attached, u8)> =
        [core.input, core.output, HOUSING].map(|seat| (Attached::Outside, seat)).into();
    for (set, seats) in core.seats().iter().enumerate() {
        all.extend([(Attached::Sun(set), seats[0]), (Attached::Ring(set), seats[1])]);
    }
    for (index, slot) in slots.iter().enumerate() {
        all.extend([
            (Attached::Element(index), slot.first),
            (Attached::Element(index), slot.second),
        ]);
    }
    all
}

/// Number of drawings that [`nests_by_wheels`] may have to try.
fn effort(core: &Core, slots: &[Slot]) -> f64 {
    let carried = carried(core);
    let pieces: f64 = attachments(core, slots)
        .iter()
        .map(|(_, seat)| carried[usize::from(*seat)] as f64 + 1.0)
        .product();
    pieces * carried.iter().map(|&c| shapes(c).len() as f64).product::<f64>()
}

fn carried(core: &Core) -> Vec<usize> {
    let on = |shaft| core.seats().iter().filter(|seats| seats[2] == shaft).count();
    (0..=core.shafts).map(on).collect()
}

fn nests_by_wheels(core: &Core, slots: &[Slot]) -> bool {
    let carried = carried(core);
    let attached = attachments(core, slots);
    let first_piece: Vec<usize> =
        (0..carried.len()).map(|s| carried[..s].iter().map(|c| c + 1).sum()).collect();
    let pieces: usize = carried.iter().map(|c| c + 1).sum();
    let hub = |set: usize| pieces + 5 * set;
    let element = |index: usize| hub(core.sets()) + index;
    let outer = element(slots.len());
    let seats = || attached.iter().map(|&(_, seat)| usize::from(seat));
    let all_shapes = carried.iter().map(|&c| shapes(c)).multi_cartesian_product();
    all_shapes.into_iter().any(|shape| {
        let mut fixed = Graph::new(outer + 1);
        let mut met = vec![0; carried.len()];
        for (set, seats) in core.seats().iter().enumerate() {
            let h = hub(set);
            for rim in 0..4 {
                fixed.join(h, h + 1 + rim);
                fixed.join(h + 1 + rim, h + 1 + (rim + 1) % 4);
            }
            let shaft = usize::from(seats[2]);
            let (left, right) = shape[shaft][met[shaft]];
            met[shaft] += 1;
            fixed.join(h + 2, first_piece[shaft] + left);
            fixed.join(h + 4, first_piece[shaft] + right);
        }
        seats().map(|seat| 0..=carried[seat]).multi_cartesian_product().any(|hung| {
            let mut graph = fixed.clone();
            for ((&(what, _), seat), piece) in attached.iter().zip(seats()).zip(hung) {
                let vertex = match what {
                    Attached::Sun(set) => hub(set) + 1,
                    Attached::Ring(set) => hub(set) + 3,
                    Attached::Element(index) => element(index),
                    Attached::Outside => outer,
                };
                graph.join(vertex, first_piece[seat] + piece);
            }
            graph.is_planar()
        })
    })
}

/// Members of one set never share a shaft here, as in every core of the search. Carriers
/// often share shaft 3, because that is where the fast test has to search.
pub(super) fn random_wiring(
    sets: std::ops::RangeInclusive<usize>,
) -> impl Strategy<Value = (Core, Vec<Slot>)> {
    (sets, 4u8..=6, 2..9usize).prop_flat_map(|(sets, shafts, elements)| {
        let seats = proptest::collection::vec(proptest::array::uniform3(0..=shafts), sets);
        let pairs = proptest::collection::vec((0..=shafts, 1..=shafts), elements);
        let shared = proptest::collection::vec(any::<bool>(), sets);
        (seats, pairs, shared).prop_filter_map(
            "a set joined in itself",
            move |(mut seats, pairs, shared)| {
                for (seats, _) in seats.iter_mut().zip(shared).filter(|(_, shared)| *shared) {
                    seats[2] = 3;
                }
                let apart = seats.iter().all(|seats| seats.iter().all_unique());
                let pairs = pairs.iter().filter(|(a, b)| a != b);
                let slots = pairs.map(|&(a, b)| Slot::clutch(a, b)).collect();
                apart.then(|| (Core::new(&seats, shafts, 1, 2), slots))
            },
        )
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn fast_test_agrees_with_the_wheels((core, slots) in random_wiring(1..=3)) {
        if effort(&core, &slots) < 4000.0 {
            prop_assert_eq!(nests_wiring(&core, &slots), nests_by_wheels(&core, &slots));
        }
    }

    #[test]
    fn taking_an_element_away_never_hurts((core, slots) in random_wiring(2..=4)) {
        if nests_wiring(&core, &slots) {
            for gone in 0..slots.len() {
                let mut fewer = slots.clone();
                fewer.remove(gone);
                prop_assert!(nests_wiring(&core, &fewer));
            }
        }
    }

    #[test]
    fn renaming_changes_nothing((core, slots) in random_wiring(2..=4), turn in 0u8..6) {
        let new = |seat: u8| {
            if seat == HOUSING { seat } else { (seat - 1 + turn) % core.shafts + 1 }
        };
        let seats: Vec<[u8; 3]> = core.seats().iter().rev().map(|seats| seats.map(new)).collect();
        let renamed = Core::new(&seats, core.shafts, new(core.input), new(core.output));
        let moved: Vec<Slot> =
            slots.iter().rev().map(|slot| Slot::clutch(new(slot.second), new(slot.first))).collect();
        prop_assert_eq!(nests_wiring(&core, &slots), nests_wiring(&renamed, &moved));
    }
}

/// Four members of two sets on a ring of clutches, both carriers on one shaft. The ring
/// of clutches fixes in which order sun and ring of the sets stand around the carriers.
fn ring_of_clutches(order: [u8; 4]) -> bool {
    let core = Core::new(&[[1, 3, 5], [2, 4, 5]], 5, 1, 2);
    let around = order.into_iter().circular_tuple_windows();
    let slots: Vec<Slot> = around.map(|(a, b)| Slot::clutch(a, b)).collect();
    assert_eq!(nests_wiring(&core, &slots), nests_by_wheels(&core, &slots));
    nests_wiring(&core, &slots)
}

#[test]
fn two_sets_on_one_carrier_shaft_must_not_cross() {
    assert!(ring_of_clutches([1, 3, 2, 4]), "sun 1, ring 1, sun 2, ring 2");
    assert!(!ring_of_clutches([1, 2, 3, 4]), "sun 1, sun 2, ring 1, ring 2");
}

#[test]
fn a_carrier_may_leave_on_both_sides() {
    // Sun in, carrier out, ring held; a fourth shaft reaches all three. With a set of three
    // legs this is K3,3: {set, fourth shaft, outside} × {sun, carrier, ring}.
    let text = r#"
        sets = [{ sun = 30, ring = 66 }]
        [shafts]
        input = ["S1"]
        output = ["C1"]
        housing = ["R1"]
        fourth = []
        [elements]
        A = { clutch = ["input", "fourth"] }
        B = { clutch = ["fourth", "output"] }
        C = { brake = "fourth" }
    "#;
    let layout = parse_layout(text).unwrap();
    assert!(nests(&layout));
    let mut three_legs = Graph::new(6);
    (0..3).cartesian_product(3..6).for_each(|(a, b)| three_legs.join(a, b));
    assert!(!three_legs.is_planar());
}

#[test]
fn a_crossing_through_the_outside_does_not_nest() {
    // {two inner shafts, outside} × {input, output, housing}.
    let core = Core::new(&[[3, 4, 5]], 5, 1, 2);
    let mut slots = vec![Slot::brake(3), Slot::brake(4)];
    slots.extend([(1, 3), (1, 4), (2, 3), (2, 4)].map(|(a, b)| Slot::clutch(a, b)));
    assert!(!nests_wiring(&core, &slots));
    for gone in 0..slots.len() {
        let mut fewer = slots.clone();
        fewer.remove(gone);
        assert!(nests_wiring(&core, &fewer), "without {:?}", slots[gone]);
    }
}

#[test]
fn sets_in_series_nest() {
    // Suns joined, front carrier with rear ring, two clutches and two brakes.
    let core = Core::new(&[[3, 4, 2], [3, 2, 5]], 5, 1, 2);
    let slots = [Slot::clutch(1, 4), Slot::clutch(1, 3), Slot::brake(3), Slot::brake(5)];
    assert!(nests_wiring(&core, &slots));
    // Carrier on ring and ring on carrier, a lock-up clutch and two brakes.
    let crossed = Core::new(&[[1, 3, 2], [4, 2, 3]], 4, 1, 2);
    let slots = [Slot::clutch(1, 3), Slot::clutch(1, 4), Slot::brake(3), Slot::brake(4)];
    assert!(nests_wiring(&crossed, &slots));
    // Three sets, each carrier on the next ring, all rings but the last braked.
    let three = Core::new(&[[1, 4, 5], [1, 5, 6], [1, 6, 2]], 6, 1, 2);
    assert!(nests_wiring(&three, &[Slot::brake(4), Slot::brake(5), Slot::brake(6)]));
}
