//! The judgements that every table of a brief needs: is it there, is it in range, are
//! the two ends of a window the right way round.

use std::fmt::Display;

use super::dialect::{Dialect, nearest};
use crate::error::Mistake;

/// What a window may reach.
#[derive(Clone, Copy)]
pub(super) struct Reach {
    pub least: f64,
    pub most: f64,
    /// Whether the upper end may be `inf`.
    pub open: Open,
}

#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Open {
    Never,
    Above,
}

impl Dialect {
    /// A wrong value at a known key; the mend stands in the table of keys.
    pub fn wrong(&self, key: &str, problem: impl Into<String>) -> Mistake {
        Mistake::at(key, problem, self.right(key))
    }

    /// The value of a key that has no default.
    pub fn required<'a, T>(&self, key: &str, value: &'a Option<T>) -> Result<&'a T, Mistake> {
        value.as_ref().ok_or_else(|| self.wrong(key, "is missing"))
    }

    /// A whole number within `ends`, both included.
    pub fn whole(&self, key: &str, value: i64, ends: (u32, u32)) -> Result<u32, Mistake> {
        let fitting = u32::try_from(value).ok().filter(|value| (ends.0..=ends.1).contains(value));
        fitting.ok_or_else(|| self.wrong(key, format!("is {value}")))
    }

    /// Whole numbers within `ends`: sorted, each once, at least one.
    pub fn wholes(&self, key: &str, values: &[i64], ends: (u32, u32)) -> Result<Vec<u32>, Mistake> {
        if values.is_empty() {
            return Err(self.wrong(key, "is an empty list"));
        }
        let mut all: Vec<u32> =
            values.iter().map(|&value| self.whole(key, value, ends)).collect::<Result<_, _>>()?;
        all.sort_unstable();
        all.dedup();
        Ok(all)
    }

    /// A finite number within `ends`, both included.
    pub fn number(&self, key: &str, value: f64, ends: (f64, f64)) -> Result<f64, Mistake> {
        if value.is_finite() && (ends.0..=ends.1).contains(&value) {
            return Ok(value);
        }
        Err(self.wrong(key, format!("is {}", show(value))))
    }

    /// A limit from above: a number within `ends`, or none where `inf` is written.
    pub fn ceiling(&self, key: &str, value: f64, ends: (f64, f64)) -> Result<Option<f64>, Mistake> {
        if value == f64::INFINITY { Ok(None) } else { self.number(key, value, ends).map(Some) }
    }

    /// `[least, most]` within `reach`, least not above most.
    pub fn window(&self, key: &str, ends: &[f64], reach: Reach) -> Result<(f64, f64), Mistake> {
        let [least, most] = self.pair(key, ends)?;
        let fits = |end: f64| (reach.least..=reach.most).contains(&end);
        let endless = reach.open == Open::Above && most == f64::INFINITY;
        if !fits(least) || !(fits(most) || endless) {
            let (low, high) = (show(reach.least), show(reach.most));
            let end = if reach.open == Open::Above { ", or inf above" } else { "" };
            let mend = format!("{}; numbers from {low} to {high}{end}", self.right(key));
            let problem = format!("is [{}, {}]", show(least), show(most));
            return Err(Mistake::at(key, problem, mend));
        }
        if least > most {
            return Err(inverted(key, show(least), show(most)));
        }
        Ok((least, most))
    }

    /// `[fewest, most]` of whole numbers within `ends`, fewest not above most.
    pub fn span(&self, key: &str, values: &[i64], ends: (u32, u32)) -> Result<(u32, u32), Mistake> {
        let [fewest, most] = self.pair(key, values)?;
        for value in [fewest, most] {
            self.whole(key, value, ends).map_err(|_| {
                let mend =
                    format!("{}; whole numbers from {} to {}", self.right(key), ends.0, ends.1);
                Mistake::at(key, format!("is [{fewest}, {most}]"), mend)
            })?;
        }
        if fewest > most {
            return Err(inverted(key, fewest, most));
        }
        Ok((self.whole(key, fewest, ends)?, self.whole(key, most, ends)?))
    }

    fn pair<T: Copy>(&self, key: &str, values: &[T]) -> Result<[T; 2], Mistake> {
        values.try_into().map_err(|_| {
            let count = values.len();
            self.wrong(key, format!("is a list of {count}, not of two"))
        })
    }

    /// One of a few words; `all` gives the value for each.
    pub fn word<T: Copy>(
        &self,
        key: &str,
        value: &str,
        all: &[(&'static str, T)],
    ) -> Result<T, Mistake> {
        if let Some((_, value)) = all.iter().find(|(word, _)| *word == value) {
            return Ok(*value);
        }
        let words: Vec<&'static str> = all.iter().map(|(word, _)| *word).collect();
        let problem = format!("is \"{}\"", super::fault::quote(value));
        let mend = match nearest(value, &words) {
            Some(word) => format!("did you mean \"{word}\"? {}", self.right(key)),
            None => self.right(key),
        };
        Err(Mistake::at(key, problem, mend))
    }
}

fn inverted(key: &str, least: impl Display, most: impl Display) -> Mistake {
    let problem = format!("is [{least}, {most}], which ends before it begins");
    Mistake::at(key, problem, format!("write the smaller number first: [{most}, {least}]"))
}

/// A number as TOML spells it and people read it.
pub(super) fn show(value: f64) -> String {
    if value.is_nan() { "nan".to_owned() } else { value.to_string() }
}
