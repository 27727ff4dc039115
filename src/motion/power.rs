//! Where the power of one live state goes, exactly and without losses: through every
//! member, element and shaft, and round in circles.

use num_traits::{One, Signed, Zero};

use super::{Motion, Torques};
use crate::num::Fraction;
use crate::train::{Grip, INPUT, Layout, Member, OUTPUT, Role};

/// Powers per input power. Losses are left out, so that every sum is exactly zero.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PowerFlow {
    /// T ω of `[S, R, C]` of each set: what the member's shaft gives to the set. `None` where
    /// redundant elements leave the torque open.
    pub members: Vec<[Option<Fraction>; 3]>,
    /// What each element gives to its first-named shaft; 0 for a brake and for an open
    /// element.
    pub elements: Vec<Option<Fraction>>,
    /// What comes and goes at every shaft, in the layout's order.
    pub shafts: Vec<ShaftPower>,
    /// Power that runs in circles. Several circles with a branch in common can be told
    /// apart in several ways, of which this is one; whether there is any is unique.
    /// `None` where a torque is open.
    pub loops: Option<Vec<PowerLoop>>,
}

impl PowerFlow {
    /// The largest |T ω| of a member or a clutch; above 1 power circulates. `None` where a
    /// torque is open.
    pub fn largest_branch(&self) -> Option<Fraction> {
        let all = self.members.iter().flatten().chain(&self.elements);
        let sizes: Option<Vec<Fraction>> = all.map(|power| Some(power.as_ref()?.abs())).collect();
        Some(sizes?.into_iter().max().unwrap_or_else(Fraction::zero))
    }
}

/// The branches at one shaft. What comes in goes out again.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ShaftPower {
    /// What each branch gives to the shaft (negative: takes from it), those of no power
    /// left out; sums to zero. `None` where a torque at this shaft is open.
    pub branches: Option<Vec<(Branch, Fraction)>>,
    /// The sum of all that comes in. A branch's split fraction is its power over this one.
    pub through: Option<Fraction>,
}

/// What hangs on a shaft.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Branch {
    /// The engine at the input, the load at the output.
    Outside,
    Member(Member),
    /// By its place in the layout.
    Element(usize),
}

/// Power that comes back to where it was.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PowerLoop {
    /// Stations in the direction of the power, from the one with the lowest number; the
    /// last gives back to the first.
    pub through: Vec<Station>,
    /// The power that runs round, above 0.
    pub power: Fraction,
}

/// Where power can be handed on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Station {
    /// A shaft by its place in the layout.
    Shaft(usize),
    /// A set, from 0.
    Set(usize),
}

/// The power flow of a live state whose torques are `torques`.
///
/// Power is torque times speed, T as in [`Torques`] and ω per input speed, so that the input
/// shaft gets 1 from outside and the output shaft −1. Source: the definition of power; power
/// circulates where a branch carries power back that others carry forward (H. W. Müller, Die
/// Umlaufgetriebe (1971), on blind power), which is a directed circle in the flow of power
/// from shaft to set to shaft.
pub fn power_flow(layout: &Layout, motion: &Motion, torques: &Torques) -> PowerFlow {
    let product = |torque: &Option<Fraction>, speed: Option<Fraction>| match (torque, speed) {
        // What stands still has no power, whatever its torque.
        (_, Some(speed)) if speed.is_zero() => Some(speed),
        (Some(torque), Some(speed)) => Some(torque * speed),
        _ => None,
    };
    let members = (0..layout.sets.len()).map(|set| {
        let seats = layout.seats(set);
        std::array::from_fn(|member| {
            product(&torques.members[set][member], motion.speed_at(seats[member]))
        })
    });
    let members: Vec<[Option<Fraction>; 3]> = members.collect();
    let elements =
        layout.elements.iter().zip(&torques.elements).map(|(element, torque)| match element.grip {
            Grip::Brake(_) => Some(Fraction::zero()),
            Grip::Clutch(first, _) => product(torque, motion.speed_at(Some(first))),
        });
    let elements: Vec<Option<Fraction>> = elements.collect();
    let shafts = (0..layout.shafts.len()).map(|shaft| at_shaft(layout, shaft, &members, &elements));
    let loops = Arcs::of(layout, &members, &elements).map(Arcs::loops);
    PowerFlow { shafts: shafts.collect(), members, elements, loops }
}

