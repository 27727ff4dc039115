//! A second judgement of what a search has written, by other code than the engine that found it.
//!
//! A sceptic's room: it takes a results folder as data ([`WrittenResults`]), works out every
//! ratio again by a plain linear solve, holds layouts against the brief, points against each
//! other, counts against a count of its own, and then tries to find what the search has missed:
//! cores sifted again by the plain way, walks over teeth from wirings known and unknown. It
//! stands above `search` in the house, so it cannot use a line of it. What it does share with
//! the engine is said in each [`Line`]: the interference formulas of teeth, the nesting test,
//! the one spelling, and scores beyond spread and steps.
//!
//! No files, no clocks, no threads: time comes in as a closure, chance from a number.

mod breaches;
mod choose;
mod counts;
mod descent;
mod dominance;
mod exact;
mod findings;
mod merged;
mod resift;
mod rows;
mod seatings;
mod seek;
mod set_list;
mod standing;
mod suspects;
mod twins;
mod wheels;
mod wish;
mod written;

pub use counts::count_space;
pub use dominance::judge_dominance;
pub use findings::{Counterexample, Discrepancy, Line, Scope, Verdict};
pub use resift::CoreSifted;
pub use rows::judge_rows;
pub use seatings::CoreSpace;
pub use seek::{Attempt, Seeker};
pub use set_list::SetList;
pub use standing::Gap;
pub use written::{Row, SpaceWritten, WrittenGear, WrittenResults};
