//! Formulas of ratios: known ones by name, and agreement with the exact solution.

use std::cell::Cell;

use crate::common::arithmetic::{text_of_latex, text_of_mathml, value_of};
use coaxle::motion::{Makeup, Status, formula, solve_state};
use coaxle::num::{Fraction, fraction};
use coaxle::train::{Core, ElementMask, GearSet, Layout, Role, Slot, parse_layout};
use itertools::Itertools;
use num_traits::One;
use proptest::prelude::*;
use proptest::test_runner::TestRunner;
use rstest::rstest;

fn base_ratios(layout: &Layout) -> Vec<Fraction> {
    layout.sets.iter().map(|set| fraction(set.ring.into(), set.sun.into())).collect()
}

/// The values of `ρ1`, `S1`, `R1` and so on.
fn named(layout: &Layout) -> impl Fn(&str) -> Option<Fraction> {
    |word: &str| {
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

fn text_of(sets: &str, shafts: &str) -> String {
    let layout = parse_layout(&format!("sets = [{sets}]\n[shafts]\n{shafts}")).unwrap();
    formula(&layout, ElementMask::default()).unwrap().to_string()
}

const SINGLE: &str = "{ sun = 30, ring = 66 }";
const PAIRED: &str = "{ sun = 30, ring = 66, kind = \"paired\" }";

/// The six ways of one set; any textbook table, with Z_R / Z_S written as ρ1.
#[rstest]
#[case("S", "C", "R", "1 + ρ1", "1 - ρ1")]
#[case("C", "S", "R", "1 / (1 + ρ1)", "-1 / (ρ1 - 1)")]
#[case("R", "C", "S", "(1 + ρ1) / ρ1", "(ρ1 - 1) / ρ1")]
#[case("C", "R", "S", "ρ1 / (1 + ρ1)", "ρ1 / (ρ1 - 1)")]
#[case("S", "R", "C", "-ρ1", "ρ1")]
#[case("R", "S", "C", "-1 / ρ1", "1 / ρ1")]
fn six_ways(
    #[case] input: &str,
    #[case] output: &str,
    #[case] held: &str,
    #[case] single: &str,
    #[case] paired: &str,
) {
    let shafts =
        format!("input = [\"{input}1\"]\noutput = [\"{output}1\"]\nhousing = [\"{held}1\"]");
    assert_eq!(text_of(SINGLE, &shafts), single);
    assert_eq!(text_of(PAIRED, &shafts), paired);
}

/// The same table in teeth: the usual one.
#[rstest]
#[case("S", "C", "R", "(S1 + R1) / S1", "(S1 - R1) / S1")]
#[case("C", "S", "R", "S1 / (S1 + R1)", "-S1 / (R1 - S1)")]
#[case("R", "C", "S", "(S1 + R1) / R1", "(R1 - S1) / R1")]
#[case("C", "R", "S", "R1 / (S1 + R1)", "R1 / (R1 - S1)")]
#[case("S", "R", "C", "-R1 / S1", "R1 / S1")]
#[case("R", "S", "C", "-S1 / R1", "S1 / R1")]
fn six_ways_in_teeth(
    #[case] input: &str,
    #[case] output: &str,
    #[case] held: &str,
    #[case] single: &str,
    #[case] paired: &str,
) {
    let shafts =
        format!("input = [\"{input}1\"]\noutput = [\"{output}1\"]\nhousing = [\"{held}1\"]");
    for (set, expected) in [(SINGLE, single), (PAIRED, paired)] {
        let layout = parse_layout(&format!("sets = [{set}]\n[shafts]\n{shafts}")).unwrap();
        let formula = formula(&layout, ElementMask::default()).unwrap().in_teeth();
        assert_eq!(formula.to_string(), expected);
        let motion = solve_state(&layout, ElementMask::default());
        assert_eq!(formula.evaluate(&layout.sets), motion.ratio);
    }
}

/// One formula in every script, by the letter.
#[test]
fn three_scripts() {
    let layout = parse_layout(&format!(
        "sets = [{SINGLE}, {SINGLE}]\n[shafts]\ninput = [\"R1\"]\noutput = [\"C2\"]\n\
         middle = [\"C1\", \"R2\"]\nhousing = [\"S1\", \"S2\"]"
    ))
    .unwrap();
    let formula = formula(&layout, ElementMask::default()).unwrap();
    assert_eq!(formula.to_string(), "(1 + ρ1)·(1 + ρ2) / (ρ1·ρ2)");
    assert_eq!(formula.latex(), r"\frac{(1+\rho_{1})\,(1+\rho_{2})}{\rho_{1}\,\rho_{2}}");
    let rho = |set: u32| format!("<msub><mi>ρ</mi><mn>{set}</mn></msub>");
    let plus = |set| format!("<mrow><mo>(</mo><mn>1</mn><mo>+</mo>{}<mo>)</mo></mrow>", rho(set));
    let (above, below) = ([plus(1), plus(2)], [rho(1), rho(2)]);
    assert_eq!(
        formula.mathml(),
        format!(
            "<math xmlns=\"http://www.w3.org/1998/Math/MathML\"><mfrac><mrow>{}</mrow>\
             <mrow>{}</mrow></mfrac></math>",
            above.join("<mo>\u{2062}</mo>"),
            below.join("<mo>\u{2062}</mo>")
        )
    );
    let teeth = formula.in_teeth();
    assert_eq!(teeth.to_string(), "(S1 + R1)·(S2 + R2) / (R1·R2)");
    assert_eq!(teeth.latex(), r"\frac{(Z_{S1}+Z_{R1})\,(Z_{S2}+Z_{R2})}{Z_{R1}\,Z_{R2}}");
}

#[test]
fn stages_in_series_multiply() {
    let stages =
        |ends: &str| format!("{ends}\nmiddle = [\"C1\", \"S2\"]\nhousing = [\"R1\", \"R2\"]");
    let reduce = stages("input = [\"S1\"]\noutput = [\"C2\"]");
    let two = format!("{SINGLE}, {SINGLE}");
    assert_eq!(text_of(&two, &reduce), "(1 + ρ1)·(1 + ρ2)");
    let speed_up = stages("input = [\"C2\"]\noutput = [\"S1\"]");
    assert_eq!(text_of(&two, &speed_up), "1 / ((1 + ρ1)·(1 + ρ2))");
    let reverse = "input = [\"S1\"]\noutput = [\"R2\"]\nmiddle = [\"R1\", \"S2\"]\n\
                   housing = [\"C1\", \"C2\"]";
    assert_eq!(text_of(&two, reverse), "ρ1·ρ2");
}

/// Two equal sets with a common sun; by hand from their Willis equations, before the sets
/// are made equal.
#[test]
fn two_sets_with_a_common_sun() {
    let text = format!(
        "sets = [{SINGLE}, {SINGLE}]\n[shafts]\ninput = []\noutput = [\"C1\", \"R2\"]\n\
         suns = [\"S1\", \"S2\"]\nring = [\"R1\"]\ncarrier = [\"C2\"]\n[elements]\n\
         A = {{ clutch = [\"input\", \"ring\"] }}\nB = {{ clutch = [\"input\", \"suns\"] }}\n\
         C = {{ brake = \"suns\" }}\nD = {{ brake = \"carrier\" }}\n"
    );
    let layout = parse_layout(&text).unwrap();
    let text = |engaged: &[usize]| {
        let mask = ElementMask::of(engaged.iter().copied());
        formula(&layout, mask).map(|formula| formula.to_string())
    };
    assert_eq!(text(&[0, 3]).unwrap(), "(1 + ρ1 + ρ2) / ρ1");
    assert_eq!(text(&[0, 2]).unwrap(), "(1 + ρ1) / ρ1");
    assert_eq!(text(&[0, 1]).unwrap(), "1");
    assert_eq!(text(&[1, 3]).unwrap(), "-ρ2");
    assert_eq!(text(&[2, 3]), None);
    assert_eq!(text(&[0]), None);
}

fn cases(cases: u32) -> ProptestConfig {
    ProptestConfig { cases, failure_persistence: None, ..ProptestConfig::default() }
}

/// Both formulas are the exact ratio at the teeth, in each of their three scripts: at least
/// ten thousand live states of one to four sets.
#[test]
fn every_script_means_the_ratio() {
    let live = Cell::new(0);
    let mut runner = TestRunner::new(cases(8000));
    let outcome = runner.run(&crate::common::any_layout(), |layout| {
        let values = named(&layout);
        for engaged in layout.states() {
            let motion = solve_state(&layout, engaged);
            let ratio = motion.ratio;
            if ratio.is_none() {
                continue;
            }
            live.set(live.get() + 1);
            let formula = formula(&layout, engaged).expect("a live state has a formula");
            let teeth = formula.in_teeth();
            prop_assert_eq!(&formula.evaluate(&base_ratios(&layout)), &ratio);
            prop_assert_eq!(&teeth.evaluate(&layout.sets), &ratio);
            let texts = [
                teeth.to_string(),
                text_of_latex(&formula.latex()),
                text_of_latex(&teeth.latex()),
                text_of_mathml(&formula.mathml()),
                text_of_mathml(&teeth.mathml()),
            ];
            for text in texts {
                prop_assert_eq!(&value_of(&text, &values), &ratio, "{}", text);
            }
        }
        Ok(())
    });
    outcome.unwrap_or_else(|error| panic!("{error}"));
    assert!(live.get() >= 10_000, "only {} live states", live.get());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1000))]

    /// In teeth no product is greater than it must be: each term has one of S and R of each
    /// set that matters, and no number or letter divides the whole.
    #[test]
    fn teeth_are_in_lowest_terms(layout in crate::common::any_layout()) {
        for engaged in layout.states() {
            let Some(formula) = formula(&layout, engaged) else { continue };
            let teeth = formula.in_teeth();
            let matter: Vec<usize> =
                (0..layout.sets.len()).filter(|&set| matters(&formula, layout.sets.len(), set)).collect();
            prop_assert_eq!(teeth.sets(), matter);
            // Twice the teeth of one set change nothing: degrees above and below are equal.
            for set in 0..layout.sets.len() {
                let mut twice = layout.sets.clone();
                (twice[set].sun, twice[set].ring) = (2 * twice[set].sun, 2 * twice[set].ring);
                prop_assert_eq!(teeth.evaluate(&twice), teeth.evaluate(&layout.sets));
            }
            let text = teeth.to_string();
            let Some((above, below)) = text.split_once(" / ") else { continue };
            for letter in (1..=4).flat_map(|set| [format!("S{set}"), format!("R{set}")]) {
                let both = [above, below].map(|side| factors(side).contains(&letter));
                prop_assert_ne!(both, [true, true], "{}", text);
            }
        }
    }

    /// At the teeth of a layout the formula is the ratio; where there is no formula the
    /// state is never live; where it is 1 for all base ratios it says so.
    #[test]
    fn formula_is_the_exact_ratio(layout in crate::common::any_layout()) {
        let rho = base_ratios(&layout);
        for engaged in layout.states() {
            let motion = solve_state(&layout, engaged);
            match formula(&layout, engaged) {
                None => prop_assert_ne!(motion.status, Status::Live),
                Some(formula) => {
                    let live = motion.status == Status::Live;
                    let value = formula.evaluate(&rho);
                    if live {
                        prop_assert_eq!(&value, &motion.ratio, "{}", formula);
                    }
                    let constant = formula.numerator.is_one() && formula.denominator.is_one();
                    prop_assert_eq!(constant, formula.to_string() == "1");
                    prop_assert!(!constant || value == Some(Fraction::one()));
                }
            }
        }
    }

    /// What is printed is what is meant: the text, read by the rules of arithmetic, gives
    /// the ratio.
    #[test]
    fn text_means_the_value(layout in crate::common::any_layout()) {
        let rho = base_ratios(&layout);
        for engaged in layout.states() {
            let Some(formula) = formula(&layout, engaged) else { continue };
            let Some(value) = formula.evaluate(&rho) else { continue };
            let text = formula.to_string();
            prop_assert_eq!(value_of(&text, &named(&layout)), Some(value), "{}", text);
        }
    }

    /// Base ratios that do not matter do not occur, and no integer divides all.
    #[test]
    fn formula_is_in_lowest_terms(layout in crate::common::any_layout()) {
        for engaged in layout.states() {
            let Some(formula) = formula(&layout, engaged) else { continue };
            for set in 0..layout.sets.len() {
                let occurs = formula.to_string().contains(&format!("ρ{}", set + 1));
                prop_assert_eq!(occurs, matters(&formula, layout.sets.len(), set), "{}", formula);
            }
        }
    }
}

