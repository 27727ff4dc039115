//! Kinematic twins: layouts with the same ratio in every state, other clutches and joints.
//!
//! Two layouts are twins when sets and elements of one can be renumbered so that every
//! state has the ratio function that the same state of the other has. What the gears can
//! be and which teeth serve them best is then the same for both, so it is worked out once.

use itertools::Itertools;
use rustc_hash::FxHashMap;
use serde::{Deserialize, Serialize};

use super::function::SetOrder;
use super::states::{CoreStates, MOST_ELEMENTS};
use crate::train::MAX_SETS;

/// A layout of a class, in the class's numbers.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct TwinMember {
    /// Index of the core in the run's list.
    pub core: u32,
    /// Slot of each element of the class: index into the core's slots.
    pub slots: [u8; MOST_ELEMENTS],
    /// `sets[s]`: which set of the core is set s of the class.
    pub sets: [u8; MAX_SETS],
}

/// What all states of a class have for ratio functions, by key (see
/// [`super::RatioFunction::key`]; 0 for a dead state), states in the order of
/// [`super::states_of`].
pub type ClassKeys = Vec<u64>;

/// A class in one word, for counting how many there are: of millions that differ, two with
/// the same mark would be a rare chance.
pub fn class_mark(keys: &ClassKeys) -> u64 {
    keys.iter().fold(0, |mark, &key| scramble(mark.rotate_left(17) ^ key))
}

/// Every numbering of so many sets.
pub fn all_orders(sets: usize) -> Vec<SetOrder> {
    (0..sets).permutations(sets).map(SetOrder::new).collect()
}

/// Finds the class of layouts of one core.
pub struct Namer<'a> {
    combinations: &'a [Vec<usize>],
    orders: &'a [SetOrder],
    /// `keys[order][function]`: key of a function with the sets in that order; 0 first.
    keys: Vec<Vec<u64>>,
    /// `mixed[order][function]`: the same, scrambled for sums.
    mixed: Vec<Vec<u64>>,
}

impl<'a> Namer<'a> {
    /// `orders`: every numbering of the sets, as from [`all_orders`].
    pub fn new(
        states: &CoreStates,
        combinations: &'a [Vec<usize>],
        orders: &'a [SetOrder],
    ) -> Self {
        let keys_in = |order: &SetOrder| {
            let keys = states.functions.iter().map(|function| function.with_sets(order).key());
            std::iter::once(0).chain(keys).collect()
        };
        let keys: Vec<Vec<u64>> = orders.iter().map(keys_in).collect();
        let mixed =
            keys.iter().map(|keys| keys.iter().map(|&key| scramble(key)).collect()).collect();
        Self { combinations, orders, keys, mixed }
    }

    /// The class of the layout with elements in `chosen` slots and these functions of its
    /// states, and the layout in the class's numbers. Of all numberings of sets and elements, the one with the smallest keys
    /// wins, among those that first make some sums smallest (sums cut the work; ties in
    /// them are all tried).
    pub fn name(&self, core: u32, chosen: &[usize], functions: &[u32]) -> (ClassKeys, TwinMember) {
        let sum = |order: usize| {
            let terms = functions.iter().map(|&f| self.mixed[order][f as usize]);
            terms.fold(0u64, u64::wrapping_add)
        };
        let sums: Vec<u64> = (0..self.orders.len()).map(sum).collect();
        let least = sums.iter().min().copied().unwrap_or(0);
        let tied = (0..self.orders.len()).filter(|&order| sums[order] == least);
        let named = tied.flat_map(|order| {
            let keys: Vec<u64> = functions.iter().map(|&f| self.keys[order][f as usize]).collect();
            self.element_orders(&keys, chosen.len())
                .into_iter()
                .map(move |elements| (self.renumbered(&keys, &elements), order, elements))
        });
        let (keys, order, elements) =
            named.min_by(|a, b| a.0.cmp(&b.0)).expect("there is at least one numbering");
        let mut member = TwinMember { core, slots: [0; MOST_ELEMENTS], sets: [0; MAX_SETS] };
        for (slot, &element) in member.slots.iter_mut().zip(&elements) {
            *slot = chosen[element] as u8;
        }
        for (set, &old) in member.sets.iter_mut().zip(&self.orders[order].sets) {
            *set = old as u8;
        }
        (keys, member)
    }

    /// Orders of the elements to try: sorted by the sum over their states, ties every way.
    fn element_orders(&self, keys: &[u64], elements: usize) -> Vec<Vec<usize>> {
        let mut sums = vec![0u64; elements];
        for (state, &key) in self.combinations.iter().zip(keys) {
            for &element in state {
                sums[element] = sums[element].wrapping_add(scramble(key));
            }
        }
        let mut sorted: Vec<usize> = (0..elements).collect();
        sorted.sort_by_key(|&element| sums[element]);
        let groups = sorted.chunk_by(|&a, &b| sums[a] == sums[b]);
        let ways =
            groups.map(|group| group.iter().copied().permutations(group.len()).collect_vec());
        ways.multi_cartesian_product().map(|parts| parts.concat()).collect()
    }

    /// The keys when element `elements[new]` is called `new`.
    fn renumbered(&self, keys: &[u64], elements: &[usize]) -> Vec<u64> {
        let mut place: FxHashMap<u32, usize> = FxHashMap::default();
        for (index, state) in self.combinations.iter().enumerate() {
            place.insert(mask(state.iter().copied()), index);
        }
        let old = |state: &Vec<usize>| keys[place[&mask(state.iter().map(|&e| elements[e]))]];
        self.combinations.iter().map(old).collect()
    }
}

fn mask(elements: impl Iterator<Item = usize>) -> u32 {
    elements.fold(0, |mask, element| mask | 1 << element)
}

/// SplitMix64's finalizer: G. L. Steele, D. Lea, C. H. Flood, OOPSLA 2014.
fn scramble(mut word: u64) -> u64 {
    word = (word ^ word >> 30).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    word = (word ^ word >> 27).wrapping_mul(0x94D0_49BB_1331_11EB);
    word ^ word >> 31
}
