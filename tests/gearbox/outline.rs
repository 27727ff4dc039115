//! Outlines of wheels against textbook figures, against a rack that really cuts, and as
//! shapes: symmetric, smooth, simple.

use coaxle::teeth::{Finish, GearData, Outline, Side};
use proptest::prelude::*;
use std::f64::consts::{PI, TAU};

type Point = [f64; 2];

const ALPHA: f64 = 20.0 / 180.0 * PI;

fn fine() -> Finish {
    Finish { chord: 1e-5, ..Finish::default() }
}

fn external(teeth: u32, shift: f64) -> Outline {
    Outline::external(&GearData::external(teeth, shift), &fine()).unwrap()
}

fn internal(teeth: u32, shift: f64) -> Outline {
    Outline::internal(&GearData::internal(teeth, shift), &fine()).unwrap()
}

fn radius(point: Point) -> f64 {
    point[0].hypot(point[1])
}

/// Half the tooth's angle where the outline crosses the circle of radius `at`, read off
/// the polygon.
fn half_angle(outline: &Outline, at: f64) -> f64 {
    let lower = &outline.points[..=outline.points.len() / 2];
    let crosses = |p: &&[Point]| (radius(p[0]) - at) * (radius(p[1]) - at) <= 0.0;
    let edge = lower.windows(2).find(crosses).expect("the circle cuts the flank");
    let (r0, r1) = (radius(edge[0]), radius(edge[1]));
    let part = if r1 == r0 { 0.0 } else { (at - r0) / (r1 - r0) };
    let between = |axis: usize| edge[0][axis] + part * (edge[1][axis] - edge[0][axis]);
    -between(1).atan2(between(0))
}

fn area(polygon: &[Point]) -> f64 {
    let next = polygon.iter().cycle().skip(1);
    polygon.iter().zip(next).map(|(a, b)| a[0] * b[1] - b[0] * a[1]).sum::<f64>() / 2.0
}

/// Standard 20-tooth gear: d = 20, d_b = 20 cos 20° = 18.7939, d_a = 22, d_f = 17.5; the
/// involute begins where the rack's flank ends one module below the pitch line:
/// r_F = √(r_b² + (r sin α − h_a / sin α)²) = √(9.39693² + 0.49640²) = 9.41003.
#[test]
fn radii_of_a_standard_gear() {
    let gear = external(20, 0.0);
    assert_eq!(gear.side, Side::External);
    assert!((gear.base - 9.396926).abs() < 1e-6);
    assert_eq!((gear.tip, gear.root, gear.pitch), (11.0, 8.75, 10.0));
    assert!((gear.form - 9.41003).abs() < 1e-5, "{}", gear.form);
    let radii = gear.points.iter().map(|&point| radius(point));
    let (least, most) = radii.fold((99.0f64, 0.0f64), |(a, b), r| (a.min(r), b.max(r)));
    assert!((least - 8.75).abs() < 1e-4 && (most - 11.0).abs() < 1e-9);
    let ring = internal(60, 0.0);
    assert_eq!((ring.side, ring.tip, ring.root), (Side::Internal, 29.0, 31.25));
}

/// s = π/2 + 2x tan α at the pitch circle, less half the backlash; a ring's tooth has
/// π/2 − 2x tan α.
#[test]
fn thickness_at_the_pitch_circle() {
    for (teeth, shift) in [(12, 0.4), (20, 0.0), (20, 0.5), (35, -0.3), (90, 0.2)] {
        let wide = PI / 2.0 + 2.0 * shift * ALPHA.tan();
        for backlash in [0.0, 0.1] {
            let finish = Finish { backlash, ..fine() };
            let gear = Outline::external(&GearData::external(teeth, shift), &finish).unwrap();
            let found = 2.0 * gear.pitch * half_angle(&gear, gear.pitch);
            assert!((found - wide + backlash / 2.0).abs() < 1e-4, "{teeth} {shift}: {found}");
            if teeth > 34 {
                let ring = Outline::internal(&GearData::internal(teeth, shift), &finish).unwrap();
                let found = 2.0 * ring.pitch * half_angle(&ring, ring.pitch);
                assert!((found - (PI - wide) + backlash / 2.0).abs() < 1e-4, "{found}");
            }
        }
    }
}

