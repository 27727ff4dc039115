//! Where nothing meets a brief: which of its limits would have to give way, and to what. Each
//! is lifted alone and the reductions sought again; nothing here is guessed.

use num_traits::Signed as _;

use super::archive::{Archive, Found};
use super::run::{Plan, Reductions};
use crate::brief::{BackDriving, Coupling, Direction, Limit, ReductionBrief};
use crate::error::Error;
use crate::num::{grouped, to_f64};
use crate::score::{Better, Criterion};
use crate::search::{Controls, Watch, pool_of};
use crate::train::SetKind;

/// One limit lifted, and what is read off what then is found.
struct Trial {
    /// What is written in the brief, for the sentence.
    key: String,
    brief: ReductionBrief,
    told: Told,
}

/// What the best that a trial finds says.
enum Told {
    /// The value of a criterion to which the limit would have to go.
    Score(Criterion),
    /// The tolerance.
    Tolerance,
    /// The face width in modules, or else the torque.
    Width,
    /// Nothing but that it is enough.
    Enough(String),
}

/// Millions of tries of one trial, and its seconds.
const TRIES: u64 = 30;
const SECONDS: f64 = 4.0;
/// Seconds of the trial that a variant gets where others bear the load.
const SECONDS_OF_VARIANT: f64 = 2.5;
/// Largest tolerance that is tried: a ratio twice off is another wish.
const WIDEST: f64 = 0.45;

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
    let pool = pool_of(controls)?;
    let mut ways_out = Vec::new();
    for trial in trials(brief) {
        let watch = Watch::timed(Some(SECONDS), controls);
        let best = pool.install(|| best_of(&trial, &watch));
        if controls.stopped() {
            return Err(Error::Interrupted("interrupted; nothing was found until then".into()));
        }
        ways_out.extend(best.map(|best| sentence(brief, &trial, &best)));
    }
    if ways_out.is_empty() {
        text += "\n  no limit of the brief, lifted alone, lets anything in: more than one has to \
                 give way";
    } else {
        text += "\n  each of these alone would do (found by seeking again without that limit; a \
                 smaller change may do too):";
        ways_out.iter().for_each(|way| text += &format!("\n  - {way}"));
    }
    Ok(text + "\n  mend: change one of these keys in the brief")
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
    let trial =
        wider(&ReductionBrief { variants: vec![brief.variants[variant].clone()], ..brief.clone() });
    let watch = Watch::timed(Some(SECONDS_OF_VARIANT), controls);
    let best = pool_of(controls)?.install(|| best_of(&trial, &watch));
    Ok(match best {
        Some(best) => format!(
            "no reduction in {} bears the load; {}.",
            brief.variants[variant].name,
            sentence(brief, &trial, &best)
        ),
        None => format!("no reduction in {} was found.", brief.variants[variant].name),
    })
}

/// The trial in which faces may be as wide as the load asks. Of what it finds the one whose
/// faces are least wide for their modules is told.
fn wider(brief: &ReductionBrief) -> Trial {
    let mut lifted = simpler(brief, Criterion::Length);
    lifted.objectives = vec![Criterion::Length, Criterion::OuterDiameter, Criterion::PartCount];
    lifted.room.width.1 = 1e4;
    Trial { key: "room.width".to_owned(), brief: lifted, told: Told::Width }
}

/// The largest face width in modules.
fn widest(found: &Found) -> f64 {
    let in_modules = found.widths.iter().zip(&found.choices).map(|(width, c)| width / c.module);
    in_modules.fold(0.0, f64::max)
}

/// The best of all variants by the objective of the trial.
fn best_of(trial: &Trial, watch: &Watch<'_>) -> Option<Found> {
    let brief = &trial.brief;
    let plan = Plan::new(brief);
    let nothing = vec![Vec::new(); plan.groups.len()];
    let archives = brief.variants.iter().map(|variant| plan.variant(variant, &nothing, watch));
    let value = |found: &Found| match trial.told {
        Told::Width => widest(found),
        _ => found.objectives[0],
    };
    let all = archives.flat_map(|archive: Archive| archive.front);
    all.min_by(|a, b| value(a).total_cmp(&value(b)))
}

/// A brief that asks for one thing only and takes little time.
fn simpler(brief: &ReductionBrief, objective: Criterion) -> ReductionBrief {
    let mut brief = brief.clone();
    brief.objectives = vec![objective];
    brief.effort.tries = TRIES;
    brief.ratio.close_enough = 0.0;
    brief
}

