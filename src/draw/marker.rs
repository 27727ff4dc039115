//! Marks: one shape a class, so that a class is known without its colour.

use super::canvas::Canvas;
use super::palette::Ink;
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
    let (x, y) = at;
    // Areas, not radii, are alike: no shape shall look weightier than another.
    let corners = |list: &[(f64, f64)]| -> Vec<(f64, f64)> {
        list.iter().map(|(dx, dy)| (x + dx * radius, y + dy * radius)).collect()
    };
    let shape = match class {
        Some(0) => return canvas.circle(at, radius, ink, opacity),
        Some(1) => corners(&[(-0.89, -0.89), (0.89, -0.89), (0.89, 0.89), (-0.89, 0.89)]),
        Some(2) => corners(&[(0.0, -1.4), (1.25, 0.85), (-1.25, 0.85)]),
        Some(_) => corners(&[(0.0, -1.35), (1.2, 0.0), (0.0, 1.35), (-1.2, 0.0)]),
        None => corners(&[(-1.2, -0.45), (1.2, -0.45), (1.2, 0.45), (-1.2, 0.45)]),
    };
    canvas.polygon(&shape, ink, opacity)
}
