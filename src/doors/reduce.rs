//! Reduce: a wanted ratio goes in, the record of the reductions that make it comes out.

use std::time::Instant;

use itertools::Itertools as _;

use super::accounts::{cut_short, tell};
use super::bears::{bears_told, told_as_built};
use super::workshops::work_out;
use crate::account::workshop::POSITIONS;
use crate::account::{Basis, Workshop};
use crate::brief::ReductionBrief;
use crate::error::Error;
use crate::folder::Extent;
use crate::front::distances_to_first;
use crate::num::{grouped, to_f64};
use crate::program::VERSION;
use crate::reduction::{
    Archive, Coverage, EFFICIENCY_STEP, Found, LENGTH_STEP, Reductions, out_of_reach,
    reductions_watched, too_weak, way_out,
};
use crate::report::{Candidate, GearRow, Kind, Record, SpaceCount, Stage};
use crate::score::{Criterion, Progression};
use crate::search::{Controls, Stop, Watch, pool_of};
use crate::train::{Layout, canonical};

/// Seeks the reductions that `brief` asks for. A run that was stopped gives a record too,
/// with `complete` false.
///
/// # Errors
/// [`Error::Nothing`] when all was looked through and nothing meets the brief: with what
/// would have to give way, and by how much; [`Error::Work`] when threads cannot be started.
pub fn reduce(brief: &ReductionBrief, controls: &Controls<'_>) -> Result<Record, Error> {
    let started = Instant::now();
    if let Some(told) = out_of_reach(brief) {
        return Err(Error::Nothing(told));
    }
    let watch = Watch::timed(brief.effort.time_limit_s, controls);
    let found = reductions_watched(brief, &watch)?;
    if found.coverage.is_empty() && found.stop == Stop::Interrupted {
        let text = "interrupted before anything was tried; nothing was changed";
        return Err(Error::Interrupted(text.to_owned()));
    }
    let none = found.variants.iter().all(|archive| archive.front.is_empty());
    if none && found.stop == Stop::Finished {
        return Err(Error::Nothing(way_out(brief, &found, &watch)?));
    }
    let mut record = record(brief, &found, &watch)?;
    for (variant, archive) in found.variants.iter().enumerate() {
        if archive.front.is_empty() && watch.stop() == Stop::Finished {
            let told = too_weak(brief, variant, &watch)?;
            record.coverage.insert(0, told[..1].to_uppercase() + &told[1..]);
        }
    }
    let stop = tell(&mut record, &basis(brief), found.stop, &watch)?;
    if found.stop == Stop::Finished && stop != Stop::Finished {
        cut_short(&mut record, stop);
    }
    record.elapsed_s = started.elapsed().as_secs_f64();
    Ok(record)
}

fn basis(brief: &ReductionBrief) -> Basis {
    let module = brief.room.modules.first().copied().unwrap_or(1.0);
    let teeth = crate::teeth::ToothLimits { module, ..brief.teeth.clone() };
    Basis { mesh: brief.mesh, teeth, progression: Progression::Geometric }
}

fn record(brief: &ReductionBrief, found: &Reductions, watch: &Watch<'_>) -> Result<Record, Error> {
    let mut candidates = Vec::new();
    let mut fronted = Vec::new();
    for (variant, archive) in found.variants.iter().enumerate() {
        for (place, one) in by_compromise(&archive.front).into_iter().enumerate() {
            let id = format!("F{:02}", candidates.len() + 1);
            let mut candidate = candidate(id, one, variant, brief, found);
            if let Some(shop) = candidate.workshop.as_mut() {
                shop.makes_parts = place < brief.making.layouts;
            }
            candidates.push(candidate);
            fronted.push(one);
        }
    }
    let front = candidates.len();
    let shops = candidates.iter_mut().filter_map(|candidate| candidate.workshop.as_deref_mut());
    let mut shops = shops.zip(fronted).collect::<Vec<_>>();
    pool_of(watch.controls())?.install(|| work_out(&mut shops, brief, found, watch));
    told_as_built(&mut candidates);
    for (variant, archive) in found.variants.iter().enumerate() {
        for one in nearest_behind(archive, brief.effort.keep) {
            let id = format!("C{:05}", candidates.len() + 1 - front);
            candidates.push(candidate(id, one, variant, brief, found));
        }
    }
    let mut sure = coverage(brief, found);
    sure.extend(mesh_told(watch.stop(), &candidates[..front]));
    sure.extend(bears_told(&candidates[..front]));
    let nesting = found.coverage.iter().map(|coverage| coverage.count.nesting).sum();
    Ok(Record {
        kind: Kind::Reduction,
        title: brief.title.clone(),
        brief: brief.canonical_text(),
        request: brief.sentence(),
        version: VERSION.to_owned(),
        complete: found.stop == Stop::Finished && is_whole(found),
        extent: match found.stop {
            Stop::Finished => Extent::WHOLE,
            _ => Extent::part(0, found.variants.iter().map(|archive| archive.met).sum()),
        },
        stopped: found.stop.word().to_owned(),
        coverage: sure,
        space: SpaceCount {
            cores: found.coverage.iter().map(|coverage| coverage.count.cores).sum(),
            layouts: nesting,
            // A reduction has no elements, so it has one state.
            states: nesting,
        },
        funnel: funnel(brief, found),
        objectives: brief.objectives.clone(),
        criteria: Criterion::REDUCTION.to_vec(),
        candidates,
        found: found.variants.iter().map(|archive| archive.met).sum(),
        front: (0..front).collect(),
        shown: front.min(MOST_SHOWN),
        proof: None,
        elapsed_s: 0.0,
        spent_s: [0.0; 3],
    })
}

