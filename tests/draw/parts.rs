//! Parts of sets: teeth to 1 µm, holes where they may be, closed solids, and marks that put
//! the wheels together.

use coaxle::parts::{
    Bolts, Bore, Dimension, Flaw, Making, Marked, Misfit, Part, PartKind, Parts, PlateShape,
    Purpose, Seat, Shape, Timing, Trouble, Wheel,
};
use coaxle::teeth::{Catalogue, Entry, Finish, Outline, PlacedSet, Pose, Side, ToothLimits};
use coaxle::train::GearSet;
use i_overlay::core::{fill_rule::FillRule, overlay_rule::OverlayRule};
use i_overlay::float::single::SingleFloatOverlay;
use proptest::prelude::*;
use std::f64::consts::TAU;
use std::sync::LazyLock;

type Point = [f64; 2];

const ORIGIN: Point = [0.0, 0.0];

fn limits() -> ToothLimits {
    ToothLimits { odd_planet: true, unequal_spacing: true, ..ToothLimits::default() }
}

fn place(set: GearSet) -> PlacedSet {
    let finish = Finish { backlash: 0.05, chord: 0.004, ..Finish::default() };
    PlacedSet::new(&set, &limits(), &finish).unwrap_or_else(|| panic!("{set:?} is not placed"))
}

fn single(sun: u32, ring: u32, planets: u32) -> GearSet {
    GearSet { planets: Some(planets), ..GearSet::single(sun, ring) }
}

fn paired() -> GearSet {
    let (planet, outer_planet) = (Some(19), Some(21));
    GearSet { planet, outer_planet, planets: Some(3), ..GearSet::paired(30, 81) }
}

/// Equal and unequal angles, an odd planet, a paired set.
fn some() -> [PlacedSet; 4] {
    [single(30, 66, 3), single(24, 66, 4), single(29, 67, 5), paired()].map(place)
}

fn parts(set: &PlacedSet, making: &Making) -> Parts {
    let told = |misfits: Vec<Misfit>| -> Parts {
        let lines: Vec<String> = misfits.iter().map(ToString::to_string).collect();
        panic!("{:?}: {}", set.set, lines.join("; "))
    };
    Parts::new(set, making).unwrap_or_else(told)
}

fn suggested(set: &PlacedSet) -> (Parts, Making) {
    let making = Making::suggested(set, 1.5);
    (parts(set, &making), making)
}

fn radius(point: Point) -> f64 {
    point[0].hypot(point[1])
}

fn distance(a: Point, b: Point) -> f64 {
    radius([a[0] - b[0], a[1] - b[1]])
}

fn crossings(line: &[Point], at: f64) -> usize {
    let next = line.iter().cycle().skip(1);
    line.iter().zip(next).filter(|&(&a, &b)| (radius(a) > at) != (radius(b) > at)).count()
}

/// Tip and root circles are touched to 1 µm, by as many teeth as there should be, and agree
/// with the formulas: root m (z + 2x ∓ 2.5), pitch m z, base m z cos 20°.
#[test]
fn teeth_are_what_is_told_of_them() {
    for set in some() {
        let (made, making) = suggested(&set);
        for part in made.parts.iter().filter(|part| part.teeth.is_some()) {
            let (data, line) = (part.teeth.unwrap(), part.toothed().unwrap());
            let radii = line.iter().map(|&point| radius(point));
            let (least, most) = radii.fold((1e9_f64, 0.0_f64), |(a, b), r| (a.min(r), b.max(r)));
            let external = data.side == Side::External;
            let (inner, outer) =
                if external { (data.root_mm, data.tip_mm) } else { (data.tip_mm, data.root_mm) };
            assert!((2.0 * least - inner).abs() < 1e-6 && (2.0 * most - outer).abs() < 1e-6);
            let middle = (data.tip_mm + data.root_mm) / 4.0;
            assert_eq!(crossings(line, middle), 2 * data.teeth as usize, "{}", part.caption());
            let m = making.module_mm;
            let (z, depth) = (f64::from(data.teeth), if external { -2.5 } else { 2.5 });
            assert!((data.root_mm - m * (z + 2.0 * data.shift + depth)).abs() < 1e-9);
            assert!((data.pitch_mm - m * z).abs() < 1e-9);
            assert!((data.base_mm - m * z * 20.0_f64.to_radians().cos()).abs() < 1e-9);
            let count = if matches!(part.kind, PartKind::Sun | PartKind::Ring) {
                1
            } else {
                set.angles.len() as u32
            };
            assert_eq!(part.count, count);
        }
        let kinds = made.parts.iter().map(|part| part.kind).collect::<Vec<_>>();
        let pair = set.outer_planet.is_some();
        assert_eq!(kinds.contains(&PartKind::OuterPlanet), pair);
        assert_eq!(kinds.len(), if pair { 6 } else { 5 });
    }
}

