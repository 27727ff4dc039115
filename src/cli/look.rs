//! How tables and texts look: at most 100 columns, whatever names a file has.

use comfy_table::{CellAlignment, ContentArrangement, Table, TableComponent, presets};
use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

/// Widest line that is printed.
pub const WIDTH: usize = 100;
/// Everything under a heading stands in by this much.
const INDENT: usize = 2;

/// On which side a column is flush.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Align {
    Left,
    Right,
}

/// The head of a column.
#[derive(Clone, Debug)]
pub struct Column {
    pub head: String,
    pub align: Align,
}

impl Column {
    pub fn new(head: impl Into<String>, align: Align) -> Self {
        Self { head: head.into(), align }
    }
}

/// A table with a line under its head, indented, ending in a line end. Cells that do not
/// fit wrap.
pub fn table(columns: &[Column], rows: Vec<Vec<String>>) -> String {
    let mut table = Table::new();
    table.load_preset(presets::NOTHING);
    table.set_style(TableComponent::HeaderLines, '─');
    table.set_style(TableComponent::MiddleHeaderIntersections, '─');
    table.set_content_arrangement(ContentArrangement::Dynamic);
    table.set_width((WIDTH - INDENT) as u16);
    table.set_header(columns.iter().map(|column| column.head.as_str()));
    table.add_rows(rows);
    for (column, about) in table.column_iter_mut().zip(columns) {
        column.set_padding((0, 1));
        column.set_cell_alignment(match about.align {
            Align::Left => CellAlignment::Left,
            Align::Right => CellAlignment::Right,
        });
    }
    indented(&table.trim_fmt())
}

fn indented(text: &str) -> String {
    let margin = " ".repeat(INDENT);
    text.lines().map(|line| format!("{margin}{}\n", line.trim_end())).collect()
}

/// Text in lines of at most [`WIDTH`] columns, indented by `indent`, ending in a line end.
pub fn wrapped(text: &str, indent: usize) -> String {
    let margin = " ".repeat(indent);
    let mut lines = String::new();
    let mut line = String::new();
    for word in text.split_whitespace().flat_map(|word| pieces(word, WIDTH - indent)) {
        if !line.is_empty() && indent + line.width() + 1 + word.width() > WIDTH {
            lines += &format!("{margin}{line}\n");
            line.clear();
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line += &word;
    }
    if !line.is_empty() {
        lines += &format!("{margin}{line}\n");
    }
    lines
}

/// A word cut where it is wider than a line.
fn pieces(word: &str, widest: usize) -> Vec<String> {
    let mut pieces = vec![String::new()];
    let mut width = 0;
    for c in word.chars() {
        let wide = c.width().unwrap_or(0);
        if width + wide > widest {
            pieces.push(String::new());
            width = 0;
        }
        width += wide;
        pieces.last_mut().expect("never empty").push(c);
    }
    pieces
}

/// A name as it can stand in a line: no control characters, at most `widest` columns, cut
/// with `…`.
pub fn name(text: &str, widest: usize) -> String {
    let clean: String = text.chars().map(|c| if harmful(c) { '\u{fffd}' } else { c }).collect();
    if clean.width() <= widest {
        return clean;
    }
    let mut kept = String::new();
    for c in clean.chars() {
        if kept.width() + c.width().unwrap_or(0) + 1 > widest {
            break;
        }
        kept.push(c);
    }
    kept + "…"
}

/// Control characters, and marks that turn the direction of a line.
fn harmful(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2028}' | '\u{2029}' | '\u{2066}'..='\u{2069}')
}

/// A float with `digits` decimals; never "-0.00".
pub fn decimal(value: f64, digits: usize) -> String {
    let text = format!("{value:.digits$}");
    let zero = text.chars().all(|c| matches!(c, '-' | '0' | '.'));
    if zero { text.replace('-', "") } else { text }
}

/// Seconds of a day.
pub const DAY_S: f64 = 86_400.0;

/// `"40 s"`, `"5 min"`, `"3.5 h"`, `"12.0 days"`.
pub fn duration(seconds: f64) -> String {
    match seconds {
        s if s < 90.0 => format!("{} s", decimal(s.max(1.0), 0)),
        s if s < 5400.0 => format!("{} min", decimal(s / 60.0, 0)),
        s if s < DAY_S => format!("{} h", decimal(s / 3600.0, 1)),
        s => format!("{} days", decimal(s / DAY_S, 1)),
    }
}

/// Whether words are set off by colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paint {
    Plain,
    Colour,
}

impl Paint {
    /// As stdout allows.
    pub fn of_stdout() -> Self {
        let colour = super::voice::coloured(&std::io::stdout());
        if colour { Self::Colour } else { Self::Plain }
    }

    /// A heading.
    pub fn strong(self, text: &str) -> String {
        self.set("1", text)
    }

    /// What needs attention.
    pub fn bad(self, text: &str) -> String {
        self.set("31", text)
    }

    fn set(self, code: &str, text: &str) -> String {
        match self {
            Self::Plain => text.to_owned(),
            Self::Colour => format!("\u{1b}[{code}m{text}\u{1b}[0m"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn widest(text: &str) -> usize {
        text.lines().map(UnicodeWidthStr::width).max().unwrap_or(0)
    }

    #[test]
    fn names_are_cut_and_cleaned() {
        assert_eq!(name("front-ring", 10), "front-ring");
        assert_eq!(name("front-ring", 6), "front…");
        assert_eq!(name("a\u{1b}[31m\nb", 20), "a\u{fffd}[31m\u{fffd}b");
        assert_eq!(name("歯車歯車", 6), "歯車…");
    }

    #[test]
    fn nothing_is_wider_than_the_line() {
        let long = "word ".repeat(60) + &"x".repeat(250);
        assert!(widest(&wrapped(&long, 4)) <= WIDTH);
        assert_eq!(wrapped(&long, 4).split_whitespace().count(), 60 + 3);
        let columns = ["a", "b", "c"].map(|head| Column::new(head, Align::Left));
        let rows = vec![vec![long.clone(), long, "1".into()]];
        assert!(widest(&table(&columns, rows)) <= WIDTH);
    }

    #[test]
    fn numbers_for_readers() {
        assert_eq!(decimal(-0.0001, 2), "0.00");
        assert_eq!(decimal(-1.25, 1), "-1.2");
    }
}
