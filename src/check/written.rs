//! What a results folder says, as data: read, not yet believed.

use super::standing::Gap;
use crate::brief::Brief;
use crate::num::{Fraction, parse_fraction};
use crate::score::Criterion;
use crate::train::Layout;

/// The results of a search as they are written.
#[derive(Clone, Debug)]
pub struct WrittenResults {
    pub brief: Brief,
    /// Whether the brief asks, by a key of its own, for layouts that nest.
    pub nesting_required: bool,
    /// What summary.json says of itself.
    pub complete: bool,
    pub space: SpaceWritten,
    /// The front as summary.json lists it.
    pub front_ids: Vec<String>,
    /// How far the front may lie from the best there is, by what the summary says; 0 without a
    /// word on it.
    pub gap: Gap,
    /// The scores that front.csv has columns for.
    pub columns: Vec<Criterion>,
    pub front: Vec<Row>,
    /// `None` where the folder has no candidates.csv.
    pub candidates: Option<Vec<Row>>,
    /// The layout files, in the order of `front`.
    pub layouts: Vec<Layout>,
}

/// Counts of what was searched.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, serde::Serialize)]
pub struct SpaceWritten {
    pub cores: u64,
    pub layouts: u64,
    pub states: u64,
}

/// One line of front.csv or candidates.csv.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Line of the file, the head being 1.
    pub line: u64,
    pub id: String,
    pub canonical: String,
    pub gears: Vec<WrittenGear>,
    /// One per [`Criterion::ALL`]; `None` for an empty cell or a column that is not there.
    pub scores: Vec<Option<f64>>,
    /// Canonical spellings of its twins, and how many the table says there are.
    pub twins: Vec<String>,
    pub twin_count: u64,
}

/// One gear of the column `gears`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WrittenGear {
    pub name: String,
    pub ratio: Fraction,
    /// The decimal number beside the fraction, exactly as written.
    pub decimal: Fraction,
    pub engaged: Vec<String>,
}

impl Row {
    pub fn score(&self, criterion: Criterion) -> Option<f64> {
        let place = Criterion::ALL.iter().position(|&other| other == criterion)?;
        self.scores.get(place).copied().flatten()
    }

    /// Where the row stands, for people.
    pub fn place(&self) -> String {
        format!("line {} ({})", self.line, self.id)
    }

    /// Whether some element is engaged in no gear; `false` where the table does not tell.
    pub fn has_spare_element(&self) -> bool {
        let mut used: Vec<&String> = self.gears.iter().flat_map(|gear| &gear.engaged).collect();
        used.sort_unstable();
        used.dedup();
        self.score(Criterion::ShiftElements).is_some_and(|all| (used.len() as f64) < all)
    }
}

impl WrittenGear {
    /// Reads a cell such as `1:27/11=2.454545 A+D; R:-11/5=-2.2 B+D`.
    pub fn all(cell: &str) -> Option<Vec<Self>> {
        cell.split("; ").map(Self::one).collect()
    }

    fn one(text: &str) -> Option<Self> {
        let (name, rest) = text.split_once(':')?;
        let (ratio, rest) = rest.split_once('=')?;
        let (decimal, engaged) = rest.split_once(' ')?;
        Some(Self {
            name: name.to_owned(),
            ratio: parse_fraction(ratio)?,
            decimal: signed_decimal(decimal)?,
            engaged: engaged.split('+').map(str::to_owned).collect(),
        })
    }
}

/// A decimal number exactly; a minus before a zero keeps its sign.
fn signed_decimal(text: &str) -> Option<Fraction> {
    match text.strip_prefix('-') {
        Some(size) => parse_fraction(size).map(|size| -size),
        None => parse_fraction(text),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::num::fraction;

    #[test]
    fn a_cell_of_gears_is_read() {
        let gears = WrittenGear::all("1:27/11=2.454545 A+D; R:-11/50=-0.22 B").unwrap();
        assert_eq!(gears[0].ratio, fraction(27, 11));
        assert_eq!(gears[0].engaged, ["A", "D"]);
        assert_eq!((gears[1].name.as_str(), &gears[1].decimal), ("R", &fraction(-11, 50)));
        for wrong in ["", "1:27/11", "1:27/11=x A", "1:27/0=1 A", "27/11=2 A"] {
            assert_eq!(WrittenGear::all(wrong), None, "{wrong}");
        }
    }
}
