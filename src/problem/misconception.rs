//! Ways to go wrong that are known by name: each wrong option of a choice comes from one.

use serde::{Deserialize, Serialize};

/// What a student got wrong who gives a certain wrong answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Misconception {
    /// Output / input instead of input / output.
    InverseRatio,
    /// The sense of rotation is lost.
    LostSign,
    /// The carrier is taken as an idle gear: a plain pair of sun and ring.
    CarrierIdle,
    /// The planet's teeth are counted in.
    PlanetCounted,
    /// The wrong member is held.
    WrongHeld,
    /// Z_S + Z_R is forgotten: the carrier counts as the ring or the sun alone.
    SumForgotten,
    /// Torque is taken to fall and rise as speed does.
    TorqueAsSpeed,
    /// The carrier's own turn is forgotten in a superposition.
    CarrierTurnForgotten,
    /// Only one of two driven members is counted.
    OneDriverOnly,
    /// Speeds are added without weights of teeth.
    SpeedsAdded,
    /// The sets are taken one behind the other, as if not coupled.
    SetsInSeries,
    /// Speed seen from the housing instead of from the carrier, or the other way round.
    WrongFrame,
    /// Only the condition of equal teeth sums is thought of: neighbours are forgotten.
    NeighboursForgotten,
    /// The assembly condition is forgotten: only room is thought of.
    AssemblyForgotten,
    /// Z_R − Z_S instead of Z_S + Z_R in the assembly condition.
    DifferenceForSum,
    /// The housing's torque is forgotten: what comes in is taken to go out.
    ReactionForgotten,
    /// The whole power is taken to pass the teeth.
    WholePowerRolls,
    /// No power is taken to pass the teeth: losses are forgotten.
    LossForgotten,
    /// Losses of meshes are subtracted where efficiencies multiply, or of one mesh only.
    OneMeshOnly,
    /// The elements of another gear.
    OtherGear,
    /// A neutral is taken for a lock-up, or the other way round.
    NeutralForLock,
    /// Held is taken for direct, or direct for held.
    DirectForHeld,
    /// A step is taken as a difference of ratios.
    StepAsDifference,
    /// The spread is taken as a difference of ratios.
    SpreadAsDifference,
    /// An element that a gear engages is taken as idle, or an idle one as engaged.
    IdleForEngaged,
    /// The teeth of sun and ring are exchanged.
    SunRingExchanged,
    /// Arms of a lever are exchanged.
    ArmsExchanged,
}

impl Misconception {
    /// All of them, so that a catalogue of words can be held against it.
    pub const ALL: [Self; 27] = {
        use Misconception::*;
        [
            InverseRatio,
            LostSign,
            CarrierIdle,
            PlanetCounted,
            WrongHeld,
            SumForgotten,
            TorqueAsSpeed,
            CarrierTurnForgotten,
            OneDriverOnly,
            SpeedsAdded,
            SetsInSeries,
            WrongFrame,
            NeighboursForgotten,
            AssemblyForgotten,
            DifferenceForSum,
            ReactionForgotten,
            WholePowerRolls,
            LossForgotten,
            OneMeshOnly,
            OtherGear,
            NeutralForLock,
            DirectForHeld,
            StepAsDifference,
            SpreadAsDifference,
            IdleForEngaged,
            SunRingExchanged,
            ArmsExchanged,
        ]
    };

    /// As written in tables and items: the name of its phrase is `misconception-` and this.
    pub fn word(self) -> String {
        // The one spelling is serde's, so that tables and items cannot differ.
        serde_json::to_value(self)
            .ok()
            .and_then(|value| value.as_str().map(str::to_owned))
            .unwrap_or_default()
    }
}
