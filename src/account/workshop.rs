//! What a builder needs of one reduction besides its layout: modules, widths, materials,
//! loads, measures, the proof that the wheels mesh, and the parts.

mod assembly;
mod bench;
mod bill;
mod section;
mod sheets;
mod sized;
mod stages;
mod weak;

pub use assembly::{AssemblyStep, assembly, assembly_text};
pub use bench::Bench;
pub use bill::{BillRow, bill, joints};
pub use section::section;
pub use sheets::sheets;
pub use stages::{MemberLoad, hub_torques, stage_loads};
pub use weak::safety_told;

use crate::brief::ReductionBrief;
use crate::num::to_f64;
use crate::reduction::choice::{Choice, limits_at};
use crate::reduction::{Found, Reductions, SetDemand, Verdict, losses, materials};
use crate::score::Criterion;
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
    /// Of carriers' plates and of shafts.
    pub further: Option<[&'static Material; 2]>,
    /// Output power / input power, once it is worked out.
    pub efficiency: Option<f64>,
    /// By how much more torque stands before the output than without losses.
    pub losses: f64,
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
    /// What the brief asks of its parts.
    pub asked: Asked,
    /// Whether the files of its parts are written.
    pub makes_parts: bool,
}

/// What a brief asks of the parts that bear.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Asked {
    /// Least allowable stress over stress.
    pub safety: f64,
    /// Thickness of a carrier's plate in mm.
    pub plate: f64,
    /// Whether shafts and pins are chosen by the load.
    pub free_shaft: bool,
    pub free_pin: bool,
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
            further: Material::find(&variant.carrier)
                .zip(Material::find(&variant.shaft))
                .map(Into::into),
            efficiency: None,
            losses: 1.0,
            output_torque: brief.load.as_ref().map(|load| load.output_torque),
            input_speed: brief.load.as_ref().map(|load| load.input_speed),
            sets: sets.into_iter().flatten().collect(),
            stages: None,
            room: (brief.room.bore, brief.room.gap),
            asked: Asked {
                safety: brief.strength.safety,
                plate: brief.room.plate,
                free_shaft: brief.making.shaft.is_none(),
                free_pin: brief.making.pin.is_none(),
            },
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
        let efficiency = one.score(Criterion::Efficiency);
        self.efficiency = efficiency;
        self.losses = losses(brief, efficiency);
        let layout = found.layout(one);
        let order = &found.arrangement(one).order;
        let running = found.running(one);
        let variant = brief.variants.iter().find(|variant| variant.name == self.variant);
        for (variable, &set) in order.iter().enumerate() {
            let duty = running.as_ref().map(|running| running.sets[variable]);
            let borne = duty.zip(load).zip(self.stages.as_ref());
            let borne = borne.map(|((duty, (torque, speed)), (loads, _))| SetDemand {
                // The same by the exact solution: the search took floats.
                hubs_nm: hub_torques(&layout, loads, set).map(|hub| hub.under(1.0, self.losses)),
                ..SetDemand::of(&duty, torque, speed, self.losses)
            });
            let work = &mut self.sets[set];
            let proof = proof(&work.choice);
            let bench = |variant| Bench::new(work, borne.as_ref(), brief, variant, proof);
            work.bench = variant.and_then(bench);
        }
    }
}

impl Workshop {
    /// The size of the input's torque in N m under the load of the brief, without losses;
    /// `ratio` is input speed / output speed.
    pub fn input_torque(&self, ratio: f64) -> Option<f64> {
        self.output_torque.map(|torque| torque / ratio.abs()).filter(|torque| torque.is_finite())
    }

    /// Every judgement of every set as built, with the set counted from 1.
    pub fn verdicts(&self) -> Vec<(usize, Verdict)> {
        let built = (1..).zip(&self.sets).filter_map(|(number, work)| {
            let built = work.bench.as_ref()?.built.as_ref()?.as_ref().ok()?;
            Some(built.verdicts().into_iter().map(move |verdict| (number, verdict)))
        });
        built.flatten().collect()
    }

    /// The one with the least safety; `None` where nothing is judged, or where a set cannot be.
    pub fn weakest(&self) -> Option<(usize, Verdict)> {
        let judged = |work: &SetWork| {
            matches!(work.bench.as_ref().map(|bench| &bench.built), Some(Some(Ok(_))))
        };
        let all = self.sets.iter().all(judged);
        let loaded = self.verdicts().into_iter().filter(|(_, verdict)| verdict.safety.is_some());
        let safety = |verdict: &Verdict| verdict.safety.unwrap_or(f64::INFINITY);
        loaded.filter(|_| all).min_by(|a, b| safety(&a.1).total_cmp(&safety(&b.1)))
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
            let strength = work.bench.as_ref()?.strength()?.ok()?;
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
