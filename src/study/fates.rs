//! What becomes of all states of a layout: which are gears, and why the rest are none.

use num_traits::Signed;
use serde::Serialize;

use crate::motion::{Status, solve_state};
use crate::num::{Fraction, to_f64};
use crate::train::Layout;

/// States of a layout by what becomes of them; they add up to `states`.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Fates {
    /// All choices of as many elements as a gear engages.
    pub states: u32,
    pub loose: u32,
    pub locked: u32,
    pub idle_output: u32,
    /// Live, forward, a gear of the layout.
    pub forward_gears: u32,
    /// Live, backward, a gear of the layout.
    pub reverse_gears: u32,
    /// Live, but another state has the ratio already.
    pub repeated: u32,
    /// Live, backward, no gear.
    pub other_reverses: u32,
    /// Live, forward, above the first gear or below the top gear.
    pub beyond: u32,
    /// Live, forward, between first and top gear, but not in the ladder.
    pub between: u32,
}

/// Sorts the states of a layout that has its gears.
pub fn fates(layout: &Layout) -> Fates {
    let mut fates = Fates::default();
    let mut seen: Vec<Fraction> = Vec::new();
    let ratio = |engaged| solve_state(layout, engaged).ratio;
    let gears: Vec<Fraction> = layout.gears.iter().filter_map(|gear| ratio(gear.engaged)).collect();
    let forward: Vec<f64> = gears.iter().filter(|r| r.is_positive()).map(to_f64).collect();
    let (least, most) = forward
        .iter()
        .fold((f64::INFINITY, 0.0f64), |(least, most), &r| (least.min(r), most.max(r)));
    // Gears first, so that of equal ratios the gear is the one that counts.
    let named = layout.gears.iter().map(|gear| gear.engaged);
    let others = layout.states().filter(|state| layout.gears.iter().all(|g| g.engaged != *state));
    for state in named.chain(others) {
        fates.states += 1;
        let motion = solve_state(layout, state);
        let is_gear = layout.gears.iter().any(|gear| gear.engaged == state);
        let place = match (motion.status, motion.ratio) {
            (Status::Loose, _) => &mut fates.loose,
            (Status::Locked, _) => &mut fates.locked,
            (Status::IdleOutput, _) | (Status::Live, None) => &mut fates.idle_output,
            (Status::Live, Some(ratio)) => {
                let (value, forward) = (to_f64(&ratio), ratio.is_positive());
                let repeated = seen.contains(&ratio);
                seen.push(ratio);
                match (is_gear, repeated, forward) {
                    (true, _, true) => &mut fates.forward_gears,
                    (true, _, false) => &mut fates.reverse_gears,
                    (false, true, _) => &mut fates.repeated,
                    (false, false, false) => &mut fates.other_reverses,
                    _ if value > most || value < least => &mut fates.beyond,
                    _ => &mut fates.between,
                }
            }
        };
        *place += 1;
    }
    fates
}
