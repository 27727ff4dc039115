//! The width that a set needs, as a law of its load: for searches that ask it of one set under
//! a million loads.

use smallvec::SmallVec;

use super::body::{SetBody, SetLoad};
use super::demand::{Demand, Making};
use super::fault::Fault;
use super::judge::judge;

/// [`super::width_needed`] of one set, ready for any load.
///
/// Forces are in proportion to the sun's torque, the pitch line speed to the sun's speed
/// against the carrier, and each mesh's width to its force F_t K_A K_v: so one width a mesh at
/// 1 N m and at rest, where K_v is 1, tells all others.
#[derive(Clone, Debug, PartialEq)]
pub struct WidthLaw {
    /// Of each mesh: how its teeth are made, and mm of width per N m of the sun at rest.
    meshes: SmallVec<[(Making, f64); 3]>,
    /// m/s of the pitch line per revolution a minute.
    speed: f64,
}

impl WidthLaw {
    /// # Errors
    /// As [`super::width_needed`].
    pub fn new(body: &SetBody, demand: &Demand) -> Result<Self, Fault> {
        let load = SetLoad { sun_torque_nm: 1.0, sun_to_carrier_rpm: 0.0, carrier_rpm: 0.0 };
        let at_rest = judge(body, &load, demand)?;
        let turning = judge(body, &SetLoad { sun_to_carrier_rpm: 1.0, ..load }, demand)?;
        let mesh = |mesh: &super::judge::MeshStrength| (mesh.making, mesh.width_needed_mm);
        let meshes = at_rest.meshes.iter().map(mesh).collect();
        Ok(Self { meshes, speed: turning.loads.pitch_speed_m_s })
    }

    /// The face width in mm that `load` asks for, 0 without a torque.
    pub fn width(&self, load: &SetLoad) -> f64 {
        let speed = self.speed * load.sun_to_carrier_rpm.abs();
        let torque = load.sun_torque_nm.abs();
        let each = self.meshes.iter().map(|(making, width)| width * making.velocity_factor(speed));
        each.fold(0.0, f64::max) * torque
    }
}
