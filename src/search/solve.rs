//! From a class of twins to teeth: which base ratios of the catalogue serve the brief best.
//!
//! Cells of the bank where bounds exclude a ladder are out for good. In those left, gears
//! are chosen at catalogue points; from the best of them a pattern search walks over the
//! catalogue. Where no point tried has a ladder, cells are halved until one is found, all
//! are excluded (a proof that the class cannot meet the brief with this catalogue), or the
//! effort is spent.

use std::ops::Range;

use itertools::Itertools;
use serde::{Deserialize, Serialize};

use super::bank::{Bank, Entry};
use super::bounds::{Bounds, powers};
use super::cells::ones;
use super::gears::{Chain, all_choices, choose_gears};
use super::ladder::Ladder;
use super::possible::{LooseSteps, may_have_ladder};
use super::shortfall::LogLadder;
use super::sieve::{GearCells, alive_cells};
use super::watch::Watch;
use crate::train::MAX_SETS;

/// A class of twins, ready to be solved.
pub struct Problem<'a> {
    pub bank: &'a Bank,
    pub ladder: &'a Ladder,
    pub log_ladder: &'a LogLadder,
    /// For each state, its function in the bank.
    pub functions: Vec<Option<u32>>,
    /// For each state, the states that may be its neighbour in the ladder.
    pub neighbours: &'a [u64],
    /// Boxes of base ratios that may be halved before the class is left undecided.
    pub most_boxes: usize,
    /// Whether a class that stays far from a ladder may be left undecided sooner.
    pub may_give_up: bool,
    /// Asked now and then: a class may take long when boxes are tried without end.
    pub watch: &'a Watch<'a>,
}

/// Catalogue indices, one a set; unused sets 0.
pub type Point = [u16; MAX_SETS];

/// Teeth and gears that serve the brief.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Solution {
    pub point: Point,
    pub chain: Chain,
}

/// What came of a class.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Outcome {
    /// No cell can hold a ladder: proved by bounds.
    NoLadder,
    /// No catalogue point has a ladder: proved by bounds and trial.
    NoTeeth,
    /// None found, but cells were left when the effort was spent.
    Undecided,
    /// Those that no other of the class beats in spread and step deviation.
    Solved {
        solutions: Vec<Solution>,
        /// Whether every catalogue point was tried or excluded: none is better.
        complete: bool,
    },
}

/// Where no more catalogue points than these are left for a class, all are tried.
const ALL_POINTS: usize = 400;
/// Pattern searches started for each weight.
const STARTS: usize = 3;
/// Weights of ln(spread) against step deviation; 0 asks for evenness alone.
const WEIGHTS: [f64; 4] = [0.0, 0.05, 0.3, 2.0];
/// Solutions kept of one class.
const MOST_SOLUTIONS: usize = 8;
/// Of two solutions of one class whose spreads differ by less (ln), the evener is enough.
const NEARLY_AS_WIDE: f64 = 0.005;

