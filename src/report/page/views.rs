//! What the page shows, as words and numbers ready to be set: nothing is worked out in the
//! template.

use itertools::Itertools;
use serde::Serialize;

use super::super::layouts::{layout_file, show_command};
use super::super::number::{decimals, plain};
use super::super::pictures::{shown, unit, words};
use super::super::record::{Candidate, GearRow, Kind, Record, Stage};
use super::building::Building;
use super::reductions;
use crate::num::{fraction, grouped, listed};
use crate::score::{Better, Criterion};
use crate::train::{Grip, Layout, ShaftId};

/// The counts of the run in words.
#[derive(Serialize)]
pub(super) struct Facts {
    front: String,
    candidates: String,
    cores: String,
    layouts: String,
    states: String,
    objectives: String,
    several: bool,
    /// Whether the page shows only a part of the front.
    partly: bool,
}

impl Facts {
    pub fn of(record: &Record) -> Self {
        let objectives = record.objectives.iter().map(|&objective| words(objective)).collect_vec();
        Self {
            front: grouped(record.front().count() as u64),
            candidates: grouped(record.found),
            cores: grouped(record.space.cores),
            layouts: grouped(record.space.layouts),
            states: grouped(record.space.states),
            several: objectives.len() > 1,
            partly: record.shown().count() < record.front().count(),
            objectives: listed(&objectives, "and"),
        }
    }
}

/// A cell: what is shown, and what is sorted by.
#[derive(Serialize)]
pub(super) struct Cell {
    pub text: String,
    pub key: String,
    pub class: &'static str,
}

impl Cell {
    pub fn number(value: Option<f64>, text: impl FnOnce(f64) -> String) -> Self {
        match value.filter(|value| value.is_finite()) {
            Some(value) => Self { text: text(value), key: plain(value), class: "number" },
            None => Self { text: "–".to_owned(), key: String::new(), class: "number" },
        }
    }

    pub fn text(text: String, class: &'static str) -> Self {
        Self { key: text.clone(), text, class }
    }
}

#[derive(Serialize)]
pub(super) struct Column {
    pub name: String,
    pub hint: String,
    pub class: &'static str,
}

/// The table of the front.
#[derive(Serialize)]
pub(super) struct FrontTable {
    pub columns: Vec<Column>,
    pub rows: Vec<Row>,
}

#[derive(Serialize)]
pub(super) struct Row {
    pub id: String,
    pub cells: Vec<Cell>,
}

/// Criteria that have a column of their own or are told by one.
const SHOWN: [Criterion; 4] = [
    Criterion::Spread,
    Criterion::StepDeviation,
    Criterion::ElementCount,
    Criterion::ShiftElements,
];

impl FrontTable {
    pub fn of(record: &Record) -> Self {
        if record.kind == Kind::Reduction {
            return reductions::front_table(record);
        }
        let further: Vec<Criterion> =
            record.objectives.iter().copied().filter(|other| !SHOWN.contains(other)).collect();
        let row = |candidate: &Candidate| Row {
            id: candidate.id.clone(),
            cells: cells(record, candidate, &further),
        };
        Self { columns: columns(&further), rows: record.shown().map(row).collect() }
    }
}

fn columns(further: &[Criterion]) -> Vec<Column> {
    let column = |name: &str, hint: &str, class| Column {
        name: name.to_owned(),
        hint: hint.to_owned(),
        class,
    };
    let mut columns = vec![
        column("gears", "forward ratios, first to top", "text"),
        column("first", "ratio of the first gear", "number"),
        column("top", "ratio of the top gear", "number"),
        column("spread", "first ratio / top ratio", "number"),
        column("worst step", "how far the worst step is off the wanted one", "number"),
        column("elements", "sets + shift elements", "number"),
        column("reverse", "ratio of the reverse gears", "number"),
    ];
    columns.extend(further.iter().map(|&criterion| Column {
        name: words(criterion),
        hint: criterion.about().3.to_owned(),
        class: "number",
    }));
    columns.push(column("twins", "other layouts with the same ratios in every state", "number"));
    columns.push(column("canonical", "the wiring in one spelling", "text"));
    columns
}

