//! Marks: one shape a class, so that a class is known without its colour.

use super::canvas::Canvas;
use super::palette::Ink;
use super::scene::Point;
use crate::error::Error;

/// The class of a mark; `None` where it has none.
pub(super) type Class = Option<usize>;

pub(super) fn ink(class: Class) -> Ink {
    class.map_or(Ink::Unclassed, Ink::Class)
}

/// Draws the mark of a class: disc, square, triangle, diamond; a cross bar without a class.
pub(super) fn mark(
    canvas: &Canvas,
    class: Class,
    at: (f64, f64),
    radius: f64,
    ink: Ink,
    opacity: f64,
) -> Result<(), Error> {
    match corners(class, at, radius) {
        Some(shape) => canvas.polygon(&shape, ink, opacity),
        None => canvas.circle(at, radius, ink, opacity),
    }
}

/// The corners of the mark of a class; `None` for the disc.
pub(super) fn corners(class: Class, (x, y): Point, radius: f64) -> Option<Vec<Point>> {
    // Areas, not radii, are alike: no shape shall look weightier than another.
    let shape: &[Point] = match class {
        Some(0) => return None,
        Some(1) => &[(-0.89, -0.89), (0.89, -0.89), (0.89, 0.89), (-0.89, 0.89)],
        Some(2) => &[(0.0, -1.4), (1.25, 0.85), (-1.25, 0.85)],
        Some(_) => &[(0.0, -1.35), (1.2, 0.0), (0.0, 1.35), (-1.2, 0.0)],
        None => &[(-1.2, -0.45), (1.2, -0.45), (1.2, 0.45), (-1.2, 0.45)],
    };
    Some(shape.iter().map(|(dx, dy)| (x + dx * radius, y + dy * radius)).collect())
}
