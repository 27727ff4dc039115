//! `coaxle check`: what a sceptic finds in a folder of results.

use std::path::Path;

use itertools::Itertools as _;

use super::args::CheckArgs;
use super::bar::Bar;
use super::folder::disk;
use super::interrupt;
use super::look::{Align, Column, Paint, name, table, wrapped};
use super::voice::Voice;
use crate::check::{Counterexample, Discrepancy, Verdict};
use crate::doors;
use crate::error::Error;
use crate::report::{read_results, write_answer};
use crate::search::Controls;
use crate::train::write_layout;

/// Discrepancies that are told in full; --json has them all.
const MOST_TOLD: usize = 30;
/// Counterexamples that are.
const MOST_EXAMPLES: usize = 5;

pub fn run(args: &CheckArgs) -> Result<(), Error> {
    let voice = Voice::of(args.quiet);
    let results = read_results(&args.folder)?;
    let bar = Bar::new(voice);
    let controls = Controls {
        threads: args.threads.map(usize::from),
        stop: interrupt::watched(),
        progress: &bar,
    };
    let verdict = doors::check(&results, args.time.as_secs_f64(), &controls)?;
    drop(bar);
    let paint = Paint::of_stdout();
    voice.answer(&match (args.json, voice) {
        (true, _) => super::json(&verdict)?,
        (false, Voice::Quiet) => conclusion(&verdict),
        (false, Voice::Plain) => told(&verdict, paint),
    })?;
    // The verdict is out: that a file cannot be written must not hide it.
    let kept = match verdict.counterexamples.first() {
        Some(counterexample) => keep(args, counterexample, voice),
        None => Ok(()),
    };
    if verdict.interrupted {
        let text = "interrupted: what is told was done, the rest was not";
        return Err(Error::Interrupted(text.to_owned()));
    }
    if !verdict.holds() {
        let unkept = kept.err().map_or(String::new(), |error| {
            format!("\n  the counterexample could not be kept: {error}")
        });
        return Err(Error::Work(format!(
            "{}: the results do not hold: {} discrepancies, {} counterexamples{unkept}",
            args.folder.display(),
            verdict.discrepancies.len(),
            verdict.counterexamples.len()
        )));
    }
    kept
}

/// Writes the first counterexample as a layout file.
fn keep(args: &CheckArgs, counterexample: &Counterexample, voice: Voice) -> Result<(), Error> {
    let folder = args.out.as_deref().unwrap_or(Path::new("."));
    let heading = format!(
        "# A layout that a front has no answer to, found by coaxle check.\n\
         # Open it with: coaxle show counterexample.toml\n\
         # Wiring: {}\n# Gears: {}\n# {}\n\n",
        counterexample.canonical,
        counterexample.gears,
        against(counterexample)
    );
    let text = heading + &write_layout(&counterexample.layout);
    let files = vec![("counterexample.toml".into(), text.into_bytes())];
    let request = args.folder.components().collect::<std::path::PathBuf>();
    let owner = ("counterexample", &*request.to_string_lossy());
    for path in write_answer(folder, &disk(), "check", owner, files)? {
        voice.note(&format!("wrote {}", path.display()));
    }
    Ok(())
}

fn told(verdict: &Verdict, paint: Paint) -> String {
    let sections =
        [checks(verdict, paint), discrepancies(verdict, paint), examples(verdict, paint)];
    let sections = sections.into_iter().filter(|section| !section.is_empty());
    sections.chain([conclusion(verdict)]).join("\n")
}

fn checks(verdict: &Verdict, paint: Paint) -> String {
    let columns = [
        Column::new("check", Align::Left),
        Column::new("how", Align::Left),
        Column::new("against", Align::Right),
        Column::new("what was tried", Align::Left),
    ];
    let rows = verdict.checks.iter().map(|line| {
        vec![
            line.check.to_owned(),
            line.scope.word().to_owned(),
            line.against.to_string(),
            line.tried.clone(),
        ]
    });
    let meaning = "exact: whole numbers and fractions, all that is written. printed: all, by the \
                   decimals of the tables. rejudged: all, by the program's own functions once more. \
                   complete: every case there is. sampled: some cases, nothing is said of others. \
                   Gears are chosen as a search chooses them: the evenest ladder between a first and \
                   a last gear, the reverse nearest to the first.";
    paint.strong("Checks") + "\n" + &table(&columns, rows.collect()) + &wrapped(meaning, 2)
}

fn discrepancies(verdict: &Verdict, paint: Paint) -> String {
    if verdict.discrepancies.is_empty() {
        return String::new();
    }
    let shown = verdict.discrepancies.iter().take(MOST_TOLD).map(|found: &Discrepancy| {
        let text = format!(
            "{}: {}: {}; written: {}; found: {}",
            found.file, found.place, found.what, found.written, found.found
        );
        wrapped(&name(&text, 1000), 2)
    });
    let more = more(verdict.discrepancies.len(), MOST_TOLD);
    paint.strong("Discrepancies") + "\n" + &shown.collect::<String>() + &more
}

fn more(all: usize, told: usize) -> String {
    match all.saturating_sub(told) {
        0 => String::new(),
        more => wrapped(&format!("and {more} more, which --json tells"), 2),
    }
}

fn examples(verdict: &Verdict, paint: Paint) -> String {
    if verdict.counterexamples.is_empty() {
        return String::new();
    }
    let shown = verdict.counterexamples.iter().take(MOST_EXAMPLES).map(|example| {
        let text = format!("{}; {}; {}", against(example), example.canonical, example.gears);
        wrapped(&text, 2)
    });
    let more = more(verdict.counterexamples.len(), MOST_EXAMPLES);
    let heading = paint.strong("Counterexamples, each judged in fractions");
    heading + "\n" + &shown.collect::<String>() + &more
}

/// What a counterexample has, and what it says against the front.
fn against(example: &Counterexample) -> String {
    let values = example.objectives.iter().map(|(name, value)| {
        let value = value.map_or("none".to_owned(), |value| value.to_string());
        format!("{name} {value}")
    });
    let values = values.collect::<Vec<_>>().join(", ");
    match &example.beats {
        Some(row) => format!("{values}: beats {row}"),
        None => format!("{values}: no row of the front is as good in all of these"),
    }
}

fn conclusion(verdict: &Verdict) -> String {
    let text = match (verdict.holds(), verdict.interrupted) {
        (false, _) => format!(
            "The results do not hold: {} discrepancies, {} counterexamples.",
            verdict.discrepancies.len(),
            verdict.counterexamples.len()
        ),
        (true, true) => "Nothing was found against the results until it was stopped.".to_owned(),
        (true, false) => {
            "Nothing was found against the results. What was sampled may still hide something."
                .to_owned()
        }
    };
    wrapped(&text, 0)
}
