//! `coaxle search`.

use std::path::{Path, PathBuf};

use itertools::Itertools as _;

use super::args::SearchArgs;
use super::bar::Bar;
use super::folder::{disk, tell};
use super::input;
use super::interrupt;
use super::look::{Align, Column, DAY_S, Paint, decimal, duration, name, table, wrapped};
use super::voice::Voice;
use crate::brief::Brief;
use crate::doors;
use crate::error::{Error, Mistake};
use crate::folder::{Claim, Extent, Folder};
use crate::num::grouped;
use crate::report::{
    Candidate, Earlier, Kind, LEDGER, LedgerFile, Record, results_claim, summary, write_results,
};
use crate::score::Criterion;
use crate::search::{Controls, Course, Limits, estimate};

/// Layouts of the front that are listed; the files have all.
const LISTED: usize = 24;
/// Objectives beyond the usual ones that get a column.
const FURTHER: usize = 3;

pub fn run(args: &SearchArgs) -> Result<(), Error> {
    let voice = Voice::of(args.quiet);
    args.brief.iter().for_each(|path| input::announce(path, voice));
    let brief = args.brief.as_deref().map_or_else(|| Ok(Brief::embedded()), Brief::read)?;
    let place = args.out.clone().unwrap_or_else(|| Path::new("results").join(&brief.name));
    let request = brief.request_text();
    // Before the search, because a refusal after an hour of it would be a pity.
    let claim = results_claim(Kind::Search, &request, args.force);
    let claim = Claim { afresh: args.afresh, ..claim };
    let disk = disk();
    let mut folder = Folder::open(&place, &disk, claim)?;
    narrower(args, &folder)?;
    voice.note(wrapped(&format!("{}: {}", brief.title, brief.sentence()), 0).trim_end());
    let bar = Bar::new(voice);
    let controls = Controls {
        threads: args.threads.map(usize::from),
        stop: interrupt::watched(),
        progress: &bar,
    };
    // An estimate takes of the time too.
    let limits = Limits::from_now(args.limit_time, args.limit_memory);
    announce(args, &brief, &controls, limits, voice)?;
    let earlier = if args.afresh { Earlier::Discard } else { Earlier::GoOn };
    let mut ledger = LedgerFile::open(&place, &disk, LEDGER, request, earlier)?;
    match ledger.finished() {
        0 if args.resume => voice.note("  nothing to go on with here: this run begins anew"),
        0 => {}
        units => voice.note(&format!("  going on: {} units are finished", grouped(units as u64))),
    }
    let course = Course { units: args.units.clone(), limits, ledger: &mut ledger };
    let record = match doors::search_course(&brief, &controls, course) {
        Ok(record) => record,
        Err(error) => {
            // All of the request was judged: there is nothing to go on with.
            if matches!(error, Error::Nothing(_)) && args.units.is_none() {
                ledger.close()?;
            }
            return Err(told_of_file(error, args));
        }
    };
    drop(bar);
    let written = write_results(&record, &mut folder)?;
    tell(&mut folder, voice);
    if record.complete {
        ledger.close()?;
    }
    let answer = match (args.json, voice) {
        (true, _) => summary(&record)?,
        (false, Voice::Quiet) => String::new(),
        (false, Voice::Plain) => told(&record, &place, written.as_deref(), Paint::of_stdout()),
    };
    if !answer.is_empty() {
        voice.answer(&answer)?;
    }
    ending(&record, &place, written.is_some())
}

/// Refuses units whose results would not be written after the work.
fn narrower(args: &SearchArgs, folder: &Folder) -> Result<(), Error> {
    let Some(units) = &args.units else { return Ok(()) };
    if !folder.keeps(&Extent::part(units.start as u64, units.end as u64)) {
        return Ok(());
    }
    let standing = match folder.extent() {
        Some(Extent { whole: false, from, to }) => format!("units {from}..{to} of this brief"),
        _ => "a whole search".to_owned(),
    };
    let problem = format!("{} holds the results of {standing}", folder.path().display());
    let mend = "name another folder, or write --force to give those results up";
    Err(Mistake::at("--units", problem, mend).into())
}

/// A search of at least so many layouts is timed from a sample before it begins, and so is
/// every search that is to prove all: nobody can foresee that by counting. What is smaller
/// tells of itself while it works, see [`Bar`].
const LONG: u64 = 200_000_000;

