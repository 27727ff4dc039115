//! Close bounds of steps over a box of base ratios, by the mean value form.
//!
//! The bounds of two ratios, divided, are a loose bound of their step: both ratios move
//! together when a base ratio moves. The mean value form sees that: with u_j = ln ρ_j,
//!
//! ln i_a − ln i_b ∈ (the value at the centre) ± Σ_j r_j · max |∂(ln i_a − ln i_b)/∂u_j|,
//!
//! r_j the half width of the box in u_j (R. E. Moore, Interval Analysis, 1966). The
//! derivative of ln P for P = P₀ + ρ_j P₁ is ∂ ln P/∂u_j = 1 − P₀/P, and P₀/P, a quotient
//! of functions linear in each base ratio, takes its extremes at the corners of the box as
//! long as P keeps its sign there.

use super::bank::Bank;
use super::bounds::{Bounds, Coefficients, Span, at_corners, powers};
use super::possible::StepBounds;
use crate::train::MAX_SETS;

/// What the form loses to rounding is far below this.
const SLACK: f64 = 1e-9;

/// Centre values and slope bounds of the forward states of a class over one box.
pub struct CloseSteps {
    states: Vec<Option<Slopes>>,
    /// Half widths in ln ρ.
    radius: [f64; MAX_SETS],
}

/// One state's ln i over a box.
#[derive(Clone, Copy)]
struct Slopes {
    centre: f64,
    /// Bounds of ∂ ln i / ∂ ln ρ_j.
    slope: [(f64, f64); MAX_SETS],
}

impl CloseSteps {
    /// `bounds` are those of the same states over the same box `sides`.
    pub fn new(
        functions: &[Option<u32>],
        bank: &Bank,
        bounds: &[Bounds],
        sides: &[(f64, f64)],
    ) -> Self {
        let mut radius = [0.0; MAX_SETS];
        for (radius, (low, high)) in radius.iter_mut().zip(sides) {
            *radius = (high / low).ln() / 2.0;
        }
        let centre: Vec<f64> = sides.iter().map(|(low, high)| (low * high).sqrt()).collect();
        let powers = powers(&centre);
        let slopes = |(function, bounds): (&Option<u32>, &Bounds)| {
            let forward = bounds.reverse == Span::EMPTY && bounds.forward.high.is_finite();
            let id = function.filter(|_| forward)?;
            Slopes::new(&bank.entries[id as usize].coefficients, sides, &powers)
        };
        Self { states: functions.iter().zip(bounds).map(slopes).collect(), radius }
    }
}

impl StepBounds for CloseSteps {
    fn step(&self, from: usize, to: usize) -> (f32, f32) {
        let (Some(a), Some(b)) = (&self.states[from], &self.states[to]) else {
            return (0.0, f32::INFINITY);
        };
        let swing = |j: usize| {
            let (low, high) = (a.slope[j].0 - b.slope[j].1, a.slope[j].1 - b.slope[j].0);
            self.radius[j] * low.abs().max(high.abs())
        };
        let reach: f64 = (0..MAX_SETS).map(swing).sum::<f64>() + SLACK;
        let centre = a.centre - b.centre;
        // The conversion to single precision is covered by one part in a million.
        let (low, high) = ((centre - reach).exp(), (centre + reach).exp());
        ((low * (1.0 - 1e-6)) as f32, (high * (1.0 + 1e-6)) as f32)
    }
}

impl Slopes {
    /// `None` where the numerator may vanish in the box.
    fn new(ratio: &Coefficients, sides: &[(f64, f64)], powers: &[f64]) -> Option<Self> {
        let corners = 1 << sides.len();
        let numerator = at_corners(&ratio.numerator, sides);
        let denominator = at_corners(&ratio.denominator, sides);
        let keeps_sign = |values: &[f64]| {
            values[..corners].iter().all(|value| *value > SLACK)
                || values[..corners].iter().all(|value| *value < -SLACK)
        };
        if !keeps_sign(&numerator) || !keeps_sign(&denominator) {
            return None;
        }
        let mut slope = [(0.0, 0.0); MAX_SETS];
        for (set, slope) in slope.iter_mut().enumerate().take(sides.len()) {
            let top = without(&ratio.numerator, &numerator, sides, set);
            let bottom = without(&ratio.denominator, &denominator, sides, set);
            *slope = (bottom.0 - top.1, bottom.1 - top.0);
        }
        Some(Self { centre: ratio.at(&powers[..corners]).ln(), slope })
    }
}

/// Bounds of P₀/P over the box, P₀ being P with ρ of `set` put to zero.
fn without(
    coefficients: &[f64; 1 << MAX_SETS],
    values: &[f64; 1 << MAX_SETS],
    sides: &[(f64, f64)],
    set: usize,
) -> (f64, f64) {
    let mut flat = [(0.0, 0.0); MAX_SETS];
    flat[..sides.len()].copy_from_slice(sides);
    flat[set] = (0.0, 0.0);
    let constant = at_corners(coefficients, &flat[..sides.len()]);
    let quotients = (0..1 << sides.len()).map(|corner| constant[corner] / values[corner]);
    quotients.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), quotient| {
        (low.min(quotient), high.max(quotient))
    })
}
