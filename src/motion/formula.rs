//! The ratio of a state as a formula in the base ratios, exactly.

use std::fmt;

use num_bigint::BigInt;
use num_integer::Integer;
use num_traits::Zero;

use super::bodies::Bodies;
use super::expression::Expression;
use super::factored::{Factored, Letters};
use super::polynomial::Polynomial;
use super::teeth_formula::TeethFormula;
use crate::num::{Fraction, determinant};
use crate::train::{ElementMask, INPUT, Layout, OUTPUT, SetKind, ShaftId};

/// i = P / Q in the base ratios ρ₁ … ρₙ (ρ = Z_R / Z_S of each set), in lowest terms:
/// P and Q have no common factor and Q is positive where all ρ are large.
///
/// Prints as `(1 + ρ1 + ρ1·ρ2) / (ρ1·ρ2)`, factored where it factors.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Formula {
    pub numerator: Polynomial,
    pub denominator: Polynomial,
}

impl Formula {
    /// The ratio at base ratios `rho`, one a set; `None` where Q vanishes.
    ///
    /// # Panics
    /// With fewer base ratios than sets.
    pub fn evaluate(&self, rho: &[Fraction]) -> Option<Fraction> {
        let denominator = self.denominator.evaluate(rho);
        (!denominator.is_zero()).then(|| self.numerator.evaluate(rho) / denominator)
    }

    /// As LaTeX, without dollar signs: `\frac{1+\rho_{1}}{\rho_{1}}`.
    pub fn latex(&self) -> String {
        self.expression().latex()
    }

    /// In the small notation in which papers have their formulas.
    pub fn notation(&self) -> String {
        self.expression().notation()
    }

    /// As one `math` element of presentation MathML.
    pub fn mathml(&self) -> String {
        self.expression().mathml()
    }

    /// The same in tooth counts.
    pub fn in_teeth(&self) -> TeethFormula {
        TeethFormula::new(self)
    }

    pub(super) fn expression(&self) -> Expression {
        let written = |side| Factored::of(side).expression(Letters::BaseRatios);
        Expression::quotient(written(&self.numerator), written(&self.denominator))
    }

    /// Cancels every common factor.
    ///
    /// P and Q are linear in each variable, so a common factor that contains ρ_v takes all
    /// of ρ_v with it and P / Q does not depend on ρ_v: with P = ρ_v p₁ + p₀ and
    /// Q = ρ_v q₁ + q₀ this is p₁ q₀ = p₀ q₁, and P / Q = p₁ / q₁ = p₀ / q₀.
    fn lowest(mut numerator: Polynomial, mut denominator: Polynomial) -> Self {
        for variable in 0..numerator.variables() {
            let (p1, p0) = numerator.parts(variable);
            let (q1, q0) = denominator.parts(variable);
            if p1.times(&q0) == p0.times(&q1) {
                let pair = if q0.is_zero() { (p1, q1) } else { (p0, q0) };
                (numerator, denominator) = pair;
            }
        }
        let content = numerator.content().gcd(&denominator.content());
        let sign = BigInt::from(if denominator.leads_negative() { -1 } else { 1 });
        let divisor = content * sign;
        Self { numerator: numerator.divided(&divisor), denominator: denominator.divided(&divisor) }
    }
}

impl fmt::Display for Formula {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.expression().text())
    }
}

/// The formula of the ratio in one state; `None` when too few or too many constraints are
/// engaged, and when input or output stand still for all base ratios.
///
/// Shafts that the elements join turn as one and drop to one unknown, so that n Willis
/// rows (see [`crate::train::GearSet::willis`], divided by Z_S) remain for n + 1 unknowns.
/// By Cramer's rule i = det[Willis; input] / det[Willis; output], whose last row picks the
/// shaft. Each determinant is linear in each ρ, because ρ_v stands in row v only, so its
/// values for ρ ∈ {0, 1}ⁿ determine it.
///
/// The formula may still meet Q = 0 at the teeth of this layout; whether a state is live
/// with its teeth is for [`super::solve_state`] to say.
pub fn formula(layout: &Layout, engaged: ElementMask) -> Option<Formula> {
    let bodies = Bodies::new(layout, engaged);
    if bodies.count != layout.sets.len() + 1 {
        return None;
    }
    let at = |shaft: ShaftId| -> Option<Polynomial> {
        let body = bodies.of(Some(shaft))?;
        let corners = 0..1 << layout.sets.len();
        let values = corners.map(|ones| determinant(&rows(layout, &bodies, ones, body)));
        Some(Polynomial::through(values.collect())).filter(|polynomial| !polynomial.is_zero())
    };
    Some(Formula::lowest(at(INPUT)?, at(OUTPUT)?))
}

/// The Willis rows with ρ_v = 1 for v in `ones` and 0 elsewhere, and a row that picks the
/// body `picked`.
fn rows(layout: &Layout, bodies: &Bodies, ones: usize, picked: usize) -> Vec<Vec<i64>> {
    let willis = layout.sets.iter().enumerate().map(|(set, teeth)| {
        let rho = (ones >> set & 1) as i64;
        let factors = match teeth.kind {
            SetKind::Single => [1, rho, -(1 + rho)],
            SetKind::Paired => [-1, rho, 1 - rho],
        };
        let mut row = vec![0; bodies.count];
        for (seat, factor) in layout.seats(set).into_iter().zip(factors) {
            if let Some(body) = bodies.of(seat) {
                row[body] += factor;
            }
        }
        row
    });
    let mut rows: Vec<Vec<i64>> = willis.collect();
    let mut pick = vec![0; bodies.count];
    pick[picked] = 1;
    rows.push(pick);
    rows
}
