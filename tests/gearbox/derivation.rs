//! Derivations: every equation is true, every speed is found; examples word by word.

use std::cell::Cell;
use std::collections::BTreeSet;

use crate::common::arithmetic::{holds, text_of_latex, text_of_mathml};
use coaxle::motion::{
    Derivation, Motion, Status, StepKind, derivation, needed_elements, solve_state,
};
use coaxle::num::{Fraction, fraction};
use coaxle::train::{ElementMask, Layout, Member, parse_layout};
use num_traits::Zero;
use proptest::prelude::*;
use proptest::test_runner::TestRunner;

/// The values of `ρ1`, `S1`, `R1`, `ωS1`, `ω_output` and `i`.
fn named(layout: &Layout, motion: &Motion) -> impl Fn(&str) -> Option<Fraction> {
    move |word: &str| {
        if word == "i" {
            return motion.ratio.clone();
        }
        if let Some(name) = word.strip_prefix("ω_") {
            let shaft = layout.shafts.iter().position(|shaft| shaft.name == name)?;
            return motion.speeds[shaft].clone();
        }
        if let Some(member) = word.strip_prefix('ω') {
            return motion.speed_at(layout.place(Member::parse(member)?));
        }
        let (letter, number) = word.split_at(word.chars().next()?.len_utf8());
        let set = layout.sets.get(number.parse::<usize>().ok()?.checked_sub(1)?)?;
        match letter {
            "ρ" => Some(fraction(set.ring.into(), set.sun.into())),
            "S" => Some(fraction(set.sun.into(), 1)),
            "R" => Some(fraction(set.ring.into(), 1)),
            _ => None,
        }
    }
}

fn cases(cases: u32) -> ProptestConfig {
    ProptestConfig { cases, failure_persistence: None, ..ProptestConfig::default() }
}

fn check(layout: &Layout, motion: &Motion) -> Result<(), TestCaseError> {
    let Some(derived) = derivation(layout, motion.engaged) else {
        prop_assert_ne!(motion.status, Status::Live);
        return Ok(());
    };
    let ratio = motion.ratio.as_ref().map(ToString::to_string);
    prop_assert_eq!(Some(&derived.ratio), ratio.as_ref());
    let all_needed = motion.engaged.len() == layout.engaged();
    prop_assert!(!all_needed || derived.passed_over.is_empty());
    let values = named(layout, motion);
    let lines = derived.steps.iter().flat_map(|step| &step.lines);
    let mut found = BTreeSet::from([layout.shafts[0].name.clone()]);
    for line in lines.clone() {
        for text in [&line.text, &text_of_latex(&line.latex), &text_of_mathml(&line.mathml)] {
            prop_assert!(holds(text, &values), "{} of\n{}", text, derived);
        }
        let sides: Vec<&str> = line.text.split(" = ").collect();
        let name = |side: &str| {
            let name = side.strip_prefix("ω_")?;
            layout.shafts.iter().find(|shaft| shaft.name == name).map(|shaft| shaft.name.clone())
        };
        if coaxle::num::parse_fraction(sides[sides.len() - 1]).is_some() {
            found.extend(sides.iter().filter_map(|side| name(side)));
        }
    }
    // What is joined has the speed of what names it.
    for line in &derived.steps[0].lines {
        let names: Vec<&str> =
            line.text.split(" = ").filter_map(|s| s.strip_prefix("ω_")).collect();
        if names.iter().any(|name| found.contains(*name)) {
            found.extend(names.into_iter().map(str::to_owned));
        }
    }
    prop_assert_eq!(found.len(), layout.shafts.len(), "{:?} of\n{}", found, derived);
    let willis = derived.steps.iter().filter(|step| step.kind == StepKind::Willis);
    prop_assert_eq!(willis.count(), layout.sets.len());
    order_is_sound(&derived, layout)?;
    words_are_true(&derived, layout, motion)
}

/// Blocks are told; what the ratio does not need may have other teeth.
fn words_are_true(
    derived: &Derivation,
    layout: &Layout,
    motion: &Motion,
) -> Result<(), TestCaseError> {
    let result = &derived.steps[derived.steps.len() - 2].sentence;
    for set in 0..layout.sets.len() {
        let speeds = layout.seats(set).map(|seat| motion.speed_at(seat));
        let block = speeds[0] == speeds[1] && speeds[1] == speeds[2];
        let told = ["turns as a block", "stands still"]
            .map(|word| result.contains(&format!("Set {} {word}", set + 1)));
        prop_assert_eq!(block, told[0] || told[1], "{}", derived);
        prop_assert!(!told[1] || speeds[0].as_ref().is_some_and(Zero::is_zero));
        let moves = derived
            .steps
            .iter()
            .filter(|step| step.set == Some(set + 1) && step.kind != StepKind::Willis);
        let needs = moves.map(|step| !step.sentence.contains("The ratio does not need it."));
        let needs: Vec<bool> = needs.collect();
        if !needs.is_empty() && !needs.contains(&true) {
            let mut other = layout.clone();
            other.sets[set].ring += 3;
            let other = solve_state(&other, motion.engaged);
            prop_assert!(other.ratio.is_none() || other.ratio == motion.ratio, "{}", derived);
        }
    }
    Ok(())
}

