//! Bounds of a ratio over a box of base ratios, exact but for outward rounding.
//!
//! Numerator and denominator are linear in each base ratio, so they take their extremes at
//! the corners of a box; where the denominator keeps one sign at the corners, the ratio is
//! monotone along each base ratio and takes its extremes there too.

use super::ladder::Window;
use super::{RatioFunction, Signs};
use crate::train::MAX_SETS;

/// Outward rounding of bounds, far above what doubles lose on so few terms.
pub(super) const SLACK: f64 = 1e-6;

/// A range of magnitudes; empty when `low > high`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Span {
    pub low: f32,
    pub high: f32,
}

impl Span {
    pub const ALL: Self = Self { low: 0.0, high: f32::INFINITY };
    pub const EMPTY: Self = Self { low: f32::INFINITY, high: 0.0 };

    pub fn meets(self, window: Window) -> bool {
        self.low <= window.1 as f32 && self.high >= window.0 as f32
    }
}

/// Bounds of one state's ratio over a box of base ratios, forward and reverse apart: near a
/// pole a ratio is large in both directions, but it is small in neither.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds {
    /// Where the ratio is positive.
    pub forward: Span,
    /// Magnitudes, where the ratio is negative.
    pub reverse: Span,
}

impl Bounds {
    /// No bound at all.
    pub const ANY: Self = Self { forward: Span::ALL, reverse: Span::ALL };
    /// A dead state.
    pub const NONE: Self = Self { forward: Span::EMPTY, reverse: Span::EMPTY };

    /// Of ratios whose inverses are from `low` to `high`, zero among them perhaps.
    #[inline]
    pub fn beyond(low: f64, high: f64) -> Self {
        let beyond = |inverse: f64| span(1.0 / inverse, f64::INFINITY);
        Self { forward: beyond(high.max(0.0)), reverse: beyond((-low).max(0.0)) }
    }

    /// Of ratios from `low` to `high`.
    #[inline]
    pub fn between(low: f64, high: f64) -> Self {
        Self { forward: span(low, high), reverse: span(-high, -low) }
    }
}

/// A ratio function in floats: coefficients by subset of sets.
#[derive(Clone, Debug)]
pub struct Coefficients {
    pub numerator: [f64; 1 << MAX_SETS],
    pub denominator: [f64; 1 << MAX_SETS],
}

impl Coefficients {
    pub fn new(function: &RatioFunction) -> Self {
        let floats = |signs: Signs| signs.coefficients().map(f64::from);
        Self { numerator: floats(function.numerator), denominator: floats(function.denominator) }
    }

    /// The ratio, given the products of base ratios over all subsets of sets.
    #[inline]
    pub fn at(&self, powers: &[f64]) -> f64 {
        let dot = |c: &[f64]| powers.iter().zip(c).map(|(p, c)| p * c).sum::<f64>();
        dot(&self.numerator) / dot(&self.denominator)
    }

    /// Bounds over the box of base ratios `[low, high]` a set; exact but for [`SLACK`].
    pub fn bounds(&self, sides: &[(f64, f64)]) -> Bounds {
        let corners = 1 << sides.len();
        let numerator = at_corners(&self.numerator, sides);
        let denominator = at_corners(&self.denominator, sides);
        bounds_of(numerator[..corners].iter().zip(&denominator[..corners]))
    }
}

/// Products of the base ratios over all subsets of sets.
#[inline]
pub fn powers(ratios: &[f64]) -> [f64; 1 << MAX_SETS] {
    let mut powers = [1.0; 1 << MAX_SETS];
    for (set, ratio) in ratios.iter().enumerate() {
        for subset in 0..1 << set {
            powers[subset | 1 << set] = powers[subset] * ratio;
        }
    }
    powers
}

pub fn at_corners(
    coefficients: &[f64; 1 << MAX_SETS],
    sides: &[(f64, f64)],
) -> [f64; 1 << MAX_SETS] {
    let mut values = *coefficients;
    for (set, &(low, high)) in sides.iter().enumerate() {
        let bit = 1 << set;
        for index in (0..1 << sides.len()).filter(|index| index & bit == 0) {
            let (constant, slope) = (values[index], values[index | bit]);
            values[index] = constant + low * slope;
            values[index | bit] = constant + high * slope;
        }
    }
    values
}

/// Bounds from the values of numerator and denominator at the corners of a box.
///
/// Where the denominator keeps its sign, the ratio i takes its extremes at the corners;
/// where only the numerator does, 1/i takes its extremes there, and i is bounded away from
/// zero on both sides of its pole.
pub fn bounds_of<'a>(corners: impl Iterator<Item = (&'a f64, &'a f64)> + Clone) -> Bounds {
    let (mut top, mut bottom) = (Sides::default(), Sides::default());
    for (numerator, denominator) in corners.clone() {
        top.see(*numerator);
        bottom.see(*denominator);
    }
    match (top.both(), bottom.both()) {
        (_, false) => {
            let (low, high) =
                extremes(corners.map(|(numerator, denominator)| numerator / denominator));
            Bounds::between(low, high)
        }
        (false, true) => {
            let (low, high) =
                extremes(corners.map(|(numerator, denominator)| denominator / numerator));
            Bounds::beyond(low, high)
        }
        (true, true) => Bounds::ANY,
    }
}

/// Which signs were seen; a value too near zero to tell counts as both.
#[derive(Clone, Copy, Default)]
struct Sides {
    positive: bool,
    negative: bool,
}

impl Sides {
    fn see(&mut self, value: f64) {
        self.positive |= value > -SLACK;
        self.negative |= value < SLACK;
    }

    fn both(self) -> bool {
        self.positive && self.negative
    }
}

fn extremes(values: impl Iterator<Item = f64>) -> (f64, f64) {
    values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
        (low.min(value), high.max(value))
    })
}

/// The positive part of `[low, high]`, rounded outward.
fn span(low: f64, high: f64) -> Span {
    if high <= 0.0 {
        return Span::EMPTY;
    }
    let low = (low * (1.0 - SLACK) - SLACK).max(0.0);
    Span { low: low as f32, high: (high * (1.0 + SLACK) + SLACK) as f32 }
}
