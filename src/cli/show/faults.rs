//! What every element that fails leaves of the gears.

use itertools::Itertools as _;

use super::short;
use crate::cli::look::{Align, Column, Paint, name, table, wrapped};
use crate::doors::shown::{EffectTold, FaultTold, InsteadTold, Shown};

/// Gears beside each other.
const BESIDE: usize = 10;
/// Sentences about what is left instead of a gear.
const MOST: usize = 12;

pub(super) fn section(shown: &Shown, paint: Paint) -> String {
    if shown.gears.is_empty() || shown.elements.is_empty() {
        return String::new();
    }
    let places: Vec<usize> = (0..shown.gears.len()).collect();
    let blocks = places.chunks(BESIDE).map(|gears| block(shown, gears)).join("\n");
    let legend = "· keeps the gear, lost: the output is no longer driven, locks: the input cannot \
                  turn, – was dead before; a number is the ratio that is left instead.";
    paint.strong("When an element fails") + "\n" + &blocks + &wrapped(legend, 2) + &instead(shown)
}

fn block(shown: &Shown, gears: &[usize]) -> String {
    let mut columns = vec![Column::new("element", Align::Left), Column::new("", Align::Left)];
    let heads = gears.iter().map(|&gear| shown.gears[gear].gear.as_deref().unwrap_or(""));
    columns.extend(heads.map(|gear| Column::new(name(gear, 6), Align::Right)));
    let row = |fault: &FaultTold| {
        let head = [name(&fault.element, 16), fault.failure.to_owned()];
        let cells = gears.iter().map(|&gear| cell(&fault.gears[gear]));
        head.into_iter().chain(cells).collect()
    };
    table(&columns, shown.faults.iter().map(row).collect())
}

fn cell(effect: &EffectTold) -> String {
    match (effect.effect, effect.status, &effect.ratio) {
        ("kept", ..) => "·".to_owned(),
        ("dead", ..) => "–".to_owned(),
        (_, _, Some(ratio)) => short(ratio.value),
        (_, "locked", None) => "locks".to_owned(),
        _ => "lost".to_owned(),
    }
}

/// What can be had instead of a gear that a stuck element locks, a line an element.
fn instead(shown: &Shown) -> String {
    let with_some = shown.faults.iter().filter(|fault| !fault.instead.is_empty());
    let sentence = |fault: &FaultTold| {
        let one = |instead: &InsteadTold| {
            let opened = name(&instead.opened, 16);
            format!(
                "{} without {opened} gives {}",
                name(&instead.gear, 8),
                short(instead.ratio.value)
            )
        };
        let told = fault.instead.iter().take(MOST).map(one).join(", ");
        let more = match fault.instead.len().saturating_sub(MOST) {
            0 => String::new(),
            more => format!(" and {more} more"),
        };
        wrapped(&format!("With {} stuck: {told}{more}.", name(&fault.element, 16)), 2)
    };
    with_some.map(sentence).collect()
}
