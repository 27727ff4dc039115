//! From base ratios to sets with teeth and widths: scores, limits, objectives.

use smallvec::SmallVec;

use super::archive::{Archive, CRITERIA, Found};
use super::arrangement::{Arrangement, Group};
use super::built::least_safety;
use super::choice::Choice;
use super::exact::{efficiencies, exact_ratio};
use super::faces::Faces;
use super::measures::{Tight, different_gears, planet_speed, same_ring, signed};
use super::running::{Running, SetDuty};
use super::stock;
use super::work::Work;
use crate::brief::{BackDriving, ReductionBrief, Variant};
use crate::num::to_f64;
use crate::score::{Better, Criterion};
use crate::train::MAX_SETS;

/// What all weighing of one variant shares.
#[derive(Clone, Copy)]
pub(super) struct Scales<'a> {
    pub brief: &'a ReductionBrief,
    pub variant: &'a Variant,
    pub faces: &'a Faces<'a>,
}

/// Base ratios that meet the wanted ratio, with the sets that have them.
pub(super) struct Case<'a> {
    pub group: &'a Group,
    /// Number of sets, and which group of that number.
    pub place: (u8, usize),
    /// In the order of the group's variables.
    pub ratios: &'a [f64],
    /// i there.
    pub ratio: f64,
    /// The sets of each base ratio.
    pub choices: &'a [&'a [Choice]],
    /// η and η' where they depend on the base ratios alone; `None` where the full solution
    /// has to tell.
    pub efficiencies: Option<[f64; 2]>,
}

/// One way to make one set of a case.
#[derive(Clone, Copy)]
struct Making<'a> {
    choice: &'a Choice,
    width: f64,
    length: f64,
    /// Of all parts of the set as built; `None` where it does not count or is not known yet.
    safety: Option<f64>,
}

/// Lengths in mm are compared in such steps: less is lost in any builder's tolerances.
pub const LENGTH_STEP: f64 = 0.5;
/// Efficiencies are compared in such steps, far below what their estimates are worth.
pub const EFFICIENCY_STEP: f64 = 0.002;

/// Of a step.
const NUDGE: f64 = 1e-6;

/// What it costs to find the width of one set and to weigh one way to make all, in base
/// ratios that can be tried in the same time.
const COST_OF_WIDTH: u64 = 4;
const COST_OF_WEIGHING: u64 = 20;

/// What is chosen so far of a case.
struct Chosen<'a> {
    makings: SmallVec<[Making<'a>; MAX_SETS]>,
    length: f64,
}

