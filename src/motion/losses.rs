//! Losses of one live state: efficiency, self-locking, rolling and circulating power.

use super::bodies::Bodies;
use super::{MeshEfficiency, Motion, Status, Torques};
use crate::num::{Fraction, to_f64};
use crate::train::{Grip, INPUT, Layout, OUTPUT, SetKind};

/// What a live state loses. Powers are per input power and signed as they enter.
#[derive(Clone, Debug, PartialEq)]
pub struct Losses {
    /// η = −P_out / P_in, above 0 and at most 1; `None` when self-locking.
    pub efficiency: Option<f64>,
    /// No motion with these losses gives power at the output: the input cannot drive it.
    pub self_locking: bool,
    /// P_roll = T_S (ω_S − ω_C) of each set without losses: the power that its meshes
    /// transmit, the carrier held in thought; positive where the sun feeds it in.
    pub rolling_power: Vec<f64>,
    /// What each set loses, with losses; sums to 1 − η. Empty when self-locking.
    pub lost_power: Vec<f64>,
    /// Σ |P_roll| without losses.
    pub circulating: f64,
    /// The largest |T ω| of a member or a clutch without losses; above 1 power circulates.
    /// An element whose torque is not determined is passed over.
    pub largest_branch: f64,
}

/// Losses of a live state; `None` for any other, and where redundant elements leave open
/// how much torque a rolling set carries.
///
/// T_R = −i₀ η₀^w T_S with i₀ = −ρ (single), +ρ (paired); w = +1 where the sun feeds power
/// in the carrier's frame, −1 where the ring does. η₀ is the product of the efficiencies
/// of the meshes from sun to ring: external · internal, paired external² · internal. A set
/// that turns as a block loses nothing. All 2ⁿ patterns of w are tried; a pattern stands
/// when the torques that follow from it have its signs. Where none stands with power
/// leaving at the output, the gear is self-locking.
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
    let rolling_speed = rolling_speeds(layout, motion)?;
    let torque = |set: usize| torques.members[set][0].as_ref().map(to_f64);
    let rolling_power = rolling_speed.iter().enumerate().map(|(set, &speed)| {
        // A block rolls nothing, whatever its torque.
        // Adding 0 turns the float's -0 into 0.
        if speed == 0.0 { Some(0.0) } else { Some(torque(set)? * speed + 0.0) }
    });
    let rolling_power: Vec<f64> = rolling_power.collect::<Option<_>>()?;
    let found = if rolling_speed.iter().all(|&speed| speed == 0.0) {
        Some(Standing { efficiency: 1.0, lost_power: vec![0.0; layout.sets.len()], lossless: true })
    } else {
        let system = System::new(layout, motion, mesh, &rolling_speed)?;
        system.best(&rolling_power)
    };
    Some(Losses {
        efficiency: found.as_ref().map(|standing| standing.efficiency),
        self_locking: found.is_none(),
        lost_power: found.map(|standing| standing.lost_power).unwrap_or_default(),
        circulating: rolling_power.iter().map(|power| power.abs()).sum(),
        largest_branch: largest_branch(layout, motion, torques),
        rolling_power,
    })
}

/// ω_S − ω_C of each set, exactly 0 for a block.
fn rolling_speeds(layout: &Layout, motion: &Motion) -> Option<Vec<f64>> {
    let one = |set: usize| {
        let [sun, _, carrier] = layout.seats(set).map(|seat| motion.speed_at(seat));
        Some(to_f64(&(sun? - carrier?)))
    };
    (0..layout.sets.len()).map(one).collect()
}

fn largest_branch(layout: &Layout, motion: &Motion, torques: &Torques) -> f64 {
    let power = |torque: Option<&Fraction>, speed: Option<Fraction>| match (torque, speed) {
        (Some(torque), Some(speed)) => to_f64(&(torque * speed)).abs(),
        _ => 0.0,
    };
    let members = torques.members.iter().enumerate().flat_map(|(set, torques)| {
        let seats = layout.seats(set).into_iter();
        seats.zip(torques).map(|(seat, torque)| power(torque.as_ref(), motion.speed_at(seat)))
    });
    let clutches = motion.engaged.iter().filter_map(|element| {
        let Grip::Clutch(first, _) = layout.elements[element].grip else { return None };
        Some(power(torques.elements[element].as_ref(), motion.speed_at(Some(first))))
    });
    members.chain(clutches).fold(0.0, f64::max)
}

/// The torque balances of one state, ready to be solved for any pattern of w.
struct System<'a> {
    /// The sets whose torques are unknown; one that sits on a single body has none.
    sets: Vec<SetTerms>,
    rolling_speed: &'a [f64],
    bodies: usize,
    input: usize,
    output: usize,
    output_speed: f64,
}

struct SetTerms {
    set: usize,
    /// Bodies of S, R, C.
    bodies: [Option<usize>; 3],
    /// i₀ = −ρ (single), +ρ (paired).
    ratio: f64,
    /// η₀.
    efficiency: f64,
}

/// One pattern whose torques have its signs, with power leaving at the output.
struct Standing {
    efficiency: f64,
    lost_power: Vec<f64>,
    /// Whether the pattern is that of the lossless state.
    lossless: bool,
}

/// A power this small, per input power, has no sign: rounding may have made it.
const NO_POWER: f64 = 1e-9;
/// A loss this small is rounding: then the efficiency is 1 and not almost 1.
const NO_LOSS: f64 = 1e-13;

