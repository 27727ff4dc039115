//! Two public problems of gear teeth, solved with proof: `cargo bench --bench yardsticks`.
//!
//! Bounds over areas against loops, in one run and on one thread. The loops are complete,
//! nothing is reckoned up; that both sides come to the same optimum is asserted.

#[path = "../tests/yardsticks/mod.rs"]
mod yardsticks;

use std::hint::black_box;
use std::time::Instant;

use yardsticks::areas::{Area, Outcome, Problem, search};
use yardsticks::gear_train::{self, GearTrain};
use yardsticks::plain;
use yardsticks::planetary::{self, Planetary};

fn main() {
    let clock = Clock::new();
    println!("seconds are {}", clock.name());

    let (proved, took) = solved(&clock, &GearTrain, gear_train::WHOLE);
    let ((squared, _), plainly) = clock.time(|| plain::gear_train(black_box(&gear_train::WHOLE)));
    let (error, [a, b, c, d]) = proved.best.expect("there are no conditions");
    let own = error.to_f64().powi(2);
    assert!((own - squared).abs() < 1e-18, "{own} and {squared}");
    println!("Sandgren's gear train: ({a} x {b}) / ({c} x {d}), squared error {own:.7e}");
    told(&proved, took, plainly);

    let (proved, took) = solved(&clock, &Planetary, planetary::WHOLE);
    let (loops, plainly) = clock.time(|| plain::planetary(black_box(&planetary::WHOLE)));
    let (worth, [n1, n2, n3, n4, n5, n6, p, m1, m2]) = proved.best.expect("some teeth are allowed");
    let (expected, _) = loops.expect("some teeth are allowed");
    assert!((worth.to_f64() - expected).abs() < 1e-12, "{worth:?} and {expected}");
    println!(
        "planetary problem: {} at N = ({n1}, {n2}, {n3}, {n4}, {n5}, {n6}), p = {p}, m = {} and {}",
        worth.to_f64(),
        m1 as f64 / 4.0,
        m2 as f64 / 4.0
    );
    told(&proved, took, plainly);
}

fn solved<const N: usize>(
    clock: &Clock,
    problem: &impl Problem<N>,
    whole: Area<N>,
) -> (Outcome<N>, f64) {
    clock.time(|| search(problem, black_box(whole), u64::MAX))
}

fn told<const N: usize>(outcome: &Outcome<N>, took: f64, plainly: f64) {
    let end = if outcome.is_proved() { "proved: ran to its end" } else { "not proved" };
    println!(
        "  {end}; {} areas in {:.2} ms, loops in {:.1} ms; ratio {:.0}",
        outcome.areas,
        1e3 * took,
        1e3 * plainly,
        plainly / took
    );
}

/// Seconds of this process in user mode where the system tells them, else by the wall.
struct Clock {
    started: Instant,
    user: bool,
}

impl Clock {
    fn new() -> Self {
        Self { started: Instant::now(), user: user_seconds().is_some() }
    }

    fn name(&self) -> &'static str {
        if self.user { "user time" } else { "wall time" }
    }

    fn now(&self) -> f64 {
        match user_seconds() {
            Some(seconds) if self.user => seconds,
            _ => self.started.elapsed().as_secs_f64(),
        }
    }

    /// What the work gives, and its seconds: repeated for a second or more, because user
    /// time is told in hundredths of a second.
    fn time<T>(&self, work: impl Fn() -> T) -> (T, f64) {
        let before = self.now();
        let mut times = 0;
        loop {
            let result = black_box(work());
            times += 1;
            let spent = self.now() - before;
            if spent >= 1.0 {
                return (result, spent / f64::from(times));
            }
        }
    }
}

/// Linux tells the user time of a process as the fourteenth word of its `stat`, in
/// hundredths of a second; the second word, in brackets, may hold blanks.
fn user_seconds() -> Option<f64> {
    let stat = std::fs::read_to_string("/proc/self/stat").ok()?;
    let (_, after_name) = stat.rsplit_once(") ")?;
    Some(after_name.split(' ').nth(11)?.parse::<f64>().ok()? / 100.0)
}
