//! What to expect of a gear before any number: which way the output turns, slower or faster.

use num_bigint::BigInt;
use num_traits::{One, Signed, Zero};

use crate::motion::{Formula, Motion, Polynomial, Torques, formula, needed_elements};
use crate::num::Fraction;
use crate::train::{INPUT, Layout, OUTPUT, Role, SetKind};

/// What can be said, and why.
#[derive(Clone, Debug, PartialEq)]
pub struct Sense {
    /// Whether the output turns with the input; `None` where the teeth decide.
    pub forward: Option<bool>,
    /// Whether it turns slower (`Some(true)`) or faster; `None` where the teeth decide or
    /// neither is so.
    pub slower: Option<bool>,
    pub why: Why,
}

/// Where the expectation comes from.
#[derive(Clone, Debug, PartialEq)]
pub enum Why {
    /// All turns as one.
    Block,
    /// One set (from 0) works alone: its driven and its held member.
    OneSet { set: usize, driven: Role, held: Role },
    /// The signs of the formula for all base ratios above one.
    Formula(Box<Formula>),
    /// There is no formula for this state.
    Nothing,
}

/// The expectation of a live state.
pub fn sense(layout: &Layout, motion: &Motion, torques: &Torques) -> Sense {
    let speeds = motion.all_speeds().unwrap_or_default();
    let moving = |set: &usize| !is_block(layout, motion, *set);
    let rolling: Vec<usize> = (0..layout.sets.len()).filter(moving).collect();
    let bears = |set: usize| torques.members[set][0].as_ref().is_none_or(|t| !t.is_zero());
    let working: Vec<usize> = rolling.iter().copied().filter(|&set| bears(set)).collect();
    let as_input = speeds.get(OUTPUT.0) == speeds.get(INPUT.0);
    if working.is_empty() && as_input {
        return Sense { forward: Some(true), slower: None, why: Why::Block };
    }
    if let [set] = working[..]
        && let Some(sense) = of_one_set(layout, motion, set)
    {
        return sense;
    }
    let needed = needed_elements(layout, motion.engaged);
    match needed.and_then(|needed| formula(layout, needed)) {
        Some(formula) => of_formula(formula),
        None => Sense { forward: None, slower: None, why: Why::Nothing },
    }
}

/// Whether all members of a set have one speed.
pub fn is_block(layout: &Layout, motion: &Motion, set: usize) -> bool {
    let [sun, ring, carrier] = layout.seats(set).map(|seat| motion.speed_at(seat));
    sun.is_some() && sun == carrier && ring == carrier
}

/// Whether all members of a set stand still.
pub fn is_still(layout: &Layout, motion: &Motion, set: usize) -> bool {
    let speeds = layout.seats(set).map(|seat| motion.speed_at(seat));
    speeds.iter().all(|speed| speed.as_ref().is_some_and(Zero::is_zero))
}

/// Driven with the input, held, and with the output: the three members of a single set.
fn of_one_set(layout: &Layout, motion: &Motion, set: usize) -> Option<Sense> {
    if layout.sets[set].kind != SetKind::Single {
        return None;
    }
    let output = motion.speed_at(Some(OUTPUT))?;
    let speeds = layout.seats(set).map(|seat| motion.speed_at(seat));
    let with = |wanted: &Fraction| {
        let mut found = Role::ALL.into_iter().zip(&speeds);
        found.find(|(_, speed)| speed.as_ref() == Some(wanted)).map(|(role, _)| role)
    };
    let (driven, held, taken) = (with(&Fraction::one())?, with(&Fraction::zero())?, with(&output)?);
    if driven == held || driven == taken || held == taken {
        return None;
    }
    Some(Sense {
        forward: Some(held != Role::Carrier),
        // The carrier is the slowest of the three; the ring has more teeth than the sun.
        slower: Some(taken == Role::Carrier || held == Role::Carrier && taken == Role::Ring),
        why: Why::OneSet { set, driven, held },
    })
}

/// Signs of P, Q, and of |P| − |Q| for all base ratios above one.
fn of_formula(formula: Formula) -> Sense {
    let above_one = |side: &Polynomial| shifted(side);
    let [above, below] = [&formula.numerator, &formula.denominator].map(above_one);
    let (p, q) = (sign(&above), sign(&below));
    let forward = p.zip(q).map(|(p, q)| p == q);
    let slower = p.zip(q).and_then(|(p, q)| {
        let size = |value: &BigInt, positive: bool| if positive { value.clone() } else { -value };
        let pairs = above.iter().zip(&below);
        let difference: Vec<BigInt> = pairs.map(|(a, b)| size(a, p) - size(b, q)).collect();
        sign(&difference)
    });
    Sense { forward, slower, why: Why::Formula(Box::new(formula)) }
}

/// The coefficients in x with every ρ = 1 + x: that of a product is the sum of those of all
/// products that contain it.
fn shifted(side: &Polynomial) -> Vec<BigInt> {
    let all = 0..1usize << side.variables();
    let containing = |mask: usize| all.clone().filter(move |other| other & mask == mask);
    all.clone().map(|mask| containing(mask).map(|other| side.coefficient(other)).sum()).collect()
}

/// Whether a polynomial with these coefficients is positive for all x above zero, or negative;
/// `None` where its coefficients do not tell.
fn sign(coefficients: &[BigInt]) -> Option<bool> {
    let positive = coefficients.iter().any(Signed::is_positive);
    let negative = coefficients.iter().any(Signed::is_negative);
    (positive != negative).then_some(positive)
}
