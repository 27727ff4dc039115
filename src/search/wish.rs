//! From the brief's wish to the ladder that the search works with.

use super::ladder::{Ladder, Shifts, Window};
use crate::brief::GearWish;

impl Ladder {
    /// The ladder of a brief, every gear's window narrowed by what the steps allow.
    pub fn of(wish: &GearWish) -> Self {
        let windows = match &wish.targets {
            Some(targets) => targets.forward.iter().map(|&t| targets.window(t)).collect(),
            None => banded(wish),
        };
        let reverse = match &wish.targets {
            Some(targets) if !targets.reverse.is_empty() => {
                targets.reverse.iter().map(|&t| targets.window(t)).collect()
            }
            _ => vec![wish.reverse_ratio; wish.reverse],
        };
        Self {
            windows,
            step: wish.step,
            spread: wish.spread,
            reverse,
            shifts: if wish.single_swap { Shifts::SingleSwap } else { Shifts::Any },
            progression: wish.progression.clone(),
        }
    }
}

/// Gear k lies k steps below the first window and n − 1 − k steps above the top window.
fn banded(wish: &GearWish) -> Vec<Window> {
    let last = wish.forward - 1;
    let window = |k: usize| {
        let (down, up) = (k as i32, (last - k) as i32);
        let from_first =
            (wish.first.0 / wish.step.1.powi(down), wish.first.1 / wish.step.0.powi(down));
        let from_top = (wish.top.0 * wish.step.0.powi(up), wish.top.1 * wish.step.1.powi(up));
        (from_first.0.max(from_top.0), from_first.1.min(from_top.1))
    };
    (0..=last).map(window).collect()
}