/// Undercut begins below 2 / sin² 20° = 17.1 teeth, and below x = (17.1 − z) / 17.1.
#[test]
fn undercut_begins_below_17_1_teeth() {
    assert!(!external(18, 0.0).undercut);
    assert!(external(17, 0.0).undercut);
    for teeth in 8..17 {
        let least = (17.097 - f64::from(teeth)) / 17.097;
        assert!(!external(teeth, least + 0.001).undercut);
        assert!(external(teeth, least - 0.001).undercut);
    }
    // Undercut takes the involute away from the base circle on.
    let cut = external(8, 0.0);
    assert!(cut.form > cut.base + 0.04, "{} {}", cut.form, cut.base);
}

/// The rack that cuts the gear, drawn as ISO 53 shows it: h_a + 0.25 deep, flanks at 20°,
/// tip edges rounded with 0.25 / (1 − sin 20°).
struct Cutter {
    /// The rounding's centre below the pitch line and beside the tooth's middle.
    centre: Point,
    rounding: f64,
}

impl Cutter {
    fn new(shift: f64, wider: f64) -> Self {
        let rounding = 0.25 / (1.0 - ALPHA.sin());
        let below = 1.25 - rounding;
        let half = PI / 4.0 + wider / 2.0 - below * ALPHA.tan() - rounding / ALPHA.cos();
        Self { centre: [shift - below, half], rounding }
    }

    /// Signed distance of a point from the cutter's tooth, positive outside.
    fn distance(&self, [xi, eta]: Point) -> f64 {
        let [bottom, half] = self.centre;
        let eta = eta.abs();
        // The tooth is everything within the rounding's radius of this sharp one.
        let beside = (eta - half) * ALPHA.cos() - (xi - bottom) * ALPHA.sin();
        let along = (xi - bottom) * ALPHA.cos() + (eta - half) * ALPHA.sin();
        let sharp = match () {
            () if eta <= half && xi <= bottom => bottom - xi,
            () if along <= 0.0 && eta > half => (eta - half).hypot(xi - bottom),
            () => beside.max(bottom - xi),
        };
        sharp - self.rounding
    }

    /// The least distance of a point of the gear (gap centre on the x axis) from the
    /// cutter as it rolls past.
    fn least(&self, [x, y]: Point, pitch: f64) -> f64 {
        let at = |travel: f64| {
            let (sin, cos) = (travel / pitch).sin_cos();
            self.distance([x * cos - y * sin - pitch, x * sin + y * cos - travel])
        };
        let coarse = (-2000..=2000).map(|step| f64::from(step) * 0.004);
        let best = coarse.min_by(|&a, &b| at(a).total_cmp(&at(b))).unwrap();
        (-400..=400).map(|step| at(best + f64::from(step) * 1e-5)).fold(f64::MAX, f64::min)
    }
}

/// Every corner of the outline below the tip is touched by the rolling rack and none is
/// cut off: fillet, involute and undercut at once, found by no formula of theirs.
#[test]
fn a_rolling_rack_touches_the_whole_outline() {
    let gears = [(6, 0.3), (8, 0.0), (12, 0.0), (12, 0.5), (17, 0.0), (30, -0.4), (60, 0.2)];
    for (teeth, shift) in gears {
        for backlash in [0.0, 0.1] {
            let finish = Finish { backlash, chord: 1e-3, ..Finish::default() };
            let gear = Outline::external(&GearData::external(teeth, shift), &finish).unwrap();
            let cutter = Cutter::new(shift, backlash / 2.0);
            let (sin, cos) = (PI / f64::from(teeth)).sin_cos();
            let half = &gear.points[..gear.points.len() / 2];
            let below = half.iter().filter(|&&point| radius(point) < gear.tip - 1e-6);
            let (mut count, mut worst) = (0, 0.0f64);
            for &[x, y] in below {
                // The gap on the tooth's right, turned onto the x axis.
                let left = cutter.least([x * cos - y * sin, x * sin + y * cos], gear.pitch);
                worst = worst.max(left.abs());
                count += 1;
            }
            assert!(count > 12 && worst < 2e-6, "{teeth} {shift}: {count} points, {worst}");
        }
    }
}

