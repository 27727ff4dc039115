//! The structural sift: element sets with enough different live ratios to be gears.
//!
//! Each gear needs a state of its own ratio. A state that is dead at generic base ratios
//! is dead at all, and states with the same ratio function have the same ratio always: so
//! a layout with too few different live functions is out, whatever its teeth. This is
//! exact; no base ratio is sampled.

use rustc_hash::FxHashMap;

use super::{FreeMotions, RatioFunction, automorphisms};
use crate::train::{Core, Slot};

/// Most shift elements of a layout that is searched.
pub const MOST_ELEMENTS: usize = 8;

/// All states of a core: for each set of slots a ratio function, or none.
pub struct CoreStates {
    pub core: Core,
    pub slots: Vec<Slot>,
    /// Engaged elements of a state.
    engaged: usize,
    /// The different functions of this core.
    pub functions: Vec<RatioFunction>,
    /// For each set of slots, by rank, 0 for dead or 1 + index of its function.
    table: Vec<u32>,
    choose: [[u32; 8]; 64],
}

impl CoreStates {
    pub fn new(core: &Core) -> Self {
        let slots = core.slots();
        let mut index: FxHashMap<u64, u32> = FxHashMap::default();
        let mut functions = Vec::new();
        let choose = binomials();
        let engaged = core.engaged();
        let mut table = vec![0; choose[slots.len()][engaged] as usize];
        FreeMotions::new(core, &slots).for_each_state(|state, polynomials| {
            if let Some(function) = polynomials.ratio() {
                let id = *index.entry(function.key()).or_insert_with(|| {
                    functions.push(function);
                    functions.len() as u32
                });
                table[rank(&choose, state)] = id;
            }
        });
        Self { core: *core, slots, engaged, functions, table, choose }
    }

    /// 0 for a dead state, or 1 + index into [`Self::functions`]; `state` is rising.
    pub fn function(&self, state: &[usize]) -> u32 {
        self.table[rank(&self.choose, state)]
    }

    /// The functions of all states of the elements in the rising `chosen` slots, states in
    /// the order of [`states_of`].
    pub fn functions_of(&self, chosen: &[usize], states: &[Vec<usize>]) -> Vec<u32> {
        let mut slots = [0; MOST_ELEMENTS];
        let function = |state: &Vec<usize>| {
            for (slot, &element) in slots.iter_mut().zip(state) {
                *slot = chosen[element];
            }
            self.function(&slots[..state.len()])
        };
        states.iter().map(function).collect()
    }
}

/// All sets of `engaged` of `elements` elements, in lexicographic order.
pub fn states_of(elements: usize, engaged: usize) -> Vec<Vec<usize>> {
    use itertools::Itertools;
    (0..elements).combinations(engaged).collect()
}

fn binomials() -> [[u32; 8]; 64] {
    let mut choose = [[0u32; 8]; 64];
    for n in 0..64 {
        choose[n][0] = 1;
        for k in 1..8 {
            choose[n][k] = if n == 0 { 0 } else { choose[n - 1][k - 1] + choose[n - 1][k] };
        }
    }
    choose
}

/// The place of a rising set among all of its size, in colexicographic order.
#[inline]
fn rank(choose: &[[u32; 8]; 64], state: &[usize]) -> usize {
    state.iter().enumerate().map(|(i, &slot)| choose[slot][i + 1] as usize).sum()
}

/// What the sift saw of one core.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct SiftCount {
    /// All element sets.
    pub layouts: u64,
    /// Left out because a symmetry of the core maps them on another.
    pub mirrored: u64,
    /// Left out for too few different live ratios.
    pub too_few: u64,
    /// Left out because no cell of base ratios gives every gear a state.
    pub windows: u64,
}

impl SiftCount {
    pub fn add(&mut self, other: &Self) {
        self.layouts += other.layouts;
        self.mirrored += other.mirrored;
        self.too_few += other.too_few;
        self.windows += other.windows;
    }
}

/// Visits every set of `elements` slots with at least `gears` different live ratios, one
/// of each orbit under the core's symmetries.
pub fn sift(
    states: &CoreStates,
    elements: usize,
    gears: usize,
    mut keep: impl FnMut(&[usize]),
) -> SiftCount {
    let total = states.choose[elements][states.engaged] as usize;
    let layouts = u64::from(binomial(states.slots.len(), elements));
    let mut count = SiftCount { layouts, ..SiftCount::default() };
    if total < gears {
        count.too_few = layouts;
        return count;
    }
    let mirrors = slot_mirrors(states);
    let mut walk = Walk {
        states,
        elements,
        budget: total - gears,
        chosen: Vec::with_capacity(elements),
        seen: Vec::with_capacity(total),
    };
    let (mut kept, mut mirrored) = (0u64, 0u64);
    walk.extend(0, 0, &mut |chosen| {
        if mirrors.iter().any(|mirror| is_larger(chosen, mirror)) {
            mirrored += 1;
        } else {
            kept += 1;
            keep(chosen);
        }
    });
    count.mirrored = mirrored;
    count.too_few = layouts - kept - mirrored;
    count
}

fn binomial(n: usize, k: usize) -> u32 {
    (0..k).fold(1u64, |value, i| value * (n - i) as u64 / (i as u64 + 1)) as u32
}

