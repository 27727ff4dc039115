//! What a long piece of work may be told and what it tells: how many threads, when to
//! stop, how far it is. Knows nothing of terminals.

use std::sync::atomic::{AtomicBool, Ordering};

/// Hears how far the work is. Called from many threads.
pub trait Progress: Sync {
    /// A new phase begins, with `total` ticks to come; 0 where nobody knows.
    fn phase(&self, name: &str, total: u64);
    /// `by` more ticks of the phase are done.
    fn tick(&self, by: u64);
}

/// Hears nothing.
#[derive(Clone, Copy, Debug, Default)]
pub struct Quiet;

impl Progress for Quiet {
    fn phase(&self, _name: &str, _total: u64) {}
    fn tick(&self, _by: u64) {}
}

/// How a piece of work is steered from outside. Nothing here changes a result: only when
/// it comes, and whether it is whole.
#[derive(Clone, Copy)]
pub struct Controls<'a> {
    /// Threads to use; all that the machine has where it is `None`.
    pub threads: Option<usize>,
    /// Set by the user's interrupt; the work then stops at the next good place.
    pub stop: &'a AtomicBool,
    pub progress: &'a dyn Progress,
}

impl Controls<'_> {
    pub fn stopped(&self) -> bool {
        self.stop.load(Ordering::Relaxed)
    }
}
