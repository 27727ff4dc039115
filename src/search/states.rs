//! All states of a core, each with its ratio function.

use rustc_hash::FxHashMap;

use super::{FreeMotions, RatioFunction};
use crate::train::{Core, Slot};

/// Most shift elements of a layout that is searched.
pub const MOST_ELEMENTS: usize = 8;

/// Binomial coefficients, row n, column k.
type Binomials = [[u32; 8]; 64];

/// All states of a core: for each set of slots a ratio function, or none.
pub struct CoreStates {
    pub core: Core,
    pub slots: Vec<Slot>,
    /// Engaged elements of a state.
    pub engaged: usize,
    /// The different functions of this core.
    pub functions: Vec<RatioFunction>,
    /// For each set of slots, by rank, 0 for dead or 1 + index of its function.
    table: Vec<u32>,
}

static CHOOSE: Binomials = binomials();

impl CoreStates {
    pub fn new(core: &Core) -> Self {
        let slots = core.slots();
        // Few functions are many states, so most determinants were met before as they are.
        let mut met: FxHashMap<u64, u32> = FxHashMap::default();
        let mut index: FxHashMap<u64, u32> = FxHashMap::default();
        let mut functions = Vec::new();
        let engaged = core.engaged();
        let mut table = vec![0; CHOOSE[slots.len()][engaged] as usize];
        let mut last = (0, 0);
        FreeMotions::new(core, &slots).for_each_state(|state, polynomials| {
            if !polynomials.is_live() {
                return;
            }
            let raw = RatioFunction::raw_key(polynomials.input, polynomials.output);
            if raw != last.0 {
                let id = *met.entry(raw).or_insert_with(|| {
                    let function = RatioFunction::reduced(polynomials.input, polynomials.output);
                    *index.entry(function.key()).or_insert_with(|| {
                        functions.push(function);
                        functions.len() as u32
                    })
                });
                last = (raw, id);
            }
            table[rank(state)] = last.1;
        });
        Self { core: *core, slots, engaged, functions, table }
    }

    /// 0 for a dead state, or 1 + index into [`Self::functions`]; `state` is rising.
    pub fn function(&self, state: &[usize]) -> u32 {
        self.table[rank(state)]
    }

    /// The functions of the states of some slots, whose [`rank`] is `first`, together with
    /// one later slot each.
    #[inline]
    pub(super) fn with_last(&self, first: usize, last: usize) -> u32 {
        self.table[first + CHOOSE[last][self.engaged] as usize]
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

const fn binomials() -> Binomials {
    let mut choose = [[0u32; 8]; 64];
    let mut n = 0;
    while n < 64 {
        choose[n][0] = 1;
        let mut k = 1;
        while k < 8 && n > 0 {
            choose[n][k] = choose[n - 1][k - 1] + choose[n - 1][k];
            k += 1;
        }
        n += 1;
    }
    choose
}

/// The place of a rising set among all of its size, in colexicographic order.
#[inline]
pub(super) fn rank(state: &[usize]) -> usize {
    state.iter().enumerate().map(|(i, &slot)| CHOOSE[slot][i + 1] as usize).sum()
}

/// How many sets of `k` there are among `n`.
pub(super) fn choices(n: usize, k: usize) -> usize {
    CHOOSE[n][k] as usize
}
