//! Curves of a tooth: the involute, the trochoid that a rack's rounded tip leaves, arcs that
//! round a corner; and how any of them becomes points.
//!
//! Lengths are in modules, angles in radians. Knows one flank, not whole wheels.

use super::involute::{CLEARANCE, Rack, inv};
use std::f64::consts::{FRAC_PI_2, FRAC_PI_4, PI};

/// A point in the plane of the wheel.
pub(super) type Point = [f64; 2];

/// The point at `radius` and `angle`.
pub(super) fn polar(radius: f64, angle: f64) -> Point {
    [radius * angle.cos(), radius * angle.sin()]
}

/// Distance between two points.
pub(super) fn distance(a: Point, b: Point) -> f64 {
    (a[0] - b[0]).hypot(a[1] - b[1])
}

/// Distance from `point` to the segment from `a` to `b`.
pub(super) fn distance_to_segment(point: Point, a: Point, b: Point) -> f64 {
    let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
    let square = dx * dx + dy * dy;
    let along = ((point[0] - a[0]) * dx + (point[1] - a[1]) * dy) / square;
    let along = if square > 0.0 { along.clamp(0.0, 1.0) } else { 0.0 };
    distance(point, [a[0] + along * dx, a[1] + along * dy])
}

/// Points of `curve` from parameter `from` to `to` are put behind the last of `points`,
/// halving until the middle of each piece lies within `chord` of its straight line.
pub(super) fn flatten(
    curve: &impl Fn(f64) -> Point,
    from: f64,
    to: f64,
    chord: f64,
    points: &mut Vec<Point>,
) {
    // More halvings than any chord worth drawing needs.
    const DEEPEST: u32 = 12;
    let (start, end) = (curve(from), curve(to));
    if points.last().is_none_or(|&last| distance(last, start) > 1e-9) {
        points.push(start);
    }
    halve(curve, (from, start), (to, end), (chord, DEEPEST), points);
}

fn halve(
    curve: &impl Fn(f64) -> Point,
    from: (f64, Point),
    to: (f64, Point),
    (chord, deeper): (f64, u32),
    points: &mut Vec<Point>,
) {
    let middle = (from.0 + to.0) / 2.0;
    let point = curve(middle);
    if deeper == 0 || distance_to_segment(point, from.1, to.1) <= chord {
        if distance(from.1, to.1) > 1e-9 {
            points.push(to.1);
        }
        return;
    }
    halve(curve, from, (middle, point), (chord, deeper - 1), points);
    halve(curve, (middle, point), to, (chord, deeper - 1), points);
}

/// Where `holds` changes from true at `yes` to false at `no`; the last true value found.
pub(super) fn border(mut yes: f64, mut no: f64, holds: impl Fn(f64) -> bool) -> f64 {
    for _ in 0..50 {
        let middle = (yes + no) / 2.0;
        if holds(middle) {
            yes = middle;
        } else {
            no = middle;
        }
    }
    yes
}

/// The involute flank of a tooth (or of a ring's space): base radius and the half angle
/// between flank and centre line at the base circle, s / 2r + inv α with the thickness s
/// at the pitch circle r. Source: ISO 21771.
#[derive(Clone, Copy, Debug)]
pub(super) struct Involute {
    pub base: f64,
    pub half: f64,
}

impl Involute {
    /// The flank of a wheel of `teeth` whose tooth (ring: space) is `thickness` wide at the
    /// pitch circle.
    pub fn new(rack: &Rack, teeth: f64, thickness: f64) -> Self {
        Self { base: teeth / 2.0 * rack.cos, half: thickness / teeth + rack.inv }
    }

    /// The same flank moved by `by` into the tooth along its normal: the parallel of an
    /// involute is the involute turned by `by` / r_b.
    pub fn inside(&self, by: f64) -> Self {
        Self { half: self.half - by / self.base, ..*self }
    }

    /// √(r² − r_b²): the length of the generating line where the flank has radius `radius`;
    /// 0 inside the base circle.
    pub fn length_at(&self, radius: f64) -> f64 {
        (radius * radius - self.base * self.base).max(0.0).sqrt()
    }

    /// Half the tooth's angle at `radius`: ψ_b − inv α_r.
    pub fn half_at(&self, radius: f64) -> f64 {
        self.half - inv((self.length_at(radius) / self.base).atan())
    }

