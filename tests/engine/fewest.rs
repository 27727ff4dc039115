//! The fewest elements that keep the gears: against every subset of elements, on random
//! layouts.

use crate::common::any_layout;
use coaxle::motion::solve_state;
use coaxle::num::Fraction;
use coaxle::score::{Fewest, fewest_elements};
use coaxle::train::{ElementMask, Gear, Layout, parse_layout};
use proptest::prelude::*;
use proptest::sample::Index;

/// Two equal sets with a common sun. Gear 3 locks them, and A with B does it as well as
/// any two of the three clutches.
const LAYOUT: &str = r#"
[[sets]]
sun = 30
ring = 66
[[sets]]
sun = 30
ring = 66
[shafts]
input = []
output = ["C1", "R2"]
suns = ["S1", "S2"]
front-ring = ["R1"]
rear-carrier = ["C2"]
[elements]
A = { clutch = ["input", "front-ring"] }
B = { clutch = ["input", "suns"] }
C = { brake = "suns" }
D = { brake = "rear-carrier" }
E = { clutch = ["input", "rear-carrier"] }
[gears]
1 = ["A", "D"]
2 = ["A", "C"]
3 = ["A", "E"]
R = ["B", "D"]
"#;

fn ratio(layout: &Layout, state: ElementMask) -> Option<Fraction> {
    solve_state(layout, state).ratio
}

fn mask(layout: &Layout, names: &str) -> ElementMask {
    let place = |name: char| layout.elements.iter().position(|e| e.name == name.to_string());
    ElementMask::of(names.chars().map(|name| place(name).unwrap()))
}

fn within(state: ElementMask, kept: ElementMask) -> bool {
    state.0 & !kept.0 == 0
}

#[test]
fn a_clutch_that_another_pair_replaces_is_left_out() {
    let layout = parse_layout(LAYOUT).unwrap();
    let gears = [("1", "AD"), ("2", "AC"), ("3", "AB"), ("R", "BD")];
    let gears = gears.map(|(name, state)| (name.to_owned(), mask(&layout, state)));
    let expected = Fewest { kept: mask(&layout, "ABCD"), gears: gears.into(), proved: true };
    assert_eq!(fewest_elements(&layout), Some(expected));
}

#[test]
fn what_no_gear_engages_is_left_out() {
    let spare = LAYOUT.replace("3 = [\"A\", \"E\"]", "3 = [\"A\", \"B\"]");
    let layout = parse_layout(&spare).unwrap();
    let fewest = fewest_elements(&layout).unwrap();
    assert_eq!(fewest.kept, mask(&layout, "ABCD"));
    let own: Vec<_> = layout.gears.iter().map(|g| (g.name.clone(), g.engaged)).collect();
    assert_eq!(fewest.gears, own);
}

/// A gear that is not live asks for nothing, and neither does a file without gears.
#[test]
fn without_live_gears_there_is_nothing_to_keep() {
    let head = LAYOUT.split("[gears]").next().unwrap();
    assert_eq!(fewest_elements(&parse_layout(head).unwrap()), None);
    let dead = format!("{head}[gears]\nlocked = [\"B\", \"C\"]\nloose = []\n");
    assert_eq!(fewest_elements(&parse_layout(&dead).unwrap()), None);
    let some = format!("{dead}R = [\"B\", \"D\"]\n");
    let layout = parse_layout(&some).unwrap();
    assert_eq!(fewest_elements(&layout).unwrap().kept, mask(&layout, "BD"));
}

/// Of two clutches that lock the sets, the one that the gear has already stays.
#[test]
fn among_equally_few_the_gears_keep_their_states() {
    let head = LAYOUT.split("[gears]").next().unwrap();
    for (state, kept) in [("\"A\", \"B\"", "AB"), ("\"A\", \"E\"", "AE"), ("\"B\", \"E\"", "BE")] {
        let layout = parse_layout(&format!("{head}[gears]\ndirect = [{state}]\n")).unwrap();
        assert_eq!(fewest_elements(&layout).unwrap().kept, mask(&layout, kept));
    }
}

/// The layout with up to six of its live states as gears.
fn with_gears(mut layout: Layout, picks: &[Index]) -> Layout {
    let live: Vec<ElementMask> =
        layout.states().filter(|&state| ratio(&layout, state).is_some()).collect();
    let numbered = picks.iter().enumerate().filter(|_| !live.is_empty());
    layout.gears = numbered
        .map(|(number, pick)| Gear { name: number.to_string(), engaged: *pick.get(&live) })
        .collect();
    layout
}

/// Fewest kept elements, then fewest ratios that lose all their own states, over all
/// subsets.
fn plain(layout: &Layout) -> Option<(usize, usize)> {
    let wanted: Vec<(ElementMask, Fraction)> = layout
        .gears
        .iter()
        .filter_map(|gear| Some((gear.engaged, ratio(layout, gear.engaged)?)))
        .collect();
    let live: Vec<(ElementMask, Fraction)> =
        layout.states().filter_map(|state| Some((state, ratio(layout, state)?))).collect();
    let subsets = (0..1u32 << layout.elements.len()).map(ElementMask);
    let serving = subsets.filter(|&kept| {
        let served = |i: &Fraction| live.iter().any(|(s, other)| within(*s, kept) && other == i);
        !wanted.is_empty() && wanted.iter().all(|(_, ratio)| served(ratio))
    });
    serving.map(|kept| (kept.len(), moved(&wanted, kept))).min()
}

fn moved(wanted: &[(ElementMask, Fraction)], kept: ElementMask) -> usize {
    let mut lost: Vec<&Fraction> = wanted.iter().map(|(_, ratio)| ratio).collect();
    lost.sort();
    lost.dedup();
    let keeps = |ratio: &Fraction| wanted.iter().any(|(s, i)| i == ratio && within(*s, kept));
    lost.retain(|ratio| !keeps(ratio));
    lost.len()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn no_smaller_subset_does_it(
        layout in any_layout(),
        picks in proptest::collection::vec(any::<Index>(), 1..6),
    ) {
        let layout = with_gears(layout, &picks);
        let Some(fewest) = fewest_elements(&layout) else {
            prop_assert!(layout.gears.is_empty());
            return Ok(());
        };
        prop_assert!(fewest.proved);
        prop_assert_eq!(fewest.gears.len(), layout.gears.len());
        for (gear, (name, state)) in layout.gears.iter().zip(&fewest.gears) {
            prop_assert_eq!(&gear.name, name);
            prop_assert!(within(*state, fewest.kept));
            prop_assert_eq!(state.len(), layout.engaged());
            prop_assert_eq!(ratio(&layout, *state), ratio(&layout, gear.engaged));
        }
        let wanted: Vec<_> = layout
            .gears
            .iter()
            .map(|gear| (gear.engaged, ratio(&layout, gear.engaged).unwrap()))
            .collect();
        let found = (fewest.kept.len(), moved(&wanted, fewest.kept));
        prop_assert_eq!(Some(found), plain(&layout));
    }
}
