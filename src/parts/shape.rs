//! Closed shapes in the plane, in mm, and what is needed to make and to measure them.

use i_overlay::core::{fill_rule::FillRule, overlay_rule::OverlayRule};
use i_overlay::float::single::SingleFloatOverlay;
use std::f64::consts::TAU;

/// A point in the plane of a part, in mm.
pub(super) type Point = [f64; 2];

/// A closed line.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    Circle {
        centre: [f64; 2],
        diameter_mm: f64,
    },
    /// Counter-clockwise, without a repeated last point.
    Polygon(Vec<[f64; 2]>),
}

impl Shape {
    /// The shape as a polygon, counter-clockwise. A circle's corners lie on the circle, its
    /// edges at most `chord_mm` inside.
    pub fn polygon(&self, chord_mm: f64) -> Vec<[f64; 2]> {
        match self {
            Self::Circle { centre, diameter_mm } => round(*centre, diameter_mm / 2.0, chord_mm),
            Self::Polygon(points) => points.clone(),
        }
    }

    /// Area in mm².
    pub fn area(&self) -> f64 {
        match self {
            Self::Circle { diameter_mm, .. } => TAU / 8.0 * diameter_mm * diameter_mm,
            Self::Polygon(points) => area(points),
        }
    }

    /// Largest distance of a point of the shape from the part's origin, in mm.
    pub fn reach(&self) -> f64 {
        match self {
            Self::Circle { centre, diameter_mm } => centre[0].hypot(centre[1]) + diameter_mm / 2.0,
            Self::Polygon(points) => {
                points.iter().map(|point| point[0].hypot(point[1])).fold(0.0, f64::max)
            }
        }
    }
}

/// The point at `radius` and `angle`.
pub(super) fn polar(radius: f64, angle: f64) -> Point {
    [radius * angle.cos(), radius * angle.sin()]
}

/// `point` turned about the origin.
pub(super) fn turned([x, y]: Point, angle: f64) -> Point {
    let (sin, cos) = angle.sin_cos();
    [x * cos - y * sin, x * sin + y * cos]
}

/// Signed area of a polygon: positive where it is counter-clockwise.
pub(super) fn area(points: &[Point]) -> f64 {
    let next = points.iter().cycle().skip(1);
    points.iter().zip(next).map(|(a, b)| a[0] * b[1] - b[0] * a[1]).sum::<f64>() / 2.0
}

/// The angle whose chord on a circle of `radius` is `chord` off the arc: 1 − cos(δ / 2) =
/// chord / radius; a sixth of a turn at most. A chord below 1e-5 mm counts as that.
pub(super) fn step(radius: f64, chord: f64) -> f64 {
    (2.0 * (1.0 - chord.max(1e-5) / radius).max(0.5).acos()).min(TAU / 6.0)
}

/// A regular polygon in a circle, within `chord` of it. Its number of corners is a multiple
/// of four, so that the circle's extremes are corners.
pub(super) fn round(centre: Point, radius: f64, chord: f64) -> Vec<Point> {
    let corners = 4 * (TAU / step(radius, chord) / 4.0).ceil().max(2.0) as usize;
    let corner = |index: usize| {
        let [x, y] = polar(radius, TAU * index as f64 / corners as f64);
        [centre[0] + x, centre[1] + y]
    };
    (0..corners).map(corner).collect()
}

/// A hexagon of `flats` across flats about the origin; two corners on the x axis.
pub(super) fn hexagon(flats: f64) -> Vec<Point> {
    let corner = flats / 3.0_f64.sqrt();
    (0..6).map(|index| polar(corner, TAU * f64::from(index) / 6.0)).collect()
}

/// The set of points within `half` of the straight line from the origin to `end`, ends
/// rounded, within `chord`.
pub(super) fn arm(end: Point, half: f64, chord: f64) -> Vec<Point> {
    let (length, angle) = (end[0].hypot(end[1]), end[1].atan2(end[0]));
    let quarter = TAU / 4.0;
    let pieces = (TAU / 2.0 / step(half, chord)).ceil().max(4.0) as usize;
    let part = |index: usize| TAU / 2.0 * index as f64 / pieces as f64;
    let near = (0..=pieces).map(|index| polar(half, quarter + part(index)));
    let far = (0..=pieces).map(|index| {
        let [x, y] = polar(half, part(index) - quarter);
        [x + length, y]
    });
    near.chain(far).map(|point| turned(point, angle)).collect()
}

/// The outer line round shapes that all hold the origin. i_overlay works on a grid of the
/// size / 2³⁰, so corners move by less than 1e-6 mm in parts below a metre.
pub(super) fn union(shapes: Vec<Vec<Point>>) -> Vec<Point> {
    let none: Vec<Vec<Point>> = Vec::new();
    let joined = shapes.overlay(&none, OverlayRule::Subject, FillRule::NonZero);
    let outer = joined.into_iter().filter_map(|shape| shape.into_iter().next());
    let mut outline =
        outer.max_by(|a, b| area(a).abs().total_cmp(&area(b).abs())).unwrap_or_default();
    if area(&outline) < 0.0 {
        outline.reverse();
    }
    spaced(outline)
}

/// Points nearer than this to the one before are left out, in mm: far below any tolerance,
/// above what a float of 32 bits resolves at the size of a gear.
const NEAREST: f64 = 2e-5;

/// The polygon without points that (nearly) coincide with the one before.
pub(super) fn spaced(mut points: Vec<Point>) -> Vec<Point> {
    let near = |a: Point, b: Point| (a[0] - b[0]).hypot(a[1] - b[1]) < NEAREST;
    points.dedup_by(|next, kept| near(*next, *kept));
    while points.len() > 3 && near(points[0], points[points.len() - 1]) {
        points.pop();
    }
    points
}
