//! The doors: one function each, request in, answer out.

mod search;

pub use search::search;
