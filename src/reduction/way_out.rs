//! Where nothing meets a brief: which of its limits would have to give way, and to what. Each
//! is lifted alone, or where none is enough two together, and the reductions sought again;
//! nothing here is guessed.

use itertools::Itertools as _;
use num_traits::Signed as _;

use super::archive::Found;
use super::lift::{Lift, is_read};
use super::run::{Plan, Reductions};
use crate::brief::{Coupling, ReductionBrief};
use crate::error::Error;
use crate::num::{grouped, to_f64};
use crate::search::{Quiet, Stop, Watch, pool_of};
use crate::train::SetKind;

/// Millions of tries of one trial.
const TRIES: u64 = 30;
/// The work of a trial of one limit, of two, and of the trial that a variant gets where others
/// bear the load, as [`super::work::Work`] counts it: some seconds of one thread. Counted, so
/// that a busy machine says the same.
const WORK: u64 = 160_000_000;
const WORK_OF_TWO: u64 = 60_000_000;
const WORK_OF_VARIANT: u64 = 100_000_000;
/// Of pairs that would do so many are told.
const PAIRS_TOLD: usize = 5;

/// Sentences for whoever asked: how much was looked through in vain, and what would do.
///
/// # Errors
/// [`Error::Work`] when threads cannot be started, [`Error::Interrupted`] when the user
/// stopped it.
pub fn way_out(
    brief: &ReductionBrief,
    found: &Reductions,
    watch: &Watch<'_>,
) -> Result<String, Error> {
    let sampled = found.coverage.iter().any(|coverage| coverage.sampled.is_some());
    let ways: u64 = found.coverage.iter().map(|coverage| coverage.count.nesting).sum();
    let sets = found.choices[0].0 + found.choices[1].0;
    let verdict =
        if sampled { "nothing found meets the request" } else { "nothing meets the request" };
    let text = format!(
        "{verdict}: {} ways to join the sets were tried with {} sets of teeth",
        grouped(ways),
        grouped(sets as u64)
    );
    match ways_out(brief, watch)? {
        Some(ways) => Ok(text + &ways + "\n  mend: change these keys in the brief"),
        None => Ok(text
            + "\n  which limits would have to give way was not known before effort.time_limit\n  \
               mend: allow more time, or change keys of the brief"),
    }
}

/// What would do, a line each with a line before them; `None` where the time was over.
fn ways_out(brief: &ReductionBrief, watch: &Watch<'_>) -> Result<Option<String>, Error> {
    let lifts = Lift::all(brief);
    let list = |told: &[String]| told.iter().map(|way| format!("\n  - {way}")).join("");
    let alone = lifts.iter().map(|lift| vec![*lift]);
    let Some(told) = tried(brief, alone, WORK, lifts.len(), watch)? else { return Ok(None) };
    if !told.is_empty() {
        let text = "\n  each of these alone would do (found by seeking again without that limit; a \
                    smaller change may do too):";
        return Ok(Some(text.to_owned() + &list(&told)));
    }
    let pairs = lifts.iter().copied().combinations(2);
    let Some(told) = tried(brief, pairs, WORK_OF_TWO, PAIRS_TOLD, watch)? else { return Ok(None) };
    let text = if told.is_empty() {
        "\n  no limit of the brief, lifted alone or with one other, was found to let anything in: \
         more than two have to give way, as far as it was sought"
    } else {
        "\n  no limit, lifted alone, was found to let anything in; each of these pairs would do \
         (found by seeking again without both):"
    };
    Ok(Some(text.to_owned() + &list(&told)))
}

