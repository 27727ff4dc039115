//! All classes against one front: which teeth and gears of which class nothing beats, and the
//! proof of it.
//!
//! Classes go in rounds of fixed sizes, those whose teeth came nearest to the front first. In a
//! round each is searched to its end (see [`super::exhaust`]) against the front as it was before
//! the round and its own finds, so that threads never show; then the finds of all join the
//! front. Classes of fewer elements stand against those of more, not the other way round: each
//! rank, told by the objectives that are the same for a whole class, has a staircase of its own,
//! which takes in what ranks at least as well.

use std::cmp::Ordering;

use rayon::prelude::*;

use super::RatioFunction;
use super::bounds::Coefficients;
use super::exhaust::{Case, Chooser, Exhausted, FEW_POINTS, Run};
use super::gears::Chain;
use super::idle::best_between;
use super::keeping::Keeping;
use super::plan::{FamilyPlan, Plan};
use super::prospect::{Gap, Wanted};
use super::settle::Setup;
use super::solve::{Point, Solution};
use super::staircase::Staircase;
use super::unit::SolvedClass;
use super::watch::Watch;
use crate::score::{Better, Criterion};
use crate::train::{ElementMask, MAX_SETS};

/// Classes in the first round; the front is weak then. Each round has twice as many as the one
/// before, up to the most.
const FIRST_ROUND: usize = 8;
const MOST_IN_ROUND: usize = 256;
/// Boxes for one class of four sets in one pass after the other, unless the brief wants a proof.
const FEW_BOXES: [u64; 3] = [256, 4096, 65_536];
/// Boxes for all classes together, so many each on the average: when they are spent, what is
/// left stays open.
const BOXES_EACH: u64 = 400;
/// And in any case so many.
const LEAST_BOXES: u64 = 4_000_000;
/// Gaps that are tried for what is left open, each twice the one before.
const LEAST_REACH: Gap = Gap { log_spread: 0.001, deviation: 0.0005 };
const REACHES: i32 = 10;

/// What is proved of a front.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Proof {
    /// By how much a chain must beat the front to be looked for.
    pub gap: Gap,
    /// Nothing in the classes beats the front by more than this; `None` where nothing can be
    /// said.
    pub reached: Option<Gap>,
    /// Whether layouts with an element that no gear engages count: only where the brief wants too
    /// few gears for all elements.
    pub with_idle: bool,
    /// Classes that came to their end, and those that were left open.
    pub ended: u64,
    pub open: u64,
    pub boxes: u64,
    pub points: u64,
}

/// One class and what is found of it.
pub struct Contender<'a> {
    pub family: &'a FamilyPlan,
    pub class: &'a SolvedClass,
    /// Objectives that are the same for the whole class, lower being better.
    rank: Vec<f64>,
    /// Solutions that the front does not cover.
    pub found: Vec<Solution>,
    /// What was not looked at yet.
    open: Vec<Run>,
}

impl Contender<'_> {
    /// Whether nothing in the class beats the front by more than the gap.
    pub fn ended(&self) -> bool {
        self.open.is_empty()
    }
}

/// The objectives that differ within a class and are sought over all teeth.
const SOUGHT: [Criterion; 2] = [Criterion::Spread, Criterion::StepDeviation];

/// The contest of all classes of a plan.
pub struct Contest<'a> {
    plan: &'a Plan<'a>,
    watch: &'a Watch<'a>,
    wanted: Wanted,
    gap: Gap,
    /// Whether time counts more than that all classes end.
    is_brief: bool,
    pub contenders: Vec<Contender<'a>>,
    /// For each different rank, what stands against it.
    ranks: Vec<(Vec<f64>, Staircase)>,
    pub proof: Proof,
}

