//! The ladder of gears that is wanted, in the search's own terms.

use crate::score::Progression;
use crate::train::ElementMask;

/// Relative width of a window's edge, for ratios that were rounded once.
const EDGE: f64 = 1e-9;

/// A closed range of numbers.
pub type Window = (f64, f64);

/// Whether a value lies in a window; what lies on an edge is inside, whatever rounding did.
#[inline]
pub fn within(value: f64, window: Window) -> bool {
    value >= window.0 * (1.0 - EDGE) && value <= window.1 * (1.0 + EDGE)
}

/// What the gears must be.
#[derive(Clone, Debug, PartialEq)]
pub struct Ladder {
    /// Where the ratio of each forward gear may lie, first to top.
    pub windows: Vec<Window>,
    /// Step between neighbours, i_k / i_{k+1}.
    pub step: Window,
    /// First ratio / last ratio.
    pub spread: Window,
    /// Magnitudes of the reverse ratios, one window a reverse gear.
    pub reverse: Vec<Window>,
    pub shifts: Shifts,
    pub progression: Progression,
}

/// What a shift to a neighbouring gear may change.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shifts {
    Any,
    /// One element is released and one applied.
    SingleSwap,
}

impl Ladder {
    pub fn forward(&self) -> usize {
        self.windows.len()
    }

    /// Forward and reverse gears together: states with different ratios that are needed.
    pub fn gears(&self) -> usize {
        self.windows.len() + self.reverse.len()
    }

    /// Whether ratios, forward first to top and then the reverses, meet all windows.
    pub fn holds(&self, ratios: &[f64]) -> bool {
        if ratios.len() != self.gears() {
            return false;
        }
        let (forward, reverse) = ratios.split_at(self.forward());
        let steps = forward.windows(2).all(|pair| within(pair[0] / pair[1], self.step));
        forward.iter().zip(&self.windows).all(|(&ratio, &window)| within(ratio, window))
            && reverse.iter().zip(&self.reverse).all(|(&ratio, &window)| within(-ratio, window))
            && steps
            && within(forward[0] / forward[forward.len() - 1], self.spread)
    }

    /// For each state the states that may be its neighbour in the ladder.
    pub fn neighbours(&self, states: &[ElementMask]) -> Vec<u64> {
        let near = |a: ElementMask, b: ElementMask| match self.shifts {
            Shifts::Any => a != b,
            Shifts::SingleSwap => (a.0 & !b.0).count_ones() == 1 && (b.0 & !a.0).count_ones() == 1,
        };
        let bits = |&a: &ElementMask| {
            let near = states.iter().enumerate().filter(|&(_, &b)| near(a, b));
            near.fold(0u64, |mask, (index, _)| mask | 1 << index)
        };
        states.iter().map(bits).collect()
    }
}
