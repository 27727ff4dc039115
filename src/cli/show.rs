//! `coaxle show`: for a person, gears first.

mod columns;
mod derivation;
mod faults;
mod formulas;
mod gears;
mod largest;
mod motions;
mod power;
mod shifts;
mod states;
mod teeth;

use std::path::{Path, PathBuf};

use clap::ValueEnum as _;
use itertools::Itertools as _;

use super::args::{ExplainDepth, Section, ShowArgs};
use super::folder::disk;
use super::input;
use super::look::{Align, Column, Paint, decimal, name, table, wrapped};
use super::voice::Voice;
use crate::brief::Brief;
use crate::doors::shown::{ColumnTold, DrawingTold, Shown, State};
use crate::doors::{self, Basis, Depth, USUAL_SPEEDS};
use crate::error::{Error, Mistake};
use crate::folder::Files;
use crate::num::{parse_fraction, to_f64};
use crate::paper::{html, plain};
use crate::report::{CAUTIONS, picture_files, write_answer};
use crate::score::Criterion;
use crate::train::{Layout, MOST_GEARS, read_layout};

pub fn run(args: &ShowArgs) -> Result<(), Error> {
    let voice = Voice::of(args.quiet);
    let basis = match &args.brief {
        Some(path) => Basis::from(&Brief::read(path)?),
        None => Basis::default(),
    };
    input::announce(&args.layout, voice);
    let layout = read_layout(&args.layout)?;
    if args.explain.is_some() || args.draw.is_some() {
        few_enough(&layout).map_err(|mistake| mistake.in_file(&args.layout))?;
    }
    if let Some(depth) = args.explain {
        return explained(args, &layout, depth, &basis, voice);
    }
    let shown = doors::show(&layout, &basis);
    let json = super::json(&shown)?;
    if let Some(folder) = &args.out {
        let files = vec![("show.json".into(), json.clone().into_bytes())];
        keep(args, folder, "answer", files, voice)?;
    }
    if let Some(folder) = &args.draw {
        let portraits =
            doors::portrait(&layout, &basis, args.input_speeds.unwrap_or(USUAL_SPEEDS))?;
        let mut files = Files::new();
        for portrait in &portraits {
            files.extend(picture_files(&portrait.name, &portrait.picture, args.png)?);
        }
        keep(args, folder, "pictures", files, Voice::Quiet)?;
        voice.note(&format!("wrote {} pictures into {}", portraits.len(), folder.display()));
    }
    let paint = Paint::of_stdout();
    voice.answer(&match (args.json, voice) {
        (true, _) => json,
        (false, Voice::Quiet) => gears::section(&shown, paint),
        (false, Voice::Plain) if args.only.is_empty() => told(&shown, paint),
        (false, Voice::Plain) => only(&shown, &args.only, paint),
    })
}

/// Writes files of one kind that belong to this layout.
fn keep(
    args: &ShowArgs,
    folder: &Path,
    kind: &str,
    files: Files,
    voice: Voice,
) -> Result<(), Error> {
    let request = args.layout.components().collect::<PathBuf>();
    let owner = (kind, &*request.to_string_lossy());
    for path in write_answer(folder, &disk(), "show", owner, files)? {
        voice.note(&format!("wrote {}", path.display()));
    }
    Ok(())
}

/// Pictures and explanations take each gear in turn, and every state where none is named.
fn few_enough(layout: &Layout) -> Result<(), Mistake> {
    let states = layout.states().count();
    if !layout.gears.is_empty() || states <= MOST_GEARS {
        return Ok(());
    }
    let problem = format!("names no gears, and {states} states are too many to draw or explain");
    let mend = format!(
        "name at most {MOST_GEARS} gears in a table [gears]; show without --draw \
                        and --explain tells every state"
    );
    Err(Mistake::at("gears", problem, mend))
}

/// The walk through all gears for a learner; as a page too where a folder is named.
fn explained(
    args: &ShowArgs,
    layout: &Layout,
    depth: ExplainDepth,
    basis: &Basis,
    voice: Voice,
) -> Result<(), Error> {
    let depth = match depth {
        ExplainDepth::FirstLook => Depth::FirstLook,
        ExplainDepth::Course => Depth::Course,
        ExplainDepth::Full => Depth::Full,
    };
    let document = doors::explain(layout, depth, basis, "en")?;
    if let Some(folder) = &args.out {
        let files = vec![("explain.html".into(), html(&document).into_bytes())];
        keep(args, folder, "explanation", files, voice)?;
    }
    let figures = "Drawings are left out here: --out FOLDER writes explain.html with all of them.";
    voice.answer(&plain(&document, figures))
}

