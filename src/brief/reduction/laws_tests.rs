//! Tests only: laws that hold for every brief of a reduction and every text that is none.

use proptest::prelude::*;

use super::{ReductionBrief, no_list};
use crate::score::Criterion;

/// A brief to make scars in.
const PLAIN: &str = include_str!("../../../configs/turntable.toml");

fn one_of(words: &'static [&'static str]) -> impl Strategy<Value = &'static str> {
    proptest::sample::select(words)
}

/// `[ratio]` and `[train]`.
fn ends() -> impl Strategy<Value = String> {
    let target = prop_oneof![
        (1u32..1_000_000, 1u32..1000).prop_map(|(p, q)| format!("\"{p}/{q}\"")),
        (1u32..100_000, 0u32..1_000_000).prop_map(|(whole, part)| format!("{whole}.{part:06}")),
        (1u32..1_000_000).prop_map(|ratio| ratio.to_string()),
        Just("\"9223372036854775807/9223372036854775806\"".to_owned()),
    ];
    let exactness = prop_oneof![
        Just("exact = true".to_owned()),
        Just("tolerance = 0".to_owned()),
        (1e-6f64..0.49).prop_map(|share| format!("tolerance = {share:?}")),
        (1e-3f64..0.49).prop_map(|share| format!("tolerance = {share:?}\nclose_enough = 1e-4")),
    ];
    let words = (
        one_of(&["same", "reversed", "either"]),
        one_of(&["1", "2", "[3, 1]", "[1, 2, 3, 4]"]),
        one_of(&["[\"paired\"]", "[\"paired\", \"single\"]", "[\"single\", \"single\"]"]),
        one_of(&["series", "any"]),
        one_of(&["free", "must"]),
        any::<bool>(),
    );
    (target, exactness, words).prop_map(|(target, exactness, words)| {
        let (direction, sets, kinds, coupling, back, nests) = words;
        format!(
            "[ratio]\ntarget = {target}\n{exactness}\ndirection = \"{direction}\"\n\
             [train]\nsets = {sets}\nkinds = {kinds}\ncoupling = \"{coupling}\"\n\
             back_driving = \"{back}\"\nnests = {nests}\n"
        )
    })
}

/// `[room]`, `[teeth]` and `[parts]`.
fn sizes() -> impl Strategy<Value = String> {
    let modules = one_of(&["1", "[2.5, 1.25]", "\"iso-54-1\"", "\"iso-54-2\"", "[0.75]"]);
    let most = || prop_oneof![Just(f64::INFINITY), 500.0f64..1e5];
    let room = (modules, most(), most(), 1.0f64..8.0, 8.0f64..60.0, any::<bool>());
    let parts = (0.0f64..2.0, 0.5f64..500.0, any::<bool>(), prop::option::of(0.5f64..9.0));
    (room, 12u32..20, parts, 0usize..100).prop_map(|(room, sun, parts, layouts)| {
        let (modules, bore, length, least, most, equal) = room;
        let (backlash, shaft, hexagonal, pin) = parts;
        let pin = pin.map(|pin| format!("pin = {pin:?}\n")).unwrap_or_default();
        format!(
            "[room]\nmodules = {modules}\nbore = {bore:?}\nlength = {length:?}\n\
             width = [{least:?}, {most:?}]\nequal_rings = {equal}\n[teeth]\nsun = [{sun}, 30]\n\
             [parts]\nbacklash = {backlash:?}\nshaft = {shaft:?}\nhexagonal = {hexagonal}\n\
             layouts = {layouts}\n{pin}"
        )
    })
}

