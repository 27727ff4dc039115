//! Losses of one live state: efficiency, self-locking, rolling and circulating power.

use smallvec::{SmallVec, smallvec};

use super::bodies::Bodies;
use super::{MeshEfficiency, Motion, Status, Torques};
use crate::num::{Fraction, to_f64};
use crate::train::{Grip, INPUT, Layout, MAX_SETS, OUTPUT, SetKind, ShaftId};

/// One float a set.
pub(super) type PerSet = SmallVec<[f64; MAX_SETS]>;
/// A row of the torque balances with its right side: a body more than sets, and one.
type Row = SmallVec<[f64; MAX_SETS + 2]>;
type Rows = SmallVec<[Row; MAX_SETS + 1]>;

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
    let Rolling { power, standing } = flow.rolling(mesh)?;
    Some(Losses {
        efficiency: standing.as_ref().map(|standing| standing.efficiency),
        self_locking: standing.is_none(),
        lost_power: standing.map(|standing| standing.lost_power.to_vec()).unwrap_or_default(),
        circulating: circulating(&power),
        largest_branch: largest_branch(layout, motion, torques),
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
    /// `None` when self-locking.
    pub standing: Option<Standing>,
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
        let standing = if self.rolling_speed.iter().all(|&speed| speed == 0.0) {
            let lost_power = smallvec![0.0; power.len()];
            Some(Standing { efficiency: 1.0, lost_power })
        } else {
            System::new(self, mesh)?.best(&power)
        };
        Some(Rolling { power, standing })
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

/// One pattern whose torques have its signs, with power leaving at the output.
pub(super) struct Standing {
    pub efficiency: f64,
    /// Of each set.
    pub lost_power: PerSet,
}

/// A power this small, per input power, has no sign: rounding may have made it.
const NO_POWER: f64 = 1e-9;
/// A loss this small is rounding: then the efficiency is 1 and not almost 1.
const NO_LOSS: f64 = 1e-13;

impl<'a> System<'a> {
    /// `None` where the balances do not determine the torques.
    fn new(flow: &'a Flow<'_>, mesh: &MeshEfficiency) -> Option<Self> {
        let Flow { layout, bodies, .. } = *flow;
        let terms = flow.seats.iter().enumerate().map(|(set, seats)| {
            let teeth = layout.sets[set];
            let (ratio, efficiency) = match teeth.kind {
                SetKind::Single => (-teeth.base_ratio(), mesh.external * mesh.internal),
                SetKind::Paired => {
                    (teeth.base_ratio(), mesh.external * mesh.external * mesh.internal)
                }
            };
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

    /// The pattern that stands; see [`losses`] for the choice among several.
    ///
    /// Those that agree with the lossless state come first: one of them nearly always
    /// stands and outranks the rest, which then need not be solved.
    fn best(&self, rolling_power: &[f64]) -> Option<Standing> {
        self.best_of(rolling_power, true).or_else(|| self.best_of(rolling_power, false))
    }

    /// The best standing pattern that agrees with the lossless state, or does not.
    fn best_of(&self, rolling_power: &[f64], lossless: bool) -> Option<Standing> {
        let rolls = |index: &usize| self.rolling_speed[self.sets[*index].set] != 0.0;
        let rolling: SmallVec<[usize; MAX_SETS]> = (0..self.sets.len()).filter(rolls).collect();
        let mut signs: SmallVec<[i32; MAX_SETS]> = smallvec![0; self.sets.len()];
        let mut best: Option<Standing> = None;
        for pattern in 0..1u32 << rolling.len() {
            for (bit, &index) in rolling.iter().enumerate() {
                signs[index] = if pattern >> bit & 1 == 0 { 1 } else { -1 };
            }
            if self.agrees(&signs, rolling_power) != lossless {
                continue;
            }
            let Some(standing) = self.standing(&signs) else { continue };
            if best.as_ref().is_none_or(|best| standing.efficiency > best.efficiency) {
                best = Some(standing);
            }
        }
        best
    }

    /// Whether a pattern is that of the lossless state, as far as it has signs.
    fn agrees(&self, signs: &[i32], rolling_power: &[f64]) -> bool {
        let mut pairs = self.sets.iter().zip(signs);
        pairs.all(|(terms, &sign)| rolling_power[terms.set] * f64::from(sign) >= -NO_POWER)
    }

    /// Solves one pattern of w, 0 for a block, and keeps it if it is true to its signs.
    fn standing(&self, signs: &[i32]) -> Option<Standing> {
        let unknowns = solve_floats(self.balances(signs))?;
        let efficiency = -unknowns[self.sets.len()] * self.output_speed;
        let mut lost_power: PerSet = smallvec![0.0; self.rolling_speed.len()];
        for ((terms, &sign), torque) in self.sets.iter().zip(signs).zip(&unknowns) {
            let sun_power = torque * self.rolling_speed[terms.set];
            if sun_power * f64::from(sign) < -NO_POWER {
                return None;
            }
            let lost = sun_power * (1.0 - terms.efficiency.powi(sign));
            lost_power[terms.set] = if lost > NO_LOSS { lost } else { 0.0 };
        }
        let efficiency = if lost_power.iter().all(|&lost| lost == 0.0) { 1.0 } else { efficiency };
        (efficiency > 0.0).then_some(Standing { efficiency, lost_power })
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

/// Gaussian elimination with row pivoting of `[A | b]`; `None` when A is singular.
fn solve_floats(mut rows: Rows) -> Option<Row> {
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
    let mut values: Row = smallvec![0.0; size];
    for row in (0..size).rev() {
        let known: f64 = (row + 1..size).map(|c| rows[row][c] * values[c]).sum();
        values[row] = (rows[row][size] - known) / rows[row][row];
    }
    Some(values)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// All patterns tried, the one that ranks highest by [`losses`] taken.
    fn plain_best(system: &System<'_>, rolling_power: &[f64]) -> Option<(bool, Standing)> {
        let rolls = |terms: &SetTerms| system.rolling_speed[terms.set] != 0.0;
        let mut best: Option<(bool, Standing)> = None;
        for pattern in 0..3i32.pow(system.sets.len() as u32) {
            let sign = |place: usize| [1, -1, 0][(pattern / 3i32.pow(place as u32) % 3) as usize];
            let signs: Vec<i32> = (0..system.sets.len()).map(sign).collect();
            if system.sets.iter().zip(&signs).any(|(terms, sign)| rolls(terms) != (*sign != 0)) {
                continue;
            }
            let Some(standing) = system.standing(&signs) else { continue };
            let lossless = system.agrees(&signs, rolling_power);
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
            let plain = plain_best(&system, &rolling_power).map(|(_, standing)| told(standing));
            prop_assert_eq!(system.best(&rolling_power).map(told), plain);
        }
    }
}
