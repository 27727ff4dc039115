//! The census of a family: how many cores, states, determinate and live ones. Exact.

use rayon::prelude::*;
use serde::Serialize;

use super::{CoreFamily, trees::FreeMotions};

/// Counts over all cores of a family, states over all their sets of `engaged` slots.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Census {
    pub sets: u8,
    pub shafts: u8,
    /// Engaged elements of a state: shafts − sets − 1.
    pub engaged: u8,
    pub cores: u64,
    /// Cores whose sets hang together through their joints.
    pub connected_cores: u64,
    pub states: u64,
    /// States with one motion at generic base ratios.
    pub determinate: u64,
    /// Determinate states whose output turns.
    pub live: u64,
}

/// States of one core after which its progress is told.
const BETWEEN_TICKS: u64 = 1 << 20;

/// Counts some cores of a family. `tick` is called with the number of states after each
/// core; `None` as soon as `stopped`, which is asked now and then, says so, for part of a
/// count is no count.
///
/// A state's determinants are polynomials with coefficients −1, 0, 1 (see
/// [`super::FreeMotions`]); a state counts as determinate or live when they do not
/// vanish identically. Nothing is sampled or rounded.
pub fn census(
    family: CoreFamily,
    cores: &[crate::train::Core],
    tick: &(dyn Fn(u64) + Sync),
    stopped: &(dyn Fn() -> bool + Sync),
) -> Option<Census> {
    let counted = cores.par_iter().map(|core| {
        let mut census = Census { cores: 1, ..Census::default() };
        census.connected_cores = u64::from(core.is_connected());
        // Cores of many shafts take long for themselves, so progress is told inside too.
        let mut told = 0;
        FreeMotions::new(core, &core.slots()).for_each_state_unless(&stopped, |_, state| {
            census.states += 1;
            census.determinate += u64::from(state.is_determinate());
            census.live += u64::from(state.is_live());
            if census.states - told == BETWEEN_TICKS {
                told = census.states;
                tick(BETWEEN_TICKS);
            }
        });
        tick(census.states - told);
        (!stopped()).then_some(census)
    });
    let total = counted.try_reduce(Census::default, |a, b| {
        Some(Census {
            cores: a.cores + b.cores,
            connected_cores: a.connected_cores + b.connected_cores,
            states: a.states + b.states,
            determinate: a.determinate + b.determinate,
            live: a.live + b.live,
            ..a
        })
    })?;
    let engaged = family.shafts.saturating_sub(family.sets + 1);
    Some(Census { sets: family.sets, shafts: family.shafts, engaged, ..total })
}
