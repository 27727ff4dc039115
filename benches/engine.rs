//! The engine against the plain way, in one run: `cargo bench --bench engine`.
//!
//! Times on a shared machine mean little; the ratios of this one run are what to write
//! down. The plain way is that of the test oracle: every state solved for itself in exact
//! fractions, no symmetry, no sieve, no bounds. Scoring is held against the same gears
//! solved in fractions.

use std::hint::black_box;
use std::ops::Range;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::time::Instant;

use coaxle::account::{Basis, USUAL_SPEEDS, portrait, show};
use coaxle::brief::Brief;
use coaxle::build::{drawing, nests};
use coaxle::motion::{MeshEfficiency, solve_state};
use coaxle::num::to_f64;
use coaxle::score::{Assessment, Criterion, Setting, assess, assess_plainly};
use coaxle::search::{
    Controls, CoreFamily, Course, Finding, FreeMotions, Limits, NoLedger, Quiet, run_course,
};
use coaxle::train::{Core, GearSet, Layout};
use itertools::Itertools;

fn main() {
    for (sets, shafts) in [(2, 5), (3, 6), (4, 8), (4, 9)] {
        states(sets, shafts);
    }
    for text in [include_str!("../configs/railcar-4.toml"), Brief::default_text()] {
        layouts(&Brief::parse(text, "bench").expect("the brief is right"), None);
    }
    // A few units from the middle of a space that takes minutes.
    let text = include_str!("../configs/railcar-8.toml");
    layouts(&Brief::parse(text, "bench").expect("the brief is right"), Some(500..516));
}

/// A few cores, evenly spread over the family.
fn some_cores(family: CoreFamily, most: usize) -> Vec<Core> {
    let cores = family.cores();
    let every = cores.len().div_ceil(most);
    cores.into_iter().step_by(every).collect()
}

fn any_teeth(sets: usize) -> Vec<GearSet> {
    [(30, 66), (33, 75), (27, 63), (36, 96)][..sets]
        .iter()
        .map(|&(sun, ring)| GearSet::single(sun, ring))
        .collect()
}

/// States a second: the ratio as a function of all base ratios, against the exact ratio at
/// one choice of teeth.
fn states(sets: u8, shafts: u8) {
    let cores = some_cores(CoreFamily::plain(sets, shafts), 200);
    let started = Instant::now();
    let mut judged = 0u64;
    for core in &cores {
        FreeMotions::new(core, &core.slots()).for_each_state(|_, state| {
            black_box(state.is_live());
            judged += 1;
        });
    }
    let engine = judged as f64 / started.elapsed().as_secs_f64();
    let started = Instant::now();
    let mut solved = 0u64;
    for core in cores.iter().step_by(10) {
        let layout = Layout::from_core(core, &core.slots()[..8], any_teeth(usize::from(sets)));
        for state in layout.states() {
            black_box(solve_state(&layout, state));
            solved += 1;
        }
    }
    let plain = solved as f64 / started.elapsed().as_secs_f64();
    println!(
        "{sets} sets, {shafts} shafts, one thread: {:.2} M states/s as functions, {:.3} M/s one by \
         one; ratio {:.0}",
        engine / 1e6,
        plain / 1e6,
        engine / plain
    );
}

/// Layouts a second of the whole road, against solving the states of each layout at one
/// choice of teeth and no more; the plain side is extrapolated from a sample of cores.
fn layouts(brief: &Brief, units: Option<Range<usize>>) {
    let stop = AtomicBool::new(false);
    let controls = Controls { threads: Some(1), stop: &stop, progress: &Quiet };
    let started = Instant::now();
    let (limits, ledger) = (Limits::default(), &mut NoLedger);
    let course = Course { units, limits, ledger };
    let findings = run_course(brief, &controls, course).expect("the search runs");
    let engine = findings.layouts as f64 / started.elapsed().as_secs_f64();
    let (mut solved, started) = (0u64, Instant::now());
    for family in brief.space.families() {
        let cores = CoreFamily {
            sets: family.sets,
            shafts: family.shafts,
            held: family.held,
            bare_input: family.bare_input,
        };
        for core in some_cores(cores, 12) {
            let elements = usize::from(family.elements);
            let slots = core.slots();
            let every = (num_integer::binomial(slots.len(), elements) / 100).max(1);
            for chosen in slots.into_iter().combinations(elements).step_by(every) {
                let layout = Layout::from_core(&core, &chosen, any_teeth(core.sets()));
                for state in layout.states() {
                    black_box(solve_state(&layout, state).ratio.as_ref().map(to_f64));
                }
                solved += 1;
            }
        }
    }
    let plain = solved as f64 / started.elapsed().as_secs_f64();
    let sift = findings.layouts as f64 / findings.spent.sift.as_secs_f64();
    println!(
        "{}, one thread: {:.2} M layouts/s for the whole road, {:.2} for the sift alone, {:.4} M/s \
         plain at a single choice of teeth; ratios {:.0} and {:.0}",
        brief.title,
        engine / 1e6,
        sift / 1e6,
        plain / 1e6,
        engine / plain,
        sift / plain
    );
    scores(brief, &findings.findings);
    nesting(brief, &findings.findings);
}

