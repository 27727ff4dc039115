//! A polynomial as an integer times irreducible factors, ready to be written.

use num_bigint::BigInt;
use num_traits::{One, Signed, Zero};

use super::expression::{Expression, Symbol};
use super::polynomial::Polynomial;
use crate::train::{Member, Role};

/// What the variables of a polynomial are written as.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Letters {
    /// ρ1, ρ2, …
    BaseRatios,
    /// Tooth counts: with ρ_k = Z_Rk / Z_Sk, and times Z_Sk for every set k in `sets`.
    Teeth { sets: usize },
}

pub(super) struct Factored {
    integer: BigInt,
    /// By their first variables.
    factors: Vec<Polynomial>,
}

impl Factored {
    /// An integer and irreducible factors with content 1, no two with a common variable.
    ///
    /// Factors of a polynomial that is linear in each variable never share one, so trying
    /// each group of variables finds them all.
    pub fn of(polynomial: &Polynomial) -> Self {
        let mut integer = polynomial.content();
        if integer.is_zero() {
            return Self { integer, factors: Vec::new() };
        }
        let mut rest = polynomial.primitive();
        if polynomial.leads_negative() {
            integer = -integer;
        }
        let mut factors = Vec::new();
        while rest.occurring() != 0 {
            let all = rest.occurring();
            let first = all & all.wrapping_neg();
            let groups = (first..=all).filter(|group| group & !all == 0 && group & first != 0);
            let mut groups: Vec<usize> = groups.collect();
            groups.sort_by_key(|group| group.count_ones());
            let found = groups.into_iter().find_map(|group| rest.split(group));
            let Some((factor, others)) = found else { break };
            factors.push(factor.primitive());
            rest = others.primitive();
        }
        // 1 - ρ1 reads better than -(ρ1 - 1).
        let positive = |&mask: &usize| polynomial.coefficient(mask).is_positive();
        if factors.len() == 1
            && integer == -BigInt::one()
            && polynomial.terms().iter().any(positive)
        {
            (integer, factors) = (BigInt::one(), vec![polynomial.clone()]);
        }
        Self { integer, factors }
    }

    pub fn expression(&self, letters: Letters) -> Expression {
        let lowest = |mask: usize| mask.trailing_zeros();
        let written = |factor: &Polynomial| (lowest(factor.occurring()), sum(factor, letters));
        let mut factors: Vec<(u32, Expression)> = self.factors.iter().map(written).collect();
        if let Letters::Teeth { sets } = letters {
            let inside = self.factors.iter().fold(0, |all, factor| all | factor.occurring());
            factors.extend(bits(sets & !inside).map(|set| (set as u32, teeth(set, Role::Sun))));
            factors.sort_by_key(|(set, _)| *set);
        }
        let mut product: Vec<Expression> = factors.into_iter().map(|(_, factor)| factor).collect();
        let size = self.integer.abs();
        if !size.is_one() || product.is_empty() {
            product.insert(0, Expression::whole(size));
        }
        Expression::sum(vec![(self.integer.is_negative(), Expression::product(product))])
    }
}

/// The terms of a factor.
fn sum(factor: &Polynomial, letters: Letters) -> Expression {
    let occurring = factor.occurring();
    let term = |mask: usize| {
        let symbols: Vec<Expression> = match letters {
            Letters::BaseRatios => {
                bits(mask).map(|set| Expression::Symbol(Symbol::BaseRatio(set))).collect()
            }
            Letters::Teeth { .. } => bits(occurring)
                .map(|set| teeth(set, if mask >> set & 1 == 1 { Role::Ring } else { Role::Sun }))
                .collect(),
        };
        let coefficient = factor.coefficient(mask);
        let mut product = symbols;
        if !coefficient.abs().is_one() || product.is_empty() {
            product.insert(0, Expression::whole(coefficient.abs()));
        }
        (coefficient.is_negative(), Expression::product(product))
    };
    Expression::sum(factor.terms().into_iter().map(term).collect())
}

fn teeth(set: usize, role: Role) -> Expression {
    Expression::Symbol(Symbol::Teeth(Member::new(set, role)))
}

/// The numbers of the bits that are set, rising.
fn bits(mask: usize) -> impl Iterator<Item = usize> {
    (0..usize::BITS as usize).filter(move |bit| mask >> bit & 1 == 1)
}
