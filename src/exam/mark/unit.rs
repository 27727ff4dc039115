//! Units behind numbers: every spelling that a teacher takes, and what another unit of the same
//! kind is of the one that is asked for.

use super::number::{Reading, number};
use crate::num::fraction;
use crate::problem::Unit;

/// A spelling without spaces, points and capitals, and what it is of the unit that is asked for.
type Spelling = (&'static str, i64, i64);

const RPM: [Spelling; 22] = [
    ("revolutionsperminute", 1, 1),
    ("revolutions/minute", 1, 1),
    ("revolutions/min", 1, 1),
    ("revsperminute", 1, 1),
    ("turnsperminute", 1, 1),
    ("turns/min", 1, 1),
    ("revperminute", 1, 1),
    ("rev/minute", 1, 1),
    ("revs/min", 1, 1),
    ("rev/min", 1, 1),
    ("r/min", 1, 1),
    ("u/min", 1, 1),
    ("1/min", 1, 1),
    ("/min", 1, 1),
    ("min^-1", 1, 1),
    ("min^(-1)", 1, 1),
    ("min-1", 1, 1),
    ("min", 1, 1),
    ("rpm", 1, 1),
    ("rps", 60, 1),
    ("rev/s", 60, 1),
    ("1/s", 60, 1),
];

const NEWTON_METRE: [Spelling; 10] = [
    ("newtonmetres", 1, 1),
    ("newtonmeters", 1, 1),
    ("newtonmetre", 1, 1),
    ("newtonmeter", 1, 1),
    ("knm", 1000, 1),
    ("ncm", 1, 100),
    ("nmm", 1, 1000),
    ("n-m", 1, 1),
    ("nxm", 1, 1),
    ("nm", 1, 1),
];

const WATT: [Spelling; 9] = [
    ("kilowatts", 1000, 1),
    ("kilowatt", 1000, 1),
    ("watts", 1, 1),
    ("watt", 1, 1),
    ("nm/s", 1, 1),
    ("j/s", 1, 1),
    ("kw", 1000, 1),
    ("mw", 1, 1000),
    ("w", 1, 1),
];

const PERCENT: [Spelling; 3] = [("percent", 1, 1), ("pct", 1, 1), ("%", 1, 1)];

const MILLIMETRE: [Spelling; 6] = [
    ("millimetres", 1, 1),
    ("millimeters", 1, 1),
    ("millimetre", 1, 1),
    ("mm", 1, 1),
    ("cm", 10, 1),
    ("m", 1000, 1),
];

/// What is counted, where a plain number is asked for.
const COUNTED: [Spelling; 3] = [("planets", 1, 1), ("planet", 1, 1), ("pieces", 1, 1)];

fn spellings(unit: Unit) -> &'static [Spelling] {
    match unit {
        Unit::None => &COUNTED,
        Unit::Rpm => &RPM,
        Unit::NewtonMetre => &NEWTON_METRE,
        Unit::Watt => &WATT,
        Unit::Percent => &PERCENT,
        Unit::Millimetre => &MILLIMETRE,
    }
}

/// A number, normalised, with its unit behind it or without one.
///
/// # Errors
/// Why it is none for certain.
pub(super) fn number_with_unit(text: &str, unit: Unit) -> Result<Reading, &'static str> {
    let plain = number(text);
    if plain.is_ok() || !text.contains(|c: char| c.is_alphabetic() || c == '%') {
        return plain;
    }
    if unit == Unit::Watt && text.trim_end().ends_with("mW") && !text.contains("MW") {
        return behind(text, ("mw", 1, 1000)).unwrap_or(Err("no number of the right unit"));
    }
    let known = spellings(unit).iter().filter(|(name, ..)| *name != "mw");
    let read = known.filter_map(|&spelling| behind(text, spelling)).find(Result::is_ok);
    read.unwrap_or(Err("no number of the right unit"))
}

