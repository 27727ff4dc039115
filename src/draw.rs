//! Pictures: one palette, plots as SVG, SVG to PNG.
//!
//! A picture is made of plain numbers and words. This room does not know what a record of
//! a run is, reads no files and writes none.

mod assembly;
mod blank_lever;
mod canvas;
mod cases;
mod classes;
mod curves;
mod face;
mod front_view;
mod funnel;
mod hatch;
mod labels;
mod ladder;
mod legend;
mod lever;
mod marker;
mod matrix;
mod measures;
mod palette;
mod parallel;
mod pareto;
#[cfg(feature = "papers")]
mod pdf;
mod plan;
mod png;
mod power;
mod roles;
mod sawtooth;
mod scene;
mod section;
mod sheet;
mod steps;
mod stick;
mod thin;
mod ticks;
mod title_block;

pub use assembly::{Assembly, AssemblyPart, PartRole};
pub use blank_lever::BlankLever;
pub use canvas::{Picture, Size};
pub use cases::{Case, Cases, Quantity};
pub use curves::{Certainty, CurveLine, CurvePoint, Curves};
pub use face::{Face, FaceRing, FaceWheel};
pub use front_view::{CircleKind, FrontView, SheetCircle, SheetMark};
pub use funnel::{Funnel, Test};
pub use ladder::{Ladder, Rung};
pub use lever::{Lever, Levers, Pin};
pub use matrix::Matrix;
pub use palette::{Role, page_colours};
pub use parallel::Parallel;
pub use pareto::{Axis, Dot, Scatter, Standing, Third};
#[cfg(feature = "papers")]
pub use pdf::pdf;
pub use plan::{Series, SpeedPlan};
pub use png::png;
pub use power::PowerStick;
pub use sawtooth::{InputSpeeds, SawTooth};
pub use section::{Section, SectionPlate, SectionSet, SectionShaft};
pub use sheet::{HalfSection, Sheet, SheetBand};
pub use steps::{Shift, Steps};
pub use stick::{Stick, StickElement, StickSet};
pub use title_block::TitleBlock;
