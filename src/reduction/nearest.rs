//! The series of stages whose ratio is nearest to the wanted one: proved, by meeting in the
//! middle.

use super::choice::Choices;
use super::stages::{Stage, stages};
use crate::brief::Direction;

/// A series and how far off it is.
pub(super) struct Nearest<'a> {
    /// |i / wanted i − 1|.
    pub off: f64,
    pub stages: Vec<Stage<'a>>,
}

/// More different stage ratios than this make too many pairs for the memory.
const MOST_STAGES: usize = 6000;
/// Pairs that are sorted between two questions whether to go on.
const PART: usize = 1 << 20;

/// Of all series of four stages the nearest to `target`; ratios of other stages cannot make
/// a nearer one, so its error is a lower bound of all series of four sets, whatever else a
/// brief asks. `None` where there are no stages, too many to pair, or `stopped` says so.
///
/// All products of two stages are sorted; walking up in one copy and down in the other
/// meets every pair of pairs that is nearest to the target. E. Horowitz, S. Sahni, J. ACM 21
/// (1974), 277–292.
pub(super) fn nearest_four<'a>(
    choices: &'a [Choices; 2],
    target: f64,
    direction: Direction,
    stopped: &dyn Fn() -> bool,
) -> Option<Nearest<'a>> {
    let stages = different(stages(choices));
    if stages.is_empty() || stages.len() > MOST_STAGES {
        return None;
    }
    let mut pairs: Vec<Pair> = Vec::with_capacity(stages.len() * (stages.len() + 1) / 2);
    for (a, one) in stages.iter().enumerate() {
        if stopped() {
            return None;
        }
        for (b, two) in stages.iter().enumerate().skip(a) {
            let ratio = one.ratio * two.ratio;
            let (a, b) = (a as u16, b as u16);
            pairs.push(Pair { log: ratio.abs().ln(), reverses: ratio < 0.0, stages: [a, b] });
        }
    }
    // Part by part, so that a stop is heard; the sort of all finds the parts in order.
    let order = |a: &Pair, b: &Pair| a.log.total_cmp(&b.log).then(a.stages.cmp(&b.stages));
    for part in pairs.chunks_mut(PART) {
        if stopped() {
            return None;
        }
        part.sort_by(order);
    }
    pairs.sort_by(order);
    let (same, turned): (Vec<Pair>, Vec<Pair>) = pairs.into_iter().partition(|p| !p.reverses);
    let goal = target.ln();
    let ahead = [(&same, &same), (&turned, &turned)];
    let back = [(&same, &turned)];
    let tried: Vec<(&Vec<Pair>, &Vec<Pair>)> = match direction {
        Direction::Same => ahead.to_vec(),
        Direction::Reversed => back.to_vec(),
        Direction::Either => ahead.into_iter().chain(back).collect(),
    };
    let best = tried.into_iter().filter_map(|(up, down)| closest(up, down, goal));
    let (log, four) = best.min_by(|a, b| (a.0 - goal).abs().total_cmp(&(b.0 - goal).abs()))?;
    let stages = four.map(|index| stages[usize::from(index)]).to_vec();
    Some(Nearest { off: (log - goal).exp_m1().abs(), stages })
}

struct Pair {
    /// ln |i|.
    log: f64,
    reverses: bool,
    stages: [u16; 2],
}

/// The sum of a pair of each list that is nearest to `goal`.
fn closest(up: &[Pair], down: &[Pair], goal: f64) -> Option<(f64, [u16; 4])> {
    let mut best: Option<(f64, [u16; 4])> = None;
    let mut high = down.len();
    for low in up {
        while high > 0 {
            let sum = low.log + down[high - 1].log;
            if best.as_ref().is_none_or(|(known, _)| (sum - goal).abs() < (known - goal).abs()) {
                let [[a, b], [c, d]] = [low.stages, down[high - 1].stages];
                best = Some((sum, [a, b, c, d]));
            }
            if sum < goal {
                break;
            }
            high -= 1;
        }
        // The one below may be nearer for the next of the first list: it stays in reach.
        if high == 0 {
            break;
        }
    }
    best
}

/// Stages of equal ratio once.
fn different(mut stages: Vec<Stage<'_>>) -> Vec<Stage<'_>> {
    stages.sort_by(|a, b| a.ratio.total_cmp(&b.ratio));
    stages.dedup_by(|a, b| (a.ratio / b.ratio - 1.0).abs() < 1e-13);
    stages
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reduction::choice::RatioClass;
    use proptest::prelude::*;

    fn choices(ratios: &[f64]) -> [Choices; 2] {
        let mut ratios = ratios.to_vec();
        ratios.sort_by(f64::total_cmp);
        let class = |&ratio: &f64| RatioClass {
            ratio,
            choices: Vec::new(),
            least_diameter: 0.0,
            least_module: 1.0,
            least_parts: 0,
        };
        [Choices { classes: ratios.iter().map(class).collect() }, Choices::default()]
    }

    proptest! {
        /// The plain way: all four stages of all.
        #[test]
        fn four_stages_are_as_near_as_all_of_all(
            ratios in proptest::collection::vec(1.5f64..8.0, 1..4),
            target in 2.0f64..400.0,
            which in 0usize..3,
        ) {
            let choices = choices(&ratios);
            let direction = [Direction::Same, Direction::Reversed, Direction::Either][which];
            let all: Vec<f64> = stages(&choices).iter().map(|stage| stage.ratio).collect();
            let mut best = f64::INFINITY;
            for a in &all { for b in &all { for c in &all { for d in &all {
                let ratio = a * b * c * d;
                let fits = match direction {
                    Direction::Same => ratio > 0.0,
                    Direction::Reversed => ratio < 0.0,
                    Direction::Either => true,
                };
                if fits {
                    best = best.min((ratio.abs() / target).ln().abs());
                }
            } } } }
            let found = nearest_four(&choices, target, direction, &|| false).unwrap();
            let product: f64 = found.stages.iter().map(|stage| stage.ratio).product();
            prop_assert!(((product.abs() / target).ln().abs() - best).abs() < 1e-9);
            prop_assert!((found.off - (product.abs() / target - 1.0).abs()).abs() < 1e-9);
        }
    }
}
