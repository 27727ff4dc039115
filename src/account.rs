//! All that can be told of one layout: as data in words and exact numbers, and as pictures.
//!
//! Reads no files and writes none; computes nothing about gears, but asks the rooms above.

mod names;
mod portrait;
mod reason;
mod show;
pub mod shown;
pub mod single;
mod whole;
pub mod workshop;

pub use portrait::{Portrait, USUAL_SPEEDS, portrait};
pub use show::{Basis, show};
pub use whole::Account;
pub use workshop::Workshop;
