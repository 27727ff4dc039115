//! Loads: from a set's torque and speeds to the force on a tooth and on a pin.

use std::f64::consts::PI;

use super::body::{SetBody, SetLoad};
use super::demand::{Demand, usual_sharing};
use super::meshes::Meshes;
use crate::teeth::WheelKind;

/// What one set has to bear. Magnitudes only.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Loads {
    /// N.
    pub planets: u32,
    /// K_γ, the most loaded planet's share over the mean one.
    pub sharing: f64,
    /// K_A.
    pub application: f64,
    /// K_Hβ.
    pub face_load: f64,
    /// T_S in N m.
    pub sun_torque_nm: f64,
    /// d_S = m Z_S, the sun's reference diameter in mm.
    pub sun_diameter_mm: f64,
    /// F_t = 2000 T_S K_γ / (N d_S), the tangential force at the reference circles of every
    /// mesh of the most loaded planet in N; without K_A.
    ///
    /// Source: torque over radius, shared by N planets; the torques on a planet balance, so
    /// all its meshes have one F_t. Breaks where losses are large: it is lossless.
    pub force_n: f64,
    /// v, the speed of the reference circles relative to the carrier in m/s, the same in
    /// every mesh of a set: π d_S |ω_S − ω_C| / 60000.
    pub pitch_speed_m_s: f64,
    /// F_t v, the power that the most loaded planet passes on in the carrier's frame, in W.
    pub mesh_power_w: f64,
    /// |ω_S − ω_C| in rpm.
    pub sun_to_carrier_rpm: f64,
    /// Of the planet about its pin, in rpm: |ω_S − ω_C| Z_S / Z_P.
    pub planet_rpm: f64,
    /// The same of the outer planet of a pair.
    pub outer_planet_rpm: Option<f64>,
    /// Of the carrier against the housing, in rpm.
    pub carrier_rpm: f64,
}

impl Loads {
    /// The loads of checked numbers.
    pub(super) fn of(body: &SetBody, load: &SetLoad, demand: &Demand, meshes: &Meshes) -> Self {
        let planets = body.planets();
        let sharing = demand.sharing.unwrap_or_else(|| usual_sharing(&body.set));
        let sun = meshes.sun.wheels[0].teeth;
        let diameter = body.module_mm * sun;
        let torque = load.sun_torque_nm.abs();
        let force = 2000.0 * torque * sharing / (f64::from(planets) * diameter);
        let rolling = load.sun_to_carrier_rpm.abs();
        let speed = PI * diameter * rolling / 60_000.0;
        let spin = |teeth: f64| rolling * sun / teeth;
        Self {
            planets,
            sharing,
            application: demand.application,
            face_load: demand.face_load,
            sun_torque_nm: torque,
            sun_diameter_mm: diameter,
            force_n: force,
            pitch_speed_m_s: speed,
            mesh_power_w: force * speed,
            sun_to_carrier_rpm: rolling,
            planet_rpm: spin(meshes.sun.wheels[1].teeth),
            outer_planet_rpm: meshes.pair.map(|pair| spin(pair.wheels[1].teeth)),
            carrier_rpm: load.carrier_rpm.abs(),
        }
    }
}

/// A mesh of a planet, seen from the planet's axis.
#[derive(Clone, Copy, Debug)]
struct Contact {
    /// Where the teeth meet, as an angle in radians.
    towards: f64,
    /// α_w.
    working: f64,
}

/// A planet on its carrier: where its axis stands (in modules) and its two meshes.
#[derive(Clone, Copy, Debug)]
pub(super) struct Carried {
    pub wheel: WheelKind,
    /// Of the axis, polar: distance in modules and angle in radians.
    pub distance: f64,
    outward: f64,
    contacts: [Contact; 2],
}

impl Carried {
    /// The planets of one share, inner one first. The inner one stands on the x axis; the
    /// outer one of a pair at the angle that the three centre distances give, and in line
    /// where they close no triangle.
    pub fn of(meshes: &Meshes) -> impl Iterator<Item = Self> {
        let (sun, ring) = (meshes.sun, meshes.ring);
        let to_sun = Contact { towards: PI, working: sun.working };
        let Some(pair) = meshes.pair else {
            let to_ring = Contact { towards: 0.0, working: ring.working };
            let contacts = [to_sun, to_ring];
            let only =
                Self { wheel: WheelKind::Planet, distance: sun.centre, outward: 0.0, contacts };
            return std::iter::once(only).chain(None);
        };
        let (a, b, c) = (sun.centre, ring.centre, pair.centre);
        let between = ((a * a + b * b - c * c) / (2.0 * a * b)).clamp(-1.0, 1.0).acos();
        let (x, y) = (b * between.cos() - a, b * between.sin());
        let line = y.atan2(x);
        let seen = |towards: f64, working: f64| Contact { towards, working };
        let inner = Self {
            wheel: WheelKind::Planet,
            distance: a,
            outward: 0.0,
            contacts: [to_sun, seen(line, pair.working)],
        };
        let outer = Self {
            wheel: WheelKind::OuterPlanet,
            distance: b,
            outward: between,
            contacts: [seen(line + PI, pair.working), seen(between, ring.working)],
        };
        std::iter::once(inner).chain(Some(outer))
    }

