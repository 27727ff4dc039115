//! Options of a choice: each would be the right one of another question of the same kind, and
//! which one is asked for is drawn when they stand. So no rule on the options alone finds the
//! right one better than chance: given the options, each is as likely as any other. What a
//! wrong one reveals is the misconception that leads from the question asked to its own.

use num_traits::Signed;

use super::chance::Chance;
use crate::num::Fraction;
use crate::problem::{Answer, Choice, Misconception, Said, SignRule, Unit, WrongNumber};

/// Wrong numbers as they are gathered: all different, none right.
pub(super) struct Wrong {
    right: Fraction,
    found: Vec<WrongNumber>,
}

impl Wrong {
    pub fn than(right: &Fraction) -> Self {
        Self { right: right.clone(), found: Vec::new() }
    }

    /// One more; left out where the error happens to lead to the right number, and where one
    /// told before leads to the same: likelier errors are told first.
    #[must_use]
    pub fn by(mut self, misconception: Misconception, value: Fraction) -> Self {
        let known = value == self.right || self.found.iter().any(|wrong| wrong.value == value);
        if !known {
            self.found.push(WrongNumber { value, misconception });
        }
        self
    }

    /// The same where only sizes are asked for.
    #[must_use]
    pub fn sizes(self) -> Self {
        let start = Self::than(&self.right.abs());
        self.found.into_iter().fold(start, |all, one| all.by(one.misconception, one.value.abs()))
    }

    /// Those that differ from the right number and from each other by more than `apart`, so
    /// that marking with a tolerance cannot take one for another.
    pub fn apart(self, apart: &Fraction) -> Vec<WrongNumber> {
        let far = |a: &Fraction, b: &Fraction| (a - b).abs() > *apart;
        let mut kept: Vec<WrongNumber> = Vec::new();
        for wrong in self.found {
            if far(&wrong.value, &self.right)
                && kept.iter().all(|one| far(&one.value, &wrong.value))
            {
                kept.push(wrong);
            }
        }
        kept
    }
}

/// A choice of options that were drawn before it was drawn which of them is right, in any order;
/// `reveals` tells what choosing one of the others does. `None` where two say the same.
pub(super) fn exchangeable(
    options: Vec<Said>,
    right: usize,
    chance: &mut Chance,
    reveals: impl Fn(usize) -> Misconception,
) -> Option<Answer> {
    let differ = (1..options.len()).all(|index| !options[..index].contains(&options[index]));
    if !differ {
        return None;
    }
    let options = options.into_iter().enumerate().map(|(index, said)| {
        let misconception = (index != right).then(|| reveals(index));
        Choice { said, misconception }
    });
    let options = chance.shuffled(options.collect::<Vec<_>>());
    let right = options.iter().position(|one| one.misconception.is_none())?;
    Some(Answer::Choice { options, right })
}

/// A decimal number that is right within one unit of its last place.
pub(super) fn number(
    exact: &Fraction,
    unit: Unit,
    places: u32,
    sign: SignRule,
    wrong: Wrong,
) -> Answer {
    within(&super::clean::last_place(places), exact, unit, places, sign, wrong)
}

/// A decimal number that is right within `tolerance`, in its unit; of wrong numbers those that
/// marking can tell from it and from each other.
pub(super) fn within(
    tolerance: &Fraction,
    exact: &Fraction,
    unit: Unit,
    places: u32,
    sign: SignRule,
    wrong: Wrong,
) -> Answer {
    let wrong = if sign == SignRule::Ignored { wrong.sizes() } else { wrong };
    let wrong = wrong.apart(&(tolerance + tolerance));
    let (exact, tolerance) = (exact.clone(), tolerance.clone());
    Answer::Number { exact, unit, places, tolerance, sign, wrong }
}
