//! From the record to pictures: which criterion goes on which axis, in which unit.

use itertools::Itertools;
use rustc_hash::FxHashSet;

use super::record::{Candidate, Record};
use crate::draw::{Axis, Dot, Ladder, Picture, Rung, Scatter, Size, Standing, Third};
use crate::error::Error;
use crate::score::{Better, Criterion};

const WIDE: Size = Size { width: 1120, height: 700 };

/// The pictures of a record.
#[derive(Clone, Debug)]
pub struct Pictures {
    pub pareto: Picture,
    pub ladder: Picture,
}

impl Pictures {
    /// Draws them.
    ///
    /// # Errors
    /// [`Error::Work`] when a picture cannot be drawn.
    pub fn of(record: &Record) -> Result<Self, Error> {
        Ok(Self { pareto: scatter(record).draw(WIDE)?, ladder: ladder(record).draw(WIDE.width)? })
    }
}

/// The scatter of all candidates over the first two objectives, the third in the marks.
/// With fewer than two objectives, further criteria of the record serve as axes.
pub fn scatter(record: &Record) -> Scatter {
    let columns: Vec<Criterion> =
        record.objectives.iter().chain(&record.criteria).copied().unique().collect();
    let x = columns.first().copied().unwrap_or(Criterion::Spread);
    let y = columns.get(1).copied().unwrap_or(Criterion::StepDeviation);
    let third = record.objectives.get(2).copied();
    let on_front: FxHashSet<usize> = record.front.iter().copied().collect();
    let value = |candidate: &Candidate, criterion| {
        record.score(candidate, criterion).map_or(f64::NAN, |score| shown(criterion, score))
    };
    let dot = |(index, candidate): (usize, &Candidate)| Dot {
        name: candidate.id.clone(),
        at: (value(candidate, x), value(candidate, y)),
        third: third.and_then(|third| Some(shown(third, record.score(candidate, third)?))),
        standing: if on_front.contains(&index) { Standing::Front } else { Standing::Beaten },
    };
    // The front comes first in the order of display, so that its names choose first.
    let front =
        record.front.iter().filter_map(|&index| Some((index, record.candidates.get(index)?)));
    let beaten =
        record.candidates.iter().enumerate().filter(|(index, _)| !on_front.contains(index));
    Scatter {
        title: format!("{}: {} and {}", record.title, words(x), words(y)),
        x: axis(x),
        y: axis(y),
        third: third.map(|third| Third { title: words(third), better: third.better() }),
        dots: front.chain(beaten).map(dot).collect(),
        empty: "No layout met the request.".to_owned(),
    }
}

/// The ratios of the front's layouts.
pub fn ladder(record: &Record) -> Ladder {
    let rung = |candidate: &Candidate| Rung {
        name: candidate.id.clone(),
        gears: candidate.gears.iter().map(|gear| (gear.name.clone(), gear.value)).collect(),
    };
    Ladder {
        title: "The ratios of the front".to_owned(),
        rungs: record.front().map(rung).collect(),
    }
}

fn axis(criterion: Criterion) -> Axis {
    let unit = match unit(criterion) {
        "" => String::new(),
        unit => format!(", {unit}"),
    };
    let better = match criterion.better() {
        Better::Higher => "more is better",
        Better::Lower => "less is better",
    };
    Axis { title: format!("{}{unit} ({better})", words(criterion)), better: criterion.better() }
}

/// The name of a criterion as words.
pub(super) fn words(criterion: Criterion) -> String {
    match criterion {
        // The plain name hides what is counted.
        Criterion::ElementCount => "sets + shift elements".to_owned(),
        _ => criterion.name().replace('_', " "),
    }
}

/// The unit in which readers see a criterion.
pub(super) fn unit(criterion: Criterion) -> &'static str {
    match criterion {
        Criterion::StepDeviation => "%",
        _ => criterion.about().1,
    }
}

/// The value in the unit in which readers see it: a step deviation d = |ln φ − ln φ*| is
/// shown as (e^d − 1) · 100, by how many per cent the worst step is off.
pub(super) fn shown(criterion: Criterion, score: f64) -> f64 {
    match criterion {
        Criterion::StepDeviation => score.exp_m1() * 100.0,
        _ => score,
    }
}
