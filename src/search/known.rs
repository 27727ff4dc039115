//! Classes that were solved before: twins on cores of different units are one class.

use std::sync::{Mutex, PoisonError};

use rustc_hash::FxHashMap;

use super::solve::Outcome;
use super::twins::{ClassKeys, class_mark};

/// Classes that are remembered; when there are more, those of some keys are forgotten.
const MOST_KNOWN: usize = 400_000;
/// Parts of the store, so that threads seldom meet.
const PARTS: usize = 64;

/// Outcomes by class. Solving is a function of the class alone, so what is remembered and
/// what is not never shows in a result.
pub struct Known(Vec<Mutex<FxHashMap<ClassKeys, Outcome>>>);

impl Default for Known {
    fn default() -> Self {
        Self((0..PARTS).map(|_| Mutex::default()).collect())
    }
}

impl Known {
    /// The outcome of the class with these keys, from `solve` where it is not known.
    pub fn outcome(&self, keys: &ClassKeys, solve: impl FnOnce() -> Outcome) -> Outcome {
        let part = &self.0[class_mark(keys) as usize % PARTS];
        let store = || part.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(outcome) = store().get(keys) {
            return outcome.clone();
        }
        let outcome = solve();
        let mut known = store();
        if known.len() >= MOST_KNOWN / PARTS {
            known.clear();
        }
        known.insert(keys.clone(), outcome.clone());
        outcome
    }
}