impl Scales<'_> {
    /// Offers every way to make `case` that keeps the limits. `false` when its work was ended
    /// before that.
    pub fn weigh(
        &self,
        case: &Case<'_>,
        work: &Work<'_>,
        known: &Archive,
        archive: &mut Archive,
    ) -> bool {
        let choices = case.choices.iter().map(|choices| choices.len() as u64).sum::<u64>();
        for (member, arrangement) in case.group.members.iter().enumerate() {
            let Some(running) = Running::new(arrangement, &case.group.kinds, case.ratios) else {
                continue;
            };
            if !work.goes_on(COST_OF_WIDTH * choices) {
                return false;
            }
            let makings: SmallVec<[Vec<Making<'_>>; MAX_SETS]> = case
                .choices
                .iter()
                .zip(&running.sets)
                .map(|(&choices, duty)| self.makings(case, choices, duty))
                .collect();
            let bounds = self.bounds(case, &makings);
            if archive.excludes(&bounds) || known.excludes(&bounds) {
                continue;
            }
            let running = &running;
            let weighed = Weighed { scales: self, case, arrangement, member, running, work };
            let mut chosen = Chosen { makings: SmallVec::new(), length: 0.0 };
            if !weighed.choose(&makings, &mut chosen, archive) {
                return false;
            }
        }
        true
    }

    /// No choice among these ways has better objectives.
    fn bounds(&self, case: &Case<'_>, makings: &[Vec<Making<'_>>]) -> SmallVec<[f64; 6]> {
        let least = |of: fn(&Making<'_>) -> f64| -> SmallVec<[f64; MAX_SETS]> {
            makings.iter().map(|all| all.iter().map(of).fold(f64::INFINITY, f64::min)).collect()
        };
        let (room, sets) = (&self.brief.room, makings.len() as f64);
        let diameters = least(|making| making.choice.outer_diameter);
        let tight = Tight {
            diameter: diameters.into_iter().fold(0.0, f64::max),
            length: least(|making| making.length).iter().sum::<f64>() + (sets - 1.0) * room.gap,
            parts: least(|making| f64::from(making.choice.parts())).iter().sum::<f64>()
                - (sets - 1.0),
        };
        self.tight(case.ratio, case.efficiencies, makings.len(), &tight)
    }

    /// The objectives of a case at their best, rounded.
    pub fn tight(
        &self,
        ratio: f64,
        efficiencies: Option<[f64; 2]>,
        sets: usize,
        tight: &Tight,
    ) -> SmallVec<[f64; 6]> {
        let bound = |criterion: &Criterion| {
            let best = match criterion {
                Criterion::RatioError => {
                    let target = to_f64(&self.brief.ratio.target);
                    let off = 100.0 * (ratio.abs() / target - 1.0).abs();
                    (off - 1e-7).max(0.0)
                }
                Criterion::OuterDiameter => tight.diameter,
                Criterion::Length => tight.length,
                Criterion::PartCount => tight.parts,
                Criterion::Efficiency => efficiencies.map_or(1.0, |[forward, _]| forward),
                Criterion::BackEfficiency => efficiencies.map_or(1.0, |[_, back]| back),
                Criterion::Sets => sets as f64,
                _ => return f64::NEG_INFINITY,
            };
            self.rounded(*criterion, best)
        };
        self.brief.objectives.iter().map(bound).collect()
    }

    /// The ways to make one set that bear its load, without those that another beats in
    /// everything that counts.
    fn makings<'a>(
        &self,
        case: &Case<'_>,
        choices: &'a [Choice],
        duty: &SetDuty,
    ) -> Vec<Making<'a>> {
        let room = &self.brief.room;
        // A reduction is as safe as its least safe set, so a limit of it is one of each set.
        let efficiency = case.efficiencies.filter(|_| self.safety_counts()).map(|both| both[0]);
        let limit = self.brief.limits.iter().find(|limit| limit.criterion == Criterion::Safety);
        let least = limit.and_then(|limit| limit.least).unwrap_or(f64::NEG_INFINITY);
        let wide = choices.iter().filter_map(|choice| {
            let width = self.faces.width(choice, duty, case.ratio)?;
            let length = width + 2.0 * (room.plate + room.gap);
            let at = |efficiency| (case.ratio, efficiency);
            let set = std::iter::once((choice, width, duty));
            let safety =
                efficiency.and_then(|eta| least_safety(self.brief, self.variant, at(eta), set));
            let safe = safety.is_none_or(|safety| safety >= least);
            safe.then_some(Making { choice, width, length, safety })
        });
        let all: Vec<Making<'_>> = wide.collect();
        if self.sets_look_at_each_other() || (self.safety_counts() && efficiency.is_none()) {
            return all;
        }
        let values = |making: &Making<'_>| {
            let Choice { outer_diameter, set, .. } = making.choice;
            let teeth = f64::from(set.sun) / f64::from(set.planet.unwrap_or(1));
            let danger = making.safety.map_or(0.0, |safety| -safety);
            [*outer_diameter, making.length, f64::from(making.choice.parts()), teeth, danger]
        };
        let beats = |a: &Making<'_>, b: &Making<'_>| {
            let (better, worse) = (values(a), values(b));
            let no_worse = better.iter().zip(&worse).all(|(a, b)| a <= b);
            no_worse && (better != worse || a.choice.preference < b.choice.preference)
        };
        let kept = all.iter().filter(|making| !all.iter().any(|other| beats(other, making)));
        kept.copied().collect()
    }

    /// Whether the choice of one set depends on that of another, or on more than its size,
    /// parts and speed: then no choice may be left out before all are made.
    fn sets_look_at_each_other(&self) -> bool {
        let brief = self.brief;
        let limited = brief.limits.iter().map(|limit| limit.criterion);
        brief.stock.is_some()
            || brief.room.equal_rings
            || brief.mesh.scaling == crate::motion::MeshScaling::Teeth
            || brief.objectives.contains(&Criterion::DifferentGears)
            || limited.into_iter().any(|criterion| criterion == Criterion::DifferentGears)
    }

    /// Whether the front or a limit asks how safe a reduction is.
    fn safety_counts(&self) -> bool {
        let limited = self.brief.limits.iter().any(|limit| limit.criterion == Criterion::Safety);
        limited || self.brief.objectives.contains(&Criterion::Safety)
    }

    /// Rounded, lower being better; infinite where a score does not apply.
    pub fn objectives(&self, scores: &[Option<f64>; CRITERIA]) -> SmallVec<[f64; 6]> {
        let objective = |criterion: &Criterion| {
            let place = Criterion::REDUCTION.iter().position(|other| other == criterion);
            let score = place.and_then(|place| scores[place]);
            score.map_or(f64::INFINITY, |score| self.rounded(*criterion, score))
        };
        self.brief.objectives.iter().map(objective).collect()
    }

    /// A score as it is compared: errors that are close enough are none, lengths to
    /// [`LENGTH_STEP`], efficiencies to [`EFFICIENCY_STEP`].
    pub fn rounded(&self, criterion: Criterion, score: f64) -> f64 {
        let sign = if criterion.better() == Better::Higher { -1.0 } else { 1.0 };
        // Halves are common among ratios of teeth: a nudge keeps rounding errors from
        // deciding which way they go.
        let to = |step: f64| sign * (score / step + NUDGE).round() * step;
        match criterion {
            Criterion::RatioError => {
                let step = 100.0 * self.brief.ratio.close_enough;
                if step <= 0.0 { score } else { (score / step - 1.0 - NUDGE).ceil().max(0.0) }
            }
            Criterion::OuterDiameter | Criterion::Length => to(LENGTH_STEP),
            Criterion::Efficiency | Criterion::BackEfficiency => to(EFFICIENCY_STEP),
            _ => to(1e-6),
        }
    }
}

