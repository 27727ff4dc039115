//! The brief of an exam: what is asked, at what level, in how many parallel papers.

mod canonical;
mod keys;
#[cfg(test)]
mod reference_tests;
mod understood;
mod written;

use std::path::Path;

pub(super) use keys::EXAM;

use super::written::{read, text};
use crate::error::{Error, Mistake};
use crate::problem::{Form, Kind, Level, Topic};
use crate::teeth::ToothLimits;
use crate::train::read_text;

/// A request for parallel papers that has been checked.
#[derive(Clone, Debug, PartialEq)]
pub struct ExamBrief {
    /// One line for the heads of papers; the name where the file gives none.
    pub title: String,
    /// Name of the results folder: letters, digits, `-` and `_` only.
    pub name: String,
    pub level: Level,
    /// Kinds that may be asked, in the order of [`Kind::ALL`]; never empty.
    pub kinds: Vec<Kind>,
    /// Topics: an item is made where one of its topics is among these.
    pub topics: Vec<Topic>,
    /// Items of the pool from which papers are chosen.
    pub pool: usize,
    /// All chance comes from it.
    pub seed: u64,
    pub numbers: NumberWish,
    pub forms: FormsWish,
    pub paper: PaperWish,
}

impl ExamBrief {
    /// Reads a brief; its name is the file's, without folder and ending.
    ///
    /// # Errors
    /// [`Error::Request`] with file, key and mend for anything that is wrong in it.
    pub fn read(path: &Path) -> Result<Self, Error> {
        let text = read_text(path)?;
        let name = path.file_stem().unwrap_or_default().to_string_lossy();
        Self::parse(&text, &name).map_err(|mistake| mistake.in_file(path).into())
    }

    /// Reads the text of a brief. `name` is made safe for folders.
    ///
    /// # Errors
    /// A [`Mistake`] that names the key and the mend.
    pub fn parse(text: &str, name: &str) -> Result<Self, Mistake> {
        understood::understand(&read(&EXAM, text)?, name)
    }

    /// The request in a plain English sentence or two.
    pub fn sentence(&self) -> String {
        let forms = &self.forms;
        let papers = match (forms.forms, forms.parallel) {
            (1, _) => "paper",
            (_, Parallel::SamePlan) => "papers of one plan",
            (_, Parallel::SameDifficulty) => "papers of equal difficulty, each of its own plan,",
        };
        let items = if forms.items == 1 { "item" } else { "items" };
        let kinds: Vec<&str> = self.kinds.iter().map(|kind| kind.word()).collect();
        format!(
            "{} {papers} of {} {items} at {} level, chosen from a pool of {} with seed {}. Kinds: {}.",
            forms.forms,
            forms.items,
            self.level.word(),
            self.pool,
            self.seed,
            kinds.join(", "),
        )
    }

    /// The brief as TOML with every key that has a meaning in it, defaults written out;
    /// [`ExamBrief::parse`] of it with the same name gives an equal brief.
    pub fn canonical_text(&self) -> String {
        text(&canonical::write(self))
    }

    /// What is asked for, in full and without what only limits a run.
    pub fn request_text(&self) -> String {
        let mut unlimited = self.clone();
        unlimited.forms.seconds = f64::INFINITY;
        unlimited.canonical_text()
    }
}

/// What numbers may be met.
#[derive(Clone, Debug, PartialEq)]
pub struct NumberWish {
    /// What the teeth may be.
    pub teeth: ToothLimits,
    /// Decimals that answers are asked to, 0 to 4.
    pub places: u32,
    /// Most digits of numerator and denominator of a ratio that counts as a short fraction.
    pub digits: u32,
    /// Most sets of a layout, 1 to 4.
    pub sets: u8,
}

/// In what papers are parallel.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Parallel {
    /// In their plan: problem by problem the same kind, topics, form of answer, points, minutes
    /// and difficulty, with other numbers and gearboxes.
    SamePlan,
    /// In the sum of their difficulty only: each may ask other things.
    SameDifficulty,
}

impl Parallel {
    pub const ALL: [Self; 2] = [Self::SamePlan, Self::SameDifficulty];

    /// As written in briefs and files.
    pub fn word(self) -> &'static str {
        match self {
            Self::SamePlan => "same-plan",
            Self::SameDifficulty => "same-difficulty",
        }
    }
}

/// At least and at most so many.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Bounds {
    pub least: u32,
    pub most: u32,
}

/// What every paper must be, and how equal they are to be.
#[derive(Clone, Debug, PartialEq)]
pub struct FormsWish {
    /// Parallel papers.
    pub forms: usize,
    /// Items of each.
    pub items: usize,
    /// In what they are parallel.
    pub parallel: Parallel,
    /// Points of each paper, if bounded.
    pub points: Option<Bounds>,
    /// Minutes of each paper, if bounded.
    pub minutes: Option<Bounds>,
    /// Wanted sum of difficulty points of each paper; taken from the pool where not given.
    pub difficulty: Option<u32>,
    /// Wanted Σ |difficulty − difficulty target / items| of each paper; not judged where not
    /// given.
    pub spread: Option<u32>,
    pub topics: Vec<(Topic, Bounds)>,
    pub kinds: Vec<(Kind, Bounds)>,
    pub answers: Vec<(Form, Bounds)>,
    /// Kinds that may not be in one paper.
    pub enemies: Vec<(Kind, Kind)>,
    /// Nodes of branch and bound that the solver may take for one model.
    pub work: u64,
    /// Seconds after which the choice of papers is stopped, and none are made.
    pub seconds: f64,
}

/// How papers look.
#[derive(Clone, Debug, PartialEq)]
pub struct PaperWish {
    pub size: PaperSize,
    /// Whether decimals have a comma.
    pub decimal_comma: bool,
    /// Such as "en".
    pub language: String,
    /// Whether a sheet of formulas goes with each paper.
    pub formula_sheet: bool,
    /// A line below the title, such as the name of the school.
    pub subtitle: Option<String>,
    /// Letters or names of the papers, as many as there are.
    pub names: Vec<String>,
}

/// Paper to print on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PaperSize {
    /// 210 mm × 297 mm (ISO 216).
    A4,
    /// 8.5 in × 11 in.
    Letter,
}
