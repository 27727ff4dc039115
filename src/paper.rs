//! Papers: exam items in words, typeset as HTML, Markdown, Typst and PDF.
//!
//! Knows what papers look like and nothing of how items are made. Makes texts and bytes; files
//! are written by `report`.

mod document;
mod figures;
mod maths;
#[cfg(feature = "papers")]
mod pdf;
mod policy;
mod qti;
mod veil;
mod words;
mod writers;

pub use document::{Block, Document, TableCell, key, questions};
pub use figures::Drawn;
pub use maths::{Maths, NotMaths};
#[cfg(feature = "papers")]
pub use pdf::Typesetter;
pub use policy::page_policy;
pub use qti::{PackageFile, package};
pub use words::{Run, Text, Unsaid, Words};
pub use writers::{figure_name, html, markdown, markdown_escaped, plain, typst};
