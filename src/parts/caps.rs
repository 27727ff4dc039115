//! A flat face between closed lines, cut into triangles.

use super::shape::Point;
use spade::handles::{FixedFaceHandle, InnerTag, PossiblyOuterTag};
use spade::{ConstrainedDelaunayTriangulation, Point2, Triangulation};

/// Triangles, counter-clockwise, of what lies inside an odd number of `lines`; corners are
/// counted through all lines in order. `None` where lines cross or touch.
///
/// A constrained Delaunay triangulation uses every corner and every edge of the lines, and
/// decides by exact signs; so a face shares all its edges with the walls built on the same
/// corners. Ear clipping would drop corners that happen to lie in line.
pub(super) fn triangles(lines: &[Vec<Point>]) -> Option<Vec<[u32; 3]>> {
    let corners: Vec<Point2<f64>> =
        lines.iter().flatten().map(|&[x, y]| Point2::new(x, y)).collect();
    let mut edges = Vec::with_capacity(corners.len());
    let mut first = 0;
    for line in lines {
        let count = line.len();
        edges.extend((0..count).map(|index| [first + index, first + (index + 1) % count]));
        first += count;
    }
    let (wanted, mut crossed) = (corners.len(), false);
    type Delaunay = ConstrainedDelaunayTriangulation<Point2<f64>>;
    let faces = Delaunay::try_bulk_load_cdt(corners, edges, |_| crossed = true).ok()?;
    // Corners that coincide would have been merged and their numbers moved.
    if crossed || faces.num_vertices() != wanted {
        return None;
    }
    let inside = inside(&faces);
    let corners = |face: FixedFaceHandle<InnerTag>| {
        faces.face(face).vertices().map(|corner| corner.fix().index() as u32)
    };
    Some(faces.fixed_inner_faces().filter(|face| inside[face.index()]).map(corners).collect())
}

/// Of every face, whether an odd number of lines lies between it and the outside.
fn inside(faces: &ConstrainedDelaunayTriangulation<Point2<f64>>) -> Vec<bool> {
    let outer: FixedFaceHandle<PossiblyOuterTag> = faces.outer_face().fix();
    let mut inside: Vec<Option<bool>> = vec![None; faces.num_all_faces()];
    inside[outer.index()] = Some(false);
    let mut waiting = Vec::new();
    // The outer face is a walk along the hull, all others have three edges.
    for edge in faces.convex_hull() {
        let neighbour = edge.rev().face();
        let state = edge.is_constraint_edge();
        if inside[neighbour.fix().index()].is_none() {
            inside[neighbour.fix().index()] = Some(state);
            waiting.extend(neighbour.as_inner());
        }
    }
    while let Some(face) = waiting.pop() {
        let here = inside[face.fix().index()] == Some(true);
        for edge in face.adjacent_edges() {
            let neighbour = edge.rev().face();
            let slot = &mut inside[neighbour.fix().index()];
            if slot.is_none() {
                *slot = Some(here != edge.is_constraint_edge());
                waiting.extend(neighbour.as_inner());
            }
        }
    }
    inside.into_iter().map(|state| state == Some(true)).collect()
}

#[cfg(test)]
mod tests {
    use super::super::shape::area;
    use super::*;

    /// A square with corners in line on its sides, and a square hole: every corner is used,
    /// the areas add up, nothing lies in the hole.
    #[test]
    fn corners_in_line_are_kept() {
        let square = |half: f64, pieces: i32| -> Vec<Point> {
            let side = |index: i32| f64::from(index) * 2.0 * half / f64::from(pieces) - half;
            let mut line = Vec::new();
            line.extend((0..pieces).map(|index| [side(index), -half]));
            line.extend((0..pieces).map(|index| [half, side(index)]));
            line.extend((0..pieces).map(|index| [-side(index), half]));
            line.extend((0..pieces).map(|index| [-half, -side(index)]));
            line
        };
        let lines = [square(4.0, 8), square(1.0, 2)];
        let corners = lines.concat();
        let found = triangles(&lines).unwrap();
        // Euler: corners − 2 + 2 for each hole.
        assert_eq!(found.len(), corners.len());
        let areas = found.iter().map(|face| area(&face.map(|corner| corners[corner as usize])));
        let areas: Vec<f64> = areas.collect();
        assert!(areas.iter().all(|&area| area > 0.0), "{areas:?}");
        assert!((areas.iter().sum::<f64>() - 60.0).abs() < 1e-12);
    }

    #[test]
    fn lines_that_cross_have_no_face() {
        let bow = vec![[0.0, 0.0], [1.0, 1.0], [1.0, 0.0], [0.0, 1.0]];
        assert_eq!(triangles(&[bow]), None);
        let square = vec![[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]];
        let twice = vec![[0.0, 0.0], [1.0, 0.0], [1.0, 0.0], [0.0, 1.0]];
        assert_eq!(triangles(&[twice]), None);
        assert_eq!(triangles(&[square.clone(), square]), None);
    }
}
