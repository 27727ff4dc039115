//! A study of one and two sets against brute force: every labelled wiring, every choice of
//! elements, every pair of sets of the catalogue, every chain of states, one after the other.

use std::collections::BTreeMap;
use std::sync::atomic::AtomicBool;

use coaxle::brief::StudyBrief;
use coaxle::build::nests;
use coaxle::motion::solve_state;
use coaxle::num::to_f64;
use coaxle::search::{Controls, Quiet};
use coaxle::study::{NoStudyLedger, entries, run};
use coaxle::teeth::Catalogue;
use coaxle::train::{Core, ElementMask, GearSet, Layout, Slot};
use itertools::Itertools;
use rayon::prelude::*;

/// Sets, elements, [with a reverse, single swap, must nest], gears.
type Key = (u8, u8, [bool; 3], usize);
/// Widest spread and smallest deviation.
type Best = (f64, f64);

/// All labelled cores of so many sets on so many shafts, the input with members or bare.
fn cores(sets: usize, shafts: u8, bare: bool) -> Vec<Core> {
    let joined = shafts - u8::from(bare);
    let seatings = (0..3 * sets).map(|_| 1..=joined).multi_cartesian_product();
    let fits = |flat: &Vec<u8>| {
        let firsts: Vec<u8> = flat.iter().copied().unique().collect();
        firsts.len() == usize::from(joined)
            && firsts.is_sorted()
            && flat.chunks(3).all(|set| set.iter().all_unique())
    };
    let ends = |flat: Vec<u8>| {
        let seats: Vec<[u8; 3]> = flat.chunks(3).map(|c| [c[0], c[1], c[2]]).collect();
        let inputs = if bare { shafts..=shafts } else { 1..=shafts };
        inputs
            .cartesian_product(1..=joined)
            .filter(|(input, output)| input != output)
            .map(move |(input, output)| Core::new(&seats, shafts, input, output))
            .collect::<Vec<_>>()
    };
    seatings.filter(fits).flat_map(ends).collect()
}

/// The best of every key on one core, over all choices of elements and teeth.
fn on_core(
    brief: &StudyBrief,
    core: &Core,
    engaged: usize,
    teeth: &[GearSet],
) -> BTreeMap<Key, Best> {
    let slots = core.slots();
    let mut best: BTreeMap<Key, Best> = BTreeMap::new();
    let mut nesting: BTreeMap<Vec<usize>, bool> = BTreeMap::new();
    for sets in (0..core.sets()).map(|_| teeth.iter().copied()).multi_cartesian_product() {
        // Every slot an element, so that a state of any layout is a state of this one.
        let all = Layout::from_core(core, &slots, sets);
        let ratios: BTreeMap<Vec<usize>, f64> = (0..slots.len())
            .combinations(engaged)
            .filter_map(|state| {
                let mask = ElementMask::of(state.iter().copied());
                Some((state, to_f64(&solve_state(&all, mask).ratio?)))
            })
            .collect();
        for count in brief.elements.0..=brief.elements.1 {
            for chosen in (0..slots.len()).combinations(usize::from(count)) {
                let live: Vec<(Vec<usize>, f64)> = chosen
                    .iter()
                    .copied()
                    .combinations(engaged)
                    .filter_map(|state| ratios.get(&state).map(|&ratio| (state, ratio)))
                    .collect();
                let back = brief
                    .band
                    .reverse
                    .is_some_and(|window| live.iter().any(|(_, ratio)| within(-ratio, window)));
                for swap in [false, true] {
                    for (gears, (spread, deviation)) in ladders(brief, &live, swap) {
                        let nest = *nesting.entry(chosen.clone()).or_insert_with(|| {
                            let slots: Vec<Slot> = chosen.iter().map(|&slot| slots[slot]).collect();
                            nests(&Layout::from_core(core, &slots, all.sets.clone()))
                        });
                        let asks = [false, true].into_iter().cartesian_product([false, true]);
                        for (reverse, must_nest) in asks {
                            if reverse && !back || must_nest && !nest {
                                continue;
                            }
                            let asked = [reverse, swap, must_nest];
                            let key = (core.sets() as u8, count, asked, gears);
                            let known = best.entry(key).or_insert((0.0, f64::INFINITY));
                            *known = (known.0.max(spread), known.1.min(deviation));
                        }
                    }
                }
            }
        }
    }
    best
}

fn within(value: f64, (least, most): (f64, f64)) -> bool {
    value >= least - 1e-9 && value <= most + 1e-9
}

/// For every number of gears the widest spread and the smallest deviation of all chains.
fn ladders(brief: &StudyBrief, live: &[(Vec<usize>, f64)], swap: bool) -> BTreeMap<usize, Best> {
    let mut found = BTreeMap::new();
    for start in 0..live.len() {
        if within(live[start].1, brief.band.first) {
            longer(brief, live, swap, &mut vec![start], &mut found);
        }
    }
    found
}

fn longer(
    brief: &StudyBrief,
    live: &[(Vec<usize>, f64)],
    swap: bool,
    chain: &mut Vec<usize>,
    found: &mut BTreeMap<usize, Best>,
) {
    let last = chain[chain.len() - 1];
    if chain.len() > 1 && within(live[last].1, brief.band.top) {
        let ratios: Vec<f64> = chain.iter().map(|&state| live[state].1).collect();
        let spread = ratios[0] / ratios[ratios.len() - 1];
        let even = spread.ln() / (ratios.len() - 1) as f64;
        let steps = ratios.iter().tuple_windows().map(|(a, b)| ((a / b).ln() - even).abs());
        let deviation = steps.fold(0.0, f64::max);
        let known = found.entry(chain.len()).or_insert((0.0, f64::INFINITY));
        *known = (known.0.max(spread), known.1.min(deviation));
    }
    for next in 0..live.len() {
        let swapped = live[next].0.iter().filter(|slot| !live[last].0.contains(slot)).count();
        if within(live[last].1 / live[next].1, brief.band.step) && (!swap || swapped == 1) {
            chain.push(next);
            longer(brief, live, swap, chain, found);
            chain.pop();
        }
    }
}

