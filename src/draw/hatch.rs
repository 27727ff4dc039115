//! Hatching: lines at 45° over an area with holes, for what is cut and for what is stressed.

use super::scene::{Point, Scene, Stroke};
use std::f64::consts::FRAC_1_SQRT_2;

/// Hatches the area of `rings` (a point is inside where an odd number of them goes round
/// it) with lines `apart` pixels from each other; from lower left to upper right, or the
/// other way where `back` is set.
pub(super) fn hatch(
    scene: &mut Scene,
    rings: &[Vec<Point>],
    apart: f64,
    back: bool,
    stroke: Stroke,
) {
    let side = if back { -1.0 } else { 1.0 };
    // u along the lines, v across them.
    let to = |(x, y): Point| ((x - side * y) * FRAC_1_SQRT_2, (side * x + y) * FRAC_1_SQRT_2);
    let from = |u: f64, v: f64| ((u + side * v) * FRAC_1_SQRT_2, (v - side * u) * FRAC_1_SQRT_2);
    let turned: Vec<Vec<Point>> =
        rings.iter().map(|ring| ring.iter().map(|&point| to(point)).collect()).collect();
    let across = turned.iter().flatten().map(|point| point.1);
    let (low, high) = across.fold((f64::MAX, f64::MIN), |(a, b), v| (a.min(v), b.max(v)));
    let (first, last) = ((low / apart).ceil() as i64, (high / apart).floor() as i64);
    for number in first..=last {
        // Off the corners of what stands on a grid.
        let v = (number as f64 + 0.013) * apart;
        let mut cuts: Vec<f64> = turned.iter().flat_map(|ring| crossings(ring, v)).collect();
        cuts.sort_by(f64::total_cmp);
        for pair in cuts.chunks_exact(2) {
            scene.line(&[from(pair[0], v), from(pair[1], v)], stroke);
        }
    }
}

/// Where the closed line `ring` crosses the height `v`.
fn crossings(ring: &[Point], v: f64) -> Vec<f64> {
    let next = ring.iter().cycle().skip(1);
    let crosses = |(&(u1, v1), &(u2, v2)): (&Point, &Point)| {
        ((v1 <= v) != (v2 <= v)).then(|| u1 + (v - v1) / (v2 - v1) * (u2 - u1))
    };
    ring.iter().zip(next).filter_map(crosses).collect()
}

/// The corners of a box: left, top, right, bottom.
pub(super) fn corners([left, top, right, bottom]: [f64; 4]) -> Vec<Point> {
    vec![(left, top), (right, top), (right, bottom), (left, bottom)]
}
