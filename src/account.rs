//! All that can be told of one layout: as data in words and exact numbers, and as pictures.
//!
//! Reads no files and writes none; computes nothing about gears, but asks the rooms above.

pub mod making;
mod portrait;
mod reason;
mod show;
pub mod shown;
mod whole;

pub use making::Making;
pub use portrait::{Portrait, USUAL_SPEEDS, portrait};
pub use show::{Basis, show};
pub use whole::Account;