    /// Radius and half angle where the generating line is `length` long.
    pub fn at_length(&self, length: f64) -> (f64, f64) {
        let roll = length / self.base;
        (self.base.hypot(length), self.half - (roll - roll.atan()))
    }
}

/// The tip of the rack that generates an external gear: ISO 53 basic rack A with its
/// rounding ρ_f, or the largest that fits between the flanks.
#[derive(Clone, Copy, Debug)]
pub(super) struct RackTip {
    /// Of the tip below the rack's datum line: h_a + c.
    pub depth: f64,
    /// ρ_f.
    pub rounding: f64,
    /// Half the width of the rack's tooth at its datum line.
    pub half_width: f64,
}

impl RackTip {
    /// ρ_f = c / (1 − sin α), 0.38 at 20°, with which the straight flank ends h_a below the
    /// datum line; less where the two roundings would overlap. `wider` is added to the
    /// rack's tooth, which thins the gear's. `None` where the rack's tooth is pointed before
    /// it is h_a + c deep.
    pub fn new(rack: &Rack, wider: f64) -> Option<Self> {
        let depth = rack.addendum + CLEARANCE;
        let half_width = FRAC_PI_4 + wider / 2.0;
        let flat = half_width - depth * rack.tan;
        let rounding = CLEARANCE.min(flat * rack.cos) / (1.0 - rack.sin);
        (flat > 0.0).then_some(Self { depth, rounding, half_width })
    }
}

/// The root fillet of an external gear: the envelope of a rack's tip rounding, as the rack
/// rolls on the pitch circle. The gap's centre is the x axis, the fillet lies above it.
///
/// In the rack's frame the rounding's centre C stands at (ξ, η) from the pitch line and
/// the gap's centre. The common normal of tool and gear passes the pitch point P, so the
/// point of the rounding that cuts is the one seen from P through C: for the direction
/// (−cos θ, sin θ), the rack stands at t = −ξ tan θ − η, the gear has turned by t / r, and
/// the point lies (ρ − ξ / cos θ) from P. θ runs from 0 (tip, root circle) to 90° − α (end
/// of the straight flank). Source: the law of gearing as in F. L. Litvin, Gear Geometry
/// and Applied Theory (rack-generated involute gears).
#[derive(Clone, Copy, Debug)]
pub(super) struct Trochoid {
    pitch: f64,
    /// ξ: negative below the pitch line, where it usually is.
    xi: f64,
    /// η: half the flat of the rack's tip.
    pub eta: f64,
    rounding: f64,
}

impl Trochoid {
    /// Of a gear of `teeth` with `shift` cut by `tip`.
    pub fn new(rack: &Rack, tip: &RackTip, teeth: f64, shift: f64) -> Self {
        let RackTip { depth, rounding, half_width } = *tip;
        // Rounding leaves nothing of the flat where it is as large as fits; never less.
        let eta = half_width - (depth - rounding) * rack.tan - rounding / rack.cos;
        Self { pitch: teeth / 2.0, xi: shift - depth + rounding, eta: eta.max(0.0), rounding }
    }

    /// The point for the normal's direction θ.
    pub fn at(&self, theta: f64) -> Point {
        let along = self.rounding - self.xi / theta.cos();
        let turn = (-self.xi * theta.tan() - self.eta) / self.pitch;
        let (x, y) = (self.pitch - along * theta.cos(), along * theta.sin());
        let (sin, cos) = turn.sin_cos();
        [x * cos + y * sin, y * cos - x * sin]
    }

    /// θ at the end of the rack's straight flank.
    pub fn last(rack: &Rack) -> f64 {
        FRAC_PI_2 - rack.sin.asin()
    }

    /// Length of the generating line of the involute where the straight flank ends: the
    /// form circle's, negative where the rack cuts past the base point (undercut).
    pub fn form_length(&self, rack: &Rack) -> f64 {
        self.pitch * rack.sin + self.xi / rack.sin - self.rounding
    }

    /// Where the fillet meets the involute `flank` of a tooth of half pitch `half_pitch`: θ
    /// and the length of the generating line. Without undercut these are the ends of both
    /// curves, which are tangent there. With undercut the curves cross above the base
    /// circle.
    pub fn meeting(&self, rack: &Rack, flank: &Involute, half_pitch: f64) -> (f64, f64) {
        let (last, form) = (Self::last(rack), self.form_length(rack));
        if form >= 0.0 {
            return (last, form);
        }
        let radius = |theta: f64| {
            let [x, y] = self.at(theta);
            x.hypot(y)
        };
        let base = border(0.0, last, |theta| radius(theta) < flank.base);
        // Inside the tooth: nearer to its centre line than the flank is.
        let inside = |theta: f64| {
            let [x, y] = self.at(theta);
            half_pitch - y.atan2(x) < flank.half_at(x.hypot(y))
        };
        let theta = border(base, last, inside);
        (theta, flank.length_at(radius(theta)))
    }
}

