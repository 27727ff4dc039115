//! What is said, in no language: the name of a phrase and what fills its places.

use serde::{Deserialize, Serialize};

use crate::num::{Fraction, parse_fraction};

/// A phrase of the catalogue of words with its places filled.
///
/// Serialises as `{"phrase": "ratio-ask", "args": {"held": {"phrase": …}, …}}`.
#[derive(Clone, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Said {
    /// Its name in the catalogue: small letters and hyphens.
    pub phrase: String,
    /// Place and filling, in the order in which they were given.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub args: Vec<(String, Arg)>,
}

/// What fills a place of a phrase.
#[derive(Clone, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Arg {
    /// An exact number, written as a fraction in lowest terms, or whole.
    Exact(#[serde(with = "exact")] Fraction),
    /// An exact number, written with this many decimals (rounded half away from zero).
    Decimal(#[serde(with = "exact")] Fraction, u32),
    /// How many of something: a phrase may choose its plural by it.
    Count(u32),
    /// A name that is the same in every language, such as `S1`, `A` or a shaft's name.
    Name(String),
    /// A formula in the small notation of `paper`, such as `omega_S1 - omega_C1 = 0`.
    Maths(String),
    /// Another phrase.
    Said(Said),
    /// A word by which a phrase chooses what it says; it is not written.
    Word(String),
    /// A value as it is written, and where it is recorded: a JSON pointer (RFC 6901).
    Told(String, String),
}

impl Said {
    pub fn new(phrase: &str) -> Self {
        Self { phrase: phrase.to_owned(), args: Vec::new() }
    }

    /// The same with one more place filled.
    #[must_use]
    pub fn with(mut self, place: &str, arg: impl Into<Arg>) -> Self {
        self.args.push((place.to_owned(), arg.into()));
        self
    }

    /// With a number in decimals.
    #[must_use]
    pub fn decimal(self, place: &str, value: &Fraction, places: u32) -> Self {
        self.with(place, Arg::Decimal(value.clone(), places))
    }

    /// With a formula in the small notation.
    #[must_use]
    pub fn maths(self, place: &str, notation: impl Into<String>) -> Self {
        self.with(place, Arg::Maths(notation.into()))
    }

    /// With a name that no language changes.
    #[must_use]
    pub fn name(self, place: &str, name: impl Into<String>) -> Self {
        self.with(place, Arg::Name(name.into()))
    }

    /// With a number of things.
    #[must_use]
    pub fn count(self, place: &str, count: u32) -> Self {
        self.with(place, Arg::Count(count))
    }
}

impl From<Fraction> for Arg {
    fn from(value: Fraction) -> Self {
        Self::Exact(value)
    }
}

impl From<&Fraction> for Arg {
    fn from(value: &Fraction) -> Self {
        Self::Exact(value.clone())
    }
}

impl From<u32> for Arg {
    fn from(value: u32) -> Self {
        Self::Exact(Fraction::from(num_bigint::BigInt::from(value)))
    }
}

impl From<Said> for Arg {
    fn from(said: Said) -> Self {
        Self::Said(said)
    }
}

/// Exact fractions as texts `"p/q"` or `"p"`.
pub(super) mod exact {
    use serde::{Deserialize, Deserializer, Serializer, de::Error};

    use super::{Fraction, parse_fraction};

    pub fn serialize<S: Serializer>(value: &Fraction, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(value)
    }

    pub fn deserialize<'de, D: Deserializer<'de>>(from: D) -> Result<Fraction, D::Error> {
        let text = String::deserialize(from)?;
        parse_fraction(&text).ok_or_else(|| D::Error::custom(format!("{text:?} is no fraction")))
    }
}
