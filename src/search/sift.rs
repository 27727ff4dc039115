//! The sift: element sets with enough different ratios that can be gears.
//!
//! Each gear needs a state of its own ratio. A state that is dead at generic base ratios
//! is dead at all, states with the same ratio function have the same ratio always, and a
//! function that lies in no window anywhere in the catalogue is no gear: so a layout with
//! too few different useful functions is out, whatever its teeth. No base ratio is sampled.
//!
//! Elements are chosen one after the other. What every further slot would add is counted
//! for all slots at once, a bit a slot: the count of a slot is spread over the same bit of
//! some words. Branches that can not come to enough gears end there.

use std::ops::ControlFlow;

use serde::{Deserialize, Serialize};

use super::automorphisms;
use super::slot_counts::{SlotBits, SlotCounts};
use super::states::{CoreStates, MOST_ELEMENTS, choices, rank};
use crate::train::Slot;

/// What the sift saw of one core.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct SiftCount {
    /// All element sets.
    pub layouts: u64,
    /// Left out because a symmetry of the core maps them on another.
    pub mirrored: u64,
    /// Left out for too few different ratios that can be gears.
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

/// Visits every set of `elements` slots with at least `gears` different useful functions,
/// one of each orbit under the core's symmetries. `useful` tells for each function of the
/// core whether it can be a gear. Where `keep` breaks, the walk ends: `None`.
pub fn sift(
    states: &CoreStates,
    elements: usize,
    gears: usize,
    useful: &[bool],
    keep: impl FnMut(&[usize]) -> ControlFlow<()>,
) -> Option<SiftCount> {
    sift_unless(&|| false, states, elements, gears, useful, keep)
}

/// As [`sift`]; `None` too as soon as `stopped` says so, which is asked now and then.
pub(super) fn sift_unless(
    stopped: &dyn Fn() -> bool,
    states: &CoreStates,
    elements: usize,
    gears: usize,
    useful: &[bool],
    mut keep: impl FnMut(&[usize]) -> ControlFlow<()>,
) -> Option<SiftCount> {
    let layouts = num_integer::binomial(states.slots.len() as u64, elements as u64);
    let mirrors = slot_mirrors(states);
    let mut walk = Walk::new(states, elements, gears, useful, stopped);
    let (mut kept, mut mirrored) = (0u64, 0u64);
    let root = walk.root();
    let walked = walk.extend(&root, 0, &mut |chosen| {
        if mirrors.iter().any(|mirror| is_larger(chosen, mirror)) {
            mirrored += 1;
            return ControlFlow::Continue(());
        }
        kept += 1;
        keep(chosen)
    });
    if walked.is_break() {
        return None;
    }
    Some(SiftCount { layouts, mirrored, too_few: layouts - kept - mirrored, windows: 0 })
}

/// What a further slot would add to the elements chosen so far.
#[derive(Clone, Copy, Default)]
struct Outlook {
    /// Useful states that each later slot makes with those chosen, the common one left out.
    adds: SlotCounts,
    /// Slots that make a state of the common function.
    common: SlotBits,
}

/// The depth-first walk over element sets.
struct Walk<'a> {
    states: &'a CoreStates,
    elements: usize,
    gears: i32,
    /// For each set of one slot less than a state has, by rank, the later slots that make
    /// it a useful state.
    useful: Vec<SlotBits>,
    /// The same for states of the commonest useful function, that of direct drive as a
    /// rule: so many states have it that counting them would promise too much.
    common: Vec<SlotBits>,
    common_function: u32,
    chosen: Vec<usize>,
    /// `parts[m]`: the ranks of all sets of m of the chosen slots, m < engaged.
    parts: Vec<Vec<u32>>,
    /// How many of the chosen elements' states have each useful function. The others stand
    /// at 1, as if seen before, and so are never new.
    seen: Vec<u16>,
    is_useful: Vec<bool>,
    stopped: &'a dyn Fn() -> bool,
    branches: u32,
}

/// Branches gone into between two questions whether to go on.
const BETWEEN_QUESTIONS: u32 = 8192;

