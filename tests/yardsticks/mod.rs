//! Public yardsticks, shared by `tests/engine/yardsticks.rs` and `benches/yardsticks.rs`: two
//! problems of gear teeth in whole numbers, and a small branch and bound of their own.
//!
//! The engine knows layouts, and these are none; what is put to the test is its kind of
//! bound: quotients linear in each variable take their extremes at the corners of a box.

#![allow(dead_code)] // The test and the bench each use their own part.

pub mod areas;
pub mod gear_train;
pub mod plain;
pub mod planetary;
