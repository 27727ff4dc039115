//! The run: families, sift, twins, solve, teeth, scores, front, in this order.

use rayon::prelude::*;
use rustc_hash::FxHashMap;

use super::bank::Bank;
use super::cells::CellGrid;
use super::gather::{Batch, gather};
use super::gears::MOST_STATES;
use super::ladder::Ladder;
use super::progress::Controls;
use super::settle::{Finding, Setup};
use super::solve::{Outcome, Problem};
use super::states::states_of;
use super::tally::{Fate, Findings, Tally};
use super::watch::Watch;
use super::{CoreFamily, RatioFunction};
use crate::brief::{Brief, Family};
use crate::error::{Error, Mistake};
use crate::teeth::Catalogue;
use crate::train::ElementMask;

/// Searches what the brief asks for.
///
/// The result depends on the brief alone, never on the number of threads: work is merged
/// in the order of cores and classes. Only a run that ends with [`super::Stop::Finished`] has
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
    let most = brief.space.families().iter().map(Family::states).max().unwrap_or(0);
    if most > MOST_STATES as u64 {
        let problem = format!("lets a layout have {most} states, {MOST_STATES} can be searched");
        return Err(Mistake::at("space.elements", problem, "allow fewer elements or shafts").into());
    }
    let ladder = Ladder::of(&brief.gears);
    let mut tally = Tally::default();
    let mut findings = Vec::new();
    let mut last: Option<CoreFamily> = None;
    for family in brief.space.families() {
        if family.states() < ladder.gears() as u64 {
            continue;
        }
        let cores = core_family(&family);
        let grid = CellGrid::new(catalogue.ratios(), usize::from(family.sets));
        let elements = usize::from(family.elements);
        let gathered = gather(cores, elements, &grid, &ladder, watch);
        let Some(batch) = gathered else { break };
        tally.gathered(&batch, last != Some(cores));
        last = Some(cores);
        // Before whole teeth, because twins and hopeless classes need none.
        findings.extend(solve_batch(brief, &ladder, &catalogue, &batch, &grid, watch, &mut tally));
        if watch.should_stop() {
            break;
        }
    }
    Ok(tally.close(brief, findings, &catalogue, watch.stop()))
}

/// About how many bytes a finding takes: its layout has some dozens of small texts and lists.
const FINDING_SIZE: usize = 4096;

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
    let bank_size = Bank::size(grid, functions.len(), ladder);
    watch.takes(bank_size);
    if watch.should_stop() {
        return Vec::new();
    }
    let bank = Bank::new(grid.clone(), &functions, ladder);
    let setup = Setup { brief, ladder, catalogue, states: &states };
    let most_boxes = if brief.effort.prove { usize::MAX } else { brief.effort.samples as usize };
    watch.progress().phase("solving classes of twins", batch.classes.len() as u64);
    let solved: Vec<_> = batch
        .classes
        .par_iter()
        .map(|(keys, members)| {
            if watch.should_stop() {
                return None;
            }
            let functions = keys.iter().map(|key| place.get(key).copied()).collect();
            let neighbours = &neighbours;
            let problem = Problem { bank: &bank, ladder, functions, neighbours, most_boxes, watch };
            let outcome = problem.solve();
            let found = match &outcome {
                Outcome::Solved { solutions, .. } => setup.settle(batch, members, solutions),
                _ => Vec::new(),
            };
            watch.takes(found.len() * FINDING_SIZE);
            watch.progress().tick(1);
            Some((Fate::of(&outcome), members.len() as u64, found))
        })
        .collect();
    let mut findings = Vec::new();
    for (fate, members, found) in solved.into_iter().flatten() {
        tally.solved(fate, members, !found.is_empty());
        findings.extend(found);
    }
    watch.gives_back(bank_size);
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
