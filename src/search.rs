//! The search: cores, the exact ratio functions of their states, sift, gears, solve, run.

mod bank;
mod bounds;
mod cells;
mod census;
mod cores;
mod function;
mod gather;
mod gears;
mod ladder;
mod possible;
mod progress;
mod run;
mod settle;
mod sieve;
mod sift;
mod slopes;
mod solve;
mod states;
mod tally;
mod trees;
mod twins;
mod watch;
mod wish;

pub use census::{Census, census};
pub use cores::{CoreFamily, automorphisms};
pub use function::{RatioFunction, Signs};
pub use gears::{Chain, choose_gears};
pub use ladder::{Ladder, Shifts, Window};
pub use progress::{Controls, Progress, Quiet};
pub use run::run;
pub use settle::Finding;
pub use sift::{SiftCount, sift};
pub use states::{CoreStates, states_of};
pub use tally::{Findings, Passage};
pub use trees::{FreeMotions, StatePolynomials};
pub use watch::Stop;
