//! The search must find what is there: random layouts are planted, a brief is made from
//! their ratios ± 2 %, and the search must return each of them or a twin of it.
//!
//! `cargo test --release --test engine planted:: -- --ignored --nocapture` runs the full two hundred
//! of both families and prints the recall. Four sets: `tests/engine/planted_four.rs`.

use std::sync::atomic::AtomicBool;

use crate::planting::{is_found, plant};
use coaxle::brief::Brief;
use coaxle::search::{Controls, CoreFamily, Quiet, run};
use coaxle::teeth::{Catalogue, ToothLimits};
use rand::prelude::*;
use rand_pcg::Pcg64;

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
