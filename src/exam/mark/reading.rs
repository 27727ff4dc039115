//! What students write, read as generously as its meaning allows.

use std::collections::BTreeSet;

use num_traits::Signed;

use super::Verdict;
use crate::exam::sitting::Place;
use crate::num::{Fraction, fraction, parse_fraction};
use crate::problem::{Answer, Cell, Choice, Misconception, Said, SignRule, Unit, WrongNumber};

/// Most characters of an answer that is read: a longer one is no number, name or letter.
const LONGEST_ANSWER: usize = 1000;

/// How `written` stands at a place.
pub(super) fn verdict(place: &Place<'_>, written: &str, say: &dyn Fn(&Said) -> String) -> Verdict {
    let answer = &place.of.answer;
    if !answer.is_marked_by_machine() {
        return Verdict::ByHand;
    }
    if written.chars().nth(LONGEST_ANSWER).is_some() {
        return Verdict::Unread("longer than 1000 characters");
    }
    // An empty cell to tick is an answer: not ticked.
    if let Some((_, Cell::Tick(right))) = place.cell {
        return tick(written, *right);
    }
    // "i = 27/11" says 27/11.
    let written = written.rsplit('=').next().unwrap_or_default().trim();
    if written.is_empty() {
        return Verdict::Empty;
    }
    match (answer, place.cell) {
        (_, Some((_, cell))) => cell_verdict(cell, written, say),
        (Answer::Number { exact, unit, tolerance, sign, wrong, .. }, _) => {
            let near = |a: &Fraction, b: &Fraction| sized(a, *sign, b) <= *tolerance;
            let Some(value) = number_with_unit(written, *unit) else {
                return Verdict::Unread("no number of the right unit");
            };
            numeric(&value, exact, wrong, near)
        }
        (Answer::Fraction { exact, sign, wrong }, _) => {
            let Some(value) = number(written) else { return Verdict::Unread("no number") };
            let same = |a: &Fraction, b: &Fraction| sized(a, *sign, b) == fraction(0, 1);
            numeric(&value, exact, wrong, same)
        }
        (Answer::Choice { options, right }, _) => chosen(written, options, *right),
        (Answer::Names { from, accepted, wrong }, _) => names(written, from, accepted, wrong),
        (Answer::Teeth { accepted }, _) => teeth(written, accepted),
        (Answer::Table { .. } | Answer::Drawing { .. } | Answer::Written { .. }, _) => {
            Verdict::ByHand
        }
    }
}

/// How far `a` is off `b`, sizes only where the sign does not count.
fn sized(a: &Fraction, sign: SignRule, b: &Fraction) -> Fraction {
    match sign {
        SignRule::Counts => (a - b).abs(),
        SignRule::Ignored => (a.abs() - b.abs()).abs(),
    }
}

fn numeric(
    value: &Fraction,
    exact: &Fraction,
    wrong: &[WrongNumber],
    near: impl Fn(&Fraction, &Fraction) -> bool,
) -> Verdict {
    if near(value, exact) {
        return Verdict::Right;
    }
    let known = wrong.iter().find(|wrong| near(value, &wrong.value));
    Verdict::Wrong(known.map(|wrong| wrong.misconception))
}

/// A number as people write it: point or comma, a true minus or a hyphen, a fraction. A mixed
/// number such as `2 7/11` is not read, rather than taken for 27/11.
fn number(text: &str) -> Option<Fraction> {
    if is_mixed(text) {
        return None;
    }
    let plain: String = text
        .chars()
        .filter(|c| !c.is_whitespace())
        .map(|c| match c {
            '−' | '–' => '-',
            ',' => '.',
            '⁄' | ':' => '/',
            other => other,
        })
        .collect();
    parse_fraction(plain.strip_prefix('+').unwrap_or(&plain))
}

/// Digits, a gap, more digits, and a fraction bar behind them.
fn is_mixed(text: &str) -> bool {
    let Some(bar) = text.find(['/', '⁄', ':']) else { return false };
    let above = text[..bar].trim_start_matches(|c: char| !c.is_ascii_digit());
    above.split_whitespace().nth(1).is_some()
}

