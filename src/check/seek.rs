//! The seeker: what all attempts to beat the front have in common, and the attempts themselves.
//!
//! An attempt is known by its number, from which all its chance comes: equal numbers find equal
//! things, whoever asks and however long it takes.

use std::cell::RefCell;

use rand::seq::SliceRandom as _;
use rand::{RngExt as _, SeedableRng as _};
use rand_pcg::Pcg64;
use rustc_hash::FxHashMap;

use super::breaches::Rules;
use super::choose::{Choice, Chooser};
use super::descent::{Goal, walk};
use super::findings::Counterexample;
use super::merged::Merged;
use super::seatings::CoreSpace;
use super::set_list::SetList;
use super::standing::{FrontPoints, objective};
use super::suspects::{Suspect, judge};
use super::twins::read_spelling;
use super::written::{Row, WrittenResults};
use crate::build::nests_wiring;
use crate::score::Criterion;
use crate::train::{Core, ElementMask, Slot, canonical};

/// Where all chance begins.
const SEED: u64 = 0x5ce9_71c5;
/// A wiring is tried at all base ratios where these are no more.
pub(super) const SWEPT: u64 = 300_000;
/// Suspects of one attempt that are judged exactly.
const MOST_JUDGED: u64 = 24;
/// Counterexamples of one attempt; more tell nothing new.
const MOST_FOUND: usize = 3;
/// Random base ratios among which a walk begins at the best.
const STARTS: usize = 48;
/// Random wirings that an attempt draws at most until one has a ladder somewhere.
const DRAWS: usize = 400;
/// Random base ratios at which a drawn wiring is tried.
const PROBES: usize = 6;

/// All that is known before seeking begins.
pub struct Seeker<'a> {
    pub(super) rules: Rules<'a>,
    pub(super) front: FrontPoints,
    pub(super) sets: SetList,
    known: Vec<KnownWiring>,
    /// `(ln spread, step deviation)` of the rows of the front: where walks aim.
    pub(super) aims: Vec<(f64, f64)>,
}

/// A wiring of the tables, with teeth of the front where it stands there.
struct KnownWiring {
    core: Core,
    slots: Vec<Slot>,
    starts: Vec<Vec<usize>>,
}

/// What an attempt did.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Attempt {
    /// Base ratios at which gears were chosen.
    pub points: u64,
    /// Wirings that were drawn at random.
    pub drawn: u64,
    /// Walks downhill.
    pub walks: u64,
    /// Whether one wiring was tried at all its base ratios.
    pub swept: bool,
    /// Points that looked better in floats and were judged exactly, and those beyond the most that
    /// one attempt judges.
    pub judged: u64,
    pub unjudged: u64,
    pub found: Vec<Counterexample>,
}

impl<'a> Seeker<'a> {
    pub fn new(results: &'a WrittenResults, sets: SetList) -> Self {
        let brief = &results.brief;
        let point = |row: &Row| {
            let values = brief.objectives.iter().map(|&c| objective(c, row.score(c)));
            (row.id.clone(), values.collect())
        };
        let front = FrontPoints {
            objectives: brief.objectives.clone(),
            rows: results.front.iter().map(point).collect(),
            gap: results.gap,
        };
        let aim = |row: &Row| {
            let spread = row.score(Criterion::Spread).filter(|spread| *spread > 0.0)?;
            Some((spread.ln(), row.score(Criterion::StepDeviation)?))
        };
        let aims = results.front.iter().filter_map(aim).collect();
        let known = known_wirings(results, &sets);
        Self { rules: Rules::new(brief, results.nesting_required), front, sets, known, aims }
    }

    /// Wirings of the tables: numbers below this are those of [`Seeker::own`].
    pub fn known(&self) -> usize {
        self.known.len()
    }

    /// Base ratios that the brief's teeth allow a set.
    pub fn base_ratios(&self) -> usize {
        self.sets.len()
    }

    /// Seeks on one wiring of the tables: at all its base ratios where that can be, else from the
    /// teeth that the front gives it.
    pub fn own(&self, number: usize, stopped: &dyn Fn() -> bool) -> Attempt {
        let wiring = &self.known[number];
        let bench = self.bench(&wiring.core, &wiring.slots);
        if !self.may_count(&bench) {
            return Attempt::default();
        }
        let sets = wiring.core.sets();
        if self.sets.points(sets) <= SWEPT {
            return self.sweep(&bench, stopped);
        }
        let mut rng = chance(1, number as u64);
        for start in &wiring.starts {
            for _ in 0..4 {
                let goal = self.goal(&mut rng);
                walk(&bench, start.clone(), &goal, stopped);
            }
        }
        bench.attempt.into_inner()
    }

