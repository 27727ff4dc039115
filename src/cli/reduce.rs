//! `coaxle reduce`.

use std::path::{Path, PathBuf};

use super::args::ReduceArgs;
use super::bar::Bar;
use super::folder::{disk, tell};
use super::input;
use super::interrupt;
use super::look::{Align, Column, Paint, decimal, name, table, wrapped};
use super::search::{ending, written_paths};
use super::voice::Voice;
use crate::brief::ReductionBrief;
use crate::doors;
use crate::error::Error;
use crate::folder::Folder;
use crate::num::grouped;
use crate::report::{CAUTIONS, Candidate, Kind, Record, results_claim, summary, write_results};
use crate::score::Criterion;
use crate::search::Controls;

/// Reductions of the front that are listed; the files have all.
const LISTED: usize = 24;
/// Below this efficiency a reduction is shown as a warning.
const POOR: f64 = 0.5;

pub fn run(args: &ReduceArgs) -> Result<(), Error> {
    let voice = Voice::of(args.quiet);
    input::announce(&args.brief, voice);
    let brief = ReductionBrief::read(&args.brief)?;
    let place = args.out.clone().unwrap_or_else(|| Path::new("results").join(&brief.name));
    let request = brief.request_text();
    // Before the search, because a refusal after it would be a pity.
    let claim = results_claim(Kind::Reduction, &request, args.force);
    let mut folder = Folder::open(&place, &disk(), claim)?;
    voice.note(wrapped(&format!("{}: {}", brief.title, brief.sentence()), 0).trim_end());
    let bar = Bar::for_a_day(voice, args.yes);
    let controls = Controls {
        threads: args.threads.map(usize::from),
        stop: interrupt::watched(),
        progress: &bar,
    };
    let record = doors::reduce(&brief, &controls);
    bar.refusal().map_err(|mistake| mistake.in_file(&args.brief))?;
    drop(bar);
    let record = record?;
    let written = write_results(&record, &mut folder)?;
    tell(&mut folder, voice);
    let answer = match (args.json, voice) {
        (true, _) => summary(&record)?,
        (false, Voice::Quiet) => String::new(),
        (false, Voice::Plain) => told(&record, &place, written.as_deref(), Paint::of_stdout()),
    };
    if !answer.is_empty() {
        voice.answer(&answer)?;
    }
    if let Some(told) = exit_notes(&record) {
        voice.note(&told);
    }
    ending(&record, &place, written.is_some())
}

fn told(record: &Record, folder: &Path, written: Option<&[PathBuf]>, paint: Paint) -> String {
    let head = format!(
        "{} ways to join the sets in {} s; {} on the front.",
        grouped(record.space.layouts),
        decimal(record.elapsed_s, 1),
        record.front.len()
    );
    let mut sure: String = record.coverage.iter().map(|sentence| wrapped(sentence, 2)).collect();
    if !record.complete && record.stopped != "finished" {
        sure = paint.bad(sure.trim_end()) + "\n";
    }
    [
        paint.strong(&name(&record.title, super::look::WIDTH)) + "\n" + &wrapped(&head, 2) + &sure,
        paint.strong("Front, the best compromise first") + "\n" + &front(record, paint),
        paint.strong("Written") + "\n" + &written_paths(folder, written) + &papers(),
        paint.strong("Before metal is cut") + "\n" + &cautions(),
    ]
    .join("\n")
}

/// How to have the drawing sheets as a PDF, where this build cannot make it.
fn papers() -> String {
    if cfg!(feature = "papers") {
        return String::new();
    }
    let told = "Drawing sheets as one PDF: cargo build --release --features papers (Rust 1.92).";
    wrapped(told, 2)
}

fn cautions() -> String {
    CAUTIONS.iter().map(|caution| wrapped(caution, 2)).collect()
}

