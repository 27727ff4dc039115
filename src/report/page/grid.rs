//! Tables for the template: cells with a class, ready to be set.

use serde::Serialize;

/// A text and its class, which may be empty.
#[derive(Serialize)]
pub(super) struct Cell {
    text: String,
    class: &'static str,
}

impl Cell {
    pub fn text(text: impl Into<String>) -> Self {
        Self { text: text.into(), class: "" }
    }

    pub fn number(text: impl Into<String>) -> Self {
        Self { text: text.into(), class: "number" }
    }

    /// A number in red letters where `poor`.
    pub fn warned(text: impl Into<String>, poor: bool) -> Self {
        Self { text: text.into(), class: if poor { "number poor" } else { "number" } }
    }

    /// A safety: allowable over stress. Below 1 it is poor; without a load there is none.
    pub fn safety(safety: Option<f64>) -> Self {
        let text = safety.map_or("–".to_owned(), |safety| {
            // What is poor does not read as 1.00, and what is not does not read as less.
            let shown = if safety < 1.0 { safety.min(0.99) } else { safety };
            super::super::number::decimals(shown, 2)
        });
        Self::warned(text, safety.is_some_and(|safety| safety < 1.0))
    }
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
