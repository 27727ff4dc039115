//! What the page shows of reductions besides what it shows of all layouts.

use itertools::Itertools as _;

use super::super::number::{decimals, plain};
use super::super::pictures::{shown, words};
use super::super::record::{Candidate, Record};
use super::views::{Cell, Column, FrontTable, Row, with_unit};
use crate::account::Workshop;
use crate::score::Criterion;

/// Below this efficiency a number is shown as a warning.
const POOR: f64 = 0.5;

/// The front as a table: ratio, teeth, objectives.
pub(super) fn front_table(record: &Record) -> FrontTable {
    let column = |name: &str, hint: &str, class| Column {
        name: name.to_owned(),
        hint: hint.to_owned(),
        class,
    };
    let further = columns(record);
    let mut head = vec![
        column("ratio", "input speed / output speed; negative reverses", "number"),
        column("exact", "the same as a fraction of tooth counts", "number"),
        column("teeth", "sun/planet/ring × planets, module in mm, of every set", "text"),
    ];
    if has_variants(record) {
        head.push(column("made of", "variant of materials", "text"));
    }
    head.extend(further.iter().map(|&c| column(&words(c), c.about().3, "number")));
    head.push(column("canonical", "the wiring in one spelling", "text"));
    let rows = record.front().map(|candidate| row(record, candidate, &further));
    FrontTable { columns: head, rows: rows.collect() }
}

/// The objectives, and the efficiencies in any case.
fn columns(record: &Record) -> Vec<Criterion> {
    let always = [Criterion::Efficiency, Criterion::BackEfficiency];
    // Where nothing is borne there is no safety to show.
    let borne = record.front().any(|one| record.score(one, Criterion::Safety).is_some());
    let safety = borne.then_some(Criterion::Safety);
    record.objectives.iter().copied().chain(safety).chain(always).unique().collect()
}

fn has_variants(record: &Record) -> bool {
    record.candidates.iter().filter_map(|c| c.workshop.as_ref()).any(|m| !m.variant.is_empty())
}

fn row(record: &Record, candidate: &Candidate, further: &[Criterion]) -> Row {
    let ratio = candidate.gears.first();
    let exact = ratio.map_or(String::new(), |gear| gear.ratio.to_string().replace('-', "−"));
    let mut cells = vec![
        Cell::number(ratio.map(|gear| gear.value), |value| decimals(value, 4)),
        Cell {
            key: ratio.map(|gear| plain(gear.value)).unwrap_or_default(),
            text: exact,
            class: "number",
        },
        Cell::text(
            candidate.workshop.as_ref().map_or(String::new(), |m| teeth_cell(candidate, m)),
            "teeth",
        ),
    ];
    if has_variants(record) {
        let variant = candidate.workshop.as_ref().map_or("", |workshop| &workshop.variant);
        cells.push(Cell::text(variant.to_owned(), "text"));
    }
    cells.extend(further.iter().map(|&criterion| score_cell(record, candidate, criterion)));
    cells.push(Cell::text(candidate.canonical.clone(), "spelling"));
    Row { id: candidate.id.clone(), cells }
}

/// A poor efficiency stands out: such a reduction heats up, or does not move at all.
pub(super) fn score_cell(record: &Record, candidate: &Candidate, criterion: Criterion) -> Cell {
    let score = record.score(candidate, criterion);
    let efficiency = matches!(criterion, Criterion::Efficiency | Criterion::BackEfficiency);
    let text = |value: f64| match criterion {
        Criterion::Efficiency if value == 0.0 => "0: locks itself".to_owned(),
        Criterion::BackEfficiency if value == 0.0 => "0: cannot be driven back".to_owned(),
        // What is too weak does not read as 1.00.
        Criterion::Safety if is_poor(criterion, value) => decimals(value.min(0.99), 2),
        Criterion::Safety => decimals(value, 2),
        _ if efficiency => format!("{} %", decimals(100.0 * value, 1)),
        _ => with_unit(criterion, value),
    };
    let mut cell = Cell::number(score.map(|score| shown(criterion, score)), text);
    if score.is_some_and(|score| is_poor(criterion, score)) {
        cell.class = "number poor";
    }
    cell
}

/// Whether a score is to be seen as a warning: more than half of the power lost, or a
/// reduction that locks itself.
fn is_poor(criterion: Criterion, score: f64) -> bool {
    match criterion {
        Criterion::Efficiency => score < POOR,
        Criterion::BackEfficiency => score == 0.0,
        Criterion::Safety => score < 1.0 - 1e-9,
        _ => false,
    }
}

/// One sentence for each score that is a warning, saying what it comes to.
pub(super) fn warnings(record: &Record, candidate: &Candidate, shop: &Workshop) -> Vec<String> {
    let poor =
        |criterion| record.score(candidate, criterion).filter(|&score| is_poor(criterion, score));
    let ahead = poor(Criterion::Efficiency).map(|efficiency| match efficiency {
        0.0 => "It locks itself: with these losses no torque at the input turns the output, \
                because the teeth lose more than the power that comes in."
            .to_owned(),
        _ => format!(
            "Its efficiency is {} %: more than half of the power that comes in is lost at the \
             teeth, because far more power rolls there than passes through; it runs hot, and \
             slightly larger losses may lock it.",
            decimals(100.0 * efficiency, 1)
        ),
    });
    let back = poor(Criterion::BackEfficiency).map(|_| {
        "It cannot be driven back: a torque at the output locks it, because the teeth lose more \
         than comes in there. Vibration can undo that; it is no brake."
            .to_owned()
    });
    let built = shop.weak_told().into_iter().chain(shop.gave_way());
    ahead.into_iter().chain(back).chain(built).collect()
}

/// `14/28/70×3 m1  15/27/69×4 m1.25`.
pub fn teeth_cell(candidate: &Candidate, workshop: &Workshop) -> String {
    let sets = candidate.layout.sets.iter().zip(&workshop.sets);
    sets.map(|(set, made)| {
        let planet = [set.planet, set.outer_planet].into_iter().flatten().join("+");
        let planets = set.planets.unwrap_or(0);
        format!("{}/{planet}/{}×{planets} m{}", set.sun, set.ring, plain(made.choice.module))
    })
    .join("  ")
}

/// Such as `57.6000, 2 sets: 14/28/70×3 m1 …`.
pub(super) fn spoken(candidate: &Candidate, workshop: &Workshop) -> String {
    let ratio = candidate.gears.first().map_or(0.0, |gear| gear.value);
    let sets = candidate.layout.sets.len();
    let plural = if sets == 1 { "set" } else { "sets" };
    let made = if workshop.variant.is_empty() {
        String::new()
    } else {
        format!(" in {}", workshop.variant)
    };
    format!("{}{made}, {sets} {plural}: {}", decimals(ratio, 4), teeth_cell(candidate, workshop))
}
