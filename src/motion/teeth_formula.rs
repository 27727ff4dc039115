//! The ratio of a state as a formula in tooth counts, exactly.

use std::fmt;

use num_bigint::BigInt;
use num_traits::Zero;

use super::expression::Expression;
use super::factored::{Factored, Letters};
use super::formula::Formula;
use super::polynomial::Polynomial;
use crate::num::Fraction;
use crate::train::GearSet;

/// i = P / Q in the tooth counts of suns and rings, in lowest terms: a [`Formula`] with
/// ρ_k = Z_Rk / Z_Sk put in and P and Q multiplied by Z_Sk, for every set k that occurs.
///
/// P and Q are homogeneous of degree one in (Z_Sk, Z_Rk) for each of these sets. Prints
/// as `(S1 + R1) / S1`, where S1 is Z_S of set 1; factored where it factors.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TeethFormula {
    /// In the base ratios, before Z_Sk is multiplied in.
    numerator: Polynomial,
    denominator: Polynomial,
    /// The sets that occur in P or Q, bit k for set k.
    sets: usize,
}

impl TeethFormula {
    /// P and Q have no common factor. One would be a common factor of the polynomials in
    /// ρ, or Z_Sk; but Z_Sk divides P only if ρ_k is not in it, and then it is in Q.
    pub(super) fn new(formula: &Formula) -> Self {
        let Formula { numerator, denominator } = formula.clone();
        let sets = numerator.occurring() | denominator.occurring();
        Self { numerator, denominator, sets }
    }

    /// The sets whose teeth matter, counted from 0, rising.
    pub fn sets(&self) -> Vec<usize> {
        (0..self.numerator.variables()).filter(|set| self.sets >> set & 1 == 1).collect()
    }

    /// The ratio at these teeth; `None` where Q vanishes.
    ///
    /// # Panics
    /// With fewer sets than the formula has.
    pub fn evaluate(&self, teeth: &[GearSet]) -> Option<Fraction> {
        let below = self.value(&self.denominator, teeth);
        (!below.is_zero()).then(|| Fraction::new(self.value(&self.numerator, teeth), below))
    }

    fn value(&self, side: &Polynomial, teeth: &[GearSet]) -> BigInt {
        let product = |mask: usize| {
            let counts = self.sets().into_iter().map(|set| match mask >> set & 1 {
                1 => teeth[set].ring,
                _ => teeth[set].sun,
            });
            counts.fold(side.coefficient(mask).clone(), |product, count| product * count)
        };
        side.terms().into_iter().map(product).sum()
    }

    /// As LaTeX, without dollar signs: `\frac{Z_{S1}+Z_{R1}}{Z_{S1}}`.
    pub fn latex(&self) -> String {
        self.expression().latex()
    }

    /// As one `math` element of presentation MathML.
    pub fn mathml(&self) -> String {
        self.expression().mathml()
    }

    pub(super) fn expression(&self) -> Expression {
        let written = |side| Factored::of(side).expression(Letters::Teeth { sets: self.sets });
        Expression::quotient(written(&self.numerator), written(&self.denominator))
    }
}

impl fmt::Display for TeethFormula {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.expression().text())
    }
}
