//! Tests only: laws that hold for every brief and for every text that is none.

use proptest::prelude::*;

use super::Brief;
use crate::score::Criterion;

/// A brief to make scars in.
const PLAIN: &str = include_str!("../../configs/railcar-4.toml");

/// Briefs that are right by construction, as text.
fn right_brief() -> impl Strategy<Value = String> {
    let space = (
        prop_oneof![Just("2"), Just("[2, 3]"), Just("[3, 2]")],
        prop_oneof![Just("\"never\""), Just("\"allowed\"")],
        prop_oneof![Just("\"never\""), Just("\"allowed\"")],
        6u8..=8,
    );
    let gears = (2usize..=6, 0usize..=2, any::<bool>(), 1.01f64..1.2, 1.9f64..3.0);
    let ladder = prop_oneof![
        Just("progression = \"geometric\"".to_owned()),
        (1.0f64..=2.0).prop_map(|f| format!("progression = \"progressive\"\nstep_factor = {f:?}")),
    ];
    let teeth = (6u32..40, 20u32..90, 0.05f64..50.0, any::<bool>(), 1e3f64..2e3);
    let score = (
        Just(Criterion::ALL.to_vec()).prop_shuffle(),
        1usize..=16,
        proptest::collection::vec((0usize..17, 0.0f64..=1.0, 2.0f64..9.0), 0..4),
        1u32..=65_536,
        prop_oneof![Just(f64::INFINITY), 0.1f64..1e6],
        prop_oneof![Just("inf".to_owned()), (1u32..1_000_000).prop_map(|mib| mib.to_string())],
    );
    (space, gears, ladder, teeth, score, any::<bool>()).prop_map(
        |(space, gears, ladder, teeth, score, aimed)| {
            let (sets, held, bare, elements) = space;
            let (forward, reverse, swap, low, high) = gears;
            let mut text = format!(
                "title = \"car \\\"{forward}\\\"\"\n[space]\nsets = {sets}\nshafts = 5\n\
                 elements = [3, {elements}]\nheld_shaft = {held}\nbare_input = {bare}\n\
                 [gears]\nreverse = {reverse}\nsingle_swap = {swap}\n{ladder}\n"
            );
            if aimed {
                let ratios: Vec<f64> = (0..forward).map(|k| 4.0 / high.powi(k as i32)).collect();
                let tolerance = low - 1.0;
                text += &format!("[targets]\nforward = {ratios:?}\ntolerance = {tolerance:?}\n");
            } else {
                text += &format!("forward = {forward}\nstep = [{low:?}, {high:?}]\n");
            }
            let (sun, ring, module, odd, diameter) = teeth;
            text += &format!(
                "[teeth]\nsun = [{sun}, 60]\nring = [48, {}]\nmodule = {module:?}\n\
                 odd_planet = {odd}\nlargest_diameter = {:?}\nplanets = [5, 3, 3]\n",
                ring + 60,
                diameter * module
            );
            let (criteria, count, limits, samples, time, memory) = score;
            let usable = |c: &&Criterion| reverse > 0 || **c != Criterion::ReverseToFirst;
            let names: Vec<_> =
                criteria.iter().filter(usable).take(count).map(|c| c.name()).collect();
            text += &format!("[score]\nobjectives = {names:?}\n[limits]\n");
            let mut limited = Vec::new();
            for (index, least, wide) in limits {
                let criterion = Criterion::ALL[index];
                if usable(&&criterion) && !limited.contains(&criterion) {
                    let name = criterion.name();
                    // These two narrow windows and must leave something of them.
                    let most = match criterion {
                        Criterion::OuterDiameter => 200.0 * module * (least + wide),
                        Criterion::Spread => 100.0 * (least + wide),
                        _ => least + wide,
                    };
                    text += &format!("{name} = {{ least = {least:?}, most = {most:?} }}\n");
                    limited.push(criterion);
                }
            }
            text + &format!(
                "[effort]\nsamples = {samples}\ntime_limit = {time:?}\nmemory_limit = {memory}\n"
            )
        },
    )
}

proptest! {
    // The failing input is printed in full; no file is left in the source tree.
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_canonical_text_says_the_same(text in right_brief()) {
        let brief = Brief::parse(&text, "round trip").unwrap_or_else(|m| panic!("{m}\n{text}"));
        let canonical = brief.canonical_text();
        let again = Brief::parse(&canonical, &brief.name).unwrap_or_else(|m| panic!("{m}\n{canonical}"));
        prop_assert_eq!(&again, &brief);
        prop_assert_eq!(again.canonical_text(), canonical);
        prop_assert!(brief.sentence().ends_with('.'));
    }

    #[test]
    fn any_text_is_answered(text in "\\PC*", bytes in proptest::collection::vec(any::<char>(), 0..80)) {
        let _ = Brief::parse(&text, "noise");
        let _ = Brief::parse(&bytes.into_iter().collect::<String>(), "noise");
    }

    #[test]
    fn a_plain_brief_with_a_scar_is_answered(at in 0usize..PLAIN.len(), c in any::<char>()) {
        let (mut start, mut end) = (at, at + 1);
        while !PLAIN.is_char_boundary(start) { start -= 1; }
        while !PLAIN.is_char_boundary(end) { end += 1; }
        let scarred = format!("{}{c}{}", &PLAIN[..start], &PLAIN[end..]);
        if let Err(mistake) = Brief::parse(&scarred, "scar") {
            prop_assert!(!mistake.mend.is_empty());
            prop_assert_eq!(mistake.to_string().lines().count(), 2, "{}", mistake);
        }
    }
}