/// Reductions of the front that the page shows at most: it holds no more.
const MOST_SHOWN: usize = 100;

/// What is told of the meshes of the front.
fn mesh_told(stop: Stop, front: &[Candidate]) -> Option<String> {
    match stop {
        Stop::Finished => proof_of_mesh(front),
        _ => Some(UNPROVED.to_owned()).filter(|_| !front.is_empty()),
    }
}

/// Instead of the proof where there was no time for it.
const UNPROVED: &str = "Proof of mesh: none. The run was stopped before the wheels of the whole front \
                        were turned; do not make these.";

/// Whether all base ratios were looked through for every number of sets.
fn is_whole(found: &Reductions) -> bool {
    found.coverage.iter().all(|coverage| coverage.sampled.is_none())
}

/// The front, the best compromise first: the least sum of objectives, each in parts of its
/// range over the front.
fn by_compromise(front: &[Found]) -> Vec<&Found> {
    let size = front.first().map_or(0, |found| found.objectives.len());
    let ends = |k: usize| {
        let values = || front.iter().map(|found| found.objectives[k]).filter(|v| v.is_finite());
        (values().fold(f64::INFINITY, f64::min), values().fold(f64::NEG_INFINITY, f64::max))
    };
    let ends: Vec<(f64, f64)> = (0..size).map(ends).collect();
    let sum = |found: &Found| -> f64 {
        let parts = found.objectives.iter().zip(&ends);
        parts.map(|(v, (low, high))| if high > low { (v - low) / (high - low) } else { 0.0 }).sum()
    };
    let mut order: Vec<&Found> = front.iter().collect();
    order.sort_by(|a, b| {
        let pairs = || a.objectives.iter().zip(&b.objectives);
        let exactly = pairs().map(|(a, b)| a.total_cmp(b)).find(|order| order.is_ne());
        sum(a).total_cmp(&sum(b)).then(exactly.unwrap_or(a.place.cmp(&b.place)))
    });
    order
}

/// Of those behind the front the nearest to it, in that order.
fn nearest_behind(archive: &Archive, keep: usize) -> Vec<&Found> {
    let all = || archive.front.iter().chain(&archive.behind);
    let points: Vec<Vec<f64>> = all().map(|found| found.objectives.to_vec()).collect();
    let front = archive.front.len();
    let distances = distances_to_first(&points, front);
    let mut order: Vec<usize> = (0..archive.behind.len()).collect();
    order.sort_by(|&a, &b| distances[front + a].total_cmp(&distances[front + b]).then(a.cmp(&b)));
    order.into_iter().take(keep).map(|index| &archive.behind[index]).collect()
}

fn candidate(
    id: String,
    one: &Found,
    variant: usize,
    brief: &ReductionBrief,
    found: &Reductions,
) -> Candidate {
    let mut layout = found.layout(one);
    let name = &brief.variants[variant].name;
    let made = if name.is_empty() { String::new() } else { format!(" in {name}") };
    layout.title = Some(format!("{}{made}", brief.title));
    let (core, slots) = layout.wiring();
    Candidate {
        canonical: canonical(&core, &slots).to_string(),
        gears: vec![gear(&layout, one)],
        scores: one.scores.to_vec(),
        twins: Vec::new(),
        account: None,
        workshop: Some(Box::new(Workshop::new(one, variant, brief, found))),
        layout,
        id,
    }
}

fn gear(layout: &Layout, one: &Found) -> GearRow {
    let name = layout.gears[0].name.clone();
    GearRow { name, engaged: Vec::new(), ratio: one.ratio.clone(), value: to_f64(&one.ratio) }
}

fn funnel(brief: &ReductionBrief, found: &Reductions) -> Vec<Stage> {
    let sum = |of: fn(&Coverage) -> u64| found.coverage.iter().map(of).sum::<u64>();
    let [cores, working] = [sum(|c| c.count.cores), sum(|c| c.count.working)];
    let [coupled, nesting] = [sum(|c| c.count.coupled), sum(|c| c.count.nesting)];
    let stage = |test: &str, entered: u64, left: u64, why: &str| Stage {
        test: test.to_owned(),
        entered,
        left,
        why: why.to_owned(),
    };
    let mut stages = vec![stage(
        "works",
        cores,
        working,
        "the output turns, and the ratio depends on the teeth of every set",
    )];
    if coupled < working {
        stages.push(stage("in series", working, coupled, "one set behind the other"));
    }
    if brief.train.nests {
        let why = "can be drawn above the axis without crossings";
        stages.push(stage("nests", coupled, nesting, why));
    }
    let met = found.variants.iter().map(|archive| archive.met).sum();
    let front = found.variants.iter().map(|archive| archive.front.len() as u64).sum();
    stages.push(stage("front", met, front, "no other choice of joints and teeth is better"));
    stages
}

