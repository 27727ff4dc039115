//! Laws of one layout in one state: speeds, ratio, formula, torque, losses.
//!
//! Reads no files, clocks, threads or random numbers.

mod bodies;
mod duties;
mod duty;
mod faults;
mod formula;
mod losses;
mod mesh;
mod patterns;
mod polynomial;
mod power;
mod speeds;
mod torque;

pub use duties::Duties;
pub use duty::Duty;
pub use faults::{Effect, ElementShift, Failure, Fault, Instead, Shift, faults, shifts};
pub use formula::{Formula, formula};
pub use losses::{Losses, losses};
pub use mesh::{MeshEfficiency, MeshScaling};
pub use polynomial::Polynomial;
pub use power::{Branch, PowerFlow, PowerLoop, ShaftPower, Station, power_flow};
pub use speeds::{Motion, Status, outer_planet_speed, planet_speed, solve_state};
pub use torque::{Torques, solve_torques};