/// A number with its unit behind it or without one; a unit of the same kind is converted.
fn number_with_unit(text: &str, unit: Unit) -> Option<Fraction> {
    let ends = |c: char| c.is_ascii_digit();
    let end = text.rfind(ends)? + 1;
    // The digits of "min-1" belong to the unit.
    let (digits, behind) = match text.find("min") {
        Some(at) => text.split_at(at),
        None => text.split_at(end),
    };
    let behind = behind.trim().to_lowercase().replace(['.', '·', '*', ' '], "");
    // "1/min" leaves its "1/" with the digits.
    let digits = digits.trim().trim_end_matches("1/").trim_end_matches("U/").trim();
    let factor = factor(&behind, unit)?;
    Some(number(digits)? * factor)
}

/// What a written unit is of the unit that is asked for; `None` for one of another kind.
fn factor(written: &str, unit: Unit) -> Option<Fraction> {
    let names: &[(&str, i64, i64)] = match unit {
        Unit::None => &[],
        Unit::Rpm => {
            &[("rpm", 1, 1), ("min", 1, 1), ("min-1", 1, 1), ("min^-1", 1, 1), ("r/min", 1, 1)]
        }
        Unit::NewtonMetre => &[("nm", 1, 1), ("knm", 1000, 1), ("ncm", 1, 100)],
        Unit::Watt => &[("w", 1, 1), ("kw", 1000, 1)],
        Unit::Percent => &[("%", 1, 1), ("percent", 1, 1)],
        Unit::Millimetre => &[("mm", 1, 1), ("cm", 10, 1), ("m", 1000, 1)],
    };
    if written.is_empty() {
        return Some(fraction(1, 1));
    }
    let found = names.iter().find(|(name, ..)| *name == written)?;
    Some(fraction(found.1, found.2))
}

/// One letter, as the options are lettered.
fn chosen(written: &str, options: &[Choice], right: usize) -> Verdict {
    let letter = written.trim_matches(|c: char| !c.is_ascii_alphanumeric()).to_ascii_uppercase();
    let index = match letter.as_bytes() {
        [letter] if letter.is_ascii_uppercase() => usize::from(letter - b'A'),
        _ => return Verdict::Unread("no letter"),
    };
    match options.get(index) {
        _ if index == right => Verdict::Right,
        Some(option) => Verdict::Wrong(option.misconception),
        None => Verdict::Unread("no such letter"),
    }
}

fn names(
    written: &str,
    from: &[String],
    accepted: &[Vec<String>],
    wrong: &[(Vec<String>, Misconception)],
) -> Verdict {
    let Some(found) = names_in(written, from) else { return Verdict::Unread("no such name") };
    let same = |names: &Vec<String>| names.iter().cloned().collect::<BTreeSet<_>>() == found;
    if accepted.iter().any(same) {
        return Verdict::Right;
    }
    Verdict::Wrong(wrong.iter().find(|(names, _)| same(names)).map(|(_, why)| *why))
}

/// Names with anything between them, or run together where all are one letter; `none` and a
/// dash say that there are none. `None` where one is not among `from`.
fn names_in(written: &str, from: &[String]) -> Option<BTreeSet<String>> {
    if ["none", "-", "–", "0"].contains(&written.to_lowercase().as_str()) {
        return Some(BTreeSet::new());
    }
    let known = |name: &str| from.iter().find(|one| one.eq_ignore_ascii_case(name)).cloned();
    let words: Vec<&str> =
        written.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty()).collect();
    let apart: Option<BTreeSet<String>> = words.iter().map(|word| known(word)).collect();
    let letters = || written.chars().filter(|c| c.is_alphanumeric());
    apart.or_else(|| letters().map(|letter| known(&letter.to_string())).collect())
}

/// Sun, planet, ring, and the number of planets where it is written.
fn teeth(written: &str, accepted: &[[u32; 4]]) -> Verdict {
    let digits = written.split(|c: char| !c.is_ascii_digit()).filter(|digits| !digits.is_empty());
    let numbers: Option<Vec<u32>> = digits.map(|number| number.parse().ok()).collect();
    let Some(numbers) = numbers.filter(|numbers| (3..=4).contains(&numbers.len())) else {
        return Verdict::Unread("not sun/planet/ring");
    };
    let right = accepted.iter().any(|one| one[..numbers.len()] == numbers[..]);
    if right { Verdict::Right } else { Verdict::Wrong(None) }
}

