//! Teeth: conditions of mesh and assembly, the catalogue of sets, involute geometry.

mod limits;

pub use limits::ToothLimits;
