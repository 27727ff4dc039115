//! Where nothing meets a brief: which of its limits would have to give way, and to what. Each
//! is lifted alone, or where none is enough two together, and the reductions sought again;
//! nothing here is guessed.

use itertools::Itertools as _;
use num_traits::Signed as _;

use super::archive::Found;
use super::lift::Lift;
use super::run::{Plan, Reductions};
use crate::brief::ReductionBrief;
use crate::error::Error;
use crate::num::{grouped, to_f64};
use crate::search::{Controls, Watch, pool_of};

/// Millions of tries of one trial.
const TRIES: u64 = 30;
/// Seconds of a trial of one limit, of two, and of the trial that a variant gets where others
/// bear the load.
const SECONDS: f64 = 4.0;
const SECONDS_OF_TWO: f64 = 1.5;
const SECONDS_OF_VARIANT: f64 = 2.5;
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
    controls: &Controls<'_>,
) -> Result<String, Error> {
    let sampled = found.coverage.iter().any(|coverage| coverage.sampled.is_some());
    let ways: u64 = found.coverage.iter().map(|coverage| coverage.count.nesting).sum();
    let sets = found.choices[0].0 + found.choices[1].0;
    let verdict =
        if sampled { "nothing found meets the request" } else { "nothing meets the request" };
    let mut text = format!(
        "{verdict}: {} ways to join the sets were tried with {} sets of teeth",
        grouped(ways),
        grouped(sets as u64)
    );
    let lifts = Lift::all(brief);
    let alone = lifts.iter().map(|lift| vec![*lift]);
    let mut told = tried(brief, alone, SECONDS, lifts.len(), controls)?;
    if !told.is_empty() {
        text += "\n  each of these alone would do (found by seeking again without that limit; a \
                 smaller change may do too):";
    } else {
        let pairs = lifts.iter().copied().combinations(2);
        told = tried(brief, pairs, SECONDS_OF_TWO, PAIRS_TOLD, controls)?;
        text += if told.is_empty() {
            "\n  no limit of the brief, lifted alone or with one other, lets anything in: more than \
             two have to give way"
        } else {
            "\n  no limit, lifted alone, lets anything in; each of these pairs would do (found by \
             seeking again without both):"
        };
    }
    told.iter().for_each(|way| text += &format!("\n  - {way}"));
    Ok(text + "\n  mend: change these keys in the brief")
}

/// What a variant without anything on its front would need, where others have something:
/// materials decide about widths alone, so only these are lifted.
///
/// # Errors
/// [`Error::Work`] when threads cannot be started.
pub fn too_weak(
    brief: &ReductionBrief,
    variant: usize,
    controls: &Controls<'_>,
) -> Result<String, Error> {
    let name = &brief.variants[variant].name;
    let alone = ReductionBrief { variants: vec![brief.variants[variant].clone()], ..brief.clone() };
    let watch = Watch::timed(Some(SECONDS_OF_VARIANT), controls);
    let best = pool_of(controls)?.install(|| best_without(&alone, &[Lift::Width], &watch));
    Ok(match best {
        Some(best) => format!(
            "no reduction in {name} bears the load; {}.",
            sentence(&alone, &[Lift::Width], &best)
        ),
        None => format!("no reduction in {name} was found."),
    })
}

/// Sentences of the first `most` of these sets of limits without which something is found.
fn tried(
    brief: &ReductionBrief,
    lifted: impl Iterator<Item = Vec<Lift>>,
    seconds: f64,
    most: usize,
    controls: &Controls<'_>,
) -> Result<Vec<String>, Error> {
    let pool = pool_of(controls)?;
    let mut told = Vec::new();
    for lifts in lifted {
        let watch = Watch::timed(Some(seconds), controls);
        let best = pool.install(|| best_without(brief, &lifts, &watch));
        if controls.stopped() {
            return Err(Error::Interrupted("interrupted; nothing was found until then".into()));
        }
        told.extend(best.map(|best| sentence(brief, &lifts, &best)));
        if told.len() == most {
            break;
        }
    }
    Ok(told)
}

/// Of what is found without these limits, the one that is least beyond them.
fn best_without(brief: &ReductionBrief, lifts: &[Lift], watch: &Watch<'_>) -> Option<Found> {
    let mut lifted = brief.clone();
    let objectives = lifts.iter().flat_map(|lift| lift.objectives(brief));
    lifted.objectives = objectives.unique().collect();
    lifted.effort.tries = TRIES;
    lifted.ratio.close_enough = 0.0;
    lifts.iter().for_each(|lift| lift.off(brief, &mut lifted));
    let plan = Plan::new(&lifted);
    let nothing = vec![Vec::new(); plan.groups.len()];
    let archives = lifted.variants.iter().map(|variant| plan.variant(variant, &nothing, watch));
    let excess =
        |found: &Found| lifts.iter().map(|lift| lift.excess(brief, found)).fold(1.0, f64::max);
    let all = archives.flat_map(|archive| archive.front);
    all.min_by(|a, b| excess(a).total_cmp(&excess(b)))
}

/// `room.bore = 97.5 would let in 57.5714 with sets 21/55, 22/62`.
fn sentence(brief: &ReductionBrief, lifts: &[Lift], best: &Found) -> String {
    let changes = lifts.iter().map(|lift| lift.change(brief, best)).join(" with ");
    let teeth = best.choices.iter().map(|choice| format!("{}/{}", choice.set.sun, choice.set.ring));
    let sign = if best.ratio.is_negative() { "−" } else { "" };
    let ratio = to_f64(&best.ratio).abs();
    format!("{changes} would let in {sign}{ratio:.4} with sets {}", teeth.into_iter().join(", "))
}
