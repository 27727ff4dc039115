//! The run: families, sift, twins, solve, teeth, scores, front, in this order.

use std::sync::atomic::{AtomicU64, Ordering};
use std::time::{Duration, Instant};

use rayon::prelude::*;
use rustc_hash::FxHashMap;

use super::bank::Bank;
use super::cells::CellGrid;
use super::gather::{Batch, gather};
use super::gears::Ladder;
use super::progress::{Controls, Progress};
use super::settle::{Finding, Settled, Setup};
use super::sift::{SiftCount, states_of};
use super::solve::{Outcome, Problem};
use super::{CoreFamily, RatioFunction};
use crate::brief::{Brief, Family};
use crate::error::{Error, Mistake};
use crate::front::pareto;
use crate::score::{Better, Criterion};
use crate::teeth::Catalogue;
use crate::train::ElementMask;

/// Why a run ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stop {
    /// All that the brief asks for was searched.
    Finished,
    Interrupted,
    TimeLimit,
    MemoryLimit,
}

impl Stop {
    pub fn word(self) -> &'static str {
        match self {
            Self::Finished => "finished",
            Self::Interrupted => "interrupted",
            Self::TimeLimit => "time limit",
            Self::MemoryLimit => "memory limit",
        }
    }
}

/// What a run found, and the record of how.
#[derive(Clone, Debug)]
pub struct Findings {
    pub stop: Stop,
    pub cores: u64,
    pub layouts: u64,
    pub states: u64,
    /// The funnel, in order.
    pub passages: Vec<Passage>,
    /// Classes of twins left undecided because the effort of the brief was spent.
    pub undecided: u64,
    /// Teeth: sets in the catalogue and their different base ratios.
    pub catalogue: (usize, usize),
    /// Front first; the rest from the evenest to the least even.
    pub findings: Vec<Finding>,
    /// How many of `findings` are the front.
    pub front: usize,
    /// How many findings there were before the brief's `keep` cut them.
    pub found: usize,
}

/// One test of the funnel.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Passage {
    pub test: &'static str,
    pub entered: u64,
    pub left: u64,
    pub why: &'static str,
}

/// Looks at the clock, the stop flag and the memory while the work goes on.
pub struct Watch<'a> {
    controls: &'a Controls<'a>,
    started: Instant,
    time_limit: Option<Duration>,
    memory_limit: Option<u64>,
    /// 0 for going on, else 1 + a [`Stop`].
    stopped: AtomicU64,
}

impl<'a> Watch<'a> {
    fn new(brief: &Brief, controls: &'a Controls<'a>) -> Self {
        Self {
            controls,
            started: Instant::now(),
            time_limit: brief.effort.time_limit_s.map(Duration::from_secs_f64),
            memory_limit: brief.effort.memory_limit_mib.map(|mib| mib << 20),
            stopped: AtomicU64::new(0),
        }
    }

    pub fn progress(&self) -> &dyn Progress {
        self.controls.progress
    }

    /// Whether to stop now, `memory` being the bytes in use; remembers why.
    pub fn should_stop(&self, memory: u64) -> bool {
        let reason = if self.controls.stopped() {
            1
        } else if self.time_limit.is_some_and(|limit| self.started.elapsed() >= limit) {
            2
        } else if self.memory_limit.is_some_and(|limit| memory >= limit) {
            3
        } else {
            return self.stopped.load(Ordering::Relaxed) != 0;
        };
        let _ = self.stopped.compare_exchange(0, reason, Ordering::Relaxed, Ordering::Relaxed);
        true
    }

    fn stop(&self) -> Stop {
        match self.stopped.load(Ordering::Relaxed) {
            0 => Stop::Finished,
            1 => Stop::Interrupted,
            2 => Stop::TimeLimit,
            _ => Stop::MemoryLimit,
        }
    }
}

/// Searches what the brief asks for.
///
/// The result depends on the brief alone, never on the number of threads: work is merged
/// in the order of cores and classes. Only a run that ends with [`Stop::Finished`] has
/// searched all.
///
/// # Errors
/// [`Error::Request`] when no set fits the tooth limits; [`Error::Work`] when threads
/// cannot be started.
pub fn run(brief: &Brief, controls: &Controls<'_>) -> Result<Findings, Error> {
    let threads = controls.threads.unwrap_or(0);
    let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build();
    let pool = pool.map_err(|error| Error::Work(format!("threads cannot be started: {error}")))?;
    pool.install(|| search(brief, &Watch::new(brief, controls)))
}

