//! The search must find what is there: random layouts are planted, a brief is made from
//! their ratios ± 2 %, and the search must return each of them or a twin of it.
//!
//! The planted gears are solved here by the exact state solver, one state after the other,
//! and chosen by a greedy rule: nothing of the engine under test is used to plant.
//! `cargo test --release --test planted -- --ignored --nocapture` runs the full two hundred
//! of both families and prints the recall.

use std::sync::atomic::AtomicBool;

use coaxle::brief::Brief;
use coaxle::motion::solve_state;
use coaxle::num::to_f64;
use coaxle::search::{Controls, CoreFamily, Findings, Quiet, run};
use coaxle::teeth::{Catalogue, ToothLimits};
use coaxle::train::{Core, ElementMask, GearSet, Layout, Slot, canonical};
use rand::prelude::*;
use rand_pcg::Pcg64;

struct Planted {
    spelling: String,
    /// Forward gears, first to top.
    forward: Vec<f64>,
    /// Magnitudes.
    reverse: Vec<f64>,
    brief: String,
}

/// The gears of a random layout, if they fit a loose band.
fn plant(
    rng: &mut Pcg64,
    cores: &[Core],
    catalogue: &Catalogue,
    elements: usize,
    least: usize,
) -> Option<Planted> {
    let core = cores.choose(rng)?;
    let (sets, shafts) = (core.sets(), core.shafts);
    let teeth: Vec<GearSet> =
        (0..sets).map(|_| catalogue.best(rng.random_range(0..catalogue.len())).set).collect();
    let slots: Vec<Slot> = core.slots().into_iter().sample(rng, elements);
    let layout = Layout::from_core(core, &slots, teeth);
    let ratio = |state: ElementMask| solve_state(&layout, state).ratio.as_ref().map(to_f64);
    let mut live: Vec<(f64, ElementMask)> =
        layout.states().filter_map(|state| Some((ratio(state)?, state))).collect();
    live.sort_by(|a, b| b.0.total_cmp(&a.0));
    // The band: from 8 down to 0.35, steps of at least 1.1; the first that fits is taken.
    let mut forward: Vec<(f64, ElementMask)> = Vec::new();
    for &(value, state) in live.iter().filter(|(value, _)| (0.35..8.0).contains(value)) {
        if forward.last().is_none_or(|(last, _)| last / value >= 1.1) {
            forward.push((value, state));
        }
    }
    let reverse: Vec<f64> =
        live.iter().filter(|(v, _)| (-8.0..-0.8).contains(v)).map(|(v, _)| -v).take(1).collect();
    let steps_fit = forward.windows(2).all(|pair| pair[0].0 / pair[1].0 <= 2.2);
    if forward.len() < least || reverse.is_empty() || !steps_fit {
        return None;
    }
    let forward: Vec<f64> = forward.into_iter().map(|(value, _)| value).collect();
    let brief = format!(
        "title = \"planted\"\n[space]\nsets = {sets}\nshafts = {shafts}\nelements = {elements}\n\
         [targets]\nforward = {forward:?}\nreverse = {reverse:?}\ntolerance = 0.02\n"
    );
    let spelling = canonical(core, &slots).to_string();
    Some(Planted { spelling, forward, reverse, brief })
}

/// Whether the planted layout or a twin of it was returned with gears that meet the brief.
fn is_found(planted: &Planted, findings: &Findings) -> bool {
    findings.findings.iter().any(|finding| {
        let same =
            finding.canonical == planted.spelling || finding.twins.contains(&planted.spelling);
        let wanted = planted.forward.iter().copied().chain(planted.reverse.iter().map(|r| -r));
        let ratios = finding.ratios.iter().map(to_f64);
        same && ratios.zip(wanted).all(|(is, wanted)| (is / wanted - 1.0).abs() <= 0.02 + 1e-9)
    })
}

fn recall(wanted: usize, sets: u8, shafts: u8, elements: usize, least: usize) -> (usize, f64) {
    let mut rng = Pcg64::seed_from_u64(u64::from(sets) * 1000 + wanted as u64);
    let stop = AtomicBool::new(false);
    let controls = Controls { threads: None, stop: &stop, progress: &Quiet };
    let cores = CoreFamily::plain(sets, shafts).cores();
    let catalogue = Catalogue::build(&ToothLimits::default());
    let (mut planted_count, mut found) = (0, 0);
    let mut gears = 0;
    while planted_count < wanted {
        let Some(planted) = plant(&mut rng, &cores, &catalogue, elements, least) else { continue };
        planted_count += 1;
        gears += planted.forward.len();
        let brief = Brief::parse(&planted.brief, "planted").expect("a planted brief is right");
        let findings = run(&brief, &controls).expect("the search runs");
        if is_found(&planted, &findings) {
            found += 1;
        } else {
            eprintln!("not found: {} {:?}\n{}", planted.spelling, findings.passages, planted.brief);
        }
    }
    (found, gears as f64 / wanted as f64)
}

#[test]
fn a_few_planted_layouts_of_two_sets_are_found() {
    assert_eq!(recall(40, 2, 5, 4, 3).0, 40);
}

#[test]
fn a_few_planted_layouts_of_three_sets_are_found() {
    assert_eq!(recall(3, 3, 6, 5, 4).0, 3);
}

#[test]
#[ignore = "minutes; prints the recall of the full two hundred"]
fn two_hundred_planted_layouts_of_each_family() {
    for (sets, shafts, elements, least, needed) in [(2, 5, 4, 3, 200), (3, 6, 5, 4, 198)] {
        let started = std::time::Instant::now();
        let (found, gears) = recall(200, sets, shafts, elements, least);
        println!(
            "{sets} sets, {shafts} shafts, {elements} elements: {found} of 200 planted layouts \
             found (mean {gears:.1} forward gears; {:.0} s)",
            started.elapsed().as_secs_f64()
        );
        assert!(found >= needed);
    }
}