/// Distance from a point inside a closed line to the line; negative outside.
fn depth(point: Point, line: &[Point]) -> f64 {
    let (mut inside, mut least) = (false, f64::INFINITY);
    for (a, b) in line.iter().zip(line.iter().cycle().skip(1)) {
        if (a[1] > point[1]) != (b[1] > point[1]) {
            let x = a[0] + (point[1] - a[1]) / (b[1] - a[1]) * (b[0] - a[0]);
            inside ^= point[0] < x;
        }
        let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
        let along = ((point[0] - a[0]) * dx + (point[1] - a[1]) * dy) / (dx * dx + dy * dy);
        let along = along.clamp(0.0, 1.0);
        least = least.min(distance(point, [a[0] + along * dx, a[1] + along * dy]));
    }
    if inside { least } else { -least }
}

/// Holes keep the edge from the boundary (wheels: a module) and from each other, marks lie
/// on the material.
fn judge_holes(part: &Part, making: &Making) {
    let chord = making.chord_mm;
    let boundary = part.boundary.polygon(chord);
    let edge = if part.teeth.is_some() { making.module_mm } else { making.edge_mm };
    let ring = part.kind == PartKind::Ring;
    // A lug's arcs are told by chords, and a union stands on a grid.
    let slack = 2.0 * making.chord_mm;
    let holes: Vec<_> = part.holes.iter().map(|hole| hole.shape.polygon(chord)).collect();
    for (index, hole) in holes.iter().enumerate() {
        let purpose = part.holes[index].purpose;
        let edge = if ring && purpose == Purpose::Bolt { making.edge_mm } else { edge };
        let least = hole.iter().map(|&point| depth(point, &boundary)).fold(1e9, f64::min);
        assert!(least > edge - slack, "{} {purpose:?}: {least}", part.name());
        for other in &holes[index + 1..] {
            let apart = hole.iter().map(|&point| -depth(point, other)).fold(1e9, f64::min);
            assert!(apart > making.edge_mm - slack, "{} {purpose:?}: {apart}", part.name());
        }
    }
    assert!(!part.marks.is_empty());
    for mark in &part.marks {
        for part_of_it in [0.01, 0.5, 0.99] {
            let at =
                [0, 1].map(|axis| mark.from[axis] + part_of_it * (mark.to[axis] - mark.from[axis]));
            assert!(depth(at, &boundary) > 0.0, "{} {mark:?}", part.name());
            assert!(holes.iter().all(|hole| depth(at, hole) < 0.0), "{} {mark:?}", part.name());
        }
    }
}

