//! Laws of one layout in one state: speeds, ratio, torque, losses.
//!
//! Reads no files, clocks, threads or random numbers.

mod mesh;
mod speeds;
mod torque;

pub use mesh::MeshEfficiency;
pub use speeds::{Motion, Status, planet_speed, solve_state};
pub use torque::{Torques, solve_torques};