/// The space of a ring is the tooth of an external gear.
#[test]
fn a_ring_is_the_mould_of_a_gear() {
    for (teeth, shift) in [(40, 0.0), (66, 0.3), (110, -0.4)] {
        let (gear, ring) = (external(teeth, shift), internal(teeth, shift));
        let from = gear.form.max(ring.tip) + 1e-3;
        let to = gear.tip.min(ring.form) - 1e-3;
        for step in 0..=20 {
            let at = from + (to - from) * f64::from(step) / 20.0;
            let sum = half_angle(&gear, at) + half_angle(&ring, at);
            assert!((sum - PI / f64::from(teeth)).abs() * at < 3e-5, "{teeth} at {at}");
        }
    }
}

/// Between root and tip circle, and closer to the true area the finer the chords: within
/// chord times the length of the outline.
#[test]
fn areas_settle_as_chords_get_finer() {
    for teeth in [10, 25, 80] {
        let of = |chord: f64| {
            let finish = Finish { chord, ..Finish::default() };
            let gear = Outline::external(&GearData::external(teeth, 0.2), &finish).unwrap();
            (area(&gear.closed(1.0, 0.0)), gear)
        };
        let (exact, gear) = of(1e-7);
        assert!(exact > PI * gear.root.powi(2) && exact < PI * gear.tip.powi(2));
        for chord in [0.01, 0.002, 1e-4] {
            let length = f64::from(teeth) * 6.5;
            assert!((of(chord).0 - exact).abs() < chord * length);
        }
        // Scale and turn are what they say.
        let scaled = gear.closed(1.5, 0.3);
        assert!((area(&scaled) - 2.25 * exact).abs() < 1e-9 * exact);
        let middle = scaled[gear.points.len() / 2];
        assert!((middle[1].atan2(middle[0]) - 0.3).abs() < 1e-9);
        assert!((radius(middle) - 1.5 * gear.tip).abs() < 1e-9);
    }
}

/// All pieces meet without a kink: root circle, fillet, involute, rounded tip, tip circle.
#[test]
fn a_rounded_tooth_has_no_kinks() {
    let finish = Finish { chord: 1e-6, tip_rounding: 0.15, ..Finish::default() };
    let mut told = Vec::new();
    for (teeth, shift) in [(18, 0.0), (25, 0.4), (40, -0.3), (100, 0.0)] {
        told.push(Outline::external(&GearData::external(teeth, shift), &finish).unwrap());
        if teeth >= 40 {
            told.push(Outline::internal(&GearData::internal(teeth, shift), &finish).unwrap());
        }
    }
    for outline in told {
        let direction = |p: &[Point]| (p[1][1] - p[0][1]).atan2(p[1][0] - p[0][0]);
        let directions: Vec<f64> = outline.points.windows(2).map(direction).collect();
        let turn = |pair: &[f64]| ((pair[1] - pair[0] + PI).rem_euclid(TAU) - PI).abs();
        let sharpest = directions.windows(2).map(turn).fold(0.0, f64::max);
        // An arc of 0.15 modules in chords of 1e-6 turns by 4 √(2e-6 / 0.15) at most.
        assert!(sharpest < 0.016, "{} teeth: {sharpest}", outline.teeth);
    }
}

fn crossing(a: &[Point], b: &[Point]) -> bool {
    let side = |p: Point, q: Point, r: Point| {
        (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])
    };
    side(a[0], a[1], b[0]) * side(a[0], a[1], b[1]) < 0.0
        && side(b[0], b[1], a[0]) * side(b[0], b[1], a[1]) < 0.0
}

