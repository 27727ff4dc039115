//! The search: cores, the exact ratio functions of their states, sift, gears, solve, run.

mod bank;
mod bounds;
mod cells;
mod census;
mod cores;
mod function;
mod gather;
mod gears;
mod progress;
mod run;
mod settle;
mod sieve;
mod sift;
mod slopes;
mod solve;
mod trees;
mod twins;
mod wish;

pub use bank::Bank;
pub use cells::CellGrid;
pub use census::{Census, census};
pub use cores::{CoreFamily, automorphisms};
pub use function::{RatioFunction, Signs};
pub use gears::{Chain, Ladder, Shifts, Window, choose_gears};
pub use progress::{Controls, Progress, Quiet};
pub use run::{Findings, Passage, Stop, run};
pub use settle::Finding;
pub use sift::{CoreStates, SiftCount, sift, states_of};
pub use solve::{Outcome, Point, Problem, Solution};
pub use trees::{FreeMotions, StatePolynomials};
pub use twins::{ClassKeys, Namer, TwinMember};