    /// Seeks by chance: three of four attempts on wirings of the tables, the others on wirings of
    /// the brief's families drawn at random.
    pub fn attempt(&self, number: u64, space: &CoreSpace, stopped: &dyn Fn() -> bool) -> Attempt {
        let mut rng = chance(2, number);
        if number % 4 == 3 || self.known.is_empty() {
            return self.on_drawn(&mut rng, space, stopped);
        }
        // Counted past the fourth ones, so that every wiring has its turn.
        let turn = (number / 4 * 3 + number % 4) as usize % self.known.len();
        let wiring = &self.known[turn];
        let bench = self.bench(&wiring.core, &wiring.slots);
        if self.may_count(&bench) {
            self.walks_from_anywhere(&bench, &mut rng, stopped);
            if let Some(start) = pick(&mut rng, &wiring.starts) {
                let reach = self.sets.len() as i64 / 12 + 1;
                let moved = start.iter().map(|&index| {
                    let moved = index as i64 + rng.random_range(-reach..=reach);
                    moved.clamp(0, self.sets.len() as i64 - 1) as usize
                });
                let moved = moved.collect();
                let goal = self.goal(&mut rng);
                walk(&bench, moved, &goal, stopped);
            }
        }
        bench.attempt.into_inner()
    }

    fn on_drawn(&self, rng: &mut Pcg64, space: &CoreSpace, stopped: &dyn Fn() -> bool) -> Attempt {
        let mut drawn = 0;
        for _ in 0..DRAWS {
            if stopped() || space.positions() == 0 {
                break;
            }
            let Some(placed) = space.core(rng.random_range(0..space.positions())) else { continue };
            let Some(&elements) = pick(rng, &placed.elements) else { continue };
            let mut slots = placed.core.slots();
            slots.shuffle(rng);
            slots.truncate(usize::from(elements));
            slots.sort_unstable();
            drawn += 1;
            let bench = self.bench(&placed.core, &slots);
            let has_ladder = (0..PROBES).any(|_| {
                let point = self.random_point(rng, placed.core.sets());
                !bench.look(&point).is_empty()
            });
            if has_ladder && self.may_count(&bench) {
                self.walks_from_anywhere(&bench, rng, stopped);
                let mut attempt = bench.attempt.into_inner();
                attempt.drawn = drawn;
                return attempt;
            }
        }
        Attempt { drawn, ..Attempt::default() }
    }

    fn walks_from_anywhere(&self, bench: &Bench<'_>, rng: &mut Pcg64, stopped: &dyn Fn() -> bool) {
        for _ in 0..3 {
            let goal = self.goal(rng);
            let points = (0..STARTS).map(|_| self.random_point(rng, bench.core.sets()));
            let costs = points.map(|point| (bench.cost(&point, &goal), point));
            let best = costs.min_by(|a, b| a.0.total_cmp(&b.0));
            if let Some((_, point)) = best.filter(|(cost, _)| cost.is_finite()) {
                walk(bench, point, &goal, stopped);
            }
        }
    }

    pub(super) fn sweep(&self, bench: &Bench<'_>, stopped: &dyn Fn() -> bool) -> Attempt {
        let all = self.sets.points(bench.core.sets());
        let mut tried = 0;
        for number in 0..all {
            if (number.is_multiple_of(256) && stopped()) || bench.is_done() {
                break;
            }
            bench.look(&self.point(number, bench.core.sets()));
            tried += 1;
        }
        let mut attempt = bench.attempt.take();
        attempt.swept = tried == all;
        attempt
    }

    /// The point of this number: its digits in a system of as many as there are base ratios.
    pub(super) fn point(&self, mut number: u64, sets: usize) -> Vec<usize> {
        let base = self.sets.len() as u64;
        let digit = |_| {
            let digit = number % base;
            number /= base;
            digit as usize
        };
        (0..sets).map(digit).collect()
    }

    pub(super) fn random_point(&self, rng: &mut Pcg64, sets: usize) -> Vec<usize> {
        (0..sets).map(|_| rng.random_range(0..self.sets.len())).collect()
    }

    pub(super) fn goal(&self, rng: &mut Pcg64) -> Goal {
        let weight = 10f64.powf(rng.random_range(-4.0..0.5));
        match (rng.random_range(0..3), pick(rng, &self.aims)) {
            (1, Some(&(log_spread, _))) => Goal::Floor(log_spread),
            (2, Some(&(_, deviation))) => Goal::Ceiling(deviation),
            _ => Goal::Weighted(weight),
        }
    }

    pub(super) fn bench(&self, core: &Core, slots: &[Slot]) -> Bench<'_> {
        let states = masks(slots.len(), core.engaged());
        let merged = states.iter().map(|&state| {
            let engaged: Vec<Slot> = ElementMask(state).iter().map(|e| slots[e]).collect();
            Merged::new(core, &engaged)
        });
        Bench {
            seeker: self,
            core: *core,
            slots: slots.to_vec(),
            merged: merged.collect(),
            chooser: Chooser::new(&self.rules.wish, states),
            attempt: RefCell::default(),
        }
    }

    /// Whether a wiring is asked to nest, and does.
    pub(super) fn may_count(&self, bench: &Bench<'_>) -> bool {
        !self.rules.nesting_required || nests_wiring(&bench.core, &bench.slots)
    }
}

