//! The one free motion of a small integer system, on the stack and in machine words.
//!
//! The same elimination as in [`super::exact`] for systems of at most four rows, without
//! its lists and big numbers. Nothing is rounded: what does not fit is [`Overflow`].

/// Most rows of a system.
pub const KERNEL_ROWS: usize = 4;
/// Most columns: one more than rows, for one direction stays free.
pub const KERNEL_COLUMNS: usize = KERNEL_ROWS + 1;

/// The rows of M, padded.
pub type KernelRows = [[i64; KERNEL_COLUMNS]; KERNEL_ROWS];

/// A number would not fit its machine word; the big way must be taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Overflow;

/// What leaves M of n rows and n + 1 columns free: the vectors v with M v = 0.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Kernel {
    /// v, whose entries are the n-rowed minors of M up to sign; 0 beyond the columns.
    pub vector: [i64; KERNEL_COLUMNS],
    /// `lifts[c]`: the row vector u with u M = scale · e_c on all columns but the free one;
    /// 0 for the free column itself.
    lifts: [[i64; KERNEL_ROWS]; KERNEL_COLUMNS],
    scale: i64,
}

/// A row of M beside its row of the unit matrix, which keeps the books.
type Booked = [i64; KERNEL_COLUMNS + KERNEL_ROWS];

impl Kernel {
    /// Of the first `count` rows in their first `count` + 1 columns; `None` where the rows
    /// depend on each other, so that more than one direction is free.
    ///
    /// # Panics
    /// With more than [`KERNEL_ROWS`] rows.
    pub fn of(rows: &KernelRows, count: usize) -> Result<Option<Self>, Overflow> {
        let mut booked = [[0; KERNEL_COLUMNS + KERNEL_ROWS]; KERNEL_ROWS];
        for (index, row) in rows[..count].iter().enumerate() {
            booked[index][..=count].copy_from_slice(&row[..=count]);
            booked[index][KERNEL_COLUMNS + index] = 1;
        }
        let booked = &mut booked[..count];
        let mut pivots = [0; KERNEL_ROWS];
        let (mut found, mut free, mut scale) = (0, None, 1);
        for column in 0..=count {
            let Some(row) = (found..count).find(|&row| booked[row][column] != 0) else {
                if free.replace(column).is_some() {
                    return Ok(None);
                }
                continue;
            };
            booked.swap(found, row);
            scale = cleared(booked, found, column, scale)?;
            pivots[found] = column;
            found += 1;
        }
        let Some(free) = free else { unreachable!("fewer rows than columns") };
        let mut kernel = Self { vector: [0; KERNEL_COLUMNS], lifts: Default::default(), scale };
        kernel.vector[free] = scale;
        for (row, &column) in booked.iter().zip(&pivots) {
            kernel.vector[column] = row[free].checked_neg().ok_or(Overflow)?;
            kernel.lifts[column].copy_from_slice(&row[KERNEL_COLUMNS..]);
        }
        Ok(Some(kernel))
    }

    /// With v_b ≠ 0: the row vector y with y M = v_b e_a − v_a e_b.
    ///
    /// Whole, for y_r is a minor of M and e_b by Cramer's rule, so the division is exact.
    pub fn combination(&self, a: usize, b: usize) -> Result<[i64; KERNEL_ROWS], Overflow> {
        let mut result = [0; KERNEL_ROWS];
        let (va, vb) = (i128::from(self.vector[a]), i128::from(self.vector[b]));
        for (y, (&of_a, &of_b)) in result.iter_mut().zip(self.lifts[a].iter().zip(&self.lifts[b])) {
            // Two products of words: their difference fits twice a word with room to spare.
            let lifted = vb * i128::from(of_a) - va * i128::from(of_b);
            *y = i64::try_from(lifted / i128::from(self.scale)).map_err(|_| Overflow)?;
        }
        Ok(result)
    }
}

