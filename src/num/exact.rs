//! Exact linear systems with integer coefficients.
//!
//! Fraction-free elimination: E. H. Bareiss, "Sylvester's identity and multistep
//! integer-preserving Gaussian elimination", Math. Comp. 22 (1968), 565–578. Every
//! intermediate entry is a minor of the matrix, so the divisions are exact. The work
//! is done in checked `i128`; where that would overflow, it is done again in big integers.

use num_bigint::BigInt;
use num_integer::Integer;
use num_traits::{CheckedMul, CheckedSub, One, Signed, Zero};

use super::Fraction;

/// What `A x = b` has for an answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Solution {
    /// No `x` satisfies all rows.
    None,
    /// Exactly one: `x`.
    Unique(Vec<Fraction>),
    /// Infinitely many. An unknown that is the same in all of them is `Some`.
    Many(Vec<Option<Fraction>>),
}

/// Solves the rows `[a₁ … a_n | b]` for the `unknowns` = n values of x.
///
/// # Panics
/// If a row does not have `unknowns + 1` entries.
pub fn solve(rows: &[Vec<i64>], unknowns: usize) -> Solution {
    assert!(rows.iter().all(|row| row.len() == unknowns + 1));
    match reduce(widen::<i128>(rows), unknowns) {
        Some(reduced) => read(&reduced, unknowns),
        None => read(&reduce_big(rows, unknowns), unknowns),
    }
}

/// The determinant of a square integer matrix.
///
/// # Panics
/// If the matrix is not square.
pub fn determinant(rows: &[Vec<i64>]) -> BigInt {
    let size = rows.len();
    assert!(rows.iter().all(|row| row.len() == size));
    match reduce(widen::<i128>(rows), size) {
        Some(reduced) => determinant_of(&reduced, size),
        None => determinant_of(&reduce_big(rows, size), size),
    }
}

/// A matrix after elimination: each pivot column holds only `scale`, in its pivot's row.
struct Reduced<T> {
    rows: Vec<Vec<T>>,
    /// Column of the pivot of row 0, 1, …
    pivots: Vec<usize>,
    /// The common value of all pivots, a minor of the matrix up to sign.
    scale: T,
    odd_swaps: bool,
}

trait Exact: Clone + Integer + Signed + CheckedMul + CheckedSub + Into<BigInt> {}
impl<T: Clone + Integer + Signed + CheckedMul + CheckedSub + Into<BigInt>> Exact for T {}

fn widen<T: From<i64>>(rows: &[Vec<i64>]) -> Vec<Vec<T>> {
    rows.iter().map(|row| row.iter().map(|&value| T::from(value)).collect()).collect()
}

fn reduce_big(rows: &[Vec<i64>], columns: usize) -> Reduced<BigInt> {
    reduce(widen::<BigInt>(rows), columns).expect("big integers do not overflow")
}

/// Gauss–Jordan by Bareiss over the first `columns` columns; `None` when `T` overflows.
fn reduce<T: Exact>(mut rows: Vec<Vec<T>>, columns: usize) -> Option<Reduced<T>> {
    let mut pivots = Vec::new();
    let mut scale = T::one();
    let mut odd_swaps = false;
    for column in 0..columns {
        let row = pivots.len();
        let Some(found) = (row..rows.len()).find(|&r| !rows[r][column].is_zero()) else {
            continue;
        };
        if found != row {
            rows.swap(found, row);
            odd_swaps = !odd_swaps;
        }
        let pivot_row = rows[row].clone();
        for (index, other) in rows.iter_mut().enumerate() {
            if index != row {
                eliminate(other, &pivot_row, column, &scale)?;
            }
        }
        scale = pivot_row[column].clone();
        pivots.push(column);
    }
    Some(Reduced { rows, pivots, scale, odd_swaps })
}

