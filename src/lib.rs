//! Coaxle searches the design space of coaxial planetary gearboxes.

#![forbid(unsafe_code)]

// What can go wrong.
mod error;

// Exact numbers.
pub mod num;

// The nouns.
pub mod train;

// Laws of one layout in one state.
pub mod motion;

// Conditions of mesh and assembly.
pub mod teeth;

// Can it be built.
pub mod build;

// The table of criteria.
pub mod score;

// Dominance.
pub mod front;

// The request.
pub mod brief;

// Cores, sift, gears, solve.
pub mod search;

// Pictures.
pub mod draw;

// A record and its writers.
pub mod report;

// Request in, answer out.
pub mod doors;

// Words in, words out.
pub mod cli;

pub use error::{Error, Mistake};