fn cells(record: &Record, candidate: &Candidate, further: &[Criterion]) -> Vec<Cell> {
    let forward: Vec<f64> = candidate.forward().map(|gear| gear.value).collect();
    let (first, top) = (forward.first().copied(), forward.last().copied());
    let three = |value: f64| decimals(value, 3);
    let ladder = forward.iter().map(|&ratio| decimals(ratio, 2)).join("  ");
    let deviation = record.score(candidate, Criterion::StepDeviation);
    let off = deviation.map(|score| shown(Criterion::StepDeviation, score));
    let (sets, elements) = (candidate.layout.sets.len(), candidate.layout.elements.len());
    let reverse: Vec<f64> = candidate.reverse().map(|gear| gear.value).collect();
    let mut cells = vec![
        // Ladders sort by their first ratio, which is where they differ most.
        Cell { text: ladder, key: first.map(plain).unwrap_or_default(), class: "ladder" },
        Cell::number(first, three),
        Cell::number(top, three),
        Cell::number(first.zip(top).map(|(first, top)| first / top), three),
        Cell::number(off, |value| format!("{} %", decimals(value, 2))),
        Cell {
            text: format!("{sets} + {elements}"),
            key: (sets + elements).to_string(),
            class: "number",
        },
        Cell {
            text: reverse.iter().map(|&ratio| three(ratio)).join("  "),
            key: reverse.first().copied().map(plain).unwrap_or_default(),
            class: "number",
        },
    ];
    cells.extend(further.iter().map(|&criterion| {
        let score = record.score(candidate, criterion).map(|score| shown(criterion, score));
        Cell::number(score, |value| with_unit(criterion, value))
    }));
    let count = candidate.twins.len() as u64;
    let twins = Some(count as f64);
    cells.push(Cell::number(twins, |_| grouped(count)));
    cells.push(Cell::text(candidate.canonical.clone(), "spelling"));
    cells
}

pub(super) fn with_unit(criterion: Criterion, value: f64) -> String {
    if criterion == Criterion::Nests {
        return if value > 0.5 { "yes" } else { "no" }.to_owned();
    }
    let text = if value.fract() == 0.0 { decimals(value, 0) } else { decimals(value, 3) };
    format!("{text} {}", unit(criterion)).trim_end().to_owned()
}

/// One layout of the front in full.
#[derive(Serialize)]
pub(super) struct Detail {
    id: String,
    summary: String,
    elements: Vec<ElementHead>,
    gears: Vec<Shift>,
    sets: Vec<SetRow>,
    scores: Vec<(String, Cell)>,
    /// Of a reduction.
    building: Option<Building>,
    file: String,
    command: String,
    canonical: String,
    twins: String,
}

fn score_cell(record: &Record, candidate: &Candidate, criterion: Criterion) -> Cell {
    if record.kind == Kind::Reduction {
        return reductions::score_cell(record, candidate, criterion);
    }
    let score = record.score(candidate, criterion).map(|score| shown(criterion, score));
    Cell::number(score, |value| with_unit(criterion, value))
}

#[derive(Serialize)]
struct ElementHead {
    name: String,
    grip: String,
}

#[derive(Serialize)]
struct Shift {
    name: String,
    /// For every element its name where it is engaged.
    marks: Vec<String>,
    exact: String,
    value: String,
    step: String,
}

#[derive(Serialize)]
struct SetRow {
    number: usize,
    kind: &'static str,
    sun: u32,
    ring: u32,
    planet: String,
    planets: String,
    exact: String,
    base: String,
}

impl Detail {
    /// `place` is the one on the front.
    pub fn of(record: &Record, candidate: &Candidate, place: usize) -> Self {
        let layout = &candidate.layout;
        let head = layout.elements.iter().map(|element| ElementHead {
            name: element.name.clone(),
            grip: grip(layout, element.grip),
        });
        let scores = record
            .criteria
            .iter()
            .map(|&criterion| (words(criterion), score_cell(record, candidate, criterion)));
        Self {
            id: candidate.id.clone(),
            summary: spoken(candidate),
            elements: head.collect(),
            gears: shifts(candidate),
            sets: sets(layout),
            scores: scores.collect(),
            building: Building::of(record, candidate, place),
            file: layout_file(record.kind, candidate),
            command: show_command(&candidate.id),
            canonical: candidate.canonical.clone(),
            twins: grouped(candidate.twins.len() as u64),
        }
    }
}

