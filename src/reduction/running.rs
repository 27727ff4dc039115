//! How an arrangement runs at given base ratios, in floats: speeds, torques, efficiency.
//! What is kept is judged again in fractions.

use smallvec::{SmallVec, smallvec};

use super::arrangement::Arrangement;
use crate::num::solve_floats;
use crate::search::RatioFunction;
use crate::train::{Core, HOUSING, MAX_SETS, SetKind};

/// Coefficients of a ratio function by subset of its variables.
#[derive(Clone, Debug)]
pub(super) struct Polynomials {
    pub numerator: [f64; 1 << MAX_SETS],
    pub denominator: [f64; 1 << MAX_SETS],
    pub variables: usize,
}

/// Below this a slope, per cent of the ratio per per cent of ρ, has no sign.
const NO_SLOPE: f64 = 1e-9;

impl Polynomials {
    pub fn new(function: &RatioFunction, variables: usize) -> Self {
        let floats = |signs: crate::search::Signs| signs.coefficients().map(f64::from);
        let (numerator, denominator) = (floats(function.numerator), floats(function.denominator));
        Self { numerator, denominator, variables }
    }

    /// i at base ratios.
    pub fn at(&self, ratios: &[f64]) -> f64 {
        fold(&self.numerator, ratios) / fold(&self.denominator, ratios)
    }

    /// ∂ ln i / ∂ ln ρ of every variable: the rolling power P_roll / P_in of its set,
    /// positive where the sun feeds it in. With T_R = −i₀ η₀ T_S the lossy train has the
    /// torques of a lossless one of base ratios ρ η₀, so a small loss 1 − η₀ costs
    /// (1 − η₀) ∂ ln i / ∂ ln ρ of the power; that is (1 − η₀) P_roll.
    pub fn slopes(&self, ratios: &[f64]) -> SmallVec<[f64; MAX_SETS]> {
        let (top, bottom) = (fold(&self.numerator, ratios), fold(&self.denominator, ratios));
        let slope = |variable: usize| {
            let rise = |coefficients: &[f64; 1 << MAX_SETS], value: f64| {
                let mut without: SmallVec<[f64; MAX_SETS]> = ratios.into();
                without[variable] = 0.0;
                (value - fold(coefficients, &without)) / value
            };
            rise(&self.numerator, top) - rise(&self.denominator, bottom)
        };
        (0..self.variables).map(slope).collect()
    }

    /// Power that leaves the output per power that enters the input, with basic efficiencies
    /// `basic` of the sets. `None` where the sets that are fed by their suns are not the
    /// same with losses as without, or no power would leave: only the full solution of
    /// `motion` tells then.
    pub fn efficiency(&self, ratios: &[f64], basic: &[f64]) -> Option<f64> {
        self.through(ratios, basic, 1.0)
    }

    /// The same with the output driving.
    pub fn back_efficiency(&self, ratios: &[f64], basic: &[f64]) -> Option<f64> {
        self.through(ratios, basic, -1.0).map(|through| 1.0 / through)
    }

    fn through(&self, ratios: &[f64], basic: &[f64], sign: f64) -> Option<f64> {
        let slopes = self.slopes(ratios);
        let lossy: SmallVec<[f64; MAX_SETS]> = (0..self.variables)
            .map(|v| match sign * slopes[v] > 0.0 {
                true => ratios[v] * basic[v],
                false => ratios[v] / basic[v],
            })
            .collect();
        let there = self.slopes(&lossy);
        let same = slopes.iter().zip(&there).all(|(a, b)| a * b > 0.0 || a.abs() < NO_SLOPE);
        let through = self.at(&lossy) / self.at(ratios);
        (same && through > 0.0 && through.is_finite()).then_some(through)
    }
}

/// A polynomial at a point, one variable after the other.
fn fold(coefficients: &[f64; 1 << MAX_SETS], ratios: &[f64]) -> f64 {
    let mut rest = *coefficients;
    let mut size = 1 << ratios.len();
    for &ratio in ratios {
        size /= 2;
        for t in 0..size {
            rest[t] = rest[2 * t] + ratio * rest[2 * t + 1];
        }
    }
    rest[0]
}

/// Speeds and torques of one set.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SetDuty {
    /// T_S per input torque, lossless.
    pub sun_torque: f64,
    /// ω_S − ω_C per input speed.
    pub sun_to_carrier: f64,
    /// ω_C per input speed.
    pub carrier: f64,
    /// Of sun and carrier.
    pub hubs: [HubTorque; 2],
}

/// What stands at one hub, sizes per input torque, lossless.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HubTorque {
    /// What goes into the member.
    pub hub: f64,
    /// The most that its shaft can have to carry beside it, in whatever order its members
    /// stand along the axis.
    pub shaft: f64,
    /// Whether it sits on the output, whose torque losses do not change.
    pub at_output: bool,
}

impl HubTorque {
    /// `members` are the torques of all members of the shaft, `outside` what acts on it from
    /// outside.
    ///
    /// Derived: the torques of members and what they balance add up to nothing, so a cut
    /// through the shaft parts them in two heaps of one size, which is never more than all of
    /// one sign together.
    pub fn new(
        hub: f64,
        members: impl Iterator<Item = f64>,
        outside: f64,
        at_output: bool,
    ) -> Self {
        let positive: f64 = members.chain([-outside]).map(|torque| torque.max(0.0)).sum();
        Self { hub: hub.abs(), shaft: positive.max(hub.abs()), at_output }
    }

