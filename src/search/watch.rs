//! When to stop, and why: the clock, the user's interrupt, the memory in use.

use std::sync::atomic::{AtomicU64, Ordering};
use std::time::{Duration, Instant};

use super::progress::{Controls, Progress};
use crate::brief::Brief;

/// Why a run ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stop {
    /// All that was asked for was searched.
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

/// What a run may take at most, besides what its brief says.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Limits {
    pub time: Option<Duration>,
    /// Of the whole program.
    pub memory_mib: Option<u64>,
}

/// Looks at the clock, the stop flag and the memory while the work goes on.
pub struct Watch<'a> {
    controls: &'a Controls<'a>,
    started: Instant,
    time_limit: Option<Duration>,
    /// In bytes.
    memory_limit: Option<usize>,
    /// How often it was asked: memory is measured now and then only.
    asked: AtomicU64,
    /// 0 for going on, else 1 + a [`Stop`].
    stopped: AtomicU64,
}

/// Questions between two measurements of the memory.
const BETWEEN_MEASUREMENTS: u64 = 64;

impl<'a> Watch<'a> {
    /// Of the limits of the brief and `limits` the smaller ones hold.
    pub fn new(brief: &Brief, limits: Limits, controls: &'a Controls<'a>) -> Self {
        let effort = &brief.effort;
        let times = [effort.time_limit_s.map(Duration::from_secs_f64), limits.time];
        let memories = [effort.memory_limit_mib, limits.memory_mib];
        let memory = memories.into_iter().flatten().min().map(|mib| (mib as usize) << 20);
        Self { memory_limit: memory, ..Self::until(times.into_iter().flatten().min(), controls) }
    }

    /// With a limit in seconds alone, if any.
    pub fn timed(seconds: Option<f64>, controls: &'a Controls<'a>) -> Self {
        Self::until(seconds.map(Duration::from_secs_f64), controls)
    }

    fn until(time_limit: Option<Duration>, controls: &'a Controls<'a>) -> Self {
        Self {
            controls,
            started: Instant::now(),
            time_limit,
            memory_limit: None,
            asked: AtomicU64::new(0),
            stopped: AtomicU64::new(0),
        }
    }

    pub fn progress(&self) -> &dyn Progress {
        self.controls.progress
    }

    /// Whether to stop now; remembers why.
    pub fn should_stop(&self) -> bool {
        if self.stopped.load(Ordering::Relaxed) != 0 {
            return true;
        }
        let reason = if self.controls.stopped() {
            1
        } else if self.time_limit.is_some_and(|limit| self.started.elapsed() >= limit) {
            2
        } else if self.memory_limit.is_some_and(|limit| self.is_too_large(limit)) {
            3
        } else {
            return false;
        };
        let _ = self.stopped.compare_exchange(0, reason, Ordering::Relaxed, Ordering::Relaxed);
        true
    }

    /// Whether the program takes more memory than `limit`, where the system tells.
    fn is_too_large(&self, limit: usize) -> bool {
        let asked = self.asked.fetch_add(1, Ordering::Relaxed);
        asked.is_multiple_of(BETWEEN_MEASUREMENTS)
            && memory_stats::memory_stats().is_some_and(|memory| memory.physical_mem >= limit)
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
