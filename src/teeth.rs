//! Teeth: conditions of mesh and assembly, the catalogue of sets, involute geometry.
