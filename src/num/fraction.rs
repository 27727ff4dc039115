//! Exact fractions: num-rational over big integers, so nothing can wrap.

use num_bigint::{BigInt, BigUint, Sign};
use num_integer::Integer;
use num_rational::BigRational;
use num_traits::{ToPrimitive, Zero};

/// An exact fraction in lowest terms; prints as `"p/q"`, or `"p"` when whole.
pub type Fraction = BigRational;

/// The fraction `numerator / denominator`.
///
/// # Panics
/// If `denominator` is zero.
pub fn fraction(numerator: i64, denominator: i64) -> Fraction {
    assert!(denominator != 0, "a fraction has a denominator");
    // Reduced in machine words, which costs a tenth of what big integers take.
    let (above, below) = (numerator.unsigned_abs(), denominator.unsigned_abs());
    let divisor = above.gcd(&below);
    let sign = if (numerator < 0) == (denominator < 0) { Sign::Plus } else { Sign::Minus };
    let above = BigInt::from_biguint(sign, BigUint::from(above / divisor));
    Fraction::new_raw(above, BigInt::from(below / divisor))
}

/// The nearest float.
pub fn to_f64(value: &Fraction) -> f64 {
    value.to_f64().unwrap_or(f64::NAN)
}

/// The float nearest to `numerator / denominator`, which is what [`to_f64`] gives for that
/// fraction.
///
/// # Panics
/// If `denominator` is zero.
pub fn nearest_f64(numerator: i128, denominator: i128) -> f64 {
    // Whole numbers up to here are floats themselves, and dividing two floats rounds once.
    let whole = |value: i128| value.unsigned_abs() <= 1 << f64::MANTISSA_DIGITS;
    if numerator == 0 && denominator != 0 {
        // Not −0, whatever the sign below.
        0.0
    } else if whole(numerator) && whole(denominator) && denominator != 0 {
        numerator as f64 / denominator as f64
    } else {
        to_f64(&Fraction::new(BigInt::from(numerator), BigInt::from(denominator)))
    }
}

/// Longest text of a fraction: more digits than any exact result has, and few enough that the
/// time to reduce it is not felt.
const LONGEST: usize = 2000;

/// Reads `"p/q"`, `"p"` or a decimal such as `"57.6"`, exactly; `None` for anything else and
/// for more than 2,000 characters.
pub fn parse_fraction(text: &str) -> Option<Fraction> {
    let text = text.trim();
    if text.len() > LONGEST {
        return None;
    }
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
    use proptest::prelude::*;

    /// Of every size, for where a shortcut ends counts most.
    fn any_size() -> impl Strategy<Value = i64> {
        (any::<i64>(), 0u32..64).prop_map(|(value, shift)| value >> shift)
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(4000))]

        #[test]
        fn machine_words_are_what_big_integers_are(p in any_size(), q in any_size()) {
            prop_assume!(q != 0);
            let big = Fraction::new(BigInt::from(p), BigInt::from(q));
            prop_assert_eq!(&fraction(p, q), &big);
            let nearest = nearest_f64(p.into(), q.into());
            prop_assert_eq!(nearest.to_bits(), to_f64(&big).to_bits());
            let product = nearest_f64(i128::from(p) * i128::from(q), i128::from(q) << 32);
            let big = fraction(p, 1) / fraction(1 << 32, 1);
            prop_assert_eq!(product.to_bits(), to_f64(&big).to_bits());
        }
    }

    #[test]
    fn reads_fractions_and_decimals_exactly() {
        assert_eq!(parse_fraction("288/5"), Some(fraction(288, 5)));
        assert_eq!(parse_fraction("57.6"), Some(fraction(288, 5)));
        assert_eq!(parse_fraction("-3"), Some(fraction(-3, 1)));
        assert_eq!(parse_fraction("1/0"), None);
        assert_eq!(parse_fraction("a"), None);
        assert_eq!(parse_fraction(&"7".repeat(LONGEST + 1)), None);
        assert!(parse_fraction(&"7".repeat(LONGEST)).is_some());
    }

    #[test]
    fn prints_whole_numbers_without_a_denominator() {
        assert_eq!(fraction(6, 3).to_string(), "2");
        assert_eq!(fraction(-27, 11).to_string(), "-27/11");
    }
}
