//! A search without any cleverness.

use std::collections::BTreeSet;

use coaxle::brief::{Brief, Nesting};
use coaxle::build::nests_wiring;
use coaxle::motion::solve_state;
use coaxle::num::to_f64;
use coaxle::score::{Setting, assess};
use coaxle::teeth::Catalogue;
use coaxle::train::{Core, ElementMask, Gear, GearSet, Layout, Slot, canonical};
use itertools::Itertools;
use rayon::prelude::*;

/// Every labelled core of a family with a bare input: all seatings on exactly the shafts
/// with members, every output.
pub fn labelled_cores(sets: usize, shafts: u8) -> Vec<Core> {
    let with_members = shafts - 1;
    let seatings = (0..3 * sets).map(|_| 1..=with_members).multi_cartesian_product();
    let fits = |flat: &Vec<u8>| {
        let whole = (1..=with_members).all(|seat| flat.contains(&seat));
        // Shafts are numbered by first appearance: one labelling of each partition.
        let firsts: Vec<u8> = flat.iter().copied().unique().collect();
        whole && firsts.is_sorted() && flat.chunks(3).all(|set| set.iter().all_unique())
    };
    seatings
        .filter(fits)
        .flat_map(|flat| {
            let seats: Vec<[u8; 3]> = flat.chunks(3).map(|c| [c[0], c[1], c[2]]).collect();
            (1..=with_members).map(move |output| Core::new(&seats, shafts, shafts, output))
        })
        .collect()
}

pub fn rounded(spelling: &str, (spread, deviation): (f64, f64)) -> (String, i64, i64) {
    let millionths = |value: f64| (value * 1e6).round() as i64;
    (spelling.to_owned(), millionths(spread), millionths(deviation))
}

/// The front of `brief` (two sets, bare input, one number of elements) over all teeth of
/// its catalogue, in spread and step deviation.
pub fn front(brief: &Brief) -> BTreeSet<(String, i64, i64)> {
    let elements = usize::from(brief.space.elements.0);
    let catalogue = Catalogue::build(&brief.teeth);
    let teeth: Vec<GearSet> = (0..catalogue.len()).map(|i| catalogue.best(i).set).collect();
    let must_nest = brief.space.nests == Nesting::Required;
    let points: BTreeSet<(String, i64, i64)> = labelled_cores(2, brief.space.shafts[0])
        .par_iter()
        .flat_map_iter(|core| {
            let layouts = core.slots().into_iter().combinations(elements);
            let layouts = layouts.filter(|slots| !must_nest || nests_wiring(core, slots));
            layouts.flat_map(|slots| points_of(brief, core, &slots, &teeth)).collect::<Vec<_>>()
        })
        .collect();
    let beats = |a: &(String, i64, i64), b: &(String, i64, i64)| {
        a.1 >= b.1 && a.2 <= b.2 && (a.1 > b.1 || a.2 < b.2)
    };
    points.iter().filter(|b| !points.iter().any(|a| beats(a, b))).cloned().collect()
}

fn points_of(
    brief: &Brief,
    core: &Core,
    slots: &[Slot],
    teeth: &[GearSet],
) -> Vec<(String, i64, i64)> {
    let mut points = Vec::new();
    for (&first, &second) in teeth.iter().cartesian_product(teeth) {
        let layout = Layout::from_core(core, slots, vec![first, second]);
        let live: Vec<(ElementMask, f64)> = layout
            .states()
            .filter_map(|state| Some((state, to_f64(&solve_state(&layout, state).ratio?))))
            .collect();
        for chain in ladders(brief, &layout, &live) {
            points.push(rounded(&canonical(core, slots).to_string(), chain));
        }
    }
    points
}

/// Spread and deviation of every ladder whose gears, one of the possible reverses among them, use
/// every element and keep the limits of the brief.
fn ladders(brief: &Brief, layout: &Layout, live: &[(ElementMask, f64)]) -> Vec<(f64, f64)> {
    let wish = &brief.gears;
    let within = |value: f64, window: (f64, f64)| value >= window.0 && value <= window.1;
    let near = |a: ElementMask, b: ElementMask| !wish.single_swap || (a.0 ^ b.0).count_ones() == 2;
    let sequences = live.iter().permutations(wish.forward).filter(|chain| {
        within(chain[0].1, wish.first)
            && within(chain[chain.len() - 1].1, wish.top)
            && chain
                .iter()
                .tuple_windows()
                .all(|(a, b)| within(a.1 / b.1, wish.step) && near(a.0, b.0))
    });
    let reverses: Vec<ElementMask> = live
        .iter()
        .filter(|(_, ratio)| within(-ratio, wish.reverse_ratio))
        .map(|(state, _)| *state)
        .collect();
    let mut ladders = Vec::new();
    for chain in sequences {
        let ratios: Vec<f64> = chain.iter().map(|(_, ratio)| *ratio).collect();
        let used = chain.iter().fold(0, |used, (state, _)| used | state.0);
        let serves = |reverse: &&ElementMask| {
            (used | reverse.0).count_ones() as usize == layout.elements.len()
                && keeps_limits(
                    brief,
                    layout,
                    chain.iter().map(|(state, _)| *state).chain([**reverse]),
                )
        };
        if reverses.iter().any(|reverse| serves(&reverse)) {
            let spread = ratios[0] / ratios[ratios.len() - 1];
            ladders.push((spread, wish.progression.deviation(&ratios)));
        }
    }
    ladders
}

fn keeps_limits(brief: &Brief, layout: &Layout, gears: impl Iterator<Item = ElementMask>) -> bool {
    if brief.limits.is_empty() {
        return true;
    }
    let mut layout = layout.clone();
    layout.gears = gears
        .enumerate()
        .map(|(place, engaged)| Gear { name: place.to_string(), engaged })
        .collect();
    let assessed = assess(&layout, &brief.mesh);
    let setting = Setting { progression: &brief.gears.progression, teeth: &brief.teeth };
    brief.limits.iter().all(|limit| {
        assessed.score(limit.criterion, &layout, &setting).is_some_and(|score| limit.holds(score))
    })
}
