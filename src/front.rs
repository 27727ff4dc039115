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

/// Indices of `count` of the points that cover them evenly: the best in each coordinate, then
/// always the one that is farthest from those chosen, in parts of each coordinate's range
/// (T. F. Gonzalez, Theoretical Computer Science 38 (1985), 293–306). All where there are no more.
pub fn covering(points: &[Vec<f64>], count: usize) -> Vec<usize> {
    if points.len() <= count {
        return (0..points.len()).collect();
    }
    let ranges = ranges(points);
    let mut chosen: Vec<usize> = Vec::new();
    for (k, _) in ranges.iter().enumerate().filter(|(_, range)| **range > 0.0) {
        let ends = (0..points.len()).min_by(|&a, &b| points[a][k].total_cmp(&points[b][k]));
        chosen.extend(ends.filter(|end| !chosen.contains(end)));
    }
    chosen.truncate(count);
    if chosen.is_empty() {
        chosen.push(0);
    }
    let mut distances = vec![f64::INFINITY; points.len()];
    let mut last = 0;
    while chosen.len() < count {
        for &index in &chosen[last..] {
            for (distance, point) in distances.iter_mut().zip(points) {
                *distance = distance.min(apart(point, &points[index], &ranges));
            }
        }
        last = chosen.len();
        let farthest = (0..points.len())
            .max_by(|&a, &b| distances[a].total_cmp(&distances[b]).then(b.cmp(&a)));
        let Some(farthest) = farthest.filter(|&one| distances[one] > 0.0) else { break };
        chosen.push(farthest);
    }
    chosen
}

/// The width of each coordinate over all points that are finite in it.
fn ranges(points: &[Vec<f64>]) -> Vec<f64> {
    let range = |k: usize| {
        let finite = || points.iter().map(|point| point[k]).filter(|x| x.is_finite());
        finite().fold(f64::NEG_INFINITY, f64::max) - finite().fold(f64::INFINITY, f64::min)
    };
    (0..points.first().map_or(0, Vec::len)).map(range).collect()
}

/// The largest difference in a coordinate, in parts of that coordinate's range (Chebyshev's
/// distance); what is infinite, or the same everywhere, tells nothing.
fn apart(a: &[f64], b: &[f64], ranges: &[f64]) -> f64 {
    let parts = a.iter().zip(b).zip(ranges).filter(|(_, range)| **range > 0.0);
    let parts = parts.map(|((a, b), range)| (a - b).abs() / range);
    parts.filter(|part| part.is_finite()).fold(0.0, f64::max)
}

/// For each point, how far the nearest of the first `front` points is: the largest
/// difference in a coordinate, in parts of that coordinate's range over all points
/// (Chebyshev's distance). A coordinate that is infinite or the same everywhere tells nothing.
pub fn distances_to_first(points: &[Vec<f64>], front: usize) -> Vec<f64> {
    let ranges = ranges(points);
    let nearest = |point: &Vec<f64>| {
        let distances = points[..front].iter().map(|other| apart(point, other, &ranges));
        distances.fold(f64::INFINITY, f64::min)
    };
    points.iter().map(nearest).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn distances_are_in_parts_of_the_range() {
        let points = [[0.0, 4.0, 1.0], [10.0, 0.0, 1.0], [5.0, 4.0, 1.0], [9.0, 1.0, 1.0]];
        let points = points.map(|point| point.to_vec());
        assert_eq!(distances_to_first(&points, 2), [0.0, 0.0, 0.5, 0.25]);
        assert_eq!(distances_to_first(&[], 0), [0.0; 0]);
        let open = [vec![0.0, 1.0], vec![f64::INFINITY, 2.0]];
        assert_eq!(distances_to_first(&open, 1), [0.0, 1.0]);
    }

    #[test]
    fn those_shown_are_the_ends_and_what_lies_between_them() {
        let points: Vec<Vec<f64>> =
            (0..101).map(|k| vec![f64::from(k), f64::from(100 - k), 7.0]).collect();
        let mut shown = covering(&points, 5);
        shown.sort_unstable();
        assert_eq!(shown, [0, 25, 50, 75, 100]);
        assert_eq!(covering(&points[..3], 5), [0, 1, 2]);
        assert_eq!(covering(&points, 1).len(), 1);
        assert_eq!(covering(&vec![vec![1.0]; 4], 2), [0]);
    }

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
