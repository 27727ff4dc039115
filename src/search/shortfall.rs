//! How far some ratios are from being a ladder: what a search for teeth can walk down.
//!
//! Guidance only: nothing is accepted or discarded by it.

use super::gears::{MOST_STATES, bits};
use super::ladder::{Ladder, Window};

/// Relative width of a window's edge, see [`super::ladder::within`].
const EDGE: f64 = 1e-9;

/// Windows of a ladder as logarithms.
pub struct LogLadder {
    windows: Vec<Window>,
    reverse: Vec<Window>,
    step: Window,
    spread: Window,
}

impl LogLadder {
    pub fn new(ladder: &Ladder) -> Self {
        // What lies on an edge is inside, whatever rounding did.
        let logs = |window: &Window| (window.0.ln() - EDGE, window.1.ln() + EDGE);
        Self {
            windows: ladder.windows.iter().map(logs).collect(),
            reverse: ladder.reverse.iter().map(logs).collect(),
            step: logs(&ladder.step),
            spread: logs(&ladder.spread),
        }
    }

    /// The largest amount, as a logarithm, by which a ratio, step or spread of the gears
    /// lies outside its window, for the choice of gears where that is least (but for the
    /// spread, which is judged at the choice that is best without it); 0 for a ladder.
    /// What is not below `bound` is told as infinite. `neighbours` as from
    /// [`Ladder::neighbours`].
    pub fn shortfall(&self, at: &LogRatios, neighbours: &[u64], bound: f64) -> f64 {
        let LogRatios { logs, forward, backward } = at;
        let outside = |states: u64, window: &Window| {
            bits(states).map(|s| off(logs[s], window)).fold(f64::INFINITY, f64::min)
        };
        let reverse =
            self.reverse.iter().map(|window| outside(*backward, window)).fold(0.0, f64::max);
        if reverse >= bound {
            return f64::INFINITY;
        }
        // For each state as the gear reached: the shortfall so far, and the first gear.
        let mut now = [(f64::INFINITY, 0u8); MOST_STATES];
        let mut next = now;
        let mut reached = 0u64;
        for state in bits(*forward) {
            let own = off(logs[state], &self.windows[0]);
            now[state] = (own, state as u8);
            reached |= u64::from(own < bound) << state;
        }
        for window in &self.windows[1..] {
            let mut reached_next = 0;
            for to in bits(*forward) {
                let own = off(logs[to], window);
                let mut best = (bound, 0);
                if own < bound {
                    for from in bits(reached & neighbours[to]) {
                        let (worst, first) = now[from];
                        let worst = worst.max(off(logs[from] - logs[to], &self.step));
                        best = if worst < best.0 { (worst, first) } else { best };
                    }
                }
                next[to] = (best.0.max(own), best.1);
                reached_next |= u64::from(next[to].0 < bound) << to;
            }
            std::mem::swap(&mut now, &mut next);
            reached = reached_next;
            if reached == 0 {
                return f64::INFINITY;
            }
        }
        let ladder = bits(reached).map(|last| {
            let (worst, first) = now[last];
            worst.max(off(logs[usize::from(first)] - logs[last], &self.spread))
        });
        ladder.fold(f64::INFINITY, f64::min).max(reverse)
    }
}

/// The ratios of the states of a layout at one choice of base ratios.
pub struct LogRatios {
    /// Logarithms of the magnitudes; of no meaning for states that turn neither way.
    logs: [f64; MOST_STATES],
    /// The states with a positive ratio, and those with a negative one.
    forward: u64,
    backward: u64,
}

impl LogRatios {
    /// From the ratios of the states; NaN for dead ones.
    pub fn of(ratios: impl Iterator<Item = f64>) -> Self {
        let mut all = Self { logs: [0.0; MOST_STATES], forward: 0, backward: 0 };
        for (state, ratio) in ratios.enumerate() {
            if ratio != 0.0 && !ratio.is_nan() {
                all.logs[state] = ratio.abs().ln();
                let way = if ratio < 0.0 { &mut all.backward } else { &mut all.forward };
                *way |= 1 << state;
            }
        }
        all
    }
}

/// How far a number lies outside a window.
#[inline]
fn off(value: f64, window: &Window) -> f64 {
    (window.0 - value).max(value - window.1).max(0.0)
}

#[cfg(test)]
mod tests {
    use super::super::choose_gears;
    use super::*;
    use crate::score::Progression;
    use crate::search::Shifts;
    use crate::train::ElementMask;
    use proptest::prelude::*;

    proptest! {
        /// Without a bound on the spread, no shortfall is the same as a choice of gears.
        #[test]
        fn none_is_a_ladder(ratios in proptest::collection::vec(-4.0f64..6.0, 6), single in any::<bool>()) {
            let states: Vec<ElementMask> =
                [0b0011, 0b0101, 0b1001, 0b0110, 0b1010, 0b1100].map(ElementMask).to_vec();
            let ladder = Ladder {
                windows: vec![(2.0, 6.0), (0.8, 4.0), (0.3, 1.5)],
                step: (1.1, 2.5),
                spread: (1.0, f64::INFINITY),
                reverse: vec![(0.5, 4.0)],
                shifts: if single { Shifts::SingleSwap } else { Shifts::Any },
                progression: Progression::Geometric,
            };
            let neighbours = ladder.neighbours(&states);
            let shortfall = LogLadder::new(&ladder).shortfall(&LogRatios::of(ratios.iter().copied()), &neighbours, f64::INFINITY);
            let chosen = choose_gears(&ratios, &neighbours, &ladder, |deviation, _| deviation);
            prop_assert_eq!(shortfall == 0.0, chosen.is_some());
        }
    }
}
