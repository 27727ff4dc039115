//! Sun, planets and ring as parts.

use super::making::{Bolts, Bore, Making, Seat};
use super::misfit::{Dimension, Misfit, Trouble};
use super::part::{Hole, Mark, Marked, Part, PartKind, Purpose, ToothData};
use super::shape::{Point, Shape, arm, polar, round, spaced, union};
use crate::teeth::{Outline, PlacedSet};
use std::f64::consts::TAU;

/// The least material that a wheel keeps inside or outside its root circle, in modules.
const RIM: f64 = 1.0;

/// The sun, marked at tooth 0 and in the gaps where the planets' marked teeth go.
pub(super) fn sun(
    set: &PlacedSet,
    making: &Making,
    gaps: &[u32],
    faults: &mut Vec<Misfit>,
) -> Part {
    let bore = (Dimension::SunBore, Purpose::Bore, making.sun_bore);
    let mut part = external((PartKind::Sun, 1), (&set.sun, set.shifts.sun), making, bore, faults);
    let m = making.module_mm;
    for &gap in gaps {
        let angle = set.sun.pitch_angle() * (f64::from(gap) + 0.5);
        let [from, to] = [0.15, 0.6].map(|depth| polar((set.sun.root - depth) * m, angle));
        part.marks.push(Mark { shows: Marked::Gap(gap), from, to });
    }
    part
}

/// The planets: one kind, or two in a paired set.
pub(super) fn planets(set: &PlacedSet, making: &Making, faults: &mut Vec<Misfit>) -> Vec<Part> {
    let count = set.angles.len() as u32;
    let pin = || (Dimension::Pin, Purpose::Pin, Bore::Round { diameter_mm: making.pin_mm });
    let shift = set.shifts.planet;
    let planet = (PartKind::Planet, count);
    let mut parts = vec![external(planet, (&set.planet, shift), making, pin(), faults)];
    if let Some(outer) = &set.outer_planet {
        let planet = (PartKind::OuterPlanet, count);
        parts.push(external(planet, (outer, shift), making, pin(), faults));
    }
    parts
}

/// An external wheel with a hole in the middle.
fn external(
    (kind, count): (PartKind, u32),
    (outline, shift): (&Outline, f64),
    making: &Making,
    (dimension, purpose, bore): (Dimension, Purpose, Bore),
    faults: &mut Vec<Misfit>,
) -> Part {
    let m = making.module_mm;
    let rim = outline.root * m - bore.reach(making.hole_allowance_mm);
    if rim < RIM * m {
        let by = RIM * m - rim;
        faults.push(Misfit { dimension, part: Some(kind), trouble: Trouble::ThinRim, by });
    }
    Part {
        kind,
        count,
        thickness_mm: making.width_mm,
        boundary: Shape::Polygon(spaced(outline.closed(m, 0.0))),
        holes: vec![Hole { purpose, shape: bore.shape(making.hole_allowance_mm) }],
        marks: vec![Mark {
            shows: Marked::Tooth,
            from: [outline.root * m, 0.0],
            to: [outline.pitch.min((outline.root + outline.tip) / 2.0) * m, 0.0],
        }],
        teeth: Some(tooth_data(outline, shift, m)),
        twist: twist(kind == PartKind::Planet, outline, making),
        chord_mm: making.chord_mm,
    }
}

