//! Reductions: the engine against a search without any cleverness, and what must hold of
//! everything that is found.

use std::collections::BTreeSet;
use std::sync::atomic::AtomicBool;

use coaxle::brief::ReductionBrief;
use coaxle::build::nests;
use coaxle::motion::Duty;
use coaxle::num::{fraction, to_f64};
use coaxle::reduction::choice::{Choice, Choices};
use coaxle::reduction::{EFFICIENCY_STEP, Found, LENGTH_STEP, Reductions, reductions};
use coaxle::teeth::{Mesh, PlacedSet, specific_sliding};
use coaxle::train::{Core, ElementMask, SetKind};
use coaxle::{Controls, Criterion, Fraction, Layout, Quiet};
use itertools::Itertools as _;
use num_traits::Signed as _;
use rand::{RngExt as _, SeedableRng as _};

fn brief(text: &str) -> ReductionBrief {
    ReductionBrief::parse(text, "test", coaxle::brief::no_list)
        .unwrap_or_else(|mistake| panic!("{mistake}"))
}

fn run(brief: &ReductionBrief, threads: usize) -> Reductions {
    let stop = AtomicBool::new(false);
    let controls = Controls { threads: Some(threads), stop: &stop, progress: &Quiet };
    reductions(brief, &controls).unwrap()
}

/// Objectives in whole steps, lower being better: error in steps of close_enough, diameter
/// and length in their steps, parts, efficiency in its steps.
fn steps(found: &Found, close_enough: f64) -> Vec<i64> {
    let score = |criterion: Criterion| {
        let place = Criterion::REDUCTION.iter().position(|c| *c == criterion).unwrap();
        found.scores[place].unwrap()
    };
    vec![
        error_steps(score(Criterion::RatioError) / 100.0, close_enough),
        whole(score(Criterion::OuterDiameter) / LENGTH_STEP),
        whole(score(Criterion::Length) / LENGTH_STEP),
        score(Criterion::PartCount) as i64,
        -whole(score(Criterion::Efficiency) / EFFICIENCY_STEP),
    ]
}

/// Halves go up, whatever rounding made of them.
fn whole(steps: f64) -> i64 {
    (steps + 1e-6).round() as i64
}

fn error_steps(off: f64, close_enough: f64) -> i64 {
    (off / close_enough - 1.0 - 1e-6).ceil().max(0.0) as i64
}

/// Every labelled way to seat the members of `sets` sets on as many shafts and one, and the
/// housing, with input and output: far more than there are different ones.
fn every_core(sets: usize) -> Vec<Core> {
    let shafts = sets as u8 + 1;
    let seatings = (0..3 * sets).map(|_| 0..=shafts).multi_cartesian_product();
    let fits = |flat: &Vec<u8>| {
        let all: BTreeSet<u8> = flat.iter().copied().collect();
        flat.chunks(3).all(|set| set.iter().all_unique()) && all.len() == usize::from(shafts) + 1
    };
    let mut cores = Vec::new();
    for flat in seatings.filter(fits) {
        let seats: Vec<[u8; 3]> = flat.chunks(3).map(|c| [c[0], c[1], c[2]]).collect();
        for (input, output) in (1..=shafts).cartesian_product(1..=shafts) {
            if input != output {
                cores.push(Core::new(&seats, shafts, input, output));
            }
        }
    }
    cores
}

/// The front by trying everything, in whole steps.
fn plain_front(brief: &ReductionBrief) -> BTreeSet<Vec<i64>> {
    let kinds = &brief.train.kinds;
    let all: Vec<Choice> = kinds
        .iter()
        .flat_map(|&kind| Choices::of(brief, kind).classes)
        .flat_map(|class| class.choices)
        .collect();
    let mut points: BTreeSet<Vec<i64>> = BTreeSet::new();
    for &sets in &brief.train.sets {
        let sets = usize::from(sets);
        let cores = every_core(sets);
        for choices in (0..sets).map(|_| all.iter()).multi_cartesian_product() {
            for core in &cores {
                points.extend(plain_point(brief, core, &choices));
            }
        }
    }
    let beats = |a: &Vec<i64>, b: &Vec<i64>| a != b && a.iter().zip(b).all(|(a, b)| a <= b);
    points.iter().filter(|one| !points.iter().any(|other| beats(other, one))).cloned().collect()
}

