//! Chance from a seed: the same seed deals the same, on every machine.

use rand::{RngExt as _, SeedableRng as _, seq::SliceRandom as _};
use rand_pcg::Pcg64;

/// A stream of chance. Streams of one seed with different numbers have nothing in common,
/// so what one kind of item draws never moves what another gets.
pub(super) struct Chance(Pcg64);

impl Chance {
    pub fn new(seed: u64, stream: u64) -> Self {
        // SplitMix64 (G. Steele, D. Lea, C. Flood, "Fast splittable pseudorandom number
        // generators", OOPSLA 2014) keeps neighbouring seeds and streams apart.
        let mixed = mix(seed ^ mix(stream.wrapping_add(0x9e37_79b9_7f4a_7c15)));
        Self(Pcg64::seed_from_u64(mixed))
    }

    /// A number from 0 to below `count`.
    ///
    /// # Panics
    /// If `count` is 0.
    pub fn below(&mut self, count: usize) -> usize {
        self.0.random_range(0..count)
    }

    /// One of them; `None` of none.
    pub fn pick<'a, T>(&mut self, all: &'a [T]) -> Option<&'a T> {
        (!all.is_empty()).then(|| &all[self.below(all.len())])
    }

    /// So many of them in any order, all if there are no more.
    pub fn some<T: Clone>(&mut self, all: &[T], count: usize) -> Vec<T> {
        let mut some = self.shuffled(all.to_vec());
        some.truncate(count);
        some
    }

    pub fn shuffle<T>(&mut self, all: &mut [T]) {
        all.shuffle(&mut self.0);
    }

    pub fn shuffled<T>(&mut self, mut all: Vec<T>) -> Vec<T> {
        self.shuffle(&mut all);
        all
    }
}

fn mix(value: u64) -> u64 {
    let value = (value ^ value >> 30).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    let value = (value ^ value >> 27).wrapping_mul(0x94d0_49bb_1331_11eb);
    value ^ value >> 31
}
