//! What counts: objectives, limits on scores, and the effort that may be spent.

use std::collections::BTreeMap;

use super::checks::show;
use super::dialect::{Dialect, nearest};
use super::fault::quote;
use super::keys::SEARCH;
use super::written::{WrittenEffort, WrittenLimit};
use crate::error::Mistake;
use crate::score::Criterion;
use crate::train::MAX_SETS;

/// Layouts of the front that the report shows where the brief does not say how many.
pub(super) const SHOWN: usize = 20;

/// A bound that a layout must keep to be kept itself; at least one end is given.
#[derive(Clone, Debug, PartialEq)]
pub struct Limit {
    pub criterion: Criterion,
    /// Smallest value allowed, in the criterion's unit.
    pub least: Option<f64>,
    /// Largest value allowed, in the criterion's unit.
    pub most: Option<f64>,
}

impl Limit {
    /// Whether a score keeps the bound; both ends are included.
    pub fn holds(&self, score: f64) -> bool {
        self.least.is_none_or(|least| score >= least) && self.most.is_none_or(|most| score <= most)
    }
}

/// What may be spent on the search.
#[derive(Clone, Debug, PartialEq)]
pub struct Effort {
    /// Boxes of base ratios that may be tried for one class of layouts, 1 to 65536.
    pub samples: u32,
    /// Seconds after which the search stops and tells what it has, if limited.
    pub time_limit_s: Option<f64>,
    /// MiB of memory that the search may take, if limited.
    pub memory_limit_mib: Option<u64>,
    /// Whether no class may be left undecided: boxes are tried until teeth are found or all
    /// are excluded.
    pub prove: bool,
    /// By how much in ln spread, and in step deviation, a layout must beat the front to be
    /// looked for; 0 where nothing is written, more with four sets.
    pub gap: (f64, f64),
    /// Whether all classes are held against one front. A study is not: it looks at each class.
    pub contest: bool,
    /// Most candidates kept in `candidates.csv`.
    pub keep: usize,
}

impl Default for Effort {
    fn default() -> Self {
        Self {
            samples: 4000,
            time_limit_s: None,
            memory_limit_mib: None,
            prove: false,
            gap: (0.0, 0.0),
            contest: true,
            keep: 20_000,
        }
    }
}

/// The objectives of the brief, in its order; without any, those of `default`.
/// `has_a_value` refuses a criterion that means nothing in this brief.
pub(super) fn objectives(
    dialect: &Dialect,
    written: Option<&Vec<String>>,
    default: &[Criterion],
    has_a_value: impl Fn(&str, Criterion) -> Result<(), Mistake>,
) -> Result<Vec<Criterion>, Mistake> {
    let key = "score.objectives";
    let Some(names) = written else { return Ok(default.to_vec()) };
    if names.is_empty() {
        return Err(dialect.wrong(key, "is an empty list"));
    }
    let mut objectives = Vec::new();
    for name in names {
        let criterion = named(dialect, key, name)?;
        if objectives.contains(&criterion) {
            let problem = format!("lists \"{name}\" twice");
            return Err(Mistake::at(key, problem, "list every objective once"));
        }
        has_a_value(key, criterion)?;
        objectives.push(criterion);
    }
    Ok(objectives)
}

/// The objectives of a brief for `search` that names none.
pub(super) const DEFAULT: [Criterion; 3] =
    [Criterion::Spread, Criterion::StepDeviation, Criterion::ElementCount];

fn named(dialect: &Dialect, key: &str, name: &str) -> Result<Criterion, Mistake> {
    dialect.criterion(name).ok_or_else(|| {
        let names = dialect.criterion_names();
        let known = format!("the criteria are {}", names.join(", "));
        let mend = match nearest(name, &names) {
            Some(near) => format!("did you mean {near}? {known}"),
            None => known,
        };
        Mistake::at(key, format!("\"{}\" is not a criterion", quote(name)), mend)
    })
}

/// Refuses what has no value in a search for so many reverse gears.
pub(super) fn needs_reverse(
    key: &str,
    criterion: Criterion,
    reverse: usize,
) -> Result<(), Mistake> {
    if criterion == Criterion::ReverseToFirst && reverse == 0 {
        let mend = "ask for a reverse gear (gears.reverse = 1), or leave reverse_to_first out";
        return Err(Mistake::at(key, "reverse_to_first has no value without a reverse gear", mend));
    }
    Ok(())
}

/// The limits of the brief, in the order of [`Criterion`].
pub(super) fn limits(
    dialect: &Dialect,
    written: &BTreeMap<String, WrittenLimit>,
    has_a_value: impl Fn(&str, Criterion) -> Result<(), Mistake>,
) -> Result<Vec<Limit>, Mistake> {
    let mut limits = Vec::new();
    for (name, limit) in written {
        let key = format!("limits.{}", quote(name));
        let criterion = named(dialect, &key, name)?;
        has_a_value(&key, criterion)?;
        limits.push(understand_limit(dialect, &key, criterion, limit)?);
    }
    limits.sort_by_key(|limit| limit.criterion);
    Ok(limits)
}