fn plain_point(brief: &ReductionBrief, core: &Core, choices: &[&Choice]) -> Option<Vec<i64>> {
    let core = core.with_kinds(choices.iter().map(|choice| choice.set.kind));
    let layout = Layout::from_core(&core, &[], choices.iter().map(|c| c.set).collect());
    let motion = coaxle::solve_state(&layout, ElementMask::default());
    let ratio = motion.ratio.clone()?;
    let off = (to_f64(&(&ratio / &brief.ratio.target)).abs() - 1.0).abs();
    let fits = match brief.ratio.direction {
        coaxle::brief::Direction::Same => ratio.is_positive(),
        coaxle::brief::Direction::Reversed => ratio.is_negative(),
        coaxle::brief::Direction::Either => true,
    };
    if !fits || off > brief.ratio.tolerance || !nests(&layout) {
        return None;
    }
    let torques = coaxle::solve_torques(&layout, &motion)?;
    // A set without torque, or one that turns as a block, is a part too many.
    let rolls = (0..layout.sets.len()).all(|set| {
        let [sun, _, carrier] = layout.seats(set).map(|seat| motion.speed_at(seat));
        let torque = torques.members[set][0].clone();
        torque.is_some_and(|t| t != fraction(0, 1)) && sun != carrier
    });
    if !rolls {
        return None;
    }
    let duty = Duty::plain(&layout, ElementMask::default(), &brief.mesh)?;
    let room = &brief.room;
    let width = |choice: &&Choice| room.width.0 * choice.module + 2.0 * (room.plate + room.gap);
    let sets = choices.len();
    let length = choices.iter().map(width).sum::<f64>() + (sets - 1) as f64 * room.gap;
    let diameter = choices.iter().map(|c| c.outer_diameter).fold(0.0, f64::max);
    let each = |choice: &&Choice| {
        let pairs = if choice.set.kind == SetKind::Paired { 2 } else { 1 };
        4 + 2 * pairs * i64::from(choice.set.planets.unwrap())
    };
    let ring = |choice: &Choice| (choice.set.ring, choice.module, choice.shift.ring);
    let one_ring = core.seats().iter().all(|seats| seats[1] == 0)
        && choices.iter().all(|choice| ring(choice) == ring(choices[0]));
    let parts = choices.iter().map(each).sum::<i64>() - if one_ring { sets as i64 - 1 } else { 0 };
    Some(vec![
        error_steps(off, brief.ratio.close_enough),
        whole(diameter / LENGTH_STEP),
        whole(length / LENGTH_STEP),
        parts,
        -whole(duty.efficiency? / EFFICIENCY_STEP),
    ])
}

fn assert_same_front(text: &str) {
    let brief = brief(text);
    let found = run(&brief, 2);
    let engine: BTreeSet<Vec<i64>> =
        found.variants[0].front.iter().map(|one| steps(one, brief.ratio.close_enough)).collect();
    let plain = plain_front(&brief);
    assert!(!plain.is_empty(), "nothing to find with {text}");
    assert_eq!(engine, plain, "{text}");
}

const SMALL: &str = "[teeth]\nsun = [18, 24]\nplanet = [18, 27]\nring = [60, 72]\nplanets = [3, 4]\n\
                     base_ratio = [2.5, 4.0]\n";

#[test]
fn one_set_as_the_plain_way_finds_it() {
    for (target, direction) in [(4.1, "same"), (3.2, "reversed"), (0.25, "either"), (1.3, "same")] {
        assert_same_front(&format!(
            "[ratio]\ntarget = {target}\ntolerance = 0.1\ndirection = \"{direction}\"\n\
             [train]\nsets = [1]\n[room]\nmodules = [1.0, 1.5]\n{SMALL}"
        ));
    }
}

