//! A table of a class read with suspicion: one place one column, one student one line, and
//! nothing is marked that was not understood. A line that is not does not stop the others.

use std::collections::BTreeSet;

use itertools::Itertools as _;

use super::columns::{Columns, Meaning};
use crate::error::Mistake;
use crate::exam::{Exam, ExamPaper, HAND, Place, Script, worth};
use crate::num::{Fraction, parse_fraction};
use crate::report::cells::unguarded;

/// Most characters of a student's name, which stands in tables and on pages.
const LONGEST_NAME: usize = 200;

/// A class as its table tells it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ClassTable {
    /// Students whose lines were understood.
    pub scripts: Vec<Script>,
    /// Lines that were not, which nobody marks.
    pub refused: Vec<RefusedLine>,
}

/// A line of a table that is not marked, and why.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RefusedLine {
    pub line: u64,
    /// As it stands in the line, shortened; empty where it cannot be found.
    pub student: String,
    pub why: Mistake,
}

/// The scripts of a table's text, and the lines that are none.
///
/// # Errors
/// A [`Mistake`] for a head that cannot be understood for certain, for what spoils every line,
/// and for the first line where none is understood.
pub(super) fn class_table(text: &str, exam: &Exam) -> Result<ClassTable, Mistake> {
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
    let (mut read, mut refused) = (Vec::new(), Vec::new());
    for row in rows {
        let (line, cells) = row?;
        if cells.iter().all(String::is_empty) {
            continue;
        }
        let row = Row { line, cells, columns: &columns, separator };
        // Behind a quotation mark that is not closed, whole lines of others are lost.
        row.in_one_line()?;
        match row.script(exam) {
            Ok(script) => read.push((line, script)),
            Err(Refusal::Table(mistake)) => return Err(mistake),
            Err(Refusal::Line(why)) => {
                let student = shortened(row.cells.get(columns.student()).map_or("", |name| name));
                refused.push(RefusedLine { line, student, why });
            }
        }
    }
    let scripts = told_apart(read, &mut refused);
    match (scripts.is_empty(), refused.first()) {
        (true, Some(first)) => Err(first.why.clone()),
        (true, None) => {
            Err(Mistake::at("", "has no line of a student", "write one line a student"))
        }
        _ => Ok(ClassTable { scripts, refused }),
    }
}

/// Students of one name without numbers are told apart by their lines; one name and number
/// twice is one student, of whom only a person knows which line counts.
fn told_apart(read: Vec<(u64, Script)>, refused: &mut Vec<RefusedLine>) -> Vec<Script> {
    let same = |a: &Script, b: &Script| {
        a.student == b.student && (a.number == b.number || a.number.is_none() || b.number.is_none())
    };
    let mut kept = Vec::new();
    for (index, (line, script)) in read.iter().enumerate() {
        let mut others =
            read.iter().enumerate().filter(|(at, (_, one))| *at != index && same(one, script));
        let twin = others.clone().find(|(_, (_, one))| one.number == script.number);
        if let (Some(number), Some((_, (other, _)))) = (&script.number, twin) {
            let problem = format!(
                "has {} with the number {} in line {other} too",
                shortened(&script.student),
                shortened(number)
            );
            let mend = "keep the line that counts, or give each student a number";
            let why = Mistake::at(format!("line {line}, student"), problem, mend);
            refused.push(RefusedLine { line: *line, student: shortened(&script.student), why });
            continue;
        }
        let alone = others.next().is_none();
        let mut script = script.clone();
        if !alone && script.number.is_none() {
            script.number = Some(format!("line {line}"));
        }
        kept.push(script);
    }
    refused.sort_by_key(|line| line.line);
    kept
}

/// What is refused: a line, or the whole table.
enum Refusal {
    Line(Mistake),
    Table(Mistake),
}

