//! `coaxle exam`.

use std::path::{Path, PathBuf};

use super::args::ExamArgs;
use super::bar::Bar;
use super::folder::{disk, tell};
use super::input;
use super::interrupt;
use super::look::{Align, Column, Paint, decimal, table, wrapped};
use super::search::paths;
use super::voice::Voice;
use crate::brief::{ExamBrief, Parallel};
use crate::doors;
use crate::error::{Error, Mistake};
use crate::exam::{Exam, StudentMarks, class_report, mark};
use crate::folder::Folder;
use crate::num::to_f64;
use crate::paper::Words;
use crate::problem::Item;
use crate::report::{
    ClassFile, ExamRecord, exam_claim, marks_claim, read_answers, read_exam, write_exam,
    write_marks,
};
use crate::search::Controls;

pub fn run(args: &ExamArgs) -> Result<(), Error> {
    match &args.mark {
        Some(paths) => mark_class(args, paths),
        None => make(args),
    }
}

fn make(args: &ExamArgs) -> Result<(), Error> {
    let voice = Voice::of(args.quiet);
    let Some(path) = &args.brief else {
        let mend = "name a brief such as configs/workshop-exam.toml, or --mark FOLDER ANSWERS";
        return Err(Mistake::at("BRIEF", "is missing", mend).into());
    };
    input::announce(path, voice);
    let mut brief = ExamBrief::read(path)?;
    if let Some(seed) = args.seed {
        brief.seed = seed;
    }
    let place = args.out.clone().unwrap_or_else(|| Path::new("results").join(&brief.name));
    let request = brief.request_text();
    let mut folder = Folder::open(&place, &disk(), exam_claim(&request, args.force))?;
    voice.note(wrapped(&format!("{}: {}", brief.title, brief.sentence()), 0).trim_end());
    let bar = Bar::new(voice);
    let controls = Controls { threads: None, stop: interrupt::watched(), progress: &bar };
    let record = doors::exam(&brief, &controls);
    drop(bar);
    let record = record?;
    let written = write_exam(&record, &mut folder)?;
    tell(&mut folder, voice);
    if args.json {
        return voice.answer(&super::json(&record.exam)?);
    }
    if args.quiet {
        return Ok(());
    }
    let answer = tables(&record) + &closing(&record, &place, written.len());
    voice.answer(&answer)
}

/// One line a paper, and how near all are.
fn tables(record: &ExamRecord) -> String {
    let columns = [
        Column::new("paper", Align::Left),
        Column::new("points", Align::Right),
        Column::new("minutes", Align::Right),
        Column::new("difficulty", Align::Right),
        Column::new("problems", Align::Left),
    ];
    let sum = |items: &[Item], of: fn(&Item) -> u32| items.iter().map(of).sum::<u32>().to_string();
    let row = |paper: &crate::exam::ExamPaper| {
        let kinds: Vec<&str> = paper.items.iter().map(|item| item.kind.word()).collect();
        vec![
            paper.name.clone(),
            sum(&paper.items, Item::points),
            sum(&paper.items, Item::minutes),
            sum(&paper.items, Item::difficulty),
            kinds.join(", "),
        ]
    };
    table(&columns, record.exam.papers.iter().map(row).collect())
}

