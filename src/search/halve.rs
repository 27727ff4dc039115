//! Halving boxes of base ratios until a ladder is found, all are excluded, or the effort is
//! spent.
//!
//! The box whose centre is least short of a ladder comes first, and now and then a pattern
//! search walks down from it. A box is halved along the set that moves the ratios most
//! within it (the smear rule: R. B. Kearfott, Rigorous Global Search, 1996), or along its
//! widest side where a ratio may have a pole or change its sign.

use std::cmp::Ordering;
use std::collections::BinaryHeap;
use std::ops::Range;

use itertools::Itertools;

use super::bounds::Bounds;
use super::boxes::{BoxBounds, CloseSteps, OverBox, Side};
use super::possible::{LooseSteps, may_have_ladder};
use super::shortfall::LogRatios;
use super::solve::{Found, Point, Problem, middle};

/// Boxes tried between two looks at the watch.
const BETWEEN_LOOKS: usize = 256;
/// When so many boxes were tried, and twice as many, and so on, a walk goes down from the
/// best one: most classes without a ladder are proved so before.
const FIRST_DESCENT: usize = 8;
/// A class of four sets whose nearest box is so far from a ladder (ln) after this part of the
/// effort is left undecided then: more hardly ever find one, and four dimensions have many.
const FAR: f64 = 0.1;
const FAR_AFTER: usize = 16;

