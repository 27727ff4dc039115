//! One unit of work: some cores of a family, sifted, and what is left solved.

use std::collections::BTreeMap;
use std::ops::ControlFlow;
use std::time::{Duration, Instant};

use rayon::prelude::*;
use rustc_hash::{FxHashMap, FxHashSet};
use serde::{Deserialize, Serialize};
use smallvec::SmallVec;

use super::RatioFunction;
use super::bank::Bank;
use super::function::SetOrder;
use super::known::Known;
use super::plan::{FamilyPlan, Plan};
use super::shortfall::LogLadder;
use super::sieve::Sieve;
use super::sift::{SiftCount, sift_unless};
use super::solve::{Outcome, Problem, Solution};
use super::states::{CoreStates, MOST_ELEMENTS};
use super::twins::{ClassKeys, Namer, TwinMember, all_orders, class_mark};
use super::watch::Watch;
use crate::brief::Nesting;
use crate::build::nests_wiring;
use crate::train::{MAX_SETS, Slot};

/// Classes that a unit keeps, open ones among them; further open ones are counted only.
const MOST_KEPT: usize = 1024;
/// Layouts that pass the sift of a core between two looks at the watch.
const BETWEEN_LOOKS: u64 = 1024;

/// What came of a unit.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct UnitRecord {
    /// Cores of the unit, and states that their slots make.
    pub cores: u64,
    pub states: u64,
    pub sifted: SiftCount,
    /// Layouts that do not nest, where the brief asks that they do.
    pub not_nested: u64,
    /// Layouts in whose classes no cell of base ratios can hold the ladder.
    pub no_ladder: u64,
    /// Layouts in whose classes no choice of the catalogue has the ladder.
    pub no_teeth: u64,
    /// Layouts in classes that were left undecided, and too many to be kept.
    pub undecided: u64,
    /// These classes, each as one word made of its keys.
    pub undecided_classes: Vec<u64>,
    /// Layouts that were not tried because the run was stopped.
    pub not_reached: u64,
    /// Classes that were solved or left open, in increasing order of their keys.
    pub solved: Vec<SolvedClass>,
}

/// The layouts of a unit that are twins of each other, and their teeth.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SolvedClass {
    pub keys: ClassKeys,
    /// In the order of their cores and slots.
    pub members: Vec<TwinMember>,
    /// None of a class that is open: it may have teeth that serve or not.
    pub solutions: Vec<Solution>,
    /// Whether none is better, see [`Outcome::Solved`].
    pub complete: bool,
}

/// Where the time of a run went. Never written to a file: two runs differ in it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Spent {
    pub sift: Duration,
    pub solve: Duration,
    pub score: Duration,
}

/// Works the units of one family.
pub struct Worker<'a> {
    plan: &'a Plan<'a>,
    family: &'a FamilyPlan,
    sieve: Sieve<'a>,
    log_ladder: LogLadder,
    known: Known,
    /// Every numbering of the sets.
    orders: Vec<SetOrder>,
    watch: &'a Watch<'a>,
}

impl<'a> Worker<'a> {
    pub fn new(plan: &'a Plan<'a>, family: usize, watch: &'a Watch<'a>) -> Self {
        let family = &plan.families[family];
        let sieve = Sieve::new(&family.grid, &plan.ladder);
        let log_ladder = LogLadder::new(&plan.ladder);
        let orders = all_orders(family.sets);
        Self { plan, family, sieve, log_ladder, known: Known::default(), orders, watch }
    }

    /// Works the cores with these indices. The record depends on them and the brief alone;
    /// `None` when the watch said stop while cores were sifted. When it says so later,
    /// the record tells what was not reached.
    pub fn work(&self, cores: &[usize], spent: &mut Spent) -> Option<UnitRecord> {
        let started = Instant::now();
        let sifted: Option<Vec<_>> = cores
            .par_iter()
            .map(|&index| {
                let sifted = self.sift_core(index);
                self.watch.progress().tick(1);
                sifted
            })
            .collect();
        let mut record = UnitRecord { cores: cores.len() as u64, ..UnitRecord::default() };
        let mut classes: BTreeMap<ClassKeys, Vec<TwinMember>> = BTreeMap::new();
        for (&index, Sifted { count, not_nested, members }) in cores.iter().zip(sifted?) {
            record.not_nested += not_nested;
            record.states += self.family.size_of(&self.family.cores[index]).1;
            record.sifted.add(&count);
            for (keys, member) in members {
                classes.entry(keys).or_default().push(member);
            }
        }
        spent.sift += started.elapsed();
        let started = Instant::now();
        self.solve(classes.into_iter().collect(), &mut record);
        spent.solve += started.elapsed();
        Some(record)
    }