/// Such as `3 sets, 2 brakes, 3 clutches`; of a reduction its ratio and teeth.
fn spoken(candidate: &Candidate) -> String {
    if let Some(workshop) = &candidate.workshop {
        return reductions::spoken(candidate, workshop);
    }
    let elements = &candidate.layout.elements;
    let brakes = elements.iter().filter(|e| matches!(e.grip, Grip::Brake(_))).count();
    let count = |number: usize, one: &str, many: &str| {
        format!("{number} {}", if number == 1 { one } else { many })
    };
    [
        count(candidate.layout.sets.len(), "set", "sets"),
        count(brakes, "brake", "brakes"),
        count(elements.len() - brakes, "clutch", "clutches"),
    ]
    .join(", ")
}

fn grip(layout: &Layout, grip: Grip) -> String {
    let name = |shaft: ShaftId| layout.shafts[shaft.0].name.as_str();
    match grip {
        Grip::Brake(shaft) => format!("brake on {}", name(shaft)),
        Grip::Clutch(a, b) => format!("clutch {} to {}", name(a), name(b)),
    }
}

fn shifts(candidate: &Candidate) -> Vec<Shift> {
    let forward: Vec<&GearRow> = candidate.forward().collect();
    let step = |gear: &GearRow| {
        let pair = forward.windows(2).find(|pair| pair[0].name == gear.name);
        pair.map_or(String::new(), |pair| decimals(pair[0].value / pair[1].value, 3))
    };
    let shift = |gear: &GearRow| Shift {
        name: gear.name.clone(),
        marks: {
            let elements = candidate.layout.elements.iter();
            let on = |name: &String| gear.engaged.contains(name);
            let mark = |name: &String| if on(name) { name.clone() } else { String::new() };
            elements.map(|element| mark(&element.name)).collect()
        },
        exact: gear.ratio.to_string().replace('-', "−"),
        value: decimals(gear.value, 4),
        step: step(gear),
    };
    candidate.gears.iter().map(shift).collect()
}

fn sets(layout: &Layout) -> Vec<SetRow> {
    let numbered = layout.sets.iter().enumerate();
    let row = numbered.map(|(index, set)| {
        let known = |value: Option<u32>| value.map_or("–".to_owned(), |value| value.to_string());
        let planet = match set.outer_planet {
            Some(outer) => format!("{} and {outer}", known(set.planet)),
            None => known(set.planet),
        };
        SetRow {
            number: index + 1,
            kind: set.kind.word(),
            sun: set.sun,
            ring: set.ring,
            planet,
            planets: known(set.planets),
            exact: fraction(i64::from(set.ring), i64::from(set.sun)).to_string(),
            base: decimals(set.base_ratio(), 4),
        }
    });
    row.collect()
}

/// One test of the funnel in words.
#[derive(Serialize)]
pub(super) struct FunnelRow {
    test: String,
    entered: String,
    left: String,
    fell: String,
    why: String,
}

impl FunnelRow {
    pub fn of(stage: &Stage) -> Self {
        Self {
            test: stage.test.clone(),
            entered: grouped(stage.entered),
            left: grouped(stage.left),
            fell: share(stage.entered.saturating_sub(stage.left), stage.entered),
            why: stage.why.clone(),
        }
    }
}

/// A share in per cent that says neither 0 nor 100 where it is not.
fn share(part: u64, whole: u64) -> String {
    match part {
        _ if whole == 0 => "–".to_owned(),
        0 => "0 %".to_owned(),
        part if part == whole => "100 %".to_owned(),
        part => {
            let share = (part as f64 / whole as f64 * 100.0).clamp(0.01, 99.99);
            format!("{} %", decimals(share, if share > 1.0 && share < 99.0 { 0 } else { 2 }))
        }
    }
}

/// `(name, unit, better, meaning)` of every criterion of the record.
pub(super) fn criteria(record: &Record) -> Vec<(String, &'static str, &'static str, &'static str)> {
    let all = record.criteria.iter().map(|&criterion| {
        let better = match criterion.better() {
            Better::Higher => "more",
            Better::Lower => "less",
        };
        (words(criterion), unit(criterion), better, criterion.about().3)
    });
    all.collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shares_never_claim_all_or_nothing() {
        assert_eq!(share(0, 0), "–");
        assert_eq!(share(1, 1_000_000), "0.01 %");
        assert_eq!(share(999_999, 1_000_000), "99.99 %");
        assert_eq!(share(5, 5), "100 %");
        assert_eq!(share(1, 3), "33 %");
    }
}
