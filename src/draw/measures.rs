//! Dimension lines: an arrow at either end, its length in words.

use super::canvas::{Anchor, Type, text_width};
use super::palette::Ink;
use super::scene::{Point, Scene, Stroke};

/// Of dimension lines and what leads to them.
pub(super) const THIN: f64 = 0.9;

/// Millimetres to two decimals, without those that say nothing.
pub(super) fn mm(length: f64) -> String {
    super::classes::trimmed(&format!("{length:.2}"))
}

/// A level dimension at `y` between `from` and `to`, with lines to it from `starts` (one
/// height for either end). Words stand on it in the middle; where they do not fit between
/// the arrows, to the right of it, with the arrows from outside.
pub(super) fn level(
    scene: &mut Scene,
    [from, to]: [f64; 2],
    y: f64,
    starts: [f64; 2],
    words: &str,
    look: Type,
) {
    let thin = Stroke::solid(Ink::Muted, THIN);
    for (x, start) in [(from, starts[0]), (to, starts[1])] {
        scene.line(&[(x, start), (x, y + 5.0 * (y - start).signum())], thin);
    }
    if text_width(words, look.size) + 26.0 < to - from {
        both_ways(scene, (from, y), (to, y));
        scene.patched(words, ((from + to) / 2.0, y), Anchor::Middle, look);
        return;
    }
    scene.arrow((from - 16.0, y), (from, y), thin);
    scene.arrow((to + 16.0, y), (to, y), thin);
    scene.line(&[(from, y), (to, y)], thin);
    scene.patched(words, (to + 20.0, y), Anchor::Start, look);
}

/// An upright dimension at `x` between `from` and `to`, words on its first quarter, since an
/// axis may be in the middle; lines lead to it from `start`.
pub(super) fn upright(
    scene: &mut Scene,
    [from, to]: [f64; 2],
    x: f64,
    start: f64,
    words: &str,
    look: Type,
) {
    let thin = Stroke::solid(Ink::Muted, THIN);
    for y in [from, to] {
        scene.line(&[(start, y), (x + 5.0 * (x - start).signum(), y)], thin);
    }
    both_ways(scene, (x, from), (x, to));
    scene.patched(words, (x, from + (to - from) / 4.0), Anchor::Middle, look);
}

fn both_ways(scene: &mut Scene, from: Point, to: Point) {
    let thin = Stroke::solid(Ink::Muted, THIN);
    let middle = ((from.0 + to.0) / 2.0, (from.1 + to.1) / 2.0);
    scene.arrow(middle, from, thin);
    scene.arrow(middle, to, thin);
}

/// Moves `places` apart until each is `apart` from the next, in their order, as little as
/// that takes (least squares), and within `ends`, as long as there is room.
pub(super) fn spread(places: &[f64], apart: f64, ends: (f64, f64)) -> Vec<f64> {
    // Without the distances that they must keep, places only must not fall: pools of
    // neighbours that would are put at their mean.
    let mut pools: Vec<(f64, usize)> = Vec::new();
    for (index, &place) in places.iter().enumerate() {
        pools.push((place - apart * index as f64, 1));
        while let [.., (a, m), (b, n)] = pools[..] {
            if a <= b {
                break;
            }
            pools.truncate(pools.len() - 2);
            pools.push(((a * m as f64 + b * n as f64) / (m + n) as f64, m + n));
        }
    }
    let last = ends.1 - apart * places.len().saturating_sub(1) as f64;
    let free = pools.into_iter().flat_map(|(at, count)| std::iter::repeat_n(at, count));
    let kept = free.map(|at| at.min(last).max(ends.0)).enumerate();
    kept.map(|(index, at)| at + apart * index as f64).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_are_moved_apart_as_little_as_need_be() {
        assert_eq!(spread(&[0.0, 10.0], 5.0, (-99.0, 99.0)), [0.0, 10.0]);
        assert_eq!(spread(&[4.0, 4.0, 4.0], 2.0, (-99.0, 99.0)), [2.0, 4.0, 6.0]);
        assert_eq!(spread(&[0.0, 0.0, 9.0], 4.0, (-99.0, 99.0)), [-2.0, 2.0, 9.0]);
        assert_eq!(spread(&[0.0, 0.0], 4.0, (1.0, 99.0)), [1.0, 5.0]);
        assert_eq!(spread(&[8.0, 9.0], 4.0, (1.0, 10.0)), [6.0, 10.0]);
        assert!(spread(&[], 4.0, (1.0, 10.0)).is_empty());
    }
}