impl<'a> Walk<'a> {
    fn new(
        states: &'a CoreStates,
        elements: usize,
        gears: usize,
        useful: &[bool],
        stopped: &'a dyn Fn() -> bool,
    ) -> Self {
        let is_useful: Vec<bool> = std::iter::once(false).chain(useful.iter().copied()).collect();
        let (slots, others) = (states.slots.len(), states.engaged - 1);
        let mut often = vec![0u32; is_useful.len()];
        for_each_set(slots, others, |first, from| {
            for last in from..slots {
                often[states.with_last(first, last) as usize] += 1;
            }
        });
        let candidates = (1..often.len()).filter(|&function| is_useful[function]);
        let common_function = candidates.max_by_key(|&function| often[function]).unwrap_or(0);
        let mut walk = Self {
            states,
            elements,
            gears: gears as i32,
            useful: vec![0; choices(slots, others)],
            common: vec![0; choices(slots, others)],
            common_function: common_function as u32,
            chosen: Vec::with_capacity(elements),
            parts: std::iter::once(vec![0]).chain((0..others).map(|_| Vec::new())).collect(),
            seen: is_useful.iter().map(|&useful| u16::from(!useful)).collect(),
            is_useful,
            stopped,
            branches: 0,
        };
        for_each_set(slots, others, |first, from| {
            for last in from..slots {
                let function = states.with_last(first, last);
                if function == walk.common_function && function != 0 {
                    walk.common[first] |= 1 << last;
                } else if walk.is_useful[function as usize] {
                    walk.useful[first] |= 1 << last;
                }
            }
        });
        walk
    }

    /// Before any element is chosen, when a state is one element, each slot is a state.
    fn root(&self) -> Outlook {
        let mut root = Outlook::default();
        if self.states.engaged == 1 {
            root.adds.add(self.useful[0]);
            root.common = self.common[0];
        }
        root
    }

    /// Tries every slot behind the last as the next element; `have` is the number of
    /// different useful functions so far.
    fn extend(
        &mut self,
        outlook: &Outlook,
        have: i32,
        keep: &mut impl FnMut(&[usize]) -> ControlFlow<()>,
    ) -> ControlFlow<()> {
        self.branches = (self.branches + 1) % BETWEEN_QUESTIONS;
        if self.branches == 0 && (self.stopped)() {
            return ControlFlow::Break(());
        }
        let left = self.elements - self.chosen.len();
        let from = self.chosen.last().map_or(0, |last| last + 1);
        let mut waiting = self.promising(outlook, have, left, from);
        while waiting != 0 {
            let slot = waiting.trailing_zeros() as usize;
            waiting &= waiting - 1;
            let have = have + self.see_states(slot);
            if left == 1 {
                if have >= self.gears {
                    self.chosen.push(slot);
                    keep(&self.chosen)?;
                    self.chosen.pop();
                }
            } else {
                let outlook = self.push(outlook, slot);
                self.extend(&outlook, have, keep)?;
                self.pop();
            }
            self.forget_states(slot);
        }
        ControlFlow::Continue(())
    }

    /// The slots behind `from` with which enough gears may still come together when `left`
    /// elements are to be chosen.
    fn promising(&self, outlook: &Outlook, have: i32, left: usize, from: usize) -> SlotBits {
        let (slots, engaged) = (self.states.slots.len(), self.states.engaged);
        let mut adds = outlook.adds;
        if self.seen[self.common_function as usize] == 0 {
            adds.add(outlook.common);
        }
        let mut candidates = (SlotBits::MAX >> (64 - slots)) & !((1 << from) - 1);
        // States that need two or more of the elements to come, all of them perhaps useful.
        let chosen = self.chosen.len();
        let with_one = choices(chosen, engaged - 1);
        let later = choices(self.elements, engaged) - choices(chosen, engaged) - left * with_one;
        loop {
            let others = (left as i32 - 1) * adds.largest(candidates);
            let least = self.gears - have - later as i32 - others;
            let promising = candidates & adds.at_least(least);
            if (promising.count_ones() as usize) < left {
                return 0;
            }
            if promising == candidates || left == 1 {
                return promising;
            }
            candidates = promising;
        }
    }

    /// Takes `slot` among the chosen; returns what a further slot would add then.
    fn push(&mut self, outlook: &Outlook, slot: usize) -> Outlook {
        let mut outlook = *outlook;
        for size in (1..self.parts.len()).rev() {
            let own = choices(slot, size) as u32;
            let (smaller, parts) = self.parts.split_at_mut(size);
            let new = parts[0].len();
            parts[0].extend(smaller[size - 1].iter().map(|first| first + own));
            if size + 1 == self.states.engaged {
                for &first in &parts[0][new..] {
                    outlook.adds.add(self.useful[first as usize]);
                    outlook.common |= self.common[first as usize];
                }
            }
        }
        self.chosen.push(slot);
        outlook
    }

