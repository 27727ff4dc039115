//! What a builder measures on a wheel: the span over some teeth, and the distance over two
//! pins in its gaps (in a ring: between them).
//!
//! One wheel by itself. Lengths are in modules, angles in radians. Sources: ISO 21771
//! (span, dimension over balls and pins, V circle), SDP/SI metric gear handbook D785
//! (worked examples). All formulas are for spur gears.

use super::flank::Involute;
use super::involute::{Rack, inv};
use super::outline::{Finish, GearData, Outline, Side};
use std::f64::consts::{FRAC_PI_2, PI};

/// A span over teeth, as a micrometer with flat anvils finds it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Span {
    /// k: teeth between the anvils.
    pub teeth: u32,
    /// W_k.
    pub length: f64,
    /// Radius at which the anvils touch, when the micrometer is held evenly.
    pub contact: f64,
}

/// A distance over (in a ring: between) two equal pins or balls in opposite gaps; with an
/// odd number of teeth in the two gaps that are most nearly opposite.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pins {
    /// D_M: of one pin.
    pub diameter: f64,
    /// M_d: over the outsides of the pins, in a ring between their insides.
    pub length: f64,
    /// r_M: of the pins' axes from the wheel's.
    pub centre: f64,
    /// Radius at which a pin touches the flanks.
    pub contact: f64,
}

/// One wheel to be measured. Made from an outline and from what that was made from.
#[derive(Clone, Copy, Debug)]
pub struct Gauge {
    side: Side,
    teeth: f64,
    /// Of a tooth, in a ring of a space.
    flank: Involute,
    /// r + x: the V circle, about half way up the flank.
    middle: f64,
    /// Least and largest radius of the involute that a gauge may touch.
    usable: (f64, f64),
    root: f64,
    tip: f64,
}

impl Gauge {
    /// The wheel `outline`, made from `data` and `finish`. Backlash counts with the half
    /// that each wheel's teeth are thinned by; rounded tips are not touched.
    pub fn new(outline: &Outline, data: &GearData, finish: &Finish) -> Self {
        let rack = Rack::new(data.pressure_angle, data.addendum);
        let (teeth, rounding) = (f64::from(outline.teeth), finish.tip_rounding.max(0.0));
        let shifted = 2.0 * data.shift * rack.tan;
        let (thickness, usable) = match outline.side {
            Side::External => {
                let thickness = FRAC_PI_2 + shifted - finish.backlash / 2.0;
                (thickness, (outline.form, outline.tip - rounding))
            }
            Side::Internal => {
                let space = FRAC_PI_2 + shifted + finish.backlash / 2.0;
                (space, (outline.base.max(outline.tip + rounding), outline.form))
            }
        };
        Self {
            side: outline.side,
            teeth,
            flank: Involute::new(&rack, teeth, thickness),
            middle: outline.pitch + data.shift,
            usable,
            root: outline.root,
            tip: outline.tip,
        }
    }

    /// s: thickness of a tooth on the reference pitch circle, along the arc.
    pub fn thickness(&self) -> f64 {
        self.thickness_at(self.teeth / 2.0)
    }

    /// s_a: thickness of a tooth on the tip circle, along the arc, before tips are rounded:
    /// 2 r_a (ψ_b − inv α_a), of a ring 2 r_a (π/z − ψ_b + inv α_a) with ψ_b the half angle
    /// at the base circle. Source: ISO 21771.
    pub fn tip_thickness(&self) -> f64 {
        self.thickness_at(self.tip)
    }

    fn thickness_at(&self, radius: f64) -> f64 {
        let half = self.flank.half_at(radius);
        2.0 * radius * if self.side == Side::External { half } else { PI / self.teeth - half }
    }

    /// W_k over `teeth` teeth, whether or not the anvils meet the involute:
    /// m cos α (π (k − ½) + z inv α) + 2 x m sin α − ½ j cos α with the backlash j, which
    /// is k − 1 base pitches and the tooth's thickness at the base circle.
    ///
    /// Source: ISO 21771; D785. `None` for a ring, which is measured between pins.
    pub fn span_over(&self, teeth: u32) -> Option<f64> {
        let base = 2.0 * self.flank.base;
        let pitches = f64::from(teeth) - 1.0;
        let length = base * (pitches * PI / self.teeth + self.flank.half);
        (self.side == Side::External && teeth > 0).then_some(length)
    }

    /// The span over as many teeth as let the anvils touch nearest to the V circle r + x:
    /// k = z/π (√((1 + 2x/z)² − cos²α) / cos α − 2x tan α / z − inv α) + ½, rounded, but at
    /// least 2. One tooth more or less is taken where the anvils would miss the involute.
    ///
    /// Source of k: ISO 21771. `None` for a ring, and where no such span meets the flanks,
    /// as with very few teeth.
    pub fn span(&self) -> Option<Span> {
        let line = 2.0 * self.flank.length_at(self.middle);
        let base = 2.0 * self.flank.base;
        let wanted = (line / base - self.flank.half) * self.teeth / PI + 1.0;
        let wanted = (wanted.round() as u32).max(2);
        let found = [wanted, wanted + 1, wanted - 1].into_iter().filter_map(|teeth| {
            let length = self.span_over(teeth)?;
            let contact = self.flank.base.hypot(length / 2.0);
            let meets = teeth >= 2 && 2.0 * f64::from(teeth) <= self.teeth;
            (meets && self.touches(contact)).then_some(Span { teeth, length, contact })
        });
        found.into_iter().next()
    }

