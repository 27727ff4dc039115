//! Pictures: one palette, plots as SVG, SVG to PNG.
//!
//! A picture is made of plain numbers and words. This room does not know what a record of
//! a run is, reads no files and writes none.

mod canvas;
mod classes;
mod face;
mod labels;
mod ladder;
mod legend;
mod lever;
mod marker;
mod palette;
mod pareto;
mod plan;
mod png;
mod power;
mod roles;
mod sawtooth;
mod scene;
mod stick;
mod thin;

pub use canvas::{Picture, Size};
pub use face::{Face, FaceRing, FaceWheel};
pub use ladder::{Ladder, Rung};
pub use lever::{Lever, Levers, Pin};
pub use palette::{Role, page_colours};
pub use pareto::{Axis, Dot, Scatter, Standing, Third};
pub use plan::{Series, SpeedPlan};
pub use png::png;
pub use power::PowerStick;
pub use sawtooth::{InputSpeeds, SawTooth};
pub use stick::{Stick, StickElement, StickSet};
