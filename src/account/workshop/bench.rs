//! All that is worked out of one set.

use super::sized::sized;
use super::{SetWork, cutting_limits, finish, placed};
use crate::brief::ReductionBrief;
use crate::num::to_f64;
use crate::parts::{Making, Misfit, Parts};
use crate::reduction::{Found, SetDuty, body, demand};
use crate::strength::{Material, SetLoad, SetStrength, judge};
use crate::teeth::{MeshData, MeshProof, PlacedSet, WheelData, mesh_data, tooth_data};

/// Tables, loads, proof and parts of one set.
#[derive(Clone, Debug)]
pub struct Bench {
    pub placed: PlacedSet,
    pub wheels: Vec<WheelData>,
    pub meshes: Vec<MeshData>,
    /// Turned through a pitch in 64 positions; lengths in modules.
    pub proof: Vec<MeshProof>,
    /// Circular backlash that was asked for, in mm.
    pub backlash: f64,
    /// What the set bears under the load of the brief, or why that cannot be told; `None`
    /// without a load.
    pub strength: Option<Result<SetStrength, String>>,
    /// The sizes that teeth do not settle.
    pub making: Making,
    /// The parts, or what does not fit.
    pub parts: Result<Parts, Vec<Misfit>>,
    /// Where the sizes of the brief had to give way: a sentence each.
    pub notes: Vec<String>,
}

impl Bench {
    /// `None` where the set has no outlines.
    pub(super) fn new(
        work: &SetWork,
        duty: Option<SetDuty>,
        materials: Option<[&'static Material; 3]>,
        brief: &ReductionBrief,
        one: &Found,
        proof: Vec<MeshProof>,
    ) -> Option<Self> {
        let choice = &work.choice;
        let (limits, finish) = (cutting_limits(brief, choice.module), finish(brief, choice.module));
        let placed = placed(choice, brief)?;
        let strength = strength(work, duty, materials, brief, one);
        let pin = match &strength {
            Some(Ok(strength)) => strength.pins.iter().map(|pin| pin.diameter_mm).reduce(f64::max),
            _ => None,
        };
        let (making, parts, notes) = sized(&placed, work, brief, pin);
        Some(Self {
            wheels: tooth_data(&placed, &limits, &finish, choice.module),
            meshes: mesh_data(&placed, &limits, &finish, choice.module),
            backlash: brief.making.backlash,
            placed,
            proof,
            strength,
            making,
            parts,
            notes,
        })
    }

    /// Whether no mesh overlaps by more than 1 µm in any position of the proof.
    pub fn meshes_freely(&self) -> bool {
        let deepest = self.proof.iter().map(|proof| proof.depth).fold(0.0, f64::max);
        !self.proof.is_empty() && deepest * self.making.module_mm <= 0.001
    }
}

fn strength(
    work: &SetWork,
    duty: Option<SetDuty>,
    materials: Option<[&'static Material; 3]>,
    brief: &ReductionBrief,
    one: &Found,
) -> Option<Result<SetStrength, String>> {
    let (load, duty, materials) = (brief.load.as_ref()?, duty?, materials?);
    let torque = load.output_torque / to_f64(&one.ratio).abs();
    let body = body(brief, materials, &work.choice, work.width);
    let load = SetLoad {
        sun_torque_nm: duty.sun_torque * torque,
        sun_to_carrier_rpm: duty.sun_to_carrier * load.input_speed,
        carrier_rpm: duty.carrier * load.input_speed,
    };
    Some(judge(&body, &load, &demand(brief)).map_err(|fault| fault.to_string()))
}
