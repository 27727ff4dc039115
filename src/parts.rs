//! Parts of one set as a hobby builder cuts or prints them: outlines, holes and solids.
//!
//! Everything is in millimetres and degrees or radians as named, counter-clockwise seen
//! from the front, the z axis towards the viewer. [`Parts::new`] makes sun, planets, ring
//! and the two plates of the carrier from a [`crate::teeth::PlacedSet`] and a [`Making`],
//! or tells each [`Misfit`]. Parts become a drawing ([`dxf`], [`svg`]) or solids
//! ([`Part::solids`]) and these become bytes ([`stl`], [`three_mf`]). [`Timing`] tells how
//! the wheels go together. Nothing here knows how sets are joined, and no file is written.

mod caps;
mod carrier;
mod dxf;
mod making;
mod misfit;
mod part;
mod set;
mod shape;
mod solid;
mod stl;
mod svg;
mod three_mf;
mod timing;
mod wheels;
mod zip;

pub use dxf::dxf;
pub use making::{Bolts, Bore, Making, PlateShape, Seat};
pub use misfit::{Dimension, Misfit, Trouble};
pub use part::{Hole, Mark, Marked, Part, PartKind, Purpose, ToothData};
pub use set::Parts;
pub use shape::Shape;
pub use solid::{Flaw, Solid};
pub use stl::stl;
pub use svg::svg;
pub use three_mf::three_mf;
pub use timing::{Engaged, Timing, TimingMark, Wheel};
pub(crate) use zip::zip;