/// Pins stand under the planets, spacers clear of every wheel that turns between the plates.
fn judge_plates(set: &PlacedSet, made: &Parts, making: &Making) {
    let m = making.module_mm;
    let poses = set.poses();
    let planets = poses.planets.iter().map(|pose| (pose, &set.planet));
    let outers = poses.outer_planets.iter().map(|pose| (pose, set.outer_planet.as_ref().unwrap()));
    let wheels: Vec<(Point, f64)> = planets
        .chain(outers)
        .map(|(pose, outline)| (pose.centre.map(|x| x * m), outline.tip * m))
        .collect();
    for kind in [PartKind::CarrierFront, PartKind::CarrierBack] {
        let plate = made.find(kind).unwrap();
        let centres = |purpose: Purpose| -> Vec<(Point, f64)> {
            let of_it = plate.holes.iter().filter(|hole| hole.purpose == purpose);
            of_it
                .map(|hole| match hole.shape {
                    Shape::Circle { centre, diameter_mm } => (centre, diameter_mm / 2.0),
                    Shape::Polygon(_) => panic!("{purpose:?} is not round"),
                })
                .collect()
        };
        let pins = centres(Purpose::Pin);
        assert_eq!(pins.len(), wheels.len());
        for ((pin, hole), (wheel, _)) in pins.iter().zip(&wheels) {
            assert!(distance(*pin, *wheel) < 1e-12);
            assert!((2.0 * hole - making.pin_mm - making.hole_allowance_mm).abs() < 1e-12);
        }
        let spacers = centres(Purpose::Spacer);
        assert_eq!(spacers.is_empty(), making.spacer_mm.is_none());
        let bolt = making.spacer_mm.unwrap_or(0.0) / 2.0;
        for (spacer, _) in spacers {
            let least = 0.25 * m - 1e-6;
            assert!(radius(spacer) - set.sun.tip * m - bolt > least);
            assert!(set.ring.tip * m - radius(spacer) - bolt > least);
            for (wheel, tip) in &wheels {
                assert!(distance(spacer, *wheel) - tip - bolt > least, "{spacer:?}");
            }
        }
    }
}

#[test]
fn holes_keep_their_edges() {
    for set in some() {
        for (plate_shape, seat) in
            [(PlateShape::Lobed, Seat::Lugs), (PlateShape::Round, Seat::Wall)]
        {
            let plain = Making::suggested(&set, 1.5);
            assert!(plain.spacer_mm.is_some());
            let bolts = plain.bolts.map(|bolts| Bolts { seat, ..bolts });
            let hole_allowance_mm = 0.2;
            let ring_wall_mm = 8.0;
            // The allowance is part of every hole, so pins and spacers give it up.
            let making = Making {
                plate_shape,
                bolts,
                hole_allowance_mm,
                ring_wall_mm,
                spacer_mm: plain.spacer_mm.map(|spacer| spacer - 0.5),
                drive: Bore::Round { diameter_mm: plain.drive.size_mm() - 0.5 },
                ..plain
            };
            let made = parts(&set, &making);
            made.parts.iter().for_each(|part| judge_holes(part, &making));
            judge_plates(&set, &made, &making);
            let round =
                matches!(made.find(PartKind::CarrierBack).unwrap().boundary, Shape::Circle { .. });
            assert_eq!(round, plate_shape == PlateShape::Round);
        }
    }
}

/// Every solid is closed; its volume is that of the section times the thickness, but for
/// what chords take off or add along all lines.
fn judge_solids(made: &Parts) {
    let length = |shape: &Shape, chord: f64| -> f64 {
        let line = shape.polygon(chord);
        line.iter().zip(line.iter().cycle().skip(1)).map(|(&a, &b)| distance(a, b)).sum()
    };
    for part in &made.parts {
        let solids = part.solids().unwrap();
        let volumes = solids.iter().map(|solid| {
            solid
                .check()
                .unwrap_or_else(|flaw| panic!("{} of {}: {flaw:?}", solid.name, part.caption()))
        });
        let (found, wanted) = (volumes.sum::<f64>(), part.area() * part.thickness_mm);
        let shapes = part.holes.iter().map(|hole| &hole.shape).chain([&part.boundary]);
        let lines: f64 = shapes.map(|shape| length(shape, part.chord_mm)).sum();
        let most = 1.01 * part.chord_mm * lines * part.thickness_mm;
        assert!((found - wanted).abs() < most, "{}: {found} {wanted} {most}", part.caption());
        let halves = part.kind == PartKind::Ring && part.twist.is_some();
        assert_eq!(solids.len(), if halves { 2 } else { 1 });
    }
}