/// One wiring under trial.
pub(super) struct Bench<'a> {
    pub seeker: &'a Seeker<'a>,
    pub core: Core,
    pub slots: Vec<Slot>,
    /// One per state; `None` where it is dead whatever the teeth.
    merged: Vec<Option<Merged>>,
    chooser: Chooser<'a>,
    pub attempt: RefCell<Attempt>,
}

impl Bench<'_> {
    /// All gears that can be chosen at a point; what looks better than the front is judged.
    pub fn look(&self, point: &[usize]) -> Vec<Choice> {
        let base: Vec<f64> = point.iter().map(|&index| self.seeker.sets.ratio(index)).collect();
        let ratios: Vec<f64> =
            self.merged.iter().map(|m| m.map_or(f64::NAN, |state| state.ratio(&base))).collect();
        self.attempt.borrow_mut().points += 1;
        let choices = self.chooser.all(&ratios);
        for choice in &choices {
            self.suspect(point, choice);
        }
        choices
    }

    /// The least cost of the gears that can be chosen at a point; infinite without any.
    pub fn cost(&self, point: &[usize], goal: &Goal) -> f64 {
        let choices = self.look(point);
        choices.iter().map(|c| goal.cost(c)).fold(f64::INFINITY, f64::min)
    }

    /// Whether enough was found.
    pub fn is_done(&self) -> bool {
        self.attempt.borrow().found.len() >= MOST_FOUND
    }

    /// Judges gears at a point, where the front seems to have no answer to them.
    fn suspect(&self, point: &[usize], choice: &Choice) {
        let (sets, elements) = (self.core.sets(), self.slots.len());
        let known = |criterion: &Criterion| match criterion {
            Criterion::Spread => Some(-choice.log_spread.exp()),
            Criterion::StepDeviation => Some(choice.deviation),
            Criterion::ElementCount => Some((sets + elements) as f64),
            Criterion::ShiftElements => Some(elements as f64),
            Criterion::Sets => Some(sets as f64),
            _ => None,
        };
        let front = &self.seeker.front;
        let known: Vec<Option<f64>> = front.objectives.iter().map(known).collect();
        if !front.may_matter(&known) || self.chooser.leaves_spare(choice, elements) {
            return;
        }
        let mut attempt = self.attempt.borrow_mut();
        if attempt.judged >= MOST_JUDGED || attempt.found.len() >= MOST_FOUND {
            attempt.unjudged += 1;
            return;
        }
        attempt.judged += 1;
        let gears = choice.forward.iter().chain(&choice.reverse);
        let suspect = Suspect {
            core: self.core,
            slots: self.slots.clone(),
            sets: point.iter().map(|&index| self.seeker.sets.set(index)).collect(),
            gears: gears.map(|&state| self.chooser.states[state]).collect(),
        };
        let found = judge(&suspect, &self.seeker.rules, front);
        attempt.found.extend(found);
    }
}

/// Every choice of `engaged` of the elements, as bits.
pub(super) fn masks(elements: usize, engaged: usize) -> Vec<u32> {
    (0..1u32 << elements).filter(|mask| mask.count_ones() as usize == engaged).collect()
}

/// Chance of its own for each piece of work.
pub(super) fn chance(kind: u64, number: u64) -> Pcg64 {
    Pcg64::seed_from_u64(SEED ^ kind << 56 ^ number)
}

pub(super) fn pick<'t, T>(rng: &mut Pcg64, all: &'t [T]) -> Option<&'t T> {
    (!all.is_empty()).then(|| &all[rng.random_range(0..all.len())])
}

/// The wirings of front and candidates, each once, the front's first.
fn known_wirings(results: &WrittenResults, sets: &SetList) -> Vec<KnownWiring> {
    let mut known: Vec<KnownWiring> = Vec::new();
    let mut places: FxHashMap<String, usize> = FxHashMap::default();
    for layout in &results.layouts {
        let (core, slots) = layout.wiring();
        let spelling = canonical(&core, &slots);
        let place = *places.entry(spelling.to_string()).or_insert_with(|| {
            let slots = spelling.slots.clone();
            known.push(KnownWiring { core: spelling.core, slots, starts: Vec::new() });
            known.len() - 1
        });
        let teeth = spelling.sets.iter().map(|&old| sets.find(&layout.sets[old]));
        known[place].starts.extend(teeth.collect::<Option<Vec<usize>>>());
    }
    for row in results.candidates.iter().flatten() {
        if !places.contains_key(&row.canonical)
            && let Some((core, slots)) = read_spelling(&row.canonical)
        {
            places.insert(row.canonical.clone(), known.len());
            known.push(KnownWiring { core, slots, starts: Vec::new() });
        }
    }
    // What is no wiring of the brief's families is told by the rows; nothing is sought on it.
    known.retain(|wiring| {
        let space = &results.brief.space;
        let elements = wiring.slots.len() as u8;
        space.sets.contains(&(wiring.core.sets() as u8))
            && space.shafts.contains(&wiring.core.shafts)
            && (space.elements.0..=space.elements.1).contains(&elements)
    });
    known
}
