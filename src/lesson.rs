//! Lessons: what is taught in words and pictures, as documents: the page of a study.
//!
//! Words stand in the catalogue of `paper`; files are written by `report`.

mod facts;
mod study;

pub use facts::Facts;
pub use study::study_page;