#[test]
fn solids_are_closed() {
    for set in some() {
        let (made, making) = suggested(&set);
        judge_solids(&made);
        judge_solids(&parts(&set, &Making { helix_degrees: Some(30.0), ..making }));
    }
}

/// The middle of a herringbone wheel is its outline turned, and all wheels are turned there
/// as the set's own motion turns them, the carrier held: so they mesh in every section.
#[test]
fn herringbone_wheels_mesh_in_every_section() {
    for set in some() {
        let making = Making { helix_degrees: Some(25.0), ..Making::suggested(&set, 2.0) };
        let made = parts(&set, &making);
        let twist = |kind| made.find(kind).and_then(|part: &Part| part.twist);
        let sun = twist(PartKind::Sun).unwrap();
        let arc = making.width_mm / 2.0 * 25.0_f64.to_radians().tan();
        assert!((sun * set.sun.pitch * making.module_mm - arc).abs() < 1e-12 && sun > 0.0);
        let (before, after) = (set.poses(), set.turned(sun, 0.0));
        let turn = |one: &Pose, two: &Pose| two.turn - one.turn;
        let found = turn(&before.planets[0], &after.planets[0]);
        assert!((found - twist(PartKind::Planet).unwrap()).abs() < 1e-12);
        let found = turn(&before.ring, &after.ring);
        assert!((found - twist(PartKind::Ring).unwrap()).abs() < 1e-12, "{found}");
        if set.outer_planet.is_some() {
            let found = turn(&before.outer_planets[0], &after.outer_planets[0]);
            assert!((found - twist(PartKind::OuterPlanet).unwrap()).abs() < 1e-12);
        }
        for kind in [PartKind::Sun, PartKind::Planet, PartKind::Ring] {
            let part = made.find(kind).unwrap();
            let (middle, turn) = (part.thickness_mm / 2.0, part.twist.unwrap());
            let solid = &part.solids().unwrap()[0];
            let section = |z: f64| -> Vec<Point> {
                let data = part.teeth.unwrap();
                let most = data.tip_mm.max(data.root_mm) / 2.0 + 1e-9;
                let least = data.tip_mm.min(data.root_mm) / 2.0 - 1e-9;
                let teeth =
                    |point: &&[f64; 3]| (least..most).contains(&radius([point[0], point[1]]));
                let at = solid.points.iter().filter(|point| point[2] == z);
                at.filter(teeth).map(|&[x, y, _]| [x, y]).collect()
            };
            let (ends, turned) = (section(0.0), section(middle));
            assert_eq!(ends, part.toothed().unwrap());
            assert_eq!(ends.len(), turned.len());
            for (a, b) in ends.iter().zip(&turned) {
                let angle =
                    (b[1].atan2(b[0]) - a[1].atan2(a[0]) - turn + TAU / 2.0).rem_euclid(TAU);
                assert!((angle - TAU / 2.0).abs() < 1e-9 && (radius(*a) - radius(*b)).abs() < 1e-9);
            }
        }
    }
}

#[test]
fn a_surface_with_a_flaw_is_found_out() {
    let (made, _) = suggested(&some()[0]);
    let solid = made.parts[1].solids().unwrap().remove(0);
    let mut open = solid.clone();
    let taken = open.triangles.pop().unwrap();
    assert_eq!(open.check(), Err(Flaw::Open(3)));
    open.triangles.push([taken[0], taken[2], taken[1]]);
    assert!(matches!(open.check(), Err(Flaw::Open(_))) && !open.is_watertight());
    let mut twice = solid.clone();
    twice.triangles.push(taken);
    assert!(matches!(twice.check(), Err(Flaw::Open(_))));
    let mut inverted = solid.clone();
    inverted.triangles.iter_mut().for_each(|corners| corners.swap(0, 1));
    assert_eq!(inverted.check(), Err(Flaw::InsideOut));
    let mut part = made.parts[1].clone();
    let Shape::Circle { diameter_mm, .. } = &mut part.holes[0].shape else { panic!() };
    *diameter_mm = part.teeth.unwrap().pitch_mm;
    assert_eq!(part.solids(), Err(Flaw::Crossing));
}

