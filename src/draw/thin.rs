//! Fewer marks where many would lie on one another: the same ones every time.

use rustc_hash::FxHashSet;

use super::marker::Class;

/// Indices of at most `most` of the points, rising. The picture is cut into cells and only
/// the first point of a class in a cell is kept. Cells are a pixel wide at first, for marks
/// on one spot say nothing more than one does, and grow until the number fits. So what is
/// left out lies on or close to a drawn mark of its own class.
pub(super) fn thinned(points: &[((f64, f64), Class)], most: usize) -> Vec<usize> {
    thinned_from(points, most, 1.0)
}

/// The same with cells that are `cell` pixels wide at first, for small marks.
pub(super) fn thinned_from(
    points: &[((f64, f64), Class)],
    most: usize,
    mut cell: f64,
) -> Vec<usize> {
    loop {
        let mut seen = FxHashSet::default();
        let first = |index: &usize| {
            let ((x, y), class) = points[*index];
            seen.insert(((x / cell) as i64, (y / cell) as i64, class))
        };
        // One too many is enough to know that cells must grow.
        let kept: Vec<usize> = (0..points.len()).filter(first).take(most + 1).collect();
        if kept.len() <= most {
            return kept;
        }
        cell *= 1.25;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_left_out_lies_near_what_is_drawn() {
        let points: Vec<_> = (0..20_000u32)
            .map(|k| {
                let (x, y) = (k * 7919 % 1000, k * 104_729 % 600);
                ((f64::from(x), f64::from(y)), Some((k % 3) as usize))
            })
            .collect();
        let kept = thinned(&points, 1500);
        assert!(kept.len() > 300 && kept.len() <= 1500, "{}", kept.len());
        for ((x, y), class) in &points {
            let near = kept.iter().any(|&index| {
                let ((u, v), other) = points[index];
                other == *class && (u - x).abs().max((v - y).abs()) < 60.0
            });
            assert!(near);
        }
    }

    #[test]
    fn one_mark_a_spot_and_class() {
        let points =
            [((1.0, 1.0), None), ((1.0, 1.0), None), ((1.0, 1.0), Some(0)), ((9.0, 1.0), None)];
        assert_eq!(thinned(&points, 10), [0, 2, 3]);
    }
}
