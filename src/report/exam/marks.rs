//! Marks of a class: points a student and item, and what the class got wrong.

use std::path::PathBuf;

use super::{COMMAND, json};
use crate::error::Error;
use crate::exam::{ClassReport, Exam, ItemReport, StudentMarks};
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

/// Writes `marks.csv`, `class.html`, `class.md` and `class.json`, and returns their paths.
///
/// # Errors
/// As [`Folder::write`]; [`Error::Work`] also for a phrase that the catalogue lacks.
pub fn write_marks(
    exam: &Exam,
    marks: &[StudentMarks],
    report: &ClassReport,
    folder: &mut Folder,
) -> Result<Vec<PathBuf>, Error> {
    let words = Words::of(&exam.language, false)?;
    let document = document(exam, marks, report, &words)?;
    let files: Files = vec![
        ("marks.csv".into(), table(exam, marks)?),
        ("class.html".into(), html(&document).into_bytes()),
        ("class.md".into(), markdown(&document, "class").into_bytes()),
        ("class.json".into(), json(report)?),
    ];
    Ok(folder.write(files, Extent::WHOLE)?.unwrap_or_default())
}

/// Points to two decimals at most; what waits for a person stays empty.
fn points(value: &Fraction) -> String {
    let text = format!("{:.2}", to_f64(value));
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// One line a student and place, so that papers of different places share one table.
fn table(exam: &Exam, marks: &[StudentMarks]) -> Result<Vec<u8>, Error> {
    let head = ["student", "paper", "place", "points", "of", "misconception", "note"];
    let mut rows: Vec<Vec<String>> = Vec::new();
    for student in marks {
        let columns = hand_columns(exam, &student.paper);
        let row = |place: &str, got: String, of: &Fraction, why: String, note: String| {
            let place = place.to_owned();
            vec![student.student.clone(), student.paper.clone(), place, got, points(of), why, note]
        };
        for (index, mark) in student.marks.iter().enumerate() {
            let got = mark.points.as_ref().map_or(String::new(), points);
            let why = mark.misconception.map(Misconception::word).unwrap_or_default();
            let note = match (mark.note, &mark.points) {
                (Some(note), _) => note.to_owned(),
                (None, None) => {
                    format!("waits for a person: write points into column {}", columns[index])
                }
                (None, Some(_)) => String::new(),
            };
            rows.push(row(&mark.label, got, &mark.of, why, note));
        }
        let (total, of) = (points(&student.total()), student.of());
        rows.push(row("total", total, &of, String::new(), String::new()));
    }
    let text = csv_text(head.map(str::to_owned), rows)?;
    Ok(text.into_bytes())
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
    report: &ClassReport,
    words: &Words,
) -> Result<Document, Error> {
    let columns =
        |phrases: &[&str]| phrases.iter().map(|p| words.word(p)).collect::<Result<Vec<_>, _>>();
    let wrong = report.misconceptions.iter().map(|(misconception, count)| {
        let said = Said::new(&format!("misconception-{}", misconception.word()));
        Ok(cells(vec![words.say(&said)?.plain(), count.to_string()]))
    });
    let wrong = wrong.collect::<Result<Vec<_>, Error>>()?;
    let blocks = vec![
        Block::Heading(words.word("class-students")?),
        Block::Table(
            columns(&["class-student", "class-paper", "class-points", "class-of", "class-waits"])?,
            marks.iter().map(student_row).collect(),
        ),
        Block::Heading(words.word("class-misconceptions")?),
        Block::Table(columns(&["class-what", "class-count"])?, wrong),
        Block::Heading(words.word("class-items")?),
        Block::Table(
            columns(&[
                "class-paper",
                "class-item",
                "class-kind",
                "class-predicted",
                "class-marked",
                "class-share",
                "class-discrimination",
            ])?,
            report.items.iter().map(item_row).collect(),
        ),
        Block::Note(words.word("class-note")?),
    ];
    Ok(Document {
        title: Text::plainly(format!("{} · ", exam.title)).then(words.word("class-title")?),
        subtitle: None,
        language: exam.language.clone(),
        size: crate::brief::PaperSize::A4,
        blocks,
        figures: Vec::new(),
    })
}

fn cells(row: Vec<String>) -> Vec<TableCell> {
    row.into_iter().map(|cell| TableCell::Text(Text::plainly(cell))).collect()
}

fn student_row(one: &StudentMarks) -> Vec<TableCell> {
    cells(vec![
        one.student.clone(),
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
