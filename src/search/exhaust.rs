//! One class of twins searched to its end against a front: boxes of base ratios are halved
//! until each can hold nothing that the front does not cover, or is so small that all its
//! points are tried.

use std::ops::Range;

use smallvec::SmallVec;

use super::bounds::{Coefficients, powers};
use super::boxes::{BoxBounds, Side};
use super::gears::Chain;
use super::ladder::Ladder;
use super::prospect::{Gap, Pair, Prospect, Wanted};
use super::rows::{Hit, Rows};
use super::solve::Point;
use super::staircase::Staircase;
use crate::train::MAX_SETS;

/// Where trying all points of a box is about as dear as halving it on.
pub const FEW_POINTS: usize = 256;
/// Boxes between two looks at whether to stop.
const BETWEEN_LOOKS: u64 = 256;

/// A class, ready to be searched.
pub struct Case<'a> {
    /// All base ratios of the catalogue, rising.
    pub ratios: &'a [f64],
    pub sets: usize,
    /// The different functions, and for each state its place among them; `None` for dead ones.
    pub functions: Vec<Coefficients>,
    pub of_state: Vec<Option<usize>>,
    /// For each state, those that may be its neighbour in the ladder.
    pub neighbours: &'a [u64],
    pub ladder: &'a Ladder,
    pub wanted: &'a Wanted,
    pub gap: Gap,
    /// Boxes of at most so many catalogue points are tried point by point, see [`FEW_POINTS`].
    pub few_points: usize,
}

/// A point and its gears that the front did not cover when it was found.
#[derive(Clone, Debug, PartialEq)]
pub struct Better {
    pub point: Point,
    pub chain: Chain,
}

/// What came of a class.
#[derive(Clone, Debug, Default)]
pub struct Exhausted {
    /// In the order in which they were found; later ones may cover earlier ones.
    pub found: Vec<Better>,
    /// Boxes that were bounded, and points that were tried.
    pub boxes: u64,
    pub points: u64,
    /// Boxes that were not looked at any more. Without any, nothing in the class beats front and
    /// finds together by more than the gap.
    pub open: Vec<Run>,
}

/// A box of catalogue points: a range of indices a set; of sets that are not there, the first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Run {
    /// First index, and the one behind the last.
    ends: [(u16, u16); MAX_SETS],
}

impl Run {
    /// The box of a whole catalogue of so many base ratios.
    pub fn whole(sets: usize, ratios: usize) -> Self {
        let end = |set| if set < sets { ratios as u16 } else { 1 };
        Self { ends: std::array::from_fn(|set| (0, end(set))) }
    }

    fn len(&self, set: usize) -> usize {
        usize::from(self.ends[set].1 - self.ends[set].0)
    }

    /// Catalogue points in the box.
    fn points(&self) -> usize {
        (0..MAX_SETS).map(|set| self.len(set)).product()
    }

    /// The two halves along a set.
    fn halves(&self, set: usize) -> [Self; 2] {
        let (start, end) = self.ends[set];
        let middle = start + (end - start) / 2;
        [(start, middle), (middle, end)].map(|half| {
            let mut part = *self;
            part.ends[set] = half;
            part
        })
    }

    fn ranges(&self, sets: usize) -> SmallVec<[Range<usize>; MAX_SETS]> {
        self.ends[..sets].iter().map(|&(from, to)| usize::from(from)..usize::from(to)).collect()
    }
}

/// What a box calls for.
enum Verdict {
    /// Nothing in it matters.
    Out,
    Try(Vec<Pair>),
    Halve(usize),
}

/// The chain to be taken between a first and a last state at a point, if any.
pub type ChainBetween<'a> = dyn Fn(&Point, (usize, usize)) -> Option<Chain> + 'a;

/// Says which gears may be taken.
pub struct Chooser<'a> {
    /// Those between a first and a last state at a point, if any.
    pub choose: &'a ChainBetween<'a>,
    /// Whether it tells no more.
    pub is_tired: &'a dyn Fn() -> bool,
}

