//! Which numbers come out: short fractions, decimals that end, whole results.

use num_bigint::BigInt;
use num_traits::{Signed, Zero};

use crate::num::Fraction;

/// Whether numerator and denominator have at most `digits` digits.
pub(super) fn is_short(value: &Fraction, digits: u32) -> bool {
    let bound = BigInt::from(10).pow(digits);
    value.numer().abs() < bound && *value.denom() < bound
}

/// Whether the decimal ends within `places` places.
pub(super) fn ends_within(value: &Fraction, places: u32) -> bool {
    (BigInt::from(10).pow(places) % value.denom()).is_zero()
}

/// Digits of the longer of numerator and denominator.
pub(super) fn digits(value: &Fraction) -> u32 {
    let length = |number: &BigInt| number.abs().to_string().len();
    length(value.numer()).max(length(value.denom())) as u32
}

/// `10^-places`: one unit of the last place that is asked for, which is near enough.
pub(super) fn last_place(places: u32) -> Fraction {
    Fraction::new(BigInt::from(1), BigInt::from(10).pow(places))
}

/// The value rounded to `places` decimals, half away from zero.
pub(super) fn rounded(value: &Fraction, places: u32) -> Fraction {
    let scale = Fraction::from(BigInt::from(10).pow(places));
    (value * &scale).round() / scale
}