fn search(brief: &Brief, watch: &Watch<'_>) -> Result<Findings, Error> {
    let catalogue = Catalogue::build(&brief.teeth);
    if catalogue.is_empty() {
        let problem = "no planetary set meets every condition within these limits";
        return Err(
            Mistake::at("teeth", problem, "widen sun, planet or ring, or allow shift").into()
        );
    }
    let ladder = Ladder::of(&brief.gears);
    let mut tally = Tally::default();
    let mut findings = Vec::new();
    let memory = AtomicU64::new(0);
    let mut last: Option<CoreFamily> = None;
    for family in brief.space.families() {
        if family.states() < ladder.gears() as u64 {
            continue;
        }
        let cores = core_family(&family);
        let grid = CellGrid::new(catalogue.ratios(), usize::from(family.sets));
        let elements = usize::from(family.elements);
        let gathered = gather(cores, elements, &grid, &ladder, watch, &memory);
        let Some(batch) = gathered else { break };
        tally.gathered(&batch, last != Some(cores));
        last = Some(cores);
        // Before whole teeth, because twins and hopeless classes need none.
        findings.extend(solve_batch(brief, &ladder, &catalogue, &batch, &grid, watch, &mut tally));
        if watch.should_stop(0) {
            break;
        }
    }
    Ok(tally.close(brief, findings, &catalogue, watch.stop()))
}

fn core_family(family: &Family) -> CoreFamily {
    let Family { sets, shafts, held, bare_input, .. } = *family;
    CoreFamily { sets, shafts, held, bare_input }
}

/// Solves the classes of a batch and gives their solutions teeth and scores.
fn solve_batch(
    brief: &Brief,
    ladder: &Ladder,
    catalogue: &Catalogue,
    batch: &Batch,
    grid: &CellGrid,
    watch: &Watch<'_>,
    tally: &mut Tally,
) -> Vec<Finding> {
    let combinations = states_of(batch.elements, batch.engaged);
    let states: Vec<ElementMask> =
        combinations.iter().map(|state| ElementMask::of(state.iter().copied())).collect();
    let neighbours = ladder.neighbours(&states);
    let (keys, place) = functions_in_play(batch);
    let functions: Vec<RatioFunction> =
        keys.iter().map(|&key| RatioFunction::from_key(key)).collect();
    let bank = Bank::new(grid.clone(), &functions, ladder);
    let setup = Setup { brief, ladder, catalogue, states: &states };
    let most_boxes = if brief.effort.prove { usize::MAX } else { brief.effort.samples as usize };
    watch.progress().phase("solving classes of twins", batch.classes.len() as u64);
    let solved: Vec<_> = batch
        .classes
        .par_iter()
        .map(|(keys, members)| {
            if watch.should_stop(0) {
                return None;
            }
            let functions = keys.iter().map(|key| place.get(key).copied()).collect();
            let problem =
                Problem { bank: &bank, ladder, functions, neighbours: &neighbours, most_boxes };
            let outcome = problem.solve();
            let settled = match &outcome {
                Outcome::Solved(solutions) => setup.settle(batch, members, solutions),
                _ => Default::default(),
            };
            watch.progress().tick(1);
            Some((Fate::of(&outcome), members.len() as u64, settled))
        })
        .collect();
    let mut findings = Vec::new();
    for (fate, members, (found, settled)) in solved.into_iter().flatten() {
        tally.solved(fate, members, settled, !found.is_empty());
        findings.extend(found);
    }
    findings
}

/// The keys of all ratio functions in the classes of a batch, rising, and their places.
fn functions_in_play(batch: &Batch) -> (Vec<u64>, FxHashMap<u64, u32>) {
    let classes = batch.classes.iter();
    let mut keys: Vec<u64> = classes.flat_map(|(keys, _)| keys.iter().copied()).collect();
    keys.sort_unstable();
    keys.dedup();
    keys.retain(|&key| key != 0);
    let place = keys.iter().enumerate().map(|(index, &key)| (key, index as u32)).collect();
    (keys, place)
}

/// An [`Outcome`] without its solutions.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Fate {
    NoLadder,
    NoTeeth,
    Undecided,
    Solved,
}

impl Fate {
    fn of(outcome: &Outcome) -> Self {
        match outcome {
            Outcome::NoLadder => Self::NoLadder,
            Outcome::NoTeeth => Self::NoTeeth,
            Outcome::Undecided => Self::Undecided,
            Outcome::Solved(_) => Self::Solved,
        }
    }
}

/// Counts as they come.
#[derive(Default)]
struct Tally {
    cores: u64,
    states: u64,
    sifted: SiftCount,
    /// Layouts that met each fate, and classes of them.
    fates: [(u64, u64); 4],
    settled: Settled,
    /// Layouts whose class gave at least one finding, and classes.
    served: (u64, u64),
}

impl Tally {
    /// `new_cores`: whether the batch's cores were not counted yet for another number of
    /// elements.
    fn gathered(&mut self, batch: &Batch, new_cores: bool) {
        self.sifted.add(&batch.count);
        if new_cores {
            self.cores += batch.cores.len() as u64;
            let states = |core: &crate::train::Core| {
                num_integer::binomial(core.slots().len() as u64, batch.engaged as u64)
            };
            self.states += batch.cores.iter().map(states).sum::<u64>();
        }
    }

    fn solved(&mut self, fate: Fate, members: u64, settled: Settled, served: bool) {
        let (layouts, classes) = &mut self.fates[fate as usize];
        *layouts += members;
        *classes += 1;
        self.settled.solutions += settled.solutions;
        self.settled.inexact += settled.inexact;
        self.settled.beyond_limits += settled.beyond_limits;
        if served {
            self.served.0 += members;
            self.served.1 += 1;
        }
    }

