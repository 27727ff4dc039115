//! What is read back to mark an exam: its items, and the table of answers.

use std::path::Path;

use crate::error::{Error, Mistake};
use crate::exam::{Exam, Script};
use crate::train::read_text;

/// The exam that a results folder holds.
///
/// # Errors
/// [`Error::Request`] where `folder` has no `items.json` of an exam.
pub fn read_exam(folder: &Path) -> Result<Exam, Error> {
    let path = folder.join("items.json");
    if !path.is_file() {
        let mend = "name the folder that coaxle exam wrote, such as results/workshop-exam";
        return Err(Mistake::at("--mark", "has no items.json", mend).in_file(folder).into());
    }
    let text = read_text(&path)?;
    serde_json::from_str(&text).map_err(|error| {
        let mend = "make the exam again with the same brief and seed: its files will be the same";
        Mistake::at("items.json", format!("does not read: {error}"), mend).in_file(&path).into()
    })
}

/// Scripts of a class from a table: columns `student`, `paper`, and one for each place as in
/// the `answers.csv` of the exam. Empty lines are left out.
///
/// # Errors
/// [`Error::Request`] with the line and what would be right: a column that no paper has, a
/// paper that the exam has not, a student without a name or twice.
pub fn read_answers(path: &Path, exam: &Exam) -> Result<Vec<Script>, Error> {
    let text = read_text(path)?;
    scripts(&text, exam).map_err(|mistake| mistake.in_file(path).into())
}

fn scripts(text: &str, exam: &Exam) -> Result<Vec<Script>, Mistake> {
    let text = text.trim_start_matches('\u{feff}');
    // Spreadsheets of countries with a decimal comma part columns by semicolons.
    let head = text.lines().next().unwrap_or_default();
    let separator = if head.contains(';') && !head.contains(',') { b';' } else { b',' };
    let mut reader =
        csv::ReaderBuilder::new().delimiter(separator).flexible(true).from_reader(text.as_bytes());
    let unread = |error: csv::Error| {
        Mistake::at(
            "",
            format!("is no table: {error}"),
            "write one line a student, columns with commas",
        )
    };
    let columns: Vec<String> =
        reader.headers().map_err(unread)?.iter().map(|name| name.trim().to_owned()).collect();
    let column = |name: &str| {
        let place = columns.iter().position(|column| column.eq_ignore_ascii_case(name));
        let mend = "the first line names the columns: student, paper, then those of answers.csv";
        place.ok_or_else(|| Mistake::at(name, "is missing as a column", mend))
    };
    let (student, paper) = (column("student")?, column("paper")?);
    let known: Vec<String> = labels(exam);
    for (index, name) in columns.iter().enumerate() {
        if index != student && index != paper && !known.contains(name) {
            let mend = format!("there are student, paper, {}", known.join(", "));
            return Err(Mistake::at(name, "is a column that no paper has", mend));
        }
    }
    let mut scripts: Vec<Script> = Vec::new();
    for row in reader.records() {
        let row = row.map_err(unread)?;
        let line = row.position().map_or(0, csv::Position::line);
        let cell = |index: usize| row.get(index).unwrap_or_default().trim();
        if row.iter().all(|cell| cell.trim().is_empty()) {
            continue;
        }
        let script = Script {
            student: cell(student).to_owned(),
            paper: cell(paper).to_owned(),
            answers: (0..columns.len())
                .filter(|&index| index != student && index != paper)
                .map(|index| (columns[index].clone(), cell(index).to_owned()))
                .collect(),
        };
        check(&script, line, exam, &scripts)?;
        scripts.push(script);
    }
    if scripts.is_empty() {
        return Err(Mistake::at("", "has no line of a student", "write one line a student"));
    }
    Ok(scripts)
}

fn check(script: &Script, line: u64, exam: &Exam, before: &[Script]) -> Result<(), Mistake> {
    let at = |column: &str| format!("line {line}, {column}");
    if script.student.is_empty() {
        return Err(Mistake::at(at("student"), "is empty", "write a name or a number"));
    }
    let papers: Vec<&str> = exam.papers.iter().map(|paper| paper.name.as_str()).collect();
    if !papers.contains(&script.paper.as_str()) {
        let mend = format!("this exam has {}", papers.join(", "));
        return Err(Mistake::at(at("paper"), format!("is \"{}\"", script.paper), mend));
    }
    if before.iter().any(|other| other.student == script.student) {
        let problem = format!("has {} a second time", script.student);
        return Err(Mistake::at(at("student"), problem, "write one line a student"));
    }
    // An answer in a column that this student's paper does not have would be lost.
    let own: Vec<String> = exam
        .papers
        .iter()
        .filter(|paper| paper.name == script.paper)
        .flat_map(|paper| {
            paper.places().into_iter().map(|place| place.label(paper)).collect::<Vec<_>>()
        })
        .collect();
    match script.answers.iter().find(|(label, text)| !text.is_empty() && !own.contains(label)) {
        Some((label, _)) => {
            let problem = format!("is answered, but paper {} has no place {label}", script.paper);
            let mend = format!("paper {} has {}", script.paper, own.join(", "));
            Err(Mistake::at(at(label), problem, mend))
        }
        None => Ok(()),
    }
}

/// Labels of all places of all papers, each once.
fn labels(exam: &Exam) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for paper in &exam.papers {
        for place in paper.places() {
            let label = place.label(paper);
            if !all.contains(&label) {
                all.push(label);
            }
        }
    }
    all
}
