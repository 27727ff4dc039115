//! Scores: one table of criteria, each with a name, a unit and a better direction.

mod criterion;
mod progression;

pub use criterion::{Better, Criterion};
pub use progression::Progression;
