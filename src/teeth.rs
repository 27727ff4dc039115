//! Teeth: conditions of mesh and assembly, the catalogue of sets, involute geometry, true
//! outlines.
//!
//! Three ways in. [`conditions()`] tells of one given set which conditions hold and why;
//! [`Catalogue::build`] lists every set within limits that meets them all. Both judge by
//! the same table of rules. [`PlacedSet::new`] gives the wheels of one set as outlines, in
//! phase in any motion, and [`mesh_proof`] turns them through each other; [`tooth_data()`]
//! and [`mesh_data`] tell what a workshop reads and measures of them. Nothing here knows
//! how sets are joined to each other.

mod case;
mod catalogue;
mod conditions;
mod flank;
mod involute;
mod limits;
mod measure;
mod mesh_proof;
mod outline;
mod placing;
mod preferences;
mod rules;
mod sliding;
mod spacing;
mod tooth_data;
mod wheels;

#[cfg(test)]
mod laws_tests;

pub use catalogue::{Catalogue, Entry};
pub use conditions::{Condition, conditions, outer_diameter, planet_spacing, profile_shifts};
pub use limits::ToothLimits;
pub use measure::{Gauge, Pins, Span};
pub use mesh_proof::{MeshProof, TOUCH, mesh_proof};
pub use outline::{Finish, GearData, Outline, Side};
pub use placing::{Mesh, PlacedSet, Pose, Poses};
pub use preferences::preferences;
pub use sliding::{balanced_shift, specific_sliding};
pub use spacing::{Spacing, places, planet_angles};
pub use tooth_data::{MeshData, WheelData, WheelKind, mesh_data, tooth_data, wheel_data};
pub use wheels::Shifts;
