//! Losses of one live state: efficiency either way, self-locking, rolling power.

use smallvec::SmallVec;

use super::bodies::Bodies;
use super::patterns::{Drive, PerSet, Standing, System};
use super::{MeshEfficiency, Motion, Status, Torques};
use crate::num::to_f64;
use crate::train::{Layout, MAX_SETS, OUTPUT, ShaftId};

/// What a live state loses. Powers are per input power and signed as they enter.
#[derive(Clone, Debug, PartialEq)]
pub struct Losses {
    /// η = −P_out / P_in, above 0 and at most 1; `None` when self-locking.
    pub efficiency: Option<f64>,
    /// No motion with these losses gives power at the output: the input cannot drive it.
    pub self_locking: bool,
    /// η' = −P_in / P_out with the output driving the input, above 0 and at most 1; `None`
    /// where the output cannot drive it: the gear locks itself against its load.
    pub back_efficiency: Option<f64>,
    /// P_roll = T_S (ω_S − ω_C) of each set without losses: the power that its meshes
    /// transmit, the carrier held in thought; positive where the sun feeds it in.
    pub rolling_power: Vec<f64>,
    /// What each set loses, with losses; sums to 1 − η. Empty when self-locking.
    pub lost_power: Vec<f64>,
    /// Σ |P_roll| without losses.
    pub circulating: f64,
}

/// Losses of a live state; `None` for any other, and where redundant elements leave open
/// how much torque a rolling set carries.
///
/// T_R = −i₀ η₀^w T_S with i₀ = −ρ (single), +ρ (paired); w = +1 where the sun feeds power
/// in the carrier's frame, −1 where the ring does; η₀ is [`MeshEfficiency::basic`]. A set
/// that turns as a block loses nothing. All 2ⁿ patterns of w are tried; a pattern stands
/// when the torques that follow from it have its signs. Where none stands with power
/// leaving at the output, the gear is self-locking. With the output driving, speeds are the
/// same, torques and all rolling powers turn round, and power must leave at the input.
///
/// Where several stand, the pattern of the lossless state is taken if it is one of them,
/// because it is the one that grows out of that state as the losses grow from nothing;
/// else the one of best efficiency.
///
/// Source: VDI 2157 (planetary gear trains: terms, symbols, calculation) and H. W. Müller,
/// Die Umlaufgetriebe (1971), for T_R and w. Breaks where bearing, churning or seal losses
/// matter, and close to self-locking, where η₀ is not known well enough.
pub fn losses(
    layout: &Layout,
    motion: &Motion,
    torques: &Torques,
    mesh: &MeshEfficiency,
) -> Option<Losses> {
    if motion.status != Status::Live {
        return None;
    }
    let sets = 0..layout.sets.len();
    let sun_torque = |set: usize| torques.members[set][0].as_ref().map(to_f64);
    let flow = Flow {
        layout,
        seats: &sets.clone().map(|set| layout.seats(set)).collect::<Vec<_>>(),
        bodies: &Bodies::new(layout, motion.engaged),
        rolling_speed: rolling_speeds(layout, motion)?,
        sun_torque: sets.map(sun_torque).collect(),
        output_speed: to_f64(motion.speeds[OUTPUT.0].as_ref()?),
    };
    let Rolling { power, forward, back } = flow.rolling(mesh)?;
    Some(Losses {
        efficiency: forward.as_ref().map(|standing| standing.efficiency),
        self_locking: forward.is_none(),
        back_efficiency: back.map(|standing| standing.efficiency),
        lost_power: forward.map(|standing| standing.lost_power.to_vec()).unwrap_or_default(),
        circulating: circulating(&power),
        rolling_power: power.to_vec(),
    })
}

/// Σ |P_roll|.
pub(super) fn circulating(rolling_power: &[f64]) -> f64 {
    rolling_power.iter().map(|power| power.abs()).sum()
}

/// A live state as its losses see it, however it was solved.
pub(super) struct Flow<'a> {
    pub layout: &'a Layout,
    /// Of each set.
    pub seats: &'a [[Option<ShaftId>; 3]],
    pub bodies: &'a Bodies,
    /// ω_S − ω_C of each set, exactly 0 for a block.
    pub rolling_speed: PerSet,
    /// T_S of each set; `None` where it is not determined.
    pub sun_torque: SmallVec<[Option<f64>; MAX_SETS]>,
    pub output_speed: f64,
}

/// What a live state rolls and loses.
pub(super) struct Rolling {
    /// P_roll of each set.
    pub power: PerSet,
    /// With the input driving; `None` when self-locking.
    pub forward: Option<Standing>,
    /// With the output driving; `None` when it cannot.
    pub back: Option<Standing>,
}

impl Flow<'_> {
    /// `None` where redundant elements leave the losses open.
    pub fn rolling(&self, mesh: &MeshEfficiency) -> Option<Rolling> {
        // A block rolls nothing, whatever its torque.
        // Adding 0 turns the float's -0 into 0.
        let of_set = |(&speed, torque): (&f64, &Option<f64>)| {
            if speed == 0.0 { Some(0.0) } else { Some((*torque)? * speed + 0.0) }
        };
        let power: PerSet =
            self.rolling_speed.iter().zip(&self.sun_torque).map(of_set).collect::<Option<_>>()?;
        let (forward, back) = if self.rolling_speed.iter().all(|&speed| speed == 0.0) {
            (
                Some(Standing::without_losses(power.len())),
                Some(Standing::without_losses(power.len())),
            )
        } else {
            let system = System::new(self, mesh)?;
            (system.best(&power, Drive::Forward), system.best(&power, Drive::Back))
        };
        Some(Rolling { power, forward, back })
    }
}

/// ω_S − ω_C of each set, exactly 0 for a block.
fn rolling_speeds(layout: &Layout, motion: &Motion) -> Option<PerSet> {
    let one = |set: usize| {
        let [sun, _, carrier] = layout.seats(set).map(|seat| motion.speed_at(seat));
        Some(to_f64(&(sun? - carrier?)))
    };
    (0..layout.sets.len()).map(one).collect()
}