/// `row ← (pivot · row − row[column] · pivot_row) / previous pivot`, exactly.
fn eliminate<T: Exact>(row: &mut [T], pivot_row: &[T], column: usize, previous: &T) -> Option<()> {
    let factor = row[column].clone();
    let pivot = &pivot_row[column];
    for (entry, above) in row.iter_mut().zip(pivot_row) {
        let minor = pivot.checked_mul(entry)?.checked_sub(&factor.checked_mul(above)?)?;
        *entry = minor / previous.clone();
    }
    Some(())
}

fn read<T: Exact>(reduced: &Reduced<T>, unknowns: usize) -> Solution {
    let Reduced { rows, pivots, scale, .. } = reduced;
    if rows[pivots.len()..].iter().any(|row| !row[unknowns].is_zero()) {
        return Solution::None;
    }
    let mut values = vec![None; unknowns];
    for (row, &column) in rows.iter().zip(pivots) {
        let alone = (0..unknowns).all(|c| c == column || row[c].is_zero());
        if alone {
            let value = Fraction::new(row[unknowns].clone().into(), scale.clone().into());
            values[column] = Some(value);
        }
    }
    match (pivots.len() == unknowns).then(|| values.iter().cloned().collect()) {
        Some(Some(all)) => Solution::Unique(all),
        _ => Solution::Many(values),
    }
}

fn determinant_of<T: Exact>(reduced: &Reduced<T>, size: usize) -> BigInt {
    if reduced.pivots.len() < size {
        return BigInt::zero();
    }
    if size == 0 {
        return BigInt::one();
    }
    let value: BigInt = reduced.scale.clone().into();
    if reduced.odd_swaps { -value } else { value }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::num::fraction;
    use proptest::prelude::*;

    /// Leibniz by expansion along the first row: slow, plain, obviously right.
    fn plain_determinant(rows: &[Vec<i64>]) -> BigInt {
        if rows.is_empty() {
            return BigInt::one();
        }
        let mut sum = BigInt::zero();
        for column in 0..rows.len() {
            let minor: Vec<Vec<i64>> = rows[1..]
                .iter()
                .map(|row| {
                    let mut row = row.clone();
                    row.remove(column);
                    row
                })
                .collect();
            let term = BigInt::from(rows[0][column]) * plain_determinant(&minor);
            if column % 2 == 0 { sum += term } else { sum -= term }
        }
        sum
    }

    #[test]
    fn unique_many_none() {
        let unique = solve(&[vec![2, 0, 3], vec![0, 4, 2]], 2);
        assert_eq!(unique, Solution::Unique(vec![fraction(3, 2), fraction(1, 2)]));
        let many = solve(&[vec![0, 1, 1, 5], vec![2, 0, 0, 4]], 3);
        assert_eq!(many, Solution::Many(vec![Some(fraction(2, 1)), None, None]));
        assert_eq!(solve(&[vec![1, 1], vec![1, 2]], 1), Solution::None);
    }

    #[test]
    fn overflow_takes_the_big_way_out() {
        let big = i64::MAX;
        let rows: Vec<Vec<i64>> =
            (0..5).map(|r| (0..5).map(|c| if r == c { big } else { 1 }).collect()).collect();
        assert_eq!(determinant(&rows), plain_determinant(&rows));
    }

    proptest! {
        #[test]
        fn determinant_is_leibniz(entries in proptest::collection::vec(-4i64..5, 16)) {
            let rows: Vec<Vec<i64>> = entries.chunks(4).map(<[i64]>::to_vec).collect();
            prop_assert_eq!(determinant(&rows), plain_determinant(&rows));
        }

        #[test]
        fn solutions_satisfy_every_row(entries in proptest::collection::vec(-3i64..4, 20)) {
            let rows: Vec<Vec<i64>> = entries.chunks(5).map(<[i64]>::to_vec).collect();
            if let Solution::Unique(x) = solve(&rows, 4) {
                for row in &rows {
                    let left: Fraction = (0..4).map(|c| fraction(row[c], 1) * &x[c]).sum();
                    prop_assert_eq!(left, fraction(row[4], 1));
                }
            }
        }
    }
}
