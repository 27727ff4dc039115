//! The catalogue of words: every string of papers, by language. A language is a folder of
//! files more below `words`, and a line in [`FILES`].
//!
//! Files are in Fluent syntax (projectfluent.org, an open format): messages with places and
//! plurals. Formulas stand between backticks in the notation of [`Maths`].

use fluent_bundle::{FluentArgs, FluentBundle, FluentResource, FluentValue};
use num_bigint::BigInt;
use num_traits::Signed;

use super::maths::{Maths, NotMaths};
use super::veil::{unveiled, veiled};
use crate::error::Error;
use crate::num::Fraction;
use crate::problem::{Arg, Said};

/// Files of each language.
const FILES: [(&str, [&str; 5]); 1] = [(
    "en",
    [
        include_str!("words/en/frame.ftl"),
        include_str!("words/en/items-one-set.ftl"),
        include_str!("words/en/items-layouts.ftl"),
        include_str!("words/en/explain.ftl"),
        include_str!("words/en/study.ftl"),
    ],
)];

/// Marks around what fills a place, until the text is cut into runs: of a formula, of a name, of
/// a value and where it is recorded.
const FORMULA: [char; 2] = ['\u{e000}', '\u{e001}'];
const NAME: [char; 2] = ['\u{e002}', '\u{e003}'];
const TOLD: [char; 2] = ['\u{e004}', '\u{e005}'];
const FROM: char = '\u{e006}';

/// The words of one language.
pub struct Words {
    bundle: FluentBundle<FluentResource>,
    decimal_comma: bool,
}

/// A text with formulas in it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Text(pub Vec<Run>);

/// A piece of a text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Run {
    Plain(String),
    Maths(Maths),
    /// A value, and the JSON pointer to where it is recorded.
    Told(String, String),
}

/// What cannot be said.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Unsaid {
    #[error("the catalogue of words has no phrase \"{0}\"")]
    NoPhrase(String),
    #[error("phrase \"{phrase}\": {problem}")]
    NoPlace { phrase: String, problem: String },
    #[error("phrase \"{phrase}\": {problem}")]
    NoFormula { phrase: String, problem: NotMaths },
}

impl From<Unsaid> for Error {
    fn from(unsaid: Unsaid) -> Self {
        Self::Work(unsaid.to_string())
    }
}

impl Words {
    /// The words of a language.
    ///
    /// # Errors
    /// [`Error::Work`] for a language that is not there and a catalogue that does not read.
    pub fn of(language: &str, decimal_comma: bool) -> Result<Self, Error> {
        let broken = |what: String| Error::Work(format!("words of \"{language}\": {what}"));
        let files = FILES.iter().find(|(name, _)| *name == language);
        let (_, files) = files.ok_or_else(|| broken("there are none".to_owned()))?;
        let id = language.parse().map_err(|_| broken("no such language".to_owned()))?;
        let mut bundle = FluentBundle::new(vec![id]);
        // Papers are for one direction of writing; marks of direction would be in the way.
        bundle.set_use_isolating(false);
        for file in files {
            let resource = FluentResource::try_new((*file).to_owned())
                .map_err(|(_, faults)| broken(format!("{faults:?}")))?;
            bundle.add_resource(resource).map_err(|faults| broken(format!("{faults:?}")))?;
        }
        Ok(Self { bundle, decimal_comma })
    }

    /// A phrase in words, beginning with a capital.
    ///
    /// # Errors
    /// [`Unsaid`] with the phrase, and the place or formula in it.
    pub fn say(&self, said: &Said) -> Result<Text, Unsaid> {
        let marked = capitalised(&self.marked(said)?);
        runs(&marked).map_err(|problem| Unsaid::NoFormula { phrase: said.phrase.clone(), problem })
    }

    /// What stands inside a sentence, such as a unit: a phrase without places, its letters as
    /// the catalogue has them.
    ///
    /// # Errors
    /// As [`Words::say`].
    pub fn inside(&self, phrase: &str) -> Result<String, Unsaid> {
        self.marked(&Said::new(phrase))
    }

