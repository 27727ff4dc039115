//! Facts as JSON: every value on a page is fetched by a pointer, and says from where.

use serde_json::Value;

use crate::error::Error;
use crate::num::grouped;
use crate::problem::Arg;

/// The facts of a page.
pub struct Facts {
    value: Value,
}

/// A value, and the JSON pointer (RFC 6901) to it.
pub struct Fact<'a> {
    from: String,
    value: &'a Value,
}

impl Facts {
    pub fn new(value: Value) -> Self {
        Self { value }
    }

    /// The fact at a pointer such as `/one_set/sun`.
    ///
    /// # Errors
    /// [`Error::Work`] when there is none.
    pub fn at(&self, pointer: impl Into<String>) -> Result<Fact<'_>, Error> {
        let from = pointer.into();
        let value = self.value.pointer(&from);
        let value = value.ok_or_else(|| Error::Work(format!("no fact at {from}")))?;
        Ok(Fact { from, value })
    }

    /// Whether there is nothing at a pointer.
    pub fn is_null(&self, pointer: &str) -> bool {
        self.value.pointer(pointer).is_none_or(Value::is_null)
    }

    /// How many there are in the list at a pointer.
    pub fn count(&self, pointer: &str) -> usize {
        self.value.pointer(pointer).and_then(Value::as_array).map_or(0, Vec::len)
    }
}

impl Fact<'_> {
    fn told(&self, text: String) -> Arg {
        Arg::Told(text, self.from.clone())
    }

    fn odd(&self, what: &str) -> Error {
        Error::Work(format!("the fact at {} is no {what}", self.from))
    }

    /// Words that the fact bears out, such as "none" for the number zero.
    pub fn borne_out(&self, words: impl Into<String>) -> Arg {
        self.told(words.into())
    }

    /// A whole number, thousands apart.
    pub fn whole(&self) -> Result<Arg, Error> {
        Ok(self.told(grouped(self.count()?)))
    }

    pub fn count(&self) -> Result<u64, Error> {
        self.value.as_u64().ok_or_else(|| self.odd("whole number"))
    }

    pub fn float(&self) -> Result<f64, Error> {
        self.value.as_f64().ok_or_else(|| self.odd("number"))
    }

    pub fn yes(&self) -> Result<bool, Error> {
        self.value.as_bool().ok_or_else(|| self.odd("yes or no"))
    }

    /// With so many decimals, rounded.
    pub fn decimal(&self, places: usize) -> Result<Arg, Error> {
        let text = format!("{:.places$}", self.float()?);
        Ok(self.told(text.replace('-', "−")))
    }

    /// A share as a percentage with so many decimals.
    pub fn percent(&self, places: usize) -> Result<Arg, Error> {
        Ok(self.told(format!("{:.places$} %", 100.0 * self.float()?)))
    }

    /// A text as it stands.
    pub fn text(&self) -> Result<Arg, Error> {
        Ok(self.told(self.plain()?.replace('-', "−")))
    }

    /// A sentence or a name, nothing changed in it.
    pub fn words(&self) -> Result<Arg, Error> {
        Ok(self.told(self.plain()?))
    }

    pub fn plain(&self) -> Result<String, Error> {
        let text = self.value.as_str().map(str::to_owned);
        text.ok_or_else(|| self.odd("text"))
    }
}