fn understand_limit(
    dialect: &Dialect,
    key: &str,
    criterion: Criterion,
    written: &WrittenLimit,
) -> Result<Limit, Mistake> {
    let WrittenLimit { least, most } = *written;
    let (lowest, highest) = reach(criterion);
    let natural = || format!("{} is from {} to {}", criterion.name(), show(lowest), show(highest));
    if least.is_none() && most.is_none() {
        return Err(dialect.wrong(key, "has neither least nor most"));
    }
    for (end, value) in [("least", least), ("most", most)] {
        if let Some(value) = value.filter(|value| !value.is_finite()) {
            let mend = format!("write a number, or leave {end} out for no such limit");
            return Err(Mistake::at(format!("{key}.{end}"), format!("is {}", show(value)), mend));
        }
    }
    if let Some(least) = least.filter(|least| *least > highest) {
        let problem = format!("is {least}, which no layout reaches");
        return Err(Mistake::at(format!("{key}.least"), problem, natural()));
    }
    if let Some(most) = most.filter(|most| *most < lowest) {
        let problem = format!("is {most}, which every layout exceeds");
        return Err(Mistake::at(format!("{key}.most"), problem, natural()));
    }
    if let (Some(least), Some(most)) = (least, most)
        && least > most
    {
        let problem = format!("has least {least} above most {most}");
        let mend = format!("write {{ least = {most}, most = {least} }}");
        return Err(Mistake::at(key, problem, mend));
    }
    Ok(Limit { criterion, least, most })
}

/// Least and largest value that a criterion can have at all.
fn reach(criterion: Criterion) -> (f64, f64) {
    match criterion {
        Criterion::Spread => (1.0, f64::INFINITY),
        Criterion::ElementCount => (2.0, 12.0),
        Criterion::ShiftElements => (1.0, 8.0),
        Criterion::Sets => (1.0, 4.0),
        Criterion::SwapsPerShift => (0.0, 4.0),
        Criterion::OpenElements => (0.0, 8.0),
        Criterion::DirectGears | Criterion::GearsAfterFault => (0.0, 16.0),
        Criterion::WorstEfficiency
        | Criterion::MeanEfficiency
        | Criterion::BackEfficiency
        | Criterion::Efficiency
        | Criterion::Nests => (0.0, 1.0),
        Criterion::StepDeviation
        | Criterion::ReverseToFirst
        | Criterion::ElementTorque
        | Criterion::PlanetSpeed
        | Criterion::ShaftSpeed
        | Criterion::OpenSlip
        | Criterion::RollingPower
        | Criterion::BranchPower
        | Criterion::OuterDiameter
        | Criterion::RatioError
        | Criterion::Length
        | Criterion::PartCount
        | Criterion::DifferentGears
        | Criterion::Safety
        | Criterion::Price => (0.0, f64::INFINITY),
    }
}

/// The gap of briefs that name none: with up to three sets all can be proved.
pub(super) fn usual_gap(most_sets: u8) -> (f64, f64) {
    if usize::from(most_sets) == MAX_SETS { (0.001, 0.0005) } else { (0.0, 0.0) }
}

/// The effort that a brief allows, with so many sets at most.
pub(super) fn effort(written: &WrittenEffort, most_sets: u8) -> Result<Effort, Mistake> {
    let default = Effort::default();
    let tiny = f64::MIN_POSITIVE;
    Ok(Effort {
        samples: match written.samples {
            Some(count) => SEARCH.whole("effort.samples", count, (1, 65_536))?,
            None => default.samples,
        },
        time_limit_s: match written.time_limit {
            Some(seconds) => SEARCH.ceiling("effort.time_limit", seconds, (tiny, 1e9))?,
            None => default.time_limit_s,
        },
        memory_limit_mib: match written.memory_limit {
            Some(mib) => memory(mib)?,
            None => default.memory_limit_mib,
        },
        prove: written.prove.unwrap_or(default.prove),
        gap: written.gap.as_deref().map_or(Ok(usual_gap(most_sets)), gap)?,
        contest: default.contest,
        keep: match written.keep {
            Some(count) => SEARCH.whole("effort.keep", count, (1, 10_000_000))? as usize,
            None => default.keep,
        },
    })
}

fn gap(written: &[f64]) -> Result<(f64, f64), Mistake> {
    match *written {
        [spread, deviation] if [spread, deviation].iter().all(|gap| (0.0..=1.0).contains(gap)) => {
            Ok((spread, deviation))
        }
        _ => Err(SEARCH.wrong("effort.gap", format!("is {written:?}"))),
    }
}

/// How many layouts of the front the report shows.
pub(super) fn show_of(written: Option<i64>) -> Result<usize, Mistake> {
    match written {
        Some(count) => Ok(SEARCH.whole("score.show", count, (1, 1000))? as usize),
        None => Ok(SHOWN),
    }
}

fn memory(mib: f64) -> Result<Option<u64>, Mistake> {
    let key = "effort.memory_limit";
    let limit = SEARCH.ceiling(key, mib, (1.0, 1e9))?;
    if limit.is_some_and(|mib| mib.fract() != 0.0) {
        return Err(SEARCH.wrong(key, format!("is {}", show(mib))));
    }
    Ok(limit.map(|mib| mib as u64))
}
