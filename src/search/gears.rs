//! From states to gears: which states make the ladder that the brief wants.
//!
//! Gears are chosen so that ratios fall, steps lie in the band, neighbours differ by one
//! element released and one applied (if asked), and the largest deviation of a step from
//! the wanted one is least. For a given first and last gear that is a bottleneck path,
//! found exactly by dynamic programming over the states sorted by ratio.

use serde::{Deserialize, Serialize};

use super::ladder::{Ladder, Window, within};

/// Most states of a layout that the choice can handle: one bit each.
pub const MOST_STATES: usize = 64;

/// The set bits of a mask, rising.
pub fn bits(mask: u64) -> impl Iterator<Item = usize> {
    let mut left = mask;
    std::iter::from_fn(move || {
        let bit = left.trailing_zeros() as usize;
        left &= left.wrapping_sub(1);
        (bit < 64).then_some(bit)
    })
}

/// A choice of gears at given base ratios.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Chain {
    /// The states of the forward gears, first to top.
    pub forward: Vec<usize>,
    /// The states of the reverse gears.
    pub reverse: Vec<usize>,
    pub log_spread: f64,
    /// max_k |ln φ_k − ln φ*_k|.
    pub deviation: f64,
}

/// Chooses the gears with the least `cost(deviation, ln spread)`; `None` when no choice
/// meets the ladder. `ratios` has NaN for dead states.
pub fn choose_gears(
    ratios: &[f64],
    neighbours: &[u64],
    ladder: &Ladder,
    cost: impl Fn(f64, f64) -> f64,
) -> Option<Chain> {
    let mut best: Option<(f64, Chain)> = None;
    let graph = Graph::new(ratios, neighbours, ladder)?;
    for (first, last, log_spread) in graph.ends(ratios, ladder) {
        let bound = best.as_ref().map_or(f64::INFINITY, |(cost, _)| *cost);
        if cost(0.0, log_spread) >= bound {
            continue;
        }
        if let Some((deviation, forward)) = graph.evenest(first, last, log_spread, ladder) {
            let cost = cost(deviation, log_spread);
            if cost < bound {
                let reverse = Vec::new();
                best = Some((cost, Chain { forward, reverse, log_spread, deviation }));
            }
        }
    }
    let (_, mut chain) = best?;
    chain.reverse = choose_reverse(ratios, ratios[chain.forward[0]], ladder)?;
    Some(chain)
}

/// For every pair of a first and a last gear the evenest ladder between them.
pub fn all_choices(ratios: &[f64], neighbours: &[u64], ladder: &Ladder) -> Vec<Chain> {
    let Some(graph) = Graph::new(ratios, neighbours, ladder) else { return Vec::new() };
    let choice = |(first, last, log_spread)| {
        let (deviation, forward) = graph.evenest(first, last, log_spread, ladder)?;
        let reverse = choose_reverse(ratios, ratios[first], ladder)?;
        Some(Chain { forward, reverse, log_spread, deviation })
    };
    graph.ends(ratios, ladder).filter_map(choice).collect()
}

/// A state of its own ratio for each reverse window: in turn the one whose magnitude is
/// nearest to the first gear's ratio, unless that leaves none for a later window.
pub(super) fn choose_reverse(ratios: &[f64], first: f64, ladder: &Ladder) -> Option<Vec<usize>> {
    reverse_with(ratios, first, ladder, &|_| true)
}

/// The first of such choices that is wanted.
pub(super) fn reverse_with(
    ratios: &[f64],
    first: f64,
    ladder: &Ladder,
    is_wanted: &dyn Fn(&[usize]) -> bool,
) -> Option<Vec<usize>> {
    let mut chosen = Vec::new();
    place_reverse(ratios, first, &ladder.reverse, &mut chosen, is_wanted).then_some(chosen)
}

fn place_reverse(
    ratios: &[f64],
    first: f64,
    windows: &[Window],
    chosen: &mut Vec<usize>,
    is_wanted: &dyn Fn(&[usize]) -> bool,
) -> bool {
    let Some((&window, later)) = windows.split_first() else { return is_wanted(chosen) };
    let repeats =
        |state: usize| chosen.iter().any(|&other| same_ratio(ratios[other], ratios[state]));
    let mut fitting: Vec<usize> = (0..ratios.len())
        .filter(|&state| within(-ratios[state], window) && !repeats(state))
        .collect();
    let distance = |state: &usize| (-ratios[*state] / first).ln().abs();
    fitting.sort_by(|a, b| distance(a).total_cmp(&distance(b)));
    fitting.into_iter().any(|state| {
        chosen.push(state);
        let placed = place_reverse(ratios, first, later, chosen, is_wanted);
        if !placed {
            chosen.pop();
        }
        placed
    })
}

