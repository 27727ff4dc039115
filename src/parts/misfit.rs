//! What does not fit, and by how much.

use super::part::PartKind;
use std::fmt::{Display, Formatter, Result};

/// A dimension of [`super::Making`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Dimension {
    Module,
    Width,
    Chord,
    HoleAllowance,
    Edge,
    SunBore,
    Pin,
    RingWall,
    BoltCount,
    BoltDiameter,
    Plate,
    Drive,
    ShaftHole,
    Spacer,
    Helix,
}

impl Dimension {
    /// In the words of a builder.
    pub fn word(self) -> &'static str {
        match self {
            Self::Module => "the module",
            Self::Width => "the width of the wheels",
            Self::Chord => "the chord",
            Self::HoleAllowance => "the allowance of holes",
            Self::Edge => "the edge round holes",
            Self::SunBore => "the sun's bore",
            Self::Pin => "the planet pin",
            Self::RingWall => "the ring's wall",
            Self::BoltCount => "the number of bolts",
            Self::BoltDiameter => "the bolts' diameter",
            Self::Plate => "the plates' thickness",
            Self::Drive => "the drive's hole",
            Self::ShaftHole => "the hole for the sun's shaft",
            Self::Spacer => "the spacer bolts' diameter",
            Self::Helix => "the helix angle",
        }
    }
}

/// Why a dimension does not do.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Trouble {
    /// Not a finite number above 0 (allowance: below 0).
    NotPositive,
    /// Above what is made: a helix angle of more than 45°, more than 360 bolts.
    TooLarge,
    /// The sun's shaft, as wide as its bore, does not go through.
    TooSmall,
    /// A wheel or wall keeps less than one module of material outside or inside its root circle.
    ThinRim,
    /// The bolts' holes are nearer to the edge of the wall than the edge asked for.
    BreaksOut,
    /// Two holes are nearer to each other than the edge asked for.
    MeetsHole,
    /// It meets the teeth of a wheel, or comes nearer than a quarter of a module.
    MeetsWheel,
    /// The carrier's plate reaches the bolts of the ring.
    MeetsBolts,
}

/// One dimension that does not fit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Misfit {
    pub dimension: Dimension,
    /// The part where it does not fit, if it is one.
    pub part: Option<PartKind>,
    pub trouble: Trouble,
    /// By how much, in the dimension's own unit (mm, degrees, a count); of a hole or a
    /// wall, the material that is missing in mm.
    pub by: f64,
}

impl Display for Misfit {
    /// A sentence without a full stop.
    fn fmt(&self, f: &mut Formatter<'_>) -> Result {
        let unit = match self.dimension {
            Dimension::Helix => "°",
            Dimension::BoltCount if self.trouble != Trouble::MeetsHole => "",
            _ => " mm",
        };
        let why = match self.trouble {
            Trouble::NotPositive => "is not a number above 0: short",
            Trouble::TooLarge => "is too large",
            Trouble::TooSmall => "is too small for the sun's shaft",
            Trouble::ThinRim => "leaves less than one module beside the root circle: short",
            Trouble::BreaksOut => "breaks out of the wall: short",
            Trouble::MeetsHole => "comes too near to another hole",
            Trouble::MeetsWheel => "meets the teeth of a wheel",
            Trouble::MeetsBolts => "lets the carrier's plate reach the ring's bolts",
        };
        if let Some(part) = self.part {
            write!(f, "{}: ", part.word())?;
        }
        write!(f, "{} {why} by {:.3}{unit}", self.dimension.word(), self.by)
    }
}
