//! Cores sifted again by the plain way: every layout on them, at base ratios drawn at random or,
//! where there are few, at all of them.

use itertools::Itertools;

use super::choose::Chooser;
use super::descent::walk;
use super::merged::Merged;
use super::seatings::{CoreSpace, PlacedCore};
use super::seek::{Attempt, SWEPT, Seeker, chance, masks};
use crate::train::{ElementMask, Slot};

/// Where a core has no more base ratios than this, all are tried.
const FEW: u64 = 1024;
/// Else so many, drawn at random.
const POINTS: usize = 12;
/// Layouts of a core from which a walk begins.
const MOST_WALKS: usize = 16;

/// What came of one position of the space.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct CoreSifted {
    /// 0 where another position stands for the core, or where it was not sifted to its end.
    pub cores: u64,
    pub layouts: u64,
    /// Layouts at base ratios.
    pub points: u64,
    /// Layouts with a ladder somewhere, and those of them tried at all base ratios thereupon.
    pub with_ladder: u64,
    pub swept: u64,
    pub attempt: Attempt,
}

impl Seeker<'_> {
    /// Whether cores are sifted at all their base ratios.
    pub fn sifts_all_points(&self, space: &CoreSpace) -> bool {
        self.sets.points(space.most_sets()) <= FEW
    }

    /// Sifts the core at a position of the space.
    pub fn sift(&self, position: u64, space: &CoreSpace, stopped: &dyn Fn() -> bool) -> CoreSifted {
        let mut sifted = CoreSifted::default();
        let Some(placed) = space.core(position) else { return sifted };
        let mut rng = chance(3, position);
        let sets = placed.core.sets();
        let all = self.sets.points(sets);
        let points: Vec<Vec<usize>> = match all <= FEW {
            true => (0..all).map(|number| self.point(number, sets)).collect(),
            false => (0..POINTS).map(|_| self.random_point(&mut rng, sets)).collect(),
        };
        let Some(serving) = self.serving(&placed, &points, &mut sifted, stopped) else {
            return sifted;
        };
        for (number, (slots, first)) in serving.iter().enumerate() {
            if stopped() {
                return sifted;
            }
            let bench = self.bench(&placed.core, slots);
            if !self.may_count(&bench) {
                continue;
            }
            if all <= SWEPT {
                let attempt = self.sweep(&bench, stopped);
                sifted.swept += u64::from(attempt.swept);
                sifted.attempt.add(attempt);
                continue;
            }
            for point in &points[*first..] {
                bench.look(point);
            }
            if number < MOST_WALKS {
                let goal = self.goal(&mut rng);
                walk(&bench, points[*first].clone(), &goal, stopped);
            }
            sifted.attempt.add(bench.attempt.into_inner());
        }
        sifted.cores = 1;
        sifted
    }

    /// The layouts on a core that have a ladder at one of the points, with the first such point.
    /// `None` when stopped.
    fn serving(
        &self,
        placed: &PlacedCore,
        points: &[Vec<usize>],
        sifted: &mut CoreSifted,
        stopped: &dyn Fn() -> bool,
    ) -> Option<Vec<(Vec<Slot>, usize)>> {
        let (core, slots) = (&placed.core, placed.core.slots());
        let table = Table::new(&slots, core.engaged(), |engaged| Merged::new(core, engaged));
        let ratios: Vec<Vec<f64>> = points.iter().map(|point| table.ratios(self, point)).collect();
        let mut serving = Vec::new();
        for &elements in &placed.elements {
            let states = masks(usize::from(elements), core.engaged());
            let chooser = Chooser::new(&self.rules.wish, states.clone());
            let choices = (0..slots.len()).combinations(usize::from(elements));
            for (number, chosen) in choices.enumerate() {
                if number % 64 == 0 && stopped() {
                    return None;
                }
                let engaged = |state: &u32| ElementMask(*state).iter().map(|e| chosen[e]);
                let places: Vec<usize> = states.iter().map(|s| table.place(engaged(s))).collect();
                let mut own = vec![f64::NAN; states.len()];
                let first = ratios.iter().position(|ratios| {
                    own.iter_mut().zip(&places).for_each(|(own, &place)| *own = ratios[place]);
                    sifted.points += 1;
                    !chooser.all(&own).is_empty()
                });
                sifted.layouts += 1;
                if let Some(first) = first {
                    sifted.with_ladder += 1;
                    serving.push((chosen.iter().map(|&place| slots[place]).collect(), first));
                }
            }
        }
        Some(serving)
    }
}

/// The ratios of all states that the slots of a core make.
struct Table {
    states: Vec<Option<Merged>>,
    /// `choose[n][k]`: ways to choose k of n.
    choose: Vec<Vec<usize>>,
}

impl Table {
    fn new(slots: &[Slot], engaged: usize, merged: impl Fn(&[Slot]) -> Option<Merged>) -> Self {
        let ways = |n: usize, k: usize| num_integer::binomial(n, k);
        let choose: Vec<Vec<usize>> =
            (0..=slots.len()).map(|n| (0..=engaged).map(|k| ways(n, k)).collect()).collect();
        let mut table = Self { states: vec![None; choose[slots.len()][engaged]], choose };
        for chosen in (0..slots.len()).combinations(engaged) {
            let place = table.place(chosen.iter().copied());
            let own: Vec<Slot> = chosen.iter().map(|&slot| slots[slot]).collect();
            table.states[place] = merged(&own);
        }
        table
    }

    /// The place of a state among all: the number of choices that come before it when they are
    /// sorted by their last slot, then the one before it, and so on.
    fn place(&self, rising: impl Iterator<Item = usize>) -> usize {
        rising.enumerate().map(|(place, slot)| self.choose[slot][place + 1]).sum()
    }

    fn ratios(&self, seeker: &Seeker<'_>, point: &[usize]) -> Vec<f64> {
        let base: Vec<f64> = point.iter().map(|&index| seeker.sets.ratio(index)).collect();
        let ratio = |state: &Option<Merged>| state.map_or(f64::NAN, |state| state.ratio(&base));
        self.states.iter().map(ratio).collect()
    }
}

impl Attempt {
    /// Adds what another attempt did.
    pub fn add(&mut self, other: Self) {
        self.points += other.points;
        self.drawn += other.drawn;
        self.walks += other.walks;
        self.judged += other.judged;
        self.unjudged += other.unjudged;
        self.found.extend(other.found);
    }
}
