//! The duties of many states of one layout, exactly and soon: in whole numbers over common
//! denominators, on bodies instead of shafts.
//!
//! Where that cannot be (redundant elements, numbers beyond machine words) the plain way
//! of [`Duty::plain`] is taken; the answer is the same to the last bit.

use smallvec::SmallVec;

use super::bodies::Bodies;
use super::losses::{Flow, circulating};
use super::patterns::Standing;
use super::{Duty, MeshEfficiency};
use crate::num::{KERNEL_ROWS, Kernel, KernelRows, Overflow, fraction, nearest_f64};
use crate::train::{ElementMask, Grip, INPUT, Layout, MAX_SETS, OUTPUT, SetKind, ShaftId};

// A state's speeds are the kernel of its sets' rows.
const _: () = assert!(MAX_SETS <= KERNEL_ROWS);

/// A layout with what all its states share looked up once.
pub struct Duties<'a> {
    layout: &'a Layout,
    mesh: &'a MeshEfficiency,
    /// Of each set.
    seats: SmallVec<[[Option<ShaftId>; 3]; MAX_SETS]>,
}

impl<'a> Duties<'a> {
    pub fn new(layout: &'a Layout, mesh: &'a MeshEfficiency) -> Self {
        let seats = (0..layout.sets.len()).map(|set| layout.seats(set)).collect();
        Self { layout, mesh, seats }
    }

    /// The duty of one state; `None` unless it is live.
    pub fn of(&self, engaged: ElementMask) -> Option<Duty> {
        let plain = |Overflow| Duty::plain(self.layout, engaged, self.mesh);
        self.whole(engaged).unwrap_or_else(plain)
    }

    /// In whole numbers; [`Overflow`] where they do not serve.
    ///
    /// Engaged elements join shafts into bodies and leave one Willis row a set. With one
    /// body more than sets, the speeds v are all that solves these rows, up to a factor.
    /// A state is live when v is the only such vector and neither end stands still.
    fn whole(&self, engaged: ElementMask) -> Result<Option<Duty>, Overflow> {
        let sets = self.seats.len();
        // Otherwise some element is redundant, or too few are engaged.
        if sets > MAX_SETS || sets + engaged.len() + 1 != self.layout.shafts.len() {
            return Err(Overflow);
        }
        let bodies = Bodies::new(self.layout, engaged);
        let ends = bodies.of(Some(INPUT)).zip(bodies.of(Some(OUTPUT)));
        let Some((input, output)) = ends.filter(|_| bodies.count == sets + 1) else {
            return Ok(None);
        };
        let mut rows = KernelRows::default();
        for ((row, seats), teeth) in rows.iter_mut().zip(&self.seats).zip(&self.layout.sets) {
            for (seat, factor) in seats.iter().zip(teeth.torques()) {
                if let Some(body) = bodies.of(*seat) {
                    row[body] += factor;
                }
            }
        }
        let Some(kernel) = Kernel::of(&rows, sets)? else { return Ok(None) };
        let speed_in = i128::from(kernel.vector[input]);
        let speed_out = i128::from(kernel.vector[output]);
        if speed_in == 0 || speed_out == 0 {
            return Ok(None);
        }
        // Balance of the bodies: Σ factor · scale = 1 at the input, T_out = −i at the
        // output, 0 elsewhere; times v_out this asks for v_out e_in − v_in e_out.
        let scales = kernel.combination(input, output)?;
        let state = WholeState { duties: self, bodies, kernel, scales, speed_in, speed_out };
        state.duty(engaged).map(Some)
    }
}

/// Engaged elements and the sizes of their torques.
type Loads = SmallVec<[(usize, i128); 16]>;

fn largest(loads: &Loads) -> u128 {
    loads.iter().map(|(_, load)| load.unsigned_abs()).max().unwrap_or(0)
}

/// A live state. All numbers come from machine words and are added up in words of twice
/// the width, so that no sum or product of a few of them can wrap.
struct WholeState<'a> {
    duties: &'a Duties<'a>,
    bodies: Bodies,
    /// Speeds of the bodies over `speed_in`.
    kernel: Kernel,
    /// Torque scale of each set over `speed_out`: T_S = Z_S · scale.
    scales: [i64; KERNEL_ROWS],
    speed_in: i128,
    speed_out: i128,
}

