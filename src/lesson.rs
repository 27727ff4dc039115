//! Lessons: what is taught in words and pictures, as documents: a layout explained gear by gear,
//! and the page of a study.
//!
//! Words stand in the catalogue of `paper`; files are written by `report`.

mod explain;
mod facts;
mod study;
mod telling;

pub use explain::{Depth, explain};
pub use facts::Facts;
pub use study::study_page;
