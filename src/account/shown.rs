//! What `show` tells of a layout, as data: the fields of its JSON in their order, and the
//! words that people read. Exact numbers are texts such as "27/11".

use serde::{Serialize, Serializer};

use crate::motion::Derivation;

mod inside;

pub use inside::{
    BranchPower, ColumnTold, DrawingTold, EffectTold, ElementPeaks, ElementShiftTold, FaultTold,
    InsteadTold, Largest, LinesTold, LoopTold, MarkTold, Peak, PoseTold, PowerTold, SetPeaks,
    ShaftPeaks, ShaftPowerTold, ShiftTold, WheelTold, WheelsTold,
};

/// All that is told of one layout.
#[derive(Clone, Debug, Serialize)]
pub struct Shown {
    /// The canonical spelling of the wiring.
    pub canonical: String,
    pub title: Option<String>,
    /// Input, output, then the others.
    pub shafts: Vec<ShaftMembers>,
    /// Members held in the housing permanently.
    pub held: Vec<String>,
    pub elements: Vec<ElementPlace>,
    pub sets: Vec<SetTeeth>,
    /// The named gears in the order of the file.
    pub gears: Vec<State>,
    /// Every set of `engaged` elements, in the order of the elements.
    pub states: Vec<State>,
    /// First forward ratio / last forward ratio; none without a forward gear.
    pub spread: Option<Exact>,
    /// Between neighbouring forward gears, first to top.
    pub steps: Vec<Step>,
    /// Whether it passes the nesting test, which is necessary and not sufficient.
    pub nests: bool,
    /// How it can be drawn; none where it does not nest or no drawing is found.
    pub drawing: Option<DrawingTold>,
    /// The largest loads and speeds over the gears, and in which gear.
    pub largest: Largest,
    /// Every element failing, in both ways.
    pub faults: Vec<FaultTold>,
    /// Every way from one gear to another of the same direction, upwards.
    pub shifts: Vec<ShiftTold>,
    pub scores: Scores,
    /// None when no named gear is live.
    pub fewest_elements: Option<FewestTold>,
    pub assumed: Assumed,
}

/// The fewest elements that keep the ratio of every live gear.
#[derive(Clone, Debug, Serialize)]
pub struct FewestTold {
    pub kept: Vec<String>,
    pub left_out: Vec<String>,
    /// Whether no smaller set does it.
    pub proved: bool,
    /// A state of kept elements for each live gear.
    pub gears: Vec<GearServed>,
}

/// A gear and a state that has its ratio.
#[derive(Clone, Debug, Serialize)]
pub struct GearServed {
    pub gear: String,
    pub engaged: Vec<String>,
}

/// A shaft and who sits on it.
#[derive(Clone, Debug, Serialize)]
pub struct ShaftMembers {
    pub shaft: String,
    pub members: Vec<String>,
}

/// A shift element and what it ties together.
#[derive(Clone, Debug, Serialize)]
pub struct ElementPlace {
    pub element: String,
    /// "brake" or "clutch".
    pub kind: &'static str,
    /// In the order on which signs depend; one for a brake.
    pub shafts: Vec<String>,
}

/// A set with its teeth and how they are judged.
#[derive(Clone, Debug, Serialize)]
pub struct SetTeeth {
    pub set: usize,
    /// "single" or "paired".
    pub kind: &'static str,
    pub sun: u32,
    pub ring: u32,
    pub planet: Option<u32>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub outer_planet: Option<u32>,
    pub planets: Option<u32>,
    /// ρ = Z_R / Z_S.
    pub base_ratio: Exact,
    pub conditions: Vec<ConditionTold>,
    /// None where the planets are not known or the teeth cannot be.
    pub wheels: Option<WheelsTold>,
}

/// One condition, or one preference, of a set.
#[derive(Clone, Debug, Serialize)]
pub struct ConditionTold {
    pub name: &'static str,
    pub holds: bool,
    pub detail: String,
    /// "condition" where metal depends on it, "preference" where it is only wished.
    pub kind: &'static str,
}

/// An exact number and its nearest float.
#[derive(Clone, Debug, Serialize)]
pub struct Exact {
    pub exact: String,
    pub value: f64,
}

