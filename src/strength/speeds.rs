//! Speed limits of a set: how fast the sun may turn against the carrier.

use std::f64::consts::PI;

use super::body::SetBody;
use super::loads::Loads;
use super::pins::PinStrength;

/// Highest speeds of sun against carrier in rpm, each by one limit, at the given load.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SpeedLimits {
    /// By the pitch line, for the slowest of the three materials.
    pub pitch_rpm: f64,
    /// That pitch line speed, in m/s.
    pub pitch_speed_m_s: f64,
    /// By sliding of the planets' own bores on their pins; `None` without a pin (none given
    /// and no load to size one).
    pub sliding_rpm: Option<f64>,
    /// By pressure times sliding speed of the same; `None` without a load.
    pub pv_rpm: Option<f64>,
}

impl SpeedLimits {
    /// The limits of checked numbers. Every speed of a set goes with that of sun against
    /// carrier, so each limit is a quotient. Where the turning carrier adds to the pins'
    /// load, the load at the given speed is kept.
    pub(super) fn of(body: &SetBody, loads: &Loads, pins: &[PinStrength]) -> Self {
        let limits = [body.sun, body.planet, body.ring].map(|material| material.pitch_speed_m_s);
        let slowest = limits.into_iter().fold(f64::INFINITY, f64::min);
        let bore = body.planet.bore;
        // Sliding speed of a pin for each rpm of the sun against the carrier.
        let sliding = |pin: &PinStrength| PI * pin.diameter_mm * pin.spin / 60_000.0;
        let heat = |pin: &PinStrength| sliding(pin) * pin.pressure_mpa;
        Self {
            pitch_rpm: slowest * 60_000.0 / (PI * loads.sun_diameter_mm),
            pitch_speed_m_s: slowest,
            sliding_rpm: lowest(bore.speed_m_s, pins.iter().map(sliding)),
            pv_rpm: lowest(bore.pv_mpa_m_s, pins.iter().map(heat)),
        }
    }

    /// The lowest of all limits: that of planets turning on plain pins.
    pub fn on_plain_pins(&self) -> f64 {
        [self.sliding_rpm, self.pv_rpm].into_iter().flatten().fold(self.pitch_rpm, f64::min)
    }
}

/// The lowest speed at which one of the quantities, each growing by `per_rpm`, reaches
/// `limit`.
fn lowest(limit: f64, per_rpm: impl Iterator<Item = f64>) -> Option<f64> {
    per_rpm.filter(|rate| *rate > 0.0).map(|rate| limit / rate).reduce(f64::min)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::strength::laws::{LOAD, body_of};
    use crate::strength::{Demand, Material, judge};
    use crate::train::GearSet;

    /// d_S = 45 mm, POM planets at 4 m/s: 4 · 60000 / (π · 45) = 1697.7 rpm. A pin of 8 mm
    /// under planets of 18 teeth slides at 0.8 m/s when they turn 1909.9 rpm, the sun
    /// 1909.9 · 18 / 30 = 1145.9 rpm.
    #[test]
    fn limits_by_longhand() {
        let planet = Material::find("pom").unwrap();
        let set = GearSet { planets: Some(3), ..GearSet::single(30, 66) };
        let body = SetBody { planet, pin_mm: Some(8.0), ..body_of(set) };
        let found = judge(&body, &LOAD, &Demand::default()).unwrap();
        assert!((found.speeds.pitch_rpm - 1697.65).abs() < 0.01);
        assert!((found.speeds.sliding_rpm.unwrap() - 1145.92).abs() < 0.01);
        // At that speed the product of pressure and sliding is the one allowed.
        let rate = found.speeds.pv_rpm.unwrap();
        let sliding = PI * 8.0 * rate * 30.0 / 18.0 / 60_000.0;
        assert!((sliding * found.pins[0].pressure_mpa - 0.1).abs() < 1e-9);
        let lowest = found.speeds.on_plain_pins();
        assert!(lowest <= 1145.93 && lowest <= rate);
    }
}
