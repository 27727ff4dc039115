//! Marking: written answers against keys, points, and what a class got wrong.
//!
//! Numbers, fractions, choices, tables, lists of names and teeth are marked here; drawings
//! and derivations need a person, whose points stand beside the answers, never among them: a
//! student's own `=2` is an answer like any other.
//!
//! What is not understood, and what may be two things, waits for a person and says why: it is
//! neither right nor wrong. What is not there is no answer: in a table to tick, a row without
//! any mark earns nothing, and a row where nothing holds says so with a dash.

mod class;
mod names;
mod number;
mod reading;
mod spreadsheet;
mod teeth;
mod unit;
mod word;

use num_traits::Zero;
use serde::Serialize;

pub use class::{ClassReport, ItemReport, class_report};

use super::sitting::{Exam, ExamPaper, Place};
use crate::num::{Fraction, fraction, to_f64};
use crate::problem::{Answer, Cell, Misconception, Said};

/// What one student wrote.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Script {
    pub student: String,
    /// What tells students of one name apart, where it is known.
    pub number: Option<String>,
    /// Name of the paper.
    pub paper: String,
    /// Label of a place (see [`Place::label`]) and what stands there.
    pub answers: Vec<(String, String)>,
    /// Label of a place and the points that a person gives for it, which count whatever was
    /// answered there.
    pub by_hand: Vec<(String, Fraction)>,
}

/// What became of one place.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    pub label: String,
    /// Number of the item on its paper, from 0.
    pub item: usize,
    /// `None` where a person must mark it and has not.
    pub points: Option<Fraction>,
    pub of: Fraction,
    /// What a wrong answer reveals, where it does.
    pub misconception: Option<Misconception>,
    /// Why an answer waits for a person or earned nothing, in a few words.
    pub note: Option<&'static str>,
}

/// A student's marks, in the order of the paper's places.
#[derive(Clone, Debug, PartialEq)]
pub struct StudentMarks {
    pub student: String,
    pub number: Option<String>,
    pub paper: String,
    pub marks: Vec<Mark>,
}

/// How an answer stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub(super) enum Verdict {
    Right,
    Wrong(Option<Misconception>),
    /// Nothing was written.
    Empty,
    /// It cannot be read for certain as what was asked for: a person is asked.
    Asked(&'static str),
    /// A person must look.
    ByHand,
}

/// What is told of a row without a mark in a table that has some.
const OPEN_ROW: &str = "no mark in this row; a row where nothing holds gets a dash";

impl StudentMarks {
    /// The student as tables and messages call them.
    pub fn called(&self) -> String {
        match &self.number {
            Some(number) => format!("{} ({number})", self.student),
            None => self.student.clone(),
        }
    }

    /// Points of all that is marked.
    pub fn total(&self) -> Fraction {
        self.marks.iter().filter_map(|mark| mark.points.clone()).sum()
    }

    pub fn of(&self) -> Fraction {
        self.marks.iter().map(|mark| mark.of.clone()).sum()
    }

    /// Labels that wait for a person.
    pub fn waiting(&self) -> Vec<&str> {
        let open = self.marks.iter().filter(|mark| mark.points.is_none());
        open.map(|mark| mark.label.as_str()).collect()
    }

    /// Share of the points of one item, 0 to 1; `None` where some wait for a person.
    pub fn share(&self, item: usize) -> Option<f64> {
        let marks = || self.marks.iter().filter(|mark| mark.item == item);
        let got: Option<Vec<Fraction>> = marks().map(|mark| mark.points.clone()).collect();
        let of: Fraction = marks().map(|mark| mark.of.clone()).sum();
        (!of.is_zero()).then_some(())?;
        Some(to_f64(&(got?.into_iter().sum::<Fraction>() / of)))
    }
}

