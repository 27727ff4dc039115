//! Formulas of ratios: known ones by name, and agreement with the exact solution.

mod common;

use coaxle::motion::{Status, formula, solve_state};
use coaxle::num::{Fraction, fraction};
use coaxle::train::{ElementMask, Layout, parse_layout};
use num_traits::One;
use proptest::prelude::*;
use rstest::rstest;

fn base_ratios(layout: &Layout) -> Vec<Fraction> {
    layout.sets.iter().map(|set| fraction(set.ring.into(), set.sun.into())).collect()
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

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1000))]

    /// At the teeth of a layout the formula is the ratio; where there is no formula the
    /// state is never live; where it is 1 for all base ratios it says so.
    #[test]
    fn formula_is_the_exact_ratio(layout in common::any_layout()) {
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
    fn text_means_the_value(layout in common::any_layout()) {
        let rho = base_ratios(&layout);
        for engaged in layout.states() {
            let Some(formula) = formula(&layout, engaged) else { continue };
            let Some(value) = formula.evaluate(&rho) else { continue };
            let text = formula.to_string();
            let read = Reader { text: text.chars().collect(), at: 0, rho: &rho }.quotient();
            prop_assert_eq!(read, value, "{}", text);
        }
    }

    /// Base ratios that do not matter do not occur, and no integer divides all.
    #[test]
    fn formula_is_in_lowest_terms(layout in common::any_layout()) {
        for engaged in layout.states() {
            let Some(formula) = formula(&layout, engaged) else { continue };
            for set in 0..layout.sets.len() {
                let occurs = formula.to_string().contains(&format!("ρ{}", set + 1));
                prop_assert_eq!(occurs, matters(&formula, layout.sets.len(), set), "{}", formula);
            }
        }
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

/// A reader of the printed formulas: quotient of products of sums in brackets.
struct Reader<'a> {
    text: Vec<char>,
    at: usize,
    rho: &'a [Fraction],
}

impl Reader<'_> {
    fn take(&mut self, expected: &str) -> bool {
        let expected: Vec<char> = expected.chars().collect();
        let found = self.text[self.at..].starts_with(&expected);
        self.at += if found { expected.len() } else { 0 };
        found
    }

    fn quotient(&mut self) -> Fraction {
        let numerator = self.sum();
        let value = if self.take(" / ") { numerator / self.product() } else { numerator };
        assert_eq!(self.at, self.text.len(), "unread");
        value
    }

    fn sum(&mut self) -> Fraction {
        let negative = self.take("-");
        let mut value = if negative { -self.product() } else { self.product() };
        loop {
            if self.take(" + ") {
                value += self.product();
            } else if self.take(" - ") {
                value -= self.product();
            } else {
                return value;
            }
        }
    }

    fn product(&mut self) -> Fraction {
        let mut value = self.atom();
        while self.take("·") {
            value *= self.atom();
        }
        value
    }

    fn atom(&mut self) -> Fraction {
        if self.take("(") {
            let value = self.sum();
            assert!(self.take(")"), "no closing bracket");
            return value;
        }
        let variable = self.take("ρ");
        let mut number = 0;
        while let Some(digit) = self.text.get(self.at).and_then(|c| c.to_digit(10)) {
            number = 10 * number + i64::from(digit);
            self.at += 1;
        }
        if variable { self.rho[number as usize - 1].clone() } else { fraction(number, 1) }
    }
}
