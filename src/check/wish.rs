//! What the gears must be, read off the brief once more: windows, steps, spread, shifts.

use num_traits::Signed;

use crate::brief::GearWish;
use crate::num::Fraction;
use crate::score::Progression;

/// How wide the edge of a window is, in parts of it: a bound of a brief is a float.
const EDGE: f64 = 1e-9;

pub type Window = (f64, f64);

/// What the gears of a layout must be.
#[derive(Clone, Debug)]
pub struct Wish {
    /// Window of each forward gear, first to top; between them only the steps bind.
    pub forward: Vec<Window>,
    /// Windows of the magnitudes of the reverse gears.
    pub reverse: Vec<Window>,
    pub step: Window,
    pub spread: Window,
    pub single_swap: bool,
    pub progression: Progression,
}

impl Wish {
    pub fn of(wish: &GearWish) -> Self {
        let mut forward = vec![(0.0, f64::INFINITY); wish.forward];
        let mut reverse = vec![wish.reverse_ratio; wish.reverse];
        match &wish.targets {
            Some(targets) => {
                forward = targets.forward.iter().map(|&ratio| targets.window(ratio)).collect();
                if !targets.reverse.is_empty() {
                    reverse = targets.reverse.iter().map(|&ratio| targets.window(ratio)).collect();
                }
            }
            None => {
                forward[0] = wish.first;
                let top = &mut forward[wish.forward - 1];
                *top = (top.0.max(wish.top.0), top.1.min(wish.top.1));
            }
        }
        Self {
            forward,
            reverse,
            step: wish.step,
            spread: wish.spread,
            single_swap: wish.single_swap,
            progression: wish.progression.clone(),
        }
    }

    /// The names of the gears, forward first to top, then reverse.
    pub fn names(&self) -> Vec<String> {
        let forward = (1..=self.forward.len()).map(|gear| gear.to_string());
        let reverse = (1..=self.reverse.len()).map(|gear| match self.reverse.len() {
            1 => "R".to_owned(),
            _ => format!("R{gear}"),
        });
        forward.chain(reverse).collect()
    }

    /// ln φ* of the wanted steps, first to top, for a ladder of such a spread. All alike; or
    /// falling by a fixed factor, φ*_k / φ*_{k+1}, their product the spread; or those of given
    /// ratios.
    pub fn wanted_steps(&self, log_spread: f64) -> Vec<f64> {
        let steps = self.forward.len() - 1;
        let even = log_spread / steps.max(1) as f64;
        match &self.progression {
            Progression::Geometric => vec![even; steps],
            Progression::Progressive { factor } => {
                // Step k is factor^(middle − k) times the mean one, so the factors cancel.
                let middle = (steps as f64 - 1.0) / 2.0;
                (0..steps).map(|k| even + (middle - k as f64) * factor.ln()).collect()
            }
            Progression::Given(ratios) => {
                ratios.windows(2).map(|pair| pair[0].ln() - pair[1].ln()).collect()
            }
        }
    }

    /// Whether a shift between these two states is one that the brief allows.
    pub fn allows_shift(&self, from: u32, to: u32) -> bool {
        let (released, applied) = ((from & !to).count_ones(), (to & !from).count_ones());
        from != to && (!self.single_swap || (released == 1 && applied == 1))
    }
}

/// Whether a float lies in a window, edges included.
pub fn inside(value: f64, (least, most): Window) -> bool {
    value >= least * (1.0 - EDGE) && value <= most * (1.0 + EDGE)
}

/// Whether a fraction of positive numbers lies in a window, edges included; compared exactly.
pub fn holds(value: &Fraction, (least, most): Window) -> bool {
    let bound = |edge: f64| Fraction::from_float(edge);
    let above = bound(least * (1.0 - EDGE)).is_none_or(|least| *value >= least);
    // An endless window has no fraction.
    let below = bound(most * (1.0 + EDGE)).is_none_or(|most| *value <= most);
    value.is_positive() && above && below
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::num::fraction;

    #[test]
    fn edges_are_inside_whatever_floats_make_of_them() {
        assert!(holds(&fraction(11, 10), (1.1, 1.8)) && holds(&fraction(9, 5), (1.1, 1.8)));
        assert!(!holds(&fraction(1_099_999, 1_000_000), (1.1, 1.8)));
        assert!(holds(&fraction(900, 1), (1.0, f64::INFINITY)));
        assert!(!holds(&fraction(-2, 1), (0.0, f64::INFINITY)));
        assert!(inside(1.1, (1.1, 1.8)) && !inside(f64::NAN, (1.1, 1.8)));
    }
}