/// The whole page.
fn told(shown: &Shown, paint: Paint) -> String {
    // Gears first, because they are what is asked for; then what they stand on.
    let sections = [
        heading(shown, paint),
        gears::section(shown, paint),
        teeth::section(shown, paint),
        motions::section(shown, paint),
        power::section(shown, paint),
        largest::section(shown, paint),
        shifts::section(shown, paint),
        faults::section(shown, paint),
        states::section(shown, paint),
        scores(shown, paint),
        verdict(shown, paint),
    ];
    sections.iter().filter(|section| !section.is_empty()).join("\n")
}

/// What was asked for; a section without content says so.
fn only(shown: &Shown, sections: &[Section], paint: Paint) -> String {
    let told = sections.iter().map(|&section| {
        let text = match section {
            Section::Gears => gears::section(shown, paint),
            Section::Formulas => formulas::section(shown, paint),
            Section::Derivation => derivation::section(shown, paint),
            Section::Teeth => teeth::section(shown, paint),
            Section::Speeds => motions::section(shown, paint),
            Section::Power => power::section(shown, paint),
            Section::Largest => largest::section(shown, paint),
            Section::Faults => faults::section(shown, paint),
            Section::Shifts => shifts::section(shown, paint),
            Section::States => states::section(shown, paint),
            Section::Scores => scores(shown, paint),
            Section::Nesting => nesting(shown, paint),
        };
        if text.is_empty() { nothing(section) } else { text }
    });
    told.collect::<Vec<_>>().join("\n")
}

/// Why a section is empty, so that no answer is silent.
fn nothing(section: Section) -> String {
    let why = match section {
        Section::Shifts => "fewer than two gears of one direction are named and live",
        Section::Faults => "the file names no gears, or there are no elements",
        Section::States => "every state is a gear",
        Section::Derivation => "the file names no gears that are live",
        _ => "no state is live",
    };
    let word = section.to_possible_value().map(|value| value.get_name().to_owned());
    format!("Nothing to tell of {}: {why}.\n", word.unwrap_or_default())
}

fn heading(shown: &Shown, paint: Paint) -> String {
    let count = |count: usize, noun: &str| match count {
        1 => format!("1 {noun}"),
        _ => format!("{count} {noun}s"),
    };
    let engaged = shown.states.first().map_or(0, |state| state.engaged.len());
    let held = match &shown.held[..] {
        [] => String::new(),
        held => format!(", {} held", held.join(" ")),
    };
    let size = format!(
        "{}, {}{held}, {}; {engaged} engaged leave one motion",
        count(shown.sets.len(), "set"),
        count(shown.shafts.len(), "shaft"),
        count(shown.elements.len(), "element"),
    );
    let title = shown.title.as_deref().map(|title| name(title, super::look::WIDTH));
    let title = title.filter(|title| !title.trim().is_empty());
    let title = title.map(|title| paint.strong(&title) + "\n").unwrap_or_default();
    title + &wrapped(&size, 0) + &wrapped(&format!("canonical {}", shown.canonical), 0)
}

/// Two scores a line.
fn scores(shown: &Shown, paint: Paint) -> String {
    let cells = shown.scores.0.iter().map(|(key, score)| {
        let criterion = Criterion::named(key);
        let unit = criterion.map_or("", |criterion| criterion.about().1);
        let value = match (criterion, score) {
            (_, None) => "–".to_owned(),
            (Some(Criterion::Nests), Some(score)) => {
                return [key.replace('_', " "), if *score > 0.5 { "yes" } else { "no" }.to_owned()];
            }
            (
                Some(
                    Criterion::WorstEfficiency
                    | Criterion::MeanEfficiency
                    | Criterion::BackEfficiency,
                ),
                Some(score),
            ) => percent(*score),
            (_, Some(score)) if score.fract() == 0.0 => decimal(*score, 0),
            (_, Some(score)) => decimal(*score, 3),
        };
        [key.replace('_', " "), format!("{value} {unit}").trim_end().to_owned()]
    });
    let cells: Vec<[String; 2]> = cells.collect();
    let half = cells.len().div_ceil(2);
    let rows = (0..half).map(|row| {
        let second = cells.get(half + row).cloned().unwrap_or_default();
        cells[row].iter().cloned().chain(second).collect()
    });
    let columns = ["score", "value", "score", "value"].map(|head| Column::new(head, Align::Left));
    paint.strong("Scores") + "\n" + &table(&columns, rows.collect())
}

