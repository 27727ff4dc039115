//! Marking: written answers against keys, points, and what a class got wrong.
//!
//! Numbers, fractions, choices, tables, lists of names and teeth are marked here; drawings
//! and derivations need a person, whose points stand beside the answers, never among them: a
//! student's own `=2` is an answer like any other.

mod class;
mod reading;

use num_traits::Zero;
use serde::Serialize;

pub use class::{ClassReport, ItemReport, class_report};

use super::sitting::{Exam, ExamPaper, Place};
use crate::num::{Fraction, fraction, to_f64};
use crate::problem::{Answer, Misconception, Said};

/// What one student wrote.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Script {
    pub student: String,
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
    /// Why an answer could not be read, in a few words.
    pub note: Option<&'static str>,
}

/// A student's marks, in the order of the paper's places.
#[derive(Clone, Debug, PartialEq)]
pub struct StudentMarks {
    pub student: String,
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
    /// It cannot be read as what was asked for; wrong, and told.
    Unread(&'static str),
    /// A person must look.
    ByHand,
}

impl StudentMarks {
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
    Some(StudentMarks { student: script.student.clone(), paper: script.paper.clone(), marks })
}

fn mark_place(
    paper: &ExamPaper,
    place: &Place<'_>,
    script: &Script,
    say: &dyn Fn(&Said) -> String,
) -> Mark {
    let label = place.label(paper);
    let written = script.answers.iter().find(|(name, _)| *name == label);
    let written = written.map_or("", |(_, text)| text.trim());
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
    match reading::verdict(place, written, say) {
        Verdict::Right => Mark { points: Some(of), ..start },
        Verdict::Wrong(misconception) => Mark { points: none, misconception, ..start },
        Verdict::Empty => Mark { points: none, ..start },
        Verdict::Unread(note) => Mark { points: none, note: Some(note), ..start },
        Verdict::ByHand => start,
    }
}

/// Points of a place: those of its part, shared equally among the cells of a table.
pub fn worth(place: &Place<'_>) -> Fraction {
    let points = fraction(i64::from(place.of.points()), 1);
    match &place.of.answer {
        Answer::Table { rows, .. } => {
            let cells = rows.iter().flat_map(|row| &row.cells);
            let given =
                |cell: &&crate::problem::Cell| matches!(cell, crate::problem::Cell::Given(_));
            let blank = cells.filter(|cell| !given(cell)).count().max(1);
            points / fraction(blank as i64, 1)
        }
        _ => points,
    }
}