#[test]
fn two_sets_as_the_plain_way_finds_them() {
    for (target, tolerance) in [(17.0, 0.01), (32.0, 0.05), (5.0, 0.004), (0.08, 0.03)] {
        assert_same_front(&format!(
            "[ratio]\ntarget = {target}\ntolerance = {tolerance}\ndirection = \"either\"\n\
             [train]\nsets = [1, 2]\ncoupling = \"any\"\n[room]\nmodules = [1.0]\n\
             [teeth]\nsun = [18, 21]\nplanet = [18, 27]\nring = [60, 69]\nplanets = [3]\n\
             base_ratio = [2.8, 4.0]\n"
        ));
    }
}

/// Targets over the whole range in a bore: the least error of the ratio is that of trying
/// all pairs of stages, and all triples where that is feasible.
#[test]
fn the_nearest_series_is_that_of_trying_all() {
    let mut random = rand_pcg::Pcg64::seed_from_u64(57);
    let ways = |rho: f64| {
        [1.0 + rho, 1.0 + 1.0 / rho, 1.0 / (1.0 + rho), rho / (1.0 + rho), -rho, -1.0 / rho]
    };
    for _ in 0..100 {
        let target: f64 = (random.random_range(3.0f64.ln()..300.0f64.ln())).exp();
        let brief = brief(&format!(
            "[ratio]\ntarget = {target}\ntolerance = 0.3\ndirection = \"either\"\n\
             close_enough = 0.0000001\n[train]\nsets = [1, 2, 3]\ncoupling = \"series\"\n\
             [room]\nbore = 70\nmodules = [1.0]\n[score]\nobjectives = [\"ratio_error\"]\n\
             [teeth]\nsun = [15, 24]\nring = [48, 62]\nplanets = [3]\n"
        ));
        let stages: Vec<f64> = Choices::of(&brief, SetKind::Single)
            .classes
            .iter()
            .flat_map(|class| ways(class.ratio))
            .collect();
        let off = |ratio: f64| (ratio.abs() / target - 1.0).abs();
        let mut best = stages.iter().map(|&a| off(a)).fold(f64::INFINITY, f64::min);
        for (i, a) in stages.iter().enumerate() {
            for (j, b) in stages.iter().enumerate().skip(i) {
                best = best.min(off(a * b));
                for c in &stages[j..] {
                    best = best.min(off(a * b * c));
                }
            }
        }
        let found = run(&brief, 2);
        let error = found.variants[0].front.first().map(|one| one.scores[0].unwrap() / 100.0);
        match error {
            Some(error) => assert!((error - best).abs() < 1e-7, "{target}: {error} {best}"),
            None => assert!(best > 0.3, "{target}: {best}"),
        }
    }
}

/// What is told of everything found is what the exact laws say of its layout.
#[test]
fn scores_are_those_of_the_layout() {
    let brief = brief(
        "[ratio]\ntarget = 24.0\ntolerance = 0.02\ndirection = \"either\"\n\
         [train]\nsets = [2, 3]\nkinds = [\"single\", \"paired\"]\ncoupling = \"any\"\n\
         [room]\nmodules = [1.0]\n[effort]\ntries = 1\n\
         [teeth]\nsun = [18, 24]\nplanet = [14, 27]\nring = [60, 66]\nplanets = [3]\n\
         base_ratio = [2.5, 4.0]\n",
    );
    let found = run(&brief, 2);
    let archive = &found.variants[0];
    let all: Vec<&Found> = archive.front.iter().chain(archive.behind.iter().step_by(17)).collect();
    assert!(all.len() > 20, "{}", all.len());
    for one in all {
        let layout = found.layout(one);
        let duty = Duty::plain(&layout, ElementMask::default(), &brief.mesh).unwrap();
        let score = |criterion: Criterion| {
            let place = Criterion::REDUCTION.iter().position(|c| *c == criterion).unwrap();
            one.scores[place].unwrap()
        };
        let near = |a: f64, b: f64| (a - b).abs() < 1e-6 * (1.0 + b.abs());
        assert_eq!(duty.ratio, one.ratio);
        let told = [
            (Criterion::Efficiency, duty.efficiency),
            (Criterion::BackEfficiency, duty.back_efficiency),
            (Criterion::RollingPower, duty.circulating),
            (Criterion::BranchPower, duty.branch_power),
            (Criterion::ShaftSpeed, Some(duty.shaft_speed)),
            (Criterion::PlanetSpeed, duty.planet_speed),
        ];
        for (criterion, exact) in told {
            assert!(near(score(criterion), exact.unwrap()), "{criterion:?}: {one:?} {duty:?}");
        }
        let wanted: &Fraction = &brief.ratio.target;
        let off = (to_f64(&(&one.ratio / wanted)).abs() - 1.0).abs();
        assert!(near(score(Criterion::RatioError), 100.0 * off));
        assert!(nests(&layout), "{one:?}");
        assert!(off <= 0.02 + 1e-12, "{off}");
    }
}