/// Why no reduction can have the wanted ratio, where that is known before anything is sought;
/// `None` where it may be had.
///
/// Derived: a single set with one member held turns at most (1 + ρ) : 1 (carrier out, ring held),
/// so a row of n at most (1 + ρ)ⁿ, either way; ρ is bounded by the brief. Other joints and
/// paired sets have no such bound.
pub fn out_of_reach(brief: &ReductionBrief) -> Option<String> {
    let train = &brief.train;
    let in_a_row = train.coupling == Coupling::Series || train.sets == [1];
    if train.kinds != [SetKind::Single] || !in_a_row || brief.stock.is_some() {
        return None;
    }
    let sets = train.sets.iter().copied().max().unwrap_or(1);
    let teeth = &brief.teeth;
    let ratio = teeth.base_ratio.1.min(f64::from(teeth.ring.1) / f64::from(teeth.sun.0));
    let reach = |sets: u8| (1.0 + ratio).powi(i32::from(sets));
    let (target, off) = (to_f64(&brief.ratio.target), brief.ratio.tolerance);
    // Overdrive is the same the other way round.
    let least = if target > 1.0 { target * (1.0 - off) } else { 1.0 / (target * (1.0 + off)) };
    if least <= reach(sets) * (1.0 + 1e-9) {
        return None;
    }
    let (plural, most) = (if sets == 1 { "set" } else { "sets" }, reach(sets));
    let mut text = format!(
        "nothing meets the request: {sets} single {plural} in a row make {most:.1} : 1 at most, \
         (1 + {ratio:.2}) for each, since the base ratio ring / sun is {ratio:.2} at most \
         (teeth.base_ratio, teeth.ring, teeth.sun); {least:.1} : 1 is asked for"
    );
    let enough = (sets + 1..=4).find(|&more| least <= reach(more));
    let mut ways: Vec<String> =
        enough.map(|more| format!("train.sets = {more}")).into_iter().collect();
    if enough.is_none() || sets < 3 {
        ways.push(format!("train.sets = {} and train.coupling = \"any\"", (sets + 1).clamp(2, 4)));
    }
    ways.retain(|way| is_read(brief, way));
    if !ways.is_empty() {
        text += &format!("\n  mend: take at least {}", ways.join(", or "));
    } else {
        text += "\n  mend: ask for a smaller ratio, or widen teeth.base_ratio";
    }
    Some(text)
}

/// What a variant without anything on its front would need, where others have something:
/// materials decide about widths alone, so only these are lifted.
///
/// # Errors
/// [`Error::Work`] when threads cannot be started.
pub fn too_weak(
    brief: &ReductionBrief,
    variant: usize,
    watch: &Watch<'_>,
) -> Result<String, Error> {
    let name = &brief.variants[variant].name;
    let alone = ReductionBrief { variants: vec![brief.variants[variant].clone()], ..brief.clone() };
    let pool = pool_of(watch.controls())?;
    let best = pool.install(|| best_without(&alone, &[Lift::Width], WORK_OF_VARIANT, watch));
    let way = best.and_then(|best| sentence(&alone, &[Lift::Width], &best));
    Ok(match way {
        Some(way) => format!("no reduction in {name} bears the load; {way}."),
        None => format!("no reduction in {name} was found."),
    })
}

/// Sentences of the first `most` of these sets of limits without which something is found;
/// `None` where the time of the brief was over before all were tried.
fn tried(
    brief: &ReductionBrief,
    lifted: impl Iterator<Item = Vec<Lift>>,
    work: u64,
    most: usize,
    watch: &Watch<'_>,
) -> Result<Option<Vec<String>>, Error> {
    let pool = pool_of(watch.controls())?;
    watch.progress().phase("seeking which limits would have to give way", 0);
    let mut told = Vec::new();
    for lifts in lifted {
        let best = pool.install(|| best_without(brief, &lifts, work, watch));
        match watch.stop() {
            Stop::Finished => {}
            Stop::Interrupted => {
                let text = "nothing meets the request; interrupted while it was sought which \
                            limits would have to give way";
                return Err(Error::Interrupted(text.to_owned()));
            }
            Stop::TimeLimit | Stop::MemoryLimit => return Ok(None),
        }
        told.extend(best.and_then(|best| sentence(brief, &lifts, &best)));
        if told.len() == most {
            break;
        }
    }
    Ok(Some(told))
}

