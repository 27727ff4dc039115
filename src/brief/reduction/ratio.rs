//! The wanted ratio, read exactly as it is written.

use num_bigint::BigInt;
use num_traits::Signed;
use toml::{Spanned, Value};

use super::keys::REDUCTION;
use super::written::WrittenRatio;
use super::{Direction, RatioWish};
use crate::brief::checks::show;
use crate::brief::fault::quote;
use crate::error::Mistake;
use crate::num::{Fraction, fraction, parse_fraction, to_f64};

/// Tolerance of a brief that names none.
const TOLERANCE: f64 = 0.005;
/// Errors of the ratio that count as none, where the brief does not say.
const CLOSE_ENOUGH: f64 = 0.0005;
/// Longest number that is read, in characters: any fraction of two words of 64 bits.
const LONGEST_LITERAL: usize = 40;

/// The ratio that a brief asks for; `text` is that of the whole brief.
pub(super) fn understand(text: &str, written: &WrittenRatio) -> Result<RatioWish, Mistake> {
    let target = target(text, REDUCTION.required("ratio.target", &written.target)?)?;
    let tolerance = tolerance(written)?;
    let directions = [
        ("same", Direction::Same),
        ("reversed", Direction::Reversed),
        ("either", Direction::Either),
    ];
    let direction = written.direction.as_deref().map_or(Ok(Direction::Either), |value| {
        REDUCTION.word("ratio.direction", value, &directions)
    })?;
    Ok(RatioWish { target, tolerance, direction, close_enough: close_enough(written, tolerance)? })
}

fn target(text: &str, written: &Spanned<Value>) -> Result<Fraction, Mistake> {
    let key = "ratio.target";
    let literal = match written.get_ref() {
        Value::String(text) => text.trim().to_owned(),
        Value::Float(value) => as_written(text, written, *value),
        other => other.to_string(),
    };
    let wrong = || REDUCTION.wrong(key, format!("is {}", quote(&literal)));
    let target = exact(&literal).ok_or_else(wrong)?;
    if target.is_negative() {
        let mend = "write the ratio without its sign, and direction = \"reversed\" beside it";
        return Err(Mistake::at(key, format!("is {}", quote(&literal)), mend));
    }
    if target < fraction(1, 10_000) || target > fraction(1_000_000, 1) {
        return Err(wrong());
    }
    // Finer ratios no train of wheels can tell apart, and 64 bits hold what is coarser.
    let fits = |part: &BigInt| i64::try_from(part).is_ok();
    if !fits(target.numer()) || !fits(target.denom()) {
        let problem = format!("is {}, finer than any gears can be", quote(&literal));
        return Err(Mistake::at(key, problem, "write at most 18 digits"));
    }
    Ok(target)
}

/// The digits in the file. A float keeps some 16 of them, so the text itself is looked at;
/// the shortest decimal of the float stands in where the text is not the one that was read.
fn as_written(text: &str, written: &Spanned<Value>, value: f64) -> String {
    let literal = text.get(written.span()).unwrap_or_default().replace('_', "");
    let same = literal.parse::<f64>().is_ok_and(|read| read.to_bits() == value.to_bits());
    if same { literal } else { value.to_string() }
}

/// `288/5`, `1440`, `57.6` or `5.76e1`, without rounding.
fn exact(literal: &str) -> Option<Fraction> {
    let plain = literal.bytes().all(|b| b.is_ascii_digit() || b"+-./eE ".contains(&b));
    if literal.len() > LONGEST_LITERAL || !plain {
        return None;
    }
    let Some((digits, power)) = literal.split_once(['e', 'E']) else {
        return parse_fraction(literal);
    };
    let power: i32 = power.parse().ok().filter(|power: &i32| power.abs() <= 40)?;
    let scale = Fraction::from_integer(BigInt::from(10u32).pow(power.unsigned_abs()));
    let digits = parse_fraction(digits).filter(|_| !digits.contains('/'))?;
    Some(if power < 0 { digits / scale } else { digits * scale })
}

/// 0 where the ratio must be exact.
fn tolerance(written: &WrittenRatio) -> Result<f64, Mistake> {
    let key = "ratio.tolerance";
    let given = written.tolerance;
    if let Some(tolerance) = given.filter(|tolerance| !(0.0..0.5).contains(tolerance)) {
        return Err(REDUCTION.wrong(key, format!("is {}", show(tolerance))));
    }
    match (written.exact == Some(true), given) {
        (true, Some(tolerance)) if tolerance > 0.0 => {
            let problem = format!("is {}, but the ratio must be exact", show(tolerance));
            let mend = "leave ratio.tolerance out, or write exact = false";
            Err(Mistake::at(key, problem, mend))
        }
        (true, _) => Ok(0.0),
        // A person may write −0.0; it means nothing else.
        (false, given) => Ok(given.unwrap_or(TOLERANCE) + 0.0),
    }
}

/// Never above the tolerance: beyond it all errors would count as none.
fn close_enough(written: &WrittenRatio, tolerance: f64) -> Result<f64, Mistake> {
    let key = "ratio.close_enough";
    let Some(given) = written.close_enough else { return Ok(CLOSE_ENOUGH.min(tolerance)) };
    let given = REDUCTION.number(key, given, (0.0, 0.5))? + 0.0;
    // An exact ratio has no error, whatever would count as none.
    if tolerance > 0.0 && given > tolerance {
        let problem = format!("is {}, above ratio.tolerance, {}", show(given), show(tolerance));
        let mend = "write a smaller number; if errors of the ratio shall not count at all, leave \
                    ratio_error out of score.objectives";
        return Err(Mistake::at(key, problem, mend));
    }
    Ok(given.min(tolerance))
}

/// The ratio as people write it: a decimal where a short one is exact, else a fraction.
pub(super) fn told(target: &Fraction) -> String {
    let decimal = to_f64(target).to_string();
    let same = decimal.len() <= 8 && parse_fraction(&decimal).as_ref() == Some(target);
    if same { decimal } else { target.to_string() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_read_without_rounding() {
        for (literal, numerator, denominator) in [
            ("57.6", 288, 5),
            ("288/5", 288, 5),
            ("288 / 5", 288, 5),
            ("1440", 1440, 1),
            ("5.76e1", 288, 5),
            ("576E-1", 288, 5),
            ("0.1", 1, 10),
            ("-3.5", -7, 2),
        ] {
            assert_eq!(exact(literal), Some(fraction(numerator, denominator)), "{literal}");
        }
        for literal in ["", "1/0", "1/2/3", "1/2e3", "1e99", "inf", "nan", "1,5", "1:5", "."] {
            assert_eq!(exact(literal), None, "{literal}");
        }
        assert_eq!(exact(&"1".repeat(LONGEST_LITERAL + 1)), None);
    }

    #[test]
    fn ratios_are_told_as_people_write_them() {
        assert_eq!(told(&fraction(288, 5)), "57.6");
        assert_eq!(told(&fraction(1440, 1)), "1440");
        assert_eq!(told(&fraction(1, 3)), "1/3");
    }
}
