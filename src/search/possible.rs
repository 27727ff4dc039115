//! Whether a box of base ratios can hold a ladder of gears: `false` is a proof.

use super::bounds::Bounds;
use super::gears::{MOST_STATES, bits};
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
    let inside: Vec<u64> = ladder.windows.iter().map(|&window| inside(window)).collect();
    let usable = inside.iter().fold(0, |all, mask| all | mask);
    let step = StepWindow::new(ladder.step);
    let mut next = [0u64; MOST_STATES];
    for from in bits(usable) {
        let may_be = |&to: &usize| steps.may_be(from, to, &step);
        next[from] =
            bits(usable & neighbours[from]).filter(may_be).fold(0, |all, to| all | 1 << to);
    }
    let firsts = inside[0];
    let reach =
        |reached: u64, &window: &u64| bits(reached).fold(0, |all, from| all | next[from]) & window;
    let lasts = inside[1..].iter().fold(firsts, reach);
    let spread = StepWindow::new(ladder.spread);
    bits(firsts).any(|first| {
        let fits = |&last: &usize| first == last || steps.may_be(first, last, &spread);
        let ends = bits(lasts).filter(fits).fold(0u64, |all, last| all | 1 << last);
        // Where every step goes down, no state comes twice.
        let is_falling = ladder.step.0 > 1.0;
        ends != 0
            && (!is_falling || {
                let next = |gear: usize, from: usize| {
                    let goal = if gear + 2 == inside.len() { ends } else { inside[gear + 1] };
                    next[from] & goal
                };
                may_have_chain(inside.len(), first, &next)
            })
    })
}

/// States looked at until a chain is taken to be there.
const MOST_LOOKS: u32 = 4096;

/// Whether so many gears in turn may each have a state of their own, from a first one on; `next`
/// tells where a shift from a gear and its state may lead. `false` is a proof, `true` none: a
/// long look is broken off.
///
/// Bounds of each step alone do not see that a state comes twice where the ratios of two states
/// are vague: from one to the other and back again.
pub fn may_have_chain(gears: usize, first: usize, next: &impl Fn(usize, usize) -> u64) -> bool {
    fn goes_on(
        place: (usize, usize),
        gears: usize,
        before: u64,
        next: &impl Fn(usize, usize) -> u64,
        left: &mut u32,
    ) -> bool {
        let (gear, state) = place;
        if gear + 1 == gears || *left == 0 {
            return true;
        }
        *left -= 1;
        let before = before | 1 << state;
        bits(next(gear, state) & !before)
            .any(|to| goes_on((gear + 1, to), gears, before, next, left))
    }
    goes_on((0, first), gears, 0, next, &mut { MOST_LOOKS })
}

#[cfg(test)]
mod tests {
    use super::*;
    use itertools::Itertools;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn a_chain_is_found_if_one_of_all_orders_is_one(
            masks in proptest::collection::vec(proptest::collection::vec(0u64..32, 5), 4),
            gears in 1usize..=5,
            first in 0usize..5,
        ) {
            let next = |gear: usize, from: usize| masks[gear][from];
            let is_chain = |order: &Vec<usize>| {
                let mut shifts = order.windows(2).enumerate();
                order[0] == first && shifts.all(|(gear, pair)| next(gear, pair[0]) >> pair[1] & 1 == 1)
            };
            let plain = (0..5).permutations(gears).any(|order| is_chain(&order));
            prop_assert_eq!(may_have_chain(gears, first, &next), plain);
        }
    }
}
