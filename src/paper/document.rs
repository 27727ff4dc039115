//! A paper or a key as a tree of blocks, whatever it is written in.

mod key;
mod questions;

pub use key::key;
pub use questions::questions;

use super::figures::Drawn;
use super::words::Text;
use crate::brief::PaperSize;

/// A document for print.
#[derive(Clone, Debug)]
pub struct Document {
    pub title: Text,
    /// A line below the title.
    pub subtitle: Option<String>,
    pub language: String,
    pub size: PaperSize,
    pub blocks: Vec<Block>,
    /// Pictures by the number that a block names.
    pub figures: Vec<Drawn>,
}

/// A piece of a document.
#[derive(Clone, Debug, PartialEq)]
pub enum Block {
    /// Lines to write a name on, side by side.
    Fields(Vec<Text>),
    Heading(Text),
    /// The beginning of an item: its head and its points.
    Item(Text, Text),
    /// A small heading within an item.
    Label(Text),
    Paragraph(Text),
    /// A paragraph behind a letter such as `(a)`.
    Lettered(String, Text),
    /// Options behind their letters.
    Options(Vec<(String, Text)>),
    Table(Vec<Text>, Vec<Vec<TableCell>>),
    Figure(usize),
    /// Room for work, in lines of writing, and below it a line for the answer behind its
    /// label.
    Answer(u32, Text),
    /// Room for work, in lines of writing.
    Room(u32),
    /// A step of a solution and its points.
    Step(Text, Text),
    /// Small print.
    Note(Text),
}

/// A cell of a table.
#[derive(Clone, Debug, PartialEq)]
pub enum TableCell {
    Text(Text),
    /// To be filled in.
    Blank,
    /// To be ticked.
    Box,
}
