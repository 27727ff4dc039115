//! Data of the wheels and meshes of a placed set in millimetres, as a workshop drawing's
//! table of tooth data has them.
//!
//! Says what [`super::placing`] has cut; decides nothing. Names after ISO 21771.

use super::limits::ToothLimits;
use super::measure::{Gauge, Pins, Span};
use super::outline::{Finish, GearData, Outline, Side};
use super::placing::{Mesh, PlacedSet};
use super::sliding::specific_sliding;

/// Which wheel of its set a wheel is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum WheelKind {
    Sun,
    /// The planet, of a pair the one that meshes with the sun.
    Planet,
    /// Of a pair the one that meshes with the ring.
    OuterPlanet,
    Ring,
}

impl WheelKind {
    /// As written on drawings.
    pub fn word(self) -> &'static str {
        match self {
            Self::Sun => "sun",
            Self::Planet => "planet",
            Self::OuterPlanet => "outer planet",
            Self::Ring => "ring",
        }
    }

    /// Whether its teeth are bent to and fro: a planet is driven on one flank and drives with
    /// the other.
    pub fn is_planet(self) -> bool {
        matches!(self, Self::Planet | Self::OuterPlanet)
    }
}

/// The table of one wheel. Lengths are in mm, angles in degrees.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WheelData {
    pub wheel: WheelKind,
    pub side: Side,
    /// m.
    pub module: f64,
    /// z.
    pub teeth: u32,
    /// x, positive where the flank moves away from the wheel's own axis, for rings too.
    pub shift: f64,
    /// α.
    pub pressure_angle: f64,
    /// d = m z.
    pub reference_diameter: f64,
    /// d_b = d cos α.
    pub base_diameter: f64,
    /// d_a, tips shortened where they have to be.
    pub tip_diameter: f64,
    /// d_f.
    pub root_diameter: f64,
    /// d_Ff: where the involute ends at the root fillet.
    pub form_diameter: f64,
    /// s: arc of a tooth on the reference circle, thinned for backlash.
    pub thickness: f64,
    /// s_a: arc of a tooth on the tip circle, before tips are rounded.
    pub tip_thickness: f64,
    /// Span over teeth; none for a ring, or where anvils miss the involute. Its contact is
    /// a radius.
    pub span: Option<Span>,
    /// Over pins, in a ring between them; none where no pin serves.
    pub pins: Option<Pins>,
}

/// The table of one mesh. Lengths are in mm, angles in degrees.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeshData {
    pub mesh: Mesh,
    /// a.
    pub centre_distance: f64,
    /// α_w: cos α_w = (r_b2 ± r_b1) / a, minus in a ring.
    pub operating_angle: f64,
    /// ε_α with the tips as they are, see [`PlacedSet::contact_ratio`].
    pub contact_ratio: f64,
    /// Circular, on the reference circles, as [`Finish::backlash`].
    pub backlash: f64,
    /// Along the line of action, as a feeler finds it: cos α of the circular.
    pub normal_backlash: f64,
    /// From the tip of the first wheel to the root of the second, and the other way round.
    pub tip_clearance: [f64; 2],
    /// Specific sliding at the root of the first and of the second wheel, see
    /// [`specific_sliding`].
    pub sliding: [f64; 2],
}

/// The wheels of `set` from the sun outwards, with a module of `module` mm. `limits` and
/// `finish` are those that the set was placed with.
pub fn tooth_data(
    set: &PlacedSet,
    limits: &ToothLimits,
    finish: &Finish,
    module: f64,
) -> Vec<WheelData> {
    let planet = set.shifts.planet;
    let outer = set.outer_planet.as_ref();
    let mut wheels = vec![(WheelKind::Sun, &set.sun, set.shifts.sun)];
    wheels.push((WheelKind::Planet, &set.planet, planet));
    wheels.extend(outer.map(|outline| (WheelKind::OuterPlanet, outline, planet)));
    wheels.push((WheelKind::Ring, &set.ring, set.shifts.ring));
    let told = |(kind, outline, shift): (WheelKind, &Outline, f64)| {
        let data = GearData {
            teeth: outline.teeth,
            shift,
            tip: outline.tip,
            pressure_angle: limits.pressure_angle,
            addendum: limits.addendum,
        };
        wheel_data(kind, outline, &data, finish, module)
    };
    wheels.into_iter().map(told).collect()
}

/// The table of one wheel `outline`, made from `data` and `finish`, with a module of
/// `module` mm.
pub fn wheel_data(
    wheel: WheelKind,
    outline: &Outline,
    data: &GearData,
    finish: &Finish,
    module: f64,
) -> WheelData {
    let gauge = Gauge::new(outline, data, finish);
    let mm = |modules: f64| modules * module;
    let span = gauge.span().map(|span| Span {
        length: mm(span.length),
        contact: mm(span.contact),
        ..span
    });
    let pins = gauge.workshop_pins(module).map(|pins| Pins {
        diameter: mm(pins.diameter),
        length: mm(pins.length),
        centre: mm(pins.centre),
        contact: mm(pins.contact),
    });
    WheelData {
        wheel,
        side: outline.side,
        module,
        teeth: outline.teeth,
        shift: data.shift,
        pressure_angle: data.pressure_angle,
        reference_diameter: mm(2.0 * outline.pitch),
        base_diameter: mm(2.0 * outline.base),
        tip_diameter: mm(2.0 * outline.tip),
        root_diameter: mm(2.0 * outline.root),
        form_diameter: mm(2.0 * outline.form),
        thickness: mm(gauge.thickness()),
        tip_thickness: mm(gauge.tip_thickness()),
        span,
        pins,
    }
}

/// The meshes of `set` from the sun outwards, with a module of `module` mm. `limits` and
/// `finish` are those that the set was placed with.
pub fn mesh_data(
    set: &PlacedSet,
    limits: &ToothLimits,
    finish: &Finish,
    module: f64,
) -> Vec<MeshData> {
    let cosine = limits.pressure_angle.to_radians().cos();
    let told = |mesh: Mesh| {
        let (one, two, centre) = set.pair_of(mesh)?;
        let internal = two.side == Side::Internal;
        let sign = if internal { -1.0 } else { 1.0 };
        let working = (two.base + sign * one.base) / centre;
        // Tip of one to root of two, tip of two to root of one.
        let gaps = match internal {
            false => [centre - one.tip - two.root, centre - two.tip - one.root],
            true => [two.root - centre - one.tip, two.tip - centre - one.root],
        };
        Some(MeshData {
            mesh,
            centre_distance: centre * module,
            operating_angle: working.clamp(-1.0, 1.0).acos().to_degrees(),
            contact_ratio: set.contact_ratio(mesh)?,
            backlash: finish.backlash * module,
            normal_backlash: finish.backlash * cosine * module,
            tip_clearance: gaps.map(|gap| gap * module),
            sliding: specific_sliding(set, mesh)?,
        })
    };
    set.meshes().into_iter().filter_map(told).collect()
}
