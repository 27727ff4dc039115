//! What a builder measures: formulas against worked examples, and against micrometers and
//! pins that close on the polygons of outlines.

use coaxle::GearSet;
use coaxle::teeth::{
    Finish, Gauge, GearData, Mesh, Outline, PlacedSet, Side, ToothLimits, WheelData, WheelKind,
    mesh_data, specific_sliding, tooth_data,
};
use proptest::prelude::*;
use std::f64::consts::{PI, TAU};

type Point = [f64; 2];

/// A hundredth of 1 µm at module 1.
const CHORD: f64 = 1e-5;
/// What formulas and polygons may differ by, in modules: a tenth of 1 µm at module 1, and
/// more with pins, which a chord off the flank moves up to three times as far (a pin sits
/// in a wedge), over both sides.
const NEAR: f64 = 1e-4;

struct Made {
    outline: Outline,
    gauge: Gauge,
    polygon: Vec<Point>,
}

fn made(side: Side, teeth: u32, shift: f64, backlash: f64) -> Option<Made> {
    let finish = Finish { backlash, chord: CHORD, ..Finish::default() };
    let (data, outline) = match side {
        Side::External => {
            let data = GearData::external(teeth, shift);
            (data, Outline::external(&data, &finish)?)
        }
        Side::Internal => {
            let data = GearData::internal(teeth, shift);
            (data, Outline::internal(&data, &finish)?)
        }
    };
    let gauge = Gauge::new(&outline, &data, &finish);
    let polygon = outline.closed(1.0, 0.0);
    Some(Made { outline, gauge, polygon })
}

fn radius(point: Point) -> f64 {
    point[0].hypot(point[1])
}

impl Made {
    /// Two parallel anvils, square to the middle of teeth 0 to k − 1, closed on their outer
    /// flanks: the fillets below the form circle are left out, tips are not.
    fn span(&self, teeth: u32) -> f64 {
        let pitch = TAU / f64::from(self.outline.teeth);
        let half = f64::from(teeth - 1) / 2.0 * pitch;
        let across = |[x, y]: Point, turn: f64| {
            // The tooth turned to its place, with the middle of the span on the x axis.
            let (sin, cos) = turn.sin_cos();
            x * sin + y * cos
        };
        let tooth = self.outline.points.iter();
        let tooth: Vec<Point> =
            tooth.copied().filter(|&p| radius(p) >= self.outline.form).collect();
        let upper = tooth.iter().map(|&p| across(p, half)).fold(f64::NEG_INFINITY, f64::max);
        let lower = tooth.iter().map(|&p| across(p, -half)).fold(f64::INFINITY, f64::min);
        upper - lower
    }

    /// The axis of a pin of `diameter` pushed into the gap (in a ring: space) number `gap`
    /// until it touches the polygon.
    fn pin(&self, diameter: f64, gap: u32) -> Point {
        let pitch = TAU / f64::from(self.outline.teeth);
        let angle = pitch * (f64::from(gap) + 0.5);
        let at = |r: f64| [r * angle.cos(), r * angle.sin()];
        // Only what is near: the two teeth beside the gap.
        let count = self.outline.points.len() - 1;
        let from = gap as usize * count;
        let edges: Vec<(Point, Point)> = (from..from + 2 * count)
            .map(|n| {
                (self.polygon[n % self.polygon.len()], self.polygon[(n + 1) % self.polygon.len()])
            })
            .collect();
        let free = |r: f64| edges.iter().all(|&(a, b)| to_segment(at(r), a, b) >= diameter / 2.0);
        let outside = match self.outline.side {
            Side::External => self.outline.tip + diameter,
            Side::Internal => self.outline.tip - diameter,
        };
        let (mut clear, mut foul) = (outside, self.outline.root);
        for _ in 0..50 {
            let middle = (clear + foul) / 2.0;
            *(if free(middle) { &mut clear } else { &mut foul }) = middle;
        }
        at(clear)
    }

