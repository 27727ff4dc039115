//! What is released and applied from gear to gear, and which speeds change.

use itertools::Itertools as _;

use super::number;
use crate::cli::look::{Align, Column, Paint, name, table, wrapped};
use crate::doors::shown::{ElementShiftTold, ShiftTold, Shown};

/// More gears than this do not fit beside each other.
const MOST: usize = 16;

pub(super) fn section(shown: &Shown, paint: Paint) -> String {
    if shown.shifts.is_empty() {
        return String::new();
    }
    let told = "Speeds per input speed before the shift, upwards, while the output keeps its \
                speed. An applied element brings its slip to rest; speed is that of the shaft \
                first named.";
    let heads = ["shift", "kind", "element", "", "slip before", "slip after", "speed changes by"];
    let aligns = [Align::Left; 4].into_iter().chain([Align::Right; 3]);
    let columns: Vec<Column> =
        heads.into_iter().zip(aligns).map(|(head, align)| Column::new(head, align)).collect();
    let neighbours = shown.shifts.iter().filter(|shift| shift.neighbours);
    let rows = neighbours.flat_map(rows).collect();
    paint.strong("Shifts") + "\n" + &table(&columns, rows) + &wrapped(told, 2) + &swaps(shown)
}

fn rows(shift: &ShiftTold) -> Vec<Vec<String>> {
    let title = format!("{} → {}", name(&shift.from, 8), name(&shift.to, 8));
    let row = |(index, element): (usize, &ElementShiftTold)| {
        let does = match &element.element {
            element if shift.applied.contains(element) => "is applied",
            element if shift.released.contains(element) => "is released",
            _ => "stays",
        };
        let first = index == 0;
        vec![
            if first { title.clone() } else { String::new() },
            if first { shift.kind.to_owned() } else { String::new() },
            name(&element.element, 16),
            does.to_owned(),
            number(&element.slip_before),
            number(&element.slip_after),
            number(&element.speed_change),
        ]
    };
    shift.elements.iter().enumerate().map(row).collect()
}

/// How many elements change from any gear to any other.
fn swaps(shown: &Shown) -> String {
    let gears: Vec<&str> =
        shown.shifts.iter().flat_map(|s| [s.from.as_str(), s.to.as_str()]).unique().collect();
    if gears.len() < 3 || gears.len() > MOST {
        return String::new();
    }
    let mut columns = vec![Column::new("swaps", Align::Left)];
    columns.extend(gears.iter().map(|gear| Column::new(name(gear, 4), Align::Right)));
    let cell = |from: &str, to: &str| {
        let shift = shown
            .shifts
            .iter()
            .find(|s| (s.from == from && s.to == to) || (s.from == to && s.to == from));
        shift.map_or(String::new(), |s| s.released.len().max(s.applied.len()).to_string())
    };
    let row = |from: &&str| {
        let cells = gears.iter().map(|to| if from == to { "·".to_owned() } else { cell(from, to) });
        [name(from, 8)].into_iter().chain(cells).collect()
    };
    let single = shown.shifts.iter().filter(|shift| shift.kind == "single").count();
    let told = format!(
        "{single} of {} pairs of gears of one direction are single shifts: one element released, \
         one applied.",
        shown.shifts.len()
    );
    "\n".to_owned() + &table(&columns, gears.iter().map(row).collect()) + &wrapped(&told, 2)
}
