//! The torque balances of one state with losses, solved for patterns of signs: which set is
//! fed by its sun, which by its ring.

use smallvec::{SmallVec, smallvec};

use super::MeshEfficiency;
use super::losses::Flow;
use crate::num::solve_floats;
use crate::train::{INPUT, MAX_SETS, OUTPUT, SetKind};

/// One float a set.
pub(super) type PerSet = SmallVec<[f64; MAX_SETS]>;
/// One float a body: one more than sets.
type PerBody = SmallVec<[f64; MAX_SETS + 1]>;
/// A row of the torque balances with its right side.
type Row = SmallVec<[f64; MAX_SETS + 2]>;
type Rows = SmallVec<[Row; MAX_SETS + 1]>;

/// Which end drives.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Drive {
    /// The input.
    Forward,
    /// The output.
    Back,
}

impl Drive {
    /// The sign of the power that enters at the input. Speeds are the same either way, so
    /// torques and powers have this sign against those of the input driving.
    fn sign(self) -> f64 {
        match self {
            Self::Forward => 1.0,
            Self::Back => -1.0,
        }
    }
}

/// The torque balances of one state, ready to be solved for any pattern of w.
pub(super) struct System<'a> {
    /// The sets whose torques are unknown; one that sits on a single body has none.
    sets: SmallVec<[SetTerms; MAX_SETS]>,
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

/// One pattern whose torques have its signs, with power leaving at the driven end.
#[derive(Debug)]
pub(super) struct Standing {
    pub efficiency: f64,
    /// Of each set, per power that enters.
    pub lost_power: PerSet,
}

impl Standing {
    /// A train that turns as a block.
    pub fn without_losses(sets: usize) -> Self {
        Self { efficiency: 1.0, lost_power: smallvec![0.0; sets] }
    }
}

/// A power this small, per input power, has no sign: rounding may have made it.
const NO_POWER: f64 = 1e-9;
/// A loss this small is rounding: then the efficiency is 1 and not almost 1.
const NO_LOSS: f64 = 1e-13;

impl<'a> System<'a> {
    /// `None` where the balances do not determine the torques.
    pub fn new(flow: &'a Flow<'_>, mesh: &MeshEfficiency) -> Option<Self> {
        let Flow { layout, bodies, .. } = *flow;
        let terms = flow.seats.iter().enumerate().map(|(set, seats)| {
            let teeth = layout.sets[set];
            let ratio = match teeth.kind {
                SetKind::Single => -teeth.base_ratio(),
                SetKind::Paired => teeth.base_ratio(),
            };
            let efficiency = mesh.basic(&teeth);
            SetTerms { set, bodies: seats.map(|seat| bodies.of(seat)), ratio, efficiency }
        });
        let system = Self {
            sets: terms
                .filter(|terms| terms.bodies.iter().any(|&b| b != terms.bodies[0]))
                .collect(),
            rolling_speed: &flow.rolling_speed,
            bodies: bodies.count,
            input: bodies.of(Some(INPUT))?,
            output: bodies.of(Some(OUTPUT))?,
            output_speed: flow.output_speed,
        };
        (system.bodies == system.sets.len() + 1).then_some(system)
    }

    /// The pattern that stands, of several as [`super::losses`] tells.
    /// `rolling_power` is that of the input driving without losses.
    ///
    /// Those that agree with the lossless state come first: one of them nearly always
    /// stands and outranks the rest, which then need not be solved.
    pub fn best(&self, rolling_power: &[f64], drive: Drive) -> Option<Standing> {
        let of = |lossless| self.best_of(rolling_power, drive, lossless);
        of(true).or_else(|| of(false))
    }

    /// The best standing pattern that agrees with the lossless state, or does not.
    fn best_of(&self, rolling_power: &[f64], drive: Drive, lossless: bool) -> Option<Standing> {
        let rolls = |index: &usize| self.rolling_speed[self.sets[*index].set] != 0.0;
        let rolling: SmallVec<[usize; MAX_SETS]> = (0..self.sets.len()).filter(rolls).collect();
        let mut signs: SmallVec<[i32; MAX_SETS]> = smallvec![0; self.sets.len()];
        let mut best: Option<Standing> = None;
        for pattern in 0..1u32 << rolling.len() {
            for (bit, &index) in rolling.iter().enumerate() {
                signs[index] = if pattern >> bit & 1 == 0 { 1 } else { -1 };
            }
            if self.agrees(&signs, rolling_power, drive) != lossless {
                continue;
            }
            let Some(standing) = self.standing(&signs, drive) else { continue };
            if best.as_ref().is_none_or(|best| standing.efficiency > best.efficiency) {
                best = Some(standing);
            }
        }
        best
    }

    /// Whether a pattern is that of the lossless state, as far as it has signs.
    fn agrees(&self, signs: &[i32], rolling_power: &[f64], drive: Drive) -> bool {
        let power = |terms: &SetTerms| drive.sign() * rolling_power[terms.set];
        let mut pairs = self.sets.iter().zip(signs);
        pairs.all(|(terms, &sign)| power(terms) * f64::from(sign) >= -NO_POWER)
    }

