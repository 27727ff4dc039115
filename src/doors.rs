//! The doors: one function each, request in, answer out. They are thin: each says which
//! room does what, and computes nothing about gears.

mod census;
mod portrait;
mod reason;
mod search;
mod show;
pub mod shown;

pub use census::census;
pub use portrait::{Portrait, portrait};
pub use search::{search, search_course};
pub use show::{Basis, show};
