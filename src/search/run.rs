//! The run: units of work in their order, then twins of all units together, teeth, scores,
//! front.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;
use std::ops::Range;
use std::time::Instant;

use rayon::prelude::*;

use super::ledger::{Course, NoLedger};
use super::plan::{FamilyPlan, Plan};
use super::progress::Controls;
use super::recalled::recalled;
use super::settle::{Finding, Setup};
use super::tally::{Findings, Tally, UnitCount};
use super::twins::ClassKeys;
use super::unit::{SolvedClass, Spent, UnitRecord, Worker};
use super::watch::{Limits, Watch};
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
    let pool = pool_of(controls)?;
    let plan = Plan::new(brief)?;
    let watch = Watch::new(brief, course.limits, controls);
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
            worker = Some((unit.family, Worker::new(&plan, unit.family, &watch)));
        }
        let cores: Vec<usize> = unit.cores.clone().collect();
        let work = || worker.as_ref().and_then(|(_, worker)| worker.work(&cores, &mut spent));
        let Some(record) = pool.install(work) else { break };
        if record.not_reached == 0 {
            course.ledger.keep(number, &record)?;
        }
        gathered.add(unit.family, record);
        if watch.should_stop() {
            break;
        }
    }
    let started = Instant::now();
    let mut findings = pool.install(|| gathered.close(&watch));
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
    tally: Tally,
    families: Vec<Classes>,
}

impl<'a> Gathered<'a> {
    fn new(plan: &'a Plan<'a>, units: Range<usize>) -> Self {
        let families = plan.families.iter().map(|_| Classes::new()).collect();
        Self { plan, units, tally: Tally::default(), families }
    }

    fn add(&mut self, family: usize, record: UnitRecord) {
        self.tally.unit(&record, family, !self.plan.families[family].same_cores);
        for class in record.solved {
            match self.families[family].entry(class.keys.clone()) {
                Entry::Vacant(place) => _ = place.insert(class),
                Entry::Occupied(mut known) => known.get_mut().members.extend(class.members),
            }
        }
    }

    /// Gives all classes teeth and scores, and finds the front.
    fn close(mut self, watch: &Watch<'_>) -> Findings {
        let classes = self.families.iter().map(|classes| classes.len() as u64).sum();
        watch.progress().phase("scoring with exact ratios", classes);
        let mut findings = Vec::new();
        for (family, classes) in self.plan.families.iter().zip(&self.families) {
            let settled = settled(self.plan, family, classes, watch);
            for (class, found) in classes.values().zip(settled) {
                self.tally.class(class, !found.is_empty());
                findings.extend(found);
            }
        }
        let Self { plan, units, .. } = self;
        let units = UnitCount { asked: units, all: plan.units.len() };
        self.tally.close(plan.brief, findings, &plan.catalogue, units, watch.stop())
    }
}

fn settled(
    plan: &Plan<'_>,
    family: &FamilyPlan,
    classes: &Classes,
    watch: &Watch<'_>,
) -> Vec<Vec<Finding>> {
    let Plan { brief, ladder, catalogue, .. } = plan;
    let setup = Setup { brief, ladder, catalogue, states: &family.states };
    let classes: Vec<_> = classes.values().collect();
    let settle = |class: &&SolvedClass| {
        watch.progress().tick(1);
        setup.settle(family, &class.members, &class.solutions)
    };
    classes.par_iter().map(settle).collect()
}