impl<'a> Contest<'a> {
    pub fn new(
        plan: &'a Plan<'a>,
        classes: Vec<(&'a FamilyPlan, &'a SolvedClass)>,
        watch: &'a Watch<'a>,
    ) -> Self {
        let brief = plan.brief;
        let most_sets = plan.families.iter().map(|family| family.sets).max().unwrap_or(0);
        let (log_spread, deviation) = brief.effort.gap;
        let gap = Gap { log_spread, deviation };
        let is_brief = most_sets == MAX_SETS && !brief.effort.prove;
        let ratios = plan.catalogue.len();
        let with_idle = !plan.families.iter().any(|family| can_engage(plan, family));
        let contender = |(family, class): (&'a FamilyPlan, &'a SolvedClass)| {
            let setup = Setup::of(plan, family);
            let rank = rank(&setup, family, class);
            // Where others engage all elements, one that never can is behind them.
            let open = match with_idle || can_engage(plan, family) {
                true => vec![Run::whole(family.sets, ratios)],
                false => Vec::new(),
            };
            Contender { family, class, rank, found: Vec::new(), open }
        };
        let contenders: Vec<Contender<'a>> = classes.into_par_iter().map(contender).collect();
        let mut contest = Self {
            plan,
            watch,
            wanted: Wanted::new(&plan.ladder),
            gap,
            is_brief,
            contenders,
            ranks: Vec::new(),
            proof: Proof { gap, reached: Some(gap), with_idle, ..Proof::default() },
        };
        contest.begin();
        contest
    }

