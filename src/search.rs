//! The search: cores, the exact ratio functions of their states, sift, gears, solve, run.

mod bank;
mod census;
mod cores;
mod function;
mod gears;
mod progress;
mod sift;
mod solve;
mod trees;
mod twins;

pub use bank::{Bank, CellGrid};
pub use census::{Census, census};
pub use cores::{CoreFamily, automorphisms};
pub use function::{RatioFunction, Signs};
pub use gears::{Bounds, Chain, Ladder, Shifts, Window, choose_gears, may_have_ladder};
pub use progress::{Controls, Progress, Quiet};
pub use sift::{CoreStates, SiftCount, sift, states_of};
pub use solve::{Outcome, Point, Problem, Solution};
pub use trees::{FreeMotions, StatePolynomials};
pub use twins::{ClassKeys, Namer, TwinMember};
