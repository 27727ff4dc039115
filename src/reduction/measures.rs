//! Small measures of a reduction's sets that scores are read from.

use num_traits::Signed as _;

use super::choice::Choice;
use super::running::SetDuty;
use crate::num::Fraction;

/// What a case takes at least.
pub(super) struct Tight {
    pub diameter: f64,
    pub length: f64,
    pub parts: f64,
}

/// `target` with the sign of `ratio`.
pub(super) fn signed(target: &Fraction, ratio: &Fraction) -> Fraction {
    if ratio.is_negative() { -target.clone() } else { target.clone() }
}

/// Whether one ring part serves both sets.
pub(super) fn same_ring(a: &Choice, b: &Choice) -> bool {
    let ring = |choice: &Choice| (choice.set.ring, choice.module, choice.shift.ring);
    ring(a) == ring(b)
}

/// Wheels that differ in place (inside or outside), teeth, module or shift.
pub(super) fn different_gears(choices: &[Choice]) -> usize {
    let mut all: Vec<(bool, u32, u64, i64)> = Vec::new();
    for choice in choices {
        let kind = |internal: bool, teeth: u32, shift: f64| {
            (internal, teeth, choice.module.to_bits(), (shift * 1e6).round() as i64)
        };
        all.push(kind(false, choice.set.sun, choice.shift.sun));
        all.push(kind(true, choice.set.ring, choice.shift.ring));
        let planets = [choice.set.planet, choice.set.outer_planet];
        all.extend(planets.into_iter().flatten().map(|z| kind(false, z, choice.shift.planet)));
    }
    all.sort_unstable();
    all.dedup();
    all.len()
}

/// Largest |speed| of a planet about its pin per input speed: (Z_S / Z_P) |ω_S − ω_C|, of
/// the outer planet of a pair with its own teeth.
pub(super) fn planet_speed(choice: &Choice, duty: &SetDuty) -> f64 {
    let fewest = [choice.set.planet, choice.set.outer_planet].into_iter().flatten().min();
    let teeth = f64::from(fewest.unwrap_or(1));
    f64::from(choice.set.sun) / teeth * duty.sun_to_carrier.abs()
}
