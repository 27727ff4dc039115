//! The progress of long work: a bar on stderr, nothing where that is no terminal; and a note
//! of how long the work will take where that is long.

use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};

use indicatif::style::TemplateError;
use indicatif::{HumanCount, ProgressBar, ProgressDrawTarget, ProgressState, ProgressStyle};

use super::interrupt;
use super::look::{DAY_S, decimal, duration, wrapped};
use super::voice::Voice;
use crate::error::Mistake;
use crate::search::Progress;

const COUNTED: &str = "{msg} {wide_bar} {percent} % of {human_len}, {rate}/s, {eta} left";
const UNCOUNTED: &str = "{msg} {spinner} {elapsed}";

/// A phase is judged from what it has done after so long …
const PROBE: Duration = Duration::from_secs(2);
/// … and told of where the whole phase will take more than this.
const LONG_S: f64 = 10.0;

/// A bar with rate and time left. Gone from the terminal when dropped.
pub struct Bar {
    bar: ProgressBar,
    voice: Voice,
    /// Whether work of more than a day is stopped as soon as that is foreseen.
    at_most_a_day: bool,
    phase: Mutex<Phase>,
    done: AtomicU64,
    /// Whether the phase was judged, or nobody is to judge it.
    judged: AtomicBool,
    too_long: Mutex<Option<String>>,
}

/// What is judged.
struct Phase {
    name: String,
    total: u64,
    begun: Instant,
}

impl Bar {
    pub fn new(voice: Voice) -> Self {
        let target = match voice {
            // Indicatif hides the bar by itself where stderr is no terminal.
            Voice::Plain => ProgressDrawTarget::stderr(),
            Voice::Quiet => ProgressDrawTarget::hidden(),
        };
        let bar = ProgressBar::with_draw_target(None, target);
        // The library's own look would flash by before the first phase.
        let bar = match style(UNCOUNTED) {
            Ok(style) => bar.with_style(style),
            Err(_) => bar,
        };
        Self {
            bar,
            voice,
            at_most_a_day: false,
            phase: Mutex::new(Phase { name: String::new(), total: 0, begun: Instant::now() }),
            done: AtomicU64::new(0),
            judged: AtomicBool::new(true),
            too_long: Mutex::new(None),
        }
    }

    /// The same, which asks the work to stop as soon as it foresees more than a day of it;
    /// `yes` where the user has agreed to that.
    pub fn for_a_day(voice: Voice, yes: bool) -> Self {
        let mut bar = Self::new(voice);
        bar.at_most_a_day = !yes;
        bar
    }

    /// Says no where the work was stopped because it would have taken more than a day.
    ///
    /// # Errors
    /// A [`Mistake`] with the time that was foreseen.
    pub fn refusal(&self) -> Result<(), Mistake> {
        match self.too_long.lock().unwrap_or_else(PoisonError::into_inner).take() {
            None => Ok(()),
            Some(told) => {
                let mend = "ask for less, or write --yes to begin all the same";
                Err(Mistake::at("", format!("this would take very long: {told}"), mend))
            }
        }
    }

    /// Judges the phase once, when it has worked for a while: what it has done is the probe.
    fn judge(&self, done: u64) {
        let phase = self.phase.lock().unwrap_or_else(PoisonError::into_inner);
        let elapsed = phase.begun.elapsed();
        if elapsed < PROBE || self.judged.swap(true, Ordering::Relaxed) {
            return;
        }
        let share = done as f64 / phase.total as f64;
        let seconds = elapsed.as_secs_f64() / share;
        if share >= 1.0 || seconds < LONG_S {
            return;
        }
        let told = format!(
            "{}: about {} in all, judged from the {} % done in the first {} s",
            phase.name,
            duration(seconds),
            percent(share),
            decimal(elapsed.as_secs_f64(), 0)
        );
        if self.at_most_a_day && seconds > DAY_S {
            *self.too_long.lock().unwrap_or_else(PoisonError::into_inner) = Some(told);
            interrupt::stop();
            return;
        }
        self.bar.suspend(|| self.voice.note(wrapped(&format!("{told}."), 2).trim_end()));
    }
}

/// A share in percent, with as many decimals as a small one needs.
fn percent(share: f64) -> String {
    let decimals = (-(100.0 * share).log10()).ceil().clamp(0.0, 12.0);
    decimal(100.0 * share, decimals as usize)
}

impl Progress for Bar {
    fn phase(&self, name: &str, total: u64) {
        *self.phase.lock().unwrap_or_else(PoisonError::into_inner) =
            Phase { name: name.to_owned(), total, begun: Instant::now() };
        self.done.store(0, Ordering::Relaxed);
        self.judged.store(total == 0, Ordering::Relaxed);
        // Named and measured before it is shown, so that no half-made line flashes by.
        self.bar.set_message(name.to_owned());
        self.bar.set_position(0);
        if total == 0 {
            self.bar.unset_length();
            self.bar.enable_steady_tick(Duration::from_millis(200));
        } else {
            self.bar.disable_steady_tick();
            self.bar.set_length(total);
        }
        if let Ok(style) = style(if total == 0 { UNCOUNTED } else { COUNTED }) {
            self.bar.set_style(style);
        }
        self.bar.reset();
    }

    fn tick(&self, by: u64) {
        self.bar.inc(by);
        let done = self.done.fetch_add(by, Ordering::Relaxed) + by;
        if !self.judged.load(Ordering::Relaxed) {
            self.judge(done);
        }
    }
}

fn style(template: &str) -> Result<ProgressStyle, TemplateError> {
    let rate = |state: &ProgressState, out: &mut dyn std::fmt::Write| {
        let _ = write!(out, "{}", HumanCount(state.per_sec() as u64));
    };
    Ok(ProgressStyle::with_template(template)?.progress_chars("━╸ ").with_key("rate", rate))
}

impl Drop for Bar {
    fn drop(&mut self) {
        self.bar.finish_and_clear();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn templates_can_be_read() {
        for template in [COUNTED, UNCOUNTED] {
            assert!(style(template).is_ok());
        }
    }

    #[test]
    fn small_shares_keep_a_digit() {
        assert_eq!(
            ["0.5", "12", "0.003"],
            [0.005, 0.12, 0.00003].map(percent).each_ref().map(|s| &**s)
        );
    }
}
