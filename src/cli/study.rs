//! `coaxle study`.

use std::path::{Path, PathBuf};

use super::args::StudyArgs;
use super::bar::Bar;
use super::folder::{disk, tell};
use super::input;
use super::interrupt;
use super::look::{Align, Column, decimal, table, wrapped};
use super::search::written_paths;
use super::voice::Voice;
use crate::brief::StudyBrief;
use crate::doors;
use crate::error::Error;
use crate::folder::{Claim, Folder};
use crate::report::{Earlier, StudyLedgerFile, study_claim, write_study};
use crate::search::Controls;
use crate::study::{Asked, Entry, StudyRecord};

pub fn run(args: &StudyArgs) -> Result<(), Error> {
    let voice = Voice::of(args.quiet);
    args.brief.iter().for_each(|path| input::announce(path, voice));
    let mut brief =
        args.brief.as_deref().map_or_else(|| Ok(StudyBrief::embedded()), StudyBrief::read)?;
    if args.thorough {
        brief.effort = brief.effort.thorough();
    }
    let place = args.out.clone().unwrap_or_else(|| Path::new("results").join(&brief.name));
    let request = brief.canonical_text();
    let disk = disk();
    let claim = Claim { afresh: args.afresh, ..study_claim(&request, args.force) };
    let mut folder = Folder::open(&place, &disk, claim)?;
    voice.note(wrapped(&format!("{}: {}", brief.title, brief.sentence()), 0).trim_end());
    let bar = Bar::for_a_day(voice, args.yes);
    let controls = Controls {
        threads: args.threads.map(usize::from),
        stop: interrupt::watched(),
        progress: &bar,
    };
    let earlier = if args.afresh { Earlier::Discard } else { Earlier::GoOn };
    let mut ledger = StudyLedgerFile::open(&place, &disk, request, earlier)?;
    match ledger.finished() {
        0 if args.resume => voice.note("  nothing to go on with here: this study begins anew"),
        0 => {}
        searches => voice.note(&format!("  going on: {searches} searches are finished")),
    }
    let record = doors::study(&brief, &controls, &mut ledger);
    bar.refusal()?;
    drop(bar);
    let record = record?;
    let written = write_study(&record, &mut folder)?;
    tell(&mut folder, voice);
    if record.complete {
        ledger.close()?;
    }
    if args.json {
        voice.answer(&super::json(&record)?)?;
    } else if !args.quiet {
        voice.answer(&told(&record, &place, written.as_deref()))?;
    }
    ending(&record, &place)
}

fn ending(record: &StudyRecord, folder: &Path) -> Result<(), Error> {
    if record.complete {
        return Ok(());
    }
    let searches = record.searches.len();
    let folder = folder.display();
    Err(Error::Interrupted(format!(
        "the study stopped after {searches} searches; they are kept in {folder}, and the same \
         command goes on with the rest"
    )))
}

/// Gears without a reverse and, where one is asked for, with one; then what is proved of them.
fn told(record: &StudyRecord, folder: &Path, written: Option<&[PathBuf]>) -> String {
    let mut text = String::from("Forward gears alone\n");
    text += &gears_table(record, false);
    if record.band.reverse.is_some() {
        text += "\nForward gears, with a reverse besides\n";
        text += &gears_table(record, true);
    }
    let note = "Largest numbers of usable forward gears, with any shift, with single swaps, with \
                layouts that nest, with both; ? where more is not proved impossible. Spread: the \
                widest ladder of so many gears, in layouts/ under its name.";
    text += &wrapped(note, 2);
    for sentence in &record.coverage {
        text += &wrapped(sentence, 2);
    }
    text + &written_paths(folder, written)
}

/// One line a number of sets and elements: gears, and the widest ladder.
fn gears_table(record: &StudyRecord, reverse: bool) -> String {
    let columns = [
        Column::new("sets", Align::Right),
        Column::new("elements", Align::Right),
        Column::new("gears", Align::Right),
        Column::new("single swap", Align::Right),
        Column::new("nests", Align::Right),
        Column::new("both", Align::Right),
        Column::new("spread", Align::Right),
        Column::new("layout", Align::Left),
    ];
    let any = Asked::any(reverse);
    let plain = record.entries.iter().filter(|entry| entry.asked() == any);
    let row = |entry: &Entry| {
        let gears = |asked: Asked| {
            let other = record.entry(entry.sets, entry.elements, asked);
            other.map_or_else(String::new, gears_cell)
        };
        let top = entry.rungs.last();
        vec![
            format!("≤ {}", entry.sets),
            format!("≤ {}", entry.elements),
            gears(any),
            gears(any.single_swap()),
            gears(any.nesting()),
            gears(any.single_swap().nesting()),
            top.map_or_else(|| "–".to_owned(), |rung| decimal(rung.widest.spread, 2)),
            top.map_or_else(|| "–".to_owned(), |rung| rung.widest.witness.clone()),
        ]
    };
    table(&columns, plain.map(row).collect())
}

fn gears_cell(entry: &Entry) -> String {
    match (entry.gears, entry.proved) {
        (0, true) => "none".to_owned(),
        (0, false) => "none ?".to_owned(),
        (gears, true) => gears.to_string(),
        (gears, false) => format!("{gears} ?"),
    }
}
