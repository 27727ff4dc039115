//! The meshes of a set: teeth, working pressure angles and centre distances.
//!
//! Lengths are in modules, angles in radians. Takes the teeth as they are given; whether
//! they assemble is for [`mod@crate::teeth`] to tell.

use super::bending::LEAST_TEETH;
use super::body::SetBody;
use super::fault::Fault;
use super::materials::Material;
use crate::teeth::{Mesh, WheelKind};
use crate::train::SetKind;

/// The two wheels of a mesh, the one nearer to the axis first.
pub(super) fn wheels_of(mesh: Mesh, paired: bool) -> [WheelKind; 2] {
    match mesh {
        Mesh::SunPlanet => [WheelKind::Sun, WheelKind::Planet],
        Mesh::PlanetPlanet => [WheelKind::Planet, WheelKind::OuterPlanet],
        Mesh::PlanetRing if paired => [WheelKind::OuterPlanet, WheelKind::Ring],
        Mesh::PlanetRing => [WheelKind::Planet, WheelKind::Ring],
    }
}

/// A wheel as its teeth see it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Toothed {
    pub wheel: WheelKind,
    /// z.
    pub teeth: f64,
    /// x, as in [`crate::teeth::Shifts`].
    pub shift: f64,
    pub material: &'static Material,
}

/// One mesh: its wheels, the one nearer to the axis first, and where they stand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct MeshGeometry {
    pub mesh: Mesh,
    pub wheels: [Toothed; 2],
    /// α_w.
    pub working: f64,
    /// a.
    pub centre: f64,
}

impl MeshGeometry {
    /// The mesh of two wheels on a rack of pressure angle `alpha`.
    fn new(mesh: Mesh, wheels: [Toothed; 2], alpha: f64) -> Result<Self, Fault> {
        let [one, two] = wheels;
        let (double, shift) = match mesh {
            Mesh::PlanetRing => (two.teeth - one.teeth, two.shift - one.shift),
            _ => (one.teeth + two.teeth, one.shift + two.shift),
        };
        let working = working_angle(alpha, double, shift).ok_or(Fault::Shifts { mesh })?;
        let centre =
            if shift == 0.0 { double / 2.0 } else { double / 2.0 * alpha.cos() / working.cos() };
        Ok(Self { mesh, wheels, working, centre })
    }

    /// Teeth of the smaller wheel, and u = teeth of the larger over those of the smaller.
    pub fn ratio(&self) -> (f64, f64) {
        let [one, two] = self.wheels.map(|wheel| wheel.teeth);
        (one.min(two), one.max(two) / one.min(two))
    }

    pub fn internal(&self) -> bool {
        self.mesh == Mesh::PlanetRing
    }
}

/// Working pressure angle from inv α_w = inv α + 2 tan α Σx / Σz, with Σx and Σz sums for
/// external meshes and ring minus planet for a ring's; `None` below 0° and above 60°.
///
/// Source: ISO 21771. Newton's method from (3 inv)^⅓, which lies above the root because
/// inv α = α³/3 + …; inv is convex, so each step stays above it and six are plenty.
fn working_angle(alpha: f64, double_centre: f64, shift: f64) -> Option<f64> {
    if shift == 0.0 {
        return Some(alpha);
    }
    let inv = |angle: f64| angle.tan() - angle;
    let wanted = inv(alpha) + 2.0 * alpha.tan() * shift / double_centre;
    if !(wanted > 0.0 && wanted <= inv(std::f64::consts::FRAC_PI_3)) {
        return None;
    }
    let mut angle = (3.0 * wanted).cbrt();
    for _ in 0..6 {
        let tan = angle.tan();
        let step = (tan - angle - wanted) / (tan * tan);
        angle -= step;
        // What is left goes with the square of the step.
        if step.abs() < 1e-8 {
            break;
        }
    }
    Some(angle)
}

/// The meshes of a set from sun to ring.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Meshes {
    pub sun: MeshGeometry,
    /// Between the planets of a pair.
    pub pair: Option<MeshGeometry>,
    pub ring: MeshGeometry,
    /// α of the rack.
    pub alpha: f64,
}

