//! What has been found: the front so far, and what was on it once.

use smallvec::SmallVec;

use super::choice::Choice;
use crate::num::Fraction;
use crate::score::Criterion;
use crate::train::MAX_SETS;

/// Number of criteria of a reduction.
pub(super) const CRITERIA: usize = Criterion::REDUCTION.len();

/// A reduction that meets the brief.
#[derive(Clone, Debug, PartialEq)]
pub struct Found {
    /// Number of sets; which group of that number; which member of the group.
    pub place: (u8, usize, usize),
    /// In the order of the group's variables.
    pub choices: SmallVec<[Choice; MAX_SETS]>,
    /// Face widths in mm, in the same order.
    pub widths: SmallVec<[f64; MAX_SETS]>,
    /// Input speed / output speed, exact.
    pub ratio: Fraction,
    /// One per [`Criterion::REDUCTION`].
    pub scores: [Option<f64>; CRITERIA],
    /// What the front is made by: rounded, lower being better.
    pub objectives: SmallVec<[f64; 6]>,
}

impl Found {
    /// A score; `None` where it does not apply or is not known.
    pub fn score(&self, criterion: Criterion) -> Option<f64> {
        let place = Criterion::REDUCTION.iter().position(|other| *other == criterion)?;
        self.scores[place]
    }

    /// Among equals the one with the better sets, then the first in order, is kept.
    fn rank(&self) -> (f64, (u8, usize, usize)) {
        (self.choices.iter().map(|choice| choice.preference).sum(), self.place)
    }

    fn comes_before(&self, other: &Self) -> bool {
        let ((mine, here), (theirs, there)) = (self.rank(), other.rank());
        let teeth = |found: &Self| -> Vec<(u32, u32, Option<u32>, u64)> {
            let of = |c: &Choice| (c.set.sun, c.set.ring, c.set.planets, c.module.to_bits());
            found.choices.iter().map(of).collect()
        };
        mine.total_cmp(&theirs)
            .then(here.cmp(&there))
            .then_with(|| teeth(self).cmp(&teeth(other)))
            .is_lt()
    }
}

/// The front over all that was offered, one of each set of equal objectives.
#[derive(Clone, Debug, Default)]
pub struct Archive {
    pub front: Vec<Found>,
    /// Was on the front until something better came.
    pub behind: Vec<Found>,
    /// How many met the brief; those that could not be better than the front by their
    /// bounds were not looked at closer and are not among them.
    pub met: u64,
}

impl Archive {
    /// Whether nothing with objectives of at least `bounds` could come onto the front, nor
    /// take an equal's place.
    pub fn excludes(&self, bounds: &[f64]) -> bool {
        let beaten = |found: &Found| {
            let mut pairs = found.objectives.iter().zip(bounds);
            pairs.all(|(have, bound)| have <= bound) && found.objectives[..] != *bounds
        };
        self.front.iter().any(beaten)
    }

    pub fn offer(&mut self, found: Found) {
        self.met += 1;
        self.insert(found);
    }

    fn insert(&mut self, found: Found) {
        for (index, other) in self.front.iter().enumerate() {
            let pairs = || other.objectives.iter().zip(&found.objectives);
            if pairs().all(|(have, new)| have == new) {
                if found.comes_before(other) {
                    self.front[index] = found;
                }
                return;
            }
            if pairs().all(|(have, new)| have <= new) {
                return;
            }
        }
        let beaten = |other: &mut Found| {
            found.objectives.iter().zip(&other.objectives).all(|(new, have)| new <= have)
        };
        self.behind.extend(self.front.extract_if(.., beaten));
        self.front.push(found);
    }

    /// Adds all of `other`.
    pub fn merge(&mut self, other: Self) {
        self.met += other.met;
        self.behind.extend(other.behind);
        for found in other.front {
            self.insert(found);
        }
    }
}
