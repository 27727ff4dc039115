//! Counting for all slots of a core at once, a bit a slot.

/// One bit a slot.
pub type SlotBits = u64;

/// Counts for all slots at once: bit s of word b is bit b of the count of slot s.
#[derive(Clone, Copy, Default)]
pub struct SlotCounts([SlotBits; 6]);

impl SlotCounts {
    #[inline]
    pub fn add(&mut self, slots: SlotBits) {
        let mut carry = slots;
        for word in &mut self.0 {
            (*word, carry) = (*word ^ carry, *word & carry);
        }
    }

    /// The slots with a count of at least `least`.
    #[inline]
    pub fn at_least(&self, least: i32) -> SlotBits {
        if least <= 0 {
            return SlotBits::MAX;
        }
        if least >= 1 << self.0.len() {
            return 0;
        }
        let (mut above, mut equal) = (0, SlotBits::MAX);
        for (bit, word) in self.0.iter().enumerate().rev() {
            if least >> bit & 1 == 1 {
                equal &= word;
            } else {
                above |= equal & word;
                equal &= !word;
            }
        }
        above | equal
    }

    /// The largest count among `slots`.
    #[inline]
    pub fn largest(&self, slots: SlotBits) -> i32 {
        let (mut largest, mut left) = (0, slots);
        for (bit, word) in self.0.iter().enumerate().rev() {
            if left & word != 0 {
                left &= word;
                largest |= 1 << bit;
            }
        }
        largest
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn counts_are_those_of_every_slot(
            words in proptest::collection::vec(any::<u64>(), 0..36),
            among in any::<u64>(),
            least in -2i32..70,
        ) {
            let mut counts = SlotCounts::default();
            words.iter().for_each(|&word| counts.add(word));
            let count = |slot: u32| words.iter().filter(|word| **word >> slot & 1 == 1).count() as i32;
            for slot in 0..64 {
                prop_assert_eq!(counts.at_least(least) >> slot & 1 == 1, count(slot) >= least);
            }
            let largest = (0..64).filter(|slot| among >> slot & 1 == 1).map(count).max();
            prop_assert_eq!(counts.largest(among), largest.unwrap_or(0));
        }
    }
}
