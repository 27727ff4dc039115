//! Dominance and the Pareto front. Knows only numbers, lower being better.

/// Whether `a` is no worse than `b` everywhere and better somewhere.
pub fn beats(a: &[f64], b: &[f64]) -> bool {
    let no_worse = a.iter().zip(b).all(|(a, b)| a <= b);
    no_worse && a.iter().zip(b).any(|(a, b)| a < b)
}

/// Indices, rising, of the points that no other beats; equal points all stay.
///
/// Points are visited in order of their coordinates, where only an earlier one can beat a
/// later: H. T. Kung, F. Luccio, F. P. Preparata, J. ACM 22 (1975), 469–476, in its plain
/// form, O(points × front).
pub fn pareto(points: &[Vec<f64>]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..points.len()).collect();
    let by_coordinates = |a: &usize, b: &usize| {
        let pairs = points[*a].iter().zip(&points[*b]);
        pairs.map(|(a, b)| a.total_cmp(b)).find(|o| o.is_ne()).unwrap_or(a.cmp(b))
    };
    order.sort_by(by_coordinates);
    let mut front: Vec<usize> = Vec::new();
    for index in order {
        if front.iter().all(|&other| !beats(&points[other], &points[index])) {
            front.push(index);
        }
    }
    front.sort_unstable();
    front
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn the_front_is_what_nobody_beats(
            points in proptest::collection::vec(proptest::collection::vec(0u8..6, 3), 0..40)
        ) {
            let points: Vec<Vec<f64>> = points
                .iter()
                .map(|point| point.iter().map(|&x| f64::from(x)).collect())
                .collect();
            let plain: Vec<usize> = (0..points.len())
                .filter(|&i| points.iter().all(|other| !beats(other, &points[i])))
                .collect();
            prop_assert_eq!(pareto(&points), plain);
        }

        #[test]
        fn taking_away_a_beaten_point_changes_no_front(
            points in proptest::collection::vec(proptest::collection::vec(0u8..6, 2), 1..30),
            pick in any::<prop::sample::Index>(),
        ) {
            let mut points: Vec<Vec<f64>> = points
                .iter()
                .map(|point| point.iter().map(|&x| f64::from(x)).collect())
                .collect();
            let picked = pick.index(points.len());
            let before: Vec<Vec<f64>> = pareto(&points).iter().map(|&i| points[i].clone()).collect();
            if points.iter().any(|other| beats(other, &points[picked])) {
                points.remove(picked);
                let after: Vec<Vec<f64>> = pareto(&points).iter().map(|&i| points[i].clone()).collect();
                prop_assert_eq!(before, after);
            }
        }
    }
}
