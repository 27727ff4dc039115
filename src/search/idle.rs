//! Gears that leave no element idle: a layout with an element that no gear engages is another
//! layout, the one without it.

use std::collections::BTreeMap;

use super::gears::{Chain, Graph, bits, choose_reverse, reverse_with};
use super::ladder::{Ladder, within};

/// The evenest chain between a first and a last gear that, with some choice of reverses, engages
/// every element in some gear; `None` when there is none. `engaged`: the elements of each
/// state, as bits.
pub fn best_between(
    ratios: &[f64],
    neighbours: &[u64],
    engaged: &[u32],
    ladder: &Ladder,
    (first, last): (usize, usize),
) -> Option<Chain> {
    let graph = Graph::new(ratios, neighbours, ladder)?;
    let spread = ratios[first] / ratios[last];
    let top = graph.inside[graph.inside.len() - 1];
    let inside = graph.inside[0] >> first & top >> last & 1 == 1;
    if !inside || !within(spread, ladder.spread) {
        return None;
    }
    let log_spread = spread.ln();
    let all = engaged.iter().fold(0, |all, elements| all | elements);
    let uses = |states: &[usize]| states.iter().fold(0, |used, &state| used | engaged[state]);
    let reverse = |used: u32| {
        let nearest = choose_reverse(ratios, ratios[first], ladder)?;
        if used | uses(&nearest) == all {
            return Some(nearest);
        }
        reverse_with(ratios, ratios[first], ladder, &|states| used | uses(states) == all)
    };
    let (deviation, forward) = graph.evenest(first, last, log_spread, ladder)?;
    if let Some(reverse) = reverse(uses(&forward)) {
        return Some(Chain { forward, reverse, log_spread, deviation });
    }
    let by_elements = graph.evenest_by_elements((first, last), log_spread, engaged, ladder);
    by_elements.into_iter().find_map(|(deviation, used, forward)| {
        let reverse = reverse(used)?;
        Some(Chain { forward, reverse, log_spread, deviation })
    })
}

impl Graph {
    /// For every choice of elements that some chain from `first` to `last` engages: the evenest
    /// such chain, evenest first, with its deviation and these elements.
    fn evenest_by_elements(
        &self,
        (first, last): (usize, usize),
        log_spread: f64,
        engaged: &[u32],
        ladder: &Ladder,
    ) -> Vec<(f64, u32, Vec<usize>)> {
        // For each state and the elements engaged until then: the deviation, and the chain.
        let mut now = BTreeMap::from([((first, engaged[first]), (0.0, vec![first]))]);
        let gears = ladder.forward();
        for (gear, wanted) in ladder.progression.wanted(log_spread, gears).iter().enumerate() {
            let goal = if gear + 2 == gears { 1 << last } else { self.inside[gear + 1] };
            let mut next: BTreeMap<(usize, u32), (f64, Vec<usize>)> = BTreeMap::new();
            for ((state, used), (worst, chain)) in &now {
                for to in bits(self.next[*state] & goal) {
                    let deviation = (self.logs[*state] - self.logs[to] - wanted).abs();
                    let worst = deviation.max(*worst);
                    let place = next.entry((to, used | engaged[to]));
                    let best = place.or_insert((f64::INFINITY, Vec::new()));
                    if worst < best.0 {
                        *best = (worst, chain.iter().copied().chain([to]).collect());
                    }
                }
            }
            now = next;
        }
        let ended = now.into_iter().filter(|((state, _), _)| *state == last);
        let mut chains: Vec<_> =
            ended.map(|((_, used), (deviation, chain))| (deviation, used, chain)).collect();
        chains.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        chains
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::score::Progression;
    use crate::search::ladder::Shifts;
    use crate::train::ElementMask;
    use itertools::Itertools;
    use proptest::prelude::*;

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(60) })]

        /// Every sequence of states, with every reverse, tried one by one.
        #[test]
        fn every_element_is_engaged_by_the_evenest_that_can(
            ratios in proptest::collection::vec(-4.0f64..7.0, 10),
            forward in 1usize..5,
            single in any::<bool>(),
            reverses in 0usize..2,
        ) {
            let ladder = Ladder {
                windows: vec![(0.3, 8.0); forward],
                step: (1.1, 2.5),
                spread: (1.0, 50.0),
                reverse: vec![(0.5, 4.0); reverses],
                shifts: if single { Shifts::SingleSwap } else { Shifts::Any },
                progression: Progression::Geometric,
            };
            let states: Vec<ElementMask> = (0..5).combinations(2).map(ElementMask::of).collect();
            let engaged: Vec<u32> = states.iter().map(|state| state.0).collect();
            let near = ladder.neighbours(&states);
            let mut plain: BTreeMap<(usize, usize), f64> = BTreeMap::new();
            for gears in (0..10).permutations(forward + reverses) {
                let at: Vec<f64> = gears.iter().map(|&state| ratios[state]).collect();
                let used = gears.iter().fold(0, |used, &state| used | engaged[state]);
                let shifts = gears[..forward].windows(2).all(|p| near[p[0]] >> p[1] & 1 == 1);
                if used == 0b11111 && shifts && ladder.holds(&at) {
                    let deviation = ladder.progression.deviation(&at[..forward]);
                    let best = plain.entry((gears[0], gears[forward - 1])).or_insert(deviation);
                    *best = best.min(deviation);
                }
            }
            for ends in (0..10).cartesian_product(0..10) {
                let chosen = best_between(&ratios, &near, &engaged, &ladder, ends);
                prop_assert_eq!(chosen.is_some(), plain.contains_key(&ends), "{:?}", ends);
                if let Some(chain) = chosen {
                    prop_assert!((chain.deviation - plain[&ends]).abs() < 1e-12);
                }
            }
        }
    }
}