impl Case<'_> {
    /// Searches the boxes in `open` against `stairs`, which what is found joins, until as many
    /// as `most` boxes were bounded, the chooser is tired or `stopped` says so.
    pub fn exhaust(
        &self,
        mut open: Vec<Run>,
        stairs: &mut Staircase,
        most: u64,
        chooser: &Chooser<'_>,
        stopped: &dyn Fn() -> bool,
    ) -> Exhausted {
        let mut bounds = BoxBounds::new(self.sets, self.functions.clone());
        let states: Vec<Option<&Coefficients>> =
            self.of_state.iter().map(|place| place.map(|at| &self.functions[at])).collect();
        let mut done = Exhausted::default();
        let mut hits = Vec::new();
        while let Some(run) = open.pop() {
            if done.boxes >= most || (done.boxes.is_multiple_of(BETWEEN_LOOKS) && stopped()) {
                open.push(run);
                break;
            }
            done.boxes += 1;
            match self.judge(&mut bounds, &run, stairs) {
                Verdict::Out => {}
                Verdict::Halve(set) => open.extend(run.halves(set)),
                Verdict::Try(pairs) => {
                    done.points += run.points() as u64;
                    let Self { ratios, wanted, gap, .. } = *self;
                    let rows = Rows { ratios, states: &states, wanted, stairs, gap };
                    rows.hits(&run.ranges(self.sets), &pairs, &mut hits);
                    let taken = hits.drain(..).filter_map(|hit| self.taken(&hit, stairs, chooser));
                    done.found.extend(taken);
                    if (chooser.is_tired)() {
                        // Some of its points were not asked.
                        open.push(run);
                        break;
                    }
                }
            }
        }
        done.open = open;
        done
    }

    /// The chain of a hit, if it may be taken and the staircase, which it then joins, does not
    /// cover it.
    fn taken(&self, hit: &Hit, stairs: &mut Staircase, chooser: &Chooser<'_>) -> Option<Better> {
        let Gap { log_spread, deviation } = self.gap;
        let covers = |stairs: &Staircase, spread: f64, even: f64| {
            stairs.covers(spread - log_spread, even + deviation)
        };
        // Others of the same row may have come between.
        if covers(stairs, hit.log_spread, hit.deviation) {
            return None;
        }
        let chain = (chooser.choose)(&hit.point, (hit.first, hit.last))?;
        if covers(stairs, chain.log_spread, chain.deviation) {
            return None;
        }
        stairs.add(chain.log_spread, chain.deviation);
        Some(Better { point: hit.point, chain })
    }

    /// Whether nothing in these boxes beats the staircase by more than the gap, as far as bounds
    /// of the boxes as they are can tell.
    pub fn is_covered(&self, open: &[Run], stairs: &Staircase) -> bool {
        let mut bounds = BoxBounds::new(self.sets, self.functions.clone());
        open.iter().all(|run| matches!(self.judge(&mut bounds, run, stairs), Verdict::Out))
    }

    /// Ratios of all states at a point; NaN for dead ones.
    pub fn ratios_at(&self, point: &Point) -> Vec<f64> {
        let mut chosen = [1.0; MAX_SETS];
        for (ratio, &index) in chosen.iter_mut().zip(&point[..self.sets]) {
            *ratio = self.ratios[usize::from(index)];
        }
        let powers = powers(&chosen[..self.sets]);
        let powers = &powers[..1 << self.sets];
        let ratio =
            |place: &Option<usize>| place.map_or(f64::NAN, |at| self.functions[at].at(powers));
        self.of_state.iter().map(ratio).collect()
    }

    fn judge(&self, bounded: &mut BoxBounds, run: &Run, stairs: &Staircase) -> Verdict {
        let side = |&(from, to): &(u16, u16)| {
            (self.ratios[usize::from(from)], self.ratios[usize::from(to) - 1])
        };
        let sides: SmallVec<[Side; MAX_SETS]> = run.ends[..self.sets].iter().map(side).collect();
        let bounds = bounded.bounds(&sides);
        let meets = |window| bounds.iter().any(|bounds| bounds.reverse.meets(window));
        if !self.ladder.reverse.iter().all(|&window| meets(window)) {
            return Verdict::Out;
        }
        let over = bounded.slopes(&sides);
        let states = self.of_state.iter().map(|place| place.map(|at| (bounds[at], over[at])));
        let prospect = Prospect::new(self.wanted, states, &sides);
        let pairs = prospect.pairs(self.neighbours, stairs, self.gap);
        if pairs.is_empty() {
            return Verdict::Out;
        }
        if run.points() <= self.few_points {
            return Verdict::Try(pairs);
        }
        let swings = prospect.swings(&pairs);
        let merit = |set: usize| match swings {
            Some(swings) => swings[set],
            None => (sides[set].1 / sides[set].0).ln(),
        };
        let open = (0..self.sets).filter(|&set| run.len(set) > 1);
        Verdict::Halve(open.max_by(|&a, &b| merit(a).total_cmp(&merit(b))).unwrap_or(0))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::score::Progression;
    use crate::search::gears::all_choices;
    use crate::search::idle::best_between;
    use crate::search::{RatioFunction, Shifts, Signs};
    use crate::train::ElementMask;
    use itertools::Itertools;
    use proptest::prelude::*;

    fn ladder(forward: usize, single: bool, progression: Progression) -> Ladder {
        Ladder {
            windows: (0..forward).map(|_| (0.25, 9.0)).collect(),
            step: (1.06, 2.4),
            spread: (1.5, 60.0),
            reverse: vec![(0.5, 12.0)],
            shifts: if single { Shifts::SingleSwap } else { Shifts::Any },
            progression,
        }
    }

    /// All base ratios tried one by one, by the gears' own choice.
    fn plain(case: &Case<'_>, stairs: &mut Staircase) {
        let all = (0..case.sets).map(|_| 0..case.ratios.len() as u16).multi_cartesian_product();
        for indices in all {
            let mut point = [0; MAX_SETS];
            point[..case.sets].copy_from_slice(&indices);
            for chain in all_choices(&case.ratios_at(&point), case.neighbours, case.ladder) {
                stairs.add(chain.log_spread, chain.deviation);
            }
        }
    }

    fn same(a: &Staircase, b: &Staircase) -> bool {
        let near = |x: f64, y: f64| (x - y).abs() < 1e-9;
        let pairs = || a.points().iter().zip(b.points());
        a.points().len() == b.points().len()
            && pairs().all(|(a, b)| near(a.0, b.0) && near(a.1, b.1))
    }

    fn any_function() -> impl Strategy<Value = RatioFunction> {
        // Few coefficients, as layouts have, and more of one sign than of the other.
        let signs = (any::<u16>(), any::<u16>(), any::<u16>()).prop_map(|(plus, minus, few)| {
            Signs { plus: plus & few, minus: minus & few & !plus & few.rotate_left(3) }
        });
        (signs.clone(), signs)
            .prop_map(|(numerator, denominator)| RatioFunction { numerator, denominator })
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(1500) })]

        /// Whatever the functions, the catalogue and the front that they meet: what is found is
        /// all that there is.
        #[test]
        fn the_front_is_that_of_trying_everything(
            sets in 1usize..=4,
            functions in proptest::collection::vec(any_function(), 10),
            repeats in proptest::collection::vec(0usize..14, 10),
            ratios in proptest::collection::vec(1.4f64..4.5, 3..24),
            few_points in 1usize..40,
            forward in 1usize..6,
            single in any::<bool>(),
            kind in 0u8..3,
            known in proptest::collection::vec((0.4f64..2.5, 0.0f64..0.4), 0..3),
            aims in prop_oneof![Just((true, true)), Just((true, false)), Just((false, true))],
        ) {
            let masks: Vec<ElementMask> = (0..5).combinations(2).map(ElementMask::of).collect();
            let progression = match kind {
                0 => Progression::Geometric,
                1 => Progression::Progressive { factor: 1.15 },
                _ => Progression::Given((0..forward).map(|k| 4.0 / 1.4f64.powi(k as i32)).collect()),
            };
            let ladder = ladder(forward, single, progression);
            let neighbours = ladder.neighbours(&masks);
            let mut ratios = ratios;
            ratios.truncate([24, 24, 12, 6][sets - 1]);
            ratios.sort_by(f64::total_cmp);
            let wanted = Wanted::new(&ladder);
            let keep = |mut f: RatioFunction| {
                let all = ((1u32 << (1 << sets)) - 1) as u16;
                for signs in [&mut f.numerator, &mut f.denominator] {
                    (signs.plus, signs.minus) = (signs.plus & all, signs.minus & all);
                }
                f
            };
            let case = Case {
                ratios: &ratios,
                sets,
                functions: functions.iter().map(|&f| Coefficients::new(&keep(f))).collect(),
                // Some states are dead, some have the same function.
                of_state: repeats.iter().map(|&place| (place < 10).then_some(place)).collect(),
                neighbours: &neighbours,
                ladder: &ladder,
                wanted: &wanted,
                gap: Gap::default(),
                few_points,
            };
            let mut stairs = Staircase::new(aims.0, aims.1);
            known.iter().for_each(|&(spread, deviation)| _ = stairs.add(spread, deviation));
            let mut expected = stairs.clone();
            plain(&case, &mut expected);
            let engaged = vec![0; masks.len()];
            let choose = |point: &Point, ends: (usize, usize)| {
                best_between(&case.ratios_at(point), &neighbours, &engaged, &ladder, ends)
            };
            let whole = vec![Run::whole(sets, ratios.len())];
            let chooser = Chooser { choose: &choose, is_tired: &|| false };
            let done = case.exhaust(whole, &mut stairs, u64::MAX, &chooser, &|| false);
            prop_assert!(done.open.is_empty());
            prop_assert!(same(&stairs, &expected), "{:?}\n{:?}", stairs.points(), expected.points());
        }
    }
}
