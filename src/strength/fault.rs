//! Why a set cannot be judged.

use std::fmt;

use crate::teeth::Mesh;
use crate::teeth::WheelKind;

/// A number or a set that the formulas say nothing about. Small and `Copy`, so that a search
/// may meet it a million times.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Fault {
    /// A number that is none, or outside the range in which it means anything.
    Number { name: &'static str, found: f64, least: f64, most: f64 },
    /// The planets of a pair are not named, a wheel has no teeth, or a planet no room.
    Wheels,
    /// No planet, or more than a thousand.
    Planets { found: u32 },
    /// So few teeth that no form factor is known.
    FewTeeth { wheel: WheelKind, teeth: u32, least: u32 },
    /// Profile shifts with which two wheels cannot mesh: their base circles have no common
    /// tangent, or they stand so far apart that the working pressure angle passes 60°.
    Shifts { mesh: Mesh },
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Number { name, found, least, most } => {
                write!(f, "{name} is {found}, but must lie between {least} and {most}")
            }
            Self::Wheels => {
                write!(f, "the wheels of the set are not all known, or cannot be put in each other")
            }
            Self::Planets { found } => {
                write!(f, "a set of {found} planets cannot be judged")
            }
            Self::FewTeeth { wheel, teeth, least } => write!(
                f,
                "the {} has {teeth} teeth, and Lewis' form factor says nothing below {least}",
                wheel.word()
            ),
            Self::Shifts { mesh } => {
                let [one, two] = super::meshes::wheels_of(*mesh, false);
                write!(f, "with these profile shifts {} and {} cannot mesh", one.word(), two.word())
            }
        }
    }
}

impl std::error::Error for Fault {}

/// `value`, if it is a number within `least` and `most`.
pub(super) fn within(name: &'static str, value: f64, least: f64, most: f64) -> Result<f64, Fault> {
    // Not a number is in no range.
    if (least..=most).contains(&value) {
        Ok(value)
    } else {
        Err(Fault::Number { name, found: value, least, most })
    }
}
