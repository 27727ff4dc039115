//! Mixed-integer models solved beside whoever asks, who need not wait when the work is stopped.
//!
//! One step of a large model can last for minutes and hears nothing. So a model is solved on a
//! thread of its own, which is left behind when the work is stopped, and ends at its next
//! pause.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{RecvTimeoutError, channel};
use std::thread;
use std::time::Duration;

use good_lp::solvers::microlp::MicroLpProblem;

use crate::num::{Solved, solve_within};

/// Between two questions whether to go on.
const PAUSE: Duration = Duration::from_millis(20);

/// As [`solve_within`], but [`Solved::Undecided`] as soon as `stopped` says so.
pub(crate) fn solve_unless(
    model: &MicroLpProblem,
    nodes: u64,
    stopped: &dyn Fn() -> bool,
) -> Solved {
    let (problem, left) = (model.as_inner().clone(), Arc::new(AtomicBool::new(false)));
    let is_left = Arc::clone(&left);
    let (say, hear) = channel();
    let work = move || {
        let solved = solve_within(&problem, nodes, &|| is_left.load(Ordering::Relaxed));
        // Nobody hears it where it was left.
        let _ = say.send(solved);
    };
    let Ok(_) = thread::Builder::new().spawn(work) else {
        // No thread can be had: then it is solved here, and heard later.
        return solve_within(model.as_inner(), nodes, stopped);
    };
    loop {
        match hear.recv_timeout(PAUSE) {
            Ok(solved) => return solved,
            Err(RecvTimeoutError::Disconnected) => return Solved::Undecided,
            Err(RecvTimeoutError::Timeout) if stopped() => {
                left.store(true, Ordering::Relaxed);
                return Solved::Undecided;
            }
            Err(RecvTimeoutError::Timeout) => {}
        }
    }
}
