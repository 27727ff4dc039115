//! All cores of a family, sifted, and what is left in classes of twins.

use std::collections::BTreeMap;

use rayon::prelude::*;
use rustc_hash::FxHashSet;

use super::cells::CellGrid;
use super::ladder::Ladder;
use super::sieve::Sieve;
use super::sift::{SiftCount, sift};
use super::states::{CoreStates, states_of};
use super::twins::{ClassKeys, Namer, TwinMember};
use super::watch::Watch;
use super::{CoreFamily, RatioFunction};
use crate::train::Core;

/// Classes of layouts with one number of sets and of elements.
pub struct Batch {
    pub cores: Vec<Core>,
    pub sets: usize,
    /// Elements that a state engages.
    pub engaged: usize,
    pub elements: usize,
    /// In increasing order of their keys; members in the order of their cores and slots.
    pub classes: Vec<(ClassKeys, Vec<TwinMember>)>,
    pub count: SiftCount,
}

/// Sifts every core of `family` for one number of elements. `None` when the watch says
/// stop before the end.
pub fn gather(
    family: CoreFamily,
    elements: usize,
    grid: &CellGrid,
    ladder: &Ladder,
    watch: &Watch<'_>,
) -> Option<Batch> {
    let cores = family.cores();
    let engaged = cores.first().map_or(0, Core::engaged);
    let combinations = states_of(elements, engaged);
    let sieve = Sieve::new(grid, &functions_of(&cores, watch)?, ladder, watch)?;
    watch.progress().phase("sifting cores", cores.len() as u64);
    let member_size = size_of::<(ClassKeys, TwinMember)>() + combinations.len() * size_of::<u64>();
    let sifted: Option<Vec<_>> = cores
        .par_iter()
        .enumerate()
        .map(|(index, core)| {
            if watch.should_stop() {
                return None;
            }
            let sifted = sift_core(index as u32, core, elements, &sieve, &combinations);
            watch.takes(sifted.1.len() * member_size);
            watch.progress().tick(1);
            Some(sifted)
        })
        .collect();
    let mut classes: BTreeMap<ClassKeys, Vec<TwinMember>> = BTreeMap::new();
    let mut count = SiftCount::default();
    for (core_count, members) in sifted? {
        count.add(&core_count);
        for (keys, member) in members {
            classes.entry(keys).or_default().push(member);
        }
    }
    watch.gives_back(sieve.size());
    let sets = usize::from(family.sets);
    let classes = classes.into_iter().collect();
    Some(Batch { cores, sets, engaged, elements, classes, count })
}

/// The keys of all ratio functions of all cores, rising; `None` when the watch says stop.
fn functions_of(cores: &[Core], watch: &Watch<'_>) -> Option<Vec<u64>> {
    watch.progress().phase("listing ratio functions", cores.len() as u64);
    let of_core = |core: &Core| {
        watch.progress().tick(1);
        let functions = (!watch.should_stop()).then(|| CoreStates::new(core).functions)?;
        Some(functions.iter().map(RatioFunction::key).collect::<FxHashSet<u64>>())
    };
    let merge = |mut a: FxHashSet<u64>, b: FxHashSet<u64>| {
        a.extend(b);
        Some(a)
    };
    let all = cores.par_iter().map(of_core).try_reduce(FxHashSet::default, merge)?;
    let mut keys: Vec<u64> = all.into_iter().collect();
    keys.sort_unstable();
    Some(keys)
}

fn sift_core(
    index: u32,
    core: &Core,
    elements: usize,
    sieve: &Sieve<'_>,
    combinations: &[Vec<usize>],
) -> (SiftCount, Vec<(ClassKeys, TwinMember)>) {
    let states = CoreStates::new(core);
    let sieve_here = sieve.of_core(&states);
    let mut kept = Vec::new();
    let mut windows = 0;
    let mut count =
        sift(&states, elements, sieve.gears(), &vec![true; states.functions.len()], |chosen| {
            let functions = states.functions_of(chosen, combinations);
            if sieve_here.passes(&functions) {
                kept.push((chosen.to_vec(), functions));
            } else {
                windows += 1;
            }
        });
    count.windows = windows;
    if kept.is_empty() {
        return (count, Vec::new());
    }
    let namer = Namer::new(&states, combinations);
    let named = kept.iter().map(|(chosen, functions)| namer.name(index, chosen, functions));
    (count, named.collect())
}