/// A corner between a flank and a circle about the wheel's axis, rounded by a tangent arc.
#[derive(Clone, Copy, Debug)]
pub(super) struct Corner {
    /// The arc's radius.
    pub rounding: f64,
    /// Of the arc's centre.
    radius: f64,
    /// Half angle of the arc's centre.
    pub half: f64,
    /// Length of the generating line where the arc touches the flank.
    pub length: f64,
}

impl Corner {
    /// Rounds the outer corner of a tooth (or of a ring's space, whose outer corner is the
    /// ring's root fillet) with `rounding`, or the largest that leaves the centre of the
    /// arc in its half and the flank its part from `form` on.
    ///
    /// The centre lies on the flank moved inwards by ρ and on the circle ρ inside
    /// `outer`; the arc touches the flank where the generating line is ρ longer.
    pub fn outer(flank: &Involute, outer: f64, form: f64, rounding: f64) -> Self {
        let with = |rounding: f64| {
            let (radius, moved) = (outer - rounding, flank.inside(rounding));
            let length = moved.length_at(radius) + rounding;
            Self { rounding, radius, half: moved.half_at(radius), length }
        };
        let fits = |rounding: f64| {
            let corner = with(rounding);
            corner.radius >= flank.base && corner.half >= 0.0 && corner.length >= form
        };
        with(if fits(rounding) { rounding } else { border(0.0, rounding, fits) })
    }

    /// Rounds the inner corner of a ring's space, which is the tip of a ring's tooth, in
    /// the same way; `half_pitch` is the half angle of the tooth's centre line, `root` the
    /// length at which the flank ends.
    pub fn inner(flank: &Involute, inner: f64, half_pitch: f64, root: f64, rounding: f64) -> Self {
        let with = |rounding: f64| {
            let (radius, moved) = (inner + rounding, flank.inside(-rounding));
            let length = moved.length_at(radius) - rounding;
            Self { rounding, radius, half: moved.half_at(radius), length }
        };
        let fits = |rounding: f64| {
            let corner = with(rounding);
            corner.half <= half_pitch && corner.length >= 0.0 && corner.length <= root
        };
        with(if fits(rounding) { rounding } else { border(0.0, rounding, fits) })
    }

    /// Puts the arc behind `points`, from the point `from` on it to the point `to`, the
    /// shorter way; `angle` is that of the arc's centre, seen from the wheel's axis.
    pub fn arc(&self, angle: f64, from: Point, to: Point, chord: f64, points: &mut Vec<Point>) {
        if self.rounding < 1e-9 {
            return;
        }
        let centre = polar(self.radius, angle);
        let towards = |point: Point| (point[1] - centre[1]).atan2(point[0] - centre[0]);
        let start = towards(from);
        let sweep = (towards(to) - start + 3.0 * PI).rem_euclid(2.0 * PI) - PI;
        let on_arc = |part: f64| {
            let [x, y] = polar(self.rounding, start + part * sweep);
            [centre[0] + x, centre[1] + y]
        };
        flatten(&on_arc, 0.0, 1.0, chord, points);
    }
}

/// The space between two teeth of a ring: its flank and its root.
#[derive(Clone, Copy, Debug)]
pub(super) struct RingSpace {
    pub flank: Involute,
    /// Radius of the root circle.
    pub root: f64,
    pub fillet: Corner,
}

impl RingSpace {
    /// The tooth of an external gear of `teeth` and `shift`, as high as the root is deep
    /// (h_a + c) and `wider` at the pitch circle; its corners are the root fillets.
    pub fn new(rack: &Rack, teeth: f64, shift: f64, wider: f64) -> Self {
        let flank = Involute::new(rack, teeth, FRAC_PI_2 + 2.0 * shift * rack.tan + wider);
        let root = teeth / 2.0 + shift + rack.addendum + CLEARANCE;
        let fillet = Corner::outer(&flank, root, 0.0, CLEARANCE / (1.0 - rack.sin));
        Self { flank, root, fillet }
    }
}