impl Problem<'_> {
    pub fn solve(&self) -> Outcome {
        let mut different: Vec<u32> = self.functions.iter().flatten().copied().collect();
        different.sort_unstable();
        different.dedup();
        let gears: Vec<&GearCells> =
            different.iter().map(|&id| &self.bank.entries[id as usize].gears).collect();
        let alive = alive_cells(&gears, self.ladder);
        let cells: Vec<usize> =
            ones(&alive).filter(|&cell| self.cell_may_have_ladder(cell)).collect();
        if cells.is_empty() {
            return Outcome::NoLadder;
        }
        let mut found = Found::default();
        if self.points_in(&cells) <= ALL_POINTS {
            return self.solve_completely(&cells);
        }
        for &cell in &cells {
            let ranges = self.bank.grid.ranges(cell);
            self.try_point(middle(&ranges), &mut found);
        }
        if found.solutions.is_empty() && !self.halve(&cells, &mut found) {
            return Outcome::Undecided;
        }
        if found.solutions.is_empty() {
            return Outcome::NoTeeth;
        }
        for weight in WEIGHTS {
            self.walk_from_best(weight, &mut found);
        }
        found.outcome()
    }

    /// Catalogue points in some cells.
    fn points_in(&self, cells: &[usize]) -> usize {
        let points = |&cell: &usize| {
            self.bank.grid.ranges(cell).iter().map(ExactSizeIterator::len).product::<usize>()
        };
        cells.iter().map(points).sum()
    }

    /// Tries every catalogue point of every cell.
    fn solve_completely(&self, cells: &[usize]) -> Outcome {
        let mut found = Found { complete: true, ..Found::default() };
        for &cell in cells {
            let points = self.bank.grid.ranges(cell).into_iter().multi_cartesian_product();
            for indices in points {
                let mut point = [0; MAX_SETS];
                for (place, index) in point.iter_mut().zip(indices) {
                    *place = index as u16;
                }
                let ratios = self.ratios_at(&point);
                for chain in all_choices(&ratios, self.neighbours, self.ladder) {
                    found.add(Solution { point, chain });
                }
            }
        }
        if found.solutions.is_empty() { Outcome::NoTeeth } else { found.outcome() }
    }

    pub(super) fn entry(&self, state: usize) -> Option<&Entry> {
        self.functions[state].map(|id| &self.bank.entries[id as usize])
    }

    fn cell_may_have_ladder(&self, cell: usize) -> bool {
        let bounds = |state| self.entry(state).map_or(Bounds::NONE, |entry| entry.bounds[cell]);
        let bounds: Vec<Bounds> = (0..self.functions.len()).map(bounds).collect();
        may_have_ladder(&bounds, &LooseSteps(&bounds), self.neighbours, self.ladder)
    }

    /// Ratios of all states at a point; NaN for dead ones.
    pub(super) fn ratios_at(&self, point: &Point) -> Vec<f64> {
        let ratios = &self.bank.grid.ratios;
        let chosen: Vec<f64> = point[..self.bank.grid.sets()]
            .iter()
            .map(|&index| ratios[usize::from(index)])
            .collect();
        let powers = powers(&chosen);
        let powers = &powers[..1 << chosen.len()];
        (0..self.functions.len())
            .map(|state| self.entry(state).map_or(f64::NAN, |entry| entry.coefficients.at(powers)))
            .collect()
    }

    fn choose(&self, point: &Point, weight: f64) -> Option<Chain> {
        let ratios = self.ratios_at(point);
        choose_gears(&ratios, self.neighbours, self.ladder, |deviation, log_spread| {
            deviation - weight * log_spread
        })
    }

    pub(super) fn try_point(&self, point: Point, found: &mut Found) {
        let Some(even) = self.choose(&point, 0.0) else { return };
        let wide = self.choose(&point, WEIGHTS[WEIGHTS.len() - 1]);
        found.add(Solution { point, chain: even });
        if let Some(chain) = wide {
            found.add(Solution { point, chain });
        }
    }

    /// Pattern search over catalogue indices from the best points found: R. Hooke and
    /// T. A. Jeeves, J. ACM 8 (1961), 212–229, with whole steps that shrink by halves.
    fn walk_from_best(&self, weight: f64, found: &mut Found) {
        let cost = |chain: &Chain| chain.deviation - weight * chain.log_spread;
        let mut starts: Vec<(f64, Point)> =
            found.solutions.iter().map(|s| (cost(&s.chain), s.point)).collect();
        starts.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        starts.dedup_by_key(|start| start.1);
        for &(cost_here, start) in starts.iter().take(STARTS) {
            self.walk(weight, start, cost_here, found);
        }
    }

    fn walk(&self, weight: f64, start: Point, cost: f64, found: &mut Found) {
        let most = self.bank.grid.ratios.len() as i32 - 1;
        let (mut here, mut best) = (start, cost);
        let mut step = (most / 16).max(1);
        while step > 0 {
            let mut moved = false;
            for set in 0..self.bank.grid.sets() {
                for sign in [-1, 1] {
                    let index = (i32::from(here[set]) + sign * step).clamp(0, most);
                    let mut there = here;
                    there[set] = index as u16;
                    let Some(chain) =
                        (there != here).then(|| self.choose(&there, weight)).flatten()
                    else {
                        continue;
                    };
                    let cost = chain.deviation - weight * chain.log_spread;
                    if cost < best - 1e-12 {
                        (here, best, moved) = (there, cost, true);
                        found.add(Solution { point: there, chain });
                    }
                }
            }
            if !moved {
                step /= 2;
            }
        }
    }
}

/// The point in the middle of a box.
pub(super) fn middle(ranges: &[Range<usize>]) -> Point {
    let mut point = [0; MAX_SETS];
    for (index, range) in point.iter_mut().zip(ranges) {
        *index = (range.start + range.len() / 2) as u16;
    }
    point
}

/// Solutions of one class as they come.
#[derive(Default)]
pub(super) struct Found {
    pub(super) solutions: Vec<Solution>,
    complete: bool,
}

impl Found {
    fn add(&mut self, solution: Solution) {
        self.solutions.push(solution);
    }

    fn outcome(self) -> Outcome {
        let complete = self.complete;
        Outcome::Solved { solutions: self.best(), complete }
    }

    /// Those that no other beats in spread and deviation, evenest first; thinned evenly
    /// when there are many, unless all are there.
    fn best(mut self) -> Vec<Solution> {
        self.solutions.sort_by(|a, b| {
            let (x, y) = (&a.chain, &b.chain);
            x.deviation
                .total_cmp(&y.deviation)
                .then(y.log_spread.total_cmp(&x.log_spread))
                .then(a.point.cmp(&b.point))
        });
        let mut widest = f64::NEG_INFINITY;
        let mut best: Vec<Solution> = Vec::new();
        for solution in self.solutions {
            let margin = if self.complete { 0.0 } else { NEARLY_AS_WIDE };
            if solution.chain.log_spread > widest + margin {
                widest = solution.chain.log_spread;
                best.push(solution);
            }
        }
        if best.len() > MOST_SOLUTIONS && !self.complete {
            let last = best.len() - 1;
            let keep: Vec<usize> =
                (0..MOST_SOLUTIONS).map(|k| k * last / (MOST_SOLUTIONS - 1)).collect();
            best = keep.into_iter().map(|index| best[index].clone()).collect();
        }
        best
    }
}