impl From<Mistake> for Refusal {
    fn from(mistake: Mistake) -> Self {
        Self::Line(mistake)
    }
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
    fn script(&self, exam: &Exam) -> Result<Script, Refusal> {
        self.whole()?;
        let student = self.cell(&Meaning::Student).to_owned();
        self.named(&student)?;
        let number = self.cell(&Meaning::Number);
        self.plain("number", number)?;
        let number = (!number.is_empty()).then(|| number.to_owned());
        let paper = self.paper(exam)?;
        self.has_columns(paper).map_err(Refusal::Table)?;
        self.foreign(paper)?;
        let (mut answers, mut by_hand) = (Vec::new(), Vec::new());
        for place in paper.places() {
            let label = place.label(paper);
            let hand = Meaning::Hand(label.clone());
            if let Some(points) = self.points(&place, paper, self.cell(&hand))? {
                by_hand.push((label.clone(), points));
            }
            let answer = self.cell(&Meaning::Answer(label.clone())).to_owned();
            answers.push((label, answer));
        }
        Ok(Script { student, number, paper: paper.name.clone(), answers, by_hand })
    }

    /// A column for every place of the paper: one that is not there would cost all who sat the
    /// paper its points.
    fn has_columns(&self, paper: &ExamPaper) -> Result<(), Mistake> {
        let has = |place: &Place<'_>| {
            self.columns.places.contains_key(&Meaning::Answer(place.label(paper)))
        };
        let Some(place) = paper.places().into_iter().find(|place| !has(place)) else {
            return Ok(());
        };
        let column = place.column(paper);
        let problem = format!("is {}, but the table has no column {column}", paper.name);
        let mend = "take the head of answers.csv whole: what a student left open is an empty cell";
        Err(Mistake::at(self.at("paper"), problem, mend))
    }

    fn at(&self, column: &str) -> String {
        format!("line {}, {column}", self.line)
    }

    /// The cell of a column, empty where the table has no such column.
    fn cell(&self, meaning: &Meaning) -> &str {
        self.columns.places.get(meaning).map_or("", |&index| self.cells[index].as_str())
    }

    /// As many cells as the head: one more or fewer, and every answer behind it would count at
    /// another place.
    fn whole(&self) -> Result<(), Mistake> {
        let (cells, columns) = (self.cells.len(), self.columns.names.len());
        if cells == columns {
            return Ok(());
        }
        let mark = match self.separator {
            b';' => "a semicolon",
            b'\t' => "a tab",
            _ => "a comma",
        };
        let problem = format!("has {cells} cells, the head has {columns}");
        let mend = format!(
            "write a cell for each column, empty ones too; an answer with {mark} in it stands in \
             quotation marks"
        );
        Err(Mistake::at(format!("line {}", self.line), problem, mend))
    }

    /// No cell of several lines: there a quotation mark is missing.
    fn in_one_line(&self) -> Result<(), Mistake> {
        let broken = self.cells.iter().position(|cell| cell.contains(['\n', '\r']));
        broken.map_or(Ok(()), |index| {
            let mend = "write it in one line; where it should be one, look for a quotation mark \
                        that is not closed";
            let column = self.columns.names.get(index).map_or("", |name| name);
            Err(Mistake::at(self.at(column), "runs over several lines", mend))
        })
    }

    fn named(&self, student: &str) -> Result<(), Mistake> {
        if student.is_empty() {
            let mend = "write a name or a number";
            return Err(Mistake::at(self.at("student"), "is empty", mend));
        }
        self.plain("student", student)
    }

    /// A name or number that stands in tables and on pages as it is.
    fn plain(&self, column: &str, name: &str) -> Result<(), Mistake> {
        let wrong = |problem: String, mend: &str| Err(Mistake::at(self.at(column), problem, mend));
        // Letters that turn the direction of what follows would reorder a line of marks.
        let odd = |c: char| {
            c.is_control() || matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
        };
        if name.chars().count() > LONGEST_NAME {
            let problem = format!("has {} characters", name.chars().count());
            return wrong(problem, &format!("write a name of at most {LONGEST_NAME} characters"));
        }
        match name.chars().find(|c| odd(*c)) {
            Some(c) => {
                let problem = format!("has the invisible character U+{:04X}", u32::from(c));
                wrong(problem, "type the name anew, in letters and spaces")
            }
            None => Ok(()),
        }
    }

    fn paper<'e>(&self, exam: &'e Exam) -> Result<&'e ExamPaper, Mistake> {
        let name = self.cell(&Meaning::Paper);
        let found = exam.papers.iter().find(|paper| paper.name.eq_ignore_ascii_case(name));
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
