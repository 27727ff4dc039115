//! Papers: exam items in words, typeset as HTML, Markdown, Typst and PDF.
//!
//! Knows what papers look like and nothing of how items are made. Makes texts and bytes; files
//! are written by `report`.

mod maths;
mod words;

pub use maths::{Maths, NotMaths};
pub use words::{Run, Text, Unsaid, Words};
