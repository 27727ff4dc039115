//! Planet pins: bending between the carrier's walls, pressure in the planet's bore and in the
//! plates' holes.

use std::f64::consts::PI;

use super::body::{Plates, SetBody};
use super::demand::Demand;
use super::loads::{Carried, Loads};
use super::meshes::Meshes;
use super::space::{Bearing, bearings, radial_room};
use crate::teeth::WheelKind;

/// The pin of one planet, and what the planet turns on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PinStrength {
    /// Whose pin: the planet's, or the outer planet's of a pair.
    pub wheel: WheelKind,
    /// The planet's mass times a ω_C² in N, which the turning carrier adds outward; the
    /// planet taken as a solid disc of its reference diameter.
    pub centrifugal_n: f64,
    /// F, the pin's force from the teeth (times K_A) and the turning, as vectors, in N.
    pub force_n: f64,
    /// The pin's diameter in mm: the given one, else the one needed.
    pub diameter_mm: f64,
    /// Whether the diameter was given.
    pub given: bool,
    /// M = F (b + 4 g + 2 t) / 8 in N mm: a pin in two walls of thickness t, g off the planet,
    /// its load spread over the width b, each wall's over t. Source: the bolt of a clevis as
    /// textbooks reckon it.
    pub moment_nmm: f64,
    /// The walls that it was reckoned with.
    pub plates: Plates,
    /// F / (2 d t), the pressure on the hole's wall in each plate, in MPa.
    pub hole_mpa: f64,
    /// σ = 32 M / (π d³) in MPa.
    pub stress_mpa: f64,
    /// What a pin bears in MPa, from the demand.
    pub allowable_mpa: f64,
    /// Allowable over stress; `None` where nothing loads the pin.
    pub safety: Option<f64>,
    /// Diameter at which the pin's stress is the allowable one, in mm.
    pub bending_diameter_mm: f64,
    /// Diameter at which the pressure is what the planet's own bore bears, in mm.
    pub pressure_diameter_mm: f64,
    /// p = F / (d b), in MPa.
    pub pressure_mpa: f64,
    /// Z_S / Z_P: turns of the planet about its pin for each of the sun against the carrier.
    pub spin: f64,
    /// Sliding speed of bore on pin in m/s.
    pub sliding_m_s: f64,
    /// p v in MPa m/s.
    pub pv_mpa_m_s: f64,
    /// Radial room between pin and rim in mm; see [`radial_room`].
    pub room_mm: f64,
    /// Plain bore, bronze bush, needle cage.
    pub bearings: [Bearing; 3],
}

/// The pins of a set under its loads, inner planet's first.
pub(super) fn pins(
    body: &SetBody,
    loads: &Loads,
    demand: &Demand,
    meshes: &Meshes,
) -> Vec<PinStrength> {
    Carried::of(meshes).map(|planet| pin(&planet, body, loads, demand, meshes)).collect()
}

fn pin(
    planet: &Carried,
    body: &SetBody,
    loads: &Loads,
    demand: &Demand,
    meshes: &Meshes,
) -> PinStrength {
    let toothed = meshes.planets().find(|toothed| toothed.wheel == planet.wheel);
    let (teeth, shift) = toothed.map_or((1.0, 0.0), |toothed| (toothed.teeth, toothed.shift));
    let (module, width, bore) = (body.module_mm, body.width_mm, body.planet.bore);
    let arm = module * planet.distance;
    let flung = centrifugal(body.planet.density, module * teeth, width, arm, loads.carrier_rpm);
    let force = planet.pin_force(loads.force_n * demand.application, meshes.alpha, flung);
    let plates = body.plates.unwrap_or(Plates { thickness_mm: demand.wall * width, gap_mm: 0.0 });
    let moment = bending_moment(force, width, &plates);
    let bending_diameter = (32.0 * moment / (PI * demand.pin_mpa)).cbrt();
    let pressure_diameter = force / (width * bore.pressure_mpa);
    let diameter = body.pin_mm.unwrap_or(bending_diameter.max(pressure_diameter));
    // A pin of no diameter is asked for only where nothing loads it.
    let over = |load: f64, size: f64| if load > 0.0 { load / size } else { 0.0 };
    let stress = over(32.0 * moment, PI * diameter.powi(3));
    let pressure = over(force, diameter * width);
    let spin = meshes.sun.wheels[0].teeth / teeth;
    let sliding = PI * diameter * spin * loads.sun_to_carrier_rpm / 60_000.0;
    let room = radial_room(teeth, shift, module, diameter);
    PinStrength {
        wheel: planet.wheel,
        centrifugal_n: flung,
        force_n: force,
        diameter_mm: diameter,
        given: body.pin_mm.is_some(),
        moment_nmm: moment,
        plates,
        hole_mpa: over(force, 2.0 * diameter * plates.thickness_mm),
        stress_mpa: stress,
        allowable_mpa: demand.pin_mpa,
        safety: (stress > 0.0).then(|| demand.pin_mpa / stress),
        bending_diameter_mm: bending_diameter,
        pressure_diameter_mm: pressure_diameter,
        pressure_mpa: pressure,
        spin,
        sliding_m_s: sliding,
        pv_mpa_m_s: pressure * sliding,
        room_mm: room,
        bearings: bearings(bore, diameter, room, pressure, sliding),
    }
}

