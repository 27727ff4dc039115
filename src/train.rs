//! The nouns: member, set, shaft, element, core, layout, gear; the layout file; the
//! canonical spelling. Nothing here moves: laws of motion live one floor down.

mod canon;
mod core;
mod file;
mod layout;
mod member;
mod raw;
mod set;
mod text;

pub use canon::{Spelling, canonical};
pub use core::{Core, HOUSING, MAX_SETS, Slot};
pub use file::{MOST_GEARS, parse_layout, read_bytes, read_layout, read_text};
pub use layout::{Element, ElementMask, Gear, Grip, INPUT, Layout, OUTPUT, Shaft};
pub use member::{Member, Role, ShaftId};
pub use set::{GearSet, SetKind};
pub use text::write_layout;
