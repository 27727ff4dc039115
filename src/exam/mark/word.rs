//! A word out of a list: itself, its beginning, or another word that the catalogue of the
//! language takes for it.

use super::Verdict;
use crate::problem::Said;

/// The words that a language takes for a phrase too, with commas between: the phrase of this
/// name, where there is one.
fn also(said: &Said) -> Said {
    Said::new(&format!("also-{}", said.phrase))
}

pub(super) fn word(
    written: &str,
    of: &[Said],
    right: usize,
    say: &dyn Fn(&Said) -> String,
) -> Verdict {
    let plain = |text: &str| -> String {
        let text = text.to_lowercase();
        let letters = text.chars().map(|c| if c.is_alphanumeric() { c } else { ' ' });
        letters.collect::<String>().split_whitespace().collect::<Vec<_>>().join(" ")
    };
    // A sign alone has no letters.
    let wanted = match plain(written) {
        letters if letters.is_empty() => written.trim().to_owned(),
        letters => letters,
    };
    let same = |said: &Said| {
        let others = say(&also(said));
        others.split(',').any(|other| other.trim() == wanted || plain(other) == wanted)
    };
    let begins = |said: &Said| plain(&say(said)).starts_with(&wanted);
    let places = |test: &dyn Fn(&Said) -> bool| -> Vec<usize> {
        (0..of.len()).filter(|&index| test(&of[index])).collect()
    };
    let exact = places(&same);
    let found = if exact.is_empty() { places(&begins) } else { exact };
    match found[..] {
        [index] if index == right => Verdict::Right,
        [_] => Verdict::Wrong(None),
        _ => Verdict::Asked("no word of the list"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_word_its_beginning_and_what_the_language_takes_for_it_are_read() {
        let of = ["sense-same", "sense-reversed"].map(Said::new);
        let say = |said: &Said| {
            match said.phrase.as_str() {
                "sense-same" => "same",
                "sense-reversed" => "reversed",
                "also-sense-reversed" => "reverse, opposite, -",
                _ => "",
            }
            .to_owned()
        };
        for written in ["reversed", "Reverse", "opposite", "rev", "-", "REVERSED."] {
            assert_eq!(word(written, &of, 1, &say), Verdict::Right, "{written}");
            assert_eq!(word(written, &of, 0, &say), Verdict::Wrong(None), "{written}");
        }
        for written in ["x", "same or reversed", "?"] {
            assert!(matches!(word(written, &of, 0, &say), Verdict::Asked(_)), "{written}");
        }
    }
}
