//! The columns of a table of answers: what each one means, none twice.

use std::collections::BTreeMap;

use super::class_table::shortened;
use crate::error::Mistake;
use crate::exam::{Exam, HAND};

/// What stands in a column.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Meaning {
    Student,
    /// What tells students of one name apart.
    Number,
    Paper,
    /// Answers at the place with this label.
    Answer(String),
    /// Points that a person gives at the place with this label.
    Hand(String),
}

/// The head of a table.
pub(super) struct Columns {
    /// As the file has them.
    pub names: Vec<String>,
    /// Of each meaning the number of its column.
    pub places: BTreeMap<Meaning, usize>,
}

impl Columns {
    /// The head in `line`, understood.
    ///
    /// # Errors
    /// A [`Mistake`] for a column that no paper has, that may be two, or that is there twice or
    /// not at all.
    pub fn of(line: u64, names: Vec<String>, exam: &Exam) -> Result<Self, Mistake> {
        let known = Known::of(exam);
        let mut places = BTreeMap::new();
        for (index, name) in names.iter().enumerate() {
            let at = format!("line {line}, column {}", index + 1);
            let meaning = known.meaning(name, &names).map_err(|(problem, mend)| {
                Mistake::at(at.clone(), format!("\"{}\" {problem}", shortened(name)), mend)
            })?;
            if let Some(first) = places.insert(meaning, index) {
                let problem = format!("\"{name}\" is column {} again", first + 1);
                let mend = "name each column once, as in the head of answers.csv; a spreadsheet \
                            saves 6.10 as 6.1, but keeps q06-10 as it is";
                return Err(Mistake::at(at, problem, mend));
            }
        }
        for (name, needed) in [("student", Meaning::Student), ("paper", Meaning::Paper)] {
            if !places.contains_key(&needed) {
                let mend = "the first line names the columns: student, paper, then those of \
                            answers.csv, with commas, semicolons or tabs between";
                return Err(Mistake::at(name, "is missing as a column", mend));
            }
        }
        Ok(Self { names, places })
    }

    /// Where the student's name stands.
    pub fn student(&self) -> usize {
        self.places.get(&Meaning::Student).copied().unwrap_or_default()
    }
}

/// All places of all papers, each once: its column and its label.
struct Known(Vec<(String, String)>);

/// What is wrong with a column, and the mend.
type Wrong = (String, String);

impl Known {
    fn of(exam: &Exam) -> Self {
        let mut all: Vec<(String, String)> = Vec::new();
        for paper in &exam.papers {
            for place in paper.places() {
                let one = (place.column(paper), place.label(paper));
                if !all.contains(&one) {
                    all.push(one);
                }
            }
        }
        all.sort();
        Self(all)
    }

    /// What the column `name` means in a table of columns `names`.
    fn meaning(&self, name: &str, names: &[String]) -> Result<Meaning, Wrong> {
        let lower = name.to_ascii_lowercase();
        match lower.as_str() {
            "student" => return Ok(Meaning::Student),
            "number" => return Ok(Meaning::Number),
            "paper" => return Ok(Meaning::Paper),
            _ => {}
        }
        match lower.strip_prefix(HAND) {
            Some(place) => self.label(place, names).map(Meaning::Hand),
            None => self.label(&lower, names).map(Meaning::Answer),
        }
    }

    fn label(&self, name: &str, names: &[String]) -> Result<String, Wrong> {
        let find = |known: &&(String, String)| known.0 == name || known.1 == name;
        let Some((column, label)) = self.0.iter().find(find) else {
            let all: Vec<&str> = self.0.iter().map(|(column, _)| column.as_str()).collect();
            let mend = format!("there are student, number, paper, {}", all.join(", "));
            return Err(("is a column that no paper has".to_owned(), mend));
        };
        if column == name {
            return Ok(label.clone());
        }
        // Labels as printed are understood too, but not one that a spreadsheet makes of two.
        let twin = self.0.iter().find(|(_, other)| other != label && same_number(other, label));
        match twin {
            Some((other, printed)) if !names.iter().any(|name| name == printed) => {
                let problem =
                    format!("may be {label} or {printed}, which a spreadsheet saves alike");
                Err((
                    problem,
                    format!("name the columns {column} and {other}, as answers.csv does"),
                ))
            }
            _ => Ok(label.clone()),
        }
    }
}

/// Whether two labels are one number, so that a spreadsheet would save them alike.
fn same_number(a: &str, b: &str) -> bool {
    let number = |label: &str| label.contains('.').then(|| label.parse::<f64>().ok()).flatten();
    number(a).is_some_and(|value| number(b) == Some(value))
}
