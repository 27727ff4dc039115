//! Parts as closed surfaces of triangles.

use super::caps::triangles;
use super::part::{Part, PartKind, Purpose};
use super::shape::{Point, step, turned};

/// A closed surface; lengths in mm. The part stands on z = 0, its front at the top.
#[derive(Clone, Debug, PartialEq)]
pub struct Solid {
    /// That of the part; the halves of a herringbone ring are `ring-lower` and `ring-upper`.
    pub name: String,
    /// How many of it the set needs.
    pub count: u32,
    pub points: Vec<[f64; 3]>,
    /// Corners, counter-clockwise seen from outside.
    pub triangles: Vec<[u32; 3]>,
}

/// Why a surface is no solid.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Flaw {
    /// Lines of the part cross or touch each other.
    Crossing,
    /// So many edges are not shared by exactly two triangles that pass them in opposite
    /// directions.
    Open(usize),
    /// The volume is not above 0.
    InsideOut,
}

/// A closed line of a part on its way up.
struct Wall {
    line: Vec<Point>,
    /// Whether the material lies inside.
    outer: bool,
    /// Whether it turns with the teeth.
    turns: bool,
}

/// A height in mm and the turn of the teeth there in radians.
type Level = (f64, f64);

impl Part {
    /// The part as solids: one, but for a herringbone ring, which comes in two halves,
    /// because it could not be put over its planets in one piece.
    ///
    /// Round lines are told by corners on them, `chord_mm` apart from the line at most; twisted
    /// teeth are told by layers so thin that the same holds between them at the tip circle.
    /// Ends are the section of the part as drawn; the middle of a herringbone wheel is
    /// turned by [`Part::twist`]. Marks are not cut into solids.
    pub fn solids(&self) -> Result<Vec<Solid>, Flaw> {
        let (middle, top) = (self.thickness_mm / 2.0, self.thickness_mm);
        let Some(twist) = self.twist else {
            return Ok(vec![self.solid("", &[(0.0, 0.0), (top, 0.0)])?]);
        };
        let most = step(self.boundary.reach(), self.chord_mm);
        let layers = (twist.abs() / most).ceil().max(1.0) as u32;
        let level = |index: u32| {
            let part = f64::from(index) / f64::from(layers);
            (middle * part, twist * part)
        };
        let lower: Vec<Level> = (0..=layers).map(level).collect();
        let upper: Vec<Level> = lower.iter().rev().map(|&(z, turn)| (top - z, turn)).collect();
        if self.kind == PartKind::Ring {
            return Ok(vec![self.solid("-lower", &lower)?, self.solid("-upper", &upper)?]);
        }
        let levels = [&lower[..], &upper[1..]].concat();
        Ok(vec![self.solid("", &levels)?])
    }

    fn solid(&self, ending: &str, levels: &[Level]) -> Result<Solid, Flaw> {
        let toothed_hole = self.holes.iter().any(|hole| hole.purpose == Purpose::Teeth);
        let boundary = Wall {
            line: self.boundary.polygon(self.chord_mm),
            outer: true,
            turns: self.teeth.is_some() && !toothed_hole,
        };
        let holes = self.holes.iter().map(|hole| Wall {
            line: hole.shape.polygon(self.chord_mm),
            outer: false,
            turns: hole.purpose == Purpose::Teeth,
        });
        let walls: Vec<Wall> = [boundary].into_iter().chain(holes).collect();
        let surface = extruded(&walls, levels).ok_or(Flaw::Crossing)?;
        let name = format!("{}{ending}", self.name());
        Ok(Solid { name, count: self.count, ..surface })
    }
}

/// Walls through all levels and a face at either end; one solid without a name.
fn extruded(walls: &[Wall], levels: &[Level]) -> Option<Solid> {
    let (first, last) = (levels[0], levels[levels.len() - 1]);
    let (mut points, mut faces) = (Vec::new(), Vec::new());
    // The corners of both ends in the order of the walls.
    let [mut bottom, mut top] = [Vec::<u32>::new(), Vec::new()];
    for wall in walls {
        let ends = [first, last];
        let levels = if wall.turns { levels } else { &ends };
        let (start, count) = (points.len() as u32, wall.line.len() as u32);
        for &(z, turn) in levels {
            let at = |&point: &Point| {
                let [x, y] = if wall.turns { turned(point, turn) } else { point };
                [x, y, z]
            };
            points.extend(wall.line.iter().map(at));
        }
        for layer in 0..levels.len() as u32 - 1 {
            for index in 0..count {
                let next = (index + 1) % count;
                let below = start + layer * count;
                let above = below + count;
                let corners = [below + index, below + next, above + next, above + index];
                let [a, b, c, d] = corners;
                let pair = [[a, b, c], [a, c, d]];
                let seen = |[a, b, c]: [u32; 3]| if wall.outer { [a, b, c] } else { [a, c, b] };
                faces.extend(pair.map(seen));
            }
        }
        bottom.extend(start..start + count);
        top.extend(points.len() as u32 - count..points.len() as u32);
    }
    let flat = |turn: f64| -> Vec<Vec<Point>> {
        let line = |wall: &Wall| match wall.turns && turn != 0.0 {
            true => wall.line.iter().map(|&point| turned(point, turn)).collect(),
            false => wall.line.clone(),
        };
        walls.iter().map(line).collect()
    };
    let lower = triangles(&flat(first.1))?;
    let upper = if last.1 == first.1 { lower.clone() } else { triangles(&flat(last.1))? };
    faces.extend(lower.iter().map(|[a, b, c]| [a, c, b].map(|&corner| bottom[corner as usize])));
    faces.extend(upper.iter().map(|corners| corners.map(|corner| top[corner as usize])));
    Some(Solid { name: String::new(), count: 1, points, triangles: faces })
}

impl Solid {
    /// Volume in mm³ by the divergence theorem: the sum of a · (b × c) / 6.
    pub fn volume(&self) -> f64 {
        let part = |corners: &[u32; 3]| {
            let [a, b, c] = corners.map(|corner| self.points[corner as usize]);
            a[0] * (b[1] * c[2] - b[2] * c[1])
                + a[1] * (b[2] * c[0] - b[0] * c[2])
                + a[2] * (b[0] * c[1] - b[1] * c[0])
        };
        self.triangles.iter().map(part).sum::<f64>() / 6.0
    }

    /// The volume in mm³ if the surface is closed: every edge is shared by exactly two
    /// triangles that pass it in opposite directions, and the volume is above 0.
    pub fn check(&self) -> Result<f64, Flaw> {
        let mut edges: Vec<(u32, u32)> = Vec::with_capacity(3 * self.triangles.len());
        for &[a, b, c] in &self.triangles {
            edges.extend([(a, b), (b, c), (c, a)]);
        }
        edges.sort_unstable();
        let doubled = edges.windows(2).filter(|pair| pair[0] == pair[1]).count();
        let alone =
            edges.iter().filter(|(a, b)| a == b || edges.binary_search(&(*b, *a)).is_err()).count();
        if doubled + alone > 0 || edges.is_empty() {
            return Err(Flaw::Open(doubled + alone));
        }
        match self.volume() {
            volume if volume > 0.0 => Ok(volume),
            _ => Err(Flaw::InsideOut),
        }
    }

    /// Whether [`Solid::check`] finds nothing.
    pub fn is_watertight(&self) -> bool {
        self.check().is_ok()
    }
}
