//! Planting: random layouts with teeth, the brief of their ratios ± 2 %, and whether the
//! search gave them back.
//!
//! The planted gears are solved by the exact state solver, one state after the other, and
//! chosen by a greedy rule: nothing of the engine under test is used to plant.

#![allow(dead_code)] // Each house uses its own part.

use coaxle::motion::solve_state;
use coaxle::num::to_f64;
use coaxle::search::{Finding, Findings};
use coaxle::teeth::Catalogue;
use coaxle::train::{Core, ElementMask, GearSet, Layout, Slot, canonical};
use rand::prelude::*;
use rand_pcg::Pcg64;

/// How far a gear that is found may lie from the planted one, relative.
pub const TOLERANCE: f64 = 0.02;

pub struct Planted {
    /// In canonical numbers, and so one of the cores of its family.
    pub core: Core,
    pub spelling: String,
    /// Forward gears, first to top.
    pub forward: Vec<f64>,
    /// Magnitudes.
    pub reverse: Vec<f64>,
    pub brief: String,
}

/// The gears of a random layout, if they fit a loose band.
pub fn plant(
    rng: &mut Pcg64,
    cores: &[Core],
    catalogue: &Catalogue,
    elements: usize,
    least: usize,
) -> Option<Planted> {
    let core = cores.choose(rng)?;
    let sets = core.sets();
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
    let brief = targets(core, elements, &forward, &reverse, false);
    let spelling = canonical(core, &slots);
    Some(Planted { core: spelling.core, spelling: spelling.to_string(), forward, reverse, brief })
}

/// The brief that asks for these ratios ± 2 % of layouts with the numbers of `core`.
pub fn targets(
    core: &Core,
    elements: usize,
    forward: &[f64],
    reverse: &[f64],
    single_swap: bool,
) -> String {
    let (sets, shafts) = (core.sets(), core.shafts);
    format!(
        "title = \"planted\"\n[space]\nsets = {sets}\nshafts = {shafts}\nelements = {elements}\nnests = \"any\"\n\
         [gears]\nsingle_swap = {single_swap}\n\
         [targets]\nforward = {forward:?}\nreverse = {reverse:?}\ntolerance = {TOLERANCE}\n"
    )
}

/// Whether what was returned is the planted layout, or stands for it as its twin.
pub fn is_it(planted: &Planted, finding: &Finding) -> bool {
    finding.canonical == planted.spelling || finding.twins.contains(&planted.spelling)
}

/// Whether the planted layout or a twin of it was returned with the planted ratios ± 2 %.
pub fn is_found(planted: &Planted, findings: &Findings) -> bool {
    let near = |is: f64, wanted: f64| (is / wanted - 1.0).abs() <= TOLERANCE + 1e-9;
    findings.findings.iter().any(|finding| {
        let wanted = planted.forward.iter().copied().chain(planted.reverse.iter().map(|r| -r));
        let ratios = finding.ratios.iter().map(to_f64);
        is_it(planted, finding)
            && finding.ratios.len() == planted.forward.len() + planted.reverse.len()
            && ratios.zip(wanted).all(|(is, wanted)| near(is, wanted))
    })
}
