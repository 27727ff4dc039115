//! Laws of one layout in one state: speeds, ratio, formula and its derivation, torque,
//! power, losses; and what becomes of its gears when an element fails or a shift is made.
//!
//! Reads no files, clocks, threads or random numbers.

mod bodies;
mod derivation;
mod duties;
mod duty;
mod elimination;
mod equations;
mod expression;
mod factored;
mod faults;
mod formula;
mod losses;
mod makeup;
mod mesh;
mod needed;
mod patterns;
mod polynomial;
mod power;
mod script;
mod speeds;
mod system;
mod teeth_formula;
mod telling;
mod torque;

pub use derivation::{Derivation, Step, StepKind, derivation};
pub use duties::Duties;
pub use duty::Duty;
pub use faults::{Effect, ElementShift, Failure, Fault, Instead, Shift, faults, shifts};
pub use formula::{Formula, formula};
pub use losses::{Losses, losses};
pub use makeup::{Makeup, SetWay};
pub use mesh::{MeshEfficiency, MeshScaling};
pub use needed::needed_elements;
pub use polynomial::Polynomial;
pub use power::{Branch, PowerFlow, PowerLoop, ShaftPower, Station, power_flow};
pub use script::Line;
pub use speeds::{Motion, Status, outer_planet_speed, planet_speed, solve_state};
pub use teeth_formula::TeethFormula;
pub use torque::{Torques, solve_torques};
