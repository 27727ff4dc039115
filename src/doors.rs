//! The doors: one function each, request in, answer out. They are thin: each says which
//! room does what, and computes nothing about gears.

mod accounts;
mod bears;
mod census;
mod check;
mod coverage;
mod exam;
mod reduce;
mod search;
mod study;
mod workshops;

pub use crate::account::{Basis, Portrait, USUAL_SPEEDS, portrait, show, shown};
pub use crate::lesson::{Depth, explain};
pub use census::census;
pub use check::check;
pub use exam::exam;
pub use reduce::reduce;
pub use search::{search, search_course};
pub use study::study;