    /// Solves one pattern of w, 0 for a block, and keeps it if it is true to its signs.
    ///
    /// Balances are solved for an input torque of 1; with the output driving all torques are
    /// the negative of these.
    fn standing(&self, signs: &[i32], drive: Drive) -> Option<Standing> {
        let mut unknowns: PerBody = smallvec![0.0; self.bodies];
        solve_floats(&mut self.balances(signs), &mut unknowns)?;
        // Power at the output per power at the input; each leaves where the other enters.
        let through = -unknowns[self.sets.len()] * self.output_speed;
        let mut lost_power: PerSet = smallvec![0.0; self.rolling_speed.len()];
        for ((terms, &sign), torque) in self.sets.iter().zip(signs).zip(&unknowns) {
            let sun_power = drive.sign() * torque * self.rolling_speed[terms.set];
            if sun_power * f64::from(sign) < -NO_POWER {
                return None;
            }
            let lost = sun_power * (1.0 - terms.efficiency.powi(sign));
            lost_power[terms.set] = if lost > NO_LOSS { lost } else { 0.0 };
        }
        if through <= 0.0 {
            return None;
        }
        let lossless = lost_power.iter().all(|&lost| lost == 0.0);
        let efficiency = match drive {
            _ if lossless => 1.0,
            Drive::Forward => through,
            Drive::Back => {
                lost_power.iter_mut().for_each(|lost| *lost /= through);
                1.0 / through
            }
        };
        Some(Standing { efficiency, lost_power })
    }

    /// One row a body: Σ member torques − output torque = input torque 1. Columns: sun
    /// torques, output torque, right side.
    fn balances(&self, signs: &[i32]) -> Rows {
        let size = self.bodies;
        let mut rows: Rows = smallvec![smallvec![0.0; size + 1]; size];
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

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// All patterns tried, the one that ranks highest by [`super::super::losses`] taken.
    fn plain_best(
        system: &System<'_>,
        rolling_power: &[f64],
        drive: Drive,
    ) -> Option<(bool, Standing)> {
        let rolls = |terms: &SetTerms| system.rolling_speed[terms.set] != 0.0;
        let mut best: Option<(bool, Standing)> = None;
        for pattern in 0..3i32.pow(system.sets.len() as u32) {
            let sign = |place: usize| [1, -1, 0][(pattern / 3i32.pow(place as u32) % 3) as usize];
            let signs: Vec<i32> = (0..system.sets.len()).map(sign).collect();
            if system.sets.iter().zip(&signs).any(|(terms, sign)| rolls(terms) != (*sign != 0)) {
                continue;
            }
            let Some(standing) = system.standing(&signs, drive) else { continue };
            let lossless = system.agrees(&signs, rolling_power, drive);
            let rank = |(lossless, standing): &(bool, Standing)| (*lossless, standing.efficiency);
            let found = (lossless, standing);
            if best.as_ref().is_none_or(|best| rank(&found) > rank(best)) {
                best = Some(found);
            }
        }
        best
    }

    /// Seats and ρ of each set; rolling speeds and powers; the output's speed.
    type Made = (Vec<([usize; 3], f64)>, Vec<f64>, Vec<f64>, f64);

    /// Rolling speeds and powers that need not belong together, so that patterns that
    /// disagree with the lossless state stand too.
    fn any_system() -> impl Strategy<Value = Made> {
        (1usize..=4).prop_flat_map(|sets| {
            let size = prop_oneof![1 => Just(0.0), 4 => -2.0f64..2.0];
            let set = (proptest::array::uniform3(0..=sets + 1), 1.2f64..4.0);
            let floats = proptest::collection::vec(size, sets);
            (proptest::collection::vec(set, sets), floats.clone(), floats, -3.0f64..3.0)
        })
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(20_000))]

        #[test]
        fn the_first_choice_is_the_best_of_all(
            (sets, rolling_speed, rolling_power, output_speed) in any_system(),
            efficiency in 0.5f64..1.0,
        ) {
            let bodies = sets.len() + 1;
            let terms = sets.iter().enumerate().map(|(set, (seats, rho))| SetTerms {
                set,
                // The last number is the housing.
                bodies: seats.map(|seat| Some(seat).filter(|&seat| seat < bodies)),
                ratio: -rho,
                efficiency,
            });
            let (sets, rolling_speed) = (terms.collect(), &rolling_speed);
            let system = System { sets, rolling_speed, bodies, input: 0, output: 1, output_speed };
            let told = |standing: Standing| (standing.efficiency, standing.lost_power);
            for drive in [Drive::Forward, Drive::Back] {
                let plain = plain_best(&system, &rolling_power, drive);
                let plain = plain.map(|(_, standing)| told(standing));
                prop_assert_eq!(system.best(&rolling_power, drive).map(told), plain);
            }
        }
    }
}
