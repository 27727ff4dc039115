//! A study: a series of complete searches that tells what one, two, three and four sets can do.
//!
//! Makes facts, all as data: searches, what is reached with at most so many sets and elements,
//! and the kinematics of one set. Words are made in `lesson`, files in `report`.

mod course;
mod coverage;
mod entries;
mod fates;
mod one_set;
mod recalled;
mod record;
mod searched;
mod shortcut;
mod why;

pub use course::{Course, LeftOut, NoStudyLedger, StudyLedger, run};
pub use entries::{Asked, Entry, Reached, Rung, entries};
pub use fates::{Fates, fates};
pub use one_set::{OneSet, SetGear, SetLadder, Way, one_set};
pub use record::{GearLimit, StateCount, StudyRecord, Totals, Witness};
pub use searched::{Aim, Found, FoundGear, Passed, Searched};
pub use shortcut::{Shortcut, ShortcutCase, shortcut};
pub use why::{GearWhy, WayWhy, Why, why};