impl<'a> System<'a> {
    /// `None` where the balances do not determine the torques.
    fn new(
        layout: &Layout,
        motion: &Motion,
        mesh: &MeshEfficiency,
        rolling_speed: &'a [f64],
    ) -> Option<Self> {
        let bodies = Bodies::new(layout, motion.engaged);
        let terms = (0..layout.sets.len()).map(|set| {
            let teeth = layout.sets[set];
            let (ratio, efficiency) = match teeth.kind {
                SetKind::Single => (-teeth.base_ratio(), mesh.external * mesh.internal),
                SetKind::Paired => {
                    (teeth.base_ratio(), mesh.external * mesh.external * mesh.internal)
                }
            };
            SetTerms { set, bodies: layout.seats(set).map(|s| bodies.of(s)), ratio, efficiency }
        });
        let sets: Vec<SetTerms> =
            terms.filter(|terms| terms.bodies.iter().any(|&b| b != terms.bodies[0])).collect();
        let system = Self {
            rolling_speed,
            bodies: bodies.count,
            input: bodies.of(Some(INPUT))?,
            output: bodies.of(Some(OUTPUT))?,
            output_speed: to_f64(motion.speeds[OUTPUT.0].as_ref()?),
            sets,
        };
        (system.bodies == system.sets.len() + 1).then_some(system)
    }

    /// The pattern that stands; see [`losses`] for the choice among several.
    fn best(&self, rolling_power: &[f64]) -> Option<Standing> {
        let rolls = |index: &usize| self.rolling_speed[self.sets[*index].set] != 0.0;
        let rolling: Vec<usize> = (0..self.sets.len()).filter(rolls).collect();
        let mut best: Option<Standing> = None;
        for pattern in 0..1u32 << rolling.len() {
            let mut signs = vec![0; self.sets.len()];
            for (bit, &index) in rolling.iter().enumerate() {
                signs[index] = if pattern >> bit & 1 == 0 { 1 } else { -1 };
            }
            let Some(standing) = self.standing(&signs, rolling_power) else { continue };
            let rank = |standing: &Standing| (standing.lossless, standing.efficiency);
            if best.as_ref().is_none_or(|best| rank(&standing) > rank(best)) {
                best = Some(standing);
            }
        }
        best
    }

    /// Solves one pattern of w, 0 for a block, and keeps it if it is true to its signs.
    fn standing(&self, signs: &[i32], rolling_power: &[f64]) -> Option<Standing> {
        let unknowns = solve_floats(self.balances(signs))?;
        let efficiency = -unknowns[self.sets.len()] * self.output_speed;
        let mut lost_power = vec![0.0; self.rolling_speed.len()];
        let mut lossless = true;
        for ((terms, &sign), torque) in self.sets.iter().zip(signs).zip(&unknowns) {
            let sun_power = torque * self.rolling_speed[terms.set];
            if sun_power * f64::from(sign) < -NO_POWER {
                return None;
            }
            lossless &= rolling_power[terms.set] * f64::from(sign) >= -NO_POWER;
            let lost = sun_power * (1.0 - terms.efficiency.powi(sign));
            lost_power[terms.set] = if lost > NO_LOSS { lost } else { 0.0 };
        }
        let efficiency = if lost_power.iter().all(|&lost| lost == 0.0) { 1.0 } else { efficiency };
        (efficiency > 0.0).then_some(Standing { efficiency, lost_power, lossless })
    }

    /// One row a body: Σ member torques − output torque = input torque 1. Columns: sun
    /// torques, output torque, right side.
    fn balances(&self, signs: &[i32]) -> Vec<Vec<f64>> {
        let size = self.bodies;
        let mut rows = vec![vec![0.0; size + 1]; size];
        for (column, (terms, &sign)) in self.sets.iter().zip(signs).enumerate() {
            let ring = -terms.ratio * terms.efficiency.powi(sign);
            for (body, torque) in terms.bodies.into_iter().zip([1.0, ring, -1.0 - ring]) {
                if let Some(body) = body {
                    rows[body][column] += torque;
                }
            }
        }
        rows[self.output][size - 1] = -1.0;
        rows[self.input][size] = 1.0;
        rows
    }
}

/// Gaussian elimination with row pivoting of `[A | b]`; `None` when A is singular.
fn solve_floats(mut rows: Vec<Vec<f64>>) -> Option<Vec<f64>> {
    let size = rows.len();
    for column in 0..size {
        let at = |row: &usize| rows[*row][column].abs();
        let pivot = (column..size).max_by(|a, b| at(a).total_cmp(&at(b)))?;
        if at(&pivot) < 1e-12 {
            return None;
        }
        rows.swap(column, pivot);
        let (above, below) = rows.split_at_mut(column + 1);
        let pivot_row = &above[column];
        for row in below {
            let factor = row[column] / pivot_row[column];
            for (entry, upper) in row.iter_mut().zip(pivot_row).skip(column) {
                *entry -= factor * upper;
            }
        }
    }
    let mut values = vec![0.0; size];
    for row in (0..size).rev() {
        let known: f64 = (row + 1..size).map(|c| rows[row][c] * values[c]).sum();
        values[row] = (rows[row][size] - known) / rows[row][row];
    }
    Some(values)
}