/// A part's toothed line where its mark tells.
fn standing(part: &Part, centre: Point, angle: f64) -> Vec<Point> {
    let (sin, cos) = angle.sin_cos();
    let at = |&[x, y]: &Point| [x * cos - y * sin + centre[0], x * sin + y * cos + centre[1]];
    part.toothed().unwrap().iter().map(at).collect()
}

fn overlap(one: &Vec<Point>, two: &Vec<Point>, rule: OverlayRule) -> f64 {
    let shared = one.overlay(two, rule, FillRule::NonZero).concat();
    let doubled = |line: &Vec<Point>| -> f64 {
        let next = line.iter().cycle().skip(1);
        line.iter().zip(next).map(|(a, b)| a[0] * b[1] - b[0] * a[1]).sum()
    };
    (shared.iter().map(doubled).sum::<f64>() / 2.0).abs()
}

/// Put together by the marks, parts do not overlap, in any mesh; half a pitch off, they do.
#[test]
fn parts_put_together_by_their_marks_mesh() {
    for set in some() {
        let (made, making) = suggested(&set);
        let poses = set.poses();
        let angle = |wheel: Wheel| {
            let mark = made.timing.marks.iter().find(|mark| mark.wheel == wheel).unwrap();
            assert!(mark.tooth_index == 0 && (0.0..TAU).contains(&mark.angle));
            mark.angle
        };
        let find = |kind| made.find(kind).unwrap();
        let at = |pose: &Pose| pose.centre.map(|length| length * making.module_mm);
        let sun = standing(find(PartKind::Sun), ORIGIN, angle(Wheel::Sun));
        let ring = standing(find(PartKind::Ring), ORIGIN, angle(Wheel::Ring));
        for (index, pose) in poses.planets.iter().enumerate() {
            let (part, turn) = (find(PartKind::Planet), angle(Wheel::Planet(index)));
            let planet = standing(part, at(pose), turn);
            assert_eq!(overlap(&sun, &planet, OverlayRule::Intersect), 0.0);
            let wrong = standing(part, at(pose), turn + set.planet.pitch_angle() / 2.0);
            assert!(overlap(&sun, &wrong, OverlayRule::Intersect) > 0.5);
            let in_ring = match poses.outer_planets.get(index) {
                None => planet,
                Some(pose) => {
                    let turn = angle(Wheel::OuterPlanet(index));
                    let outer = standing(find(PartKind::OuterPlanet), at(pose), turn);
                    assert_eq!(overlap(&planet, &outer, OverlayRule::Intersect), 0.0);
                    outer
                }
            };
            assert_eq!(overlap(&in_ring, &ring, OverlayRule::Difference), 0.0);
        }
    }
}

