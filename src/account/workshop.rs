//! What a builder needs of one reduction besides its layout: modules, widths, materials,
//! loads, measures, the proof that the wheels mesh, and the parts.

mod assembly;
mod bench;
mod bill;
mod section;
mod sheets;
mod sized;
mod stages;

pub use assembly::{AssemblyStep, assembly, assembly_text};
pub use bench::Bench;
pub use bill::{BillRow, bill, joints};
pub use section::section;
pub use sheets::sheets;
pub use stages::{MemberLoad, stage_loads};

use crate::brief::ReductionBrief;
use crate::num::to_f64;
use crate::reduction::choice::{Choice, limits_at};
use crate::reduction::{Found, Reductions, materials};
use crate::strength::{Material, SetStrength};
use crate::teeth::{Finish, MeshProof, PlacedSet, ToothLimits, mesh_proof};
use crate::train::GearSet;

/// What a builder needs of one reduction.
#[derive(Clone, Debug)]
pub struct Workshop {
    /// Name of the variant of materials, empty where there is one only.
    pub variant: String,
    /// Of sun, planet and ring.
    pub materials: Option<[&'static Material; 3]>,
    /// Of the output in N m, without losses, where the brief has a load.
    pub output_torque: Option<f64>,
    /// Revolutions a minute of the input, where the brief has a load.
    pub input_speed: Option<f64>,
    /// In the order of the layout's sets.
    pub sets: Vec<SetWork>,
    /// Torque, speed and power of every member under the load of the brief, and what the
    /// housing holds in N m; `None` without a load, and behind the front.
    pub stages: Option<(Vec<MemberLoad>, f64)>,
    /// Bore of the brief and gap between parts that turn past each other, in mm.
    pub room: (Option<f64>, f64),
    /// Whether the files of its parts are written.
    pub makes_parts: bool,
}

/// One set of a reduction.
#[derive(Clone, Debug)]
pub struct SetWork {
    /// With module and shifts.
    pub choice: Choice,
    /// Face width in mm.
    pub width: f64,
    /// What is worked out for reductions of the front.
    pub bench: Option<Bench>,
}

impl Workshop {
    /// Modules and widths only.
    pub fn new(one: &Found, variant: usize, brief: &ReductionBrief, found: &Reductions) -> Self {
        let order = &found.arrangement(one).order;
        let mut sets: Vec<Option<SetWork>> = vec![None; order.len()];
        for (variable, &set) in order.iter().enumerate() {
            let (choice, width) = (one.choices[variable], one.widths[variable]);
            sets[set] = Some(SetWork { choice, width, bench: None });
        }
        let variant = &brief.variants[variant];
        Self {
            variant: variant.name.clone(),
            materials: materials(variant),
            output_torque: brief.load.as_ref().map(|load| load.output_torque),
            input_speed: brief.load.as_ref().map(|load| load.input_speed),
            sets: sets.into_iter().flatten().collect(),
            stages: None,
            room: (brief.room.bore, brief.room.gap),
            makes_parts: false,
        }
    }

    /// Works out everything of every set; `proof` has the proof of mesh of a set.
    pub fn work_out(
        &mut self,
        one: &Found,
        brief: &ReductionBrief,
        found: &Reductions,
        proof: &dyn Fn(&Choice) -> Vec<MeshProof>,
    ) {
        let ratio = to_f64(&one.ratio);
        let load = self.input_torque(ratio).zip(self.input_speed);
        self.stages =
            load.and_then(|(torque, speed)| stage_loads(&found.layout(one), torque, speed));
        let order = &found.arrangement(one).order;
        let running = found.running(one);
        for (variable, &set) in order.iter().enumerate() {
            let duty = running.as_ref().map(|running| running.sets[variable]);
            let work = &mut self.sets[set];
            let proof = proof(&work.choice);
            work.bench = Bench::new(work, duty, self.materials, brief, one, proof);
        }
    }
}

impl Workshop {
    /// The size of the input's torque in N m under the load of the brief, without losses;
    /// `ratio` is input speed / output speed.
    pub fn input_torque(&self, ratio: f64) -> Option<f64> {
        self.output_torque.map(|torque| torque / ratio.abs()).filter(|torque| torque.is_finite())
    }

    /// Revolutions a minute of the input at which the sun of a set turns `limit` rpm against
    /// its carrier: all speeds go with the input's. `None` where it does not turn so.
    pub fn input_speed_at(&self, strength: &SetStrength, limit: f64) -> Option<f64> {
        let rolling = strength.loads.sun_to_carrier_rpm;
        (rolling > 0.0).then(|| self.input_speed.map(|speed| speed * limit / rolling)).flatten()
    }

    /// The most revolutions a minute of the input that every set stands with its planets on
    /// plain pins, as [`crate::strength::SpeedLimits::on_plain_pins`]; `None` without a load,
    /// or where a set cannot be judged.
    pub fn highest_input_speed(&self) -> Option<f64> {
        let mut least = f64::INFINITY;
        for work in &self.sets {
            let strength = work.bench.as_ref()?.strength.as_ref()?.as_ref().ok()?;
            let limit = strength.speeds.on_plain_pins();
            least = least.min(self.input_speed_at(strength, limit).unwrap_or(f64::INFINITY));
        }
        Some(least).filter(|speed| speed.is_finite())
    }
}

/// The tooth limits with which the sets of a brief are cut: gears of a stock list are cut
/// already, so they have no shift.
pub fn cutting_limits(brief: &ReductionBrief, module: f64) -> ToothLimits {
    let limits = limits_at(brief, module);
    if brief.stock.is_some() { ToothLimits { largest_shift: 0.0, ..limits } } else { limits }
}

/// How the teeth of a brief's sets are finished, in modules.
pub fn finish(brief: &ReductionBrief, module: f64) -> Finish {
    Finish {
        backlash: brief.making.backlash / module,
        tip_rounding: brief.making.tip_rounding / module,
        ..Finish::default()
    }
}

/// Largest distance in modules of the proof's polygons from the curves: finer than that of
/// the files, so that what it measures is the teeth and not their corners.
const PROOF_CHORD: f64 = 0.0003;

/// Positions in which a mesh is proved.
pub const POSITIONS: usize = 64;

/// The set of a choice where it stands, `None` where it has no outlines.
pub fn placed(choice: &Choice, brief: &ReductionBrief) -> Option<PlacedSet> {
    placed_as(choice, brief, &finish(brief, choice.module))
}

fn placed_as(choice: &Choice, brief: &ReductionBrief, finish: &Finish) -> Option<PlacedSet> {
    let limits = cutting_limits(brief, choice.module);
    PlacedSet::with_shifts(&choice.set, &limits, finish, &choice.shift)
}

/// The proof of mesh of a choice, empty where it has no outlines.
pub fn proved(choice: &Choice, brief: &ReductionBrief) -> Vec<MeshProof> {
    let fine = Finish { chord: PROOF_CHORD, ..finish(brief, choice.module) };
    placed_as(choice, brief, &fine).map_or(Vec::new(), |set| mesh_proof(&set, POSITIONS))
}

/// Sets with the same key have the same outlines.
pub fn outline_key(choice: &Choice) -> (GearSet, u64) {
    (choice.set, choice.module.to_bits())
}