fn brute_force(brief: &StudyBrief) -> BTreeMap<Key, Best> {
    let catalogue = Catalogue::build(&brief.teeth);
    let teeth: Vec<GearSet> = (0..catalogue.len()).map(|i| catalogue.best(i).set).collect();
    assert!((3..=4).contains(&teeth.len()), "{teeth:?}");
    let mut best: BTreeMap<Key, Best> = BTreeMap::new();
    for sets in brief.sets.0..=brief.sets.1 {
        for engaged in brief.engaged.0..=brief.engaged.1 {
            for bare in [false, true] {
                let shafts = sets + 1 + engaged;
                let joined = shafts - u8::from(bare);
                if joined < 3 || joined > 3 * sets {
                    continue;
                }
                let all = cores(sets.into(), shafts, bare);
                let on = |core: &Core| on_core(brief, core, engaged.into(), &teeth);
                for (key, value) in all.par_iter().flat_map(on).collect::<Vec<_>>() {
                    let known = best.entry(key).or_insert((0.0, f64::INFINITY));
                    *known = (known.0.max(value.0), known.1.min(value.1));
                }
            }
        }
    }
    best
}

/// The best with at most so many sets and elements.
fn up_to(best: &BTreeMap<Key, Best>, (sets, elements, asked, gears): Key) -> Option<Best> {
    let fitting = best
        .iter()
        .filter(|((s, e, a, g), _)| *s <= sets && *e <= elements && (*a, *g) == (asked, gears));
    fitting.map(|(_, value)| *value).reduce(|a, b| (a.0.max(b.0), a.1.min(b.1)))
}

/// Compares all entries; returns how many numbers of gears had something to compare.
fn agree(text: &str) -> usize {
    let brief = StudyBrief::parse(text, "oracle").unwrap();
    let stop = AtomicBool::new(false);
    let controls = Controls { threads: None, stop: &stop, progress: &Quiet };
    let course = run(&brief, &controls, &mut NoStudyLedger).unwrap();
    let (entries, _) = entries(&brief, &course);
    let truth = brute_force(&brief);
    let mut compared = 0;
    for entry in &entries {
        let asked = [entry.reverse, entry.single_swap, entry.must_nest];
        let key = |gears| (entry.sets, entry.elements, asked, gears);
        let most = (2..20).filter(|&gears| up_to(&truth, key(gears)).is_some()).max().unwrap_or(0);
        assert_eq!(usize::from(entry.gears), most, "{entry:?}");
        assert!(entry.proved, "{entry:?}");
        // Beside ladders with a reverse, of forward gears alone only the most is asked for: what
        // else was found by the way may be bettered, and says so.
        let by_the_way = !entry.reverse && brief.reverses().len() > 1;
        for gears in 2..=most {
            let expected = up_to(&truth, key(gears));
            let rung = entry.rungs.iter().find(|rung| usize::from(rung.gears) == gears);
            let found = rung.map(|rung| (rung.widest.spread, rung.evenest.deviation));
            if by_the_way && rung.is_none_or(|rung| !rung.all_searched) {
                let within = |(spread, deviation): (f64, f64)| {
                    let (widest, evenest) = expected.unwrap();
                    spread <= widest + 2e-6 && deviation >= evenest - 2e-6
                };
                assert!(found.is_none_or(within), "{expected:?} {found:?} {entry:?}");
                assert!(found.is_some() || gears < most, "{entry:?}");
                compared += 1;
                continue;
            }
            let (Some(expected), Some(found)) = (expected, found) else {
                assert_eq!(expected, found, "{gears} gears: {entry:?}");
                continue;
            };
            assert!((expected.0 - found.0).abs() < 2e-6, "{expected:?} {found:?} {entry:?}");
            assert!((expected.1 - found.1).abs() < 2e-6, "{expected:?} {found:?} {entry:?}");
            assert_eq!(rung.map(|r| (r.all_searched, r.base_ratios)), Some((true, "complete")));
            compared += 1;
        }
    }
    compared
}

#[test]
fn one_and_two_sets_are_what_brute_force_finds() {
    let teeth = |sun: &str| format!("[teeth]\nsun = {sun}\nring = [75, 75]\nplanets = 3\n");
    let usual = "[study]\nsets = [1, 2]\nelements = [3, 5]\nengaged = [1, 2]\n";
    assert!(agree(&format!("{usual}{}", teeth("[20, 48]"))) > 10);
    // Wider, so that there is more to compare, with one set and three elements engaged too.
    let wide = "[study]\nsets = [1, 2]\nelements = [3, 4]\nengaged = [1, 3]\n\
                [band]\nfirst = [0.9, 8.0]\ntop = [0.2, 2.0]\nstep = [1.05, 3.0]\n\
                reverse = [0.3, 9.0]\n";
    assert!(agree(&format!("{wide}{}", teeth("[26, 48]"))) > 10);
    let forward = wide.replace("reverse = [0.3, 9.0]", "reverse = \"none\"");
    assert!(agree(&format!("{forward}{}", teeth("[26, 48]"))) > 10);
}