/// What the table of meshes says is so: seen from the partner's axis, the tooth stands
/// between the two teeth of the partner that are told.
fn judge_timing(set: &PlacedSet) {
    let timing = Timing::of(set);
    let poses = set.poses();
    let find = |wheel: Wheel| -> (Pose, &Outline) {
        let mark = timing.marks.iter().find(|mark| mark.wheel == wheel).unwrap();
        let (pose, outline) = match wheel {
            Wheel::Sun => (poses.sun, &set.sun),
            Wheel::Planet(index) => (poses.planets[index], &set.planet),
            Wheel::OuterPlanet(index) => {
                (poses.outer_planets[index], set.outer_planet.as_ref().unwrap())
            }
            Wheel::Ring => (poses.ring, &set.ring),
        };
        let pitches = (mark.angle - pose.turn) / outline.pitch_angle();
        assert!((pitches - pitches.round()).abs() < 1e-6, "{wheel:?} is not as it was placed");
        (Pose { turn: mark.angle, ..pose }, outline)
    };
    let planets = set.angles.len();
    let pairs = poses.outer_planets.len();
    assert_eq!(timing.marks.len(), 2 + planets + pairs);
    assert_eq!(timing.meshes.len(), 2 * planets + pairs);
    assert_eq!(timing.lines().len(), timing.meshes.len());
    for mesh in &timing.meshes {
        let ((pose, outline), (other, partner)) = (find(mesh.wheel), find(mesh.partner));
        assert!(mesh.off_line.abs() < 0.5 + 1e-6 && mesh.gap < partner.teeth);
        let angle = pose.turn + f64::from(mesh.tooth) * outline.pitch_angle();
        let at =
            [0, 1].map(|axis| pose.centre[axis] + outline.pitch * [angle.cos(), angle.sin()][axis]);
        let seen = (at[1] - other.centre[1]).atan2(at[0] - other.centre[0]);
        let teeth = (seen - other.turn) / partner.pitch_angle();
        let past = (teeth - f64::from(mesh.gap)).rem_euclid(f64::from(partner.teeth));
        assert!(past > 0.2 && past < 0.8, "{mesh:?}: {past}");
    }
    // By the told teeth and gaps alone, but for whole teeth.
    let placed = timing.placed(set);
    let same = |one: &Pose, two: &Pose, outline: &Outline| {
        let pitches = (one.turn - two.turn) / outline.pitch_angle();
        assert_eq!(one.centre, two.centre);
        assert!((pitches - pitches.round()).abs() < 1e-6, "{:?}: {pitches}", set.set);
    };
    same(&placed.sun, &poses.sun, &set.sun);
    same(&placed.ring, &poses.ring, &set.ring);
    placed.planets.iter().zip(&poses.planets).for_each(|(a, b)| same(a, b, &set.planet));
    for (a, b) in placed.outer_planets.iter().zip(&poses.outer_planets) {
        same(a, b, set.outer_planet.as_ref().unwrap());
    }
}

#[test]
fn marks_tell_where_wheels_stand() {
    some().iter().for_each(judge_timing);
    // 30 teeth, three planets: every tenth gap, and marks there on the sun.
    let (made, _) = suggested(&some()[0]);
    assert_eq!(made.timing.sun_gaps(), [0, 10, 20]);
    let sun = made.find(PartKind::Sun).unwrap();
    let shown: Vec<Marked> = sun.marks.iter().map(|mark| mark.shows).collect();
    assert_eq!(shown, [Marked::Tooth, Marked::Gap(0), Marked::Gap(10), Marked::Gap(20)]);
}

