//! Which states are the gears, by a plain walk: from the first gear down, one allowed step after
//! the other, left off where it is no better than what was found.

use super::wish::{Wish, inside};

/// Most states of a layout: one bit each, as in a search.
pub const MOST_STATES: usize = 64;
/// Most forward gears of a brief.
const MOST_GEARS: usize = 16;

/// Gears of a layout at some base ratios.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// Numbers of the states, first gear to top.
    pub forward: Vec<usize>,
    pub reverse: Vec<usize>,
    pub log_spread: f64,
    /// max_k |ln φ_k − ln φ*_k|.
    pub deviation: f64,
}

/// Chooses gears for layouts with the same states.
pub struct Chooser<'a> {
    wish: &'a Wish,
    /// The elements of each state, as bits.
    pub states: Vec<u32>,
    /// For each state, those that a shift may lead to.
    near: Vec<u64>,
}

/// What the ratios at hand allow.
struct Rungs {
    logs: [f64; MOST_STATES],
    /// For each state, those one allowed step below it.
    below: [u64; MOST_STATES],
    /// For each gear, the states that a ladder from a first gear can have there.
    reached: [u64; MOST_GEARS],
}

impl<'a> Chooser<'a> {
    /// # Panics
    /// With more than [`MOST_STATES`] states or too many gears, which no brief lets through.
    pub fn new(wish: &'a Wish, states: Vec<u32>) -> Self {
        assert!(states.len() <= MOST_STATES && wish.forward.len() <= MOST_GEARS);
        let near = states.iter().map(|&from| {
            let to = states.iter().enumerate();
            to.filter(|&(_, &to)| wish.allows_shift(from, to)).fold(0, |bits, (i, _)| bits | 1 << i)
        });
        Self { wish, near: near.collect(), states }
    }

    /// For each first and last gear that the brief allows, the evenest ladder between them, with
    /// the reverses nearest to the first gear. `ratios` has NaN for dead states.
    pub fn all(&self, ratios: &[f64]) -> Vec<Choice> {
        let Some(rungs) = self.rungs(ratios) else { return Vec::new() };
        let mut choices = Vec::new();
        for first in bits(rungs.reached[0]) {
            let mut reverse = None;
            for last in bits(rungs.reached[self.wish.forward.len() - 1]) {
                let log_spread = rungs.logs[first] - rungs.logs[last];
                if !inside(ratios[first] / ratios[last], self.wish.spread) {
                    continue;
                }
                let Some((deviation, forward)) = self.evenest(&rungs, first, last) else {
                    continue;
                };
                let chosen = reverse.get_or_insert_with(|| self.reverses(ratios, ratios[first]));
                if let Some(reverse) = chosen.clone() {
                    choices.push(Choice { forward, reverse, log_spread, deviation });
                }
            }
        }
        choices
    }

    /// Whether some element is engaged in none of the gears.
    pub fn leaves_spare(&self, choice: &Choice, elements: usize) -> bool {
        let gears = choice.forward.iter().chain(&choice.reverse);
        let used = gears.fold(0, |used, &state| used | self.states[state]);
        (used.count_ones() as usize) < elements
    }

    /// `None` where no ladder reaches the top gear, or a reverse is wanting: quickly known, and so
    /// for nearly all layouts.
    fn rungs(&self, ratios: &[f64]) -> Option<Rungs> {
        let window = |gear: usize| {
            let fits = |&(_, &ratio): &(usize, &f64)| inside(ratio, self.wish.forward[gear]);
            ratios.iter().enumerate().filter(fits).fold(0u64, |bits, (i, _)| bits | 1 << i)
        };
        let has_reverse = |window| ratios.iter().any(|ratio| inside(-ratio, window));
        let forward = ratios.iter().filter(|ratio| **ratio > 0.0).count();
        let enough = forward >= self.wish.forward.len();
        if !enough || !self.wish.reverse.iter().all(|&window| has_reverse(window)) {
            return None;
        }
        let mut below = [0u64; MOST_STATES];
        for (from, bits) in below.iter_mut().enumerate().take(ratios.len()) {
            for (to, ratio) in ratios.iter().enumerate() {
                let allowed = self.near[from] >> to & 1 == 1;
                if allowed && *ratio > 0.0 && inside(ratios[from] / ratio, self.wish.step) {
                    *bits |= 1 << to;
                }
            }
        }
        let mut reached = [0u64; MOST_GEARS];
        reached[0] = window(0);
        for gear in 1..self.wish.forward.len() {
            let next = bits(reached[gear - 1]).fold(0, |all, from| all | below[from]);
            reached[gear] = next & window(gear);
        }
        if reached[self.wish.forward.len() - 1] == 0 {
            return None;
        }
        let mut logs = [f64::NAN; MOST_STATES];
        logs.iter_mut().zip(ratios).for_each(|(log, ratio)| *log = ratio.ln());
        Some(Rungs { logs, below, reached })
    }

    /// The ladder from `first` to `last` whose largest deviation is least, and that deviation.
    fn evenest(&self, rungs: &Rungs, first: usize, last: usize) -> Option<(f64, Vec<usize>)> {
        let gears = self.wish.forward.len();
        let wanted = self.wish.wanted_steps(rungs.logs[first] - rungs.logs[last]);
        let mut walk = Walk { rungs, wanted: &wanted, last, best: f64::INFINITY, ladder: None };
        let mut ladder = [0; MOST_GEARS];
        ladder[0] = first;
        walk.down(&mut ladder, 0, 0.0);
        walk.ladder.map(|ladder| (walk.best, ladder[..gears].to_vec()))
    }

