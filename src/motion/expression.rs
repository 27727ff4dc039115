//! What formulas and derivations write: numbers and symbols in sums, products, quotients.

use num_bigint::BigInt;
use num_traits::{One, Signed, Zero};

use crate::num::Fraction;
use crate::train::Member;

/// A letter that stands for a number. Sets count from 0 and print from 1.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Symbol {
    /// ρ of a set.
    BaseRatio(usize),
    /// Z of a sun or a ring.
    Teeth(Member),
    /// ω of a member.
    MemberSpeed(Member),
    /// ω of the shaft of that name.
    ShaftSpeed(String),
    /// i.
    Ratio,
}

/// An expression as it is to be written, whatever the script.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Expression {
    Number(Fraction),
    /// A rounded number, in its digits.
    Rounded(String),
    Symbol(Symbol),
    /// Terms; `true` for one that is subtracted.
    Sum(Vec<(bool, Expression)>),
    Product(Vec<Expression>),
    Quotient(Box<Expression>, Box<Expression>),
}

impl Expression {
    pub fn whole(number: impl Into<BigInt>) -> Self {
        Self::Number(Fraction::from(number.into()))
    }

    /// The sum of `terms`; a single one that is added is itself.
    pub fn sum(mut terms: Vec<(bool, Self)>) -> Self {
        match &terms[..] {
            [] => Self::whole(0),
            [(false, _)] => terms.remove(0).1,
            _ => Self::Sum(terms),
        }
    }

    /// The product of `factors`; a single one is itself, and none is 1.
    pub fn product(mut factors: Vec<Self>) -> Self {
        match factors.len() {
            0 => Self::whole(1),
            1 => factors.remove(0),
            _ => Self::Product(factors),
        }
    }

    /// `above / below`, which is `above` where `below` is 1.
    pub fn quotient(above: Self, below: Self) -> Self {
        if below == Self::whole(1) {
            return above;
        }
        Self::Quotient(Box::new(above), Box::new(below))
    }

    /// The term `coefficient · factor` of a sum; a coefficient of ±1 is not written.
    pub fn term(coefficient: &BigInt, factor: Self) -> (bool, Self) {
        let size = coefficient.abs();
        let product =
            if size.is_one() { factor } else { Self::Product(vec![Self::whole(size), factor]) };
        (coefficient.is_negative(), product)
    }

    /// The same with numbers put in for the symbols that have one.
    pub fn put(&self, value: &impl Fn(&Symbol) -> Option<Fraction>) -> Self {
        match self {
            Self::Symbol(symbol) => value(symbol).map_or_else(|| self.clone(), Self::Number),
            Self::Number(_) | Self::Rounded(_) => self.clone(),
            Self::Sum(terms) => {
                let term = |(minus, term): &(bool, Self)| match term.put(value) {
                    // a + (-b) is written a - b.
                    Self::Number(number) => {
                        (*minus != number.is_negative(), Self::Number(number.abs()))
                    }
                    term => (*minus, term),
                };
                Self::Sum(terms.iter().map(term).collect())
            }
            Self::Product(factors) => {
                Self::Product(factors.iter().map(|factor| factor.put(value)).collect())
            }
            Self::Quotient(above, below) => {
                Self::Quotient(Box::new(above.put(value)), Box::new(below.put(value)))
            }
        }
    }

    /// Whether it is higher than a line where quotients are stacked.
    pub fn is_tall(&self) -> bool {
        match self {
            Self::Number(number) => !number.is_integer(),
            Self::Rounded(_) | Self::Symbol(_) => false,
            Self::Sum(terms) => terms.iter().any(|(_, term)| term.is_tall()),
            Self::Product(factors) => factors.iter().any(Self::is_tall),
            Self::Quotient(..) => true,
        }
    }

    /// `value` to four places behind its leading zeros, and whether that is exact.
    pub fn rounded(value: &Fraction) -> (bool, Self) {
        let size = value.abs();
        let mut places = 4;
        let mut unit = Fraction::one();
        while !size.is_zero() && size < unit && places < 40 {
            unit /= BigInt::from(10);
            places += 1;
        }
        let scale = Fraction::from(BigInt::from(10).pow(places));
        let scaled = (&size * &scale).round();
        let exact = scaled == &size * &scale;
        let digits = format!("{:0>1$}", scaled.to_integer().to_string(), places as usize + 1);
        let (whole, decimals) = digits.split_at(digits.len() - places as usize);
        let decimals = if exact { decimals.trim_end_matches('0') } else { decimals };
        let sign = if value.is_negative() { "-" } else { "" };
        let point = if decimals.is_empty() { "" } else { "." };
        (exact, Self::Rounded(format!("{sign}{whole}{point}{decimals}")))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::num::fraction;

    #[test]
    fn decimals_say_whether_they_are_exact() {
        let cases = [
            (fraction(27, 11), false, "2.4545"),
            (fraction(-5, 4), true, "-1.25"),
            (fraction(3, 1), true, "3"),
            (fraction(2, 3), false, "0.66667"),
            (fraction(1, 3000), false, "0.00033333"),
            (fraction(0, 1), true, "0"),
        ];
        for (value, exact, digits) in cases {
            assert_eq!(
                Expression::rounded(&value),
                (exact, Expression::Rounded(digits.to_owned())),
                "{value}"
            );
        }
    }
}
