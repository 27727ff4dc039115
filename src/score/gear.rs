//! One state of a layout with all that follows from it, for whoever wants to tell it all.

use crate::motion::{Losses, MeshEfficiency, Motion, Torques, losses, solve_state, solve_torques};
use crate::train::{ElementMask, Layout};

/// One named state of a layout with all that follows from it.
#[derive(Clone, Debug)]
pub struct GearState {
    /// As in the layout's gears; empty for a state without a name.
    pub name: String,
    pub motion: Motion,
    /// `None` unless the state is live.
    pub torques: Option<Torques>,
    /// `None` unless the state is live and all torques that cost power are determined.
    pub losses: Option<Losses>,
}

impl GearState {
    /// Solves one state of `layout` exactly; only the losses are floats.
    pub fn of(layout: &Layout, name: &str, engaged: ElementMask, mesh: &MeshEfficiency) -> Self {
        let motion = solve_state(layout, engaged);
        let torques = solve_torques(layout, &motion);
        let losses = torques.as_ref().and_then(|t| losses(layout, &motion, t, mesh));
        Self { name: name.to_owned(), motion, torques, losses }
    }
}