/// Clears `column` but for `pivot` by Bareiss and returns the new scale.
fn cleared(
    rows: &mut [Booked],
    pivot: usize,
    column: usize,
    previous: i64,
) -> Result<i64, Overflow> {
    let above = rows[pivot];
    let scale = above[column];
    for (index, row) in rows.iter_mut().enumerate() {
        if index == pivot {
            continue;
        }
        let factor = row[column];
        for (entry, above) in row.iter_mut().zip(above) {
            let minor = scale
                .checked_mul(*entry)
                .zip(factor.checked_mul(above))
                .and_then(|(a, b)| a.checked_sub(b))
                .ok_or(Overflow)?;
            // Most entries are 0, and a division costs as much as all the rest.
            *entry = if minor == 0 { 0 } else { minor.checked_div(previous).ok_or(Overflow)? };
        }
    }
    Ok(scale)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::num::{Fraction, Solution, fraction, solve};
    use num_traits::Zero;
    use proptest::prelude::*;

    fn rows(entries: &[i64], count: usize) -> KernelRows {
        let mut rows = KernelRows::default();
        for (row, entries) in rows.iter_mut().zip(entries.chunks(count + 1)) {
            row[..=count].copy_from_slice(entries);
        }
        rows
    }

    /// Σ row · vector with big numbers.
    fn product(row: &[i64], vector: impl Iterator<Item = i64>) -> Fraction {
        row.iter().zip(vector).map(|(&a, b)| fraction(a, 1) * fraction(b, 1)).sum()
    }

    fn any_system() -> impl Strategy<Value = (usize, KernelRows)> {
        (0..=KERNEL_ROWS).prop_flat_map(|count| {
            let small = proptest::collection::vec(-2i64..=2, count * (count + 1));
            let teeth = proptest::collection::vec(-170i64..=170, count * (count + 1));
            let huge = proptest::collection::vec(any::<i64>(), count * (count + 1));
            prop_oneof![4 => small, 4 => teeth, 1 => huge]
                .prop_map(move |entries| (count, rows(&entries, count)))
        })
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(4000))]

        /// Against the elimination in big numbers: x_c = 1 beside M x = 0 has one answer
        /// for some column c exactly when one direction is free, and it is v / v_c.
        #[test]
        fn kernel_is_what_big_numbers_say((count, rows) in any_system()) {
            let Ok(kernel) = Kernel::of(&rows, count) else { return Ok(()) };
            let answer = |column: usize| {
                let row = |row: &[i64; KERNEL_COLUMNS]| [&row[..=count], &[0]].concat();
                let mut system: Vec<Vec<i64>> = rows[..count].iter().map(row).collect();
                let mut picked = vec![0; count + 2];
                (picked[column], picked[count + 1]) = (1, 1);
                system.push(picked);
                match solve(&system, count + 1) { Solution::Unique(x) => Some(x), _ => None }
            };
            for column in 0..=count {
                let Some(x) = answer(column) else {
                    prop_assert!(kernel.as_ref().is_none_or(|kernel| kernel.vector[column] == 0));
                    continue;
                };
                let vector = kernel.as_ref().unwrap().vector;
                for (c, x) in x.into_iter().enumerate() {
                    prop_assert_eq!(x, fraction(vector[c], vector[column]));
                }
            }
        }

        #[test]
        fn combinations_reach_two_columns((count, rows) in any_system()) {
            let Ok(Some(kernel)) = Kernel::of(&rows, count) else { return Ok(()) };
            for (a, b) in itertools::iproduct!(0..=count, 0..=count) {
                let Ok(y) = kernel.combination(a, b) else { continue };
                if a == b || kernel.vector[b] == 0 {
                    continue;
                }
                for column in 0..=count {
                    let of_column: Vec<i64> = rows[..count].iter().map(|row| row[column]).collect();
                    let expected = match column {
                        _ if column == a => fraction(kernel.vector[b], 1),
                        _ if column == b => -fraction(kernel.vector[a], 1),
                        _ => Fraction::zero(),
                    };
                    prop_assert_eq!(product(&of_column, y.into_iter()), expected);
                }
            }
        }
    }

    #[test]
    fn what_does_not_fit_is_said() {
        let big = rows(&[i64::MAX, 1, 1, 1, i64::MAX, 1], 2);
        assert_eq!(Kernel::of(&big, 2), Err(Overflow));
        assert_eq!(Kernel::of(&rows(&[1, 2, 0, 2, 4, 0], 2), 2), Ok(None));
    }
}
