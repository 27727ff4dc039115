//! Speeds of all shafts in one state, exactly.

use num_traits::Zero;

use crate::num::{Fraction, Solution, fraction, solve};
use crate::train::{Element, ElementMask, Grip, INPUT, Layout, OUTPUT, ShaftId};

/// What a state is good for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Status {
    /// One motion, and the output turns.
    Live,
    /// The input can turn, but the speeds are not all determined: too few constraints.
    Loose,
    /// The input cannot turn.
    Locked,
    /// One motion, but the output stands still.
    IdleOutput,
}

impl Status {
    /// As written in tables and in JSON.
    pub fn word(self) -> &'static str {
        match self {
            Self::Live => "live",
            Self::Loose => "loose",
            Self::Locked => "locked",
            Self::IdleOutput => "idle output",
        }
    }

    /// Why, in a sentence for a reader.
    pub fn reason(self) -> &'static str {
        match self {
            Self::Live => "every speed is determined and the output turns",
            Self::Loose => {
                "too few constraints: the input turns, but not every speed follows from it"
            }
            Self::Locked => "too many constraints: the input cannot turn",
            Self::IdleOutput => "every speed is determined, but the output stands still",
        }
    }
}

/// The motion of a layout in one state, per input speed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Motion {
    pub engaged: ElementMask,
    pub status: Status,
    /// Speed of each shaft / input speed, in the order of the layout's shafts; all known
    /// when live or idle output, else only those that are the same in every motion.
    pub speeds: Vec<Option<Fraction>>,
    /// i = input speed / output speed, when live.
    pub ratio: Option<Fraction>,
}

impl Motion {
    /// All speeds, when every one is determined.
    pub fn all_speeds(&self) -> Option<Vec<Fraction>> {
        self.speeds.iter().cloned().collect()
    }

    /// Speed of what sits on `shaft`; `None` is the housing, which stands still.
    pub fn speed_at(&self, shaft: Option<ShaftId>) -> Option<Fraction> {
        match shaft {
            None => Some(Fraction::zero()),
            Some(shaft) => self.speeds[shaft.0].clone(),
        }
    }

    /// Slip of an element: speed of its first-named shaft minus the second (a brake: the
    /// shaft's speed), per input speed.
    pub fn slip(&self, element: &Element) -> Option<Fraction> {
        match element.grip {
            Grip::Brake(shaft) => self.speed_at(Some(shaft)),
            Grip::Clutch(a, b) => Some(self.speed_at(Some(a))? - self.speed_at(Some(b))?),
        }
    }
}

/// Solves one state: Willis rows (see [`crate::train::GearSet::willis`]), one row per
/// engaged element, input speed 1.
pub fn solve_state(layout: &Layout, engaged: ElementMask) -> Motion {
    let shafts = layout.shafts.len();
    let mut rows = willis_rows(layout);
    for element in engaged.iter() {
        rows.push(element_row(layout.elements[element].grip, shafts));
    }
    let mut input = vec![0; shafts + 1];
    (input[INPUT.0], input[shafts]) = (1, 1);
    rows.push(input);
    let (status, speeds) = match solve(&rows, shafts) {
        Solution::None => (Status::Locked, vec![None; shafts]),
        Solution::Many(speeds) => (Status::Loose, speeds),
        Solution::Unique(speeds) if speeds[OUTPUT.0].is_zero() => {
            (Status::IdleOutput, speeds.into_iter().map(Some).collect())
        }
        Solution::Unique(speeds) => (Status::Live, speeds.into_iter().map(Some).collect()),
    };
    let output = speeds[OUTPUT.0].as_ref();
    let ratio = output.filter(|_| status == Status::Live).map(Fraction::recip);
    Motion { engaged, status, speeds, ratio }
}

/// One row a set: coefficients of the shaft speeds, then the right side 0.
fn willis_rows(layout: &Layout) -> Vec<Vec<i64>> {
    let shafts = layout.shafts.len();
    (0..layout.sets.len())
        .map(|set| {
            let mut row = vec![0; shafts + 1];
            for (seat, factor) in layout.seats(set).into_iter().zip(layout.sets[set].willis()) {
                if let Some(shaft) = seat {
                    row[shaft.0] += factor;
                }
            }
            row
        })
        .collect()
}

fn element_row(grip: Grip, shafts: usize) -> Vec<i64> {
    let mut row = vec![0; shafts + 1];
    match grip {
        Grip::Brake(shaft) => row[shaft.0] = 1,
        Grip::Clutch(a, b) => (row[a.0], row[b.0]) = (1, -1),
    }
    row
}

/// Speed of a set's planet about its pin, ω_P − ω_C, per input speed:
/// ω_P − ω_C = −(Z_S / Z_P)(ω_S − ω_C), for the planet (paired: the inner planet) that
/// meshes with the sun. `None` where a speed or Z_P is not known.
///
/// Source: the external mesh of sun and planet seen from the carrier; R. Willis,
/// Principles of Mechanism (1841).
pub fn planet_speed(layout: &Layout, motion: &Motion, set: usize) -> Option<Fraction> {
    let teeth = layout.sets[set];
    let [sun, _, carrier] = layout.seats(set).map(|seat| motion.speed_at(seat));
    let turns = sun? - carrier?;
    Some(turns * fraction(-i64::from(teeth.sun), i64::from(teeth.planet?)))
}

/// Speed of the outer planet of a paired set about its pin, ω − ω_C, per input speed: the
/// two planets mesh externally, so it is −Z_P,inner / Z_P,outer times the inner one's.
/// `None` for a single set and where a speed or a planet's teeth are not known.
pub fn outer_planet_speed(layout: &Layout, motion: &Motion, set: usize) -> Option<Fraction> {
    let teeth = layout.sets[set];
    let (inner, outer) = (i64::from(teeth.planet?), i64::from(teeth.outer_planet?));
    Some(planet_speed(layout, motion, set)? * fraction(-inner, outer))
}
