//! A table of a class read with suspicion: one place one column, one student one line, and
//! nothing is marked that was not understood.

use std::collections::BTreeSet;

use itertools::Itertools as _;

use super::columns::{Columns, Meaning};
use crate::error::Mistake;
use crate::exam::{Exam, ExamPaper, HAND, Place, Script, worth};
use crate::num::{Fraction, parse_fraction};
use crate::report::cells::unguarded;

/// Most characters of a student's name, which stands in tables and on pages.
const LONGEST_NAME: usize = 200;

/// The scripts of a table's text.
///
/// # Errors
/// A [`Mistake`] with line and column for whatever cannot be understood for certain.
pub(super) fn scripts(text: &str, exam: &Exam) -> Result<Vec<Script>, Mistake> {
    let separator = separator(text);
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(separator)
        .flexible(true)
        .has_headers(false)
        .from_reader(text.as_bytes());
    let mut rows = reader.records().map(|row| {
        let row = row.map_err(|error| {
            let mend = "write one line a student, cells with commas between";
            Mistake::at("", format!("is no table: {error}"), mend)
        })?;
        let line = row.position().map_or(0, |position| line_of(text, position));
        let cells: Vec<String> = row.iter().map(|cell| unguarded(cell.trim()).to_owned()).collect();
        Ok((line, cells))
    });
    let (line, head) = rows.next().transpose()?.unwrap_or((1, vec![String::new()]));
    let columns = Columns::of(line, head, exam)?;
    let (mut scripts, mut students) = (Vec::new(), BTreeSet::new());
    for row in rows {
        let (line, cells) = row?;
        if cells.iter().any(|cell| !cell.is_empty()) {
            let script = Row { line, cells, columns: &columns, separator }.script(exam)?;
            if !students.insert(script.student.clone()) {
                let problem = format!("has {} a second time", shortened(&script.student));
                let mend = "write one line a student";
                return Err(Mistake::at(format!("line {line}, student"), problem, mend));
            }
            scripts.push(script);
        }
    }
    if scripts.is_empty() {
        return Err(Mistake::at("", "has no line of a student", "write one line a student"));
    }
    Ok(scripts)
}

/// The line of a row, which the reader tells by where it went on: before empty lines.
fn line_of(text: &str, position: &csv::Position) -> u64 {
    let rest = text.as_bytes().get(position.byte() as usize..).unwrap_or_default();
    let ends = rest.iter().take_while(|byte| matches!(byte, b'\r' | b'\n'));
    position.line() + ends.filter(|byte| **byte == b'\n').count() as u64
}

/// What parts the columns: that which leaves `student` and `paper` columns of their own.
/// Spreadsheets of countries with a decimal comma save semicolons.
fn separator(text: &str) -> u8 {
    let head = text.lines().find(|line| !line.trim().is_empty()).unwrap_or_default();
    let fits = |separator: &u8| {
        let mut words =
            head.split(char::from(*separator)).map(|cell| cell.trim().trim_matches('"'));
        let both = ["student", "paper"];
        both.iter().all(|name| words.clone().any(|word| word.eq_ignore_ascii_case(name)))
            && words.next().is_some()
    };
    let most = |separator: &u8| head.bytes().filter(|byte| byte == separator).count();
    let all = [b',', b';', b'\t'];
    // In a head without the two, what stands there most often parts what is there.
    let common = || all.into_iter().rev().max_by_key(most);
    all.into_iter().find(fits).or_else(common).unwrap_or(b',')
}

/// One line of the table.
struct Row<'a> {
    line: u64,
    cells: Vec<String>,
    columns: &'a Columns,
    separator: u8,
}

