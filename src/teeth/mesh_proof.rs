//! Proof that placed wheels mesh: their polygons are turned through a pitch and laid over
//! each other.
//!
//! Lengths are in modules. Only the shapes and poses of [`PlacedSet`] are used, no gear
//! formula, so what this finds is independent of how they were made.

use i_overlay::core::{fill_rule::FillRule, overlay_rule::OverlayRule};
use i_overlay::float::single::SingleFloatOverlay;
use std::f64::consts::TAU;

use super::flank::{Point, distance, distance_to_segment, polar};
use super::outline::{Outline, Side};
use super::placing::{Mesh, PlacedSet, Pose, Poses};

/// What turning one mesh of a set through a full pitch has found; lengths in modules.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeshProof {
    pub mesh: Mesh,
    /// Least distance between the two wheels, 0 where they overlap.
    pub clearance: f64,
    /// Largest depth of a point of one wheel inside the other, measured to the nearest
    /// point of its outline.
    pub depth: f64,
    /// Largest area of overlap in square modules.
    pub area: f64,
    /// Least circular backlash: how far the reference pitch circle of the first wheel can
    /// be turned from contact to contact, the second held. 0 where the wheels overlap by
    /// more than [`TOUCH`] as they stand.
    pub backlash: f64,
}

/// Overlap below this area in square modules counts as touching. Where curvature radii of
/// 3 modules and more meet it is 0.0001 modules deep (area ⅔ ℓ d with ℓ = 2 √(2 ρ d)).
pub const TOUCH: f64 = 3e-6;

/// Positions in which the backlash is measured, spread over those of the proof: each takes
/// as long as thirty others.
const BACKLASHES: usize = 2;

/// Turns `set` through a full pitch in `positions` steps, the carrier moving too, and
/// judges each mesh. Position k looks at planet k modulo N, so every planet is judged
/// where there are many more positions than planets. Only meshes are judged, no planet
/// against its neighbour.
///
/// All teeth that can touch are laid over each other, not only those in contact, so
/// interference away from the line of action is found too. Exact for the polygons, which
/// lie within [`super::Finish::chord`] of the curves: ask for fine ones (0.0001) where the
/// answer shall be close. i_overlay works on a grid of the wheels' size / 2³⁰.
pub fn mesh_proof(set: &PlacedSet, positions: usize) -> Vec<MeshProof> {
    set.meshes().into_iter().map(|mesh| prove(set, mesh, positions)).collect()
}

fn prove(set: &PlacedSet, mesh: Mesh, positions: usize) -> MeshProof {
    let [clearance, backlash] = [f64::INFINITY; 2];
    let mut proof = MeshProof { mesh, clearance, depth: 0.0, area: 0.0, backlash };
    let every = positions.div_ceil(BACKLASHES).max(1);
    for position in 0..positions {
        // The carrier's step is no part of a pitch, so that poses are of every kind.
        let carrier = 0.37 * position as f64;
        let step = set.sun.pitch_angle() * position as f64 / positions as f64;
        let poses = set.turned(carrier + step, carrier);
        let pair = Pair::of(set, &poses, mesh, position % poses.planets.len());
        let (first, second) = pair.polygons(0.0);
        let overlap = overlap(&first, &second);
        proof.area = proof.area.max(area(&overlap));
        proof.depth = proof.depth.max(depth(&overlap, &first, &second));
        proof.clearance = match overlap.is_empty() {
            true => proof.clearance.min(gap(&first, &second)),
            false => 0.0,
        };
        if position % every == 0 {
            proof.backlash = proof.backlash.min(pair.backlash());
        }
    }
    proof
}