    /// A phrase without places, beginning with a capital.
    ///
    /// # Errors
    /// As [`Words::say`].
    pub fn word(&self, phrase: &str) -> Result<Text, Unsaid> {
        self.say(&Said::new(phrase))
    }

    /// The phrase with marks around what fills its places.
    fn marked(&self, said: &Said) -> Result<String, Unsaid> {
        let pattern = self.bundle.get_message(&said.phrase).and_then(|message| message.value());
        let pattern = pattern.ok_or_else(|| Unsaid::NoPhrase(said.phrase.clone()))?;
        let mut args = FluentArgs::new();
        for (place, arg) in &said.args {
            args.set(place.as_str(), self.filling(arg)?);
        }
        let mut faults = Vec::new();
        let text = self.bundle.format_pattern(pattern, Some(&args), &mut faults);
        match faults.first() {
            None => Ok(text.into_owned()),
            Some(fault) => {
                Err(Unsaid::NoPlace { phrase: said.phrase.clone(), problem: fault.to_string() })
            }
        }
    }

    fn filling(&self, arg: &Arg) -> Result<FluentValue<'static>, Unsaid> {
        let between = |[open, close]: [char; 2], text: &str| format!("{open}{text}{close}");
        Ok(match arg {
            Arg::Exact(value) => {
                let text = value.to_string();
                let plain = value.is_integer() && !value.is_negative();
                between(FORMULA, &if plain { text } else { format!("({text})") }).into()
            }
            Arg::Decimal(value, places) => {
                let text = self.decimal(value, *places);
                let text = if text.starts_with('-') { format!("({text})") } else { text };
                between(FORMULA, &text).into()
            }
            Arg::Count(count) => FluentValue::from(*count),
            Arg::Word(word) => FluentValue::from(word.clone()),
            Arg::Name(name) => between(NAME, &veiled(name)).into(),
            Arg::Maths(notation) => between(FORMULA, &self.points(notation)).into(),
            Arg::Said(said) => self.marked(said)?.into(),
            Arg::Told(value, from) => between(TOLD, &format!("{value}{FROM}{from}")).into(),
        })
    }

    /// Rounded half away from zero; zeros at the end stay away where the value ends before.
    fn decimal(&self, value: &Fraction, places: u32) -> String {
        let scale = Fraction::from(BigInt::from(10).pow(places));
        let scaled = (value * &scale).round().to_integer();
        let size = format!("{:0>1$}", scaled.abs().to_string(), places as usize + 1);
        let (whole, decimals) = size.split_at(size.len() - places as usize);
        let decimals = decimals.trim_end_matches('0');
        let sign = if scaled.is_negative() { "-" } else { "" };
        let point = if decimals.is_empty() { "" } else { "." };
        self.points(&format!("{sign}{whole}{point}{decimals}"))
    }

    /// Decimal points as the notation has them: a semicolon for the comma.
    fn points(&self, notation: &str) -> String {
        if self.decimal_comma { notation.replace('.', ";") } else { notation.to_owned() }
    }
}

/// A capital at the beginning, and after the end of a sentence.
fn capitalised(marked: &str) -> String {
    let mut begins = true;
    let mut formula = false;
    let mut out = String::with_capacity(marked.len());
    let mut last = ' ';
    for c in marked.chars() {
        formula ^= c == '`';
        if c == ' ' && ".?!".contains(last) && !formula {
            begins = true;
        }
        if begins && c.is_alphabetic() && !formula {
            out.extend(c.to_uppercase());
        } else {
            out.push(c);
        }
        if !c.is_whitespace() {
            begins = false;
        }
        last = c;
    }
    out
}

/// Cuts a marked text into runs.
fn runs(marked: &str) -> Result<Text, NotMaths> {
    let mut runs: Vec<Run> = Vec::new();
    for (index, piece) in marked.split('`').enumerate() {
        if index % 2 == 1 {
            runs.push(Run::Maths(formula(piece)?));
            continue;
        }
        for (index, piece) in piece.split(FORMULA).enumerate() {
            let number = |c: char| c.is_ascii_digit() || c == '.' || c == ';';
            if index % 2 == 1 && piece.chars().all(number) {
                // A number by itself reads best in the type of the text.
                runs.push(Run::Plain(piece.replace(';', ",")));
            } else if index % 2 == 1 {
                runs.push(Run::Maths(formula(piece)?));
            } else {
                runs.extend(told(piece).map(|run| match run {
                    Run::Plain(text) => Run::Plain(unveiled(&text)),
                    other => other,
                }));
            }
        }
    }
    Ok(Text(runs))
}

