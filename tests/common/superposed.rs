//! A second way to the speeds: every motion of a set is the sum of two simple ones, and the
//! unknowns are these, not the shafts.

use coaxle::num::{Fraction, fraction};
use coaxle::train::{ElementMask, Grip, INPUT, Layout, SetKind, ShaftId};
use num_traits::{One, Zero};

/// A speed as a sum over simple motions: two a set (turning as a block with the carrier by
/// 1; the carrier held and the sun turning by 1), and one a shaft that has no member.
type Sum = Vec<Fraction>;

/// Speeds of all shafts by superposition; `None` where they are not determined or cannot be.
pub fn superposed(layout: &Layout, engaged: ElementMask) -> Option<Vec<Fraction>> {
    let bare: Vec<usize> =
        (0..layout.shafts.len()).filter(|&shaft| layout.shafts[shaft].members.is_empty()).collect();
    let motions = 2 * layout.sets.len() + bare.len();
    let unit = |motion: usize| -> Sum {
        (0..motions).map(|m| fraction(i64::from(m == motion), 1)).collect()
    };
    let mut ways: Vec<Vec<Sum>> = vec![Vec::new(); layout.shafts.len()];
    let mut still: Vec<Sum> = Vec::new();
    for (set, teeth) in layout.sets.iter().enumerate() {
        let (block, held) = (unit(2 * set), unit(2 * set + 1));
        // Carrier held: a planet turns the ring against the sun, a pair with it.
        let back = fraction(i64::from(teeth.sun), i64::from(teeth.ring));
        let back = if teeth.kind == SetKind::Single { -back } else { back };
        let sum = |factor: &Fraction| -> Sum {
            block.iter().zip(&held).map(|(block, held)| block + held * factor).collect()
        };
        let speeds = [sum(&Fraction::one()), sum(&back), sum(&Fraction::zero())];
        for (seat, speed) in layout.seats(set).into_iter().zip(speeds) {
            match seat {
                Some(ShaftId(shaft)) => ways[shaft].push(speed),
                None => still.push(speed),
            }
        }
    }
    for (index, &shaft) in bare.iter().enumerate() {
        ways[shaft].push(unit(2 * layout.sets.len() + index));
    }
    // What sits on one shaft turns alike, what is held stands still, the input turns by 1.
    let less = |a: &Sum, b: &Sum| -> Sum { a.iter().zip(b).map(|(a, b)| a - b).collect() };
    let mut rows: Vec<(Sum, Fraction)> =
        still.into_iter().map(|sum| (sum, Fraction::zero())).collect();
    for ways in &ways {
        rows.extend(ways[1..].iter().map(|way| (less(way, &ways[0]), Fraction::zero())));
    }
    for element in engaged.iter() {
        let sum = match layout.elements[element].grip {
            Grip::Brake(shaft) => ways[shaft.0][0].clone(),
            Grip::Clutch(a, b) => less(&ways[a.0][0], &ways[b.0][0]),
        };
        rows.push((sum, Fraction::zero()));
    }
    rows.push((ways[INPUT.0][0].clone(), Fraction::one()));
    let parts = eliminated(rows, motions)?;
    let speed = |ways: &Vec<Sum>| ways[0].iter().zip(&parts).map(|(a, b)| a * b).sum();
    Some(ways.iter().map(speed).collect())
}

/// Plain elimination; `None` unless there is exactly one solution.
fn eliminated(mut rows: Vec<(Sum, Fraction)>, unknowns: usize) -> Option<Vec<Fraction>> {
    for column in 0..unknowns {
        let pivot = (column..rows.len()).find(|&row| !rows[row].0[column].is_zero())?;
        rows.swap(column, pivot);
        let (pivot_row, pivot_side) = rows[column].clone();
        for (index, (row, side)) in rows.iter_mut().enumerate() {
            if index == column || row[column].is_zero() {
                continue;
            }
            let factor = &row[column] / &pivot_row[column];
            row.iter_mut().zip(&pivot_row).for_each(|(entry, other)| *entry -= &factor * other);
            *side -= &factor * &pivot_side;
        }
    }
    if rows[unknowns..].iter().any(|(_, side)| !side.is_zero()) {
        return None;
    }
    Some((0..unknowns).map(|row| &rows[row].1 / &rows[row].0[row]).collect())
}
