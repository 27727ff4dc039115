//! What is drawn beside a problem, as data; `paper` makes pictures of it.

use serde::{Deserialize, Serialize};

/// A picture of an item. Layouts are texts of layout files.
#[derive(Clone, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(tag = "figure", rename_all = "kebab-case")]
pub enum Figure {
    /// The stick drawing of a layout, nothing engaged. Where the layout does not nest there
    /// is none, and the text must suffice.
    Stick { layout: String },
    /// The lever of one set (from 1) of a layout without speeds and torques: arms only, to
    /// be drawn on.
    BlankLever { layout: String, set: usize },
    /// The levers of a layout in a state, with speeds and torques.
    Levers { layout: String, engaged: Vec<String> },
    /// One set (from 1) from in front with its true teeth.
    Face { layout: String, set: usize },
}