    /// The ranks, each with what is known already.
    fn begin(&mut self) {
        let [by_spread, by_deviation] = SOUGHT.map(|c| self.plan.brief.objectives.contains(&c));
        let mut ranks: Vec<Vec<f64>> = self.contenders.iter().map(|c| c.rank.clone()).collect();
        ranks.sort_by(|a, b| compare(a, b));
        ranks.dedup();
        let stairs = |rank| (rank, Staircase::new(by_spread, by_deviation));
        self.ranks = ranks.into_iter().map(stairs).collect();
        let keeping = |contender: &Contender<'_>| {
            if self.watch.should_stop() {
                return (contender.rank.clone(), Vec::new());
            }
            let setup = Setup::of(self.plan, contender.family);
            let class = contender.class;
            let keeping = Keeping::new(
                &setup,
                contender.family,
                &class.members,
                &self.engaged(contender.family),
            );
            let kept = class.solutions.iter().filter(|solution| keeping.holds(solution));
            let known: Vec<(f64, f64)> =
                kept.map(|s| (s.chain.log_spread, s.chain.deviation)).collect();
            (contender.rank.clone(), known)
        };
        let known: Vec<_> = self.contenders.par_iter().map(keeping).collect();
        for (rank, points) in known {
            for (log_spread, deviation) in points {
                self.join(&rank, log_spread, deviation);
            }
        }
    }

    /// A point of some rank joins all staircases that it stands against.
    fn join(&mut self, rank: &[f64], log_spread: f64, deviation: f64) {
        for (other, stairs) in &mut self.ranks {
            if rank.iter().zip(other.iter()).all(|(a, b)| a <= b) {
                stairs.add(log_spread, deviation);
            }
        }
    }

    fn stairs(&self, rank: &[f64]) -> &Staircase {
        let place = self.ranks.binary_search_by(|(other, _)| compare(other, rank));
        &self.ranks[place.unwrap_or_default()].1
    }

    /// Round after round, until all classes came to their end, the boxes are spent or the watch
    /// says stop.
    pub fn run(&mut self) {
        let all = self.contenders.len() as u64;
        self.watch.progress().phase("holding classes against the front", all);
        let (passes, total) = match self.is_brief {
            true => (&FEW_BOXES[..], (BOXES_EACH * all).max(LEAST_BOXES)),
            false => (&[u64::MAX][..], u64::MAX),
        };
        // Without a contest everything stays open.
        for &most in passes.iter().filter(|_| self.plan.brief.effort.contest) {
            self.pass(most, total);
        }
        self.keep_best();
        self.conclude();
    }

    /// Each open class goes on for as many as `most` boxes; no round begins when `total` are
    /// spent.
    fn pass(&mut self, most: u64, total: u64) {
        let mut order = self.order();
        let mut size = FIRST_ROUND;
        while !order.is_empty() && self.proof.boxes < total && !self.watch.should_stop() {
            let rest = order.split_off(size.min(order.len()));
            let round = std::mem::replace(&mut order, rest);
            size = (2 * size).min(MOST_IN_ROUND);
            let exhaust = |&place: &usize| self.exhaust(&self.contenders[place], most);
            let done: Vec<Exhausted> = round.par_iter().map(exhaust).collect();
            for (&place, exhausted) in round.iter().zip(done) {
                self.take(place, exhausted);
            }
        }
    }

    /// What is proved in the end.
    fn conclude(&mut self) {
        let open = |contender: &&Contender<'_>| !contender.ended();
        self.proof.open = self.contenders.iter().filter(open).count() as u64;
        self.proof.ended = self.contenders.len() as u64 - self.proof.open;
        if !self.plan.brief.effort.contest {
            self.proof.reached = None;
            return;
        }
        let open: Vec<_> = self.contenders.iter().filter(open).collect();
        let reached: Option<Vec<Gap>> =
            open.par_iter().map(|contender| self.reached(contender)).collect();
        let wider = |a: Gap, b: Gap| Gap {
            log_spread: a.log_spread.max(b.log_spread),
            deviation: a.deviation.max(b.deviation),
        };
        self.proof.reached = reached.map(|gaps| gaps.into_iter().fold(self.gap, wider));
    }

    /// The open classes, those first whose best teeth are least behind the front.
    fn order(&self) -> Vec<usize> {
        let behind = |contender: &Contender<'_>| {
            let stairs = self.stairs(&contender.rank);
            let chains = contender.class.solutions.iter().map(|solution| &solution.chain);
            let behind = |chain: &Chain| chain.deviation - stairs.least_beyond(chain.log_spread);
            chains.map(behind).fold(f64::INFINITY, f64::min)
        };
        let all = self.contenders.iter().enumerate();
        let open = all.filter(|(_, contender)| !contender.ended());
        let mut order: Vec<(f64, usize)> =
            open.map(|(place, contender)| (behind(contender), place)).collect();
        order.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        order.into_iter().map(|(_, place)| place).collect()
    }

    fn exhaust(&self, contender: &Contender<'_>, most: u64) -> Exhausted {
        let Contender { family, class, rank, open, .. } = contender;
        let setup = Setup::of(self.plan, family);
        let engaged = self.engaged(family);
        let keeping = Keeping::new(&setup, family, &class.members, &engaged);
        let case = self.case(family, class);
        let mut stairs = self.stairs(rank).clone();
        let choose = |point: &Point, ends: (usize, usize)| {
            let ratios = case.ratios_at(point);
            let chosen = |ratios: &[f64]| {
                best_between(ratios, &family.neighbours, &engaged, &self.plan.ladder, ends)
            };
            keeping.choose(point, &ratios, &chosen)
        };
        let stopped = || self.watch.should_stop();
        let chooser = Chooser { choose: &choose, is_tired: &|| keeping.is_tired() };
        let done = case.exhaust(open.clone(), &mut stairs, most, &chooser, &stopped);
        if done.open.is_empty() {
            self.watch.progress().tick(1);
        }
        done
    }

    /// The elements of each state that must not stay idle, as bits.
    fn engaged(&self, family: &FamilyPlan) -> Vec<u32> {
        let counts = |state: &ElementMask| if self.proof.with_idle { 0 } else { state.0 };
        family.states.iter().map(counts).collect()
    }

    fn case(&self, family: &'a FamilyPlan, class: &SolvedClass) -> Case<'_> {
        let mut keys: Vec<u64> = class.keys.iter().copied().filter(|&key| key != 0).collect();
        keys.sort_unstable();
        keys.dedup();
        let function = |&key: &u64| Coefficients::new(&RatioFunction::from_key(key));
        Case {
            ratios: self.plan.catalogue.ratios(),
            sets: family.sets,
            functions: keys.iter().map(function).collect(),
            of_state: class.keys.iter().map(|key| keys.binary_search(key).ok()).collect(),
            neighbours: &family.neighbours,
            ladder: &self.plan.ladder,
            wanted: &self.wanted,
            gap: self.gap,
            few_points: FEW_POINTS,
        }
    }

    /// The gap by which nothing in an open class beats the front, where that can be told.
    fn reached(&self, contender: &Contender<'_>) -> Option<Gap> {
        let mut case = self.case(contender.family, contender.class);
        let stairs = self.stairs(&contender.rank);
        let gaps = (0..REACHES).map(|twice| {
            let factor = f64::from(1 << twice);
            Gap {
                log_spread: self.gap.log_spread.max(LEAST_REACH.log_spread) * factor,
                deviation: self.gap.deviation.max(LEAST_REACH.deviation) * factor,
            }
        });
        let mut gaps = gaps.skip_while(|_| self.watch.should_stop());
        gaps.find(|&gap| {
            case.gap = gap;
            case.is_covered(&contender.open, stairs)
        })
    }

    fn take(&mut self, place: usize, done: Exhausted) {
        self.proof.boxes += done.boxes;
        self.proof.points += done.points;
        self.contenders[place].open = done.open;
        let rank = self.contenders[place].rank.clone();
        for better in done.found {
            let (log_spread, deviation) = (better.chain.log_spread, better.chain.deviation);
            self.join(&rank, log_spread, deviation);
            let solution = Solution { point: better.point, chain: better.chain };
            self.contenders[place].found.push(solution);
        }
    }

    /// Of what was found, only what the whole front does not cover.
    fn keep_best(&mut self) {
        let mut contenders = std::mem::take(&mut self.contenders);
        for contender in &mut contenders {
            let stairs = self.stairs(&contender.rank);
            let has = |chain: &Chain| stairs.has(chain.log_spread, chain.deviation);
            contender.found.retain(|solution| has(&solution.chain));
        }
        self.contenders = contenders;
    }
}