/// First what turns as one, then the sets, then moves, then result and check; every move
/// that gives a value says which.
fn order_is_sound(derived: &Derivation, layout: &Layout) -> Result<(), TestCaseError> {
    let sets = layout.sets.len();
    let kinds: Vec<StepKind> = derived.steps.iter().map(|step| step.kind).collect();
    prop_assert_eq!(kinds[0], StepKind::Joined);
    prop_assert_eq!(&kinds[kinds.len() - 2..], [StepKind::Result, StepKind::Check]);
    let moves = &derived.steps[1 + sets..kinds.len() - 2];
    let count = |kind| moves.iter().filter(|step| step.kind == kind).count();
    let (solved, expressed) = (count(StepKind::Solve), count(StepKind::Express));
    prop_assert_eq!(count(StepKind::PutBack), expressed);
    prop_assert_eq!(solved + 2 * expressed, moves.len());
    let used: BTreeSet<usize> = moves.iter().filter_map(|step| step.set).collect();
    prop_assert_eq!(used.len(), solved + expressed, "a set gives one unknown: {}", derived);
    Ok(())
}

/// At least ten thousand live states, each with needed elements only.
#[test]
fn every_equation_holds() {
    let live = Cell::new(0);
    let mut runner = TestRunner::new(cases(7500));
    let outcome = runner.run(&crate::common::any_layout(), |layout| {
        for engaged in layout.states() {
            let motion = solve_state(&layout, engaged);
            live.set(live.get() + usize::from(motion.status == Status::Live));
            check(&layout, &motion)?;
        }
        Ok(())
    });
    outcome.unwrap_or_else(|error| panic!("{error}"));
    assert!(live.get() >= 10_000, "only {} live states", live.get());
}

/// Whatever is engaged, and with teeth beyond machine words: what is passed over was not
/// needed, and nothing of the rest can be left out.
#[test]
fn redundant_elements_are_passed_over() {
    let redundant = Cell::new(0);
    let mut runner = TestRunner::new(cases(300));
    let outcome = runner.run(&crate::common::any_layout_with_every_state(), |layout| {
        for gear in &layout.gears {
            let motion = solve_state(&layout, gear.engaged);
            check(&layout, &motion)?;
            let Some(needed) = needed_elements(&layout, gear.engaged) else { continue };
            redundant.set(redundant.get() + usize::from(needed != gear.engaged));
            prop_assert_eq!(&solve_state(&layout, needed).speeds, &motion.speeds);
            for element in needed.iter() {
                let without = ElementMask(needed.0 & !(1 << element));
                prop_assert_ne!(solve_state(&layout, without).status, Status::Live);
            }
        }
        Ok(())
    });
    outcome.unwrap_or_else(|error| panic!("{error}"));
    assert!(redundant.get() > 100, "only {} redundant states", redundant.get());
}

fn derived(text: &str, engaged: &[usize]) -> Derivation {
    let layout = parse_layout(text).unwrap();
    derivation(&layout, ElementMask::of(engaged.iter().copied())).unwrap()
}

/// Two sets with a common sun, first gear: by hand as in any textbook.
const FIRST_GEAR: &str = "\
1. A joins input and front-ring. D holds rear-carrier. The input turns at 1; unknown are ω_output and ω_suns.
     ω_input = ω_front-ring = 1
     ω_rear-carrier = 0
2. Set 1: S1 turns with suns, R1 turns with input and C1 turns with output. The last line has the unknowns on the left and is divided by 6.
     ωS1 + ρ1·ωR1 - (1 + ρ1)·ωC1 = 0
     ω_suns + ρ1·1 - (1 + ρ1)·ω_output = 0
     30·ω_suns + 66·1 - 96·ω_output = 0
     16·ω_output - 5·ω_suns = 11
3. Set 2: S2 turns with suns, R2 turns with output and C2 is held. The last line has the unknowns on the left and is divided by 6.
     ωS2 + ρ2·ωR2 - (1 + ρ2)·ωC2 = 0
     ω_suns + ρ2·ω_output - (1 + ρ2)·0 = 0
     30·ω_suns + 66·ω_output - 96·0 = 0
     11·ω_output + 5·ω_suns = 0
4. No set has one unknown left. Set 2 gives ω_suns by ω_output; this is put into set 1.
     11·ω_output + 5·ω_suns = 0
     ω_suns = -11·ω_output / 5
     16·ω_output - 5·(-11·ω_output / 5) = 11
     27·ω_output = 11