/// Whether it can be drawn without crossings.
fn nesting(shown: &Shown, paint: Paint) -> String {
    let told = match (&shown.drawing, shown.nests) {
        (Some(drawing), _) => drawn(drawing),
        (None, true) => wrapped("It nests by the graph test, but no drawing was found.", 2),
        (None, false) => String::new(),
    };
    paint.strong("Nesting") + "\n" + &wrapped(nests(shown), 2) + &told
}

/// The order along the axis, and where carriers leave.
fn drawn(drawing: &DrawingTold) -> String {
    let order = drawing.order.iter().join(", ");
    let side = |column: &ColumnTold| {
        let sides = match (column.carrier_leaves_left, column.carrier_leaves_right) {
            (true, true) => "on both sides",
            (true, false) => "on the input's side",
            (false, true) => "on the output's side",
            (false, false) => "nowhere, it only carries planets",
        };
        format!("the carrier of set {} leaves {sides}", column.set)
    };
    let sides = drawing.columns.iter().map(side).join("; ");
    wrapped(&format!("Sets from the input's side: {order}; {sides}."), 2)
        + &wrapped("--draw FOLDER draws it; --json has every line of the drawing.", 2)
}

fn nests(shown: &Shown) -> &'static str {
    if shown.nests {
        "Nests: yes. Sets, shafts and elements can be drawn above the axis without crossings, \
         with input, output and housing reachable from outside. Necessary, not sufficient."
    } else {
        "Nests: no. However sets, shafts and elements are drawn above the axis, some cross. \
         With all these elements it cannot be built on one axis."
    }
}

/// What the page is worth.
fn verdict(shown: &Shown, paint: Paint) -> String {
    let assumed = &shown.assumed;
    let told = [
        nests(shown).to_owned(),
        "Exact: ratios, speeds, slips, lossless torques and powers, from whole teeth (--json has every \
         fraction)."
            .to_owned(),
        format!(
            "Estimated: efficiencies, from {:.3} an external and {:.3} an internal mesh{}; bearings, \
             seals and oil are left out. Assumed: module {} mm, {} progression.",
            assumed.mesh_external,
            assumed.mesh_internal,
            if assumed.losses_by_teeth { " of a set 30/20/70, others by their teeth" } else { "" },
            assumed.module_mm,
            assumed.progression
        ),
        "More: --only derivation tells step by step how each ratio follows, --only formulas has \
         the formulas in teeth and as LaTeX."
            .to_owned(),
        format!("Caution: {}", CAUTIONS.join(" ")),
    ];
    paint.strong("What this is worth") + "\n" + &told.map(|text| wrapped(&text, 2)).concat()
}

/// Gears, or where none are named all live states: forward first to top, then reverse by
/// falling |i|, then the dead.
fn in_order(shown: &Shown) -> Vec<&State> {
    let mut states: Vec<&State> = if shown.gears.is_empty() {
        shown.states.iter().filter(|state| state.ratio.is_some()).collect()
    } else {
        shown.gears.iter().collect()
    };
    let key = |state: &State| state.ratio.as_ref().map(|ratio| ratio.value);
    let rank = |state: &State| key(state).map_or(2, |ratio| usize::from(ratio < 0.0));
    let size = |state: &State| key(state).map_or(0.0, f64::abs);
    states.sort_by(|a, b| rank(a).cmp(&rank(b)).then(size(b).total_cmp(&size(a))));
    states
}

/// An exact number for readers, at most eight columns wide; a whole one as it is.
fn number(exact: &str) -> String {
    if !exact.contains('/') && exact.len() <= 8 {
        return exact.to_owned();
    }
    parse_fraction(exact).map_or_else(|| name(exact, 8), |value| short(to_f64(&value)))
}

/// A float for readers, at most eight columns wide where it is below ten million.
fn short(value: f64) -> String {
    let digits = match value.abs() {
        size if size < 100.0 => 4,
        size if size < 10_000.0 => 2,
        _ => 0,
    };
    decimal(value, digits)
}

fn percent(share: f64) -> String {
    format!("{} %", decimal(100.0 * share, 2))
}