/// A piece of plain text, and the values in it that are recorded somewhere.
fn told(piece: &str) -> impl Iterator<Item = Run> {
    let runs = piece.split(TOLD).map(|part| match part.split_once(FROM) {
        Some((value, from)) => Run::Told(value.to_owned(), from.to_owned()),
        None => Run::Plain(part.replace(NAME, "")),
    });
    runs.filter(|run| !matches!(run, Run::Plain(text) if text.is_empty()))
}

/// Reads a formula in whose places numbers, formulas and names stand.
fn formula(piece: &str) -> Result<Maths, NotMaths> {
    let piece: String = told(&piece.replace(FORMULA, "").replace(NAME, "\""))
        .map(|run| match run {
            Run::Told(text, _) | Run::Plain(text) => text,
            Run::Maths(maths) => maths.text(),
        })
        .collect();
    Ok(match Maths::parse(&piece)? {
        // Brackets around all of it were those of a filled place.
        Maths::Group(inner) => *inner,
        other => other,
    })
}

impl Text {
    /// As a line of text, formulas too.
    pub fn plain(&self) -> String {
        let run = |run: &Run| match run {
            Run::Plain(text) | Run::Told(text, _) => text.clone(),
            Run::Maths(maths) => maths.text(),
        };
        self.0.iter().map(run).collect()
    }

    /// A text that is the same in every language.
    pub fn plainly(text: impl Into<String>) -> Self {
        Self(vec![Run::Plain(text.into())])
    }

    /// This, then `other`.
    #[must_use]
    pub fn then(mut self, other: Self) -> Self {
        self.0.extend(other.0);
        self
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::num::fraction;
    use crate::problem::Misconception;

    fn words() -> Words {
        Words::of("en", false).unwrap()
    }

    #[test]
    fn places_are_filled_in_text_and_in_formulas() {
        let said =
            Said::new("ratio-numbers").maths("put", "1 + 66/30").with("ratio", fraction(16, 5));
        let text = words().say(&said).unwrap().plain();
        assert_eq!(text, "With the teeth put in: i = 1 + 66/30 = 16/5.");
        let said = Said::new("planet-put-sun")
            .with("wheel", 24)
            .with("planet", 24)
            .with("speed", fraction(120, 1))
            .with("carrier", fraction(-30, 1))
            .decimal("value", &fraction(-305, 2), 1);
        let text = words().say(&said).unwrap().plain();
        assert_eq!(text, "−(24/24) · (120 − (−30)) = −152.5 in rpm.");
        let comma = Words::of("en", true).unwrap().say(&said).unwrap().plain();
        assert!(comma.contains("−152,5"), "{comma}");
    }

    #[test]
    fn what_cannot_be_said_is_told() {
        let no_phrase = words().say(&Said::new("no-such-phrase")).unwrap_err();
        assert!(no_phrase.to_string().contains("no-such-phrase"));
        let open = words().say(&Said::new("ratio-numbers").with("ratio", 2)).unwrap_err();
        assert!(open.to_string().contains("put"), "{open}");
        let bad = Said::new("ratio-numbers").maths("put", "1 +").with("ratio", 2);
        assert!(matches!(words().say(&bad), Err(Unsaid::NoFormula { .. })));
    }

    #[test]
    fn every_misconception_kind_and_topic_has_its_phrase() {
        for misconception in Misconception::ALL {
            words().word(&format!("misconception-{}", misconception.word())).unwrap();
        }
        for kind in crate::problem::Kind::ALL {
            words().word(&format!("kind-{}", kind.word())).unwrap();
        }
        for topic in crate::problem::Topic::ALL {
            words().word(&format!("topic-{}", topic.word())).unwrap();
        }
    }
}
