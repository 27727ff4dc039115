//! Can it be built: the nesting test.
//!
//! Knows the wiring of a layout and nothing of its teeth or speeds.

mod nesting;
mod planar;
#[cfg(test)]
mod wheels;

pub use nesting::{nests, nests_wiring};