/// What the proof of mesh found over the whole front.
fn proof_of_mesh(front: &[Candidate]) -> Option<String> {
    let shops =
        front.iter().filter_map(|candidate| Some((candidate, candidate.workshop.as_ref()?)));
    let jammed = |shop: &Workshop| {
        shop.sets.iter().any(|set| !set.bench.as_ref().is_some_and(|bench| bench.meshes_freely()))
    };
    let bad = shops.filter(|(_, shop)| jammed(shop)).map(|(one, _)| one.id.clone()).join(", ");
    match (front.is_empty(), bad.is_empty()) {
        (true, _) => None,
        (false, true) => Some(format!(
            "Proof of mesh: every mesh of every reduction on the front was turned through a pitch in \
             {POSITIONS} positions; no two wheels overlap by more than 1 µm."
        )),
        (false, false) => Some(format!(
            "Proof of mesh: in {bad} wheels overlap or have no outline; do not make these. All other \
             meshes of the front turn freely in {POSITIONS} positions."
        )),
    }
}

/// What the models prove of series of so many sets.
fn proved_of_series(coverage: &Coverage) -> Vec<String> {
    let sets = coverage.sets;
    let nearest = coverage.nearest_series.map(|off| {
        format!(
            "No series of {sets} such sets is nearer to the wanted ratio than {:.7} %, whatever its \
             size and strength: proved over all of them, and tried first.",
            off * 100.0
        )
    });
    let cheapest = coverage.cheapest_series.map(|(price, proved)| {
        let how = if proved { "proved by" } else { "the best that was found within its work by" };
        format!(
            "The cheapest series of {sets} sets within the tolerance, whatever its size and strength, \
             costs {price:.2}: {how} a mixed-integer model."
        )
    });
    nearest.into_iter().chain(cheapest).collect()
}

/// What is exact, what is sampled, what is proved: one sentence each.
fn coverage(brief: &ReductionBrief, found: &Reductions) -> Vec<String> {
    let mut sentences = Vec::new();
    if found.stop != Stop::Finished {
        sentences.push(format!(
            "NOT COMPLETE: the run stopped before its end ({}). What is shown was found until \
             then; nothing is said about the rest.",
            found.stop.word()
        ));
    }
    if found.coverage.is_empty() {
        sentences.push(
            "The run stopped while the sets and the ways to join them were listed: nothing was \
             tried."
                .to_owned(),
        );
        return sentences;
    }
    let sets = choices(brief, found);
    for coverage in &found.coverage {
        sentences.push(looked_through(coverage, &sets, found.stop));
        sentences.extend(proved_of_series(coverage));
    }
    sentences.push(format!(
        "The front compares errors of the ratio in steps of {} %, lengths in steps of \
         {LENGTH_STEP} mm, efficiencies in steps of {} %; of equals one is shown.",
        brief.ratio.close_enough * 100.0,
        EFFICIENCY_STEP * 100.0
    ));
    sentences.push(
        "Ratios, speeds and lossless torques: exact, in fractions of tooth counts. Efficiencies \
         are estimates from the mesh efficiencies of the brief; face widths, stresses and loads \
         are first estimates, not a rating."
            .to_owned(),
    );
    sentences
}

/// `412 single sets of 97 base ratios that meet every condition`.
fn choices(brief: &ReductionBrief, found: &Reductions) -> String {
    let [(single, single_ratios), (paired, paired_ratios)] = found.choices;
    let counted = |sets: usize| grouped(sets as u64);
    let list = match (single, paired) {
        (_, 0) => format!("{} single sets of {single_ratios} base ratios", counted(single)),
        (0, _) => format!("{} paired sets of {paired_ratios} base ratios", counted(paired)),
        _ => format!(
            "{} single sets of {single_ratios} and {} paired sets of {paired_ratios} base ratios",
            counted(single),
            counted(paired)
        ),
    };
    let whence =
        if brief.stock.is_some() { "the stock list makes" } else { "meet every condition" };
    format!("{list} that {whence}")
}

/// How reductions of one number of sets were looked through.
fn looked_through(coverage: &Coverage, choices: &str, stop: Stop) -> String {
    let plural = if coverage.sets == 1 { "set" } else { "sets" };
    let how = match coverage.sampled {
        _ if stop != Stop::Finished => "looked through as far as the run came".to_owned(),
        None => format!("complete and proved: all choices among the {choices}"),
        Some((each, all)) => format!(
            "sampled: {each} of {all} base ratios were tried for all sets but the last, which \
             followed from all; better ones may exist (effort.tries)"
        ),
    };
    format!(
        "{} {plural}: {} ways to join them, {} different ratio functions; {how}.",
        coverage.sets,
        grouped(coverage.count.nesting),
        grouped(coverage.functions as u64),
    )
}