    /// The force on the pin as a vector: F_t at the reference circles, turning the planet by
    /// its first mesh in the given `sense` (±1), and `flung` outward from the set's axis.
    ///
    /// Derived, in units of the normal force F_n = F_t / cos α: in the direction e of each
    /// contact, the partner pushes along J e (e turned by 90°) with cos α_w, one way round
    /// in the first mesh and the other way in the second, so that the planet's torques
    /// cancel, and away along −e with sin α_w; for a ring too, which pushes inward. A single
    /// unshifted planet bears 2 F_t: the tangential parts add, the radial ones cancel. Two
    /// planets of a pair stand beside the line, so theirs cancel in part only.
    fn pin_vector(&self, force: f64, alpha: f64, sense: f64, flung: f64) -> [f64; 2] {
        let normal = force / alpha.cos();
        let (sin, cos) = self.outward.sin_cos();
        let mut sum = [flung * cos, flung * sin];
        for (contact, turn) in self.contacts.iter().zip([sense, -sense]) {
            let (sin, cos) = contact.towards.sin_cos();
            let (push, part) = contact.working.sin_cos();
            sum[0] += normal * (-turn * part * sin - push * cos);
            sum[1] += normal * (turn * part * cos - push * sin);
        }
        sum
    }

    /// The larger pin force of both senses of torque, in N; see [`Carried::pin_vector`].
    /// Which one acts depends on which planet of a pair leads, and drawings may be mirrored.
    pub fn pin_force(&self, force: f64, alpha: f64, flung: f64) -> f64 {
        let size = |sense: f64| {
            let [x, y] = self.pin_vector(force, alpha, sense, flung);
            x.hypot(y)
        };
        size(1.0).max(size(-1.0))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::strength::laws::{LOAD, body_of, sets};
    use crate::teeth::Shifts;
    use crate::train::{GearSet, SetKind};
    use proptest::prelude::*;

    /// Sun 30, module 1.5, so d_S = 45 mm; 45 N m on three planets with K_γ 1.1:
    /// 2000 · 45 · 1.1 / (3 · 45) = 733.3 N. At 1000 rpm v = π · 45 / 60 = 2.3562 m/s, so
    /// 1727.9 W, which is 45 · 104.72 · 1.1 / 3. Planets of 18 teeth: 1000 · 30 / 18 rpm.
    #[test]
    fn loads_by_longhand() {
        let body = body_of(GearSet { planets: Some(3), ..GearSet::single(30, 66) });
        let load = SetLoad { sun_torque_nm: -45.0, ..LOAD };
        let meshes = Meshes::of(&body).unwrap();
        let found = Loads::of(&body, &load, &Demand::default(), &meshes);
        assert!((found.force_n - 733.333).abs() < 1e-3);
        assert!((found.pitch_speed_m_s - 2.35619).abs() < 1e-5);
        assert!((found.mesh_power_w - 45.0 * 104.71976 * 1.1 / 3.0).abs() < 1e-3);
        assert!((found.planet_rpm - 1666.667).abs() < 1e-3);
        assert_eq!(found.outer_planet_rpm, None);
        let planet = Carried::of(&meshes).next().unwrap();
        assert!((planet.pin_force(found.force_n, meshes.alpha, 0.0) - 1466.667).abs() < 1e-3);
        // 3-4-5: flung outward at right angles to the teeth's force.
        let flung = 1466.6667 * 0.75;
        let force = planet.pin_force(found.force_n, meshes.alpha, flung);
        assert!((force - 1466.6667 * 1.25).abs() < 1e-2);
    }

    /// Shifted apart to a working angle above α, the same torque has the longer arm.
    #[test]
    fn a_wider_set_has_the_smaller_pin_force() {
        let set = GearSet { planets: Some(3), planet: Some(18), ..GearSet::single(30, 68) };
        let plain = Meshes::of(&body_of(set)).unwrap();
        let shifts = Shifts { sun: 0.3, planet: 0.3, ring: 0.3 };
        let wide = Meshes::of(&SetBody { shifts, ..body_of(set) }).unwrap();
        let force = |meshes: &Meshes| {
            Carried::of(meshes).next().unwrap().pin_force(100.0, meshes.alpha, 0.0)
        };
        assert!((force(&plain) - 200.0).abs() < 1e-9);
        assert!(force(&wide) < 200.0 && force(&wide) > 190.0, "{}", force(&wide));
    }

    proptest! {
        /// What the pins push on the carrier is the carrier's torque of the set equation:
        /// T_C = (1 + ρ) T_S of a single set, (ρ − 1) T_S of a paired one, whatever the
        /// planets and shifts, where the wheels are coaxial.
        #[test]
        fn pins_carry_the_torque_of_the_carrier(set in sets(), shift in -0.4f64..0.4) {
            let shifts = Shifts { sun: -shift, planet: shift, ring: shift };
            let body = SetBody { shifts, ..body_of(set) };
            let Ok(meshes) = Meshes::of(&body) else { return Ok(()) };
            if let Some(pair) = meshes.pair {
                // The triangle of centres must close.
                let (a, b) = (meshes.sun.centre, meshes.ring.centre);
                prop_assume!((b - a).abs() <= pair.centre && pair.centre <= a + b);
            } else {
                prop_assume!((meshes.sun.centre - meshes.ring.centre).abs() < 1e-9);
            }
            let sun = f64::from(set.sun);
            let rho = set.base_ratio();
            let expected = match set.kind {
                SetKind::Single => 1.0 + rho,
                SetKind::Paired => rho - 1.0,
            };
            for sense in [1.0, -1.0] {
                let mut torque = 0.0;
                for (planet, turn) in Carried::of(&meshes).zip([1.0, -1.0]) {
                    let [x, y] = planet.pin_vector(1.0, meshes.alpha, sense * turn, 7.0);
                    let (sin, cos) = planet.outward.sin_cos();
                    torque += planet.distance * (cos * y - sin * x);
                }
                // In units of F_t = 1 and modules, T_S = Z_S / 2.
                let found = torque.abs() / (sun / 2.0);
                prop_assert!((found - expected).abs() < 1e-9, "{} {}", found, expected);
            }
        }
    }
}
