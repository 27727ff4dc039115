//! Scores: one table of criteria, each with a name, a unit and a better direction, and
//! the gears of a layout solved for them.

mod assess;
mod criterion;
mod fewest;
mod gear;
mod progression;

pub use assess::{Assessment, Setting, assess, assess_plainly, is_gear_by_gear};
pub use criterion::{Better, Criterion};
pub use fewest::{Fewest, fewest_elements};
pub use gear::GearState;
pub use progression::Progression;
