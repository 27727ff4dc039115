//! Ctrl-C: the first asks the work to stop at the next good place, the second ends it.

use std::io::Write as _;
use std::sync::atomic::{AtomicBool, Ordering};

static STOP: AtomicBool = AtomicBool::new(false);

/// From now on Ctrl-C sets the flag that is returned.
pub fn watched() -> &'static AtomicBool {
    // Without a handler the system ends the program at once: no worse than a second press.
    let _ = ctrlc::set_handler(|| {
        if STOP.swap(true, Ordering::Relaxed) {
            std::process::exit(130);
        }
        let _ = writeln!(std::io::stderr(), "\nstopping; Ctrl-C again stops at once");
    });
    &STOP
}