impl Row<'_> {
    fn script(&self, exam: &Exam) -> Result<Script, Mistake> {
        self.whole()?;
        let student = self.cell(&Meaning::Student).to_owned();
        self.named(&student)?;
        let paper = self.paper(exam)?;
        let mut script =
            Script { student, paper: paper.name.clone(), answers: Vec::new(), by_hand: Vec::new() };
        self.foreign(paper)?;
        for place in paper.places() {
            let label = place.label(paper);
            let hand = Meaning::Hand(label.clone());
            if let Some(points) = self.points(&place, paper, self.cell(&hand))? {
                script.by_hand.push((label.clone(), points));
            }
            let answer = Meaning::Answer(label.clone());
            if !self.columns.places.contains_key(&answer) {
                let column = place.column(paper);
                let problem = format!("is {}, but the table has no column {column}", paper.name);
                let mend = "take the head of answers.csv whole: what a student left open is an \
                            empty cell";
                return Err(Mistake::at(self.at("paper"), problem, mend));
            }
            script.answers.push((label, self.cell(&answer).to_owned()));
        }
        Ok(script)
    }

    fn at(&self, column: &str) -> String {
        format!("line {}, {column}", self.line)
    }

    /// The cell of a column, empty where the table has no such column.
    fn cell(&self, meaning: &Meaning) -> &str {
        self.columns.places.get(meaning).map_or("", |&index| self.cells[index].as_str())
    }

    /// As many cells as the head: one more or fewer, and every answer behind it would count at
    /// another place. Nor a cell of several lines: there a quotation mark is missing.
    fn whole(&self) -> Result<(), Mistake> {
        let (cells, columns) = (self.cells.len(), self.columns.names.len());
        if cells != columns {
            let mark = match self.separator {
                b';' => "a semicolon",
                b'\t' => "a tab",
                _ => "a comma",
            };
            let problem = format!("has {cells} cells, the head has {columns}");
            let mend = format!(
                "write a cell for each column, empty ones too; an answer with {mark} in it \
                 stands in quotation marks"
            );
            return Err(Mistake::at(format!("line {}", self.line), problem, mend));
        }
        let broken = self.cells.iter().position(|cell| cell.contains(['\n', '\r']));
        broken.map_or(Ok(()), |index| {
            let mend = "write it in one line; where it should be one, look for a quotation mark \
                        that is not closed";
            let column = self.at(&self.columns.names[index]);
            Err(Mistake::at(column, "runs over several lines", mend))
        })
    }

    fn named(&self, student: &str) -> Result<(), Mistake> {
        let wrong =
            |problem: String, mend: &str| Err(Mistake::at(self.at("student"), problem, mend));
        // Letters that turn the direction of what follows would reorder a line of marks.
        let odd = |c: char| {
            c.is_control() || matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
        };
        if student.is_empty() {
            return wrong("is empty".to_owned(), "write a name or a number");
        }
        if student.chars().count() > LONGEST_NAME {
            let problem = format!("has {} characters", student.chars().count());
            return wrong(problem, &format!("write a name of at most {LONGEST_NAME} characters"));
        }
        match student.chars().find(|c| odd(*c)) {
            Some(c) => {
                let problem = format!("has the invisible character U+{:04X}", u32::from(c));
                wrong(problem, "type the name anew, in letters and spaces")
            }
            None => Ok(()),
        }
    }

    fn paper<'e>(&self, exam: &'e Exam) -> Result<&'e ExamPaper, Mistake> {
        let name = self.cell(&Meaning::Paper);
        let found = exam.papers.iter().find(|paper| paper.name == name);
        found.ok_or_else(|| {
            let papers: Vec<&str> = exam.papers.iter().map(|paper| paper.name.as_str()).collect();
            let mend = format!("this exam has {}", papers.join(", "));
            Mistake::at(self.at("paper"), format!("is \"{}\"", shortened(name)), mend)
        })
    }

    /// What is written at a place that the student's paper does not have would be lost.
    fn foreign(&self, paper: &ExamPaper) -> Result<(), Mistake> {
        let places = paper.places();
        let own: BTreeSet<String> = places.iter().map(|place| place.label(paper)).collect();
        for (meaning, &index) in &self.columns.places {
            let (Meaning::Answer(label) | Meaning::Hand(label)) = meaning else { continue };
            if !self.cells[index].is_empty() && !own.contains(label) {
                let problem = format!("is filled, but paper {} has no place {label}", paper.name);
                let columns = places.iter().map(|place| place.column(paper)).join(", ");
                let mend = format!("paper {} has the columns {columns}", paper.name);
                return Err(Mistake::at(self.at(&self.columns.names[index]), problem, mend));
            }
        }
        Ok(())
    }

    /// The points that a person gives at a place, where there are any.
    fn points(
        &self,
        place: &Place<'_>,
        paper: &ExamPaper,
        written: &str,
    ) -> Result<Option<Fraction>, Mistake> {
        if written.is_empty() {
            return Ok(None);
        }
        let of = worth(place);
        let plain = written.chars().all(|c| c.is_ascii_digit() || ".,/".contains(c));
        let points = parse_fraction(&written.replace(',', ".")).filter(|_| plain);
        if let Some(points) = points.filter(|points| *points <= of) {
            return Ok(Some(points));
        }
        let problem = format!("is \"{}\"", shortened(written));
        let mend = format!("write points from 0 to {of}, or leave it empty");
        Err(Mistake::at(self.at(&format!("{HAND}{}", place.column(paper))), problem, mend))
    }
}

/// The user's own text for a message: short, without control characters.
pub(super) fn shortened(text: &str) -> String {
    let plain = |c: char| if c.is_control() { ' ' } else { c };
    let short: String = text.chars().take(40).map(plain).collect();
    if text.chars().nth(40).is_some() { short + " …" } else { short }
}
