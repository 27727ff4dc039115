//! Pictures: one palette, plots as SVG, SVG to PNG.
//!
//! A picture is made of plain numbers and words. This room does not know what a record of
//! a run is, reads no files and writes none.

mod canvas;
mod cases;
mod classes;
mod face;
mod funnel;
mod labels;
mod ladder;
mod legend;
mod lever;
mod marker;
mod matrix;
mod palette;
mod parallel;
mod pareto;
mod plan;
mod png;
mod power;
mod roles;
mod sawtooth;
mod scene;
mod steps;
mod stick;
mod thin;
mod ticks;

pub use canvas::{Picture, Size};
pub use cases::{Case, Cases, Quantity};
pub use face::{Face, FaceRing, FaceWheel};
pub use funnel::{Funnel, Test};
pub use ladder::{Ladder, Rung};
pub use lever::{Lever, Levers, Pin};
pub use matrix::Matrix;
pub use palette::{Role, page_colours};
pub use parallel::Parallel;
pub use pareto::{Axis, Dot, Scatter, Standing, Third};
pub use plan::{Series, SpeedPlan};
pub use png::png;
pub use power::PowerStick;
pub use sawtooth::{InputSpeeds, SawTooth};
pub use steps::{Shift, Steps};
pub use stick::{Stick, StickElement, StickSet};
