//! The run: units of work in their order, then twins of all units together, teeth, scores,
//! front.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;
use std::ops::Range;
use std::time::Instant;

use rayon::prelude::*;

use super::ledger::{Course, NoLedger};
use super::plan::Plan;
use super::progress::Controls;
use super::recalled::recalled;
use super::rounds::{Contender, Contest};
use super::settle::{Finding, Setup};
use super::solve::Solution;
use super::tally::{Findings, Tally, UnitCount};
use super::twins::ClassKeys;
use super::unit::{SolvedClass, Spent, UnitRecord, Worker};
use super::watch::{Limits, Moment, Watch};
use crate::brief::Brief;
use crate::error::Error;

/// Searches all that the brief asks for.
///
/// The result depends on the brief alone, never on the number of threads: work is merged
/// in the order of cores and classes. Only a run that ends with [`super::Stop::Finished`] has
/// searched all.
///
/// # Errors
/// [`Error::Request`] when no set fits the tooth limits; [`Error::Work`] when threads
/// cannot be started.
pub fn run(brief: &Brief, controls: &Controls<'_>) -> Result<Findings, Error> {
    let limits = Limits::default();
    run_course(brief, controls, Course { units: None, limits, ledger: &mut NoLedger })
}

/// Searches the units of work that `course` names; those that its ledger recalls are not
/// done again.
///
/// # Errors
/// As [`run`], and what the ledger says; [`Error::Request`] for units that are not there.
pub fn run_course(
    brief: &Brief,
    controls: &Controls<'_>,
    course: Course<'_>,
) -> Result<Findings, Error> {
    run_watched(brief, &Watch::new(brief, course.limits, controls), course)
}

/// [`run_course`] under the watch of whoever asks, which then tells why it ended.
///
/// # Errors
/// As [`run_course`].
pub(crate) fn run_watched(
    brief: &Brief,
    watch: &Watch<'_>,
    course: Course<'_>,
) -> Result<Findings, Error> {
    watch.refuse_at_once()?;
    let pool = pool_of(watch.controls())?;
    let Some(plan) = Plan::new(brief, watch)? else {
        return Ok(Findings::before_the_plan(watch.stop()));
    };
    let numbers = plan.units_of(course.units)?;
    // The ledger need not be shared among threads: it is used between units alone.
    let mut gathered = Gathered::new(&plan, numbers.clone());
    let cores = plan.units[numbers.clone()].iter().map(|unit| unit.cores.len() as u64).sum();
    watch.progress().phase("searching cores", cores);
    let mut spent = Spent::default();
    let mut worker: Option<(usize, Worker<'_>)> = None;
    for number in numbers {
        let unit = &plan.units[number];
        if let Some(record) = recalled(course.ledger, &plan, number)? {
            watch.progress().tick(record.cores);
            gathered.add(unit.family, record);
            continue;
        }
        if worker.as_ref().is_none_or(|(family, _)| *family != unit.family) {
            worker = Some((unit.family, Worker::new(&plan, unit.family, watch)));
        }
        let cores: Vec<usize> = unit.cores.clone().collect();
        let work = || worker.as_ref().and_then(|(_, worker)| worker.work(&cores, &mut spent));
        let Some(record) = pool.install(work) else { break };
        if record.not_reached == 0 {
            course.ledger.keep(number, &record)?;
        }
        gathered.add(unit.family, record);
        if watch.should_stop_after_phase() {
            break;
        }
    }
    let started = Instant::now();
    let mut findings = pool.install(|| gathered.close(watch));
    spent.score = started.elapsed();
    findings.spent = spent;
    Ok(findings)
}

pub(crate) fn pool_of(controls: &Controls<'_>) -> Result<rayon::ThreadPool, Error> {
    let threads = controls.threads.unwrap_or(0);
    let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build();
    pool.map_err(|error| Error::Work(format!("threads cannot be started: {error}")))
}

/// Solved classes of one family, by their keys.
type Classes = BTreeMap<ClassKeys, SolvedClass>;

/// What the units gave, twins of all units together.
struct Gathered<'a> {
    plan: &'a Plan<'a>,
    units: Range<usize>,
    /// Units that are finished.
    done: usize,
    tally: Tally,
    families: Vec<Classes>,
}

impl<'a> Gathered<'a> {
    fn new(plan: &'a Plan<'a>, units: Range<usize>) -> Self {
        let families = plan.families.iter().map(|_| Classes::new()).collect();
        Self { plan, units, done: 0, tally: Tally::default(), families }
    }

    fn add(&mut self, family: usize, record: UnitRecord) {
        self.done += usize::from(record.not_reached == 0);
        self.tally.unit(&record, family, !self.plan.families[family].same_cores);
        for class in record.solved {
            match self.families[family].entry(class.keys.clone()) {
                Entry::Vacant(place) => _ = place.insert(class),
                Entry::Occupied(mut known) => known.get_mut().members.extend(class.members),
            }
        }
    }

    /// Holds all classes against one front, gives them teeth and scores, and tells the front.
    fn close(mut self, watch: &Watch<'_>) -> Findings {
        let families = self.plan.families.iter().zip(&self.families);
        let classes = families
            .flat_map(|(family, classes)| classes.values().map(move |class| (family, class)));
        let mut contest = Contest::new(self.plan, classes.collect(), watch);
        contest.run();
        let Contest { contenders, proof, .. } = contest;
        watch.progress().phase("scoring with exact ratios", contenders.len() as u64);
        let settled = settled(self.plan, &contenders, watch);
        let mut findings = Vec::new();
        for (contender, found) in contenders.iter().zip(settled) {
            self.tally.class(contender, found.as_ref().map(|found| !found.is_empty()));
            findings.extend(found.into_iter().flatten());
        }
        let Self { plan, units, done, .. } = self;
        let units = UnitCount { asked: units, all: plan.units.len(), done };
        self.tally.close(plan.brief, findings, &plan.catalogue, units, watch.stop(), proof)
    }
}

/// What becomes of each class; `None` for those that were not looked at any more.
fn settled(
    plan: &Plan<'_>,
    contenders: &[Contender<'_>],
    watch: &Watch<'_>,
) -> Vec<Option<Vec<Finding>>> {
    // What a stopped run has found is settled for a moment, so that there is something to show.
    let moment = Moment::after(watch.stop());
    let settle = |contender: &Contender<'_>| {
        if moment.as_ref().map_or_else(|| watch.should_stop(), Moment::is_over) {
            return None;
        }
        watch.progress().tick(1);
        let Contender { family, class, found, .. } = contender;
        let known = class.solutions.iter().filter(|known| !found.contains(known));
        let solutions: Vec<Solution> = found.iter().chain(known).cloned().collect();
        Some(Setup::of(plan, family).settle(family, &class.members, &solutions))
    };
    contenders.par_iter().map(settle).collect()
}