/// The ring, with its teeth as a hole, and bolts in its wall or in lugs.
pub(super) fn ring(set: &PlacedSet, making: &Making, faults: &mut Vec<Misfit>) -> Part {
    let (m, outline) = (making.module_mm, &set.ring);
    let wall = Misfit {
        dimension: Dimension::RingWall,
        part: Some(PartKind::Ring),
        trouble: Trouble::ThinRim,
        by: RIM * m - making.ring_wall_mm,
    };
    faults.extend(Some(wall).filter(|wall| wall.by > 0.0));
    let teeth = Shape::Polygon(spaced(outline.closed(m, 0.0)));
    let mut holes = vec![Hole { purpose: Purpose::Teeth, shape: teeth }];
    let body = outline.root * m + making.ring_wall_mm;
    let mut boundary = Shape::Circle { centre: [0.0, 0.0], diameter_mm: 2.0 * body };
    if let Some(bolts) = &making.bolts {
        let circle = BoltCircle::new(set, making, bolts);
        circle.judge(bolts, making, faults);
        let diameter_mm = 2.0 * circle.hole;
        let bolt = |&centre: &Point| Shape::Circle { centre, diameter_mm };
        let places = circle.places(bolts.count);
        holes.extend(places.iter().map(|at| Hole { purpose: Purpose::Bolt, shape: bolt(at) }));
        let lug = circle.hole + making.edge_mm;
        if bolts.seat == Seat::Lugs && circle.radius + lug > body {
            let lugs = places.iter().map(|&place| arm(place, lug, making.chord_mm));
            let disc = round([0.0, 0.0], body, making.chord_mm);
            boundary = Shape::Polygon(union(lugs.chain([disc]).collect()));
        }
    }
    let end = outline.root * m + 0.25 * making.ring_wall_mm;
    Part {
        kind: PartKind::Ring,
        count: 1,
        thickness_mm: making.width_mm,
        boundary,
        holes,
        marks: vec![Mark {
            shows: Marked::Tooth,
            from: [outline.pitch.max((outline.root + outline.tip) / 2.0) * m, 0.0],
            to: [end, 0.0],
        }],
        teeth: Some(tooth_data(outline, set.shifts.ring, m)),
        twist: twist(set.outer_planet.is_none(), outline, making),
        chord_mm: making.chord_mm,
    }
}

/// Where the bolts of the ring are, in mm.
pub(super) struct BoltCircle {
    pub radius: f64,
    /// Radius of a hole as it is cut.
    pub hole: f64,
}

impl BoltCircle {
    /// In the middle of the wall; of lugs, as far out as the edge round the hole asks.
    pub fn new(set: &PlacedSet, making: &Making, bolts: &Bolts) -> Self {
        let root = set.ring.root * making.module_mm;
        let hole = (bolts.diameter_mm + making.hole_allowance_mm) / 2.0;
        let (middle, lug) = (root + making.ring_wall_mm / 2.0, root + making.edge_mm + hole);
        let radius = if bolts.seat == Seat::Lugs { middle.max(lug) } else { middle };
        Self { radius, hole }
    }

    fn places(&self, count: u32) -> Vec<Point> {
        let turn = |index: u32| TAU * (f64::from(index) + 0.5) / f64::from(count);
        (0..count).map(|index| polar(self.radius, turn(index))).collect()
    }

    fn judge(&self, bolts: &Bolts, making: &Making, faults: &mut Vec<Misfit>) {
        let mut tell = |dimension, trouble, by: f64| {
            let misfit = Misfit { dimension, part: Some(PartKind::Ring), trouble, by };
            faults.extend(Some(misfit).filter(|misfit| misfit.by > 1e-9));
        };
        if bolts.seat == Seat::Wall {
            let short = self.hole + making.edge_mm - making.ring_wall_mm / 2.0;
            tell(Dimension::BoltDiameter, Trouble::BreaksOut, short);
        }
        if bolts.count > 1 {
            let apart = 2.0 * self.radius * (TAU / 2.0 / f64::from(bolts.count)).sin();
            let short = 2.0 * self.hole + making.edge_mm - apart;
            tell(Dimension::BoltCount, Trouble::MeetsHole, short);
        }
    }
}

fn tooth_data(outline: &Outline, shift: f64, module_mm: f64) -> ToothData {
    let diameter = |radius: f64| 2.0 * radius * module_mm;
    ToothData {
        side: outline.side,
        teeth: outline.teeth,
        module_mm,
        shift,
        tip_mm: diameter(outline.tip),
        root_mm: diameter(outline.root),
        base_mm: diameter(outline.base),
        pitch_mm: diameter(outline.pitch),
    }
}

/// How far the middle of a herringbone wheel is turned: (b / 2) tan β / r at the reference
/// pitch circle, so that meshing wheels turn by the same arc. Hands are opposite in
/// external meshes and alike in that of planet and ring, so with a right-handed lower half
/// of the sun, planets and a single set's ring are left-handed, outer planets and a paired
/// set's ring right-handed.
fn twist(left: bool, outline: &Outline, making: &Making) -> Option<f64> {
    let slope = making.helix_degrees?.to_radians().tan();
    let hand = if left { -1.0 } else { 1.0 };
    Some(hand * making.width_mm / 2.0 * slope / (outline.pitch * making.module_mm))
}
