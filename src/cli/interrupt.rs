//! Ctrl-C: the first asks the work to stop at the next good place, the second ends it.

use std::io::Write as _;
use std::process::exit;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

/// The exit status of a program that was interrupted.
const INTERRUPTED: i32 = 130;
/// Work that has not ended so long after the first Ctrl-C is ended.
const PATIENCE: Duration = Duration::from_millis(900);

static STOP: AtomicBool = AtomicBool::new(false);

/// From now on Ctrl-C sets the flag that is returned.
pub fn watched() -> &'static AtomicBool {
    // Without a handler the system ends the program at once: no worse than a second press.
    let _ = ctrlc::set_handler(|| {
        if STOP.swap(true, Ordering::Relaxed) {
            exit(INTERRUPTED);
        }
        say("\nstopping; Ctrl-C again stops at once");
        // A net for work that does not hear: results are written so that they can be cut off
        // anywhere.
        std::thread::spawn(|| {
            std::thread::sleep(PATIENCE);
            say(
                "stopped at once: finished units of work are kept, and nothing half-written stands \
                 in the place of a result; the same command goes on or begins again",
            );
            exit(INTERRUPTED);
        });
    });
    &STOP
}

/// From now on Ctrl-C ends the program: for work of which no part would be worth keeping.
pub fn at_once() {
    let _ = ctrlc::set_handler(|| exit(INTERRUPTED));
}

/// Asks the work to stop, as the first Ctrl-C does.
pub fn stop() {
    STOP.store(true, Ordering::Relaxed);
}

fn say(text: &str) {
    let _ = writeln!(std::io::stderr(), "{text}");
}
