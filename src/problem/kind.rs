//! What sorts of items there are: kinds, levels, topics and forms of answer.

use serde::{Deserialize, Serialize};

/// What an item asks, one generator a kind.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    /// The six ways to drive, hold and take off one set.
    SixWays,
    /// The ratio of one set, one member driven and one held.
    Ratio,
    /// Two driven members of one set: superposition.
    TwoDriven,
    /// A shift table of two to four sets to complete.
    ShiftTable,
    /// From a ratio or a behaviour to the engaged elements.
    FindEngaged,
    /// Two coupled sets: simultaneous equations.
    CoupledSets,
    /// Torque, holding torque and a check of power.
    Torque,
    /// Speed of a planet about its pin.
    PlanetSpeed,
    /// Whether planets can be assembled, clear each other, and how many at most.
    Assembly,
    /// Teeth for a target ratio under limits.
    FindTeeth,
    /// A lever drawing to read or to complete.
    LeverDrawing,
    /// An element fails: which gears are left.
    Fault,
    /// Power flow and efficiency of one gear.
    Efficiency,
    /// Steps, spread and a judgement of a ladder of gears.
    Ladder,
    /// Neutral, lock-up or direct drive.
    Recognise,
    /// A formula to derive.
    Derive,
}

impl Kind {
    pub const ALL: [Self; 16] = [
        Self::SixWays,
        Self::Ratio,
        Self::TwoDriven,
        Self::ShiftTable,
        Self::FindEngaged,
        Self::CoupledSets,
        Self::Torque,
        Self::PlanetSpeed,
        Self::Assembly,
        Self::FindTeeth,
        Self::LeverDrawing,
        Self::Fault,
        Self::Efficiency,
        Self::Ladder,
        Self::Recognise,
        Self::Derive,
    ];

    /// As written in briefs, tables and file names.
    pub fn word(self) -> &'static str {
        match self {
            Self::SixWays => "six-ways",
            Self::Ratio => "ratio",
            Self::TwoDriven => "two-driven",
            Self::ShiftTable => "shift-table",
            Self::FindEngaged => "find-engaged",
            Self::CoupledSets => "coupled-sets",
            Self::Torque => "torque",
            Self::PlanetSpeed => "planet-speed",
            Self::Assembly => "assembly",
            Self::FindTeeth => "find-teeth",
            Self::LeverDrawing => "lever-drawing",
            Self::Fault => "fault",
            Self::Efficiency => "efficiency",
            Self::Ladder => "ladder",
            Self::Recognise => "recognise",
            Self::Derive => "derive",
        }
    }
}

/// For whom an item is made.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Level {
    /// Small numbers, one idea at a time, no systems of equations.
    Workshop,
    /// University: several sets, simultaneous equations, derivations.
    Course,
}

impl Level {
    pub const ALL: [Self; 2] = [Self::Workshop, Self::Course];

    pub fn word(self) -> &'static str {
        match self {
            Self::Workshop => "workshop",
            Self::Course => "course",
        }
    }
}

/// What an item is about; an item may have several.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Topic {
    /// Speeds and ratios of one set.
    OneSet,
    /// Several sets joined.
    CoupledSets,
    /// Which elements make which gear; faults.
    Shifting,
    /// Torque, power, losses.
    Torque,
    /// Tooth counts, mesh and assembly.
    Teeth,
    /// Drawings: sticks and levers.
    Drawings,
}

impl Topic {
    pub const ALL: [Self; 6] = [
        Self::OneSet,
        Self::CoupledSets,
        Self::Shifting,
        Self::Torque,
        Self::Teeth,
        Self::Drawings,
    ];

    pub fn word(self) -> &'static str {
        match self {
            Self::OneSet => "one-set",
            Self::CoupledSets => "coupled-sets",
            Self::Shifting => "shifting",
            Self::Torque => "torque",
            Self::Teeth => "teeth",
            Self::Drawings => "drawings",
        }
    }
}

/// How an item is answered, by its first part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Form {
    Number,
    Fraction,
    Choice,
    Table,
    /// Names out of a list, such as the engaged elements or the gears that are left.
    Names,
    Teeth,
    Drawing,
    /// In words and formulas, marked by hand.
    Written,
}

impl Form {
    pub const ALL: [Self; 8] = [
        Self::Number,
        Self::Fraction,
        Self::Choice,
        Self::Table,
        Self::Names,
        Self::Teeth,
        Self::Drawing,
        Self::Written,
    ];

    pub fn word(self) -> &'static str {
        match self {
            Self::Number => "number",
            Self::Fraction => "fraction",
            Self::Choice => "choice",
            Self::Table => "table",
            Self::Names => "names",
            Self::Teeth => "teeth",
            Self::Drawing => "drawing",
            Self::Written => "written",
        }
    }
}
