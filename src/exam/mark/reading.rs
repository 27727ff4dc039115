//! What students write, read as generously as its meaning allows. What is not understood, and
//! what may be two things, waits for a person: it is never wrong in silence.

use num_traits::{Signed as _, Zero as _};

use super::names::names;
use super::number::{Form, Reading, normalised};
use super::spreadsheet::{suspicion, suspicion_of_list};
use super::teeth::teeth;
use super::unit::number_with_unit;
use super::{Verdict, word};
use crate::exam::clean::last_place;
use crate::exam::sitting::Place;
use crate::num::{Fraction, fraction};
use crate::problem::{Answer, Cell, Choice, Misconception, Said, SignRule, Unit, WrongNumber};

/// Most characters of an answer that is read: a longer one is no number, name or letter.
const LONGEST_ANSWER: usize = 1000;

/// Whole numbers from here may be the days since 1900 by which spreadsheets count dates: 1982.
const FIRST_DAY: i64 = 30_000;

/// How `written` stands at a place.
pub(super) fn verdict(place: &Place<'_>, written: &str, say: &dyn Fn(&Said) -> String) -> Verdict {
    let answer = &place.of.answer;
    if !answer.is_marked_by_machine() {
        return Verdict::ByHand;
    }
    if written.chars().nth(LONGEST_ANSWER).is_some() {
        return Verdict::Asked("longer than 1000 characters");
    }
    let written = normalised(written);
    if written.is_empty() {
        return Verdict::Empty;
    }
    if let Answer::Teeth { accepted } = answer {
        return suspicion_of_list(&written)
            .map_or_else(|| teeth(&written, accepted), Verdict::Asked);
    }
    if let Some(why) = suspicion(&written) {
        return Verdict::Asked(why);
    }
    match (answer, place.cell) {
        (_, Some((_, cell))) => cell_verdict(cell, &written, say),
        (Answer::Number { .. } | Answer::Fraction { .. }, _) => {
            Wanted::of(answer).map_or(Verdict::ByHand, |wanted| wanted.verdict(&written))
        }
        (Answer::Choice { options, right }, _) => chosen(&written, options, *right),
        (Answer::Names { from, accepted, wrong }, _) => {
            names(behind_equals(&written), from, accepted, wrong)
        }
        _ => Verdict::ByHand,
    }
}

/// What comes behind the last `=`: "left = 1, 2" says 1, 2.
fn behind_equals(written: &str) -> &str {
    written.rsplit('=').next().unwrap_or_default().trim()
}

/// A number that is asked for.
struct Wanted<'a> {
    exact: &'a Fraction,
    unit: Unit,
    tolerance: Fraction,
    sign: SignRule,
    /// Whether a fraction in lowest terms is demanded.
    lowest: bool,
    wrong: &'a [WrongNumber],
}

impl<'a> Wanted<'a> {
    fn of(answer: &'a Answer) -> Option<Self> {
        Some(match answer {
            Answer::Number { exact, unit, tolerance, sign, wrong, .. } => Self {
                exact,
                unit: *unit,
                tolerance: tolerance.clone(),
                sign: *sign,
                lowest: false,
                wrong,
            },
            Answer::Fraction { exact, sign, wrong } => Self {
                exact,
                unit: Unit::None,
                tolerance: Fraction::zero(),
                sign: *sign,
                lowest: true,
                wrong,
            },
            _ => return None,
        })
    }

    /// Of one number, or of several with `=` between them that say the same.
    fn verdict(&self, written: &str) -> Verdict {
        if written.contains(';') {
            return Verdict::Asked("several answers");
        }
        let sides: Vec<&str> = written
            .split(['=', '≈', '~', '≅'])
            .map(about)
            .filter(|side| !side.is_empty())
            .collect();
        let Some(last) = sides.last() else { return Verdict::Asked("no number") };
        let last = match number_with_unit(last, self.unit) {
            Ok(read) => read,
            Err(why) => return Verdict::Asked(why),
        };
        // What is no number before the last is a name or a working: `n_2`, `72/24 + 1`.
        let before = sides[..sides.len() - 1].iter();
        let mut all: Vec<Reading> =
            before.filter_map(|side| number_with_unit(side, self.unit).ok()).collect();
        all.push(last);
        self.agreed(&all)
    }