    fn touches(&self, radius: f64) -> bool {
        (self.usable.0..=self.usable.1).contains(&radius)
    }

    /// The diameter of a pin that touches at the V circle: with α_V the pressure angle
    /// there, α_M = tan α_V + π/z − ψ_b and D_M = 2 r_b (tan α_M − tan α_V); in a ring
    /// α_M = tan α_V − ψ_b and D_M = 2 r_b (tan α_V − tan α_M).
    ///
    /// Source: ISO 21771; D785. `None` where the V circle lies inside the base circle, or
    /// where no pin touches there.
    pub fn pin(&self) -> Option<f64> {
        let base = self.flank.base;
        let tangent = self.flank.length_at(self.middle) / base;
        let (angle, sign) = match self.side {
            Side::External => (tangent + PI / self.teeth - self.flank.half, 1.0),
            Side::Internal => (tangent - self.flank.half, -1.0),
        };
        let diameter = sign * 2.0 * base * (angle.tan() - tangent);
        let meets = self.middle > base && (0.0..FRAC_PI_2).contains(&angle) && diameter > 0.0;
        meets.then_some(diameter)
    }

    /// The distance over two pins of `diameter`, in a ring between them:
    /// inv α_M = ψ_b + D_M / 2 r_b − π/z, in a ring ψ_b − D_M / 2 r_b; r_M = r_b / cos α_M;
    /// M_d = 2 r_M + D_M for even z and 2 r_M cos(π / 2z) + D_M for odd z, in a ring
    /// − D_M. Balls give the same.
    ///
    /// Source: ISO 21771; D785. `None` where the pins would not touch the involute on both
    /// sides, would touch the root or (in a ring) the edges of the tips, or would not stand
    /// out beyond the tips.
    pub fn pins(&self, diameter: f64) -> Option<Pins> {
        let (base, half) = (self.flank.base, self.flank.half);
        let external = self.side == Side::External;
        let sign = if external { 1.0 } else { -1.0 };
        let gap = if external { PI / self.teeth } else { 0.0 };
        let angle = angle_of(half + sign * diameter / (2.0 * base) - gap)?;
        let centre = base / angle.cos();
        let touching = base * angle.tan() - sign * diameter / 2.0;
        let contact = base.hypot(touching);
        // Towards the root and towards the tip, from the pin's axis.
        let deep = sign * (centre - self.root) > diameter / 2.0;
        let proud = sign * (self.tip - centre) < diameter / 2.0;
        let meets =
            diameter > 0.0 && touching > 0.0 && angle.sin() >= SLENDEREST && self.touches(contact);
        let odd = self.teeth % 2.0 != 0.0;
        let across = if odd { (FRAC_PI_2 / self.teeth).cos() } else { 1.0 };
        let length = 2.0 * centre * across + sign * diameter;
        // In a ring the edges of the tips must leave the pin through to the flanks.
        let through = external || self.mouth() >= diameter;
        (meets && deep && proud && through).then_some(Pins { diameter, length, centre, contact })
    }

    /// How wide a ring's space is between the edges of its tips, in a straight line. Inside
    /// the base circle a flank runs on radially.
    fn mouth(&self) -> f64 {
        2.0 * self.tip * self.flank.half_at(self.tip.max(self.flank.base)).sin()
    }

    /// The pins that a workshop would take when the module is `module` mm: dowel pins of
    /// the size nearest to [`Gauge::pin`] that serve (diameters of ISO 2338), else pins of
    /// just that diameter, to 0.01 mm. Lengths of the answer are in modules.
    ///
    /// A dowel pin of tolerance m6 is some µm over its size: measure it and ask
    /// [`Gauge::pins`] with what it has. `None` as there.
    pub fn workshop_pins(&self, module: f64) -> Option<Pins> {
        let best = self.pin()? * module;
        let off = |size: f64| (size / best).ln().abs();
        let mut sizes = DOWELS;
        sizes.sort_by(|&a, &b| off(a).total_cmp(&off(b)));
        let exact = (best * 100.0).round() / 100.0;
        let tried = sizes.into_iter().filter(|&size| off(size) < FARTHEST).chain([exact]);
        tried.filter_map(|size| self.pins(size / module)).next()
    }
}

/// A pin between flanks that meet under less than this (sine of half the wedge) rises by more
/// than ten times what they are off: it measures nothing.
const SLENDEREST: f64 = 0.1;
/// Diameters of dowel pins in mm: ISO 2338.
const DOWELS: [f64; 16] =
    [0.6, 0.8, 1.0, 1.2, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 16.0, 20.0];
/// A dowel pin may be this much (the logarithm of a ratio) off the best size.
const FARTHEST: f64 = 0.2;

/// The angle whose involute function is `value`: the inverse of [`inv`], by bisection.
/// `None` for negative values.
fn angle_of(value: f64) -> Option<f64> {
    if value.is_nan() || value < 0.0 {
        return None;
    }
    let (mut low, mut high) = (0.0, FRAC_PI_2);
    for _ in 0..60 {
        let middle = (low + high) / 2.0;
        *(if inv(middle) < value { &mut low } else { &mut high }) = middle;
    }
    Some(low)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_inverse_of_the_involute_function() {
        for degrees in [0.5f64, 5.0, 20.0, 45.0, 80.0] {
            let angle = degrees.to_radians();
            assert!((angle_of(inv(angle)).unwrap() - angle).abs() < 1e-10);
        }
        assert_eq!(angle_of(-1e-9), None);
    }
}
