//! Marks of a class: points a student and item, and what the class got wrong.

use std::path::PathBuf;

use serde::Serialize;

use super::{COMMAND, RefusedLine, json};
use crate::error::Error;
use crate::exam::{ClassReport, Exam, ItemReport, Mark, StudentMarks};
use crate::folder::{Claim, Extent, Files, Folder, Neighbours};
use crate::num::{Fraction, to_f64};
use crate::paper::{Block, Document, TableCell, Text, Words, html, markdown};
use crate::problem::{Misconception, Said};
use crate::report::cells::csv_text;

/// The claim of the marks of a class on a folder, that of their exam or another one. `request`
/// names the exam and the table of answers.
pub fn marks_claim(request: &str) -> Claim<'_> {
    let (command, holding, neighbours) = (COMMAND, "marks", Neighbours::Among);
    Claim { command, holding, request, force: false, afresh: false, neighbours, names: &[] }
}

/// Writes the marks of a class, and which lines of its table nobody marked: `marks.csv`, `class.html`, `class.md` and `class.json`, and returns their paths.
///
/// # Errors
/// As [`Folder::write`]; [`Error::Work`] also for a phrase that the catalogue lacks.
pub fn write_marks(
    exam: &Exam,
    marks: &[StudentMarks],
    refused: &[RefusedLine],
    report: &ClassReport,
    folder: &mut Folder,
) -> Result<Vec<PathBuf>, Error> {
    let words = Words::of(&exam.language, false)?;
    let document = document(exam, marks, refused, report, &words)?;
    let files: Files = vec![
        ("marks.csv".into(), table(exam, marks, refused)?),
        ("class.html".into(), html(&document).into_bytes()),
        ("class.md".into(), markdown(&document, "class").into_bytes()),
        ("class.json".into(), json(&ClassFile::of(report, refused))?),
    ];
    Ok(folder.write(files, Extent::WHOLE)?.unwrap_or_default())
}

/// Points to two decimals at most; what waits for a person stays empty.
fn points(value: &Fraction) -> String {
    let text = format!("{:.2}", to_f64(value));
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// One line a student and place, so that papers of different places share one table; then one
/// for each line of answers that was not understood, without points.
fn table(exam: &Exam, marks: &[StudentMarks], refused: &[RefusedLine]) -> Result<Vec<u8>, Error> {
    let head = ["student", "paper", "place", "points", "of", "misconception", "note", "number"];
    let mut rows: Vec<Vec<String>> = Vec::new();
    for student in marks {
        let columns = hand_columns(exam, &student.paper);
        let number = student.number.clone().unwrap_or_default();
        let row = |place: &str, got: String, of: &Fraction, why: String, note: String| {
            let (student, paper) = (student.student.clone(), student.paper.clone());
            vec![student, paper, place.to_owned(), got, points(of), why, note, number.clone()]
        };
        for (index, mark) in student.marks.iter().enumerate() {
            let got = mark.points.as_ref().map_or(String::new(), points);
            let why = mark.misconception.map(Misconception::word).unwrap_or_default();
            rows.push(row(&mark.label, got, &mark.of, why, note(mark, &columns[index])));
        }
        let (total, of) = (points(&student.total()), student.of());
        rows.push(row("total", total, &of, String::new(), String::new()));
    }
    for line in refused {
        let note =
            format!("line {} is not marked: {}: {}", line.line, line.why.key, line.why.problem);
        let empty = String::new;
        rows.push(vec![
            line.student.clone(),
            empty(),
            empty(),
            empty(),
            empty(),
            empty(),
            note,
            empty(),
        ]);
    }
    let text = csv_text(head.map(str::to_owned), rows)?;
    Ok(text.into_bytes())
}

/// What `class.json` holds: the report, and the lines that nobody marked.
#[derive(Serialize)]
pub struct ClassFile<'a> {
    #[serde(flatten)]
    report: &'a ClassReport,
    refused: Vec<RefusedEntry<'a>>,
}

#[derive(Serialize)]
struct RefusedEntry<'a> {
    line: u64,
    student: &'a str,
    column: &'a str,
    problem: &'a str,
    mend: &'a str,
}

impl<'a> ClassFile<'a> {
    pub fn of(report: &'a ClassReport, refused: &'a [RefusedLine]) -> Self {
        let entry = |line: &'a RefusedLine| RefusedEntry {
            line: line.line,
            student: &line.student,
            column: &line.why.key,
            problem: &line.why.problem,
            mend: &line.why.mend,
        };
        Self { report, refused: refused.iter().map(entry).collect() }
    }
}

