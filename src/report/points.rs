//! All candidates as the page's scatter holds them: every score in two bytes.

use serde::Serialize;

use super::packed::packed;
use super::pictures::{shown, unit, words};
use super::record::{Candidate, Record};
use crate::error::Error;
use crate::score::{Better, Criterion};

/// The largest step of a score; one more marks a score that is not known.
const STEPS: u16 = u16::MAX - 1;
const UNKNOWN: u16 = u16::MAX;

/// What the script reads beside the packed columns.
#[derive(Serialize)]
struct Index {
    count: usize,
    /// Places of the front's layouts among the candidates, in the order of display.
    front: Vec<usize>,
    columns: Vec<Column>,
    /// Which columns are the objectives.
    objectives: Vec<usize>,
}

/// A criterion; a step k of a score stands for low + k (high − low) / 65534, in the unit
/// in which readers see it.
#[derive(Serialize)]
struct Column {
    name: &'static str,
    words: String,
    unit: &'static str,
    higher: bool,
    low: f64,
    high: f64,
    /// Whether all values are whole, so that the axis has whole ticks.
    whole: bool,
}

/// The texts that the page holds of all candidates.
#[derive(Serialize)]
pub(super) struct Points {
    /// JSON, safe inside a script element.
    pub index: String,
    /// Columns one after the other, each a 16-bit number a candidate, low byte first.
    pub scores: String,
    /// The candidates' names, one a line.
    pub names: String,
}

impl Points {
    /// # Errors
    /// [`Error::Work`] when a text cannot be made, which no known record brings about.
    pub fn of(record: &Record) -> Result<Self, Error> {
        let mut bytes = Vec::with_capacity(2 * record.candidates.len() * record.criteria.len());
        let mut columns = Vec::new();
        for &criterion in &record.criteria {
            let value = |candidate: &Candidate| {
                record.score(candidate, criterion).map(|score| shown(criterion, score))
            };
            let values: Vec<Option<f64>> = record.candidates.iter().map(value).collect();
            let column = Column::of(criterion, &values);
            bytes.extend(values.iter().flat_map(|&value| column.step(value).to_le_bytes()));
            columns.push(column);
        }
        let place = |objective| record.criteria.iter().position(|other| other == objective);
        let index = Index {
            count: record.candidates.len(),
            front: record.front.clone(),
            columns,
            objectives: record.objectives.iter().filter_map(place).collect(),
        };
        let names: Vec<&str> = record.candidates.iter().map(|one| one.id.as_str()).collect();
        let index = serde_json::to_string(&index)
            .map_err(|error| Error::Work(format!("the scatter could not be made: {error}")))?;
        // No value of ours holds a "<"; if one ever does, it ends no script.
        let index = index.replace('<', "\\u003c");
        Ok(Self { index, scores: packed(&bytes)?, names: packed(names.join("\n").as_bytes())? })
    }
}

impl Column {
    fn of(criterion: Criterion, values: &[Option<f64>]) -> Self {
        let known = || values.iter().flatten().copied();
        let low = known().reduce(f64::min).unwrap_or(0.0);
        let high = known().reduce(f64::max).unwrap_or(0.0);
        Self {
            name: criterion.name(),
            words: words(criterion),
            unit: unit(criterion),
            higher: criterion.better() == Better::Higher,
            low,
            high,
            whole: known().all(|value| value.fract() == 0.0),
        }
    }

    fn step(&self, value: Option<f64>) -> u16 {
        let Some(value) = value else { return UNKNOWN };
        let width = self.high - self.low;
        if width <= 0.0 {
            return 0;
        }
        // Within 0 and 65534 but for rounding, which the cast cuts off.
        ((value - self.low) / width * f64::from(STEPS)).round() as u16
    }
}
