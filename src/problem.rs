//! The nouns of an exam: an item with its parts, exact answers, worked steps and marks.
//!
//! An item is data in no language: what is said is a [`Said`], a name of a phrase and what
//! fills it, which the room `paper` puts into words. Nothing is made up here.

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
