//! The files of an exam: papers and keys in every format, items, a package for learning
//! platforms, the blueprint; and of a marked one, marks and the class report.

mod blueprint;
mod class_table;
mod columns;
mod encoding;
mod marks;
mod read;

use std::path::PathBuf;

use serde::Serialize;

pub use class_table::{ClassTable, RefusedLine};
pub use marks::{ClassFile, marks_claim, write_marks};
pub use read::{read_answers, read_exam};

use super::cells::csv_text;
use super::sources::{Source, json, set};
use crate::brief::ExamBrief;
use crate::error::Error;
use crate::exam::{Exam, ExamPaper, HAND};
use crate::folder::{Claim, Extent, Files, Folder, Neighbours};
use crate::paper::{Words, html, key, markdown, package, questions};
use crate::parts::zip;
use crate::problem::Kind;

/// All that is told of an exam.
#[derive(Clone, Debug)]
pub struct ExamRecord {
    pub brief: ExamBrief,
    /// Of the program.
    pub version: String,
    pub exam: Exam,
    /// Items that were made.
    pub pool: usize,
    /// Kinds of which the numbers of the brief leave no more, with how many they gave.
    pub exhausted: Vec<(Kind, usize)>,
    /// Wanted difficulty of a paper.
    pub target: u32,
    /// The largest distance of a paper from what is wanted, in difficulty points.
    pub deviation: u32,
    /// Proved: no choice comes nearer.
    pub bound: u32,
    pub elapsed_s: f64,
}

/// Names that every exam writes, and folders that it fills.
const NAMES: [&str; 7] = [
    "summary.json",
    "items.json",
    "brief.toml",
    "answers.csv",
    "qti.zip",
    "blueprint.html",
    "figures/",
];

/// The claim of an exam on its folder.
pub fn exam_claim(request: &str, force: bool) -> Claim<'_> {
    let (command, holding) = (COMMAND, "papers");
    Claim {
        command,
        holding,
        request,
        force,
        afresh: false,
        neighbours: Neighbours::Apart,
        names: &NAMES,
    }
}

/// The command that exams and their marks are of.
const COMMAND: &str = "exam";

/// Writes all files of an exam, `summary.json` last, and returns their paths. Files that an
/// earlier exam wrote there and this one does not are removed; a table of answers that was
/// filled in stays.
///
/// # Errors
/// As [`Folder::write`]; [`Error::Work`] also for a phrase that cannot be said.
pub fn write_exam(record: &ExamRecord, folder: &mut Folder) -> Result<Vec<PathBuf>, Error> {
    let mut files = files(record)?;
    let summary = summary(record, &files)?;
    files.push(("summary.json".into(), summary.into_bytes()));
    Ok(folder.write(files, Extent::WHOLE)?.unwrap_or_default())
}

fn files(record: &ExamRecord) -> Result<Files, Error> {
    let brief = &record.brief;
    let words = Words::of(&brief.paper.language, brief.paper.decimal_comma)?;
    let mut files = Files::new();
    let mut sources = Vec::new();
    for paper in &record.exam.papers {
        let documents = [
            (format!("paper-{}", paper.name), questions(brief, paper, &words)?),
            (format!("key-{}", paper.name), key(brief, paper, &words)?),
        ];
        for (stem, document) in documents {
            let source = Source::of(stem, &document);
            files.push((format!("{}.html", source.stem).into(), html(&document).into_bytes()));
            let markdown = markdown(&document, &source.stem);
            files.push((format!("{}.md", source.stem).into(), markdown.into_bytes()));
            sources.push(source);
        }
    }
    files.extend(sources.iter().flat_map(Source::files));
    files.extend(set(&sources)?);
    files.push(("items.json".into(), json(&record.exam)?));
    files.push(("brief.toml".into(), brief.canonical_text().into_bytes()));
    files.push(("answers.csv".into(), template(&record.exam.papers)?.into_bytes()));
    let package = package(&record.exam, &words)?;
    let texts: Vec<(&str, &str)> =
        package.iter().map(|(name, text)| (name.as_str(), text.as_str())).collect();
    files.push(("qti.zip".into(), zip(&texts)));
    files.extend(blueprint::files(record, &words)?);
    Ok(files)
}

/// The head of a table of answers: a column for every place of every paper, and behind it one
/// for points where only a person can mark.
fn template(papers: &[ExamPaper]) -> Result<String, Error> {
    let mut columns: Vec<(usize, usize, usize, String)> = Vec::new();
    for paper in papers {
        for place in paper.places() {
            let cell = place.cell.map_or(0, |(cell, _)| cell + 1);
            let at = |column: String| (place.item, place.part, cell, column);
            columns.push(at(place.column(paper)));
            if !place.of.answer.is_marked_by_machine() {
                columns.push(at(place.hand_column(paper)));
            }
        }
    }
    // By place, an answer before its points.
    columns.sort_by_key(|(item, part, cell, name)| {
        (*item, *part, *cell, name.starts_with(HAND), name.clone())
    });
    columns.dedup();
    let names = columns.into_iter().map(|(.., column)| column);
    csv_text(
        ["student", "paper", "number"].map(str::to_owned).into_iter().chain(names),
        Vec::<Vec<String>>::new(),
    )
}

#[derive(Serialize)]
struct Summary<'a> {
    title: &'a str,
    request: String,
    brief: &'a str,
    version: &'a str,
    papers: Vec<&'a str>,
    /// In what they are parallel, as the brief says it.
    parallel: &'a str,
    pool: usize,
    exhausted: &'a [(Kind, usize)],
    target: u32,
    deviation: u32,
    bound: u32,
    proved: bool,
    stopped: &'a str,
    coverage: [&'a str; 3],
    files: Vec<String>,
    elapsed_s: f64,
}

/// What an exam is made of, in sentences.
const COVERAGE: [&str; 3] = [
    "Answers are exact: fractions of tooth counts and given numbers; powers with π are rounded.",
    "Difficulty and minutes are counted from what a solver must do; nobody has tried them.",
    "Papers: deviation is what was reached, bound what is proved that no choice goes below.",
];

fn summary(record: &ExamRecord, files: &Files) -> Result<String, Error> {
    let milliseconds = (record.elapsed_s * 1000.0).round() / 1000.0;
    let summary = Summary {
        title: &record.brief.title,
        request: record.brief.sentence(),
        brief: &record.brief.name,
        version: &record.version,
        papers: record.exam.papers.iter().map(|paper| paper.name.as_str()).collect(),
        parallel: record.brief.forms.parallel.word(),
        pool: record.pool,
        exhausted: &record.exhausted,
        target: record.target,
        deviation: record.deviation,
        bound: record.bound,
        proved: record.deviation == record.bound,
        stopped: "finished",
        coverage: COVERAGE,
        files: files.iter().map(|(name, _)| name.to_string_lossy().into_owned()).collect(),
        elapsed_s: milliseconds,
    };
    Ok(String::from_utf8_lossy(&json(&summary)?).into_owned())
}
