//! Can it be built: the nesting test, and the drawing that it promises.
//!
//! Knows the wiring of a layout and nothing of its teeth or speeds.

mod check;
mod draft;
mod drawing;
#[cfg(test)]
mod drawings_tests;
mod embedding;
mod nesting;
mod plan;
mod planar;
mod route;
mod sheet;
mod straighten;
#[cfg(test)]
mod wheels_tests;

pub use drawing::{
    Column, Direction, Drawing, Mark, Point, Segment, Sides, drawing, drawing_of_wiring,
};
pub use nesting::{nests, nests_wiring};