fn at_shaft(
    layout: &Layout,
    shaft: usize,
    members: &[[Option<Fraction>; 3]],
    elements: &[Option<Fraction>],
) -> ShaftPower {
    let outside = match shaft {
        _ if shaft == INPUT.0 => Some(Fraction::one()),
        _ if shaft == OUTPUT.0 => Some(-Fraction::one()),
        _ => None,
    };
    let sitting = layout.shafts[shaft].members.iter().map(|&member| {
        let given = members[member.set][member.role as usize].as_ref();
        (Branch::Member(member), given.map(|power| -power))
    });
    let tied =
        layout.elements.iter().zip(elements).enumerate().filter_map(|(e, (element, given))| {
            let Grip::Clutch(first, second) = element.grip else { return None };
            let given = match shaft {
                _ if shaft == first.0 => given.clone(),
                _ if shaft == second.0 => given.as_ref().map(|power| -power),
                _ => return None,
            };
            Some((Branch::Element(e), given))
        });
    let outside = outside.map(|power| (Branch::Outside, Some(power)));
    let all = outside.into_iter().chain(sitting).chain(tied);
    let branches: Option<Vec<(Branch, Fraction)>> =
        all.map(|(branch, power)| Some((branch, power?))).collect();
    let branches = branches
        .map(|all| all.into_iter().filter(|(_, power)| !power.is_zero()).collect::<Vec<_>>());
    let through = branches.as_ref().map(|branches| {
        branches.iter().map(|(_, power)| power).filter(|power| power.is_positive()).sum()
    });
    ShaftPower { branches, through }
}

/// Power handed on from station to station.
struct Arcs {
    arcs: Vec<(Station, Station, Fraction)>,
}

impl Arcs {
    /// `None` where a power is open.
    fn of(
        layout: &Layout,
        members: &[[Option<Fraction>; 3]],
        elements: &[Option<Fraction>],
    ) -> Option<Self> {
        let mut arcs = Self { arcs: Vec::new() };
        for (set, powers) in members.iter().enumerate() {
            for (role, power) in Role::ALL.into_iter().zip(powers) {
                let power = power.clone()?;
                if let Some(shaft) = layout.place(Member::new(set, role)) {
                    arcs.add(Station::Shaft(shaft.0), Station::Set(set), power);
                }
            }
        }
        for (element, power) in layout.elements.iter().zip(elements) {
            let power = power.clone()?;
            if let Grip::Clutch(first, second) = element.grip {
                arcs.add(Station::Shaft(second.0), Station::Shaft(first.0), power);
            }
        }
        Some(arcs)
    }

    /// Adds power from one station to another, the other way round where it is negative.
    fn add(&mut self, from: Station, to: Station, power: Fraction) {
        if power.is_positive() {
            self.arcs.push((from, to, power));
        } else if power.is_negative() {
            self.arcs.push((to, from, -power));
        }
    }

    /// Takes circles out, each with the least power on it, until none is left.
    fn loops(mut self) -> Vec<PowerLoop> {
        let mut loops = Vec::new();
        while let Some(circle) = self.circle() {
            let power = circle.iter().map(|&arc| &self.arcs[arc].2).min().cloned();
            let Some(power) = power else { break };
            let mut through: Vec<Station> = circle.iter().map(|&arc| self.arcs[arc].0).collect();
            let lowest = (0..through.len()).min_by_key(|&at| through[at]).unwrap_or(0);
            through.rotate_left(lowest);
            for arc in circle {
                self.arcs[arc].2 -= &power;
            }
            self.arcs.retain(|(.., power)| !power.is_zero());
            loops.push(PowerLoop { through, power });
        }
        loops
    }

    /// The arcs of a shortest circle, the first found; shortest, because it reads best.
    fn circle(&self) -> Option<Vec<usize>> {
        let from = |start: usize| {
            let mut ways = vec![vec![start]];
            let mut seen = vec![self.arcs[start].1];
            let mut next = 0;
            while let Some(way) = ways.get(next).cloned() {
                let end = self.arcs[*way.last()?].1;
                if end == self.arcs[start].0 {
                    return Some(way);
                }
                for (arc, (tail, head, _)) in self.arcs.iter().enumerate() {
                    if *tail == end && !seen.contains(head) {
                        seen.push(*head);
                        ways.push([&way[..], &[arc]].concat());
                    }
                }
                next += 1;
            }
            None
        };
        (0..self.arcs.len()).filter_map(from).min_by_key(Vec::len)
    }
}