    fn agreed(&self, all: &[Reading]) -> Verdict {
        let verdicts: Vec<Verdict> = all.iter().map(|read| self.one(read)).collect();
        if verdicts.iter().all(|verdict| *verdict == verdicts[0]) {
            return verdicts[0];
        }
        let fits = |(read, verdict): (&Reading, &Verdict)| {
            *verdict == Verdict::Right || read.is_near(self.exact)
        };
        let right = verdicts.contains(&Verdict::Right);
        if right && all.iter().zip(&verdicts).all(fits) {
            return Verdict::Right;
        }
        Verdict::Asked("several numbers that do not say the same")
    }

    fn one(&self, read: &Reading) -> Verdict {
        let verdict = self.value(&read.value, read);
        let other = read.other.as_ref().map(|other| self.value(other, read));
        if verdict != Verdict::Right && other == Some(Verdict::Right) {
            return Verdict::Asked("the point may part thousands or decimals");
        }
        let share = || self.value(&(&read.value * fraction(100, 1)), read) == Verdict::Right;
        if self.unit == Unit::Percent && matches!(verdict, Verdict::Wrong(_)) && share() {
            return Verdict::Asked("may be a share where percent are asked for");
        }
        verdict
    }

    fn value(&self, value: &Fraction, read: &Reading) -> Verdict {
        if self.lowest
            && let Some(why) = self.not_lowest(value, read)
        {
            return Verdict::Asked(why);
        }
        let near = |one: &Fraction| self.off(value, one) <= self.tolerance;
        if near(self.exact) {
            return Verdict::Right;
        }
        let known = self.wrong.iter().find(|wrong| near(&wrong.value));
        Verdict::Wrong(known.map(|wrong| wrong.misconception))
    }

    /// How far two numbers are apart, sizes only where the sign does not count.
    fn off(&self, a: &Fraction, b: &Fraction) -> Fraction {
        match self.sign {
            SignRule::Counts => (a - b).abs(),
            SignRule::Ignored => (a.abs() - b.abs()).abs(),
        }
    }

    /// Why a number that may well be the right one is no fraction in lowest terms.
    fn not_lowest(&self, value: &Fraction, read: &Reading) -> Option<&'static str> {
        let right = self.off(value, self.exact).is_zero();
        match read.form {
            Form::Quotient { lowest: false } if right => {
                Some("the right value, but not in lowest terms")
            }
            // A spreadsheet makes 0.75 of 3/4, and a day of it.
            Form::Decimal(_) if !self.exact.is_integer() && read.is_near(self.exact) => {
                Some("a decimal where a fraction is asked for, which a spreadsheet may have made")
            }
            Form::Whole if !self.exact.is_integer() && *value >= fraction(FIRST_DAY, 1) => {
                Some("may be a day that a spreadsheet made of a fraction")
            }
            _ => None,
        }
    }
}

/// Without a word that says about.
fn about(side: &str) -> &str {
    let side = side.trim();
    let lower = side.to_ascii_lowercase();
    let word = ["approximately", "approx.", "approx", "about", "ca.", "ca", "c."]
        .into_iter()
        .find(|word| lower.strip_prefix(word).is_some_and(|rest| rest.starts_with([' ', '-'])));
    word.map_or(side, |word| side[word.len()..].trim())
}

/// One letter, as the options are lettered.
fn chosen(written: &str, options: &[Choice], right: usize) -> Verdict {
    let letter = behind_equals(written).trim_matches(|c: char| !c.is_alphanumeric());
    let index = match letter.to_ascii_uppercase().as_bytes() {
        [letter] if letter.is_ascii_uppercase() => usize::from(letter - b'A'),
        _ => return Verdict::Asked("not one letter"),
    };
    match options.get(index) {
        _ if index == right => Verdict::Right,
        Some(option) => Verdict::Wrong(option.misconception),
        None => Verdict::Asked("no such letter"),
    }
}

