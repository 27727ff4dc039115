//! Exact fractions: num-rational over big integers, so nothing can wrap.

use num_bigint::BigInt;
use num_rational::BigRational;
use num_traits::{ToPrimitive, Zero};

/// An exact fraction in lowest terms; prints as `"p/q"`, or `"p"` when whole.
pub type Fraction = BigRational;

/// The fraction `numerator / denominator`.
///
/// # Panics
/// If `denominator` is zero.
pub fn fraction(numerator: i64, denominator: i64) -> Fraction {
    Fraction::new(BigInt::from(numerator), BigInt::from(denominator))
}

/// The nearest float.
pub fn to_f64(value: &Fraction) -> f64 {
    value.to_f64().unwrap_or(f64::NAN)
}

/// Reads `"p/q"`, `"p"` or a decimal such as `"57.6"`, exactly.
pub fn parse_fraction(text: &str) -> Option<Fraction> {
    let text = text.trim();
    if let Some((numerator, denominator)) = text.split_once('/') {
        let denominator: BigInt = denominator.trim().parse().ok()?;
        if denominator.is_zero() {
            return None;
        }
        return Some(Fraction::new(numerator.trim().parse().ok()?, denominator));
    }
    let (whole, decimals) = text.split_once('.').unwrap_or((text, ""));
    if !decimals.bytes().all(|b| b.is_ascii_digit()) {
        return None;
    }
    let digits: BigInt = format!("{whole}{decimals}").parse().ok()?;
    let scale = BigInt::from(10u32).pow(u32::try_from(decimals.len()).ok()?);
    Some(Fraction::new(digits, scale))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_fractions_and_decimals_exactly() {
        assert_eq!(parse_fraction("288/5"), Some(fraction(288, 5)));
        assert_eq!(parse_fraction("57.6"), Some(fraction(288, 5)));
        assert_eq!(parse_fraction("-3"), Some(fraction(-3, 1)));
        assert_eq!(parse_fraction("1/0"), None);
        assert_eq!(parse_fraction("a"), None);
    }

    #[test]
    fn prints_whole_numbers_without_a_denominator() {
        assert_eq!(fraction(6, 3).to_string(), "2");
        assert_eq!(fraction(-27, 11).to_string(), "-27/11");
    }
}
