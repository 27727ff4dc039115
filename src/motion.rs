//! Laws of one layout in one state: speeds, ratio, formula, torque, losses.

mod mesh;

pub use mesh::MeshEfficiency;