/// Says how large a long run is and how long it will take.
fn announce(
    args: &SearchArgs,
    brief: &Brief,
    controls: &Controls<'_>,
    limits: Limits,
    voice: Voice,
) -> Result<(), Error> {
    let from = if brief.effort.prove { 0 } else { LONG };
    let size = estimate(brief, controls, args.units.clone(), limits, from)
        .map_err(|error| told_of_file(error, args))?;
    // Stopped: the run that follows says so, and part of an estimate says nothing.
    let whole = size.filter(|_| !controls.stopped());
    let Some((size, seconds)) = whole.and_then(|size| Some((size, size.seconds?))) else {
        return Ok(());
    };
    let [layouts, cores, units] = [size.layouts, size.cores, size.units as u64].map(grouped);
    let told = format!("{layouts} layouts on {cores} cores, in {units} units of work");
    let time = match size.at_least {
        true => format!("at least {}", duration(seconds)),
        false => format!("about {}", duration(seconds)),
    };
    let basis = match size.sampled {
        0 => "judged from cores that were tried and not finished in two seconds".to_owned(),
        sampled => format!("judged from {} cores", grouped(sampled)),
    };
    let limits = [brief.effort.time_limit_s, args.limit_time.map(|time| time.as_secs_f64())];
    let limited = limits.iter().flatten().any(|limit| *limit <= DAY_S);
    if seconds > DAY_S && !args.yes && !limited {
        let problem = format!("this would take {time}: {told}, {basis}");
        let mend = "narrow the windows, ask for fewer elements, search a part with --units A..B, or \
                    write --yes to begin all the same";
        return Err(told_of_file(Mistake::at("", problem, mend).into(), args));
    }
    let note = format!("{told}: {time}, {basis}.");
    voice.note(wrapped(&note, 2).trim_end());
    Ok(())
}

fn told_of_file(error: Error, args: &SearchArgs) -> Error {
    match (error, &args.brief) {
        (Error::Request(mistake), Some(file)) if !mistake.key.starts_with("--") => {
            mistake.in_file(file).into()
        }
        (error, _) => error,
    }
}

/// What the exit status says. The files are written by now, unless what stood there said more.
pub(super) fn ending(record: &Record, folder: &Path, is_written: bool) -> Result<(), Error> {
    let found = record.front.len();
    let folder = folder.display();
    let kept = match is_written {
        true => format!("what was found until then is kept in {folder}"),
        false => format!("the results in {folder} say more, and stay as they are"),
    };
    if record.stopped == "interrupted" {
        let text = format!("interrupted with {found} layouts on the front; {kept}");
        return Err(Error::Interrupted(text));
    }
    if found == 0 {
        let text = format!("nothing met the request before the {}; {kept}", record.stopped);
        return Err(Error::Nothing(text));
    }
    Ok(())
}

fn told(record: &Record, folder: &Path, written: Option<&[PathBuf]>, paint: Paint) -> String {
    let size = record.space;
    let [sift, solve, score] = record.spent_s;
    let searched = format!(
        "{} cores, {} layouts, {} states in {} s (sift {}, solve {}, score {}). {}",
        grouped(size.cores),
        grouped(size.layouts),
        grouped(size.states),
        decimal(record.elapsed_s, 1),
        decimal(sift, 1),
        decimal(solve, 1),
        decimal(score, 1),
        record.coverage.first().map_or("", String::as_str),
    );
    let searched = wrapped(&searched, 2);
    let searched = if record.complete { searched } else { paint.bad(searched.trim_end()) + "\n" };
    [
        paint.strong(&name(&record.title, super::look::WIDTH)) + "\n" + &searched,
        funnel(record),
        paint.strong("Front") + "\n" + &front(record),
        paint.strong("Written") + "\n" + &written_paths(folder, written),
    ]
    .join("\n")
}

fn funnel(record: &Record) -> String {
    let rows = record.funnel.iter().map(|stage| {
        vec![stage.test.clone(), grouped(stage.entered), grouped(stage.left), stage.why.clone()]
    });
    let columns = [
        Column::new("test", Align::Left),
        Column::new("in", Align::Right),
        Column::new("out", Align::Right),
        Column::new("what passes", Align::Left),
    ];
    table(&columns, rows.collect())
}

