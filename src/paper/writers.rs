//! A document in the formats that people print and edit.

mod html;
mod markdown;
mod plain;
mod typst;

pub use html::html;
pub(super) use html::{escaped, markup};
pub use markdown::{markdown, markdown_escaped};
pub use plain::plain;
pub use typst::typst;

/// The file of a figure beside a document, below the folder of its figures.
pub fn figure_name(stem: &str, figure: usize) -> String {
    format!("{stem}-{}.svg", figure + 1)
}

/// Rows of a table that stays on one page.
const SHORT_TABLE: usize = 12;

/// Whether a table may run over pages.
fn is_long<T>(rows: &[T]) -> bool {
    rows.len() > SHORT_TABLE
}