/// The factors of a written product, those in brackets without; a sum has itself alone.
fn factors(product: &str) -> Vec<String> {
    let (mut depth, mut all) = (0, vec![String::new()]);
    for c in product.trim_start_matches('-').chars() {
        depth -= i32::from(c == ')');
        match c {
            '·' if depth == 0 => all.push(String::new()),
            ' ' if depth == 0 => return vec![product.to_owned()],
            _ => all.last_mut().unwrap().push(c),
        }
        depth += i32::from(c == '(');
    }
    match &all[..] {
        [one] if one.starts_with('(') => factors(&one[1..one.len() - 1]),
        _ => all,
    }
}

/// Whether the ratio changes with one base ratio, at some of many places.
fn matters(formula: &coaxle::motion::Formula, sets: usize, set: usize) -> bool {
    (0..6).any(|place| {
        let mut rho: Vec<Fraction> = (0..sets as i64)
            .map(|s| fraction(101 + 17 * s + 31 * place, 53 + 7 * s * place))
            .collect();
        let before = formula.evaluate(&rho);
        rho[set] += fraction(13, 11);
        before != formula.evaluate(&rho)
    })
}

/// What a set with one member held makes of it, solved as a layout of its own.
fn alone(set: GearSet, driven: Role, output: Role) -> Fraction {
    let shaft = |role: Role| match role {
        _ if role == driven => 1,
        _ if role == output => 2,
        _ => 3,
    };
    let core = Core::new(&[Role::ALL.map(shaft)], 3, 1, 2).with_kinds([set.kind]);
    let layout = Layout::from_core(&core, &[Slot::brake(3)], vec![set]);
    solve_state(&layout, ElementMask::of([0])).ratio.expect("one set with one member held turns")
}

