//! Tables with a column a gear, as many beside each other as a line holds.

use super::{in_order, number};
use crate::cli::look::{Align, Column, Paint, name, table, wrapped};
use crate::doors::shown::{Shown, State};

/// Columns beside each other.
const BESIDE: usize = 8;
/// More states than this are read by machines.
const MOST: usize = 16;

/// The rows of such a table for some of the states.
pub(super) struct Rows<'a> {
    states: &'a [&'a State],
    rows: Vec<Vec<String>>,
}

impl Rows<'_> {
    pub fn title(&mut self, title: &str) {
        let mut row = vec![String::new(); self.states.len() + 1];
        row[0] = title.to_owned();
        self.rows.push(row);
    }

    pub fn add(&mut self, label: &str, value: impl Fn(&State) -> String) {
        let label = format!("  {}", name(label, 16));
        let values = self.states.iter().map(|state| value(state));
        self.rows.push([label].into_iter().chain(values).collect());
    }
}

/// The gears that are live; without named gears all live states.
pub(super) fn live(shown: &Shown) -> Vec<&State> {
    in_order(shown).into_iter().filter(|state| state.ratio.is_some()).collect()
}

/// What a state is called in the head of a column or at the head of a sentence.
pub(super) fn label(state: &State, widest: usize) -> String {
    name(&state.gear.clone().unwrap_or_else(|| state.engaged.join(" ")), widest)
}

/// A section of such tables, `below` under them; nothing where no state is live.
pub(super) fn section(
    shown: &Shown,
    paint: Paint,
    title: &str,
    fill: impl Fn(&mut Rows<'_>),
    below: &str,
) -> String {
    let states = live(shown);
    let title = paint.strong(title) + "\n";
    if states.is_empty() {
        return String::new();
    }
    if states.len() > MOST {
        let text = format!("There are {} states; --json tells of each.", states.len());
        return title + &wrapped(&text, 2);
    }
    let block = |states: &[&State]| {
        let mut columns = vec![Column::new("", Align::Left)];
        let heads = states.iter().map(|state| Column::new(label(state, 8), Align::Right));
        columns.extend(heads);
        let mut rows = Rows { states, rows: Vec::new() };
        fill(&mut rows);
        table(&columns, rows.rows)
    };
    let blocks: Vec<String> = states.chunks(BESIDE).map(block).collect();
    title + &blocks.join("\n") + below
}

/// An exact number, `?` where it is not determined.
pub(super) fn told(exact: Option<&String>) -> String {
    exact.map_or("?".to_owned(), |exact| number(exact))
}
