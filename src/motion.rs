//! Laws of one layout in one state: speeds, ratio, formula, torque, losses.
//!
//! Reads no files, clocks, threads or random numbers.

mod bodies;
mod duties;
mod duty;
mod formula;
mod losses;
mod mesh;
mod polynomial;
mod speeds;
mod torque;

pub use duties::Duties;
pub use duty::Duty;
pub use formula::{Formula, formula};
pub use losses::{Losses, losses};
pub use mesh::MeshEfficiency;
pub use polynomial::Polynomial;
pub use speeds::{Motion, Status, outer_planet_speed, planet_speed, solve_state};
pub use torque::{Torques, solve_torques};