    /// `None` when the watch says stop.
    fn sift_core(&self, index: usize) -> Option<Sifted> {
        if self.watch.should_stop() {
            return None;
        }
        let FamilyPlan { combinations, elements, .. } = self.family;
        let states = CoreStates::new(&self.family.cores[index]);
        let useful = self.sieve.useful(&states);
        let sieve_here = self.sieve.of_core(&states);
        let namer = std::cell::OnceCell::new();
        let mut members = Vec::new();
        let (mut windows, mut not_nested, mut seen) = (0, 0, 0u64);
        let must_nest = self.plan.brief.space.nests == Nesting::Required;
        let gears = self.plan.ladder.gears();
        let stopped = || self.watch.should_stop();
        let mut count = sift_unless(&stopped, &states, *elements, gears, &useful, |chosen| {
            seen += 1;
            if seen.is_multiple_of(BETWEEN_LOOKS) && self.watch.should_stop() {
                return ControlFlow::Break(());
            }
            let functions = states.functions_of(chosen, combinations);
            if sieve_here.passes(&functions) {
                if must_nest && !nests_on(&states, chosen) {
                    not_nested += 1;
                    return ControlFlow::Continue(());
                }
                let namer = namer.get_or_init(|| Namer::new(&states, combinations, &self.orders));
                members.push(namer.name(index as u32, chosen, &functions));
            } else {
                windows += 1;
            }
            ControlFlow::Continue(())
        })?;
        count.windows = windows;
        Some(Sifted { count, not_nested, members })
    }

    fn solve(&self, classes: Vec<Class>, record: &mut UnitRecord) {
        parts(classes).for_each(|part| self.solve_part(part, record));
    }

    fn solve_part(&self, classes: Vec<Class>, record: &mut UnitRecord) {
        let (keys, place) = functions_in_play(&classes);
        let functions: Vec<RatioFunction> =
            keys.iter().map(|&key| RatioFunction::from_key(key)).collect();
        let stopped = || self.watch.should_stop();
        let (grid, ladder) = (self.family.grid.clone(), &self.plan.ladder);
        let Some(bank) = Bank::new(grid, &functions, ladder, &stopped) else {
            record.not_reached +=
                classes.iter().map(|(_, members)| members.len() as u64).sum::<u64>();
            return;
        };
        let solved: Vec<_> = classes
            .into_par_iter()
            .map(|(keys, members)| {
                let outcome = (!self.watch.should_stop()).then(|| {
                    let solve = || self.solve_class(&keys, &bank, &place);
                    self.known.outcome(&keys, solve)
                });
                // A class that was cut short is not known to be undecided.
                (outcome.filter(|_| !self.watch.should_stop()), keys, members)
            })
            .collect();
        for (outcome, keys, members) in solved {
            let layouts = members.len() as u64;
            match outcome {
                None => record.not_reached += layouts,
                Some(Outcome::NoLadder) => record.no_ladder += layouts,
                Some(Outcome::NoTeeth) => record.no_teeth += layouts,
                // With few classes to a unit all can be kept for the front to decide.
                Some(Outcome::Undecided) if record.solved.len() < MOST_KEPT => {
                    let (solutions, complete) = (Vec::new(), false);
                    record.solved.push(SolvedClass { keys, members, solutions, complete });
                }
                Some(Outcome::Undecided) => {
                    record.undecided += layouts;
                    record.undecided_classes.push(class_mark(&keys));
                }
                Some(Outcome::Solved { solutions, complete }) => {
                    record.solved.push(SolvedClass { keys, members, solutions, complete });
                }
            }
        }
    }

    fn solve_class(&self, keys: &ClassKeys, bank: &Bank, place: &FxHashMap<u64, u32>) -> Outcome {
        let effort = &self.plan.brief.effort;
        let problem = Problem {
            bank,
            ladder: &self.plan.ladder,
            log_ladder: &self.log_ladder,
            functions: keys.iter().map(|key| place.get(key).copied()).collect(),
            neighbours: &self.family.neighbours,
            most_boxes: if effort.prove { usize::MAX } else { effort.samples as usize },
            may_give_up: self.family.sets == MAX_SETS && !effort.prove,
            watch: self.watch,
        };
        problem.solve()
    }
}

/// What is left of a core.
struct Sifted {
    count: SiftCount,
    not_nested: u64,
    members: Vec<(ClassKeys, TwinMember)>,
}

/// Whether the layout with elements in these slots of a core nests.
fn nests_on(states: &CoreStates, chosen: &[usize]) -> bool {
    let slots: SmallVec<[Slot; MOST_ELEMENTS]> =
        chosen.iter().map(|&slot| states.slots[slot]).collect();
    nests_wiring(&states.core, &slots)
}

/// A class and its layouts.
type Class = (ClassKeys, Vec<TwinMember>);

/// Ratio functions that one part of a unit's classes may have between them: each has its
/// bounds over all cells in memory while the part is solved, 16 kB.
const MOST_FUNCTIONS: usize = 24576;

/// The classes in parts, in their order.
fn parts(classes: Vec<Class>) -> impl Iterator<Item = Vec<Class>> {
    let mut classes = classes.into_iter().peekable();
    std::iter::from_fn(move || {
        let mut functions: FxHashSet<u64> = FxHashSet::default();
        let mut part = Vec::new();
        while let Some(class) = classes.next_if(|(keys, _)| {
            functions.extend(keys);
            part.is_empty() || functions.len() <= MOST_FUNCTIONS
        }) {
            part.push(class);
        }
        (!part.is_empty()).then_some(part)
    })
}

/// The keys of all ratio functions in some classes, rising, and their places.
fn functions_in_play(classes: &[Class]) -> (Vec<u64>, FxHashMap<u64, u32>) {
    let mut keys: Vec<u64> = classes.iter().flat_map(|(keys, _)| keys.iter().copied()).collect();
    keys.sort_unstable();
    keys.dedup();
    keys.retain(|&key| key != 0);
    let place = keys.iter().enumerate().map(|(index, &key)| (key, index as u32)).collect();
    (keys, place)
}
