//! From the record to pictures: which criterion goes on which axis, in which unit.

use itertools::Itertools;
use rustc_hash::FxHashSet;

use super::record::{Candidate, Record};
use crate::brief::{Brief, GearWish};
use crate::draw::{
    Axis, Case, Cases, Dot, Funnel, Ladder, Matrix, Parallel, Picture, Quantity, Rung, Scatter,
    Shift, Size, Standing, Steps, Test, Third,
};
use crate::error::Error;
use crate::score::{Better, Criterion};

const WIDE: Size = Size { width: 1120, height: 700 };
/// Criteria that are worth an axis beside the objectives.
const TELLING: [Criterion; 3] =
    [Criterion::WorstEfficiency, Criterion::ElementTorque, Criterion::Nests];
const NOTHING: &str = "No layout met the request.";

/// The pictures of a record.
#[derive(Clone, Debug)]
pub struct Pictures {
    pub pareto: Picture,
    pub ladder: Picture,
    pub matrix: Picture,
    pub parallel: Picture,
    pub steps: Picture,
    pub funnel: Picture,
}

impl Pictures {
    /// Draws them.
    ///
    /// # Errors
    /// [`Error::Work`] when a picture cannot be drawn.
    pub fn of(record: &Record) -> Result<Self, Error> {
        Ok(Self {
            pareto: scatter(record).draw(WIDE)?,
            ladder: ladder(record).draw(WIDE.width)?,
            matrix: matrix(record).draw(WIDE.width)?,
            parallel: parallel(record).draw(Size { height: 480, ..WIDE })?,
            steps: steps(record).draw(WIDE.width)?,
            funnel: funnel(record).draw(WIDE.width)?,
        })
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
    let unnamed = record.front.iter().skip(record.shown).copied().collect::<FxHashSet<usize>>();
    let value = |candidate: &Candidate, criterion| {
        record.score(candidate, criterion).map_or(f64::NAN, |score| shown(criterion, score))
    };
    let dot = |(index, candidate): (usize, &Candidate)| Dot {
        // A front of hundreds is a line of marks; those that the page shows have names.
        name: if unnamed.contains(&index) { String::new() } else { candidate.id.clone() },
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
        empty: NOTHING.to_owned(),
    }
}

/// The ratios of the front's layouts, with the ladder that the brief wants.
pub fn ladder(record: &Record) -> Ladder {
    let wish = wish(record);
    let rung = |candidate: &Candidate| {
        let forward: Vec<f64> = candidate.forward().map(|gear| gear.value).collect();
        Rung {
            name: candidate.id.clone(),
            gears: candidate.gears.iter().map(|gear| (gear.name.clone(), gear.value)).collect(),
            wanted: wish.as_ref().map_or(Vec::new(), |wish| wish.progression.ladder(&forward)),
        }
    };
    Ladder {
        title: "The ratios of the front".to_owned(),
        rungs: record.shown().map(rung).collect(),
    }
}

/// What the brief of the record wants of the gears; `None` where its text is no brief.
fn wish(record: &Record) -> Option<GearWish> {
    Some(Brief::parse(&record.brief, "brief").ok()?.gears)
}

/// Every two objectives against each other, the third in the marks.
pub fn matrix(record: &Record) -> Matrix {
    Matrix {
        title: "The objectives, two by two".to_owned(),
        cases: cases(record, &record.objectives),
        marks: (record.objectives.len() > 2).then_some(2),
        empty: NOTHING.to_owned(),
    }
}

/// The front over the objectives and over what else tells layouts apart.
pub fn parallel(record: &Record) -> Parallel {
    let known = |criterion: &Criterion| {
        record.candidates.iter().any(|one| record.score(one, *criterion).is_some())
    };
    let telling = TELLING.iter().filter(|criterion| known(criterion));
    let columns: Vec<Criterion> =
        record.objectives.iter().chain(telling).copied().unique().collect();
    Parallel {
        title: "The front, criterion by criterion".to_owned(),
        cases: cases(record, &columns),
        empty: NOTHING.to_owned(),
    }
}

/// The candidates with these criteria as columns, the front first.
fn cases(record: &Record, columns: &[Criterion]) -> Cases {
    let quantity = |&criterion: &Criterion| Quantity {
        name: words(criterion),
        // Yes and no need no unit.
        unit: if criterion == Criterion::Nests { "" } else { unit(criterion) }.to_owned(),
        better: criterion.better(),
        yes_no: criterion == Criterion::Nests,
    };
    let case = |candidate: &Candidate, standing| Case {
        // Names of the beaten are never drawn.
        name: if standing == Standing::Front { candidate.id.clone() } else { String::new() },
        values: columns
            .iter()
            .map(|&criterion| Some(shown(criterion, record.score(candidate, criterion)?)))
            .collect(),
        standing,
    };
    let on_front: FxHashSet<usize> = record.front.iter().copied().collect();
    let front = record.front().map(|candidate| case(candidate, Standing::Front));
    let beaten = record.candidates.iter().enumerate();
    let beaten = beaten.filter(|(index, _)| !on_front.contains(index));
    let beaten = beaten.map(|(_, candidate)| case(candidate, Standing::Beaten));
    Cases {
        quantities: columns.iter().map(quantity).collect(),
        list: front.chain(beaten).collect(),
    }
}

/// The steps of the front and of all candidates, shift by shift.
pub fn steps(record: &Record) -> Steps {
    let mut shifts: Vec<Shift> = Vec::new();
    let on_front: FxHashSet<usize> = record.front.iter().copied().collect();
    for (index, candidate) in record.candidates.iter().enumerate() {
        for (place, (gear, next)) in candidate.forward().tuple_windows().enumerate() {
            if place == shifts.len() {
                let name = format!("{}–{}", gear.name, next.name);
                shifts.push(Shift { name, front: Vec::new(), all: Vec::new() });
            }
            let step = gear.value / next.value;
            shifts[place].all.push(step);
            if on_front.contains(&index) {
                shifts[place].front.push(step);
            }
        }
    }
    // With target ratios the window of steps has no meaning.
    let windows = wish(record).filter(|wish| wish.targets.is_none());
    Steps {
        title: "Steps between neighbouring gears".to_owned(),
        shifts,
        wanted: windows.map(|wish| wish.step),
        empty: "No layout has two forward gears.".to_owned(),
    }
}

/// How many layouts came to each test and how many were left.
pub fn funnel(record: &Record) -> Funnel {
    let test = |stage: &super::record::Stage| Test {
        name: stage.test.clone(),
        came: stage.entered,
        left: stage.left,
    };
    let more = record.funnel.iter().any(|stage| stage.left > stage.entered);
    let note = if more {
        "Where more are left than came, layouts went on with several choices of teeth each."
    } else {
        ""
    };
    Funnel {
        note: note.to_owned(),
        title: "The funnel: what each test left".to_owned(),
        tests: record.funnel.iter().map(test).collect(),
        empty: "Nothing was tested.".to_owned(),
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
