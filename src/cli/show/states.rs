//! The states that are no gears: live ones by ratio, dead ones with the reason.

use itertools::Itertools as _;

use super::{percent, short};
use crate::cli::look::{Align, Column, Paint, name, table, wrapped};
use crate::doors::shown::{Shown, State};

/// More rows than this are read by machines.
const MOST: usize = 30;

pub(super) fn section(shown: &Shown, paint: Paint) -> String {
    let mut live: Vec<&State> = shown.states.iter().filter(|s| s.ratio.is_some()).collect();
    let dead: Vec<&State> = shown.states.iter().filter(|s| s.ratio.is_none()).collect();
    // Without named gears the live ones stand on top already.
    live.retain(|state| state.gear.is_none() && !shown.gears.is_empty());
    let value = |state: &State| state.ratio.as_ref().map_or(0.0, |ratio| ratio.value);
    live.sort_by(|a, b| value(b).total_cmp(&value(a)));
    let mut sections = Vec::new();
    if !live.is_empty() {
        let heads = ["engaged", "ratio", "i", "efficiency"];
        let aligns = [Align::Left, Align::Right, Align::Right, Align::Right];
        let rows = live.iter().take(MOST).map(|state| alive(state)).collect();
        let told = table(&columns(&heads, &aligns), rows) + &more(live.len());
        sections.push(paint.strong("Other live states") + "\n" + &told);
    }
    if !dead.is_empty() {
        let rows = dead
            .iter()
            .take(MOST)
            .map(|state| vec![engaged(state), state.status.to_owned(), name(&state.reason, 400)]);
        let columns = columns(&["engaged", "state", "why"], &[Align::Left; 3]);
        let told = table(&columns, rows.collect()) + &more(dead.len());
        sections.push(paint.strong("Dead states") + "\n" + &told);
    }
    sections.join("\n")
}

fn columns(heads: &[&str], aligns: &[Align]) -> Vec<Column> {
    heads.iter().zip(aligns).map(|(head, align)| Column::new(*head, *align)).collect()
}

fn alive(state: &State) -> Vec<String> {
    let efficiency = match state.efficiency {
        Some(efficiency) => percent(efficiency),
        None if state.self_locking => "self-locks".to_owned(),
        None => "?".to_owned(),
    };
    let ratio = state.ratio.as_ref();
    vec![
        engaged(state),
        ratio.map(|ratio| name(&ratio.exact, 24)).unwrap_or_default(),
        ratio.map(|ratio| short(ratio.value)).unwrap_or_default(),
        efficiency,
    ]
}

fn engaged(state: &State) -> String {
    match &state.engaged[..] {
        [] => "none".to_owned(),
        engaged => engaged.iter().map(|element| name(element, 12)).join(" "),
    }
}

fn more(all: usize) -> String {
    match all.saturating_sub(MOST) {
        0 => String::new(),
        more => wrapped(&format!("… and {more} more; --json tells of each."), 2),
    }
}
