//! `coaxle show`: for a person, gears first.

mod gears;
mod motions;
mod states;
mod teeth;

use itertools::Itertools as _;

use super::args::ShowArgs;
use super::look::{Align, Column, Paint, decimal, name, table, wrapped};
use super::voice::Voice;
use crate::doors;
use crate::doors::shown::{Shown, State};
use crate::error::Error;
use crate::num::{parse_fraction, to_f64};
use crate::report::{CAUTIONS, write_answer};
use crate::score::Criterion;
use crate::train::read_layout;

pub fn run(args: &ShowArgs) -> Result<(), Error> {
    let voice = Voice::of(args.quiet);
    let shown = doors::show(&read_layout(&args.layout)?);
    let json = super::json(&shown)?;
    if let Some(folder) = &args.out {
        let path = write_answer(folder, "show.json", &json)?;
        voice.note(&format!("wrote {}", path.display()));
    }
    let paint = Paint::of_stdout();
    voice.answer(&match (args.json, voice) {
        (true, _) => json,
        (false, Voice::Quiet) => gears::section(&shown, paint),
        (false, Voice::Plain) => told(&shown, paint),
    })
}

/// The whole page.
fn told(shown: &Shown, paint: Paint) -> String {
    // Gears first, because they are what is asked for; then what they stand on.
    let sections = [
        heading(shown, paint),
        gears::section(shown, paint),
        teeth::section(shown, paint),
        motions::section(shown, paint),
        states::section(shown, paint),
        scores(shown, paint),
        verdict(shown, paint),
    ];
    sections.iter().filter(|section| !section.is_empty()).join("\n")
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
            (Some(Criterion::WorstEfficiency | Criterion::MeanEfficiency), Some(score)) => {
                percent(*score)
            }
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

/// What the page is worth.
fn verdict(shown: &Shown, paint: Paint) -> String {
    let nests = if shown.nests {
        "Nests: yes. Sets, shafts and elements can be drawn above the axis without crossings, \
         with input, output and housing reachable from outside. Necessary, not sufficient."
            .to_owned()
    } else {
        "Nests: no. However sets, shafts and elements are drawn above the axis, some cross. \
         With all these elements it cannot be built on one axis."
            .to_owned()
    };
    let assumed = &shown.assumed;
    let told = [
        nests,
        "Exact: ratios, speeds, slips and lossless torques, from whole teeth (--json has every \
         fraction)."
            .to_owned(),
        format!(
            "Estimated: efficiencies, from {:.3} an external and {:.3} an internal mesh; bearings, \
             seals and oil are left out. Assumed: module {} mm, {} progression.",
            assumed.mesh_external, assumed.mesh_internal, assumed.module_mm, assumed.progression
        ),
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