/// The number of threads never shows.
#[test]
fn threads_do_not_show() {
    let brief = brief(&format!(
        "[ratio]\ntarget = 57.6\ntolerance = 0.005\n[train]\nsets = [2, 3]\ncoupling = \"any\"\n\
         [room]\nmodules = [1.0]\n{SMALL}"
    ));
    let [one, three] = [1, 3].map(|threads| run(&brief, threads));
    for (a, b) in one.variants.iter().zip(&three.variants) {
        assert_eq!((&a.front, &a.behind, a.met), (&b.front, &b.behind, b.met));
    }
}

/// Balanced sliding changes shifts, never ratios; each set slides more alike than with the
/// smallest shifts.
#[test]
fn sliding_is_balanced_where_that_is_asked() {
    let text = format!(
        "[ratio]\ntarget = 16.0\ntolerance = 0.02\n[train]\nsets = [2]\n[room]\nmodules = [1.0]\n\
         {SMALL}"
    );
    let plain = brief(&text);
    let balanced = brief(&format!("{text}[parts]\nbalanced_sliding = true\n"));
    let uneven = |brief: &ReductionBrief| {
        let all = Choices::of(brief, SetKind::Single).classes;
        let choices = all.into_iter().flat_map(|class| class.choices);
        let sliding = |choice: Choice| {
            let finish = coaxle::teeth::Finish::default();
            let limits = coaxle::reduction::choice::limits_at(brief, choice.module);
            let set = PlacedSet::with_shifts(&choice.set, &limits, &finish, &choice.shift).unwrap();
            let [one, two] = specific_sliding(&set, Mesh::SunPlanet).unwrap();
            ((choice.set.sun, choice.set.ring, choice.set.planets), (one - two).abs())
        };
        choices.map(sliding).collect::<Vec<_>>()
    };
    let (before, after) = (uneven(&plain), uneven(&balanced));
    assert!(after.len() > 5);
    for (set, off) in &after {
        let (_, was) = before.iter().find(|(other, _)| other == set).expect("the same sets");
        assert!(off <= &(was + 1e-9), "{set:?}: {off} {was}");
    }
    assert!(
        after.iter().map(|(_, off)| off).sum::<f64>() * 5.0
            < before.iter().map(|(_, off)| off).sum()
    );
}

/// The mixed-integer model proposes the price that trying every series finds.
#[test]
fn the_cheapest_series_is_that_of_trying_all() {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("configs/stock-winch.toml");
    let winch = ReductionBrief::read(&path).unwrap();
    let mut compared = 0;
    for sets in 1..=3 {
        for target in [12, 20, 30] {
            let mut brief = ReductionBrief { load: None, ..winch.clone() };
            brief.train.sets = vec![sets];
            brief.ratio.target = fraction(target, 1);
            brief.objectives = vec![Criterion::Price];
            let found = run(&brief, 2);
            let price = Criterion::REDUCTION.iter().position(|c| *c == Criterion::Price).unwrap();
            let least = found.variants[0].front.first().map(|one| one.scores[price].unwrap());
            let model = found.coverage[0].cheapest_series;
            match (least, model) {
                (Some(least), Some((price, proved))) => {
                    assert!(
                        proved && (least - price).abs() < 1e-9,
                        "{sets} {target}: {least} {price}"
                    );
                    compared += 1;
                }
                (None, None) => {}
                other => panic!("{sets} sets, {target}: {other:?}"),
            }
        }
    }
    assert!(compared >= 4, "{compared}");
}
