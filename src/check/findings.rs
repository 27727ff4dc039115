//! What a check has to tell: lines of what was looked at, and what was found against the folder.

use serde::Serialize;

use crate::train::{Layout, write_layout};

/// How far a check goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Scope {
    /// In whole numbers and fractions, all that the folder says of it.
    Exact,
    /// All that the folder says of it, by its printed decimals.
    Printed,
    /// All that the folder says of it, by the program's own functions once more.
    Rejudged,
    /// Every case there is was tried.
    Complete,
    /// Some cases were tried; nothing is said of the others.
    Sampled,
    /// Not looked at, and the line says why.
    Left,
}

impl Scope {
    pub fn word(self) -> &'static str {
        match self {
            Self::Exact => "exact",
            Self::Printed => "printed",
            Self::Rejudged => "rejudged",
            Self::Complete => "complete",
            Self::Sampled => "sampled",
            Self::Left => "left out",
        }
    }
}

/// One check: what was looked at, how, how much of it, and how much spoke against the folder.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Line {
    pub check: &'static str,
    pub scope: Scope,
    /// What was tried, in numbers and words.
    pub tried: String,
    pub against: usize,
}

/// Something in the folder that is not as it should be.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Discrepancy {
    /// File in the folder.
    pub file: String,
    /// Line, row or key in it.
    pub place: String,
    pub what: String,
    pub written: String,
    pub found: String,
}

/// A layout that meets the brief and that the front has no answer to.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Counterexample {
    pub canonical: String,
    /// Its gears with exact ratios, as the tables spell them.
    pub gears: String,
    /// The objectives of the brief by name, with at most six decimals.
    #[serde(serialize_with = "by_name")]
    pub objectives: Vec<(&'static str, Option<f64>)>,
    /// The row of the front that it beats; `None` where it beats none, but no row is as good.
    pub beats: Option<String>,
    #[serde(serialize_with = "as_file")]
    pub layout: Layout,
}

fn by_name<S: serde::Serializer>(
    objectives: &[(&'static str, Option<f64>)],
    serializer: S,
) -> Result<S::Ok, S::Error> {
    serializer.collect_map(objectives.iter().copied())
}

fn as_file<S: serde::Serializer>(layout: &Layout, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_str(&write_layout(layout))
}

/// All that a check found.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Verdict {
    pub checks: Vec<Line>,
    pub discrepancies: Vec<Discrepancy>,
    pub counterexamples: Vec<Counterexample>,
    /// Whether the user stopped it before its time was spent.
    pub interrupted: bool,
}

impl Verdict {
    /// Whether nothing was found against the folder.
    pub fn holds(&self) -> bool {
        self.discrepancies.is_empty() && self.counterexamples.is_empty()
    }

    /// Adds a check with what it found.
    pub fn add(
        &mut self,
        check: &'static str,
        scope: Scope,
        tried: impl Into<String>,
        found: Vec<Discrepancy>,
    ) {
        let against = found.len();
        self.checks.push(Line { check, scope, tried: tried.into(), against });
        self.discrepancies.extend(found);
    }
}