fn same_ratio(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-9 * a.abs()
}

/// States and allowed shifts at given base ratios.
pub(super) struct Graph {
    pub logs: Vec<f64>,
    /// For each gear, the states inside its window.
    pub inside: Vec<u64>,
    /// For each state, where a shift up may lead.
    pub next: Vec<u64>,
    /// For each gear, the states that some chain from a first gear reaches.
    reached: Vec<u64>,
}

impl Graph {
    /// `None` when no chain of gears reaches the top window.
    pub fn new(ratios: &[f64], neighbours: &[u64], ladder: &Ladder) -> Option<Self> {
        let inside: Vec<u64> = ladder.windows.iter().map(|w| inside(ratios, *w)).collect();
        let usable = inside.iter().fold(0, |all, mask| all | mask);
        let mut next = vec![0u64; ratios.len()];
        for from in bits(usable) {
            for to in bits(usable & neighbours[from]) {
                let step = ratios[from] / ratios[to];
                if within(step, ladder.step) {
                    next[from] |= 1 << to;
                }
            }
        }
        let mut reached = Vec::with_capacity(inside.len());
        let mut now = inside[0];
        reached.push(now);
        for mask in &inside[1..] {
            now = bits(now).fold(0, |all, from| all | next[from]) & mask;
            reached.push(now);
        }
        let reverse = ladder.reverse.iter().all(|w| inside_reverse(ratios, *w));
        (now != 0 && reverse).then(|| Self {
            logs: ratios.iter().map(|ratio| ratio.ln()).collect(),
            inside,
            next,
            reached,
        })
    }

    /// Pairs of a first and a last gear whose spread the ladder allows, with its logarithm.
    fn ends(&self, ratios: &[f64], ladder: &Ladder) -> impl Iterator<Item = (usize, usize, f64)> {
        let lasts = self.reached[self.reached.len() - 1];
        let pairs =
            bits(self.inside[0]).flat_map(move |first| bits(lasts).map(move |last| (first, last)));
        pairs.filter_map(|(first, last)| {
            let spread = ratios[first] / ratios[last];
            within(spread, ladder.spread).then(|| (first, last, spread.ln()))
        })
    }

    /// The chain from `first` to `last` whose largest deviation is least, and that deviation.
    pub fn evenest(
        &self,
        first: usize,
        last: usize,
        log_spread: f64,
        ladder: &Ladder,
    ) -> Option<(f64, Vec<usize>)> {
        let states = self.logs.len();
        let gears = ladder.forward();
        if gears == 1 {
            return (first == last).then(|| (0.0, vec![first]));
        }
        let wanted = ladder.progression.wanted(log_spread, gears);
        let mut worst = [[f64::INFINITY; MOST_STATES]; 2];
        let mut from = vec![[u8::MAX; MOST_STATES]; gears];
        worst[0][first] = 0.0;
        let mut now = 1u64 << first;
        for (gear, wanted) in wanted.iter().enumerate() {
            let (old, new) = (worst[gear % 2], &mut worst[(gear + 1) % 2]);
            new[..states].fill(f64::INFINITY);
            let goal = if gear + 2 == gears { 1 << last } else { self.inside[gear + 1] };
            let mut reached = 0u64;
            for state in bits(now) {
                for to in bits(self.next[state] & goal) {
                    let deviation = (self.logs[state] - self.logs[to] - wanted).abs();
                    let worst = old[state].max(deviation);
                    if worst < new[to] {
                        new[to] = worst;
                        from[gear + 1][to] = state as u8;
                        reached |= 1 << to;
                    }
                }
            }
            now = reached;
        }
        let deviation = worst[(gears - 1) % 2][last];
        if now == 0 || !deviation.is_finite() {
            return None;
        }
        let mut chain = vec![last];
        for gear in (1..gears).rev() {
            chain.push(usize::from(from[gear][chain[chain.len() - 1]]));
        }
        chain.reverse();
        Some((deviation, chain))
    }
}

