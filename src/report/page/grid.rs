//! Tables for the template: cells with a class, ready to be set.
//!
//! Nearly all cells are numbers, so these have no class: a page has tens of thousands.

use serde::Serialize;

/// A text and its class, which may be empty.
#[derive(Serialize)]
pub(super) struct Cell {
    text: String,
    class: &'static str,
}

impl Cell {
    pub fn text(text: impl Into<String>) -> Self {
        Self { text: text.into(), class: "text" }
    }

    pub fn number(text: impl Into<String>) -> Self {
        Self { text: text.into(), class: "" }
    }

    /// A number in red letters where `poor`.
    pub fn warned(text: impl Into<String>, poor: bool) -> Self {
        Self { text: text.into(), class: if poor { "poor" } else { "" } }
    }

    /// A safety: allowable over stress. Below 1 it is poor; without a load there is none.
    pub fn safety(safety: Option<f64>) -> Self {
        let text = safety.map_or("–".to_owned(), |safety| {
            // What is poor does not read as 1.00.
            let shown = if is_poor(safety) { safety.min(0.99) } else { safety };
            super::super::number::decimals(shown, 2)
        });
        Self::warned(text, safety.is_some_and(is_poor))
    }
}

/// A width that was worked out for a safety of 1 has it but for rounding.
fn is_poor(safety: f64) -> bool {
    safety < 1.0 - 1e-9
}

/// A table; the first cell of a row names it.
#[derive(Serialize)]
pub(super) struct Grid {
    /// For those who do not see it.
    label: String,
    heads: Vec<Cell>,
    rows: Vec<Vec<Cell>>,
}

impl Grid {
    /// `heads` are `(name, whether numbers stand below)`.
    pub fn new(label: &str, heads: &[(&str, bool)], rows: Vec<Vec<Cell>>) -> Self {
        let head = |&(name, number): &(&str, bool)| {
            if number { Cell::number(name) } else { Cell::text(name) }
        };
        Self { label: label.to_owned(), heads: heads.iter().map(head).collect(), rows }
    }
}