fn trials(brief: &ReductionBrief) -> Vec<Trial> {
    let mut trials = Vec::new();
    let mut add =
        |key: &str, told: Told, objective: Criterion, lift: &dyn Fn(&mut ReductionBrief)| {
            let mut lifted = simpler(brief, objective);
            lift(&mut lifted);
            trials.push(Trial { key: key.to_owned(), brief: lifted, told });
        };
    add("ratio.tolerance", Told::Tolerance, Criterion::RatioError, &|b| b.ratio.tolerance = WIDEST);
    if brief.room.bore.is_some() {
        let told = Told::Score(Criterion::OuterDiameter);
        add("room.bore", told, Criterion::OuterDiameter, &|b| b.room.bore = None);
    }
    if brief.room.length.is_some() {
        let told = Told::Score(Criterion::Length);
        add("room.length", told, Criterion::Length, &|b| b.room.length = None);
    }
    if brief.load.is_some() {
        trials.push(wider(brief));
    }
    let mut add =
        |key: &str, told: Told, objective: Criterion, lift: &dyn Fn(&mut ReductionBrief)| {
            let mut lifted = simpler(brief, objective);
            lift(&mut lifted);
            trials.push(Trial { key: key.to_owned(), brief: lifted, told });
        };
    for (index, limit) in brief.limits.iter().enumerate() {
        let key = format!("limits.{}", limit.criterion.name());
        let told = Told::Score(limit.criterion);
        add(&key, told, limit.criterion, &|b| _ = b.limits.remove(index));
    }
    let error = Criterion::RatioError;
    let enough = |word: &str| Told::Enough(word.to_owned());
    if brief.train.back_driving != BackDriving::Free {
        let lift = |b: &mut ReductionBrief| b.train.back_driving = BackDriving::Free;
        add("train.back_driving", enough("\"free\""), error, &lift);
    }
    if brief.ratio.direction != Direction::Either {
        let lift = |b: &mut ReductionBrief| b.ratio.direction = Direction::Either;
        add("ratio.direction", enough("\"either\""), error, &lift);
    }
    if brief.train.coupling != Coupling::Any {
        let lift = |b: &mut ReductionBrief| b.train.coupling = Coupling::Any;
        add("train.coupling", enough("\"any\""), error, &lift);
    }
    if brief.train.kinds == [SetKind::Single] {
        let kinds = vec![SetKind::Single, SetKind::Paired];
        let lift = |b: &mut ReductionBrief| b.train.kinds.clone_from(&kinds);
        add("train.kinds", enough("[\"single\", \"paired\"]"), error, &lift);
    }
    let most = brief.train.sets.iter().copied().max().unwrap_or(1);
    if most < 4 {
        let lift = |b: &mut ReductionBrief| b.train.sets = vec![most + 1];
        add("train.sets", enough(&(most + 1).to_string()), error, &lift);
    }
    if brief.room.equal_rings {
        add("room.equal_rings", enough("false"), error, &|b| b.room.equal_rings = false);
    }
    trials
}

/// `room.bore = 97.5 would let in 57.571 (…)`.
fn sentence(brief: &ReductionBrief, trial: &Trial, best: &Found) -> String {
    let score = |criterion: Criterion| {
        let place = Criterion::REDUCTION.iter().position(|other| *other == criterion);
        place.and_then(|place| best.scores[place]).unwrap_or(0.0)
    };
    let up = |value: f64, step: f64| (value / step - 1e-9).ceil() * step;
    let teeth: Vec<String> = best
        .choices
        .iter()
        .map(|choice| format!("{}/{}", choice.set.sun, choice.set.ring))
        .collect();
    let found = format!(
        "{}{:.4} with sets {}",
        if best.ratio.is_negative() { "−" } else { "" },
        to_f64(&best.ratio).abs(),
        teeth.join(", ")
    );
    let change = match &trial.told {
        Told::Enough(word) => format!("{} = {word}", trial.key),
        Told::Tolerance => {
            let needed = up(score(Criterion::RatioError) / 100.0, 1e-6);
            format!("ratio.tolerance = {needed:.6}")
        }
        Told::Width => return width(brief, best, &found),
        Told::Score(criterion) => {
            let value = score(*criterion);
            match brief.limits.iter().find(|limit| limit.criterion == *criterion) {
                Some(limit) if trial.key.starts_with("limits.") => limit_words(limit, value),
                _ => format!("{} = {:.1}", trial.key, up(value, 0.1)),
            }
        }
    };
    format!("{change} would let in {found}")
}

fn limit_words(limit: &Limit, value: f64) -> String {
    let name = limit.criterion.name();
    match limit.criterion.better() {
        Better::Higher => {
            format!("limits.{name} = {{ least = {:.4} }}", (value * 1e4).floor() / 1e4)
        }
        Better::Lower => format!("limits.{name} = {{ most = {:.4} }}", (value * 1e4).ceil() / 1e4),
    }
}

/// The width that is needed in modules, or the torque that the given width bears: widths go
/// with the torque.
fn width(brief: &ReductionBrief, best: &Found, found: &str) -> String {
    let needed = widest(best);
    let (least, most) = brief.room.width;
    let torque = brief.load.as_ref().map_or(0.0, |load| load.output_torque);
    format!(
        "room.width = [{least}, {:.1}], or load.output_torque = {:.2}, would let in {found}",
        (needed * 10.0).ceil() / 10.0,
        (torque * most / needed * 100.0).floor() / 100.0
    )
}