/// Marks one script. `say` puts the words of a table's cells into the language of the paper.
/// `None` where the exam has no such paper.
pub fn mark(exam: &Exam, script: &Script, say: &dyn Fn(&Said) -> String) -> Option<StudentMarks> {
    let paper = exam.papers.iter().find(|paper| paper.name == script.paper)?;
    let marks = paper.places().iter().map(|place| mark_place(paper, place, script, say)).collect();
    let (student, number) = (script.student.clone(), script.number.clone());
    Some(StudentMarks { student, number, paper: script.paper.clone(), marks })
}

fn mark_place(
    paper: &ExamPaper,
    place: &Place<'_>,
    script: &Script,
    say: &dyn Fn(&Said) -> String,
) -> Mark {
    let label = place.label(paper);
    let written = script.written(&label);
    let of = worth(place);
    let start = Mark {
        label,
        item: place.item,
        points: None,
        of: of.clone(),
        misconception: None,
        note: None,
    };
    let given = script.by_hand.iter().find(|(name, _)| *name == start.label);
    if let Some((_, points)) = given {
        let fits = (Fraction::zero()..=of).contains(points).then(|| points.clone());
        let note = fits.is_none().then_some("points out of range");
        return Mark { points: fits, note, ..start };
    }
    let none = Some(Fraction::zero());
    let verdict = match place.cell {
        Some((cell, Cell::Tick(right))) if written.is_empty() => {
            if script.marks_row(paper, place, cell) {
                reading::unticked(*right)
            } else {
                let note = script.marks_table(paper, place).then_some(OPEN_ROW);
                return Mark { points: none, note, ..start };
            }
        }
        _ => reading::verdict(place, written, say),
    };
    match verdict {
        Verdict::Right => Mark { points: Some(of), ..start },
        Verdict::Wrong(misconception) => Mark { points: none, misconception, ..start },
        Verdict::Empty => Mark { points: none, ..start },
        Verdict::Asked(note) => Mark { note: Some(note), ..start },
        Verdict::ByHand => start,
    }
}

impl Script {
    /// What stands at a place, without space around it; empty where nothing does.
    fn written(&self, label: &str) -> &str {
        let found = self.answers.iter().find(|(name, _)| name == label);
        found.map_or("", |(_, text)| text.trim())
    }

    /// Whether the row of a cell to tick has any mark in a cell to tick.
    fn marks_row(&self, paper: &ExamPaper, place: &Place<'_>, cell: usize) -> bool {
        let Answer::Table { rows, .. } = &place.of.answer else { return false };
        let mut first = 0;
        for row in rows {
            let blank = row.cells.iter().filter(|cell| !matches!(cell, Cell::Given(_)));
            let cells: Vec<(usize, &Cell)> = (first..).zip(blank).collect();
            first += cells.len();
            if cells.iter().any(|(number, _)| *number == cell) {
                return self.ticks(paper, place, &cells);
            }
        }
        false
    }

    /// Whether any cell to tick of the table has a mark.
    fn marks_table(&self, paper: &ExamPaper, place: &Place<'_>) -> bool {
        let Answer::Table { rows, .. } = &place.of.answer else { return false };
        let all = rows.iter().flat_map(|row| &row.cells);
        let blank = all.filter(|cell| !matches!(cell, Cell::Given(_)));
        self.ticks(paper, place, &blank.enumerate().collect::<Vec<_>>())
    }

    fn ticks(&self, paper: &ExamPaper, place: &Place<'_>, cells: &[(usize, &Cell)]) -> bool {
        let ticks = cells.iter().filter(|(_, cell)| matches!(cell, Cell::Tick(_)));
        ticks.into_iter().any(|&(number, cell)| {
            let label = Place { cell: Some((number, cell)), ..*place }.label(paper);
            !self.written(&label).is_empty()
        })
    }
}

/// Points of a place: those of its part, shared equally among the cells of a table.
pub fn worth(place: &Place<'_>) -> Fraction {
    let points = fraction(i64::from(place.of.points()), 1);
    match &place.of.answer {
        Answer::Table { rows, .. } => {
            let cells = rows.iter().flat_map(|row| &row.cells);
            let blank = cells.filter(|cell| !matches!(cell, Cell::Given(_))).count().max(1);
            points / fraction(blank as i64, 1)
        }
        _ => points,
    }
}