impl Meshes {
    /// The meshes of `body`, which must have been checked.
    pub fn of(body: &SetBody) -> Result<Self, Fault> {
        let set = &body.set;
        let (inner, outer) = match set.kind {
            SetKind::Single => (set.planet.unwrap_or(set.ring.saturating_sub(set.sun) / 2), None),
            SetKind::Paired => {
                (set.planet.ok_or(Fault::Wheels)?, Some(set.outer_planet.ok_or(Fault::Wheels)?))
            }
        };
        let in_ring = outer.unwrap_or(inner);
        if set.sun.min(inner).min(in_ring) == 0 || set.ring <= in_ring.max(set.sun) {
            return Err(Fault::Wheels);
        }
        let outside = [
            (WheelKind::Sun, set.sun),
            (WheelKind::Planet, inner),
            (WheelKind::OuterPlanet, in_ring),
        ];
        if let Some(&(wheel, teeth)) = outside.iter().find(|(_, teeth)| *teeth < LEAST_TEETH) {
            return Err(Fault::FewTeeth { wheel, teeth, least: LEAST_TEETH });
        }
        let wheel = |wheel: WheelKind, teeth: u32, shift: f64, material: &'static Material| {
            Toothed { wheel, teeth: f64::from(teeth), shift, material }
        };
        let shifts = body.shifts;
        let sun = wheel(WheelKind::Sun, set.sun, shifts.sun, body.sun);
        let planet = wheel(WheelKind::Planet, inner, shifts.planet, body.planet);
        let outer = outer.map(|teeth| Toothed {
            wheel: WheelKind::OuterPlanet,
            teeth: f64::from(teeth),
            ..planet
        });
        let ring = wheel(WheelKind::Ring, set.ring, shifts.ring, body.ring);
        let alpha = body.pressure_angle_deg.to_radians();
        let pair = match outer {
            Some(outer) => Some(MeshGeometry::new(Mesh::PlanetPlanet, [planet, outer], alpha)?),
            None => None,
        };
        Ok(Self {
            sun: MeshGeometry::new(Mesh::SunPlanet, [sun, planet], alpha)?,
            pair,
            ring: MeshGeometry::new(Mesh::PlanetRing, [outer.unwrap_or(planet), ring], alpha)?,
            alpha,
        })
    }

    /// All meshes, from sun to ring.
    pub fn iter(&self) -> impl Iterator<Item = &MeshGeometry> {
        std::iter::once(&self.sun).chain(&self.pair).chain(std::iter::once(&self.ring))
    }

    /// The planets, inner one first.
    pub fn planets(&self) -> impl Iterator<Item = Toothed> {
        std::iter::once(self.sun.wheels[1]).chain(self.pair.map(|pair| pair.wheels[1]))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::strength::laws::body_of;
    use crate::teeth::{Finish, PlacedSet, ToothLimits, profile_shifts};
    use crate::train::GearSet;

    /// D785's worked pairs: 12 and 24 teeth with Σx = 0.96 work at 26.0886°; 16 in 24 with
    /// x₂ − x₁ = 0.5 at 31.0937°.
    #[test]
    fn working_angles_of_worked_pairs() {
        let alpha = 20f64.to_radians();
        let found = |double, shift| working_angle(alpha, double, shift).unwrap().to_degrees();
        assert!((found(36.0, 0.96) - 26.0886).abs() < 1e-3);
        assert!((found(8.0, 0.5) - 31.0937).abs() < 1e-3);
        assert_eq!(working_angle(alpha, 40.0, 0.0), Some(alpha));
        assert_eq!(working_angle(alpha, 40.0, -2.0), None);
        assert_eq!(working_angle(alpha, 2.0, 2.0), None);
    }

    /// Shifted sets stand where the teeth's own geometry puts them, and mesh at one
    /// distance.
    #[test]
    fn centres_are_those_of_the_placed_set() {
        let limits = ToothLimits { odd_planet: true, ..ToothLimits::default() };
        let paired = GearSet {
            planet: Some(16),
            outer_planet: Some(16),
            planets: Some(4),
            ..GearSet::paired(40, 80)
        };
        let odd = GearSet { planets: Some(3), ..GearSet::single(31, 74) };
        let even = GearSet { planets: Some(4), ..GearSet::single(48, 80) };
        for set in [paired, odd, even] {
            let shifts = profile_shifts(&set, &limits);
            assert!(shifts.largest() > 0.0);
            let placed = PlacedSet::new(&set, &limits, &Finish::default()).unwrap();
            let meshes = Meshes::of(&crate::strength::SetBody { shifts, ..body_of(set) }).unwrap();
            assert!((meshes.sun.centre - placed.sun_centre).abs() < 1e-9);
            assert!((meshes.ring.centre - placed.ring_centre).abs() < 1e-9);
            let between = meshes.pair.map(|pair| pair.centre);
            assert_eq!(between.is_some(), placed.pair_centre.is_some());
            let far = between.unwrap_or(0.0) - placed.pair_centre.unwrap_or(0.0);
            assert!(far.abs() < 1e-9, "{between:?} {:?}", placed.pair_centre);
        }
    }
}
