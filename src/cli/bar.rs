//! The progress of long work on stderr; nothing where that is no terminal.

use std::time::Duration;

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

use super::voice::Voice;
use crate::search::Progress;

const COUNTED: &str =
    "{msg:<20} {bar:28} {percent:>3} %  {human_pos} of {human_len}, {per_sec}, {eta} left";
const UNCOUNTED: &str = "{msg:<20} {spinner} {elapsed}";

/// A bar with rate and time left. Gone from the terminal when dropped.
pub struct Bar(ProgressBar);

impl Bar {
    pub fn new(voice: Voice) -> Self {
        let target = match voice {
            // Indicatif hides the bar by itself where stderr is no terminal.
            Voice::Plain => ProgressDrawTarget::stderr(),
            Voice::Quiet => ProgressDrawTarget::hidden(),
        };
        Self(ProgressBar::with_draw_target(None, target))
    }
}

impl Progress for Bar {
    fn phase(&self, name: &str, total: u64) {
        let template = if total == 0 { UNCOUNTED } else { COUNTED };
        // Both templates are constants that a test reads.
        if let Ok(style) = ProgressStyle::with_template(template) {
            self.0.set_style(style.progress_chars("━╸ "));
        }
        self.0.reset();
        match total {
            0 => {
                self.0.unset_length();
                self.0.enable_steady_tick(Duration::from_millis(200));
            }
            total => {
                self.0.disable_steady_tick();
                self.0.set_length(total);
            }
        }
        self.0.set_message(name.to_owned());
    }

    fn tick(&self, by: u64) {
        self.0.inc(by);
    }
}

impl Drop for Bar {
    fn drop(&mut self) {
        self.0.finish_and_clear();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn templates_can_be_read() {
        for template in [COUNTED, UNCOUNTED] {
            assert!(ProgressStyle::with_template(template).is_ok());
        }
    }
}