/// The depth-first walk over element sets; a branch ends when more states are dead or
/// repeated than the budget of spare states allows.
struct Walk<'a> {
    states: &'a CoreStates,
    elements: usize,
    budget: usize,
    chosen: Vec<usize>,
    /// Different live functions so far.
    seen: Vec<u32>,
}

impl Walk<'_> {
    fn extend(&mut self, from: usize, wasted: usize, keep: &mut impl FnMut(&[usize])) {
        if self.chosen.len() == self.elements {
            keep(&self.chosen);
            return;
        }
        let open = self.elements - self.chosen.len() - 1;
        for slot in from..self.states.slots.len() - open {
            let before = self.seen.len();
            let waste = self.add_states(slot, wasted);
            if waste <= self.budget {
                self.chosen.push(slot);
                self.extend(slot + 1, waste, keep);
                self.chosen.pop();
            }
            self.seen.truncate(before);
        }
    }

    /// Adds the states that `slot` makes with those chosen; returns the waste, which may
    /// be cut short as soon as it is over budget.
    fn add_states(&mut self, slot: usize, mut waste: usize) -> usize {
        let mut state = [0usize; MOST_ELEMENTS];
        let others = self.states.engaged - 1;
        if self.chosen.len() < others {
            return waste;
        }
        let mut pick: [usize; MOST_ELEMENTS] = std::array::from_fn(|i| i);
        loop {
            for (place, &index) in state.iter_mut().zip(&pick[..others]) {
                *place = self.chosen[index];
            }
            state[others] = slot;
            let function = self.states.function(&state[..=others]);
            if function == 0 || self.seen.contains(&function) {
                waste += 1;
                if waste > self.budget {
                    return waste;
                }
            } else {
                self.seen.push(function);
            }
            if !next_combination(&mut pick[..others], self.chosen.len()) {
                return waste;
            }
        }
    }
}

/// The next rising choice from `0..n`, or `false` after the last.
fn next_combination(pick: &mut [usize], n: usize) -> bool {
    let k = pick.len();
    let Some(place) = (0..k).rev().find(|&i| pick[i] < n - k + i) else { return false };
    pick[place] += 1;
    for i in place + 1..k {
        pick[i] = pick[i - 1] + 1;
    }
    true
}

/// Each symmetry of the core as a map of slots.
fn slot_mirrors(states: &CoreStates) -> Vec<Vec<usize>> {
    let mirror = |new: &Vec<u8>| {
        let seat = |seat: u8| if seat == 0 { 0 } else { new[usize::from(seat)] };
        let image = |slot: &Slot| Slot::clutch(seat(slot.first), seat(slot.second));
        let place = |slot: Slot| {
            states
                .slots
                .iter()
                .position(|other| *other == slot)
                .expect("a symmetry maps slots on slots")
        };
        states.slots.iter().map(|slot| place(image(slot))).collect()
    };
    automorphisms(&states.core).iter().map(mirror).collect()
}

/// Whether a mirrored set comes before `chosen` in lexicographic order.
fn is_larger(chosen: &[usize], mirror: &[usize]) -> bool {
    let mut image: Vec<usize> = chosen.iter().map(|&slot| mirror[slot]).collect();
    image.sort_unstable();
    image.as_slice() < chosen
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::search::CoreFamily;
    use itertools::Itertools;

    /// Every element set, its states looked up one by one.
    #[test]
    fn keeps_what_the_plain_way_keeps() {
        for (elements, gears) in [(4, 5), (5, 5)] {
            for core in CoreFamily::plain(2, 5).cores() {
                let states = CoreStates::new(&core);
                let mut kept = Vec::new();
                let count = sift(&states, elements, gears, |chosen| kept.push(chosen.to_vec()));
                let combinations = states_of(elements, 2);
                let enough = |chosen: &Vec<usize>| {
                    let functions = states.functions_of(chosen, &combinations);
                    functions.iter().filter(|f| **f != 0).unique().count() >= gears
                };
                let plain: Vec<Vec<usize>> =
                    (0..states.slots.len()).combinations(elements).filter(enough).collect();
                assert_eq!(kept.len() as u64 + count.mirrored, plain.len() as u64);
                assert!(kept.iter().all(|chosen| plain.contains(chosen)));
                assert_eq!(count.layouts, count.too_few + plain.len() as u64);
            }
        }
    }

    #[test]
    fn mirrored_layouts_are_the_same_layout() {
        use crate::train::canonical;
        for core in CoreFamily::plain(2, 4).cores() {
            let states = CoreStates::new(&core);
            let spelled = |chosen: &[usize]| {
                let slots: Vec<Slot> = chosen.iter().map(|&slot| states.slots[slot]).collect();
                canonical(&core, &slots).to_string()
            };
            let mut kept = Vec::new();
            sift(&states, 3, 0, |chosen| kept.push(spelled(chosen)));
            let all = (0..states.slots.len()).combinations(3).map(|chosen| spelled(&chosen));
            assert!(kept.iter().all_unique());
            assert_eq!(
                kept.into_iter().sorted().collect_vec(),
                all.unique().sorted().collect_vec()
            );
        }
    }
}