/// Whether so many gears as the brief wants can engage all elements of a family's layouts.
fn can_engage(plan: &Plan<'_>, family: &FamilyPlan) -> bool {
    plan.ladder.gears() * family.engaged >= family.elements
}

/// The objectives of the brief that are the same for a whole class, lower being better.
fn rank(setup: &Setup<'_>, family: &FamilyPlan, class: &SolvedClass) -> Vec<f64> {
    let (sets, elements) = (family.sets as f64, family.elements as f64);
    let value = |criterion: &Criterion| {
        let value = match criterion {
            Criterion::ElementCount => sets + elements,
            Criterion::ShiftElements => elements,
            Criterion::Sets => sets,
            Criterion::OpenElements => elements - family.engaged as f64,
            Criterion::Nests => f64::from(u8::from(setup.some_nests(family, &class.members))),
            _ => return None,
        };
        Some(if criterion.better() == Better::Higher { -value } else { value })
    };
    setup.brief.objectives.iter().filter_map(value).collect()
}

/// Whether an objective is in the proof.
pub fn is_proved(criterion: Criterion) -> bool {
    let of_class = [
        Criterion::ElementCount,
        Criterion::ShiftElements,
        Criterion::Sets,
        Criterion::OpenElements,
        Criterion::Nests,
    ];
    SOUGHT.contains(&criterion) || of_class.contains(&criterion)
}

fn compare(a: &[f64], b: &[f64]) -> Ordering {
    let pairs = a.iter().zip(b).map(|(a, b)| a.total_cmp(b));
    pairs.fold(Ordering::Equal, Ordering::then)
}
