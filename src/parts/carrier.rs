//! The two plates of the carrier.

use super::making::{Bore, Making, PlateShape};
use super::misfit::{Dimension, Misfit, Trouble};
use super::part::{Hole, Mark, Marked, Part, PartKind, Purpose};
use super::shape::{Point, Shape, arm, polar, round, union};
use super::wheels::BoltCircle;
use crate::teeth::{PlacedSet, Pose};
use std::f64::consts::TAU;

/// What a spacer bolt keeps from any wheel, in modules.
const CLEARANCE: f64 = 0.25;

/// Front and back plate.
pub(super) fn plates(set: &PlacedSet, making: &Making, faults: &mut Vec<Misfit>) -> [Part; 2] {
    let room = Room::new(set, making);
    judge(&room, set, making, faults);
    let mut bolts = Vec::new();
    if let Some(diameter_mm) = making.spacer_mm {
        let spots = room.spots();
        let fitting = spots.iter().filter(|(_, radius)| 2.0 * radius + 1e-9 >= diameter_mm);
        bolts.extend(fitting.map(|&(place, _)| place));
        if bolts.is_empty() {
            let most = spots.iter().map(|(_, radius)| 2.0 * radius).fold(0.0, f64::max);
            let (dimension, trouble) = (Dimension::Spacer, Trouble::MeetsWheel);
            faults.push(Misfit { dimension, part: None, trouble, by: diameter_mm - most });
        }
    }
    let shaft = Bore::Round { diameter_mm: making.shaft_hole_mm };
    let plates = [
        plate(PartKind::CarrierFront, (Purpose::Drive, making.drive), &room, &bolts, making),
        plate(PartKind::CarrierBack, (Purpose::Shaft, shaft), &room, &bolts, making),
    ];
    if let Some(ring_bolts) = &making.bolts {
        let circle = BoltCircle::new(set, making, ring_bolts);
        let reach = plates.iter().map(|plate| plate.boundary.reach()).fold(0.0, f64::max);
        let by = reach - (circle.radius - circle.hole);
        if by > 0.0 {
            let (dimension, trouble) = (Dimension::Pin, Trouble::MeetsBolts);
            faults.push(Misfit { dimension, part: Some(PartKind::CarrierFront), trouble, by });
        }
    }
    plates
}

/// Diameter of the largest bolt that goes through every space between neighbouring planets;
/// 0 and below where there is none.
pub(super) fn spacer_room(set: &PlacedSet, making: &Making) -> f64 {
    let spots = Room::new(set, making).spots();
    spots.iter().map(|(_, radius)| 2.0 * radius).fold(f64::INFINITY, f64::min)
}

/// What stands in a plate's way, in mm.
struct Room {
    /// Centres of all pins, and the radius of their holes.
    pins: Vec<Point>,
    pin: f64,
    /// Circles that a spacer bolt must stay outside of, grown by what it must keep.
    outside: Vec<(Point, f64)>,
    /// The circle about the axis that it must stay inside of.
    inside: f64,
    /// The two angles between which each space between planets lies.
    spaces: Vec<(f64, f64)>,
}

impl Room {
    fn new(set: &PlacedSet, making: &Making) -> Self {
        let (m, wider) = (making.module_mm, making.hole_allowance_mm);
        let poses = set.poses();
        let centres = |poses: &[Pose]| -> Vec<Point> {
            poses.iter().map(|pose| pose.centre.map(|length| length * m)).collect()
        };
        let (inner, outer) = (centres(&poses.planets), centres(&poses.outer_planets));
        let pin = (making.pin_mm + wider) / 2.0;
        // The bolt's own hole is wider than the bolt by the allowance.
        let hole_edge = making.edge_mm + wider / 2.0;
        let wheel = |tip: f64| (tip + CLEARANCE) * m;
        let middle = making.drive.reach(wider).max((making.shaft_hole_mm + wider) / 2.0);
        let mut outside = vec![([0.0, 0.0], wheel(set.sun.tip).max(middle + hole_edge))];
        let planet = wheel(set.planet.tip).max(pin + hole_edge);
        outside.extend(inner.iter().map(|&centre| (centre, planet)));
        if let Some(outline) = &set.outer_planet {
            let planet = wheel(outline.tip).max(pin + hole_edge);
            outside.extend(outer.iter().map(|&centre| (centre, planet)));
        }
        let angle = |point: Point| point[1].atan2(point[0]);
        let spaces = (0..inner.len()).map(|index| {
            // Of a pair the outer planet goes before the inner one.
            let start = angle(*outer.get(index).unwrap_or(&inner[index]));
            let next = angle(inner[(index + 1) % inner.len()]);
            let width = (next - start).rem_euclid(TAU);
            (start, start + if width < 1e-9 { TAU } else { width })
        });
        let spaces = spaces.collect();
        let inside = (set.ring.tip - CLEARANCE) * m;
        Self { pins: [inner, outer].concat(), pin, outside, inside, spaces }
    }

    /// The largest radius of a bolt at `point`.
    fn at(&self, point: Point) -> f64 {
        let free = |(centre, radius): &(Point, f64)| {
            (point[0] - centre[0]).hypot(point[1] - centre[1]) - radius
        };
        let ring = self.inside - point[0].hypot(point[1]);
        self.outside.iter().map(free).fold(ring, f64::min)
    }

