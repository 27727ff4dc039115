//! Whether a box of base ratios can hold a ladder of gears: `false` is a proof.

use super::bounds::Bounds;
use super::gears::bits;
use super::ladder::{Ladder, Window};

/// Bounds of the step from one state to another over a box of base ratios.
pub trait StepBounds {
    /// Smallest and largest i_from / i_to, both ratios being positive.
    fn step(&self, from: usize, to: usize) -> (f32, f32);
}

/// Step bounds from the bounds of each ratio alone.
pub struct LooseSteps<'a>(pub &'a [Bounds]);

impl StepBounds for LooseSteps<'_> {
    #[inline]
    fn step(&self, from: usize, to: usize) -> (f32, f32) {
        let (a, b) = (self.0[from].forward, self.0[to].forward);
        (a.low / b.high, a.high / b.low)
    }
}

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
    let (least, most) = (ladder.step.0 as f32, ladder.step.1 as f32);
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
    let (narrow, wide) = (ladder.spread.0 as f32, ladder.spread.1 as f32);
    bits(firsts).any(|first| {
        bits(reached).any(|last| {
            let (low, high) = steps.step(first, last);
            first == last || (high >= narrow && low <= wide)
        })
    })
}