fn closing(record: &ExamRecord, folder: &Path, files: usize) -> String {
    let mut text = String::new();
    for (kind, count) in &record.exhausted {
        text +=
            &format!("The numbers of the brief leave only {count} items of kind {}. ", kind.word());
    }
    text += &format!(
        "Difficulty: {} wanted, the farthest paper is {} off; ",
        record.target, record.deviation
    );
    text += &match (record.deviation == record.bound, record.bound) {
        (true, _) => format!("proved: no choice from the {} items comes nearer. ", record.pool),
        (false, 0) => "whether any comes nearer was not decided. ".to_owned(),
        (false, bound) => format!("that one comes nearer than {bound} off is excluded by proof. "),
    };
    if record.exam.papers.len() > 1 {
        text += match record.brief.forms.parallel {
            Parallel::SamePlan => {
                "The papers have one plan: problem by problem the same kind, points, minutes and \
                 difficulty, with other numbers and gearboxes. "
            }
            Parallel::SameDifficulty => {
                "The papers are equal in the sum of their difficulty only, not in what they ask. "
            }
        };
    }
    let pdf = cfg!(feature = "papers");
    if !pdf {
        text += "PDF: print the HTML pages, or build Coaxle with --features papers. ";
    }
    let path = |name: &str| folder.join(name).display().to_string();
    let (first, endings) =
        (&record.exam.papers[0].name, if pdf { ".md, .typ, .pdf" } else { ".md, .typ" });
    let mut lines = wrapped(text.trim_end(), 2);
    lines += &format!("  {files} files, among them\n");
    for (name, what) in [
        (format!("paper-{first}.html"), format!("and so on: papers to print ({endings} too)")),
        (format!("key-{first}.html"), "and so on: worked keys".to_owned()),
        ("blueprint.html".to_owned(), "how equal the papers are".to_owned()),
        ("answers.csv".to_owned(), "head of the table that --mark reads".to_owned()),
        ("qti.zip".to_owned(), "package for learning platforms".to_owned()),
        ("items.json".to_owned(), "all items with their answers".to_owned()),
    ] {
        lines += &format!("  {}  {what}\n", path(&name));
    }
    lines
}

/// Whose marks they are: those of an exam and a table, whatever stands in the table by now.
fn marks_request(exam: &Exam, answers: &Path) -> String {
    format!("exam: {}, seed {}\nanswers: {}\n", exam.title, exam.seed, answers.display())
}

/// Marks a table of answers against the exam of a folder.
fn mark_class(args: &ExamArgs, given: &[PathBuf]) -> Result<(), Error> {
    let voice = Voice::of(args.quiet);
    let [folder, answers] = given else {
        let mend = "write --mark FOLDER ANSWERS.csv";
        return Err(Mistake::at("--mark", "needs a folder and a table", mend).into());
    };
    let disk = disk();
    // Papers whose exchange was interrupted are old and new ones together until it is done.
    Folder::settle(folder, &disk)?;
    let exam = read_exam(folder)?;
    input::announce(answers, voice);
    let class = read_answers(answers, &exam)?;
    for line in &class.refused {
        // Said however quiet it shall be: somebody is without marks.
        voice.warning(&format!("line {} is not marked: {}", line.line, line.why));
    }
    let words = Words::of(&exam.language, false)?;
    let say = |said: &_| words.say(said).map(|text| text.plain()).unwrap_or_default();
    let marks: Vec<StudentMarks> =
        class.scripts.iter().filter_map(|script| mark(&exam, script, &say)).collect();
    let report = class_report(&exam, &marks);
    let into = args.out.as_deref().unwrap_or(folder);
    let request = marks_request(&exam, answers);
    let mut kept = Folder::open(into, &disk, marks_claim(&request))?;
    let written = write_marks(&exam, &marks, &class.refused, &report, &mut kept)?;
    tell(&mut kept, voice);
    if args.json {
        return voice.answer(&super::json(&ClassFile::of(&report, &class.refused))?);
    }
    if args.quiet {
        return Ok(());
    }
    let text = marks_table(&marks) + &questions(&marks);
    voice.answer(&(text + &paths(into, &written)))
}

/// One line a student.
fn marks_table(marks: &[StudentMarks]) -> String {
    let columns = [
        Column::new("student", Align::Left),
        Column::new("paper", Align::Left),
        Column::new("points", Align::Right),
        Column::new("of", Align::Right),
        Column::new("waits for a person", Align::Left),
    ];
    let row = |one: &StudentMarks| {
        vec![
            one.called(),
            one.paper.clone(),
            decimal(to_f64(&one.total()), 2),
            decimal(to_f64(&one.of()), 0),
            one.waiting().join(" "),
        ]
    };
    table(&columns, marks.iter().map(row).collect())
}

/// Answers that a person is asked about, and rows that are no answer.
fn questions(marks: &[StudentMarks]) -> String {
    let paint = Paint::of_stdout();
    let mut text = String::new();
    for one in marks {
        for mark in one.marks.iter().filter(|mark| mark.note.is_some()) {
            let note = mark.note.unwrap_or_default();
            let line = format!("{}, {}: {note}", one.called(), mark.label);
            text += &(paint.bad(wrapped(&line, 2).trim_end()) + "\n");
        }
    }
    text
}
