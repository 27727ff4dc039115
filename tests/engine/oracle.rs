//! The plain oracle: every labelled core, every element set, every choice of teeth, every
//! state solved exactly one after the other, every sequence of gears. No symmetry, no
//! sieve, no bounds, no twins. The engine must find the same front.

use std::collections::BTreeSet;
use std::sync::atomic::AtomicBool;

use coaxle::brief::Brief;
use coaxle::search::{Controls, Quiet, run};

const BRIEF: &str = r#"
title = "oracle"
[space]
sets = 2
shafts = 5
elements = 4
bare_input = "required"
nests = "NESTS"
[gears]
forward = 3
reverse = 1
first = [1.2, 8.0]
top = [0.3, 1.6]
step = [1.1, 3.0]
SWAP
[teeth]
sun = [28, 32]
ring = [70, 76]
planet = [18, 30]
planets = [3]
base_ratio = [2.0, 2.8]
"#;

/// Spelling and objectives (spread, deviation in 10⁻⁶) of every point of the front.
type Front = BTreeSet<(String, i64, i64)>;

fn engine_front(brief: &Brief) -> Front {
    let stop = AtomicBool::new(false);
    let controls = Controls { threads: None, stop: &stop, progress: &Quiet };
    let findings = run(brief, &controls).unwrap();
    assert_eq!(findings.undecided, 0);
    assert_eq!(findings.proof.open, 0);
    let front = &findings.findings[..findings.front];
    let points = front.iter().flat_map(|finding| {
        let spellings = finding.twins.iter().chain([&finding.canonical]);
        let scores = (finding.scores[0].unwrap(), finding.scores[1].unwrap());
        spellings
            .map(move |spelling| crate::common::plain::rounded(spelling, scores))
            .collect::<Vec<_>>()
    });
    points.collect()
}

/// Of layouts with the same spread and deviation one stands for all on the engine's front.
fn values(front: &Front) -> BTreeSet<(i64, i64)> {
    front.iter().map(|(_, spread, deviation)| (*spread, *deviation)).collect()
}

#[test]
fn the_engine_finds_the_front_of_the_plain_oracle() {
    let limits = "[limits]\nelement_torque = { most = 3.6 }\nworst_efficiency = { least = 0.95 }\n";
    let narrow = ("base_ratio = [2.0, 2.8]", "base_ratio = [2.2, 2.6]");
    let mut sizes = BTreeSet::new();
    for (swap, nests, limits) in [
        ("", "required", ""),
        ("single_swap = true", "any", ""),
        ("single_swap = true", "required", limits),
    ] {
        let text = BRIEF.replace("SWAP", swap).replace("NESTS", nests) + limits;
        // Every choice of gears is scored where there are limits.
        let text = if limits.is_empty() { text } else { text.replace(narrow.0, narrow.1) };
        let brief = Brief::parse(&text, "oracle").unwrap();
        let engine = engine_front(&brief);
        let plain = crate::common::plain::front(&brief);
        assert!(!plain.is_empty(), "{swap} {nests} {limits}");
        assert_eq!(values(&engine), values(&plain), "{swap} {nests} {limits}");
        // Every layout and every twin that is named does it.
        assert!(engine.is_subset(&plain), "{swap} {nests} {limits}");
        sizes.insert(values(&plain));
    }
    assert!(sizes.len() > 1, "the briefs do not tell fronts apart");
}
