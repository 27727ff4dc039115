//! The search: cores, the exact ratio functions of their states, sift, gears, solve, run.

mod census;
mod cores;
mod trees;

pub use census::{Census, census};
pub use cores::{CoreFamily, automorphisms};
pub use trees::{FreeMotions, RatioFunction, Signs, StatePolynomials};
