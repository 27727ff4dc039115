//! The planetary tooth problem of competitions in constrained optimisation: three ratios of
//! a gearbox with meshing planets of two kinds, as near to their wishes as can be.
//!
//! Problem RC22 of A. Kumar and others, "A test-suite of non-convex constrained
//! optimization problems from the real-world and some baseline results", Swarm and
//! Evolutionary Computation 56 (2020), 100693. `plain.rs` has it word by word.

use std::f64::consts::PI;

use super::areas::{Area, Problem, Quotient, Side, Verdict, area_of};

/// N1 to N6; p, the number of planets; m1 and m2 in quarters of a millimetre, which makes
/// neighbours of the six modules from 1.75 to 3.
pub const WHOLE: Area<9> = [
    Side::new(17, 96),
    Side::new(14, 54),
    Side::new(14, 51),
    Side::new(17, 46),
    Side::new(14, 51),
    Side::new(48, 124),
    Side::new(3, 5),
    Side::new(7, 12),
    Side::new(7, 12),
];

/// Far above what doubles lose in a few operations on numbers up to some ten thousand.
const SLACK: f64 = 1e-6;

/// Worth max(|i1 - 3.11|, |i2 - 1.84|, |iR + 3.11|).
pub struct Planetary;

impl Problem<9> for Planetary {
    /// Planets of different kinds are not asked for before an area is a point: a bound for
    /// them was tried, and spared one area in thirteen but no time.
    fn least(&self, area: &Area<9>) -> Option<Quotient> {
        let may_be = wheels_may_fit(area) && room_beside_planets(area) >= -SLACK;
        may_be.then(|| farthest_ratio(area))
    }

    fn verdict(&self, point: &[i64; 9]) -> Verdict {
        let room =
            room_between_kinds(point).map(|room| room.min(room_beside_planets(&area_of(*point))));
        match room {
            Some(room) if room > SLACK => Verdict::Allowed,
            Some(room) if room >= -SLACK => Verdict::Unclear,
            _ => Verdict::Forbidden,
        }
    }

    fn deciding(&self) -> &[usize] {
        &[0, 1, 2, 3, 5]
    }
}

/// The largest of the three distances from the wishes, each the least over the area.
///
/// All three ratios are quotients of polynomials linear in each variable, with bottoms that
/// are positive everywhere (N6 > N4), so each goes one way along each variable. The forms
/// i1 = N6/N4, -iR = N2 N6/(N1 N3) and i2 = (1 + N2 N4/(N1 N3)) / (1 - N4/N6) show which
/// way, and so which two corners hold the extremes. Whole numbers throughout, so nothing is
/// rounded.
fn farthest_ratio(&[n1, n2, n3, n4, _, n6, ..]: &Area<9>) -> Quotient {
    let first = |n4: i64, n6: i64| Quotient::new(100 * n6 - 311 * n4, 100 * n4);
    let second = |n2: i64, n4: i64, n6: i64, n1n3: i64| {
        let bottom = n1n3 * (n6 - n4);
        Quotient::new(100 * n6 * (n1n3 + n2 * n4) - 184 * bottom, 100 * bottom)
    };
    let reverse =
        |n2: i64, n6: i64, n1n3: i64| Quotient::new(100 * n2 * n6 - 311 * n1n3, 100 * n1n3);
    let (fewest, most) = (n1.low * n3.low, n1.high * n3.high);
    let ranges = [
        (first(n4.high, n6.low), first(n4.low, n6.high)),
        (second(n2.low, n4.low, n6.high, most), second(n2.high, n4.high, n6.low, fewest)),
        (reverse(n2.low, n6.low, most), reverse(n2.high, n6.high, fewest)),
    ];
    let distances = ranges.map(|(low, high)| Quotient::nearest_to_zero(low, high));
    distances.into_iter().fold(Quotient::ZERO, Ord::max)
}

/// Whether each condition that is of whole numbers alone can be met for itself: diameters,
/// equal centre distances, room between planets and ring, assembly.
///
/// Each goes one way along each variable, so the corner that serves it best decides. In
/// quarters of a millimetre D = 220 is 880.
fn wheels_may_fit(&[n1, n2, n3, n4, n5, n6, p, m1, m2]: &Area<9>) -> bool {
    let diameters = m2.low * (2 * n6.low + 5) <= 2 * 880
        && m1.low * (n1.low + 2 * n2.low + 2) <= 880
        && m2.low * (n4.low + 2 * n5.low + 2) <= 880;
    // |m1 (N1 + N2) - m2 (N6 - N3)| <= m1 + m2, either sign for itself.
    let centres = m1.low * (n1.low + n2.low - 1) <= m2.high * (n6.high - n3.low + 1)
        && m2.low * (n6.low - n3.high - 1) <= m1.high * (n1.high + n2.high + 1);
    let ring = n6.high - 2 * n3.low - n4.low >= 5 && n6.high - n4.low - 2 * n5.low >= 5;
    let (fewest, most) = (n6.low - n4.high, n6.high - n4.low);
    let assembly = (p.low..=p.high).any(|p| most.div_euclid(p) * p >= fewest);
    diameters && centres && ring && assembly
}

/// The most room, in modules, between neighbouring planets of the kind that has least:
/// (N1 + N2) sin(pi/p) - (N2 + 2.5) for N2, and so on. Nowhere in the area is more, but for
/// rounding; at a point it is the room itself.
///
/// The sine is below one and falls with p, so small planets on large circles, and few of
/// them, have most. N2 and N5 widen the circles less than they need; N3 narrows its own.
fn room_beside_planets(&[n1, n2, n3, n4, n5, n6, p, ..]: &Area<9>) -> f64 {
    let sine = (PI / p.low as f64).sin();
    let room = |circle: i64, planet: i64| circle as f64 * sine - (planet as f64 + 2.5);
    room(n1.high + n2.low, n2.low)
        .min(room(n6.high - n3.low, n3.low))
        .min(room(n4.high + n5.low, n5.low))
}

/// What is left of the squared distance between planets of different kinds that do not
/// mesh, after what they need; `None` where the triangle does not close.
///
/// From the axis, planets N3 are at A = N6 - N3 and planets N5 at B = N4 + N5; where they
/// mesh they are C = N3 + N5 apart, which makes beta the angle between A and B, and
/// 2 pi/p - beta the angle to the next N3. If A, B and C make no triangle, cos beta is not
/// within [-1, 1]: at no angle do the two planets mesh, and the condition cannot be met.
///
/// 2 A B cos(2 pi/p - beta) is written out as K cos(2 pi/p) + sqrt(4 A² B² - K²) sin(2 pi/p)
/// with K = A² + B² - C²; the root is of a whole number, so a flat triangle loses nothing,
/// as an arc cosine would.
fn room_between_kinds(&[_, _, n3, n4, n5, n6, p, ..]: &[i64; 9]) -> Option<f64> {
    let (a, b, c) = (n6 - n3, n4 + n5, n3 + n5);
    let k = a * a + b * b - c * c;
    let root = 4 * a * a * b * b - k * k;
    if root < 0 {
        return None;
    }
    let (sine, cosine) = (2.0 * PI / p as f64).sin_cos();
    let twice = k as f64 * cosine + (root as f64).sqrt() * sine;
    let needed = c as f64 + 2.5;
    Some((a * a + b * b) as f64 - twice - needed * needed)
}
