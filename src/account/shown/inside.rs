//! What `show` tells of the inside of a layout: power, largest loads, faults, shifts.

use serde::Serialize;

use super::Exact;

/// Where the power of a state goes. Powers are per input power, without losses.
#[derive(Clone, Debug, Serialize)]
pub struct PowerTold {
    /// Input, output, then the others.
    pub shafts: Vec<ShaftPowerTold>,
    /// Power that runs in circles; none where a torque is not determined. Circles with a
    /// branch in common can be told apart in several ways, of which this is one.
    pub loops: Option<Vec<LoopTold>>,
}

/// What comes and goes at a shaft.
#[derive(Clone, Debug, Serialize)]
pub struct ShaftPowerTold {
    pub shaft: String,
    /// All that comes in; none where a torque is not determined.
    pub through: Option<String>,
    pub branches: Option<Vec<BranchPower>>,
}

/// A branch at a shaft.
#[derive(Clone, Debug, Serialize)]
pub struct BranchPower {
    /// "outside", a member such as "R1", or the name of an element.
    pub branch: String,
    /// What it gives to the shaft; negative where it takes.
    pub power: String,
    /// Its size as a share of all that comes in.
    pub share: f64,
}

/// Power that comes back to where it was.
#[derive(Clone, Debug, Serialize)]
pub struct LoopTold {
    /// Shafts by name and sets as "set 1", in the direction of the power.
    pub through: Vec<String>,
    pub power: Exact,
}

/// A largest size and the gear in which it stands (its elements where it has no name).
#[derive(Clone, Debug, Serialize)]
pub struct Peak {
    pub exact: String,
    pub value: f64,
    pub gear: String,
}

/// The largest sizes over all gears, or over all live states where no gears are named.
#[derive(Clone, Debug, Serialize)]
pub struct Largest {
    pub elements: Vec<ElementPeaks>,
    pub sets: Vec<SetPeaks>,
    pub shafts: Vec<ShaftPeaks>,
}

/// None where a size is not determined in some gear, or there is none.
#[derive(Clone, Debug, Serialize)]
pub struct ElementPeaks {
    pub element: String,
    /// Engaged; |torque| per input torque.
    pub torque: Option<Peak>,
    /// Open; |slip| per input speed.
    pub slip: Option<Peak>,
}

/// None where the planet's teeth are not known.
#[derive(Clone, Debug, Serialize)]
pub struct SetPeaks {
    pub set: usize,
    /// |speed| of the fastest planet about its pin per input speed.
    pub planet_speed: Option<Peak>,
}

/// Largest |speed| of a shaft per input speed.
#[derive(Clone, Debug, Serialize)]
pub struct ShaftPeaks {
    pub shaft: String,
    pub speed: Option<Peak>,
}

/// An element that fails.
#[derive(Clone, Debug, Serialize)]
pub struct FaultTold {
    pub element: String,
    /// "cannot engage" or "stays engaged".
    pub failure: &'static str,
    /// In the order of the gears.
    pub gears: Vec<EffectTold>,
    /// What gears that lock give when another of their elements is opened instead.
    pub instead: Vec<InsteadTold>,
}

/// What becomes of one gear.
#[derive(Clone, Debug, Serialize)]
pub struct EffectTold {
    pub gear: String,
    /// "kept", "changed", "lost", or "dead" where it drives nothing without the fault.
    pub effect: &'static str,
    /// Why, or with what.
    pub status: &'static str,
    /// The ratio that is left.
    pub ratio: Option<Exact>,
}

/// A state that a stuck element leaves instead of a gear.
#[derive(Clone, Debug, Serialize)]
pub struct InsteadTold {
    pub gear: String,
    pub opened: String,
    pub ratio: Exact,
}

/// A shift from one gear to another.
#[derive(Clone, Debug, Serialize)]
pub struct ShiftTold {
    pub from: String,
    pub to: String,
    pub released: Vec<String>,
    pub applied: Vec<String>,
    /// "single" where at most one is released and one applied, else "double" or "multiple".
    pub kind: &'static str,
    /// Whether no gear lies between.
    pub neighbours: bool,
    pub elements: Vec<ElementShiftTold>,
}

/// What an element goes through, per input speed before the shift, the output keeping its
/// speed.
#[derive(Clone, Debug, Serialize)]
pub struct ElementShiftTold {
    pub element: String,
    /// What an applied element brings to rest.
    pub slip_before: String,
    pub slip_after: String,
    /// Of its first-named shaft.
    pub speed_change: String,
}

/// A drawing without crossings on a grid of ranks: x from 0 at the input's side to `width` at
/// the output's, y from the axis at 0 to the housing at `height`.
#[derive(Clone, Debug, Serialize)]
pub struct DrawingTold {
    pub width: i32,
    pub height: i32,
    /// The sets along the axis, from the input's side.
    pub order: Vec<usize>,
    pub columns: Vec<ColumnTold>,
    pub shafts: Vec<LinesTold>,
    /// Lines of the housing besides its edge at `height`.
    pub housing: Vec<[i32; 4]>,
    pub elements: Vec<MarkTold>,
}

/// A set: its members above each other, and where its carrier leaves it.
#[derive(Clone, Debug, Serialize)]
pub struct ColumnTold {
    pub set: usize,
    pub x: i32,
    pub sun: i32,
    pub carrier: i32,
    pub ring: i32,
    pub carrier_leaves_left: bool,
    pub carrier_leaves_right: bool,
}

/// The lines of a shaft, each from x, y to x, y.
#[derive(Clone, Debug, Serialize)]
pub struct LinesTold {
    pub shaft: String,
    pub lines: Vec<[i32; 4]>,
}

/// An element between two lines that end at it from opposite sides.
#[derive(Clone, Debug, Serialize)]
pub struct MarkTold {
    pub element: String,
    pub x: i32,
    pub y: i32,
    /// Where the line of its first-named shaft comes from: "left", "right", "above", "below".
    pub first_from: &'static str,
}

/// The wheels of a set, seen along the axis: lengths in modules from the set's axis, angles in
/// radians counter-clockwise.
#[derive(Clone, Debug, Serialize)]
pub struct WheelsTold {
    pub sun: WheelTold,
    /// Its outline is that of its hole.
    pub ring: WheelTold,
    pub planet: WheelTold,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub outer_planet: Option<WheelTold>,
    /// Where the planets at the sun stand, all meshes in phase.
    pub planets: Vec<PoseTold>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub outer_planets: Vec<PoseTold>,
    /// Outside radius of the ring.
    pub outside: f64,
    /// By how much tips are shortened to clear root fillets.
    pub tip_cut: f64,
}

/// One wheel by one tooth.
#[derive(Clone, Debug, Serialize)]
pub struct WheelTold {
    pub teeth: u32,
    pub pitch_radius: f64,
    /// From the middle of a gap to the next, the tooth on the x axis; repeated, it makes the
    /// wheel.
    pub tooth: Vec<[f64; 2]>,
    /// The angle of the middle of a tooth.
    pub turn: f64,
}

/// Where a planet stands.
#[derive(Clone, Debug, Serialize)]
pub struct PoseTold {
    pub centre: [f64; 2],
    pub turn: f64,
}
