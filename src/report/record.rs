//! The record of a run as data: everything that any writer may say.

use num_traits::Signed;
use serde::Serialize;

use crate::account::{Account, Workshop};
use crate::folder::Extent;
use crate::num::Fraction;
use crate::score::Criterion;
use crate::train::Layout;

/// What was asked, what was searched, what fell where and why, and what is left.
///
/// Two runs of one brief make equal records but for [`Record::elapsed_s`] and
/// [`Record::spent_s`].
#[derive(Clone, Debug)]
pub struct Record {
    pub kind: Kind,
    pub title: String,
    /// The brief in canonical TOML, every key written out.
    pub brief: String,
    /// The request in a plain sentence.
    pub request: String,
    /// Version of the program.
    pub version: String,
    /// Whether the run finished; only then may it say "all".
    pub complete: bool,
    /// What the results rest on: all of the request, or some of its work.
    pub extent: Extent,
    /// Why the run ended, such as `finished`.
    pub stopped: String,
    /// Sentences: what is exact, what is sampled, what is proved.
    pub coverage: Vec<String>,
    pub space: SpaceCount,
    pub funnel: Vec<Stage>,
    /// What the front is made by; pictures show the first three.
    pub objectives: Vec<Criterion>,
    /// The columns of scores.
    pub criteria: Vec<Criterion>,
    pub candidates: Vec<Candidate>,
    /// How many met the request; more than `candidates` where the brief keeps fewer.
    pub found: u64,
    /// Indices into `candidates` in the order of display.
    pub front: Vec<usize>,
    /// How many of the front, the first ones, the page shows.
    pub shown: usize,
    /// What is proved of the front of a search; of no meaning elsewhere.
    pub proof: Option<FrontProof>,
    /// Wall time in seconds; stands in `summary.json` and nowhere else.
    pub elapsed_s: f64,
    /// Of these, seconds of sifting, of solving and of scoring; told, never written.
    pub spent_s: [f64; 3],
}

/// What kind of run made a record.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Gearboxes with several gears.
    Search,
    /// Reductions: one ratio each, nothing to shift.
    Reduction,
}

impl Kind {
    /// The command that makes it.
    pub fn command(self) -> &'static str {
        match self {
            Self::Search => "search",
            Self::Reduction => "reduce",
        }
    }
}

/// Differences of two objectives.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct ProvedGap {
    pub ln_spread: f64,
    pub step_deviation: f64,
}

/// How far it is proved that nothing beats the front.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FrontProof {
    /// The objectives that the proof is about.
    pub objectives: Vec<&'static str>,
    /// The gap that was asked for.
    pub gap: ProvedGap,
    /// The gap by which nothing beats the front; `None` where nothing is proved of all.
    pub reached: Option<ProvedGap>,
    /// Classes of layouts that were searched to their end, and those left open.
    pub classes: u64,
    pub open: u64,
    /// Boxes of base ratios that were bounded, and choices of teeth that were tried.
    pub boxes: u64,
    pub points: u64,
}

/// How much was searched.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct SpaceCount {
    pub cores: u64,
    pub layouts: u64,
    pub states: u64,
}

/// One test of the funnel.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Stage {
    pub test: String,
    /// How many came to the test.
    #[serde(rename = "in")]
    pub entered: u64,
    /// How many passed it.
    #[serde(rename = "out")]
    pub left: u64,
    /// What the test asks, in a sentence.
    pub why: String,
}

/// A layout that meets the request.
#[derive(Clone, Debug)]
pub struct Candidate {
    /// Short name; also a file name, so of ASCII letters, digits, `-` and `_` only.
    pub id: String,
    /// The canonical spelling of its wiring.
    pub canonical: String,
    /// With teeth and gears.
    pub layout: Layout,
    /// First to top gear, then reverses.
    pub gears: Vec<GearRow>,
    /// One per [`Record::criteria`].
    pub scores: Vec<Option<f64>>,
    /// Canonical spellings of the other layouts with the same ratios in every state.
    pub twins: Vec<String>,
    /// What the page tells of it; none behind the front, and in a front of more than the
    /// page can hold.
    pub account: Option<Box<Account>>,
    /// Of a reduction, what it takes to make it.
    pub workshop: Option<Box<Workshop>>,
}

/// A gear with its ratio.
#[derive(Clone, Debug)]
pub struct GearRow {
    pub name: String,
    /// Names of the engaged elements.
    pub engaged: Vec<String>,
    /// Input speed / output speed, exact.
    pub ratio: Fraction,
    /// The same as a float.
    pub value: f64,
}

impl Record {
    /// The layouts of the front in the order of display.
    pub fn front(&self) -> impl Iterator<Item = &Candidate> {
        self.front.iter().filter_map(|&index| self.candidates.get(index))
    }

    /// The layouts of the front that the page shows.
    pub fn shown(&self) -> impl Iterator<Item = &Candidate> {
        self.front().take(self.shown)
    }

    /// A score of a candidate, where it is known and finite.
    pub fn score(&self, candidate: &Candidate, criterion: Criterion) -> Option<f64> {
        let column = self.criteria.iter().position(|&other| other == criterion)?;
        candidate.scores.get(column).copied().flatten().filter(|score| score.is_finite())
    }
}

impl Candidate {
    /// The gears that do not reverse, first to top.
    pub fn forward(&self) -> impl Iterator<Item = &GearRow> {
        self.gears.iter().filter(|gear| gear.ratio.is_positive())
    }

    /// The gears that reverse.
    pub fn reverse(&self) -> impl Iterator<Item = &GearRow> {
        self.gears.iter().filter(|gear| gear.ratio.is_negative())
    }
}
