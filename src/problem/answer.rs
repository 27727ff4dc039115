//! Answers: what is right, how near is near enough, and what wrong answers reveal.

use serde::{Deserialize, Serialize};

use super::said::exact;
use super::{Figure, Form, Misconception, Said};
use crate::num::Fraction;

/// Of what a number is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Unit {
    /// A plain number.
    #[serde(rename = "")]
    None,
    /// Revolutions a minute.
    #[serde(rename = "rpm")]
    Rpm,
    #[serde(rename = "N m")]
    NewtonMetre,
    #[serde(rename = "W")]
    Watt,
    #[serde(rename = "%")]
    Percent,
    #[serde(rename = "mm")]
    Millimetre,
}

/// Whether the sign of a number counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum SignRule {
    /// The sign is part of the answer.
    Counts,
    /// Only the size is asked.
    Ignored,
}

/// A wrong number and what it reveals.
#[derive(Clone, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct WrongNumber {
    #[serde(with = "exact")]
    pub value: Fraction,
    pub misconception: Misconception,
}

/// One option of a choice.
#[derive(Clone, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Choice {
    pub said: Said,
    /// What choosing it reveals; none for the right one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub misconception: Option<Misconception>,
}

/// A row of a table to fill.
#[derive(Clone, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Row {
    pub head: Said,
    pub cells: Vec<Cell>,
}

/// A cell of a table.
#[derive(Clone, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Cell {
    /// Printed on the paper.
    Given(Said),
    /// To be filled with a number.
    Number {
        #[serde(with = "exact")]
        exact: Fraction,
        /// Decimals asked for; none where an exact fraction is asked for.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        places: Option<u32>,
    },
    /// To be ticked, or left blank.
    Tick(bool),
    /// One of these words, the right one by its index.
    Word { of: Vec<Said>, right: usize },
}

/// What is right, in the form in which it is asked for.
#[derive(Clone, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(tag = "form", rename_all = "kebab-case")]
pub enum Answer {
    /// A decimal number.
    Number {
        #[serde(with = "exact")]
        exact: Fraction,
        unit: Unit,
        /// Decimals asked for. The exact value ends within them, or is rounded.
        places: u32,
        /// Near enough: |answer − exact| ≤ tolerance, in the unit.
        #[serde(with = "exact")]
        tolerance: Fraction,
        sign: SignRule,
        wrong: Vec<WrongNumber>,
    },
    /// An exact fraction.
    Fraction {
        #[serde(with = "exact")]
        exact: Fraction,
        sign: SignRule,
        wrong: Vec<WrongNumber>,
    },
    /// One option; they are lettered A, B, C … in order.
    Choice { options: Vec<Choice>, right: usize },
    /// Cells to fill. The points are shared equally among them.
    Table { columns: Vec<Said>, rows: Vec<Row> },
    /// Names out of `from`; each list in `accepted` is right, in any order.
    Names {
        from: Vec<String>,
        accepted: Vec<Vec<String>>,
        /// Lists that reveal a misconception.
        wrong: Vec<(Vec<String>, Misconception)>,
    },
    /// Teeth of sun, planet and ring and the number of planets: every right answer.
    Teeth { accepted: Vec<[u32; 4]> },
    /// A figure to draw on, and what it then looks like.
    Drawing { on: Figure, done: Figure },
    /// In words; the steps of the part are the marking scheme.
    Written { model: Vec<Said> },
}

impl Answer {
    pub fn form(&self) -> Form {
        match self {
            Self::Number { .. } => Form::Number,
            Self::Fraction { .. } => Form::Fraction,
            Self::Choice { .. } => Form::Choice,
            Self::Table { .. } => Form::Table,
            Self::Names { .. } => Form::Names,
            Self::Teeth { .. } => Form::Teeth,
            Self::Drawing { .. } => Form::Drawing,
            Self::Written { .. } => Form::Written,
        }
    }

    /// Whether a machine can mark it.
    pub fn is_marked_by_machine(&self) -> bool {
        !matches!(self, Self::Drawing { .. } | Self::Written { .. })
    }
}
