//! Reductions against the plain way, in one run: `cargo bench --bench reduction`.
//!
//! The plain way solves every arrangement with every choice of base ratios for itself in
//! exact fractions; it is timed on a sample and reckoned up. Only the ratios of one run are
//! worth writing down.

use std::hint::black_box;
use std::sync::atomic::AtomicBool;
use std::time::Instant;

use coaxle::brief::{ReductionBrief, no_list};
use coaxle::reduction::choice::Choices;
use coaxle::reduction::reductions;
use coaxle::train::{ElementMask, SetKind};
use coaxle::{Controls, CoreFamily, Layout, Quiet, solve_state};

/// Solved one by one for the plain way.
const SAMPLE: usize = 20_000;

fn main() {
    for (sets, coupling) in [(2, "series"), (2, "any"), (3, "series"), (3, "any")] {
        let brief = format!(
            "[ratio]\ntarget = 57.6\ntolerance = 0.005\n[train]\nsets = {sets}\n\
             coupling = \"{coupling}\"\n[room]\nbore = 90\nmodules = 1.0\n\
             [teeth]\nplanets = [3, 4]\n"
        );
        let brief = ReductionBrief::parse(&brief, "bench", no_list).expect("the brief is right");
        let stop = AtomicBool::new(false);
        let controls = Controls { threads: Some(1), stop: &stop, progress: &Quiet };
        let started = Instant::now();
        let found = reductions(&brief, &controls).expect("threads start");
        let took = started.elapsed().as_secs_f64();
        let ways = found.coverage[0].count.nesting as f64;
        let classes = Choices::of(&brief, SetKind::Single).classes;
        let all = ways * (classes.len() as f64).powi(sets);
        println!(
            "{sets} sets {coupling}: {ways} arrangements, {} base ratios: all in {took:.2} s; \
             {} on the front; the plain way would take {:.0} times as long",
            classes.len(),
            found.variants[0].front.len(),
            all * plain(sets as u8, &classes) / took
        );
    }
}

/// Seconds that the plain way takes for one arrangement at one choice.
fn plain(sets: u8, classes: &[coaxle::reduction::choice::RatioClass]) -> f64 {
    let family = CoreFamily { sets, shafts: sets + 1, held: true, bare_input: false };
    let cores = family.cores();
    let started = Instant::now();
    for index in 0..SAMPLE {
        let core = &cores[index % cores.len()];
        let set = |k: usize| classes[(index * 7 + k * 13) % classes.len()].choices[0].set;
        let layout = Layout::from_core(core, &[], (0..sets.into()).map(set).collect());
        black_box(solve_state(&layout, ElementMask::default()).ratio);
    }
    started.elapsed().as_secs_f64() / SAMPLE as f64
}