/// The number before a unit, in the unit that is asked for; `None` where the text does not end
/// with it.
fn behind(text: &str, (name, numer, denom): Spelling) -> Option<Result<Reading, &'static str>> {
    let before = before(text, name)?.trim_end().trim_end_matches(['·', '*', '.']);
    Some(number(before).map(|read| read.times(&fraction(numer, denom))))
}

/// What stands before `name`, which ends the text: capitals, spaces, points and signs of
/// multiplication do not count. `None` where it does not, and where a unit that begins with a
/// digit would take it from a number: `1501/min` is no `150 1/min`.
fn before<'a>(text: &'a str, name: &str) -> Option<&'a str> {
    let skipped = |c: char| c.is_whitespace() || ".·*⋅".contains(c);
    let mut rest = text;
    for wanted in name.chars().rev() {
        rest = rest.trim_end_matches(skipped);
        let last = rest.chars().next_back()?;
        if !last.to_lowercase().eq(std::iter::once(wanted)) {
            return None;
        }
        rest = &rest[..rest.len() - last.len_utf8()];
    }
    let glued = name.starts_with(|c: char| c.is_ascii_digit())
        && rest.ends_with(|c: char| c.is_ascii_digit() || ".,/".contains(c));
    (!glued).then_some(rest)
}

#[cfg(test)]
mod tests {
    use super::super::number::normalised;
    use super::*;
    use crate::num::Fraction;

    fn read(text: &str, unit: Unit) -> Option<Fraction> {
        number_with_unit(&normalised(text), unit).ok().map(|read| read.value)
    }

    #[test]
    fn units_are_read_in_every_spelling_that_a_teacher_takes() {
        for text in [
            "1500",
            "1500 rpm",
            "1500rpm",
            "1500 RPM",
            "1500 r.p.m.",
            "1500 min⁻¹",
            "1500 min-1",
            "1500 min^-1",
            "1500 1/min",
            "1500/min",
            "1500 r/min",
            "1500 rev/min",
            "1500 U/min",
            "1500 revolutions per minute",
            "1 500 min−1",
            "25 rps",
            "25 1/s",
        ] {
            assert_eq!(read(text, Unit::Rpm), Some(fraction(1500, 1)), "{text}");
        }
        assert_eq!(read("1501/min", Unit::Rpm), Some(fraction(1501, 1)));
        assert_eq!(read("− 440,5 rpm", Unit::Rpm), Some(fraction(-881, 2)));
        for text in ["16 Nm", "16 N m", "16 N·m", "16 N*m", "0.016 kN m", "1600 N cm"] {
            assert_eq!(read(text, Unit::NewtonMetre), Some(fraction(16, 1)), "{text}");
        }
        assert_eq!(read("1.5 kW", Unit::Watt), Some(fraction(1500, 1)));
        assert_eq!(read("1500 W", Unit::Watt), Some(fraction(1500, 1)));
        assert_eq!(read("1500 mW", Unit::Watt), Some(fraction(3, 2)));
        assert_eq!(read("98.5 %", Unit::Percent), Some(fraction(197, 2)));
        assert_eq!(read("98.5 per cent", Unit::Percent), Some(fraction(197, 2)));
        assert_eq!(read("8 planets", Unit::None), Some(fraction(8, 1)));
        assert_eq!(read("27/11 rpm", Unit::Rpm), Some(fraction(27, 11)));
    }

    #[test]
    fn another_unit_is_not_guessed() {
        for (text, unit) in [
            ("440 N m", Unit::Rpm),
            ("1500 rad/s", Unit::Rpm),
            ("16 rpm", Unit::NewtonMetre),
            ("1 MW", Unit::Watt),
            ("2 7/11 rpm", Unit::Rpm),
            ("1,500 rpm", Unit::Rpm),
            ("8 rpm", Unit::None),
            ("1500 rpm reversed", Unit::Rpm),
        ] {
            assert_eq!(read(text, unit), None, "{text}");
        }
    }
}