impl Problem<'_> {
    /// Halves cells until a point with a ladder is found (`true`), none is left (`true`),
    /// or the effort is spent (`false`).
    pub(super) fn halve(&self, cells: &[usize], found: &mut Found) -> bool {
        let mut functions = self.different();
        let mut judged = |ranges| self.judge_box(&mut functions, ranges);
        let ranges = cells.iter().map(|&cell| self.bank.grid.ranges(cell));
        // A cell of one point was tried before.
        let ranges = ranges.filter(|ranges| ranges.iter().any(|range| range.len() > 1));
        let mut boxes: BinaryHeap<OpenBox> = ranges.filter_map(&mut judged).collect();
        let (mut left, mut tried) = (self.most_boxes, 0usize);
        while let Some(OpenBox { shortfall, ranges, set }) = boxes.pop() {
            if left == 0 || (left.is_multiple_of(BETWEEN_LOOKS) && self.watch.should_stop()) {
                return false;
            }
            left -= 1;
            tried += 1;
            if tried == self.most_boxes / FAR_AFTER && shortfall > FAR && self.may_give_up {
                return false;
            }
            if tried.is_power_of_two() && tried >= FIRST_DESCENT {
                self.descend(middle(&ranges), found);
            }
            let middle_of = ranges[set].start + ranges[set].len() / 2;
            for half in [ranges[set].start..middle_of, middle_of..ranges[set].end] {
                let mut part = ranges.clone();
                part[set] = half;
                let Some(open) = judged(part) else { continue };
                if open.ranges.iter().all(|range| range.len() == 1) {
                    self.try_point(middle(&open.ranges), found);
                    continue;
                }
                if open.shortfall == 0.0 {
                    self.descend(middle(&open.ranges), found);
                }
                boxes.push(open);
            }
            if !found.solutions.is_empty() {
                return true;
            }
        }
        true
    }

    /// How far a point is short of a ladder, if less than `bound`.
    fn shortfall(&self, point: &Point, bound: f64) -> f64 {
        let ratios = LogRatios::of(self.ratios_at(point).into_iter());
        self.log_ladder.shortfall(&ratios, self.neighbours, bound)
    }

    /// Pattern search for a point that is not short of a ladder.
    fn descend(&self, start: Point, found: &mut Found) {
        let (mut here, mut best) = (start, self.shortfall(&start, f64::INFINITY));
        let most = self.bank.grid.ratios.len() as i32 - 1;
        let mut step = (most / 16).max(1);
        while step > 0 && best > 0.0 {
            let mut moved = false;
            for there in self.around(here, step) {
                let shortfall = self.shortfall(&there, best);
                if shortfall < best {
                    (here, best, moved) = (there, shortfall, true);
                    break;
                }
            }
            if !moved {
                step /= 2;
            }
        }
        if best == 0.0 {
            self.try_point(here, found);
        }
    }

    /// The points `step` away from a point along one set, and those along two.
    ///
    /// The shortfall has creases, where it falls along no single set any more.
    fn around(&self, point: Point, step: i32) -> impl Iterator<Item = Point> {
        let most = self.bank.grid.ratios.len() as i32 - 1;
        let moved = move |point: Point, (set, sign): (usize, i32)| {
            let mut there = point;
            there[set] = (i32::from(point[set]) + sign * step).clamp(0, most) as u16;
            there
        };
        let ways = (0..self.bank.grid.sets()).cartesian_product([-1, 1]);
        let pairs = ways.clone().array_combinations().filter(|[a, b]| a.0 != b.0);
        let one = ways.map(move |way| moved(point, way));
        let two = pairs.map(move |[a, b]| moved(moved(point, a), b));
        one.chain(two).filter(move |there| *there != point)
    }

    /// The different functions of the class, and for each state its place among them.
    fn different(&self) -> Different {
        let mut ids: Vec<u32> = self.functions.iter().flatten().copied().collect();
        ids.sort_unstable();
        ids.dedup();
        let place = |id: u32| ids.binary_search(&id).ok();
        let of_state = self.functions.iter().map(|id| id.and_then(place)).collect();
        let coefficients =
            ids.iter().map(|&id| self.bank.entries[id as usize].coefficients.clone());
        Different {
            bounds: BoxBounds::new(self.bank.grid.sets(), coefficients.collect()),
            of_state,
        }
    }

    /// The box, if it may hold a ladder.
    fn judge_box(&self, functions: &mut Different, ranges: Vec<Range<usize>>) -> Option<OpenBox> {
        let ratios = &self.bank.grid.ratios;
        let sides: Vec<Side> =
            ranges.iter().map(|range| (ratios[range.start], ratios[range.end - 1])).collect();
        let all = functions.bounds.bounds(&sides);
        let bounds_of = |place: &Option<usize>| place.map_or(Bounds::NONE, |place| all[place]);
        let bounds: Vec<Bounds> = functions.of_state.iter().map(bounds_of).collect();
        let (neighbours, ladder) = (self.neighbours, self.ladder);
        if !may_have_ladder(&bounds, &LooseSteps(&bounds), neighbours, ladder) {
            return None;
        }
        let over = functions.bounds.slopes(&sides);
        let states: Vec<Option<OverBox>> =
            functions.of_state.iter().map(|place| place.map(|place| over[place])).collect();
        let steps = CloseSteps::new(&states, &sides);
        if !may_have_ladder(&bounds, &steps, neighbours, ladder) {
            return None;
        }
        // The set that moves the ratios most; the widest where none is known to move any.
        let swings = steps.swings();
        let vague = states.iter().flatten().any(OverBox::is_vague);
        let merit = |set: usize| match vague {
            true => (ranges[set].len() as f64, swings[set]),
            false => (swings[set], ranges[set].len() as f64),
        };
        let open = (0..ranges.len()).filter(|&set| ranges[set].len() > 1);
        let most =
            |a: &usize, b: &usize| merit(*a).partial_cmp(&merit(*b)).unwrap_or(Ordering::Equal);
        let set = open.max_by(most).unwrap_or(0);
        let centre = states.iter().map(|state| state.as_ref().map_or(f64::NAN, OverBox::centre));
        let shortfall =
            self.log_ladder.shortfall(&LogRatios::of(centre), neighbours, f64::INFINITY);
        Some(OpenBox { shortfall, ranges, set })
    }
}

/// A box that may hold a ladder; of two, that is greater whose middle is nearer to one.
struct OpenBox {
    shortfall: f64,
    ranges: Vec<Range<usize>>,
    /// The set along which it is best halved.
    set: usize,
}

impl Ord for OpenBox {
    fn cmp(&self, other: &Self) -> Ordering {
        let nearer = other.shortfall.total_cmp(&self.shortfall);
        // What else tells boxes apart, so that their order is the same in every run.
        let key = |open: &Self| open.ranges.iter().map(|r| (r.start, r.end)).collect::<Vec<_>>();
        nearer.then_with(|| key(other).cmp(&key(self)))
    }
}

impl PartialOrd for OpenBox {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for OpenBox {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other).is_eq()
    }
}

impl Eq for OpenBox {}

/// The different functions of a class.
struct Different {
    bounds: BoxBounds,
    /// For each state, its place among them.
    of_state: Vec<Option<usize>>,
}
