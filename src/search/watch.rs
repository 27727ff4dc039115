//! When to stop, and why: the clock, the user's interrupt, the memory in use.

use std::sync::atomic::{AtomicU64, Ordering};
use std::time::{Duration, Instant};

use super::progress::{Controls, Progress};
use crate::brief::Brief;

/// Why a run ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stop {
    /// All that the brief asks for was searched.
    Finished,
    Interrupted,
    TimeLimit,
    MemoryLimit,
}

impl Stop {
    pub fn word(self) -> &'static str {
        match self {
            Self::Finished => "finished",
            Self::Interrupted => "interrupted",
            Self::TimeLimit => "time limit",
            Self::MemoryLimit => "memory limit",
        }
    }
}

/// Looks at the clock, the stop flag and the memory while the work goes on.
pub struct Watch<'a> {
    controls: &'a Controls<'a>,
    started: Instant,
    time_limit: Option<Duration>,
    memory_limit: Option<u64>,
    /// Bytes in use, as told by those who take them.
    memory: AtomicU64,
    /// 0 for going on, else 1 + a [`Stop`].
    stopped: AtomicU64,
}

impl<'a> Watch<'a> {
    pub fn new(brief: &Brief, controls: &'a Controls<'a>) -> Self {
        Self {
            controls,
            started: Instant::now(),
            time_limit: brief.effort.time_limit_s.map(Duration::from_secs_f64),
            memory_limit: brief.effort.memory_limit_mib.map(|mib| mib << 20),
            memory: AtomicU64::new(0),
            stopped: AtomicU64::new(0),
        }
    }

    pub fn progress(&self) -> &dyn Progress {
        self.controls.progress
    }

    /// Hears that something of about so many bytes is kept from now on.
    pub fn takes(&self, bytes: usize) {
        self.memory.fetch_add(bytes as u64, Ordering::Relaxed);
    }

    /// Hears that it is gone.
    pub fn gives_back(&self, bytes: usize) {
        self.memory.fetch_sub(bytes as u64, Ordering::Relaxed);
    }

    /// Whether to stop now; remembers why.
    pub fn should_stop(&self) -> bool {
        let memory = self.memory.load(Ordering::Relaxed);
        let reason = if self.controls.stopped() {
            1
        } else if self.time_limit.is_some_and(|limit| self.started.elapsed() >= limit) {
            2
        } else if self.memory_limit.is_some_and(|limit| memory >= limit) {
            3
        } else {
            return self.stopped.load(Ordering::Relaxed) != 0;
        };
        let _ = self.stopped.compare_exchange(0, reason, Ordering::Relaxed, Ordering::Relaxed);
        true
    }

    /// Why the work ended.
    pub fn stop(&self) -> Stop {
        match self.stopped.load(Ordering::Relaxed) {
            0 => Stop::Finished,
            1 => Stop::Interrupted,
            2 => Stop::TimeLimit,
            _ => Stop::MemoryLimit,
        }
    }
}
