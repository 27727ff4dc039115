//! Whether a box of base ratios can hold a ladder of gears: `false` is a proof.

use super::bounds::Bounds;
use super::gears::bits;
use super::ladder::{Ladder, Window};

/// Bounds of the step from one state to another over a box of base ratios.
pub trait StepBounds {
    /// Least and largest ln(i_from / i_to), both ratios being positive.
    fn step(&self, from: usize, to: usize) -> (f64, f64);
}

/// Step bounds from the bounds of each ratio alone: logarithms of the least and the largest.
pub struct LooseSteps(Vec<(f64, f64)>);

impl LooseSteps {
    pub fn new(bounds: &[Bounds]) -> Self {
        let logs = |b: &Bounds| (f64::from(b.forward.low).ln(), f64::from(b.forward.high).ln());
        Self(bounds.iter().map(logs).collect())
    }
}

impl StepBounds for LooseSteps {
    #[inline]
    fn step(&self, from: usize, to: usize) -> (f64, f64) {
        let (a, b) = (self.0[from], self.0[to]);
        (a.0 - b.1, a.1 - b.0)
    }
}

/// A window of steps or spreads as logarithms, a little wider than rounding can matter.
fn logs(window: Window) -> (f64, f64) {
    (window.0.ln() - LOG_SLACK, window.1.ln() + LOG_SLACK)
}

/// Bounds are in single precision.
const LOG_SLACK: f64 = 1e-6;

/// Whether a ladder may exist somewhere in a box of base ratios: `false` is a proof that
/// none does, `true` proves nothing. `neighbours` as from [`Ladder::neighbours`].
pub fn may_have_ladder(
    bounds: &[Bounds],
    steps: &impl StepBounds,
    neighbours: &[u64],
    ladder: &Ladder,
) -> bool {
    let inside = |window: Window| {
        let meets = |b: Bounds| b.forward.meets(window);
        bounds.iter().enumerate().fold(0u64, |mask, (s, &b)| mask | u64::from(meets(b)) << s)
    };
    let reverse_ok = ladder
        .reverse
        .iter()
        .all(|&window| bounds.iter().any(|bounds| bounds.reverse.meets(window)));
    if !reverse_ok {
        return false;
    }
    let (least, most) = logs(ladder.step);
    let firsts = inside(ladder.windows[0]);
    let mut reached = firsts;
    for &window in &ladder.windows[1..] {
        let mut next = 0u64;
        let candidates = inside(window);
        for from in bits(reached) {
            for to in bits(candidates & neighbours[from] & !next) {
                let (low, high) = steps.step(from, to);
                next |= u64::from(high >= least && low <= most) << to;
            }
        }
        reached = next;
        if reached == 0 {
            return false;
        }
    }
    let (narrow, wide) = logs(ladder.spread);
    bits(firsts).any(|first| {
        bits(reached).any(|last| {
            let (low, high) = steps.step(first, last);
            first == last || (high >= narrow && low <= wide)
        })
    })
}