    /// In turn for each window the state whose magnitude is nearest to the first gear's ratio,
    /// each with a ratio of its own.
    fn reverses(&self, ratios: &[f64], first: f64) -> Option<Vec<usize>> {
        let mut chosen = Vec::new();
        self.place(ratios, first, &mut chosen).then_some(chosen)
    }

    fn place(&self, ratios: &[f64], first: f64, chosen: &mut Vec<usize>) -> bool {
        let Some(&window) = self.wish.reverse.get(chosen.len()) else { return true };
        let new = |state: &usize| {
            let ratio = ratios[*state];
            chosen.iter().all(|&other: &usize| (ratios[other] / ratio - 1.0).abs() > 1e-9)
        };
        let fits = |state: &usize| inside(-ratios[*state], window) && new(state);
        let mut fitting: Vec<usize> = (0..ratios.len()).filter(fits).collect();
        let off = |state: usize| (-ratios[state] / first).ln().abs();
        fitting.sort_by(|&a, &b| off(a).total_cmp(&off(b)));
        for state in fitting {
            chosen.push(state);
            if self.place(ratios, first, chosen) {
                return true;
            }
            chosen.pop();
        }
        false
    }
}

/// The walk down all ladders between two states.
struct Walk<'a> {
    rungs: &'a Rungs,
    wanted: &'a [f64],
    last: usize,
    best: f64,
    ladder: Option<[usize; MOST_GEARS]>,
}

impl Walk<'_> {
    fn down(&mut self, ladder: &mut [usize; MOST_GEARS], gear: usize, worst: f64) {
        let here = ladder[gear];
        if gear == self.wanted.len() {
            if here == self.last && worst < self.best {
                (self.best, self.ladder) = (worst, Some(*ladder));
            }
            return;
        }
        for to in bits(self.rungs.below[here] & self.rungs.reached[gear + 1]) {
            // Ratios fall, so beyond the last gear there is no way back to it.
            if self.rungs.logs[to] < self.rungs.logs[self.last] {
                continue;
            }
            let step = self.rungs.logs[here] - self.rungs.logs[to];
            let worst = worst.max((step - self.wanted[gear]).abs());
            if worst < self.best {
                ladder[gear + 1] = to;
                self.down(ladder, gear + 1, worst);
            }
        }
    }
}

/// The numbers of the bits that are set, rising.
fn bits(mut mask: u64) -> impl Iterator<Item = usize> {
    std::iter::from_fn(move || {
        let bit = (mask != 0).then(|| mask.trailing_zeros() as usize)?;
        mask &= mask - 1;
        Some(bit)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::score::Progression;
    use itertools::Itertools;
    use proptest::prelude::*;

    fn wish(forward: usize, single_swap: bool) -> Wish {
        Wish {
            forward: vec![(0.3, 8.0); forward],
            reverse: vec![(0.5, 9.0)],
            step: (1.1, 2.5),
            spread: (1.5, 50.0),
            single_swap,
            progression: Progression::Geometric,
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(200))]

        /// Every order of states is tried, one by one.
        #[test]
        fn each_pair_of_ends_has_its_evenest_ladder(
            ratios in proptest::collection::vec(-4.0f64..7.0, 10),
            forward in 1usize..6,
            single_swap in any::<bool>(),
        ) {
            let wish = wish(forward, single_swap);
            let states: Vec<u32> =
                (0..5).combinations(2).map(|pair| 1 << pair[0] | 1 << pair[1]).collect();
            let chooser = Chooser::new(&wish, states.clone());
            let chosen = chooser.all(&ratios);
            let reverse = ratios.iter().any(|ratio| inside(-ratio, (0.5, 9.0)));
            let ladders = (0..ratios.len()).permutations(forward).filter(|ladder| {
                let end = |place: usize| ratios[ladder[place]];
                ladder.iter().all(|&state| inside(ratios[state], (0.3, 8.0)))
                    && inside(end(0) / end(forward - 1), wish.spread)
                    && ladder.windows(2).all(|pair| {
                        let swap = (states[pair[0]] ^ states[pair[1]]).count_ones() == 2;
                        inside(ratios[pair[0]] / ratios[pair[1]], wish.step) && (swap || !single_swap)
                    })
            });
            let mut plain: Vec<(usize, usize, f64)> = Vec::new();
            for ladder in ladders.filter(|_| reverse) {
                let ratios: Vec<f64> = ladder.iter().map(|&state| ratios[state]).collect();
                let (first, last) = (ladder[0], ladder[forward - 1]);
                let deviation = wish.progression.deviation(&ratios);
                match plain.iter_mut().find(|known| (known.0, known.1) == (first, last)) {
                    Some(known) => known.2 = known.2.min(deviation),
                    None => plain.push((first, last, deviation)),
                }
            }
            prop_assert_eq!(chosen.len(), plain.len());
            for choice in chosen {
                let ends = (choice.forward[0], choice.forward[forward - 1]);
                let same = plain.iter().find(|known| (known.0, known.1) == ends).unwrap();
                prop_assert!((same.2 - choice.deviation).abs() < 1e-12);
                prop_assert!(inside(-ratios[choice.reverse[0]], (0.5, 9.0)));
            }
        }
    }
}
