//! Lossless torques of members and elements in one state, exactly.

use num_traits::{One, Zero};

use super::{Motion, Status};
use crate::num::{Fraction, Solution, fraction, solve};
use crate::train::{Grip, INPUT, Layout, OUTPUT};

/// Torques per input torque. A member's torque is what its shaft exerts on the set; an
/// element's is what it exerts on its first-named shaft (a brake: what the housing exerts
/// on the shaft); output and housing are what acts on the gearbox from outside.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Torques {
    /// `[T_S, T_R, T_C]` of each set; `None` where redundant elements leave it open.
    pub members: Vec<[Option<Fraction>; 3]>,
    /// One per element of the layout, 0 when open; `None` where it is not determined
    /// because an engaged element is redundant.
    pub elements: Vec<Option<Fraction>>,
    /// T_out = −i.
    pub output: Fraction,
    /// T_housing = −(T_in + T_out).
    pub housing: Fraction,
}

/// Torques of a live state; `None` for any other.
///
/// Unknowns are one torque per set, one per engaged element and the output's; one balance
/// per shaft: outside torque + element torques = sum of its members' torques. This system
/// is the transpose of the speed system, so a live state always has a solution.
pub fn solve_torques(layout: &Layout, motion: &Motion) -> Option<Torques> {
    if motion.status != Status::Live {
        return None;
    }
    let engaged: Vec<usize> = motion.engaged.iter().collect();
    let sets = layout.sets.len();
    let unknowns = sets + engaged.len() + 1;
    let values = match solve(&balances(layout, &engaged), unknowns) {
        Solution::Unique(values) => values.into_iter().map(Some).collect(),
        Solution::Many(values) => values,
        Solution::None => return None,
    };
    let members = (0..sets).map(|set| {
        layout.sets[set].torques().map(|factor| Some(values[set].clone()? * fraction(factor, 1)))
    });
    let mut elements = vec![Some(Fraction::zero()); layout.elements.len()];
    for (index, &element) in engaged.iter().enumerate() {
        elements[element] = values[sets + index].clone();
    }
    let output = values[unknowns - 1].clone()?;
    let housing = -(Fraction::one() + &output);
    Some(Torques { members: members.collect(), elements, output, housing })
}

/// One row a shaft. Columns: a torque scale per set (T_S = Z_S × scale), the engaged
/// elements, the output torque, and the right side, −1 for the input torque.
fn balances(layout: &Layout, engaged: &[usize]) -> Vec<Vec<i64>> {
    let sets = layout.sets.len();
    let unknowns = sets + engaged.len() + 1;
    let mut rows = vec![vec![0; unknowns + 1]; layout.shafts.len()];
    for (set, teeth) in layout.sets.iter().enumerate() {
        for (seat, factor) in layout.seats(set).into_iter().zip(teeth.torques()) {
            if let Some(shaft) = seat {
                rows[shaft.0][set] -= factor;
            }
        }
    }
    for (index, &element) in engaged.iter().enumerate() {
        match layout.elements[element].grip {
            Grip::Brake(shaft) => rows[shaft.0][sets + index] = 1,
            Grip::Clutch(a, b) => {
                rows[a.0][sets + index] = 1;
                rows[b.0][sets + index] = -1;
            }
        }
    }
    rows[OUTPUT.0][unknowns - 1] = 1;
    rows[INPUT.0][unknowns] = -1;
    rows
}