impl WholeState<'_> {
    fn duty(&self, engaged: ElementMask) -> Result<Duty, Overflow> {
        let layout = self.duties.layout;
        let [input, output] = [INPUT, OUTPUT].map(|shaft| self.speed(Some(shaft)) as i64);
        let open = layout.elements.iter().enumerate().filter(|(e, _)| !engaged.contains(*e));
        let slip = open.map(|(_, element)| self.slip(element.grip).unsigned_abs()).max();
        let speeds = self.kernel.vector[..self.bodies.count].iter();
        let fastest = speeds.map(|speed| i128::from(*speed).unsigned_abs()).max();
        let rolling = self.flow().rolling(self.duties.mesh);
        let of = |standing: &Option<Standing>| standing.as_ref().map_or(0.0, |s| s.efficiency);
        let loads = self.loads(engaged);
        Ok(Duty {
            engaged,
            ratio: fraction(input, output),
            value: nearest_f64(self.speed_in, self.speed_out),
            efficiency: rolling.as_ref().map(|rolling| of(&rolling.forward)),
            back_efficiency: rolling.as_ref().map(|rolling| of(&rolling.back)),
            circulating: rolling.as_ref().map(|rolling| circulating(&rolling.power)),
            branch_power: Some(self.branch_power(&loads)?),
            loaded: Some(ElementMask::of(loads.iter().filter(|l| l.1 != 0).map(|load| load.0))),
            element_torque: Some(self.over(largest(&loads), self.speed_out)),
            shaft_speed: self.over(fastest.unwrap_or(0), self.speed_in),
            open_slip: self.over(slip.unwrap_or(0), self.speed_in),
            planet_speed: self.planet_speed(),
        })
    }

    /// A size over a common denominator of any sign.
    fn over(&self, size: u128, denominator: i128) -> f64 {
        nearest_f64(size as i128, denominator).abs()
    }

    /// Over `speed_in`.
    fn speed(&self, shaft: Option<ShaftId>) -> i128 {
        self.bodies.of(shaft).map_or(0, |body| i128::from(self.kernel.vector[body]))
    }

    /// Over `speed_in`.
    fn slip(&self, grip: Grip) -> i128 {
        match grip {
            Grip::Brake(shaft) => self.speed(Some(shaft)),
            Grip::Clutch(a, b) => self.speed(Some(a)) - self.speed(Some(b)),
        }
    }

    /// ω_S − ω_C of a set over `speed_in`.
    fn rolling_speed(&self, [sun, _, carrier]: [Option<ShaftId>; 3]) -> i128 {
        self.speed(sun) - self.speed(carrier)
    }

    /// See [`super::planet_speed`] and [`super::outer_planet_speed`]: |ω_S − ω_C| Z_S / Z_P
    /// with the teeth of either planet.
    fn planet_speed(&self) -> Option<f64> {
        let sets = self.duties.layout.sets.iter().zip(&self.duties.seats);
        sets.map(|(teeth, &seats)| {
            let turns = (self.rolling_speed(seats) * i128::from(teeth.sun)).unsigned_abs();
            let of = |planet: u32| self.over(turns, self.speed_in * i128::from(planet));
            let inner = of(teeth.planet?);
            match teeth.kind {
                SetKind::Single => Some(inner),
                SetKind::Paired => Some(inner.max(of(teeth.outer_planet?))),
            }
        })
        .try_fold(0.0, |a: f64, b| Some(a.max(b?)))
    }

    /// |torque| of every engaged element over `speed_out`.
    ///
    /// They join the shafts to trees, the housing being a shaft among others. A shaft with
    /// a single engaged element hands all that its members ask on to it, and so to the
    /// shaft at the element's other end.
    fn loads(&self, engaged: ElementMask) -> Loads {
        let layout = self.duties.layout;
        let mut load: SmallVec<[i128; 16]> = SmallVec::from_elem(0, layout.shafts.len());
        for (seat, torque) in self.member_torques() {
            if let Some(shaft) = seat {
                load[shaft.0] += torque;
            }
        }
        load[INPUT.0] -= self.speed_out;
        load[OUTPUT.0] += self.speed_in;
        let mut waiting: SmallVec<[(usize, ShaftId, Option<ShaftId>); 16]> = engaged
            .iter()
            .map(|element| {
                let (first, second) = layout.elements[element].grip.ends();
                (element, first, second)
            })
            .collect();
        let mut loads = Loads::new();
        while !waiting.is_empty() {
            let alone = |shaft: ShaftId| {
                waiting.iter().filter(|(_, a, b)| *a == shaft || *b == Some(shaft)).count() == 1
            };
            let leaf = waiting.iter().enumerate().find_map(|(index, &(_, a, b))| match b {
                _ if alone(a) => Some((index, a, b)),
                Some(b) if alone(b) => Some((index, b, Some(a))),
                _ => None,
            });
            let Some((index, from, to)) = leaf else { unreachable!("trees have leaves") };
            let (element, ..) = waiting.swap_remove(index);
            loads.push((element, load[from.0].unsigned_abs() as i128));
            if let Some(to) = to {
                load[to.0] += load[from.0];
            }
        }
        loads
    }

    /// Seat and torque of every member, over `speed_out`.
    fn member_torques(&self) -> impl Iterator<Item = (Option<ShaftId>, i128)> {
        let sets = self.duties.seats.iter().zip(&self.duties.layout.sets).zip(self.scales);
        sets.flat_map(|((seats, teeth), scale)| {
            let torques = teeth.torques().map(|factor| i128::from(factor) * i128::from(scale));
            seats.iter().copied().zip(torques)
        })
    }

    /// Largest |T ω| of a member or a clutch; see [`super::PowerFlow`].
    fn branch_power(&self, loads: &Loads) -> Result<f64, Overflow> {
        let elements = &self.duties.layout.elements;
        let clutches = loads.iter().filter_map(|&(element, load)| match elements[element].grip {
            Grip::Brake(_) => None,
            Grip::Clutch(first, _) => Some((Some(first), load)),
        });
        let mut largest = 0;
        for (seat, torque) in self.member_torques().chain(clutches) {
            let power = torque.checked_mul(self.speed(seat)).ok_or(Overflow)?;
            largest = largest.max(power.unsigned_abs());
        }
        let unit = self.speed_in.checked_mul(self.speed_out).ok_or(Overflow)?;
        Ok(self.over(largest, unit))
    }

    fn flow(&self) -> Flow<'_> {
        let Duties { layout, seats, .. } = self.duties;
        let speed = |&seats| nearest_f64(self.rolling_speed(seats), self.speed_in);
        let torque = |(teeth, scale): (&crate::train::GearSet, i64)| {
            Some(nearest_f64(i128::from(teeth.sun) * i128::from(scale), self.speed_out))
        };
        Flow {
            layout,
            seats,
            bodies: &self.bodies,
            rolling_speed: seats.iter().map(speed).collect(),
            sun_torque: layout.sets.iter().zip(self.scales).map(torque).collect(),
            output_speed: nearest_f64(self.speed_out, self.speed_in),
        }
    }
}
