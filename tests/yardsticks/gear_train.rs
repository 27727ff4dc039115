//! Sandgren's gear train: two pairs of gears whose ratio comes nearest to 1/6.931.
//!
//! E. Sandgren, "Nonlinear integer and discrete programming in mechanical design
//! optimization", Journal of Mechanical Design 112 (1990), 223-229.

use super::areas::{Area, Problem, Quotient, Side, Verdict};

/// Teeth of a, b, c, d; the ratio is ab/(cd).
pub const WHOLE: Area<4> = [Side::new(12, 60); 4];

/// Worth |1/6.931 - ab/(cd)|, whose square the problem asks for: both are least together.
pub struct GearTrain;

impl Problem<4> for GearTrain {
    /// ab/(cd) rises with a and b and falls with c and d, so two corners hold its extremes.
    /// Whole numbers throughout, so nothing is rounded.
    #[inline]
    fn least(&self, &[a, b, c, d]: &Area<4>) -> Option<Quotient> {
        let low = missing(a.high * b.high, c.low * d.low);
        let high = missing(a.low * b.low, c.high * d.high);
        Some(Quotient::nearest_to_zero(low, high))
    }

    /// There are no conditions.
    fn verdict(&self, _: &[i64; 4]) -> Verdict {
        Verdict::Allowed
    }

    fn deciding(&self) -> &[usize] {
        &[0, 1, 2, 3]
    }
}

/// 1/6.931 - above/below.
#[inline]
fn missing(above: i64, below: i64) -> Quotient {
    Quotient::new(1000 * below - 6931 * above, 6931 * below)
}
