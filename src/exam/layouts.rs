//! Items on gearboxes of several sets: shift tables, engaged elements, simultaneous equations,
//! torques, faults, losses, ladders.

mod coupled;
mod efficiency;
mod engaged;
mod family;
mod fault;
mod ladder;
mod lever;
mod recognise;
mod shift_table;
mod told;
mod torque;

pub(super) use coupled::{coupled, derive};
pub(super) use efficiency::efficiency;
pub(super) use engaged::engaged;
pub(super) use fault::fault;
pub(super) use ladder::ladder;
pub(super) use lever::lever;
pub(super) use recognise::recognise;
pub(super) use shift_table::shift_table;
pub(super) use torque::torque;