fn front(record: &Record, paint: Paint) -> String {
    if record.front.is_empty() {
        return wrapped("No reduction was found.", 2);
    }
    let variants =
        record.front().any(|c| c.workshop.as_ref().is_some_and(|m| !m.variant.is_empty()));
    let mut columns = vec![Column::new("id", Align::Left)];
    if variants {
        columns.push(Column::new("made of", Align::Left));
    }
    let numbers = ["ratio", "off, %", "⌀, mm", "length, mm", "parts", "efficiency", "safety"];
    columns.extend(numbers.map(|head| Column::new(head, Align::Right)));
    let priced = record.front().any(|c| record.score(c, Criterion::Price).is_some());
    if priced {
        columns.push(Column::new("price", Align::Right));
    }
    columns.push(Column::new("sun/planet/ring × planets, m module", Align::Left));
    let rows = record.front().take(LISTED).map(|candidate| row(record, candidate, variants));
    let table = table(&columns, rows.collect());
    let poor = |candidate: &&Candidate| {
        record.score(candidate, Criterion::Efficiency).is_some_and(|score| score < POOR)
    };
    let warned: Vec<&str> = record.front().filter(poor).map(|one| one.id.as_str()).collect();
    let warning = match &warned[..] {
        [] => String::new(),
        poor => {
            let text = format!(
                "Less than half of the power comes out of {}: what is lost becomes heat, and small \
                 errors of the mesh efficiencies may lock them.",
                poor.join(", ")
            );
            paint.bad(wrapped(&text, 2).trim_end()) + "\n"
        }
    };
    let more = match record.front.len().saturating_sub(LISTED) {
        0 => String::new(),
        more => wrapped(&format!("{more} more in front.csv."), 2),
    };
    table + &warning + &more
}

/// What is too weak does not read as 1.00.
fn safety(safety: f64) -> String {
    decimal(if safety < 1.0 - 1e-9 { safety.min(0.99) } else { safety }, 2)
}

/// Sizes of the brief that had to give way, and what is too weak: of the first reduction that
/// has any, since the others have mostly the same.
fn exit_notes(record: &Record) -> Option<String> {
    let shops = record.front().filter_map(|one| Some((&one.id, one.workshop.as_deref()?)));
    let told = shops.map(|(id, shop)| (id, [shop.gave_way(), shop.weak_told()].concat()));
    let bad: Vec<(&String, Vec<String>)> = told.filter(|(_, told)| !told.is_empty()).collect();
    let (id, first) = bad.first()?;
    let others = match bad.len() {
        1 => String::new(),
        more => format!(" ({} of {} reductions have such notes)", more, record.front.len()),
    };
    let lines = first.iter().map(|sentence| wrapped(&format!("- {sentence}"), 2));
    Some(format!("note on {id}{others}:\n{}", lines.collect::<String>().trim_end()))
}

fn row(record: &Record, candidate: &Candidate, variants: bool) -> Vec<String> {
    let score = |criterion| record.score(candidate, criterion);
    let number = |criterion, places| {
        score(criterion).map_or("–".to_owned(), |value| decimal(value, places))
    };
    let efficiency = match score(Criterion::Efficiency) {
        None => "–".to_owned(),
        Some(0.0) => "locks".to_owned(),
        Some(value) => format!("{} %", decimal(100.0 * value, 1)),
    };
    let workshop = candidate.workshop.as_ref();
    let ratio = candidate.gears.first().map_or("–".to_owned(), |gear| decimal(gear.value, 4));
    let mut cells = vec![candidate.id.clone()];
    if variants {
        cells.push(workshop.map_or(String::new(), |workshop| workshop.variant.clone()));
    }
    cells.extend([
        ratio,
        number(Criterion::RatioError, 3),
        number(Criterion::OuterDiameter, 1),
        number(Criterion::Length, 1),
        number(Criterion::PartCount, 0),
        efficiency,
        score(Criterion::Safety).map_or("–".to_owned(), safety),
    ]);
    cells.extend(score(Criterion::Price).map(|price| decimal(price, 2)));
    cells.push(
        workshop.map_or(String::new(), |workshop| crate::report::teeth_cell(candidate, workshop)),
    );
    cells
}
