//! A number as a student writes it: what it is, or that it may be two things, or nothing.
//!
//! Nothing is guessed. `1,500` is 1.5 or 1500 by where a student went to school, `3 1/13` a mixed
//! number or 31/13 with a slip: both are given to a person.

use num_bigint::BigInt;
use num_integer::Integer as _;
use num_traits::{Pow as _, Signed as _, Zero as _};

use crate::num::Fraction;

/// Most digits of a number that is read.
const MOST_DIGITS: usize = 40;

/// How a number was written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Form {
    Whole,
    /// With so many decimals.
    Decimal(u32),
    /// One number over another, in lowest terms or not.
    Quotient {
        lowest: bool,
    },
}

/// A number that was read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Reading {
    pub value: Fraction,
    pub form: Form,
    /// What else it may be: `1.500` may be 1500 where a point parts thousands.
    pub other: Option<Fraction>,
}

/// Why a number is not read.
pub(super) const COMMA: &str = "the comma may part thousands or decimals";
pub(super) const MIXED: &str = "may be a mixed number or a quotient";
pub(super) const NO_NUMBER: &str = "no number";

/// One spelling of what keyboards and spreadsheets write in several: signs, spaces, bars,
/// superscripts, digits of full width.
pub(super) fn normalised(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    for c in text.trim().chars() {
        match c {
            '−' | '–' | '—' | '‐' | '‑' | '﹣' | '－' | '⁻' => plain.push('-'),
            '＋' => plain.push('+'),
            '⁄' | '∕' | '／' => plain.push('/'),
            '∶' | '：' => plain.push(':'),
            '¹' => plain.push('1'),
            '½' => plain.push_str(" 1/2"),
            '¼' => plain.push_str(" 1/4"),
            '¾' => plain.push_str(" 3/4"),
            '⅓' => plain.push_str(" 1/3"),
            '⅔' => plain.push_str(" 2/3"),
            '’' | '‘' | '´' => plain.push('\''),
            '０'..='９' => {
                plain.push(char::from(b'0' + (u32::from(c) - u32::from('０')) as u8));
            }
            c if c.is_whitespace() => plain.push(' '),
            c => plain.push(c),
        }
    }
    plain.trim().to_owned()
}

/// The number that `text`, normalised and without a unit, is.
///
/// # Errors
/// Why it is none for certain.
pub(super) fn number(text: &str) -> Result<Reading, &'static str> {
    let (minus, size) = signed(text.trim());
    let size = without_parentheses(size);
    if size.is_empty() {
        return Err(NO_NUMBER);
    }
    let read = match size.split_once(['/', ':']) {
        Some((above, below)) => quotient(above, below, size.contains(':'))?,
        None => decimal(size)?,
    };
    if !minus {
        return Ok(read);
    }
    Ok(Reading { value: -read.value, other: read.other.map(|other| -other), ..read })
}

fn signed(text: &str) -> (bool, &str) {
    if let Some(rest) = text.strip_prefix('-') {
        return (true, rest.trim_start());
    }
    (false, text.strip_prefix('+').unwrap_or(text).trim_start())
}

/// `(27/11)` as 27/11: parentheses around the whole.
fn without_parentheses(text: &str) -> &str {
    let inner = text.strip_prefix('(').and_then(|rest| rest.strip_suffix(')'));
    inner.filter(|inner| !inner.contains(['(', ')'])).unwrap_or(text).trim()
}

fn quotient(above: &str, below: &str, colon: bool) -> Result<Reading, &'static str> {
    // A leading 0 is that of an hour: 2:05 or 02:03.
    let hour = |part: &str| part.trim().len() > 1 && part.trim().starts_with('0');
    if colon && (hour(above) || hour(below)) {
        return Err("may be a time that a spreadsheet made");
    }
    let ((minus_a, above), (minus_b, below)) = (signed(above.trim()), signed(below.trim()));
    let (above, below) = (without_parentheses(above), without_parentheses(below));
    let ((inner_a, above), (inner_b, below)) = (signed(above), signed(below));
    if above.trim().contains(' ') || below.trim().contains(' ') {
        return Err(MIXED);
    }
    let (above, below) = (decimal(above)?, decimal(below)?);
    if above.other.is_some() || below.other.is_some() {
        return Err(COMMA);
    }
    if below.value.is_zero() {
        return Err("divided by 0");
    }
    let whole = above.value.is_integer() && below.value.is_integer();
    let lowest = whole && above.value.numer().gcd(below.value.numer()) == BigInt::from(1);
    let minus = minus_a ^ minus_b ^ inner_a ^ inner_b;
    let value = above.value / below.value;
    let value = if minus { -value } else { value };
    Ok(Reading { value, form: Form::Quotient { lowest }, other: None })
}