/// The layout with other teeth.
fn with_teeth(layout: &Layout, teeth: &[(u32, u32)]) -> Layout {
    let mut layout = layout.clone();
    for (set, &(sun, more)) in layout.sets.iter_mut().zip(teeth) {
        (set.sun, set.ring) = (sun, sun + more);
    }
    layout
}

/// For every set nothing or a way, as driven and output.
fn every_choice(sets: usize) -> impl Iterator<Item = Vec<Option<(Role, Role)>>> {
    let ways = Role::ALL.into_iter().permutations(2).map(|pair| Some((pair[0], pair[1])));
    let all: Vec<Option<(Role, Role)>> = std::iter::once(None).chain(ways).collect();
    (0..sets).map(|_| all.clone()).multi_cartesian_product()
}

/// A ratio is told to be a product of single sets' ratios where it is one for other teeth too,
/// and to be coupled where none of all products is it: the oracle solves each set by itself,
/// for teeth of large primes, and tries every choice.
#[test]
fn products_of_single_sets_are_told_apart_from_coupled_sets() {
    const PRIMES: [(u32, u32); 4] = [(101, 112), (211, 396), (307, 702), (401, 20)];
    let (products, coupled) = (Cell::new(0), Cell::new(0));
    let mut runner = TestRunner::new(cases(600));
    let outcome = runner.run(&crate::common::any_layout(), |layout| {
        let layout = with_teeth(&layout, &PRIMES);
        for engaged in layout.states() {
            let Some(ratio) = solve_state(&layout, engaged).ratio else { continue };
            let formula = formula(&layout, engaged).expect("a live state has a formula");
            let product = |choice: &[Option<(Role, Role)>]| {
                let sets = layout.sets.iter().zip(choice);
                let ratios = sets.filter_map(|(set, way)| way.map(|(d, o)| alone(*set, d, o)));
                ratios.fold(Fraction::one(), |all, ratio| all * ratio)
            };
            match formula.makeup(&layout.sets) {
                Makeup::Direct => prop_assert!(ratio.is_one()),
                Makeup::Ways(ways) => {
                    let mut choice = vec![None; layout.sets.len()];
                    ways.iter().for_each(|way| choice[way.set] = Some((way.driven, way.output)));
                    prop_assert_eq!(product(&choice), ratio);
                    products.set(products.get() + usize::from(ways.len() > 1));
                }
                Makeup::Coupled => {
                    coupled.set(coupled.get() + 1);
                    let mut all = every_choice(layout.sets.len());
                    // Each of them is solved set by set; a few hundred are enough of a test.
                    if layout.sets.len() < 4 {
                        prop_assert!(all.all(|choice| product(&choice) != ratio), "{formula}");
                    }
                }
            }
        }
        Ok(())
    });
    outcome.unwrap_or_else(|error| panic!("{error}"));
    assert!(products.get() > 20 && coupled.get() > 20, "{products:?} {coupled:?}");
}