/// `[load]`, `[materials]`, `[stock]`, `[score]` and `[limits]`.
fn values() -> impl Strategy<Value = String> {
    let load = prop::option::of((0.1f64..1e4, 0.0f64..1e4, prop::option::of(1.0f64..4.0)));
    let gears = prop::collection::vec((any::<bool>(), 6u32..60, 0usize..2, 1u32..9), 1..30);
    let criteria = (Just(Criterion::REDUCTION.to_vec()).prop_shuffle(), 1usize..=15);
    let limit = prop::option::of((0usize..15, 600.0f64..9e3));
    (load, prop::option::of(gears), criteria, limit).prop_map(|(load, gears, criteria, limit)| {
        let mut text = "[materials]\nb = \"brass\"\n".to_owned();
        let borne = load.is_some();
        if let Some((torque, speed, sharing)) = load {
            let sharing = sharing.map(|one| format!("sharing = {one:?}\n")).unwrap_or_default();
            text += "a = { sun = \"nylon\", planet = \"pom\", ring = \"printed-pla\", shaft = \"brass\" }\n";
            text +=
                &format!("[load]\noutput_torque = {torque:?}\ninput_speed = {speed:?}\n{sharing}");
        }
        let stocked = gears.is_some();
        if let Some(gears) = gears {
            // A set that fits whatever else is there.
            let known = [(false, 20, 0, 9), (true, 60, 0, 1)];
            for (internal, teeth, module, count) in gears.into_iter().chain(known) {
                let kind = if internal { "internal" } else { "external" };
                let module = [1.25, 0.75][module];
                text += &format!(
                    "[[stock.gears]]\nkind = \"{kind}\"\nteeth = {teeth}\nmodule = {module}\n\
                     count = {count}\n"
                );
            }
        }
        let usable = |c: &&Criterion| match **c {
            Criterion::Price => stocked,
            Criterion::Safety => borne,
            _ => true,
        };
        let (criteria, count) = criteria;
        let names: Vec<_> = criteria.iter().filter(usable).take(count).map(|c| c.name()).collect();
        text += &format!("[score]\nobjectives = {names:?}\n");
        match limit.map(|(index, most)| (Criterion::REDUCTION[index], most)) {
            Some((criterion, most)) if usable(&&criterion) => {
                text + &format!("[limits]\n{} = {{ most = {most:?} }}\n", criterion.name())
            }
            _ => text,
        }
    })
}

proptest! {
    // The failing input is printed in full; no file is left in the source tree.
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_canonical_text_says_the_same(ends in ends(), sizes in sizes(), values in values()) {
        let text = format!("{ends}{sizes}{values}");
        let parse = |text: &str| ReductionBrief::parse(text, "round trip", no_list);
        match parse(&text) {
            Ok(brief) => {
                let canonical = brief.canonical_text();
                let again = parse(&canonical).unwrap_or_else(|m| panic!("{m}\n{canonical}"));
                prop_assert_eq!(&again, &brief);
                prop_assert_eq!(again.canonical_text(), canonical);
                prop_assert!(brief.sentence().ends_with('.'));
            }
            // The one thing that is not right by construction: single sets that the stock
            // does not hold in the modules asked for.
            Err(mistake) => prop_assert_eq!(&mistake.key, "stock", "{}\n{}", mistake, text),
        }
    }

    #[test]
    fn any_text_is_answered(text in "\\PC*", bytes in prop::collection::vec(any::<char>(), 0..80)) {
        let noise: String = bytes.into_iter().collect();
        for text in [text, noise.clone(), format!("[ratio]\ntarget = {noise}")] {
            let _ = ReductionBrief::parse(&text, "noise", no_list);
        }
    }

    #[test]
    fn any_list_is_answered(text in "\\PC*", at in 0usize..60, c in any::<char>()) {
        let brief = "[ratio]\ntarget = 30\n[stock]\nfile = \"list\"\n";
        let list = "kind,teeth,module,count\nexternal,20,1.0,9\ninternal,60,1,1\n";
        let scarred: String =
            list.chars().enumerate().map(|(index, old)| if index == at { c } else { old }).collect();
        for list in [text, scarred] {
            if let Err(mistake) = ReductionBrief::parse(brief, "noise", |_| Ok(list)) {
                prop_assert!(!mistake.mend.is_empty());
                prop_assert_eq!(mistake.to_string().lines().count(), 2, "{}", mistake);
            }
        }
    }

    #[test]
    fn a_plain_brief_with_a_scar_is_answered(at in 0usize..PLAIN.len(), c in any::<char>()) {
        let (mut start, mut end) = (at, at + 1);
        while !PLAIN.is_char_boundary(start) { start -= 1; }
        while !PLAIN.is_char_boundary(end) { end += 1; }
        let scarred = format!("{}{c}{}", &PLAIN[..start], &PLAIN[end..]);
        if let Err(mistake) = ReductionBrief::parse(&scarred, "scar", no_list) {
            prop_assert!(!mistake.mend.is_empty());
            prop_assert_eq!(mistake.to_string().lines().count(), 2, "{}", mistake);
        }
    }
}
