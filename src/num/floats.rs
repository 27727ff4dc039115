//! Small linear systems in floats, where an estimate will do.

/// Solves `[A | b]` by Gaussian elimination with row pivoting, as many rows as there are, and puts
/// the unknowns into `values`; rows may be longer than the right side's place. `None` when A is
/// singular. The rows are used up.
///
/// Source: G. H. Golub, C. F. Van Loan, Matrix Computations, section 3.4 (partial pivoting).
pub fn solve_floats<Row>(rows: &mut [Row], values: &mut [f64]) -> Option<()>
where
    Row: AsRef<[f64]> + AsMut<[f64]>,
{
    let size = rows.len();
    for column in 0..size {
        let at = |row: usize| rows[row].as_ref()[column].abs();
        let pivot = (column..size).max_by(|&a, &b| at(a).total_cmp(&at(b)))?;
        if at(pivot) < NO_PIVOT {
            return None;
        }
        rows.swap(column, pivot);
        let (above, below) = rows.split_at_mut(column + 1);
        let pivot_row = above[column].as_ref();
        for row in below {
            let row = row.as_mut();
            let factor = row[column] / pivot_row[column];
            for (entry, upper) in row[column..=size].iter_mut().zip(&pivot_row[column..=size]) {
                *entry -= factor * upper;
            }
        }
    }
    for index in (0..size).rev() {
        let row = rows[index].as_ref();
        let known: f64 = (index + 1..size).map(|column| row[column] * values[column]).sum();
        values[index] = (row[size] - known) / row[index];
    }
    Some(())
}

/// A pivot this small is what rounding leaves of nothing.
const NO_PIVOT: f64 = 1e-12;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::num::{Solution, solve, to_f64};
    use proptest::prelude::*;

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(500))]

        /// Against the exact solver, on small whole numbers.
        #[test]
        fn agrees_with_the_exact_solution(
            size in 1usize..=6,
            entries in proptest::collection::vec(-3i64..=3, 42),
        ) {
            let exact: Vec<Vec<i64>> =
                entries.chunks(size + 1).take(size).map(<[i64]>::to_vec).collect();
            let mut rows: Vec<[f64; 8]> = vec![[0.0; 8]; size];
            for (row, entries) in rows.iter_mut().zip(entries.chunks(size + 1)) {
                for (place, &entry) in row.iter_mut().zip(entries) {
                    *place = entry as f64;
                }
            }
            let mut values = [0.0; 8];
            let found = solve_floats(&mut rows, &mut values);
            match solve(&exact, size) {
                Solution::Unique(unknowns) => {
                    prop_assert!(found.is_some());
                    for (value, unknown) in values.iter().zip(&unknowns) {
                        let unknown = to_f64(unknown);
                        let near = 1e-9 * unknown.abs().max(1.0);
                        prop_assert!((value - unknown).abs() < near, "{} {}", value, unknown);
                    }
                }
                _ => prop_assert!(found.is_none()),
            }
        }
    }
}
