//! Whether a box of base ratios can hold a ladder of gears: `false` is a proof.

use super::bounds::Bounds;
use super::gears::bits;
use super::ladder::{Ladder, Window};

/// Bounds of the step from one state to another over a box of base ratios.
pub trait StepBounds {
    /// Whether i_from / i_to, both ratios being positive, may lie in a window.
    fn may_be(&self, from: usize, to: usize, window: &StepWindow) -> bool;
}

/// A window of steps or spreads, as it is and as logarithms.
pub struct StepWindow {
    pub plain: Window,
    pub logs: Window,
}

impl StepWindow {
    /// A little wider than given, by more than rounding to single precision does.
    fn new(window: Window) -> Self {
        let plain = (window.0 * (1.0 - 1e-6), window.1 * (1.0 + 1e-6));
        Self { plain, logs: (plain.0.ln(), plain.1.ln()) }
    }
}

/// Step bounds from the bounds of each ratio alone.
pub struct LooseSteps<'a>(pub &'a [Bounds]);

impl StepBounds for LooseSteps<'_> {
    #[inline]
    fn may_be(&self, from: usize, to: usize, window: &StepWindow) -> bool {
        let (a, b) = (self.0[from].forward, self.0[to].forward);
        let (low, high) = (a.low / b.high, a.high / b.low);
        f64::from(high) >= window.plain.0 && f64::from(low) <= window.plain.1
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
    let step = StepWindow::new(ladder.step);
    let firsts = inside(ladder.windows[0]);
    let mut reached = firsts;
    for &window in &ladder.windows[1..] {
        let mut next = 0u64;
        let candidates = inside(window);
        for from in bits(reached) {
            for to in bits(candidates & neighbours[from] & !next) {
                next |= u64::from(steps.may_be(from, to, &step)) << to;
            }
        }
        reached = next;
        if reached == 0 {
            return false;
        }
    }
    let spread = StepWindow::new(ladder.spread);
    bits(firsts)
        .any(|first| bits(reached).any(|last| first == last || steps.may_be(first, last, &spread)))
}