/// Digits with one mark of decimals and marks of thousands, which part groups of three.
fn decimal(text: &str) -> Result<Reading, &'static str> {
    let text = text.trim();
    let all = |c: char| c.is_ascii_digit() || " '.,".contains(c);
    let digits = text.chars().filter(char::is_ascii_digit).count();
    if digits == 0 || digits > MOST_DIGITS || !text.chars().all(all) {
        return Err(NO_NUMBER);
    }
    let (points, commas) = (text.matches('.').count(), text.matches(',').count());
    let last = text.rfind(['.', ',']);
    let (whole, decimals, thousands) = match (last, points, commas) {
        (None, ..) => (text, "", None),
        // Both: the last is that of decimals, and the other parts thousands.
        (Some(at), 1.., 1..) => {
            let mark = &text[at..=at];
            if text.matches(mark).count() > 1 {
                return Err(NO_NUMBER);
            }
            (&text[..at], &text[at + 1..], Some(if mark == "." { ',' } else { '.' }))
        }
        (Some(at), 1, 0) | (Some(at), 0, 1) => (&text[..at], &text[at + 1..], None),
        (Some(_), 2.., _) => (text, "", Some('.')),
        (Some(_), ..) => (text, "", Some(',')),
    };
    let plain = ungrouped(whole, thousands).ok_or(NO_NUMBER)?;
    if !decimals.chars().all(|c| c.is_ascii_digit()) {
        return Err(NO_NUMBER);
    }
    let places = decimals.len() as u32;
    let value = Fraction::new(
        format!("{plain}{decimals}").parse().map_err(|_| NO_NUMBER)?,
        BigInt::from(10).pow(places),
    );
    let may_be_thousands = thousands.is_none()
        && places == 3
        && whole.len() <= 3
        && !whole.is_empty()
        && !whole.starts_with('0');
    if may_be_thousands && commas == 1 {
        return Err(COMMA);
    }
    let other = may_be_thousands.then(|| &value * Fraction::from(BigInt::from(1000)));
    let form = if places == 0 { Form::Whole } else { Form::Decimal(places) };
    Ok(Reading { value, form, other })
}

/// The digits of a whole number without the marks between its groups of three: spaces,
/// apostrophes or `thousands`, one sort only. Empty before a point: `.5`.
fn ungrouped(text: &str, thousands: Option<char>) -> Option<String> {
    let marks: Vec<char> = text.chars().filter(|c| !c.is_ascii_digit()).collect();
    let Some(&mark) = marks.first() else { return Some(text.to_owned()) };
    let fits = |c: char| " '".contains(c) || Some(c) == thousands;
    if !marks.iter().all(|&c| c == mark && fits(c)) {
        return None;
    }
    let groups: Vec<&str> = text.split(mark).collect();
    let right = (1..=3).contains(&groups[0].len()) && groups[1..].iter().all(|g| g.len() == 3);
    right.then(|| groups.concat())
}

impl Reading {
    /// The same in a unit that is `factor` of the one that is asked for.
    pub fn times(self, factor: &Fraction) -> Self {
        let other = self.other.map(|other| other * factor);
        Self { value: self.value * factor, form: self.form, other }
    }

    /// How far the number may be off one that was rounded to it: half of its last place; nothing
    /// where it is whole or a quotient.
    pub fn rounding(&self) -> Fraction {
        match self.form {
            Form::Decimal(places) => Fraction::new(1.into(), BigInt::from(10).pow(places) * 2),
            _ => Fraction::zero(),
        }
    }

    /// Whether it is `exact`, rounded to the decimals that were written or cut off behind them.
    pub fn is_near(&self, exact: &Fraction) -> bool {
        let off = (&self.value - exact).abs();
        off <= self.rounding() * Fraction::from(BigInt::from(2))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::num::fraction;

    fn value(text: &str) -> Result<Fraction, &'static str> {
        number(&normalised(text)).map(|read| read.value)
    }

    #[test]
    fn numbers_are_read_as_people_write_them() {
        for (text, numer, denom) in [
            ("440", 440, 1),
            ("− 440,5", -881, 2),
            ("+7", 7, 1),
            (".5", 1, 2),
            ("5.", 5, 1),
            ("-27/11", -27, 11),
            ("27 / 11", 27, 11),
            ("27/-11", -27, 11),
            ("-(27/11)", -27, 11),
            ("(-27)/11", -27, 11),
            ("27:11", 27, 11),
            ("2.5:1", 5, 2),
            ("½", 1, 2),
            ("1 000", 1000, 1),
            ("1\u{202f}234\u{202f}567", 1_234_567, 1),
            ("1'500", 1500, 1),
            ("1,234,567", 1_234_567, 1),
            ("1.234.567", 1_234_567, 1),
            ("1,500.5", 3001, 2),
            ("1.500,5", 3001, 2),
            ("0,125", 1, 8),
            ("1,5000", 3, 2),
            ("１５", 15, 1),
        ] {
            assert_eq!(value(text), Ok(fraction(numer, denom)), "{text}");
        }
    }

    #[test]
    fn what_may_be_two_things_or_nothing_is_not_read() {
        for text in ["1,500", "12,345", "-1,500"] {
            assert_eq!(value(text), Err(COMMA), "{text}");
        }
        for text in ["3 1/13", "2½", "2 7/11", "3 100/113"] {
            assert_eq!(value(text), Err(MIXED), "{text}");
        }
        for text in [
            "",
            "-",
            "about two",
            "1,50,000",
            "1 50",
            "1..5",
            "1,2,3",
            "1.5.25",
            "--5",
            "±5",
            "1e5",
            "27/11/26",
            "02:15",
            "2:05:00",
            "1/0",
            "1 500 00",
            "٣",
        ] {
            assert!(value(text).is_err(), "{text}");
        }
        assert!(value(&"1".repeat(41)).is_err());
        let read = number("1.500").unwrap();
        assert_eq!((read.value, read.other), (fraction(3, 2), Some(fraction(1500, 1))));
    }
}
