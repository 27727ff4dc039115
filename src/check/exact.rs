//! The ratio of a state, exactly, by the plainest way there is: all rows written down, every
//! number a fraction, Gauss and Jordan.

use num_traits::{One, Zero};

use crate::num::{Fraction, fraction};
use crate::train::{ElementMask, Grip, INPUT, Layout, OUTPUT};

/// Input speed / output speed; `None` unless Willis rows, element rows and "input = 1" have one
/// solution and the output turns in it.
pub fn exact_ratio(layout: &Layout, engaged: ElementMask) -> Option<Fraction> {
    let speeds = only_solution(rows(layout, engaged), layout.shafts.len())?;
    let output = &speeds[OUTPUT.0];
    (!output.is_zero()).then(|| output.recip())
}

/// The ratios of all gears of the layout, in its order.
pub fn exact_ratios(layout: &Layout) -> Vec<Option<Fraction>> {
    layout.gears.iter().map(|gear| exact_ratio(layout, gear.engaged)).collect()
}

/// One row an equation; unknowns are the speeds of the shafts, the last column is the right side.
fn rows(layout: &Layout, engaged: ElementMask) -> Vec<Vec<Fraction>> {
    let shafts = layout.shafts.len();
    let empty = || vec![Fraction::zero(); shafts + 1];
    let mut rows = Vec::new();
    for (number, set) in layout.sets.iter().enumerate() {
        // Willis: Z_S ω_S + Z_R ω_R = (Z_S + Z_R) ω_C, with −Z_S where planets come in pairs.
        let (sun, ring) = (i64::from(set.sun), i64::from(set.ring));
        let sun = if set.kind == crate::train::SetKind::Paired { -sun } else { sun };
        let mut row = empty();
        for (seat, factor) in layout.seats(number).into_iter().zip([sun, ring, -(sun + ring)]) {
            // The housing stands still and adds nothing.
            if let Some(shaft) = seat {
                row[shaft.0] += fraction(factor, 1);
            }
        }
        rows.push(row);
    }
    for element in engaged.iter() {
        let mut row = empty();
        match layout.elements[element].grip {
            Grip::Brake(shaft) => row[shaft.0] += Fraction::one(),
            Grip::Clutch(a, b) => {
                row[a.0] += Fraction::one();
                row[b.0] -= Fraction::one();
            }
        }
        rows.push(row);
    }
    let mut input = empty();
    (input[INPUT.0], input[shafts]) = (Fraction::one(), Fraction::one());
    rows.push(input);
    rows
}

/// The solution of the rows, `None` where there is none or more than one.
fn only_solution(mut rows: Vec<Vec<Fraction>>, unknowns: usize) -> Option<Vec<Fraction>> {
    for column in 0..unknowns {
        // Rows above `column` have their pivots; without one here the speed is free.
        let pivot = (column..rows.len()).find(|&row| !rows[row][column].is_zero())?;
        rows.swap(column, pivot);
        let head = rows[column][column].clone();
        rows[column].iter_mut().for_each(|value| *value /= &head);
        let pivot_row = rows[column].clone();
        for (index, row) in rows.iter_mut().enumerate() {
            if index == column || row[column].is_zero() {
                continue;
            }
            let factor = row[column].clone();
            for (value, above) in row.iter_mut().zip(&pivot_row) {
                *value -= &factor * above;
            }
        }
    }
    // What is left over must say 0 = 0.
    let agree = rows[unknowns..].iter().all(|row| row[unknowns].is_zero());
    agree.then(|| rows[..unknowns].iter().map(|row| row[unknowns].clone()).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::motion::solve_state;
    use crate::train::parse_layout;

    /// Two equal sets with a common sun shaft, ρ = 11/5: see the hand calculation in `score`.
    #[test]
    fn the_ratios_of_two_sets_by_hand() {
        let layout = parse_layout(include_str!("../../tests/layouts/two-sets.toml")).unwrap();
        let ratio = |elements: &[usize]| exact_ratio(&layout, ElementMask::of(elements.to_vec()));
        assert_eq!(ratio(&[0, 3]), Some(fraction(27, 11)));
        assert_eq!(ratio(&[0, 2]), Some(fraction(16, 11)));
        assert_eq!(ratio(&[0, 1]), Some(fraction(1, 1)));
        assert_eq!(ratio(&[1, 3]), Some(fraction(-11, 5)));
        // Both brakes hold the suns and a carrier, and with them the output.
        assert_eq!(ratio(&[2, 3]), None);
        assert_eq!(ratio(&[1, 2]), None, "the input is held");
        assert_eq!(ratio(&[0]), None, "one element leaves a speed free");
    }

    #[test]
    fn both_ways_agree_on_every_state_of_every_sample() {
        let samples = [
            include_str!("../../tests/layouts/two-sets.toml"),
            include_str!("../../tests/layouts/block.toml"),
        ];
        for sample in samples {
            let layout = parse_layout(sample).unwrap();
            let mut states = 0;
            for mask in 0..1u32 << layout.elements.len() {
                let state = ElementMask(mask);
                // The laws take any number of elements; a plain solve too.
                assert_eq!(exact_ratio(&layout, state), solve_state(&layout, state).ratio);
                states += 1;
            }
            assert!(states >= 4);
        }
    }
}