/// Why a place waits or earned nothing, and what to do about it.
fn note(mark: &Mark, column: &str) -> String {
    let waits = format!("waits for a person: write points into column {column}");
    match (mark.note, &mark.points) {
        (Some(note), None) => format!("{note}; {waits}"),
        (Some(note), Some(_)) => note.to_owned(),
        (None, None) => waits,
        (None, Some(_)) => String::new(),
    }
}

/// The columns for points by hand at all places of a paper, in their order.
fn hand_columns(exam: &Exam, paper: &str) -> Vec<String> {
    let paper = exam.papers.iter().find(|one| one.name == paper);
    let columns = paper.map(|paper| {
        let places = paper.places();
        places.iter().map(|place| place.hand_column(paper)).collect()
    });
    columns.unwrap_or_default()
}

fn document(
    exam: &Exam,
    marks: &[StudentMarks],
    refused: &[RefusedLine],
    report: &ClassReport,
    words: &Words,
) -> Result<Document, Error> {
    let mut blocks = refused_lines(refused, words)?;
    blocks.extend(misconceptions(report, words)?);
    blocks.extend(items(report, words)?);
    blocks.push(Block::Heading(words.word("class-students")?));
    let columns = ["class-student", "class-paper", "class-points", "class-of", "class-waits"];
    let columns = heads(&columns, words)?;
    blocks.push(Block::Table(columns, marks.iter().map(student_row).collect()));
    Ok(Document {
        title: Text::plainly(format!("{} · ", exam.title)).then(words.word("class-title")?),
        subtitle: None,
        language: exam.language.clone(),
        size: crate::brief::PaperSize::A4,
        blocks,
        figures: Vec::new(),
    })
}

fn heads(phrases: &[&str], words: &Words) -> Result<Vec<Text>, Error> {
    Ok(phrases.iter().map(|phrase| words.word(phrase)).collect::<Result<_, _>>()?)
}

/// Lines that nobody marked stand before all else.
fn refused_lines(refused: &[RefusedLine], words: &Words) -> Result<Vec<Block>, Error> {
    if refused.is_empty() {
        return Ok(Vec::new());
    }
    let row = |line: &RefusedLine| {
        let why = format!("{}: {}", line.why.key, line.why.problem);
        cells(vec![line.line.to_string(), line.student.clone(), why, line.why.mend.clone()])
    };
    let columns = ["class-line", "class-student", "class-why", "class-mend"];
    Ok(vec![
        Block::Heading(words.word("class-refused")?),
        Block::Table(heads(&columns, words)?, refused.iter().map(row).collect()),
    ])
}

fn misconceptions(report: &ClassReport, words: &Words) -> Result<Vec<Block>, Error> {
    let wrong = report.misconceptions.iter().map(|(misconception, count)| {
        let said = Said::new(&format!("misconception-{}", misconception.word()));
        Ok(cells(vec![words.say(&said)?.plain(), count.to_string()]))
    });
    let wrong = wrong.collect::<Result<Vec<_>, Error>>()?;
    Ok(vec![
        Block::Heading(words.word("class-misconceptions")?),
        Block::Table(heads(&["class-what", "class-count"], words)?, wrong),
    ])
}

fn items(report: &ClassReport, words: &Words) -> Result<Vec<Block>, Error> {
    let columns = [
        "class-paper",
        "class-item",
        "class-kind",
        "class-predicted",
        "class-marked",
        "class-share",
        "class-discrimination",
    ];
    Ok(vec![
        Block::Heading(words.word("class-items")?),
        Block::Table(heads(&columns, words)?, report.items.iter().map(item_row).collect()),
        Block::Note(words.word("class-note")?),
    ])
}

fn cells(row: Vec<String>) -> Vec<TableCell> {
    row.into_iter().map(|cell| TableCell::Text(Text::plainly(cell))).collect()
}

fn student_row(one: &StudentMarks) -> Vec<TableCell> {
    cells(vec![
        one.called(),
        one.paper.clone(),
        points(&one.total()),
        points(&one.of()),
        one.waiting().join(" "),
    ])
}

fn item_row(item: &ItemReport) -> Vec<TableCell> {
    let share = |value: Option<f64>| value.map_or("–".to_owned(), |share| format!("{share:.2}"));
    cells(vec![
        item.paper.clone(),
        item.number.to_string(),
        item.kind.word().to_owned(),
        item.predicted.to_string(),
        item.students.to_string(),
        share(item.share),
        share(item.discrimination),
    ])
}
