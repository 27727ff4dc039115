//! Lists of names: engaged elements, gears that are left.

use std::collections::BTreeSet;

use super::Verdict;
use crate::problem::Misconception;

/// Words around names that name nothing.
const PLAIN: [&str; 22] = [
    "and", "plus", "with", "the", "only", "both", "are", "is", "engaged", "left", "remain",
    "remains", "element", "elements", "brake", "brakes", "clutch", "clutches", "gear", "gears",
    "und", "et",
];

/// What says that there are none.
const NONE: [&str; 8] = ["none", "nothing", "no", "-", "0", "∅", "nil", "keine"];

pub(super) fn names(
    written: &str,
    from: &[String],
    accepted: &[Vec<String>],
    wrong: &[(Vec<String>, Misconception)],
) -> Verdict {
    if is_range(written) {
        return Verdict::Asked("may be a range or two names");
    }
    let Some(found) = names_in(written, from) else {
        return Verdict::Asked("has what is no name of the list");
    };
    let same = |names: &Vec<String>| names.iter().cloned().collect::<BTreeSet<_>>() == found;
    if accepted.iter().any(same) {
        return Verdict::Right;
    }
    Verdict::Wrong(wrong.iter().find(|(names, _)| same(names)).map(|(_, why)| *why))
}

/// `1-3` may be 1 to 3, or 1 and 3.
fn is_range(written: &str) -> bool {
    let plain: Vec<char> = written.chars().filter(|c| !c.is_whitespace()).collect();
    let name = |c: char| c.is_alphanumeric();
    plain.windows(3).any(|three| name(three[0]) && three[1] == '-' && name(three[2]))
}

/// Names with anything between them, or run together where all are one letter; `none` and a
/// dash say that there are none. `None` where one is not among `from`.
fn names_in(written: &str, from: &[String]) -> Option<BTreeSet<String>> {
    let known = |name: &str| from.iter().find(|one| one.eq_ignore_ascii_case(name)).cloned();
    let lower = written.to_lowercase();
    let plain = |word: &&str| !PLAIN.contains(&word.to_lowercase().as_str());
    let words: Vec<&str> = written
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .filter(|word| known(word).is_some() || plain(word))
        .collect();
    let says_none = |text: &str| NONE.contains(&text) && known(text).is_none();
    if says_none(lower.as_str()) || matches!(words[..], [one] if says_none(&one.to_lowercase())) {
        return Some(BTreeSet::new());
    }
    if words.is_empty() {
        return None;
    }
    let apart: Option<BTreeSet<String>> = words.iter().map(|word| known(word)).collect();
    let letters = || words.iter().flat_map(|word| word.chars());
    apart.or_else(|| letters().map(|letter| known(&letter.to_string())).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_read_in_any_order_and_spelling() {
        let from = ["A", "B", "C"].map(str::to_owned);
        let accepted = [vec!["A".to_owned(), "C".to_owned()]];
        let verdict = |written: &str| names(written, &from, &accepted, &[]);
        for written in
            ["A C", "c,a", "AC", "A + C", "A and C", "Brake A, clutch C", "both A & C", "A, C."]
        {
            assert_eq!(verdict(written), Verdict::Right, "{written}");
        }
        assert_eq!(verdict("A B"), Verdict::Wrong(None));
        assert_eq!(verdict("none"), Verdict::Wrong(None));
        for written in ["A X", "A-C", "not B", "?", "A, C or B"] {
            assert!(matches!(verdict(written), Verdict::Asked(_)), "{written}");
        }
    }

    #[test]
    fn gears_are_names_and_none_is_an_answer() {
        let from = ["1", "2", "3", "R"].map(str::to_owned);
        let some = [vec!["1".to_owned(), "2".to_owned(), "R".to_owned()]];
        for written in ["1, 2, R", "1 2 R", "gears 1, 2 and R", "12R", "1,2 r"] {
            assert_eq!(names(written, &from, &some, &[]), Verdict::Right, "{written}");
        }
        for written in ["1-2", "1 – 2".replace('–', "-").as_str(), "1 to 3", "01, 02", "2026"] {
            let verdict = names(written, &from, &some, &[]);
            assert!(matches!(verdict, Verdict::Asked(_)), "{written}");
        }
        for written in ["none", "No gears", "-", "nothing"] {
            assert_eq!(names(written, &from, &[Vec::new()], &[]), Verdict::Right, "{written}");
        }
    }
}