/// m_P a ω² in N of a solid disc of `diameter` and `width` mm at `arm` mm from the axis;
/// density in kg/m³. The hole for the pin is not taken off, which is on the safe side.
fn centrifugal(density: f64, diameter: f64, width: f64, arm: f64, carrier_rpm: f64) -> f64 {
    let mass = density * PI / 4.0 * diameter * diameter * width * 1e-9;
    let omega = carrier_rpm * PI / 30.0;
    mass * arm * 1e-3 * omega * omega
}

/// M = F (b + 4 g + 2 t) / 8 in N mm: a pin carried on both sides in walls of thickness t, g
/// off the planet, its load F spread over the width b, each wall's over t.
///
/// Each half of the load acts b/4 from the middle, its reaction b/2 + g + t/2 from it:
/// M = F/2 (b/2 + g + t/2) − F/2 · b/4. Source: the bolt of a clevis as textbooks of machine
/// elements reckon it. Breaks where the pin is held on one side only.
fn bending_moment(force: f64, width: f64, plates: &Plates) -> f64 {
    force * (width + 4.0 * plates.gap_mm + 2.0 * plates.thickness_mm) / 8.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::strength::laws::{LOAD, body_of};
    use crate::strength::{SetLoad, judge};
    use crate::train::GearSet;

    /// A clevis of textbooks: 10 kN, middle part 20 mm, walls 10 mm: M = 10000 · (20 + 20)
    /// / 8 = 50,000 N mm; a bolt of 20 mm has 32 · 50000 / (π · 8000) = 63.7 MPa.
    #[test]
    fn a_clevis_bolt() {
        let walls = |gap_mm| Plates { thickness_mm: 10.0, gap_mm };
        let moment = bending_moment(10_000.0, 20.0, &walls(0.0));
        assert!((moment - 50_000.0).abs() < 1e-9);
        assert!((32.0 * moment / (PI * 8000.0) - 63.66).abs() < 0.01);
        // 3 mm of gap: the reactions stand 18 mm off the middle, the halves of the load 5 mm.
        let moment = bending_moment(10_000.0, 20.0, &walls(3.0));
        assert!((moment - 5000.0 * (18.0 - 5.0)).abs() < 1e-9);
    }

    /// A steel disc of 27 mm and 15 mm: 7850 · π/4 · 0.027² · 0.015 = 0.06742 kg; on an arm
    /// of 36 mm at 3000 rpm (314.16 rad/s): 0.06742 · 0.036 · 98696 = 239.5 N.
    #[test]
    fn a_planet_flung_outward() {
        let found = centrifugal(7850.0, 27.0, 15.0, 36.0, 3000.0);
        assert!((found - 239.54).abs() < 0.05, "{found}");
    }

    /// The set of the loads' test, K_A 1.25: F = 2 · 733.3 · 1.25 = 1833 N, b = 15, walls
    /// 0.3 b: M = 1833.3 · 15 · 1.6 / 8 = 5500 N mm; d = ∛(32 · 5500 / (π · 120)) =
    /// 7.757 mm. In a bore of case-hardened steel 1833.3 / (15 · 10) = 12.22 mm, which is
    /// then the pin: v = π · 12.22 · 1666.7 / 60000 = 1.0666 m/s.
    #[test]
    fn a_pin_by_longhand() {
        let body = body_of(GearSet { planets: Some(3), ..GearSet::single(30, 66) });
        let load = SetLoad { sun_torque_nm: 45.0, carrier_rpm: 0.0, ..LOAD };
        let found = judge(&body, &load, &Demand::default()).unwrap().pins[0];
        assert!((found.force_n - 1833.33).abs() < 0.01);
        assert!((found.moment_nmm - 5500.0).abs() < 0.1);
        assert!((found.bending_diameter_mm - 7.757).abs() < 1e-3);
        assert!((found.pressure_diameter_mm - 12.222).abs() < 1e-3);
        assert_eq!(found.diameter_mm, found.pressure_diameter_mm);
        assert!((found.pressure_mpa - 10.0).abs() < 1e-9);
        assert!((found.sliding_m_s - 1.0666).abs() < 1e-3);
        assert_eq!(found.bearings[0].holds, Some(false));
        // Slow enough, the bore that just bears the pressure holds, whatever rounding made of it.
        let slow = SetLoad { sun_to_carrier_rpm: 10.0, ..load };
        let slow = judge(&body, &slow, &Demand::default()).unwrap().pins[0];
        assert_eq!(slow.bearings[0].holds, Some(true));
        // In plates of 4 mm with 1 mm of gap: M = 1833.3 · (15 + 4 + 8) / 8 = 6187.5 N mm, on
        // 8 mm 123.1 MPa; each plate's hole bears 1833.3 / (2 · 8 · 4) = 28.65 MPa.
        let plates = Some(Plates { thickness_mm: 4.0, gap_mm: 1.0 });
        let built = SetBody { pin_mm: Some(8.0), plates, ..body };
        let built = judge(&built, &load, &Demand::default()).unwrap().pins[0];
        assert!((built.moment_nmm - 6187.5).abs() < 0.1);
        assert!((built.stress_mpa - 123.09).abs() < 0.01, "{}", built.stress_mpa);
        assert!((built.hole_mpa - 28.646).abs() < 1e-3);
        let thin = SetBody { pin_mm: Some(found.bending_diameter_mm), ..body };
        let found = judge(&thin, &load, &Demand::default()).unwrap().pins[0];
        assert!(found.given && (found.stress_mpa - 120.0).abs() < 1e-9);
        assert!((found.safety.unwrap() - 1.0).abs() < 1e-12);
    }
}