5. Set 1 has one unknown left, ω_output.
     27·ω_output = 11
     ω_output = 11/27
6. What is known now, put back into set 2, gives ω_suns. The ratio does not need it.
     ω_suns = -11·ω_output / 5 = -11·(11/27) / 5 = -121/135
7. The ratio is the input speed over the output speed.
     ω_output = 11/27
     i = ω_input / ω_output = 1 / (11/27) = 27/11 ≈ 2.4545
8. The formulas in base ratios and in tooth counts (S1 for sun 1) give the same.
     ρ1 = R1 / S1 = 66 / 30 = 11/5
     ρ2 = R2 / S2 = 66 / 30 = 11/5
     i = (1 + ρ1 + ρ2) / ρ1 = (1 + 11/5 + 11/5) / (11/5) = 27/11
     i = (S1·S2 + R1·S2 + S1·R2) / (R1·S2) = (30·30 + 66·30 + 30·66) / (66·30) = 27/11
";

#[test]
fn first_gear_word_by_word() {
    let derived = derived(include_str!("../layouts/two-sets.toml"), &[0, 3]);
    assert_eq!(derived.to_string(), FIRST_GEAR);
    let line = &derived.steps[3].lines[1];
    assert_eq!(line.latex, r"\omega_{\text{suns}} = \frac{-11\,\omega_{\text{output}}}{5}");
    let speed = |name: &str| format!("<msub><mi>ω</mi><mtext>{name}</mtext></msub>");
    assert_eq!(
        line.mathml,
        format!(
            "<math xmlns=\"http://www.w3.org/1998/Math/MathML\">{}<mo>=</mo><mfrac><mrow>\
             <mo>−</mo><mn>11</mn><mo>\u{2062}</mo>{}</mrow><mrow><mn>5</mn></mrow></mfrac></math>",
            speed("suns"),
            speed("output")
        )
    );
}

/// A set with one unknown goes first; one that only turns along comes last.
#[test]
fn second_gear_needs_one_set() {
    let derived = derived(include_str!("../layouts/two-sets.toml"), &[0, 2]);
    let told: Vec<&str> = derived.steps.iter().map(|step| step.sentence.as_str()).collect();
    assert_eq!(
        told[3..5],
        [
            "Set 1 has one unknown left, ω_output. Its value is put into set 2.",
            "Set 2 has one unknown left, ω_rear-carrier. The ratio does not need it.",
        ]
    );
    assert!(told[6].ends_with("The base ratio of set 2 does not matter."), "{}", told[6]);
}

#[test]
fn blocks_and_redundant_elements_are_named() {
    let block = derived(include_str!("../layouts/redundant.toml"), &[1, 2]);
    assert_eq!(block.passed_over, ["C"]);
    assert_eq!(
        block.steps[0].sentence,
        "B joins input and ring. C adds nothing and is passed over. \
         The input turns at 1; unknown is ω_output."
    );
    assert!(block.steps[1].sentence.contains("Two turn as one, so the set turns as a block."));
    assert_eq!(block.steps.last().unwrap().sentence, "The formula is 1 whatever the teeth.");
    let solid = derived(include_str!("../layouts/block.toml"), &[0]);
    assert!(solid.steps[2].sentence.contains("so the set turns as a block"), "{solid}");
}

/// Two sets side by side with the same base ratio: one equation, not two. The state is live
/// at these teeth only, and no formula says so.
#[test]
fn sets_that_say_the_same() {
    let equal = "sets = [{ sun = 30, ring = 66 }, { sun = 40, ring = 88 }]
        [shafts]
        input = [\"S1\", \"S2\"]
        output = [\"C1\", \"C2\"]
        rings = [\"R1\", \"R2\"]
        [elements]
        A = { brake = \"rings\" }";
    let derived = derived(equal, &[0]);
    assert_eq!(derived.ratio, "16/5");
    assert_eq!(
        derived.steps[3].sentence,
        "Set 1 has one unknown left, ω_output. Its value is put into set 2. \
         Set 2 then says nothing new."
    );
    let check = derived.steps.last().unwrap();
    assert!(check.sentence.starts_with("With these teeth"), "{}", check.sentence);
    assert!(check.lines.is_empty());
}

#[test]
fn serializes_as_plain_data() {
    let derived = derived(include_str!("../layouts/two-sets.toml"), &[0, 3]);
    let json = serde_json::to_value(&derived).unwrap();
    assert_eq!(json["ratio"], "27/11");
    assert_eq!(json["steps"][0]["kind"], "joined");
    assert_eq!(json["steps"][5]["kind"], "put_back");
    assert_eq!(json["steps"][1]["set"], 1);
    assert_eq!(json["steps"][1]["lines"][3]["text"], "16·ω_output - 5·ω_suns = 11");
}
