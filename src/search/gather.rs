//! All cores of a family, sifted, and what is left in classes of twins.

use std::collections::BTreeMap;
use std::sync::atomic::{AtomicU64, Ordering};

use rayon::prelude::*;

use super::CoreFamily;
use super::run::Watch;
use super::sift::{CoreStates, SiftCount, sift, states_of};
use super::twins::{ClassKeys, Namer, TwinMember};
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
    gears: usize,
    watch: &Watch<'_>,
    memory: &AtomicU64,
) -> Option<Batch> {
    let cores = family.cores();
    let engaged = cores.first().map_or(0, Core::engaged);
    let combinations = states_of(elements, engaged);
    watch.progress().phase("sifting cores", cores.len() as u64);
    let sifted: Option<Vec<_>> = cores
        .par_iter()
        .enumerate()
        .map(|(index, core)| {
            if watch.should_stop(memory.load(Ordering::Relaxed)) {
                return None;
            }
            let sifted = sift_core(index as u32, core, elements, gears, &combinations);
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

fn sift_core(
    index: u32,
    core: &Core,
    elements: usize,
    gears: usize,
    combinations: &[Vec<usize>],
) -> (SiftCount, Vec<(ClassKeys, TwinMember)>) {
    let states = CoreStates::new(core);
    let mut kept = Vec::new();
    let count = sift(&states, elements, gears, |chosen| kept.push(chosen.to_vec()));
    if kept.is_empty() {
        return (count, Vec::new());
    }
    let namer = Namer::new(&states, combinations);
    (count, kept.iter().map(|chosen| namer.name(index, chosen)).collect())
}