fn cell_verdict(cell: &Cell, written: &str, say: &dyn Fn(&Said) -> String) -> Verdict {
    match cell {
        Cell::Number { exact, places } => {
            let Some(value) = number(written) else { return Verdict::Unread("no number") };
            let near = match places {
                Some(places) => crate::exam::clean::last_place(*places),
                None => fraction(0, 1),
            };
            let right = (value - exact).abs() <= near;
            if right { Verdict::Right } else { Verdict::Wrong(None) }
        }
        Cell::Word { of, right } => word(written, of, *right, say),
        Cell::Tick(right) => tick(written, *right),
        Cell::Given(_) => Verdict::ByHand,
    }
}

/// A word of a list, or its beginning where no other begins so; its number in the list too.
fn word(written: &str, of: &[Said], right: usize, say: &dyn Fn(&Said) -> String) -> Verdict {
    let written = written.to_lowercase();
    let begins = |said: &Said| say(said).to_lowercase().starts_with(&written);
    let found: Vec<usize> =
        of.iter().enumerate().filter(|(_, said)| begins(said)).map(|(index, _)| index).collect();
    match found[..] {
        [index] if index == right => Verdict::Right,
        [_] => Verdict::Wrong(None),
        _ => Verdict::Unread("no word of the list"),
    }
}

fn tick(written: &str, right: bool) -> Verdict {
    let ticked = match written.to_lowercase().as_str() {
        "" | "0" | "no" | "n" | "false" | "-" | "–" => false,
        "1" | "x" | "yes" | "y" | "true" | "✓" | "✗" | "•" => true,
        _ => return Verdict::Unread("neither x nor empty"),
    };
    if ticked == right {
        Verdict::Right
    } else {
        Verdict::Wrong(Some(Misconception::IdleForEngaged))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_read_as_people_write_them() {
        let read = |text: &str, unit| number_with_unit(text, unit);
        assert_eq!(read("440", Unit::Rpm), Some(fraction(440, 1)));
        assert_eq!(read("− 440,5 rpm", Unit::Rpm), Some(fraction(-881, 2)));
        assert_eq!(read("440 min-1", Unit::Rpm), Some(fraction(440, 1)));
        assert_eq!(read("440 1/min", Unit::Rpm), Some(fraction(440, 1)));
        assert_eq!(read("440 N m", Unit::Rpm), None);
        assert_eq!(read("1.5 kW", Unit::Watt), Some(fraction(1500, 1)));
        assert_eq!(read("16 N·m", Unit::NewtonMetre), Some(fraction(16, 1)));
        assert_eq!(number("-27/11"), Some(fraction(-27, 11)));
        assert_eq!(number("about two"), None);
        assert_eq!(number("27 / 11"), Some(fraction(27, 11)));
        assert_eq!(number("1 000"), Some(fraction(1000, 1)));
        assert_eq!(number("2 7/11"), None);
        assert_eq!(read("− 2 7/11 rpm", Unit::Rpm), None);
    }

    #[test]
    fn names_are_read_in_any_order_and_spelling() {
        let from = ["A", "B", "C"].map(str::to_owned);
        let accepted = [vec!["A".to_owned(), "C".to_owned()]];
        for written in ["A C", "c,a", "AC", "A + C", "A and C"] {
            let verdict = names(&written.replace("and", "&"), &from, &accepted, &[]);
            assert_eq!(verdict, Verdict::Right, "{written}");
        }
        assert_eq!(names("A B", &from, &accepted, &[]), Verdict::Wrong(None));
        assert_eq!(names("A X", &from, &accepted, &[]), Verdict::Unread("no such name"));
    }

    #[test]
    fn teeth_are_three_numbers_or_four() {
        let accepted = [[24, 24, 72, 3]];
        assert_eq!(teeth("24/24/72", &accepted), Verdict::Right);
        assert_eq!(teeth("S 24, P 24, R 72, N = 3", &accepted), Verdict::Right);
        assert_eq!(teeth("24/24/72 × 4", &accepted), Verdict::Wrong(None));
        assert_eq!(teeth("24/72", &accepted), Verdict::Unread("not sun/planet/ring"));
        let huge = teeth("24/24/72/99999999999", &accepted);
        assert_eq!(huge, Verdict::Unread("not sun/planet/ring"));
    }
}