    /// Torques of hub and shaft in N m for an input torque of `input` N m without losses; what
    /// stands before the output has `losses` times as much to carry.
    pub fn under(&self, input: f64, losses: f64) -> [f64; 2] {
        let times = input.abs() * if self.at_output { 1.0 } else { losses };
        [self.hub * times, self.shaft * times]
    }
}

/// How an arrangement runs: each set in the order of the group's variables.
#[derive(Clone, Debug, PartialEq)]
pub struct Running {
    pub sets: SmallVec<[SetDuty; MAX_SETS]>,
    /// Largest |speed| of a shaft per input speed.
    pub shaft_speed: f64,
    /// Largest |T ω| of a member per input power.
    pub branch_power: f64,
}

const ROOM: usize = MAX_SETS + 2;

impl Running {
    /// Solves the Willis rows for the speeds and the balances of the shafts for the torques.
    /// `None` where rounding leaves nothing to tell.
    pub fn new(arrangement: &Arrangement, kinds: &[SetKind], ratios: &[f64]) -> Option<Self> {
        let core = &arrangement.core;
        let shafts = usize::from(core.shafts);
        let seats: SmallVec<[[u8; 3]; MAX_SETS]> =
            arrangement.order.iter().map(|&set| core.seats()[set]).collect();
        let willis = |v: usize| match kinds[v] {
            SetKind::Single => [1.0, ratios[v], -1.0 - ratios[v]],
            SetKind::Paired => [-1.0, ratios[v], 1.0 - ratios[v]],
        };
        let mut speed_rows = [[0.0; ROOM]; ROOM];
        for (v, seats) in seats.iter().enumerate() {
            for (&seat, factor) in seats.iter().zip(willis(v)).filter(|(seat, _)| **seat != HOUSING)
            {
                speed_rows[v][usize::from(seat) - 1] += factor;
            }
        }
        speed_rows[shafts - 1][usize::from(core.input) - 1] = 1.0;
        speed_rows[shafts - 1][shafts] = 1.0;
        let mut speeds = [0.0; ROOM];
        solve_floats(&mut speed_rows[..shafts], &mut speeds)?;
        // The torques of a set are its Willis row, turned so that T_S is 1.
        let mut torque_rows = [[0.0; ROOM]; ROOM];
        for (v, seats) in seats.iter().enumerate() {
            let row = willis(v);
            for (&seat, factor) in seats.iter().zip(row).filter(|(seat, _)| **seat != HOUSING) {
                torque_rows[usize::from(seat) - 1][v] += factor / row[0];
            }
        }
        torque_rows[usize::from(core.output) - 1][shafts - 1] = -1.0;
        torque_rows[usize::from(core.input) - 1][shafts] = 1.0;
        let mut torques = [0.0; ROOM];
        solve_floats(&mut torque_rows[..shafts], &mut torques)?;
        let speed = |seat: u8| if seat == HOUSING { 0.0 } else { speeds[usize::from(seat) - 1] };
        let hubs = Hubs { core, seats: &seats, willis: &willis, torques: &torques };
        let mut sets: SmallVec<[SetDuty; MAX_SETS]> = smallvec![];
        let mut branch_power = 0.0f64;
        for (v, seats) in seats.iter().enumerate() {
            let row = willis(v);
            for (&seat, factor) in seats.iter().zip(row) {
                branch_power = branch_power.max((torques[v] * factor * speed(seat)).abs());
            }
            let [sun, _, carrier] = seats.map(speed);
            let carried = torques[v] * row[2] / row[0];
            let hubs = [hubs.at(seats[0], torques[v]), hubs.at(seats[2], carried)];
            sets.push(SetDuty {
                sun_torque: torques[v],
                sun_to_carrier: sun - carrier,
                carrier,
                hubs,
            });
        }
        let shaft_speed = speeds[..shafts].iter().fold(0.0f64, |most, speed| most.max(speed.abs()));
        Some(Self { sets, shaft_speed, branch_power })
    }
}

/// What the hubs of an arrangement are worked out from.
struct Hubs<'a> {
    core: &'a Core,
    /// Shafts of sun, ring and carrier of every set.
    seats: &'a [[u8; 3]],
    willis: &'a dyn Fn(usize) -> [f64; 3],
    /// T_S of every set; in the last shaft's place what acts on the output from outside.
    torques: &'a [f64; ROOM],
}

impl Hubs<'_> {
    /// The hub of a member with `torque` on the shaft `seat`.
    fn at(&self, seat: u8, torque: f64) -> HubTorque {
        if seat == HOUSING {
            return HubTorque::new(torque, std::iter::empty(), 0.0, false);
        }
        let of = |v: usize| {
            let row = (self.willis)(v);
            let members = self.seats[v].into_iter().zip(row);
            members.map(move |(at, factor)| (at, self.torques[v] * factor / row[0]))
        };
        let all = (0..self.seats.len()).flat_map(of).filter(|(at, _)| *at == seat);
        let outside = match seat {
            _ if seat == self.core.input => 1.0,
            _ if seat == self.core.output => self.torques[usize::from(self.core.shafts) - 1],
            _ => 0.0,
        };
        HubTorque::new(torque, all.map(|(_, torque)| torque), outside, seat == self.core.output)
    }
}
