//! One set as a body, and its load: what the estimates start from.

use super::fault::{Fault, within};
use super::materials::Material;
use crate::teeth::Shifts;
use crate::train::GearSet;

/// One set with its size and its materials.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SetBody {
    /// Three planets where they are not counted; Z_P = ⌊(Z_R − Z_S) / 2⌋ where a single set
    /// does not name it. A paired set must name both planets.
    pub set: GearSet,
    pub shifts: Shifts,
    /// Normal module in mm.
    pub module_mm: f64,
    /// α of the basic rack in degrees, 14.5 to 30.
    pub pressure_angle_deg: f64,
    /// b, the face width that all wheels share, in mm. [`super::width_needed`] does not
    /// look at it.
    pub width_mm: f64,
    pub sun: &'static Material,
    /// Of all planets.
    pub planet: &'static Material,
    pub ring: &'static Material,
    /// Diameter of the planets' pins in mm, where it is settled.
    pub pin_mm: Option<f64>,
    /// The carrier's plates that hold the pins, where they are settled; else walls of
    /// [`super::Demand::wall`] that lie against the planets.
    pub plates: Option<Plates>,
}

/// The two plates of a carrier as they are drawn, in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plates {
    /// t, of each plate.
    pub thickness_mm: f64,
    /// g, between planet and plate on either side.
    pub gap_mm: f64,
}

/// The lossless load of a set in one gear. Signs do not matter: a tooth driven backwards is
/// a tooth loaded on the other flank.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SetLoad {
    /// T_S, the torque on the sun, in N m.
    pub sun_torque_nm: f64,
    /// ω_S − ω_C, sun against carrier, in rpm; 0 for a set that turns as a block.
    pub sun_to_carrier_rpm: f64,
    /// ω_C, the carrier against the housing, in rpm.
    pub carrier_rpm: f64,
}

/// Profile shifts beyond this are a slip of the pen.
const LARGEST_SHIFT: f64 = 2.0;
/// More planets than this are no gear set.
pub(super) const MOST_PLANETS: u32 = 1000;

impl SetBody {
    /// Judges all but width and pin, which [`super::width_needed`] does not use.
    pub(super) fn check(&self) -> Result<(), Fault> {
        within("the module in mm", self.module_mm, 0.01, 1000.0)?;
        within("the pressure angle in degrees", self.pressure_angle_deg, 14.5, 30.0)?;
        for shift in [self.shifts.sun, self.shifts.planet, self.shifts.ring] {
            within("a profile shift", shift, -LARGEST_SHIFT, LARGEST_SHIFT)?;
        }
        match self.planets() {
            1..=MOST_PLANETS => Ok(()),
            found => Err(Fault::Planets { found }),
        }
    }

    /// Judges width and pin.
    pub(super) fn check_width(&self) -> Result<(), Fault> {
        within("the face width in mm", self.width_mm, 0.001, 100_000.0)?;
        if let Some(pin) = self.pin_mm {
            within("the pin's diameter in mm", pin, 0.001, 100_000.0)?;
        }
        if let Some(plates) = self.plates {
            within("the plates' thickness in mm", plates.thickness_mm, 0.001, 100_000.0)?;
            within("the gap beside the planets in mm", plates.gap_mm, 0.0, 100_000.0)?;
        }
        Ok(())
    }

    /// N, three where the planets are not counted.
    pub(super) fn planets(&self) -> u32 {
        self.set.planets.unwrap_or(3)
    }
}

impl SetLoad {
    pub(super) fn check(&self) -> Result<(), Fault> {
        within("the sun's torque in N m", self.sun_torque_nm, -1e9, 1e9)?;
        within("the sun's speed against the carrier in rpm", self.sun_to_carrier_rpm, -1e7, 1e7)?;
        within("the carrier's speed in rpm", self.carrier_rpm, -1e7, 1e7)?;
        Ok(())
    }
}