/// What does not fit is told by name and measure.
#[test]
fn misfits_tell_how_much_is_missing() {
    let set = place(single(30, 66, 3));
    let fine = Making::suggested(&set, 2.0);
    let ask = |making: Making| Parts::new(&set, &making).unwrap_err();
    let told = |making, dimension, part, trouble, by: f64| {
        let misfits = ask(making);
        let found = misfits.iter().find(|misfit| {
            misfit.dimension == dimension && misfit.part == part && misfit.trouble == trouble
        });
        let found = found.unwrap_or_else(|| panic!("{misfits:?}"));
        assert!((found.by - by).abs() < 1e-9, "{found}");
        assert!(found.to_string().contains("by "), "{found}");
    };
    let rim = |outline: &Outline, hole: f64| 2.0 * outline.root - hole / 2.0;
    let short = 2.0 - rim(&set.sun, 52.0);
    let sun_bore = Bore::Round { diameter_mm: 52.0 };
    let making = Making { sun_bore, ..fine };
    told(making, Dimension::SunBore, Some(PartKind::Sun), Trouble::ThinRim, short);
    told(
        making,
        Dimension::ShaftHole,
        Some(PartKind::CarrierBack),
        Trouble::TooSmall,
        52.0 - fine.shaft_hole_mm,
    );
    // A hexagon's corners reach 2 / √3 of its flats.
    let sun_bore = Bore::Hex { flats_mm: 26.0 * 3.0_f64.sqrt() };
    told(
        Making { sun_bore, ..fine },
        Dimension::SunBore,
        Some(PartKind::Sun),
        Trouble::ThinRim,
        short,
    );
    // The allowance counts.
    let short = 2.0 - rim(&set.planet, 28.2);
    let making = Making { pin_mm: 27.8, hole_allowance_mm: 0.4, ..fine };
    told(making, Dimension::Pin, Some(PartKind::Planet), Trouble::ThinRim, short);
    let making = Making { ring_wall_mm: 1.9, ..fine };
    told(making, Dimension::RingWall, Some(PartKind::Ring), Trouble::ThinRim, 0.1);
    let wall = Bolts { count: 6, diameter_mm: 4.0, seat: Seat::Wall };
    let making = Making { bolts: Some(wall), ring_wall_mm: 7.0, ..fine };
    told(making, Dimension::BoltDiameter, Some(PartKind::Ring), Trouble::BreaksOut, 0.5);
    let many = Bolts { count: 60, diameter_mm: 4.0, seat: Seat::Wall };
    let making = Making { bolts: Some(many), ring_wall_mm: 8.0, ..fine };
    let circle = 4.0 * set.ring.root + 8.0;
    let apart = circle * (TAU / 120.0).sin();
    assert!(Parts::new(&set, &making).is_ok() && apart > 6.0);
    let making = Making { bolts: Some(Bolts { count: 80, ..many }), ..making };
    let short = 6.0 - circle * (TAU / 160.0).sin();
    told(making, Dimension::BoltCount, Some(PartKind::Ring), Trouble::MeetsHole, short);
    // The pins' holes leave this radius in the middle, one edge kept.
    let middle = 2.0 * set.sun_centre - fine.pin_mm / 2.0 - 2.0;
    let making = Making { shaft_hole_mm: 2.0 * middle + 3.0, ..fine };
    told(making, Dimension::ShaftHole, Some(PartKind::CarrierBack), Trouble::MeetsHole, 1.5);
    let making = Making { drive: Bore::Round { diameter_mm: 2.0 * middle + 1.0 }, ..fine };
    told(making, Dimension::Drive, Some(PartKind::CarrierFront), Trouble::MeetsHole, 0.5);
    let spacer = fine.spacer_mm.unwrap();
    assert!(ask(Making { spacer_mm: Some(60.0), ..fine })[0].by > 1.0);
    assert!(Parts::new(&set, &Making { spacer_mm: Some(spacer), ..fine }).is_ok());
    let making = Making { helix_degrees: Some(50.0), ..fine };
    told(making, Dimension::Helix, None, Trouble::TooLarge, 5.0);
    told(Making { width_mm: -1.0, ..fine }, Dimension::Width, None, Trouble::NotPositive, 1.0);
    let countless = Bolts { count: 4_000_000_000, ..many };
    let making = Making { bolts: Some(countless), ..fine };
    told(making, Dimension::BoltCount, None, Trouble::TooLarge, 3_999_999_640.0);
    let making = Making { module_mm: f64::NAN, hole_allowance_mm: -0.1, ..fine };
    assert_eq!(ask(making).len(), 2);
}

static ENTRIES: LazyLock<Vec<GearSet>> = LazyLock::new(|| {
    let limits = ToothLimits { sun: (12, 60), planet: (12, 60), ..limits() };
    let catalogue = Catalogue::build(&limits);
    let sets: Vec<GearSet> = catalogue.entries().iter().map(|entry: &Entry| entry.set).collect();
    assert!(sets.len() > 1000);
    sets
});

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Sizes in proportion fit every set of the catalogue, and all its parts are sound.
    #[test]
    fn any_set_can_be_made(
        pick in 0usize..1_000_000, module in 0.4f64..4.0, helix in prop::option::of(1.0f64..45.0),
    ) {
        let set = place(ENTRIES[pick % ENTRIES.len()]);
        let plain = Making::suggested(&set, module);
        let making = Making { helix_degrees: helix, chord_mm: 0.02 * module, ..plain };
        let made = parts(&set, &making);
        judge_solids(&made);
        made.parts.iter().for_each(|part| judge_holes(part, &making));
        judge_plates(&set, &made, &making);
    }
}

proptest! {
    #[test]
    fn any_set_is_told_by_its_marks(pick in 0usize..1_000_000) {
        judge_timing(&place(ENTRIES[pick % ENTRIES.len()]));
    }
}
