//! Exam items: problems on planetary gears with exact answers, worked steps and marks; pools
//! of them, and parallel papers chosen from a pool.
//!
//! An item is data in no language: what is said is a [`Said`], a name of a phrase and what
//! fills it, which the room `paper` puts into words. Reads no files, clocks or threads; all
//! chance comes from the seed of the brief.

mod answer;
mod figure;
mod item;
mod kind;
mod misconception;
mod said;

pub use answer::{Answer, Cell, Choice, Row, SignRule, Unit, WrongNumber};
pub use figure::Figure;
pub use item::{Demands, Item, Part, Step};
pub use kind::{Form, Kind, Level, Topic};
pub use misconception::Misconception;
pub use said::{Arg, Said};
