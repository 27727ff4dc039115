//! One gearbox: motion, formulas, losses, teeth and how they mesh, what nests.

#[path = "../common/mod.rs"]
mod common;

mod derivation;
mod drawings;
mod formula;
mod losses;
mod measure;
mod mesh;
mod motion;
mod outline;
mod power;
mod superposition;