/// Two wheels in mesh; the first is external.
struct Pair<'a> {
    first: (&'a Outline, Pose),
    second: (&'a Outline, Pose),
    /// Angle from the first wheel's axis to the middle of the mesh, and half the angle in
    /// which it can meet the other wheel; the same of the second wheel.
    reach: [(f64, f64); 2],
}

impl<'a> Pair<'a> {
    fn of(set: &'a PlacedSet, poses: &Poses, mesh: Mesh, planet: usize) -> Self {
        let inner = (&set.planet, poses.planets[planet]);
        let outer = set.outer_planet.as_ref().zip(poses.outer_planets.get(planet).copied());
        let (first, second) = match mesh {
            Mesh::SunPlanet => ((&set.sun, poses.sun), inner),
            Mesh::PlanetPlanet => (inner, outer.unwrap_or(inner)),
            Mesh::PlanetRing => (outer.unwrap_or(inner), (&set.ring, poses.ring)),
        };
        let ([x1, y1], [x2, y2]) = (first.1.centre, second.1.centre);
        let away = (x2 - x1).hypot(y2 - y1);
        let towards = (y2 - y1).atan2(x2 - x1);
        let (r1, r2) = (first.0.tip, second.0.tip);
        // Where the tip circles cross, seen from either axis.
        let cosine =
            |near: f64, far: f64| (near * near + away * away - far * far) / (2.0 * away * near);
        let one = cosine(r1, r2).clamp(-1.0, 1.0).acos();
        let two = cosine(r2, r1).clamp(-1.0, 1.0).acos();
        let reach = match second.0.side {
            Side::External => [(towards, one), (towards + TAU / 2.0, two)],
            Side::Internal => [(towards + TAU / 2.0, TAU / 2.0 - one), (towards + TAU / 2.0, two)],
        };
        Self { first, second, reach }
    }

    /// The polygons of the teeth that can touch, the first wheel turned by `extra`.
    fn polygons(&self, extra: f64) -> (Vec<Point>, Vec<Point>) {
        let moved = Pose { turn: self.first.1.turn + extra, ..self.first.1 };
        let one = sector(self.first.0, moved, self.reach[0]);
        (one, sector(self.second.0, self.second.1, self.reach[1]))
    }

    /// How far the first wheel's pitch circle can be turned between overlaps.
    fn backlash(&self) -> f64 {
        let (_, second) = self.polygons(0.0);
        let free = |extra: f64| area(&overlap(&self.polygons(extra).0, &second)) <= TOUCH;
        if !free(0.0) {
            return 0.0;
        }
        // A quarter of a pitch either way is more than any gap leaves.
        let most = self.first.0.pitch_angle() / 4.0;
        let (ahead, behind) = (contact(most, free), contact(-most, free));
        (ahead - behind) * self.first.0.pitch
    }
}

/// The angle from 0 towards `most` at which `free` ends, to a 16,000th of `most`.
fn contact(most: f64, free: impl Fn(f64) -> bool) -> f64 {
    let (mut clear, mut foul) = (0.0, most);
    for _ in 0..14 {
        let middle = (clear + foul) / 2.0;
        *(if free(middle) { &mut clear } else { &mut foul }) = middle;
    }
    (clear + foul) / 2.0
}

/// The teeth of a wheel within the angle `half` of the direction `middle`, as a polygon
/// closed through the wheel's material.
fn sector(outline: &Outline, pose: Pose, (middle, half): (f64, f64)) -> Vec<Point> {
    let pitch = outline.pitch_angle();
    let centre = ((middle - pose.turn) / pitch).round() as i64;
    let most = i64::from(outline.teeth - 1) / 2;
    // The middle tooth is at most half a pitch off, and as wide as that itself.
    let beside = ((half / pitch).ceil() as i64).min(most);
    let mut points = Vec::new();
    let range = centre - beside..=centre + beside;
    for index in range.clone() {
        outline.tooth(index, pose.turn, |point| points.push(point));
    }
    match outline.side {
        Side::External => points.push([0.0, 0.0]),
        Side::Internal => {
            let wall = (outline.root + 1.0) / (pitch / 2.0).cos();
            let angle = |index: i64| pose.turn + pitch * index as f64;
            points.extend(range.rev().map(|index| polar(wall, angle(index))));
        }
    }
    for point in &mut points {
        point[0] += pose.centre[0];
        point[1] += pose.centre[1];
    }
    points
}

/// The contours of what two polygons share.
fn overlap(one: &Vec<Point>, two: &Vec<Point>) -> Vec<Vec<Point>> {
    one.overlay(two, OverlayRule::Intersect, FillRule::NonZero).concat()
}

/// Sum of the contours' areas; a hole counts negative, being wound the other way.
fn area(contours: &[Vec<Point>]) -> f64 {
    let doubled = |contour: &Vec<Point>| -> f64 {
        edges(contour).map(|(a, b)| a[0] * b[1] - a[1] * b[0]).sum()
    };
    (contours.iter().map(doubled).sum::<f64>() / 2.0).abs()
}

fn edges(contour: &[Point]) -> impl Iterator<Item = (Point, Point)> + '_ {
    contour.iter().copied().zip(contour.iter().copied().cycle().skip(1))
}

/// How deep the overlap is: its corners lie on one outline, and this far from the other.
fn depth(overlap: &[Vec<Point>], one: &[Point], two: &[Point]) -> f64 {
    let off = |point: Point, polygon: &[Point]| {
        edges(polygon).map(|(a, b)| distance_to_segment(point, a, b)).fold(f64::INFINITY, f64::min)
    };
    let inside = |&point: &Point| off(point, one).max(off(point, two));
    overlap.iter().flatten().map(inside).fold(0.0, f64::max)
}

/// Least distance between two polygons that do not overlap: from a corner of one to an
/// edge of the other. Pieces of sixteen edges that are too far off are left out by their
/// bounding circles.
fn gap(one: &[Point], two: &[Point]) -> f64 {
    const PIECE: usize = 16;
    let pieces = |polygon: &[Point]| -> Vec<(Point, f64, Vec<Point>)> {
        let ends = (0..polygon.len()).step_by(PIECE);
        let corners = |start: usize| {
            let end = (start + PIECE + 1).min(polygon.len() + 1);
            (start..end).map(|index| polygon[index % polygon.len()]).collect::<Vec<_>>()
        };
        let bounded = |points: Vec<Point>| {
            let middle = points[points.len() / 2];
            let radius = points.iter().map(|&p| distance(p, middle)).fold(0.0, f64::max);
            (middle, radius, points)
        };
        ends.map(|start| bounded(corners(start))).collect()
    };
    let (one, two) = (pieces(one), pieces(two));
    let mut least = f64::INFINITY;
    for (middle, radius, points) in &one {
        for (other_middle, other_radius, others) in &two {
            if distance(*middle, *other_middle) - radius - other_radius < least {
                least = least.min(corners_to_edges(points, others));
                least = least.min(corners_to_edges(others, points));
            }
        }
    }
    least
}

fn corners_to_edges(corners: &[Point], line: &[Point]) -> f64 {
    let mut least = f64::INFINITY;
    for &corner in corners {
        for edge in line.windows(2) {
            least = least.min(distance_to_segment(corner, edge[0], edge[1]));
        }
    }
    least
}