/// The tooth stays in its sector, is its own mirror image, and crosses itself nowhere; so
/// the closed polygon, made of turned copies, is simple too.
fn shape_holds(outline: &Outline) -> Result<(), TestCaseError> {
    let (points, half) = (&outline.points, PI / f64::from(outline.teeth));
    let angle = |point: &Point| point[1].atan2(point[0]);
    prop_assert!((angle(&points[0]) + half).abs() < 1e-9);
    prop_assert!((angle(points.last().unwrap()) - half).abs() < 1e-9);
    for (one, two) in points.iter().zip(points.iter().rev()) {
        prop_assert!((one[0] - two[0]).abs() < 1e-12 && (one[1] + two[1]).abs() < 1e-12);
        prop_assert!(angle(one).abs() < half + 1e-9);
        let (least, most) = (outline.root.min(outline.tip), outline.root.max(outline.tip));
        prop_assert!(radius(*one) > least - 1e-9 && radius(*one) < most + 1e-9);
    }
    let edges: Vec<&[Point]> = points.windows(2).collect();
    for (index, edge) in edges.iter().enumerate() {
        for other in edges.iter().skip(index + 2) {
            prop_assert!(!crossing(edge, other), "{edge:?} crosses {other:?}");
        }
    }
    let closed = outline.closed(1.0, 0.0);
    prop_assert_eq!(closed.len(), (points.len() - 1) * outline.teeth as usize);
    prop_assert!(area(&closed) > 0.0);
    Ok(())
}

proptest! {
    /// From 6 to 200 teeth, from well undercut to pointed, thinned and rounded: there is an
    /// outline, and it is sound.
    #[test]
    fn outlines_are_sound(
        teeth in 6u32..=200,
        part in 0.0f64..1.0,
        backlash in prop_oneof![Just(0.0), 0.0f64..0.2],
        tip_rounding in prop_oneof![Just(0.0), 0.0f64..0.5],
        coarse in any::<bool>(),
    ) {
        let chord = if coarse { 0.002 } else { 1e-4 };
        let finish = Finish { backlash, tip_rounding, chord };
        let undercut = 1.0 - f64::from(teeth) / 17.097;
        let low = (undercut - 0.3).max(-0.8);
        let shift = low + part * (0.9 - low);
        let gear = Outline::external(&GearData::external(teeth, shift), &finish);
        shape_holds(&gear.expect("an outline of the gear"))?;
        if teeth >= 20 {
            let shift = part * 1.6 - 0.8;
            match Outline::internal(&GearData::internal(teeth, shift), &finish) {
                Some(ring) => shape_holds(&ring)?,
                // The spaces of a small ring that is much shifted come to a point before
                // their root: there is no such ring.
                None => prop_assert!(teeth < 24 && shift > 0.6, "no ring of {teeth}, {shift}"),
            }
        }
    }

    /// Whatever is asked, the answer is a sound tooth or none.
    #[test]
    fn nonsense_is_declined(
        teeth in 0u32..30,
        shift in -3.0f64..3.0,
        tip in 0.0f64..20.0,
        pressure_angle in 5.0f64..45.0,
        addendum in 0.1f64..3.0,
        backlash in -1.0f64..1.0,
        tip_rounding in -1.0f64..9.0,
    ) {
        let data = GearData { teeth, shift, tip, pressure_angle, addendum };
        let finish = Finish { backlash, tip_rounding, chord: 0.01 };
        let both = [Outline::external(&data, &finish), Outline::internal(&data, &finish)];
        for outline in both.into_iter().flatten() {
            shape_holds(&outline)?;
        }
    }
}

/// Where no tooth can be, none is told.
#[test]
fn teeth_that_cannot_be_are_none() {
    let none = |data: GearData| {
        assert_eq!(Outline::external(&data, &Finish::default()), None, "{data:?}");
    };
    none(GearData { tip: 8.0, ..GearData::external(20, 0.0) });
    none(GearData { pressure_angle: 35.0, ..GearData::external(20, 0.0) });
    none(GearData::external(6, -1.5));
    let data = GearData { tip: 32.0, ..GearData::internal(60, 0.0) };
    assert_eq!(Outline::internal(&data, &Finish::default()), None);
}