/// Of what is found without these limits, the one that is least beyond them.
fn best_without(
    brief: &ReductionBrief,
    lifts: &[Lift],
    mut work: u64,
    watch: &Watch<'_>,
) -> Option<Found> {
    let mut lifted = brief.clone();
    let objectives = lifts.iter().flat_map(|lift| lift.objectives(brief));
    lifted.objectives = objectives.unique().collect();
    lifted.effort.tries = TRIES;
    lifted.ratio.close_enough = 0.0;
    lifts.iter().for_each(|lift| lift.off(brief, &mut lifted));
    // A trial ends with its work, so how far it is in its space says nothing.
    let plan = Plan::new(&lifted, watch, &Quiet)?;
    let nothing = vec![Vec::new(); plan.groups.len()];
    let archives =
        lifted.variants.iter().map(|variant| plan.variant(variant, &nothing, &mut work, watch));
    let excess =
        |found: &Found| lifts.iter().map(|lift| lift.excess(brief, found)).fold(1.0, f64::max);
    let all = archives.flat_map(|archive| archive.front);
    all.min_by(|a, b| excess(a).total_cmp(&excess(b)))
}

/// `room.bore = 97.5 would let in 57.5714 with sets 21/55, 22/62`.
fn sentence(brief: &ReductionBrief, lifts: &[Lift], best: &Found) -> Option<String> {
    let changes = lifts.iter().map(|lift| lift.change(brief, best));
    let changes = changes.collect::<Option<Vec<String>>>()?.join(" with ");
    let teeth = best.choices.iter().map(|choice| format!("{}/{}", choice.set.sun, choice.set.ring));
    let sign = if best.ratio.is_negative() { "−" } else { "" };
    let ratio = to_f64(&best.ratio).abs();
    let teeth = teeth.into_iter().join(", ");
    Some(format!("{changes} would let in {sign}{ratio:.4} with sets {teeth}"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::brief::no_list;
    use crate::search::Controls;
    use std::sync::atomic::{AtomicBool, Ordering};

    const NARROW: &str = r#"
[ratio]
target = 57.6
tolerance = 0.002
[train]
sets = [2]
[room]
bore = 60.0
modules = [1.0]
[teeth]
sun = [12, 40]
ring = [40, 120]
[effort]
tries = 10
"#;

    fn best(threads: usize, work: u64) -> Option<Found> {
        let brief = ReductionBrief::parse(NARROW, "narrow", no_list).unwrap();
        let stop = AtomicBool::new(false);
        let controls = Controls { threads: Some(threads), stop: &stop, progress: &Quiet };
        let watch = Watch::timed(None, &controls);
        let pool = pool_of(&controls).unwrap();
        pool.install(|| best_without(&brief, &[Lift::Bore], work, &watch))
    }

    /// The work decides what a trial finds: not the threads, and not what else the machine does.
    #[test]
    fn a_trial_that_is_cut_finds_the_same_everywhere() {
        // The least power of two that finds something, and half of it, which finds nothing.
        let enough = (10..40).map(|power| 1 << power).find(|&work| best(2, work).is_some());
        let enough = enough.expect("a trial with all the work there is finds something");
        let cut = best(2, enough);
        let done = AtomicBool::new(false);
        std::thread::scope(|scope| {
            for _ in 0..3 {
                scope.spawn(|| {
                    while !done.load(Ordering::Relaxed) {
                        std::hint::spin_loop()
                    }
                });
            }
            for threads in [1, 2, 7] {
                assert_eq!(best(threads, enough), cut, "{threads} threads");
                assert_eq!(best(threads, enough / 2), None, "{threads} threads");
            }
            done.store(true, Ordering::Relaxed);
        });
    }
}