/// One arrangement of a case as it runs.
struct Weighed<'a> {
    scales: &'a Scales<'a>,
    case: &'a Case<'a>,
    arrangement: &'a Arrangement,
    member: usize,
    running: &'a Running,
    work: &'a Work<'a>,
}

impl<'a> Weighed<'a> {
    /// Chooses the sets one after the other; what is too long already is left.
    /// `false` when the work was ended.
    fn choose(
        &self,
        makings: &[Vec<Making<'a>>],
        chosen: &mut Chosen<'a>,
        archive: &mut Archive,
    ) -> bool {
        let room = &self.scales.brief.room;
        let Some((first, rest)) = makings.split_first() else {
            if !self.work.goes_on(COST_OF_WEIGHING) {
                return false;
            }
            if let Some(found) = self.found(chosen) {
                archive.offer(found);
            }
            return true;
        };
        for &making in first {
            let joint = if chosen.makings.is_empty() { 0.0 } else { room.gap };
            let length = chosen.length + joint + making.length;
            let too_long = room.length.is_some_and(|most| length > most + 1e-9);
            let differs = room.equal_rings
                && chosen.makings.first().is_some_and(|one| !same_ring(one.choice, making.choice));
            if too_long || differs {
                continue;
            }
            let before = std::mem::replace(&mut chosen.length, length);
            chosen.makings.push(making);
            let whole = self.choose(rest, chosen, archive);
            chosen.makings.pop();
            chosen.length = before;
            if !whole {
                return false;
            }
        }
        true
    }

    fn found(&self, chosen: &Chosen<'_>) -> Option<Found> {
        let Scales { brief, .. } = *self.scales;
        let choices: SmallVec<[Choice; MAX_SETS]> =
            chosen.makings.iter().map(|making| *making.choice).collect();
        let price = match &brief.stock {
            Some(stock) => Some(stock::cost(stock, &choices)?),
            None => None,
        };
        let ratio = exact_ratio(&self.case.group.function, &choices);
        let off = to_f64(&(&ratio / signed(&brief.ratio.target, &ratio))) - 1.0;
        if off.abs() > brief.ratio.tolerance * (1.0 + 1e-12) {
            return None;
        }
        let [efficiency, back_efficiency] = match self.case.efficiencies {
            Some(known) => known,
            None => efficiencies(self.arrangement, self.case.group, &choices, &brief.mesh)?,
        };
        let drives_back = back_efficiency > 0.0;
        match brief.train.back_driving {
            BackDriving::Must if !drives_back => return None,
            BackDriving::Never if drives_back => return None,
            _ => {}
        }
        let values = Values { choices: &choices, price, efficiency, back_efficiency, off };
        let scores = Criterion::REDUCTION.map(|criterion| self.score(criterion, chosen, &values));
        let keeps = |limit: &crate::brief::Limit| {
            let place = Criterion::REDUCTION.iter().position(|&c| c == limit.criterion);
            place.and_then(|place| scores[place]).is_none_or(|score| limit.holds(score))
        };
        if !brief.limits.iter().all(keeps) {
            return None;
        }
        let (sets, group) = self.case.place;
        Some(Found {
            place: (sets, group, self.member),
            widths: chosen.makings.iter().map(|making| making.width).collect(),
            objectives: self.scales.objectives(&scores),
            choices,
            ratio,
            scores,
        })
    }

    fn score(&self, criterion: Criterion, chosen: &Chosen<'_>, values: &Values<'_>) -> Option<f64> {
        let choices = values.choices;
        let duties = || choices.iter().zip(&self.running.sets);
        match criterion {
            Criterion::RatioError => Some(100.0 * values.off.abs()),
            Criterion::OuterDiameter => choices.iter().map(|c| c.outer_diameter).reduce(f64::max),
            Criterion::Length => Some(chosen.length),
            Criterion::PartCount => Some(f64::from(self.part_count(choices))),
            Criterion::Efficiency => Some(values.efficiency),
            Criterion::BackEfficiency => Some(values.back_efficiency),
            Criterion::Sets => Some(choices.len() as f64),
            Criterion::DifferentGears => Some(different_gears(choices) as f64),
            Criterion::Price => values.price,
            Criterion::Safety => self.safety(chosen, values),
            Criterion::PlanetSpeed => {
                duties().map(|(c, duty)| planet_speed(c, duty)).reduce(f64::max)
            }
            Criterion::ShaftSpeed => Some(self.running.shaft_speed),
            Criterion::RollingPower => {
                Some(duties().map(|(_, d)| (d.sun_torque * d.sun_to_carrier).abs()).sum())
            }
            Criterion::BranchPower => Some(self.running.branch_power),
            Criterion::Nests => Some(f64::from(u8::from(self.arrangement.nests))),
            _ => None,
        }
    }

    /// Only where it counts: it takes longer than all else together. The others have it from
    /// their parts.
    fn safety(&self, chosen: &Chosen<'_>, values: &Values<'_>) -> Option<f64> {
        let brief = self.scales.brief;
        if !self.scales.safety_counts() {
            return None;
        }
        let known = chosen.makings.iter().map(|making| making.safety);
        if let Some(all) = known.collect::<Option<SmallVec<[f64; MAX_SETS]>>>() {
            return all.into_iter().reduce(f64::min);
        }
        let makings = chosen.makings.iter().zip(&self.running.sets);
        let sets = makings.map(|(making, duty)| (making.choice, making.width, duty));
        least_safety(brief, self.scales.variant, (self.case.ratio, values.efficiency), sets)
    }

    /// Parts of all sets; equal rings that sit side by side in the housing are one part.
    fn part_count(&self, choices: &[Choice]) -> u32 {
        let all: u32 = choices.iter().map(Choice::parts).sum();
        let held = self.arrangement.core.seats().iter().all(|seats| seats[1] == 0);
        let one = held && choices.iter().all(|choice| same_ring(choice, &choices[0]));
        if one { all - (choices.len() as u32 - 1) } else { all }
    }
}

/// What scores are read from besides the case.
struct Values<'a> {
    choices: &'a [Choice],
    price: Option<f64>,
    efficiency: f64,
    back_efficiency: f64,
    /// i / wanted i − 1.
    off: f64,
}
