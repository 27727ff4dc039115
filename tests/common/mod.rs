//! What several test files share: random layouts, and slow plain oracles.

#![allow(dead_code)] // Each test file uses its own part.

pub mod plain;

use coaxle::train::{Core, GearSet, Layout, SetKind, Slot};
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
