//! When to stop, and why: the clock, the user's interrupt, the memory in use.

use std::sync::atomic::{AtomicU64, Ordering};
use std::time::{Duration, Instant};

use super::progress::{Controls, Progress};
use crate::brief::Brief;
use crate::error::{Error, Mistake};

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
    /// From when on time is counted, where not from the making of the watch.
    pub since: Option<Instant>,
}

impl Limits {
    /// Limits of work that begins now, whatever of it comes first.
    pub fn from_now(time: Option<Duration>, memory_mib: Option<u64>) -> Self {
        Self { time, memory_mib, since: Some(Instant::now()) }
    }
}

/// The time that is left for showing what a stopped run has found: whoever stopped it waits.
pub struct Moment {
    begun: Instant,
    length: Duration,
}

impl Moment {
    /// After a run that has ended so; `None` after one that was not stopped. An interrupted
    /// run has less of it: it is to be gone within a second, its files written.
    pub fn after(stop: Stop) -> Option<Self> {
        let length = match stop {
            Stop::Finished => return None,
            Stop::Interrupted => 100,
            Stop::TimeLimit | Stop::MemoryLimit => 300,
        };
        Some(Self { begun: Instant::now(), length: Duration::from_millis(length) })
    }

    pub fn is_over(&self) -> bool {
        self.begun.elapsed() >= self.length
    }
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
        let memory = memories.into_iter().flatten().min();
        // More than a machine can count is no limit.
        let memory = memory.and_then(|mib| usize::try_from(mib).ok()?.checked_mul(1 << 20));
        let until = Self::until(times.into_iter().flatten().min(), controls);
        Self { memory_limit: memory, started: limits.since.unwrap_or(until.started), ..until }
    }

    /// Says no where the program takes more memory than its limit before it has begun.
    ///
    /// # Errors
    /// [`Error::Request`] with what the least limit would be.
    pub fn refuse_at_once(&self) -> Result<(), Error> {
        let taken = memory_stats::memory_stats().map_or(0, |memory| memory.physical_mem);
        let Some(limit) = self.memory_limit.filter(|&limit| taken >= limit) else {
            return Ok(());
        };
        let mib = |bytes: usize| bytes.div_ceil(1 << 20);
        let (limit, taken) = (mib(limit), mib(taken));
        let problem = format!("is {limit} MiB, and {taken} MiB are taken before the work begins");
        let mend = "allow some hundred MiB more than that, with --limit-memory or \
                    effort.memory_limit";
        Err(Mistake::at("--limit-memory", problem, mend).into())
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

    /// The controls that are watched.
    pub fn controls(&self) -> &'a Controls<'a> {
        self.controls
    }

    /// Whether to stop now, the memory measured in any case; for the end of a phase.
    pub fn should_stop_after_phase(&self) -> bool {
        self.asked.store(0, Ordering::Relaxed);
        self.should_stop()
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

    /// How much of the time is left, where there is a limit.
    pub(super) fn time_left(&self) -> Option<Duration> {
        self.time_limit.map(|limit| limit.saturating_sub(self.started.elapsed()))
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