fn cell_verdict(cell: &Cell, written: &str, say: &dyn Fn(&Said) -> String) -> Verdict {
    match cell {
        Cell::Number { exact, places } => {
            let tolerance = places.map_or_else(Fraction::zero, last_place);
            let (unit, sign, wrong) = (Unit::None, SignRule::Counts, &[][..]);
            Wanted { exact, unit, tolerance, sign, lowest: places.is_none(), wrong }
                .verdict(written)
        }
        Cell::Word { of, right } => word::word(written, of, *right, say),
        Cell::Tick(right) => tick(written, *right),
        Cell::Given(_) => Verdict::ByHand,
    }
}

fn tick(written: &str, right: bool) -> Verdict {
    let ticked = match written.to_lowercase().as_str() {
        "0" | "no" | "n" | "false" | "-" | "none" | "nil" => false,
        "1" | "x" | "yes" | "y" | "true" | "✓" | "✔" | "☑" | "•" | "*" => true,
        _ => return Verdict::Asked("neither a tick nor a dash"),
    };
    if ticked == right {
        Verdict::Right
    } else {
        Verdict::Wrong(Some(Misconception::IdleForEngaged))
    }
}

/// An empty cell to tick in a row that has a mark.
pub(super) fn unticked(right: bool) -> Verdict {
    tick("-", right)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::problem::{Part, Step};

    fn part(answer: Answer) -> Part {
        Part {
            ask: Said::new("ask"),
            answer,
            steps: vec![Step { said: Said::new("s"), points: 2 }],
        }
    }

    /// The verdict as a student meets it: through the place, from the raw cell.
    fn at(answer: &Answer, written: &str) -> Verdict {
        let of = part(answer.clone());
        verdict(&Place { item: 0, part: 0, cell: None, of: &of }, written, &|said| {
            said.phrase.clone()
        })
    }

    fn rpm(exact: Fraction) -> Answer {
        let wrong =
            vec![WrongNumber { value: -exact.clone(), misconception: Misconception::LostSign }];
        let tolerance = fraction(1, 10);
        let (unit, sign) = (Unit::Rpm, SignRule::Counts);
        Answer::Number { exact, unit, places: 1, tolerance, sign, wrong }
    }

    const LOST: Verdict = Verdict::Wrong(Some(Misconception::LostSign));

    fn is_asked(verdict: Verdict) -> bool {
        matches!(verdict, Verdict::Asked(_))
    }

    #[test]
    fn answers_that_any_teacher_takes_are_right() {
        let speed = rpm(fraction(1500, 1));
        for written in [
            "1500",
            "1500 rpm",
            "1500 min⁻¹",
            "1500 r/min",
            "1500 rev/min",
            "n = 1500",
            "≈1500",
            "n_2 = 3000/2 = 1500",
            "~ 1500.05",
            "about 1500",
            "1 500",
            "1500,0",
            "n ≈ 1500 1/min",
            "72/24 + 1 = 1500",
            "1,500.0",
        ] {
            assert_eq!(at(&speed, written), Verdict::Right, "{written}");
        }
        assert_eq!(at(&rpm(fraction(99, 2)), "≈49.5"), Verdict::Right);
        assert_eq!(at(&speed, "-1500"), LOST);
        assert_eq!(at(&speed, "1499"), Verdict::Wrong(None));
        assert_eq!(at(&speed, " "), Verdict::Empty);
    }

    #[test]
    fn what_is_not_understood_waits_for_a_person() {
        let speed = rpm(fraction(1500, 1));
        for written in [
            "1,500",
            "1.500",
            "1500 rad/s",
            "1500 rpm reversed",
            "3 1/13",
            "1500; 200",
            "n = 1500 = 1600",
            "n = 27 = x",
            "fifteen hundred",
            "2026-04-03",
            "#VALUE!",
            "1.5e3",
            "1500?",
        ] {
            assert!(is_asked(at(&speed, written)), "{written}");
        }
        // Right as a decimal, and as thousands not.
        assert_eq!(at(&rpm(fraction(3, 2)), "1.500"), Verdict::Right);
    }

    #[test]
    fn fractions_are_in_lowest_terms_or_asked_back() {
        let wrong =
            vec![WrongNumber { value: fraction(-3, 4), misconception: Misconception::LostSign }];
        let ratio = Answer::Fraction { exact: fraction(3, 4), sign: SignRule::Counts, wrong };
        for written in ["3/4", "i = 3/4", "3:4", "¾", "i = 48/64 = 3/4", "3/4 = 0.75"] {
            let verdict = at(&ratio, written);
            let right = verdict == Verdict::Right;
            // A chain that is not in lowest terms on the way is for a person, not wrong.
            assert!(right || written.contains("48") && is_asked(verdict), "{written}: {verdict:?}");
        }
        for written in
            ["0.75", "0,75", "0.7", "6/8", "46115", "2026-04-03", "04/03", "3-Apr", "1 3/4"]
        {
            assert!(is_asked(at(&ratio, written)), "{written}: {:?}", at(&ratio, written));
        }
        assert_eq!(at(&ratio, "-3/4"), LOST);
        assert_eq!(at(&ratio, "-0.75"), LOST);
        assert_eq!(at(&ratio, "4/3"), Verdict::Wrong(None));
        assert_eq!(at(&ratio, "2.5"), Verdict::Wrong(None));
        let whole =
            Answer::Fraction { exact: fraction(4, 1), sign: SignRule::Counts, wrong: vec![] };
        for written in ["4", "4.0", "4/1"] {
            assert_eq!(at(&whole, written), Verdict::Right, "{written}");
        }
    }

    #[test]
    fn shares_are_asked_where_percent_are() {
        let (exact, tolerance) = (fraction(197, 2), fraction(1, 50));
        let (unit, sign) = (Unit::Percent, SignRule::Counts);
        let eta = Answer::Number { exact, unit, places: 2, tolerance, sign, wrong: vec![] };
        assert_eq!(at(&eta, "98.5 %"), Verdict::Right);
        assert_eq!(at(&eta, "98,50"), Verdict::Right);
        assert!(is_asked(at(&eta, "0.985")));
        assert_eq!(at(&eta, "97"), Verdict::Wrong(None));
    }

    #[test]
    fn teeth_and_letters_are_read_from_the_raw_cell() {
        let teeth = Answer::Teeth { accepted: vec![[26, 20, 66, 5]] };
        for written in ["S26, P20, R66, N=5", "S=26 P=20 R=66", "26/20/66", "R=66, P=20, S=26"] {
            assert_eq!(at(&teeth, written), Verdict::Right, "{written}");
        }
        assert!(is_asked(at(&teeth, "26/66")));
        assert!(is_asked(at(&teeth, "2066-12-26")));
        let choice = |misconception| Choice { said: Said::new("o"), misconception };
        let options = vec![choice(Some(Misconception::LostSign)), choice(None)];
        let choice = Answer::Choice { options, right: 1 };
        for written in ["B", "b", "(B)", "b)", "B."] {
            assert_eq!(at(&choice, written), Verdict::Right, "{written}");
        }
        assert_eq!(at(&choice, "A"), LOST);
        for written in ["A or B", "E", "2", "AB", "?"] {
            assert!(is_asked(at(&choice, written)), "{written}");
        }
    }

    #[test]
    fn ticks_are_ticks_and_a_cross_may_be_either() {
        for (written, ticked) in [("x", true), ("TRUE", true), ("-", false), ("no", false)] {
            assert_eq!(tick(written, ticked), Verdict::Right, "{written}");
            assert!(matches!(tick(written, !ticked), Verdict::Wrong(_)), "{written}");
        }
        assert!(is_asked(tick("✗", true)) && is_asked(tick("maybe", false)));
    }
}
