//! An exam as it is kept: its papers with their items, and the places where answers stand.

use serde::{Deserialize, Serialize};

use crate::problem::{Answer, Cell, Item, Level, Part};

/// Parallel papers of one brief; what `items.json` holds.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Exam {
    pub title: String,
    pub level: Level,
    /// Language of the words on the papers, such as "en".
    pub language: String,
    pub seed: u64,
    pub papers: Vec<ExamPaper>,
}

/// One paper.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ExamPaper {
    /// Its letter or name.
    pub name: String,
    /// In the order in which they are printed.
    pub items: Vec<Item>,
}

/// One place where an answer stands.
#[derive(Clone, Copy, Debug)]
pub struct Place<'a> {
    /// Number of the item on its paper, from 0.
    pub item: usize,
    /// Number of the part, from 0.
    pub part: usize,
    /// The cell where the part is a table: its number among those to fill, row by row, from 0.
    pub cell: Option<(usize, &'a Cell)>,
    pub of: &'a Part,
}

impl Place<'_> {
    /// How the place is called: `3`, `3b` where item 3 has several parts, `3b.2` for the
    /// second cell to fill of a table.
    pub fn label(&self, paper: &ExamPaper) -> String {
        let parts = paper.items[self.item].parts.len();
        let letter = if parts > 1 { part_letter(self.part) } else { String::new() };
        let cell = self.cell.map_or(String::new(), |(cell, _)| format!(".{}", cell + 1));
        format!("{}{letter}{cell}", self.item + 1)
    }

    /// The column of the place in a table of answers: `q03`, `q03b`, `q03b-02`. Begins with a
    /// letter and has no point, so that no spreadsheet takes it for a number: `6.10` comes back
    /// as `6.1`.
    pub fn column(&self, paper: &ExamPaper) -> String {
        let parts = paper.items[self.item].parts.len();
        let letter = if parts > 1 { part_letter(self.part) } else { String::new() };
        let cell = self.cell.map_or(String::new(), |(cell, _)| format!("-{:02}", cell + 1));
        format!("q{:02}{letter}{cell}", self.item + 1)
    }

    /// The column for the points that a person gives at the place. It is none of those for
    /// answers, so that nothing that a student writes can be points.
    pub fn hand_column(&self, paper: &ExamPaper) -> String {
        format!("{HAND}{}", self.column(paper))
    }
}

/// How columns for points by hand begin.
pub const HAND: &str = "hand-";

/// `a`, `b` … of a part.
pub fn part_letter(part: usize) -> String {
    char::from_u32('a' as u32 + part as u32).unwrap_or('?').to_string()
}

impl ExamPaper {
    /// All places of the paper, in order.
    pub fn places(&self) -> Vec<Place<'_>> {
        let parts = self.items.iter().enumerate().flat_map(|(item, one)| {
            one.parts.iter().enumerate().map(move |(part, of)| (item, part, of))
        });
        parts.flat_map(|(item, part, of)| places_of(item, part, of)).collect()
    }

    pub fn points(&self) -> u32 {
        self.items.iter().map(Item::points).sum()
    }
}

fn places_of(item: usize, part: usize, of: &Part) -> Vec<Place<'_>> {
    let Answer::Table { rows, .. } = &of.answer else {
        return vec![Place { item, part, cell: None, of }];
    };
    let cells = rows.iter().flat_map(|row| &row.cells);
    let blank = cells.filter(|cell| !matches!(cell, Cell::Given(_)));
    blank.enumerate().map(|cell| Place { item, part, cell: Some(cell), of }).collect()
}