    fn close(
        self,
        brief: &Brief,
        mut findings: Vec<Finding>,
        catalogue: &Catalogue,
        stop: Stop,
    ) -> Findings {
        let mut passages = self.passages();
        let last = passages[passages.len() - 1].left;
        let found = findings.len();
        passages.push(Passage {
            test: "teeth and gears",
            entered: last,
            left: found as u64,
            why: "each class of twins once, with each of its best tooth counts (may be several)",
        });
        let front = order_by_front(brief, &mut findings);
        passages.push(Passage {
            test: "front",
            entered: found as u64,
            left: front as u64,
            why: "no other is at least as good in every objective and better in one",
        });
        findings.truncate(brief.effort.keep.max(front));
        Findings {
            stop,
            cores: self.cores,
            layouts: self.sifted.layouts,
            states: self.states,
            passages,
            undecided: self.fates[Fate::Undecided as usize].1,
            catalogue: (catalogue.entries().len(), catalogue.len()),
            findings,
            front,
            found,
        }
    }

    /// The funnel of layouts, then of classes.
    fn passages(&self) -> Vec<Passage> {
        let mut left = self.sifted.layouts;
        let mut passages = Vec::new();
        let mut fall = |test, fallen: u64, why| {
            let entered = left;
            left -= fallen.min(left);
            passages.push(Passage { test, entered, left, why });
        };
        let fate = |fate: Fate| self.fates[fate as usize].0;
        let solved: u64 = self.fates.iter().map(|(layouts, _)| layouts).sum();
        let sifted =
            self.sifted.layouts - self.sifted.too_few - self.sifted.mirrored - self.sifted.windows;
        fall(
            "different live ratios",
            self.sifted.too_few,
            "as many states with different ratio functions as gears are wanted; exact",
        );
        fall(
            "mirror images",
            self.sifted.mirrored,
            "one of each set that a symmetry of the core maps on another; exact",
        );
        fall(
            "directions and windows",
            self.sifted.windows,
            "some cell of base ratios gives every gear a state within its window; proved by bounds",
        );
        fall("not reached", sifted - solved, "the run stopped before these were tried");
        fall(
            "ladder in a cell",
            fate(Fate::NoLadder),
            "some cell of base ratios can hold the ladder of gears; proved by bounds",
        );
        fall(
            "ladder in the catalogue",
            fate(Fate::NoTeeth),
            "some base ratios of the catalogue give the ladder; proved by bounds and trial",
        );
        fall("undecided", fate(Fate::Undecided), "teeth were found before the effort was spent");
        fall(
            "limits",
            fate(Fate::Solved) - self.served.0,
            "exact ratios meet the ladder and the scores meet the brief's limits",
        );
        fall(
            "twins",
            self.served.0 - self.served.1,
            "one of each class with the same ratio in every state",
        );
        passages.retain(|p| p.entered != p.left || (p.test != "not reached" && p.test != "limits"));
        passages
    }
}

/// Sorts the front to the beginning and returns its length.
///
/// A layout with an element that no gear uses is never on the front while there are
/// others: without that element it does the same.
fn order_by_front(brief: &Brief, findings: &mut Vec<Finding>) -> usize {
    let points: Vec<Vec<f64>> = findings.iter().map(|f| objectives_of(brief, f)).collect();
    let useful = findings.iter().any(|finding| !finding.spare_element);
    let eligible: Vec<usize> =
        (0..findings.len()).filter(|&i| !(useful && findings[i].spare_element)).collect();
    let eligible_points: Vec<Vec<f64>> = eligible.iter().map(|&i| points[i].clone()).collect();
    let mut on_front = vec![false; findings.len()];
    for place in pareto(&eligible_points) {
        on_front[eligible[place]] = true;
    }
    let mut order: Vec<usize> = (0..findings.len()).collect();
    order.sort_by(|&a, &b| {
        let by_objectives = points[a].iter().zip(&points[b]).map(|(x, y)| x.total_cmp(y));
        on_front[b]
            .cmp(&on_front[a])
            .then_with(|| by_objectives.fold(std::cmp::Ordering::Equal, std::cmp::Ordering::then))
            .then_with(|| findings[a].canonical.cmp(&findings[b].canonical))
            .then_with(|| a.cmp(&b))
    });
    let mut slots: Vec<Option<Finding>> = std::mem::take(findings).into_iter().map(Some).collect();
    findings.extend(order.iter().filter_map(|&index| slots[index].take()));
    on_front.into_iter().filter(|on| *on).count()
}

/// The brief's objectives, lower being better, rounded to the six decimals that tables print;
/// infinite where a score does not apply.
fn objectives_of(brief: &Brief, finding: &Finding) -> Vec<f64> {
    let objective = |criterion: &Criterion| {
        let place = Criterion::ALL.iter().position(|other| other == criterion);
        let score = place.and_then(|place| finding.scores[place]);
        let sign = if criterion.better() == Better::Higher { -1.0 } else { 1.0 };
        score.map_or(f64::INFINITY, |score| (sign * score * 1e6).round() / 1e6)
    };
    brief.objectives.iter().map(objective).collect()
}
