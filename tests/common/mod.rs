//! What several houses of tests share: random layouts, and slow plain oracles.

#![allow(dead_code)] // Each house uses its own part.

pub mod arithmetic;
pub mod exam;
pub mod plain;
pub mod superposed;

use coaxle::train::{Core, ElementMask, Gear, GearSet, Layout, SetKind, Slot};
use proptest::prelude::*;
use proptest::sample::subsequence;

/// Any wiring of `sets` sets on `shafts` shafts: members of a set on different shafts or,
/// rarely, in the housing; input and output different; some distinct slots.
pub fn any_wiring() -> impl Strategy<Value = (Core, Vec<Slot>)> {
    (1usize..=4)
        .prop_flat_map(|sets| (Just(sets), sets as u8 + 1..=2 * sets as u8 + 1))
        .prop_flat_map(|(sets, shafts)| {
            let places: Vec<u8> = (0..=shafts.max(2)).collect();
            let seats = proptest::collection::vec(
                (subsequence(places, 3), Just([0usize, 1, 2]).prop_shuffle())
                    .prop_map(|(places, order)| order.map(|index| places[index])),
                sets,
            );
            let ends = subsequence((1..=shafts).collect::<Vec<_>>(), 2);
            (seats, ends, any::<bool>(), Just(shafts), any::<u64>())
        })
        .prop_flat_map(|(seats, ends, swap, shafts, kinds)| {
            let (input, output) = if swap { (ends[1], ends[0]) } else { (ends[0], ends[1]) };
            let kind = move |set: usize| match kinds >> set & 1 {
                0 => SetKind::Single,
                _ => SetKind::Paired,
            };
            let core =
                Core::new(&seats, shafts, input, output).with_kinds((0..seats.len()).map(kind));
            let slots = core.slots();
            let most = slots.len().min(6);
            (Just(core), subsequence(slots, core.engaged().min(most)..=most))
        })
}

/// Any layout, with teeth that need not assemble.
pub fn any_layout() -> impl Strategy<Value = Layout> {
    any_wiring().prop_flat_map(|(core, slots)| {
        proptest::collection::vec((12u32..40, 2u32..70), core.sets()).prop_map(move |teeth| {
            let sets = teeth.iter().enumerate().map(|(set, &(sun, more))| match core.kind(set) {
                SetKind::Single => GearSet::single(sun, sun + more),
                SetKind::Paired => GearSet::paired(sun, sun + more),
            });
            Layout::from_core(&core, &slots, sets.collect())
        })
    })
}

/// Any layout, mostly with planets, every set of its elements a gear: live, locked, loose
/// and overdetermined states. Teeth are now and then too many for machine words.
pub fn any_layout_with_every_state() -> impl Strategy<Value = Layout> {
    let planets = proptest::option::weighted(0.9, 10u32..40);
    let planets = proptest::collection::vec((planets.clone(), planets), 4);
    let scale = prop_oneof![9 => Just(1u32), 1 => Just(100_000), 1 => Just(20_000_000)];
    (any_layout(), planets, scale).prop_map(|(mut layout, planets, scale)| {
        for (set, (inner, outer)) in layout.sets.iter_mut().zip(planets) {
            (set.sun, set.ring) = (set.sun * scale, set.ring * scale - u32::from(scale > 1));
            set.planet = inner;
            set.outer_planet = outer.filter(|_| set.kind == SetKind::Paired);
        }
        let gear = |engaged| Gear { name: format!("{engaged:b}"), engaged: ElementMask(engaged) };
        layout.gears = (0..1 << layout.elements.len()).map(gear).collect();
        layout
    })
}
