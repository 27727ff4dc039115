//! All cores of a family, sifted, and what is left in classes of twins.

use std::collections::BTreeMap;
use std::sync::atomic::{AtomicU64, Ordering};

use rayon::prelude::*;
use rustc_hash::FxHashSet;

use super::cells::CellGrid;
use super::ladder::Ladder;
use super::sieve::Sieve;
use super::sift::{CoreStates, SiftCount, sift, states_of};
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

/// Rough size in memory of one member of a class, bytes.
const MEMBER_SIZE: u64 = 64;

/// Sifts every core of `family` for one number of elements. `None` when the watch says
/// stop before the end. Memory in use is added to `memory`, in bytes.
pub fn gather(
    family: CoreFamily,
    elements: usize,
    grid: &CellGrid,
    ladder: &Ladder,
    watch: &Watch<'_>,
    memory: &AtomicU64,
) -> Option<Batch> {
    let cores = family.cores();
    let engaged = cores.first().map_or(0, Core::engaged);
    let combinations = states_of(elements, engaged);
    let sieve = Sieve::new(grid, &functions_of(&cores), ladder);
    watch.progress().phase("sifting cores", cores.len() as u64);
    let sifted: Option<Vec<_>> = cores
        .par_iter()
        .enumerate()
        .map(|(index, core)| {
            if watch.should_stop(memory.load(Ordering::Relaxed)) {
                return None;
            }
            let sifted = sift_core(index as u32, core, elements, &sieve, &combinations);
            memory.fetch_add(sifted.1.len() as u64 * MEMBER_SIZE, Ordering::Relaxed);
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
    let sets = usize::from(family.sets);
    let classes = classes.into_iter().collect();
    Some(Batch { cores, sets, engaged, elements, classes, count })
}

/// The keys of all ratio functions of all cores, rising.
fn functions_of(cores: &[Core]) -> Vec<u64> {
    let of_core = |core: &Core| -> FxHashSet<u64> {
        let functions = CoreStates::new(core).functions;
        functions.iter().map(RatioFunction::key).collect()
    };
    let merge = |mut a: FxHashSet<u64>, b: FxHashSet<u64>| {
        a.extend(b);
        a
    };
    let all = cores.par_iter().map(of_core).reduce(FxHashSet::default, merge);
    let mut keys: Vec<u64> = all.into_iter().collect();
    keys.sort_unstable();
    keys
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
    let mut count = sift(&states, elements, sieve.gears(), |chosen| {
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
