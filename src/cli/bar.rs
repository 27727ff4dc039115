//! The progress of long work on stderr; nothing where that is no terminal.

use std::time::Duration;

use indicatif::style::TemplateError;
use indicatif::{HumanCount, ProgressBar, ProgressDrawTarget, ProgressState, ProgressStyle};

use super::voice::Voice;
use crate::search::Progress;

const COUNTED: &str = "{msg} {wide_bar} {percent} % of {human_len}, {rate}/s, {eta} left";
const UNCOUNTED: &str = "{msg} {spinner} {elapsed}";

/// A bar with rate and time left. Gone from the terminal when dropped.
pub struct Bar(ProgressBar);

impl Bar {
    pub fn new(voice: Voice) -> Self {
        let target = match voice {
            // Indicatif hides the bar by itself where stderr is no terminal.
            Voice::Plain => ProgressDrawTarget::stderr(),
            Voice::Quiet => ProgressDrawTarget::hidden(),
        };
        let bar = ProgressBar::with_draw_target(None, target);
        // The library's own look would flash by before the first phase.
        Self(match style(UNCOUNTED) {
            Ok(style) => bar.with_style(style),
            Err(_) => bar,
        })
    }
}

impl Progress for Bar {
    fn phase(&self, name: &str, total: u64) {
        // Named and measured before it is shown, so that no half-made line flashes by.
        self.0.set_message(name.to_owned());
        self.0.set_position(0);
        if total == 0 {
            self.0.unset_length();
            self.0.enable_steady_tick(Duration::from_millis(200));
        } else {
            self.0.disable_steady_tick();
            self.0.set_length(total);
        }
        if let Ok(style) = style(if total == 0 { UNCOUNTED } else { COUNTED }) {
            self.0.set_style(style);
        }
        self.0.reset();
    }

    fn tick(&self, by: u64) {
        self.0.inc(by);
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
        self.0.finish_and_clear();
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
}
