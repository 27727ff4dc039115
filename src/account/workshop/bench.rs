//! All that is worked out of one set.

use super::sized::{Sized, sized, sizes_of};
use super::{SetWork, cutting_limits, finish, placed};
use crate::brief::{ReductionBrief, Variant};
use crate::parts::{Making, Misfit, Parts};
use crate::reduction::{Built, Maker, SetDemand};
use crate::strength::SetStrength;
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
    /// What the set bears as it is built under the load of the brief, or why that cannot be
    /// told; `None` without a load.
    pub built: Option<Result<Built, String>>,
    /// The sizes that teeth do not settle.
    pub making: Making,
    /// The parts, or what does not fit.
    pub parts: Result<Parts, Vec<Misfit>>,
    /// Sentences for the builder.
    pub notes: Vec<String>,
    /// Where the sizes of the brief had to give way: a sentence each.
    pub gave_way: Vec<String>,
}

impl Bench {
    /// `None` where the set has no outlines.
    pub(super) fn new(
        work: &SetWork,
        borne: Option<&SetDemand>,
        brief: &ReductionBrief,
        variant: &Variant,
        proof: Vec<MeshProof>,
    ) -> Option<Self> {
        let choice = &work.choice;
        let (limits, finish) = (cutting_limits(brief, choice.module), finish(brief, choice.module));
        let placed = placed(choice, brief)?;
        let maker = Maker::new(brief, variant);
        let sizes = maker.as_ref().and_then(|maker| maker.sizes(choice, work.width, borne).ok());
        let Sized { making, parts, notes, gave_way } = sized(&placed, work, brief, sizes.as_ref());
        // What is judged is what is made, whatever was asked for.
        let judged = |(maker, borne): (Maker<'_>, &SetDemand)| {
            let built = maker.judged(choice, work.width, &sizes_of(&making), borne);
            built.map_err(|fault| fault.to_string())
        };
        let built = maker.zip(borne).map(judged);
        Some(Self {
            wheels: tooth_data(&placed, &limits, &finish, choice.module),
            meshes: mesh_data(&placed, &limits, &finish, choice.module),
            backlash: brief.making.backlash,
            placed,
            proof,
            built,
            making,
            parts,
            notes,
            gave_way,
        })
    }

    /// What teeth and pins bear; `None` without a load, or why it cannot be told.
    pub fn strength(&self) -> Option<Result<&SetStrength, &String>> {
        self.built.as_ref().map(|built| built.as_ref().map(|built| &built.strength))
    }

    /// Whether no mesh overlaps by more than 1 µm in any position of the proof.
    pub fn meshes_freely(&self) -> bool {
        let deepest = self.proof.iter().map(|proof| proof.depth).fold(0.0, f64::max);
        !self.proof.is_empty() && deepest * self.making.module_mm <= 0.001
    }
}