    /// The roomiest point of every space and the bolt's radius there, by a grid and then
    /// smaller and smaller steps from its best point.
    fn spots(&self) -> Vec<(Point, f64)> {
        const GRID: i32 = 32;
        let spot = |&(start, end): &(f64, f64)| {
            let point = |[along, across]: [f64; 2]| {
                polar(self.inside * along, start + (end - start) * across)
            };
            let room = |at: [f64; 2]| self.at(point(at));
            let (mut best, mut most) = ([0.0, 0.5], f64::NEG_INFINITY);
            let mut try_at = |at: [f64; 2], best: &mut [f64; 2]| {
                let found = room(at);
                // Gains of rounding would move the spot off the middle.
                if found > most + 1e-9 {
                    (*best, most) = (at, found);
                }
            };
            let middle_first = std::iter::once(GRID / 2).chain(0..=GRID);
            for across in middle_first {
                for along in 1..2 * GRID {
                    let at = [
                        f64::from(along) / f64::from(2 * GRID),
                        f64::from(across) / f64::from(GRID),
                    ];
                    try_at(at, &mut best);
                }
            }
            let mut step = 1.0 / f64::from(GRID);
            while step > 1e-8 {
                let from = best;
                for [a, b] in [[1.0, 0.0], [-1.0, 0.0], [0.0, 1.0], [0.0, -1.0]] {
                    try_at([from[0] + a * step, from[1] + b * step], &mut best);
                }
                if best == from {
                    step /= 2.0;
                }
            }
            (point(best), most)
        };
        self.spaces.iter().map(spot).collect()
    }
}

/// Pins against each other, and the holes in the middle against pins and shaft.
fn judge(room: &Room, set: &PlacedSet, making: &Making, faults: &mut Vec<Misfit>) {
    let mut tell = |dimension, part, trouble, by: f64| {
        let misfit = Misfit { dimension, part: Some(part), trouble, by };
        faults.extend(Some(misfit).filter(|misfit| misfit.by > 1e-9));
    };
    let wider = making.hole_allowance_mm;
    let mut nearest = f64::INFINITY;
    for (index, one) in room.pins.iter().enumerate() {
        for two in &room.pins[index + 1..] {
            nearest = nearest.min((one[0] - two[0]).hypot(one[1] - two[1]));
        }
    }
    let short = 2.0 * room.pin + making.edge_mm - nearest;
    tell(Dimension::Pin, PartKind::CarrierFront, Trouble::MeetsHole, short);
    let pin_centre = set.sun_centre.min(set.ring_centre) * making.module_mm;
    let middle = pin_centre - room.pin - making.edge_mm;
    let front = making.drive.reach(wider) - middle;
    tell(Dimension::Drive, PartKind::CarrierFront, Trouble::MeetsHole, front);
    let back = (making.shaft_hole_mm + wider) / 2.0 - middle;
    tell(Dimension::ShaftHole, PartKind::CarrierBack, Trouble::MeetsHole, back);
    let shaft = 2.0 * making.sun_bore.reach(0.0) - making.shaft_hole_mm;
    tell(Dimension::ShaftHole, PartKind::CarrierBack, Trouble::TooSmall, shaft);
}

/// One plate with the hole in its middle, pins and spacers.
fn plate(
    kind: PartKind,
    (purpose, middle): (Purpose, Bore),
    room: &Room,
    bolts: &[Point],
    making: &Making,
) -> Part {
    let (wider, edge, chord) = (making.hole_allowance_mm, making.edge_mm, making.chord_mm);
    let spacer = (making.spacer_mm.unwrap_or(0.0) + wider) / 2.0;
    let pins = room.pins.iter().map(|&centre| (Purpose::Pin, centre, room.pin));
    let spacers = bolts.iter().map(|&centre| (Purpose::Spacer, centre, spacer));
    let round_holes: Vec<(Purpose, Point, f64)> = pins.chain(spacers).collect();
    let length = |point: &Point| point[0].hypot(point[1]);
    let hub = middle.reach(wider) + edge;
    let farthest = round_holes.iter().map(|(_, centre, hole)| length(centre) + hole + edge);
    let boundary = match making.plate_shape {
        PlateShape::Round => {
            let radius = farthest.fold(hub, f64::max);
            Shape::Circle { centre: [0.0, 0.0], diameter_mm: 2.0 * radius }
        }
        PlateShape::Lobed => {
            let arms = round_holes.iter().map(|(_, centre, hole)| arm(*centre, hole + edge, chord));
            // A hub of most of the way to the pins keeps the arms short and stiff.
            let hub = hub.max(0.8 * length(&room.pins[0]));
            Shape::Polygon(union(arms.chain([round([0.0, 0.0], hub, chord)]).collect()))
        }
    };
    let mut holes = vec![Hole { purpose, shape: middle.shape(wider) }];
    holes.extend(round_holes.iter().map(|&(purpose, centre, hole)| Hole {
        purpose,
        shape: Shape::Circle { centre, diameter_mm: 2.0 * hole },
    }));
    let beside = length(&room.pins[0]) + room.pin;
    Part {
        kind,
        count: 1,
        thickness_mm: making.plate_mm,
        boundary,
        holes,
        marks: vec![Mark {
            shows: Marked::FirstPin,
            from: [beside + 0.2 * edge, 0.0],
            to: [beside + 0.8 * edge, 0.0],
        }],
        teeth: None,
        twist: None,
        chord_mm: chord,
    }
}
