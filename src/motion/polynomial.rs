//! Polynomials in the base ratios that are linear in each of them, with integer
//! coefficients. Knows no layouts.

use std::fmt;

use num_bigint::BigInt;
use num_integer::Integer;
use num_traits::{One, Signed, Zero};

use super::factored::{Factored, Letters};
use crate::num::Fraction;

/// Σ over sets M of variables: coefficient(M) · Π ρ_v for v in M. Variables count from 0
/// and print from 1: `1 + ρ1 + ρ1·ρ2`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Polynomial {
    /// Entry M (bit v for variable v): the coefficient of that product; 2ⁿ of them.
    coefficients: Vec<BigInt>,
}

impl Polynomial {
    /// The polynomial that takes `values[M]` where ρ_v is 1 for v in M and 0 elsewhere.
    ///
    /// These 2ⁿ values determine it. The coefficients are their Möbius transform over the
    /// sets of variables (G.-C. Rota, "On the foundations of combinatorial theory I",
    /// Z. Wahrscheinlichkeitstheorie 2 (1964), 340–368).
    ///
    /// # Panics
    /// If the number of values is not a power of two.
    pub fn through(mut values: Vec<BigInt>) -> Self {
        assert!(values.len().is_power_of_two());
        for variable in 0..values.len().trailing_zeros() {
            for index in 0..values.len() {
                if index >> variable & 1 == 1 {
                    let without = values[index ^ 1 << variable].clone();
                    values[index] -= without;
                }
            }
        }
        Self { coefficients: values }
    }

    /// How many variables it may have.
    pub fn variables(&self) -> usize {
        self.coefficients.len().trailing_zeros() as usize
    }

    /// The coefficient of the product of the variables in `mask`.
    pub fn coefficient(&self, mask: usize) -> &BigInt {
        &self.coefficients[mask]
    }

    pub fn is_zero(&self) -> bool {
        self.coefficients.iter().all(Zero::is_zero)
    }

    /// Whether it is the constant 1.
    pub fn is_one(&self) -> bool {
        self.coefficients[0].is_one() && self.occurring() == 0
    }

    /// The value where ρ_v = `rho[v]`.
    ///
    /// # Panics
    /// With fewer values than variables.
    pub fn evaluate(&self, rho: &[Fraction]) -> Fraction {
        let terms = self.coefficients.iter().enumerate().filter(|(_, c)| !c.is_zero());
        terms
            .map(|(mask, coefficient)| {
                let inside = (0..self.variables()).filter(|v| mask >> v & 1 == 1);
                inside.fold(Fraction::from(coefficient.clone()), |value, v| value * &rho[v])
            })
            .sum()
    }

    /// `(p₁, p₀)` with P = ρ_v p₁ + p₀, neither containing ρ_v.
    pub(super) fn parts(&self, variable: usize) -> (Self, Self) {
        let part = |bit: usize| {
            let entry = |mask: usize| match mask >> variable & 1 {
                0 => self.coefficients[mask | bit << variable].clone(),
                _ => BigInt::zero(),
            };
            Self { coefficients: (0..self.coefficients.len()).map(entry).collect() }
        };
        (part(1), part(0))
    }

    /// The coefficients of the product of two polynomials. A variable that occurs in both
    /// factors is squared: entry (M, D) belongs to squares of M and first powers of D.
    pub(super) fn times(&self, other: &Self) -> Vec<BigInt> {
        let size = self.coefficients.len();
        let mut product = vec![BigInt::zero(); size * size];
        for (a, left) in self.coefficients.iter().enumerate().filter(|(_, c)| !c.is_zero()) {
            for (b, right) in other.coefficients.iter().enumerate().filter(|(_, c)| !c.is_zero()) {
                product[(a & b) * size + (a ^ b)] += left * right;
            }
        }
        product
    }

    /// The greatest integer that divides every coefficient; 0 for the zero polynomial.
    pub(super) fn content(&self) -> BigInt {
        self.coefficients.iter().fold(BigInt::zero(), |content, c| content.gcd(c))
    }

    pub(super) fn divided(&self, divisor: &BigInt) -> Self {
        Self { coefficients: self.coefficients.iter().map(|c| c / divisor).collect() }
    }

    /// The sign that the polynomial takes when all ρ are large: that of the coefficient
    /// with the most variables, of several the last in the order of printing.
    pub(super) fn leads_negative(&self) -> bool {
        let leading = self.order().into_iter().rev().find(|&m| !self.coefficients[m].is_zero());
        leading.is_some_and(|mask| self.coefficients[mask].is_negative())
    }

    /// The products in the order of printing: fewest variables first, then by name.
    fn order(&self) -> Vec<usize> {
        let mut masks: Vec<usize> = (0..self.coefficients.len()).collect();
        masks.sort_by_key(|mask| (mask.count_ones(), std::cmp::Reverse(mask.reverse_bits())));
        masks
    }

    /// The variables that occur.
    pub(super) fn occurring(&self) -> usize {
        let occurring = self.coefficients.iter().enumerate().filter(|(_, c)| !c.is_zero());
        occurring.fold(0, |variables, (mask, _)| variables | mask)
    }

    /// Whether P = f · g with f in the variables of `some` only and g in the others: then
    /// f and g, up to integers. The coefficients, as a table of products inside `some`
    /// against products outside, must have rank one.
    pub(super) fn split(&self, some: usize) -> Option<(Self, Self)> {
        let c = &self.coefficients;
        let pivot = c.iter().position(|c| !c.is_zero())?;
        let (row, column) = (pivot & some, pivot & !some);
        let rank_one = (0..c.len())
            .all(|mask| &c[mask] * &c[pivot] == &c[mask & some | column] * &c[mask & !some | row]);
        let slice = |inside: usize, rest: usize| {
            let entry = |mask: usize| match mask & !inside {
                0 => c[mask | rest].clone(),
                _ => BigInt::zero(),
            };
            Self { coefficients: (0..c.len()).map(entry).collect() }
        };
        rank_one.then(|| (slice(some, column), slice(!some, row)))
    }

    /// Divided by its content and by the sign of its leading coefficient.
    pub(super) fn primitive(&self) -> Self {
        let content = self.content();
        self.divided(&if self.leads_negative() { -content } else { content })
    }

    /// The products that occur, in the order of printing, a positive one in front where
    /// there is one.
    pub(super) fn terms(&self) -> Vec<usize> {
        let order = self.order().into_iter().filter(|&mask| !self.coefficients[mask].is_zero());
        let mut terms: Vec<usize> = order.collect();
        if let Some(front) = terms.iter().position(|&m| self.coefficients[m].is_positive()) {
            terms[..=front].rotate_right(1);
        }
        terms
    }
}

impl fmt::Display for Polynomial {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&Factored::of(self).expression(Letters::BaseRatios).text())
    }
}