fn inside(ratios: &[f64], window: Window) -> u64 {
    let fits = |&ratio: &f64| u64::from(within(ratio, window));
    ratios.iter().enumerate().fold(0, |mask, (state, ratio)| mask | fits(ratio) << state)
}

fn inside_reverse(ratios: &[f64], window: Window) -> bool {
    ratios.iter().any(|ratio| within(-ratio, window))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::score::Progression;
    use crate::search::bounds::{Bounds, Span};
    use crate::search::ladder::Shifts;
    use crate::search::possible::{LooseSteps, may_have_ladder};
    use crate::train::ElementMask;
    use itertools::Itertools;
    use proptest::prelude::*;

    fn ladder(forward: usize, shifts: Shifts) -> Ladder {
        Ladder {
            windows: vec![(0.3, 8.0); forward],
            step: (1.1, 2.5),
            spread: (1.5, 50.0),
            reverse: vec![],
            shifts,
            progression: Progression::Geometric,
        }
    }

    fn around(ratio: f64, width: f64) -> Bounds {
        let magnitude = ratio.abs();
        let low = (magnitude - width).max(0.0) as f32;
        let span = Span { low, high: (magnitude + width) as f32 };
        if ratio > 0.0 {
            Bounds { forward: span, reverse: Span::EMPTY }
        } else {
            Bounds { forward: Span::EMPTY, reverse: span }
        }
    }

    /// Every falling sequence of states, tried one by one.
    fn plain_choice(ratios: &[f64], near: &[u64], ladder: &Ladder) -> Option<f64> {
        let sequences = (0..ratios.len()).permutations(ladder.forward());
        let fits = |chain: &Vec<usize>| {
            let windows = chain.iter().zip(&ladder.windows);
            let inside = windows.into_iter().all(|(&s, w)| ratios[s] >= w.0 && ratios[s] <= w.1);
            let steps = chain.windows(2).all(|pair| {
                let step = ratios[pair[0]] / ratios[pair[1]];
                let allowed = step >= ladder.step.0 && step <= ladder.step.1;
                allowed && near[pair[0]] >> pair[1] & 1 == 1
            });
            let spread = ratios[chain[0]] / ratios[chain[chain.len() - 1]];
            inside && steps && spread >= ladder.spread.0 && spread <= ladder.spread.1
        };
        sequences
            .filter(fits)
            .map(|chain| {
                let chosen: Vec<f64> = chain.iter().map(|&s| ratios[s]).collect();
                ladder.progression.deviation(&chosen)
            })
            .min_by(f64::total_cmp)
    }

    /// The nearest state for the first window would leave none for the second.
    #[test]
    fn reverses_make_room_for_each_other() {
        let mut ladder = ladder(1, Shifts::Any);
        ladder.reverse = vec![(2.9, 3.1), (3.0, 3.2)];
        let ratios = [3.06, -2.95, -3.05];
        assert_eq!(choose_reverse(&ratios, ratios[0], &ladder), Some(vec![1, 2]));
        assert_eq!(choose_reverse(&ratios[..2], ratios[0], &ladder), None);
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(300))]

        #[test]
        fn the_choice_is_the_best_of_all_sequences(
            ratios in proptest::collection::vec(-4.0f64..7.0, 10),
            forward in 1usize..6,
            single in any::<bool>(),
        ) {
            let shifts = if single { Shifts::SingleSwap } else { Shifts::Any };
            let ladder = ladder(forward, shifts);
            let states: Vec<ElementMask> =
                (0..5).combinations(2).map(ElementMask::of).collect();
            let near = ladder.neighbours(&states);
            let chosen = choose_gears(&ratios, &near, &ladder, |deviation, _| deviation);
            let plain = plain_choice(&ratios, &near, &ladder);
            prop_assert_eq!(chosen.is_some(), plain.is_some());
            if let (Some(chain), Some(plain)) = (chosen, plain) {
                prop_assert!((chain.deviation - plain).abs() < 1e-12);
                let bounds: Vec<Bounds> = ratios
                    .iter()
                    .map(|&r| around(r, 0.1))
                    .collect();
                prop_assert!(may_have_ladder(&bounds, &LooseSteps(&bounds), &near, &ladder));
            }
        }
    }
}