/// Layouts a second through the nesting test, and milliseconds for a drawing of one that
/// nests and for all that `show` tells, over layouts that a search found; one thread.
fn nesting(brief: &Brief, findings: &[Finding]) {
    let layouts: Vec<&Layout> = findings.iter().map(|finding| &finding.layout).take(2000).collect();
    let seconds = |work: &dyn Fn(&Layout), layouts: &[&Layout]| {
        let started = Instant::now();
        layouts.iter().for_each(|layout| work(layout));
        started.elapsed().as_secs_f64() / layouts.len().max(1) as f64
    };
    let nesting: Vec<&Layout> = layouts.iter().copied().filter(|layout| nests(layout)).collect();
    let test = seconds(
        &|layout| {
            black_box(nests(layout));
        },
        &layouts,
    );
    let some = &nesting[..nesting.len().min(100)];
    let drawn = seconds(&|layout| drop(black_box(drawing(layout))), some);
    let told = seconds(
        &|layout| drop(black_box(show(layout, &Basis::default()))),
        &layouts[..layouts.len().min(100)],
    );
    let pictures = AtomicUsize::new(0);
    let portrayed = |layout: &Layout| {
        let all = portrait(layout, &Basis::default(), USUAL_SPEEDS).expect("pictures are drawn");
        pictures.fetch_add(all.len(), Ordering::Relaxed);
    };
    let some = &nesting[..nesting.len().min(20)];
    let drawings = seconds(&portrayed, some) * some.len() as f64;
    let each = drawings / pictures.into_inner().max(1) as f64;
    println!(
        "{}: {:.2} ms a picture of a layout that nests, of all kinds, the way of the lines found",
        brief.title,
        1e3 * each
    );
    println!(
        "{}, {} of {} layouts nest: {:.0} nesting tests/s; {:.1} ms for a drawing, {:.1} ms for all \
         that show tells",
        brief.title,
        nesting.len(),
        layouts.len(),
        1.0 / test,
        1e3 * drawn,
        1e3 * told
    );
}

/// Microseconds a layout for its gears alone, and for its gears and every score, over the
/// layouts that a search found.
fn scores(brief: &Brief, findings: &[Finding]) {
    let progression = &brief.gears.progression;
    let setting = Setting { progression, teeth: &brief.teeth };
    let timed = |assess: fn(&Layout, &MeshEfficiency) -> Assessment, scored: bool| {
        let started = Instant::now();
        for Finding { layout, .. } in findings {
            let assessed = black_box(assess(layout, &brief.mesh));
            for criterion in Criterion::ALL.into_iter().filter(|_| scored) {
                black_box(assessed.score(criterion, layout, &setting));
            }
        }
        started.elapsed().as_secs_f64() * 1e6 / findings.len() as f64
    };
    let [(gears, plain_gears), (scores, plain_scores)] =
        [false, true].map(|scored| (timed(assess, scored), timed(assess_plainly, scored)));
    println!(
        "{}, {} layouts scored: {gears:.1} µs each for the gears, {plain_gears:.1} in fractions; \
         ratio {:.0}; with all scores {scores:.1} and {plain_scores:.1}; ratio {:.0}",
        brief.title,
        findings.len(),
        plain_gears / gears,
        plain_scores / scores
    );
}