    fn pop(&mut self) {
        self.chosen.pop();
        for (size, parts) in self.parts.iter_mut().enumerate().skip(1) {
            parts.truncate(choices(self.chosen.len(), size));
        }
    }

    /// Counts the states that `slot` makes with those chosen; returns how many useful
    /// functions came up for the first time.
    fn see_states(&mut self, slot: usize) -> i32 {
        let mut new = 0;
        for &first in &self.parts[self.states.engaged - 1] {
            let function = self.states.with_last(first as usize, slot) as usize;
            let seen = &mut self.seen[function];
            new += i32::from(*seen == 0);
            *seen += u16::from(self.is_useful[function]);
        }
        new
    }

    /// Takes back [`Self::see_states`].
    fn forget_states(&mut self, slot: usize) {
        for &first in &self.parts[self.states.engaged - 1] {
            let function = self.states.with_last(first as usize, slot) as usize;
            self.seen[function] -= u16::from(self.is_useful[function]);
        }
    }
}

/// Visits all sets of `size` of `slots` slots: the rank, and the first slot behind the set.
fn for_each_set(slots: usize, size: usize, mut visit: impl FnMut(usize, usize)) {
    let mut pick: [usize; MOST_ELEMENTS] = std::array::from_fn(|i| i);
    loop {
        let set = &pick[..size];
        visit(rank(set), set.last().map_or(0, |last| last + 1));
        if !next_combination(&mut pick[..size], slots) {
            return;
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
    use crate::search::{CoreFamily, states_of};
    use crate::train::Core;
    use itertools::Itertools;

    /// Every element set, its states looked up one by one; one to four engaged elements.
    #[test]
    fn keeps_what_the_plain_way_keeps() {
        let families = [(2, 4, 3, 2, 1), (2, 5, 4, 5, 1), (2, 5, 5, 5, 1), (2, 6, 5, 7, 9)];
        for (sets, shafts, elements, gears, every) in families {
            for core in CoreFamily::plain(sets, shafts).cores().into_iter().step_by(every) {
                keeps_the_same(&core, elements, gears, |_| true);
                keeps_the_same(&core, elements, gears, |function| function % 3 != 1);
            }
        }
        for core in CoreFamily::plain(3, 8).cores().into_iter().step_by(1111) {
            keeps_the_same(&core, 5, 4, |_| true);
        }
    }

    fn keeps_the_same(core: &Core, elements: usize, gears: usize, fits: impl Fn(usize) -> bool) {
        let states = CoreStates::new(core);
        let useful: Vec<bool> = (0..states.functions.len()).map(fits).collect();
        let mut kept = Vec::new();
        let count = sift(&states, elements, gears, &useful, |chosen| {
            kept.push(chosen.to_vec());
            ControlFlow::Continue(())
        });
        let count = count.expect("nothing breaks");
        let combinations = states_of(elements, states.engaged);
        let enough = |chosen: &Vec<usize>| {
            let functions = states.functions_of(chosen, &combinations);
            let gears_in = functions.iter().filter(|&&f| f != 0 && useful[f as usize - 1]);
            gears_in.unique().count() >= gears
        };
        let plain: Vec<Vec<usize>> =
            (0..states.slots.len()).combinations(elements).filter(enough).collect();
        assert_eq!(kept.len() as u64 + count.mirrored, plain.len() as u64);
        assert!(kept.iter().all(|chosen| plain.contains(chosen)));
        assert_eq!(count.layouts, count.too_few + plain.len() as u64);
    }

    #[test]
    fn mirrored_layouts_are_the_same_layout() {
        use crate::train::canonical;
        for core in CoreFamily::plain(2, 4).cores() {
            let states = CoreStates::new(&core);
            let useful = vec![true; states.functions.len()];
            let spelled = |chosen: &[usize]| {
                let slots: Vec<Slot> = chosen.iter().map(|&slot| states.slots[slot]).collect();
                canonical(&core, &slots).to_string()
            };
            let mut kept = Vec::new();
            let count = sift(&states, 3, 0, &useful, |chosen| {
                kept.push(spelled(chosen));
                ControlFlow::Continue(())
            });
            assert!(count.is_some());
            let all = (0..states.slots.len()).combinations(3).map(|chosen| spelled(&chosen));
            assert!(kept.iter().all_unique());
            assert_eq!(
                kept.into_iter().sorted().collect_vec(),
                all.unique().sorted().collect_vec()
            );
        }
    }
}