/// One state: speeds per input speed, torques per input torque, powers per input power.
#[derive(Clone, Debug, Serialize)]
pub struct State {
    /// Name of the gear that the state is, if it is one.
    pub gear: Option<String>,
    pub engaged: Vec<String>,
    /// "live", "loose", "locked" or "idle output".
    pub status: &'static str,
    /// Why, in a sentence.
    pub reason: String,
    /// i = input speed / output speed, when live.
    pub ratio: Option<Exact>,
    /// i in the base ratios ρ1, ρ2 …
    pub formula: Option<String>,
    /// The same in three notations, and in tooth counts.
    pub formulas: Option<FormulasTold>,
    /// How the ratio follows, step by step, where the state is a named gear.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub derivation: Option<Derivation>,
    pub shafts: Vec<ShaftMotion>,
    pub housing: HousingLoad,
    pub sets: Vec<SetMotion>,
    pub elements: Vec<ElementMotion>,
    /// −P_out / P_in, when live, not self-locking and determined.
    pub efficiency: Option<f64>,
    pub self_locking: bool,
    /// −P_in / P_out with the output driving; none where it cannot drive the input.
    pub back_efficiency: Option<f64>,
    /// Whether the output can drive the input, when live and determined.
    pub back_drives: Option<bool>,
    /// Σ |P_roll|.
    pub circulating_power: Option<f64>,
    /// Largest |T ω| of a member or a clutch; above 1 power circulates.
    pub largest_branch_power: Option<f64>,
    /// Where the power goes, without losses, when live.
    pub power: Option<PowerTold>,
    /// What is not determined and why, if anything.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub note: Option<&'static str>,
}

/// The ratio as a formula.
#[derive(Clone, Debug, Serialize)]
pub struct FormulasTold {
    /// In ρ1, ρ2 …, ρ = Z_R / Z_S.
    pub base_ratios: FormulaTold,
    /// In S1, R1, S2 … the teeth of suns and rings.
    pub teeth: FormulaTold,
}

/// A formula in three notations.
#[derive(Clone, Debug, Serialize)]
pub struct FormulaTold {
    pub text: String,
    pub latex: String,
    /// Presentation MathML, one `math` element.
    pub mathml: String,
}

/// Speed of a shaft and the torque that acts on it from outside the gearbox.
#[derive(Clone, Debug, Serialize)]
pub struct ShaftMotion {
    pub shaft: String,
    pub speed: Option<String>,
    pub torque: Option<String>,
}

/// The torque with which the ground holds the housing.
#[derive(Clone, Debug, Serialize)]
pub struct HousingLoad {
    pub torque: Option<String>,
}

/// Torques of a set's members, as their shafts exert them on the set, and its rolling.
#[derive(Clone, Debug, Serialize)]
pub struct SetMotion {
    pub set: usize,
    pub sun_torque: Option<String>,
    pub ring_torque: Option<String>,
    pub carrier_torque: Option<String>,
    /// T ω of each member: what its shaft gives to the set, without losses.
    pub sun_power: Option<String>,
    pub ring_power: Option<String>,
    pub carrier_power: Option<String>,
    /// Of the planet that meshes with the sun, about its pin.
    pub planet_speed: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub outer_planet_speed: Option<String>,
    /// T_S (ω_S − ω_C), without losses.
    pub rolling_power: Option<f64>,
    /// What the set loses.
    pub lost_power: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub note: Option<&'static str>,
}

/// Torque and slip of a shift element.
#[derive(Clone, Debug, Serialize)]
pub struct ElementMotion {
    pub element: String,
    pub kind: &'static str,
    pub engaged: bool,
    /// On the first-named shaft (a brake: what the housing exerts on the shaft).
    pub torque: Option<String>,
    /// Speed of the first-named shaft minus the second (a brake: the shaft's speed).
    pub slip: Option<String>,
    /// What it gives to its first-named shaft, without losses; 0 for a brake.
    pub power: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub note: Option<&'static str>,
}

/// φ = i of one forward gear / i of the next.
#[derive(Clone, Debug, Serialize)]
pub struct Step {
    pub from: String,
    pub to: String,
    pub exact: String,
    pub value: f64,
}

/// Every criterion by name, in the order of the table of criteria.
#[derive(Clone, Debug)]
pub struct Scores(pub Vec<(&'static str, Option<f64>)>);

impl Serialize for Scores {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.0.iter().map(|(name, score)| (name, score)))
    }
}

/// What the layout does not say and the scores and losses need.
#[derive(Clone, Debug, Serialize)]
pub struct Assumed {
    /// Efficiency of a mesh of two external gears, and of a planet in a ring.
    pub mesh_external: f64,
    pub mesh_internal: f64,
    /// Whether the efficiencies are those of a set 30/20/70 and others go by their teeth.
    pub losses_by_teeth: bool,
    pub module_mm: f64,
    pub progression: &'static str,
}