fn front(record: &Record) -> String {
    if record.front.is_empty() {
        return wrapped("No layout was found.", 2);
    }
    let heads =
        ["id", "gears", "first", "top", "spread", "steps", "worst step", "elements", "reverse"];
    let aligns = [Align::Left].into_iter().chain([Align::Right; 8]);
    let mut columns: Vec<Column> =
        heads.iter().zip(aligns).map(|(head, align)| Column::new(*head, align)).collect();
    let further: Vec<Criterion> = further(record).collect();
    columns.extend(further.iter().map(|c| Column::new(c.name().replace('_', " "), Align::Right)));
    // What the page shows covers the front evenly; what follows lies between these.
    let listed = record.shown.min(LISTED);
    let rows =
        record.front().take(listed).map(|candidate| row(record, candidate, &further)).collect();
    let meaning = "worst step: how far the worst of the steps is off the wanted ladder";
    let more = match record.front.len().saturating_sub(listed) {
        0 => String::new(),
        more => format!(". {more} more in front.csv"),
    };
    table(&columns, rows) + &wrapped(&format!("{meaning}{more}."), 2)
}

/// Objectives that the table does not show anyway, as many as find room.
fn further(record: &Record) -> impl Iterator<Item = Criterion> {
    let shown = [
        Criterion::Spread,
        Criterion::StepDeviation,
        Criterion::ElementCount,
        Criterion::ShiftElements,
    ];
    record.objectives.iter().copied().filter(move |other| !shown.contains(other)).take(FURTHER)
}

fn row(record: &Record, candidate: &Candidate, further: &[Criterion]) -> Vec<String> {
    let forward: Vec<f64> = candidate.forward().map(|gear| gear.value).collect();
    let ratio = |value: Option<&f64>| value.map_or("–".to_owned(), |value| decimal(*value, 3));
    let steps = forward.windows(2).map(|pair| pair[0] / pair[1]).minmax().into_option();
    let deviation = record.score(candidate, Criterion::StepDeviation);
    let spread = forward.first().zip(forward.last()).map(|(first, top)| first / top);
    let reverse = candidate.reverse().map(|gear| decimal(gear.value, 3)).join(" ");
    let score = |&criterion: &Criterion| match record.score(candidate, criterion) {
        None => "–".to_owned(),
        Some(score) if criterion == Criterion::Nests => {
            if score > 0.5 { "yes" } else { "no" }.to_owned()
        }
        Some(score) if score.fract() == 0.0 => decimal(score, 0),
        Some(score) => decimal(score, 3),
    };
    let mut cells = vec![
        candidate.id.clone(),
        format!("{} + {}", forward.len(), candidate.reverse().count()),
        ratio(forward.first()),
        ratio(forward.last()),
        ratio(spread.as_ref()),
        steps.map_or("–".to_owned(), |(least, most)| format!("{least:.3}–{most:.3}")),
        deviation.map_or("–".to_owned(), |ln| format!("{} %", decimal(100.0 * ln.exp_m1(), 1))),
        candidate.layout.elements.len().to_string(),
        if reverse.is_empty() { "–".to_owned() } else { reverse },
    ];
    cells.extend(further.iter().map(score));
    cells
}

/// What was written, or that nothing was.
pub(super) fn written_paths(folder: &Path, written: Option<&[PathBuf]>) -> String {
    let nothing = || {
        let text = format!(
            "Nothing: the results in {} rest on more than this run did, and stay as they are.",
            folder.display()
        );
        wrapped(&text, 2)
    };
    written.map_or_else(nothing, |written| paths(folder, written))
}

/// Every path, the layout files in one line and the parts of each reduction in one.
pub(super) fn paths(folder: &Path, written: &[PathBuf]) -> String {
    let layouts = folder.join("layouts");
    let (layout_files, others): (Vec<_>, Vec<_>) =
        written.iter().partition(|path| path.parent() == Some(layouts.as_path()));
    let parts = folder.join("parts");
    let (part_files, others): (Vec<&PathBuf>, Vec<&PathBuf>) =
        others.into_iter().partition(|path| path.starts_with(&parts));
    let of = |path: &&PathBuf| {
        path.strip_prefix(&parts).ok()?.components().next().map(|c| parts.join(c))
    };
    let folders = part_files.iter().filter_map(of).dedup_with_count();
    let made: Vec<String> = folders
        .map(|(count, folder)| format!("{} ({count} files)", folder.join("").display()))
        .collect();
    let summed = match &layout_files[..] {
        [] => None,
        [one] => Some(one.display().to_string()),
        [first, .., last] => {
            let last = last.file_name().unwrap_or_default().to_string_lossy();
            Some(format!("{} … {last} ({} files)", first.display(), layout_files.len()))
        }
    };
    let others = others.into_iter().map(|path| path.display().to_string());
    // Paths stay whole, whatever their length: they are there to be copied.
    others.chain(summed).chain(made).map(|path| format!("  {path}\n")).collect()
}