    /// Over, in a ring between, two such pins in the gaps that are farthest apart.
    fn over_pins(&self, diameter: f64) -> f64 {
        let [x, y] = self.pin(diameter, 0);
        let [u, v] = self.pin(diameter, self.outline.teeth / 2);
        let apart = (x - u).hypot(y - v);
        if self.outline.side == Side::External { apart + diameter } else { apart - diameter }
    }
}

fn to_segment(p: Point, a: Point, b: Point) -> f64 {
    let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
    let square = dx * dx + dy * dy;
    let along = (((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / square).clamp(0.0, 1.0);
    radius([p[0] - a[0] - along * dx, p[1] - a[1] - along * dy])
}

/// D785, section 10: module 3, 24 teeth, x = +0.4: W over 4 teeth is 32.8266 mm.
#[test]
fn span_of_a_worked_gear() {
    let gear = made(Side::External, 24, 0.4, 0.0).unwrap();
    let span = gear.gauge.span().unwrap();
    assert_eq!(span.teeth, 4);
    assert!((3.0 * span.length - 32.8266).abs() < 5e-5, "{span:?}");
    // Half the backlash is off each wheel, along the line of action.
    let thin = made(Side::External, 24, 0.4, 0.1).unwrap().gauge.span().unwrap();
    assert!((span.length - thin.length - 0.05 * 20f64.to_radians().cos()).abs() < 1e-12);
}

/// D785, section 10: 20 teeth of module 1 ask for pins of 1.7245 mm (1.7244 with unrounded
/// figures between); over pins of 1.7 mm are 22.2941 mm.
#[test]
fn pins_over_a_worked_gear() {
    let gear = made(Side::External, 20, 0.0, 0.0).unwrap().gauge;
    assert!((gear.pin().unwrap() - 1.7245).abs() < 2e-4);
    assert!((gear.pins(1.7).unwrap().length - 22.2941).abs() < 5e-5);
    let best = gear.pins(gear.pin().unwrap()).unwrap();
    assert!((best.contact - 10.0).abs() < 1e-9);
}

/// D785, section 10: a ring of 40 teeth of module 1 asks for pins of 1.6489 mm; between
/// pins of 1.7 mm are 37.5951 mm.
#[test]
fn pins_in_a_worked_ring() {
    let ring = made(Side::Internal, 40, 0.0, 0.0).unwrap().gauge;
    assert!((ring.pin().unwrap() - 1.6489).abs() < 3e-4, "{:?}", ring.pin());
    assert!((ring.pins(1.7).unwrap().length - 37.5951).abs() < 5e-5);
    assert_eq!((ring.span(), ring.span_over(5)), (None, None));
}

#[test]
fn pins_that_do_not_serve_are_refused() {
    let gear = made(Side::External, 20, 0.0, 0.0).unwrap().gauge;
    let ring = made(Side::Internal, 60, 0.0, 0.0).unwrap().gauge;
    for gauge in [gear, ring] {
        // Down to the root, too large for the flank, no pin, no number.
        for diameter in [0.6, 4.0, 0.0, -1.0, f64::NAN] {
            assert_eq!(gauge.pins(diameter), None, "{diameter}");
        }
        // The best are of 1.72 and 1.65 modules. Dowels of 1.5 and 1.6 modules do not stand
        // out beyond the tips, so the next ones are taken; module 40 asks for more than
        // there is.
        for (module, pin) in [(1.0, 2.0), (3.0, 5.0), (10.0, 20.0)] {
            let pins = gauge.workshop_pins(module).unwrap();
            assert!((pins.diameter * module - pin).abs() < 1e-9, "{pins:?}");
        }
        let large = gauge.workshop_pins(40.0).unwrap();
        assert!((large.diameter - gauge.pin().unwrap()).abs() < 1e-3);
    }
}

#[test]
fn tip_thickness_by_the_polygon() {
    for (side, teeth, shift) in
        [(Side::External, 20, 0.3), (Side::External, 12, 0.5), (Side::Internal, 60, -0.2)]
    {
        let wheel = made(side, teeth, shift, 0.04).unwrap();
        let tip = wheel.outline.tip;
        let on_tip = wheel.outline.points.iter().filter(|&&p| (radius(p) - tip).abs() < 1e-9);
        let angles = on_tip.map(|p| p[1].atan2(p[0]));
        let (least, most) = angles.fold((9.0f64, -9.0f64), |(a, b), x| (a.min(x), b.max(x)));
        assert!((wheel.gauge.tip_thickness() - tip * (most - least)).abs() < 1e-6, "{teeth}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    /// A micrometer on the polygon finds W_k, for every k whose anvils meet the flanks.
    #[test]
    fn spans_are_those_of_the_polygon(
        teeth in 9u32..120, shift in -0.5f64..0.8, backlash in 0.0f64..0.2,
    ) {
        let Some(gear) = made(Side::External, teeth, shift, backlash) else { return Ok(()) };
        let Some(span) = gear.gauge.span() else {
            prop_assert!(teeth < 12 || gear.outline.undercut, "{} teeth have no span", teeth);
            return Ok(());
        };
        let (low, high) = (gear.outline.form, gear.outline.tip);
        for k in 2..=teeth / 2 {
            let length = gear.gauge.span_over(k).unwrap();
            let contact = gear.outline.base.hypot(length / 2.0);
            // But for the last polygon's edge at either end.
            if (low + 0.02..=high - 0.02).contains(&contact) {
                prop_assert!((gear.span(k) - length).abs() < NEAR, "k {}: {} {}", k, gear.span(k), length);
            }
            // No other k touches nearer to the V circle than the chosen one.
            let middle = gear.outline.pitch + shift;
            let line = |r: f64| (r * r - gear.outline.base.powi(2)).max(0.0).sqrt();
            if (low..=high).contains(&contact) {
                let off = |length: f64| (length / 2.0 - line(middle)).abs();
                prop_assert!(off(span.length) <= off(length) + 1e-9);
            }
        }
    }

    /// Pins on the polygon are found where the formula says, the best one and others, with
    /// odd and even teeth.
    #[test]
    fn pins_are_those_of_the_polygon(
        teeth in 9u32..120, shift in -0.5f64..0.8, backlash in 0.0f64..0.2, factor in 0.85f64..1.2,
        internal in any::<bool>(),
    ) {
        let side = if internal { Side::Internal } else { Side::External };
        let teeth = if internal { teeth + 26 } else { teeth };
        let Some(wheel) = made(side, teeth, shift, backlash) else { return Ok(()) };
        let Some(best) = wheel.gauge.pin() else {
            prop_assert!(wheel.outline.pitch + shift < wheel.outline.form);
            return Ok(());
        };
        let mut served = 0;
        for diameter in [best, best * factor] {
            let Some(pins) = wheel.gauge.pins(diameter) else { continue };
            served += 1;
            let found = wheel.over_pins(diameter);
            prop_assert!((found - pins.length).abs() < 3.0 * NEAR, "{} {:?}", found, pins);
            if diameter == best {
                prop_assert!((pins.contact - wheel.outline.pitch - shift).abs() < 1e-9);
            }
        }
        let middle = wheel.outline.pitch + shift;
        let ends = [wheel.outline.form, wheel.outline.tip];
        let inside = middle > ends[0].min(ends[1]) && middle < ends[0].max(ends[1]);
        // Where the best pin rests on the root, or (in a ring of much negative shift) lies deeper
        // than the tips reach, or its wedge is slender, none may serve: measured on the polygon.
        let across = if teeth % 2 == 1 { (PI / f64::from(2 * teeth)).cos() } else { 1.0 };
        let sign = if internal { -1.0 } else { 1.0 };
        let centre = (wheel.over_pins(best) - sign * best) / (2.0 * across);
        let rests = sign * (centre - wheel.outline.root) <= best / 2.0 + NEAR;
        let sunk = sign * (wheel.outline.tip - centre) >= best / 2.0 - NEAR;
        let slender = (1.0 - (wheel.outline.base / centre).powi(2)).max(0.0).sqrt() < 0.1 + NEAR;
        prop_assert!(served > 0 || !inside || rests || sunk || slender, "no pin serves, V circle {} in {:?}", middle, ends);
    }
}

fn placed(backlash: f64) -> (PlacedSet, ToothLimits, Finish) {
    let limits = ToothLimits::default();
    let finish = Finish { backlash, ..Finish::default() };
    let set = GearSet { planets: Some(3), ..GearSet::single(30, 66) };
    (PlacedSet::new(&set, &limits, &finish).unwrap(), limits, finish)
}

/// Sun 30, planet 18, ring 66, x = −0.1, 0.1, 0.1, module 2: by hand.
#[test]
fn the_table_of_a_usual_set() {
    let (set, limits, finish) = placed(0.05);
    let wheels = tooth_data(&set, &limits, &finish, 2.0);
    let kinds: Vec<_> = wheels.iter().map(|wheel| wheel.wheel).collect();
    assert_eq!(kinds, [WheelKind::Sun, WheelKind::Planet, WheelKind::Ring]);
    let near = |a: f64, b: f64| (a - b).abs() < 1e-9;
    let [sun, planet, ring] = [0, 1, 2].map(|index: usize| -> WheelData { wheels[index] });
    assert!(near(sun.reference_diameter, 60.0) && near(ring.reference_diameter, 132.0));
    assert!(near(sun.root_diameter, 2.0 * (30.0 - 0.2 - 2.5)) && near(sun.shift, -0.1));
    assert!(near(planet.root_diameter, 2.0 * (18.0 + 0.2 - 2.5)));
    assert!(near(ring.root_diameter, 2.0 * (66.0 + 0.2 + 2.5)));
    // Half a pitch, the shift, half the backlash.
    let wide = 2.0 * (PI / 2.0 - 0.2 * 20f64.to_radians().tan() - 0.025);
    assert!(near(sun.thickness, wide) && near(ring.thickness, wide), "{}", sun.thickness);
    for wheel in wheels {
        let pins = wheel.pins.unwrap();
        assert!([3.0, 4.0].iter().any(|&pin| near(pins.diameter, pin)), "{pins:?}");
        assert_eq!(wheel.span.is_none(), wheel.wheel == WheelKind::Ring);
        assert!(wheel.tip_thickness > 0.4 && wheel.tip_thickness < wheel.thickness);
    }
}

#[test]
fn the_meshes_of_a_usual_set() {
    let (set, limits, finish) = placed(0.05);
    let meshes = mesh_data(&set, &limits, &finish, 2.0);
    assert_eq!(meshes.len(), 2);
    for mesh in &meshes {
        assert!((mesh.centre_distance - 48.0).abs() < 1e-9);
        assert!((mesh.operating_angle - 20.0).abs() < 1e-9);
        assert_eq!(mesh.contact_ratio, set.contact_ratio(mesh.mesh).unwrap());
        assert!((mesh.backlash - 0.1).abs() < 1e-12);
        assert!((mesh.normal_backlash - 0.1 * 20f64.to_radians().cos()).abs() < 1e-12);
        // The rack's clearance, or more where a tip is shortened.
        assert!(mesh.tip_clearance.iter().all(|&gap| (0.5 - 1e-9..0.8).contains(&gap)));
        assert!(mesh.tip_clearance.iter().any(|gap| (gap - 0.5).abs() < 1e-9));
    }
    // An odd planet: both meshes at one distance, each at its own angle.
    let odd = ToothLimits { odd_planet: true, unequal_spacing: true, ..limits };
    let set = PlacedSet::new(&GearSet::single(31, 74), &odd, &finish).unwrap();
    let meshes = mesh_data(&set, &odd, &finish, 1.0);
    for (mesh, standard) in meshes.iter().zip([26.0, 26.5]) {
        let cosine = standard * 20f64.to_radians().cos() / mesh.centre_distance;
        assert!((mesh.operating_angle - cosine.acos().to_degrees()).abs() < 1e-9);
    }
    assert_eq!(meshes[0].centre_distance, meshes[1].centre_distance);
}

/// Sliding by velocities: both wheels turn about their axes, the flanks touch on the line
/// of action where a tip circle cuts it.
#[test]
fn specific_sliding_by_velocities() {
    let (set, ..) = placed(0.0);
    let alpha = 20f64.to_radians();
    for mesh in [Mesh::SunPlanet, Mesh::PlanetRing] {
        let (one, two, internal) = match mesh {
            Mesh::SunPlanet => (&set.sun, &set.planet, false),
            _ => (&set.planet, &set.ring, true),
        };
        let a = set.sun_centre;
        let (axis, away) = ([0.0, 0.0], [if internal { -a } else { a }, 0.0]);
        // Unshifted distance: the pitch point is on the reference circle.
        let pitch = [one.pitch, 0.0];
        let along = [alpha.sin(), alpha.cos()];
        let at = |t: f64| [pitch[0] + t * along[0], pitch[1] + t * along[1]];
        let cut = |centre: Point, tip: f64, towards: f64| {
            let (mut near, mut far) = (0.0, towards * one.base);
            let from = |t: f64| radius([at(t)[0] - centre[0], at(t)[1] - centre[1]]);
            let start = from(near) < tip;
            for _ in 0..60 {
                let middle = (near + far) / 2.0;
                *(if (from(middle) < tip) == start { &mut near } else { &mut far }) = middle;
            }
            at(near)
        };
        let rolling = |point: Point, centre: Point, speed: f64| {
            let arm = [point[0] - centre[0], point[1] - centre[1]];
            let velocity = [-speed * arm[1], speed * arm[0]];
            // Square to the line of action.
            velocity[0] * along[1] - velocity[1] * along[0]
        };
        let speed = f64::from(one.teeth) / f64::from(two.teeth);
        let speed = if internal { speed } else { -speed };
        let told = specific_sliding(&set, mesh).unwrap();
        let mut seen = Vec::new();
        for direction in [-1.0, 1.0] {
            // Where the second wheel's tip is, the first one's root is, and the other way.
            for (centre, tip, first) in [(away, two.tip, true), (axis, one.tip, false)] {
                let point = cut(centre, tip, direction);
                if (radius([point[0] - centre[0], point[1] - centre[1]]) - tip).abs() > 1e-6 {
                    continue;
                }
                let (v1, v2) = (rolling(point, axis, 1.0), rolling(point, away, speed));
                let slid = if first { (v1 - v2) / v1 } else { (v2 - v1) / v2 };
                seen.push((first, slid));
            }
        }
        for (first, expected) in [(true, told[0]), (false, told[1])] {
            let hit = seen.iter().any(|&(f, slid)| f == first && (slid - expected).abs() < 1e-6);
            assert!(hit && expected < 0.0, "{mesh:?} {expected}: {seen:?}");
        }
    }
}

/// Shifts that are given are those of the wheels, and the conditions' own give the same set.
#[test]
fn a_set_with_given_shifts() {
    let (set, limits, finish) = placed(0.05);
    let given = GearSet { planets: Some(3), ..GearSet::single(30, 66) };
    let again = PlacedSet::with_shifts(&given, &limits, &finish, &set.shifts).unwrap();
    assert_eq!(again, set);
    let apart = coaxle::teeth::Shifts { ring: 0.3, ..set.shifts };
    assert_eq!(PlacedSet::with_shifts(&given, &limits, &finish, &apart), None);
}
