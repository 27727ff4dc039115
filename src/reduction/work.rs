//! Work that is counted: base ratios that are tried and ways to make them that are weighed.
//! A count is the same on every machine, however busy; a clock is not.

use std::cell::Cell;

use crate::search::Watch;

/// Counts the work of one piece of a sweep.
pub(super) struct Work<'a> {
    watch: &'a Watch<'a>,
    left: Cell<u64>,
    /// Work to come before the watch is asked again.
    unasked: Cell<u64>,
    ended: Cell<bool>,
}

/// What is done between two looks at the watch: well below a millisecond.
const BETWEEN_LOOKS: u64 = 512;

impl<'a> Work<'a> {
    /// With `left` to do at most.
    pub fn new(watch: &'a Watch<'a>, left: u64) -> Self {
        Self { watch, left: Cell::new(left), unasked: Cell::new(0), ended: Cell::new(false) }
    }

    /// Counts work of this `cost`; `false`, from then on always, where it was not to be done
    /// any more: nothing is left, or the watch says stop.
    pub fn goes_on(&self, cost: u64) -> bool {
        if self.ended.get() {
            return false;
        }
        let Some(left) = self.left.get().checked_sub(cost) else {
            self.left.set(0);
            self.ended.set(true);
            return false;
        };
        self.left.set(left);
        match self.unasked.get().checked_sub(cost) {
            Some(unasked) => self.unasked.set(unasked),
            None => {
                self.unasked.set(BETWEEN_LOOKS);
                self.ended.set(self.watch.should_stop());
            }
        }
        !self.ended.get()
    }

    /// What is left to do.
    pub fn left(&self) -> u64 {
        self.left.get()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::search::{Controls, Quiet};
    use std::sync::atomic::AtomicBool;

    #[test]
    fn it_ends_with_its_budget_or_with_the_watch() {
        let stop = AtomicBool::new(false);
        let controls = Controls { threads: None, stop: &stop, progress: &Quiet };
        let watch = Watch::timed(None, &controls);
        let work = Work::new(&watch, 10);
        assert!((0..3).all(|_| work.goes_on(3)));
        assert_eq!(work.left(), 1);
        assert!(!work.goes_on(2) && !work.goes_on(0) && work.left() == 0);
        let work = Work::new(&watch, u64::MAX);
        stop.store(true, std::sync::atomic::Ordering::Relaxed);
        let done = (0..).take_while(|_| work.goes_on(1)).count() as u64;
        assert!(done <= BETWEEN_LOOKS, "{done}");
    }
}
