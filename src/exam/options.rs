//! Options of a choice: the right one among wrong ones that each come from a misconception.

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

    /// A choice of the right number and `count` wrong ones in any order; `None` where there
    /// are not so many. `say` puts a number into words.
    pub fn choice(
        self,
        count: usize,
        chance: &mut Chance,
        say: impl Fn(&Fraction) -> Said,
    ) -> Option<Answer> {
        let right = say(&self.right);
        let wrong = self.found.into_iter().map(|wrong| (say(&wrong.value), wrong.misconception));
        choice(right, wrong.collect(), count, chance)
    }
}

/// A choice of `right` and `count` of the `wrong` options in any order; `None` where there are
/// not so many that differ.
pub(super) fn choice(
    right: Said,
    wrong: Vec<(Said, Misconception)>,
    count: usize,
    chance: &mut Chance,
) -> Option<Answer> {
    let mut taken: Vec<Choice> = Vec::new();
    for (said, misconception) in wrong {
        if said != right && taken.iter().all(|one| one.said != said) && taken.len() < count {
            taken.push(Choice { said, misconception: Some(misconception) });
        }
    }
    if taken.len() < count {
        return None;
    }
    taken.push(Choice { said: right.clone(), misconception: None });
    chance.shuffle(&mut taken);
    let right = taken.iter().position(|one| one.misconception.is_none())?;
    Some(Answer::Choice { options: taken, right })
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
