//! What a box of base ratios may hold that a staircase does not cover yet.
//!
//! For a first gear f and a last gear l let S be an upper bound of ln(i_f / i_l) over the box.
//! A chain of gears between them matters only if its deviation is below T, the least
//! deviation of the staircase's points at least as wide as S. So a shift a → b is out where
//!
//! |ln i_a − ln i_b − α (ln i_f − ln i_l) − c_k| ≥ T
//!
//! all over the box, c_k + α ln(spread) being the wanted step; the whole of it is bounded by
//! the mean value form (see [`super::boxes`]), in which the slopes of all four ratios are
//! taken together, and by the bounds of the ratios. When no chain of shifts, with a state of its
//! own for every gear, is left from f to l, the pair is out; when all pairs are out, the box is:
//! a proof.

use super::bounds::Bounds;
use super::boxes::{OverBox, Side};
use super::gears::bits;
use super::ladder::{Ladder, Window};
use super::possible::may_have_chain;
use super::staircase::Staircase;
use crate::train::MAX_SETS;

/// What rounding loses in the logarithms below, and in the mean value form, is far below this.
const SLACK: f64 = 1e-9;
/// Bounds of ratios are kept in single precision, rounded outward by more than this.
const COARSE: f64 = 1e-6;

/// The ladder in logarithms, and how the wanted steps follow from the spread.
pub struct Wanted {
    /// Windows of the forward gears, of the step and of the spread.
    pub windows: Vec<Window>,
    pub step: Window,
    pub spread: Window,
    /// Wanted step k = `constants[k]` + `share` · ln spread.
    pub constants: Vec<f64>,
    pub share: f64,
}

impl Wanted {
    pub fn new(ladder: &Ladder) -> Self {
        // As in `ladder::within`, what lies on an edge is inside.
        let logs = |window: Window| (window.0.ln() - SLACK, window.1.ln() + SLACK);
        let gears = ladder.forward();
        let constants = ladder.progression.wanted(0.0, gears);
        let share = match constants.first() {
            Some(first) => ladder.progression.wanted(1.0, gears)[0] - first,
            None => 0.0,
        };
        Self {
            windows: ladder.windows.iter().map(|&window| logs(window)).collect(),
            step: logs(ladder.step),
            spread: logs(ladder.spread),
            constants,
            share,
        }
    }
}

/// How much better than the staircase a chain must be to matter.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Gap {
    pub log_spread: f64,
    pub deviation: f64,
}

/// A first and a last gear between which some chain may matter.
#[derive(Clone, Debug, PartialEq)]
pub struct Pair {
    pub first: usize,
    pub last: usize,
    /// The deviation that a chain of this pair must be below, anywhere in the box.
    pub below: f64,
    /// Shifts that such a chain may use: gear shifted from, states from and to; by gear.
    pub shifts: Vec<Shift>,
}

/// A state over a box, in logarithms.
#[derive(Clone, Copy)]
struct LogState {
    /// Bounds of ln i where it is positive.
    low: f64,
    high: f64,
    /// Whether the mean value form may be used.
    is_smooth: bool,
    centre: f64,
    /// Middle and half width of ∂ ln i/∂ ln ρ.
    slope: [(f64, f64); MAX_SETS],
}

/// A shift: the gear shifted from, states from and to.
type Shift = (u8, u8, u8);

/// Everything that is known over one box.
pub struct Prospect<'a> {
    wanted: &'a Wanted,
    sets: usize,
    states: Vec<LogState>,
    /// Half widths of the box in ln ρ.
    radius: [f64; MAX_SETS],
    /// For each gear, the states that may be it.
    inside: Vec<u64>,
}

impl<'a> Prospect<'a> {
    /// `bounds` and `over` of each state; `None` for dead ones.
    pub fn new(
        wanted: &'a Wanted,
        bounds: impl Iterator<Item = Option<(Bounds, OverBox)>>,
        sides: &[Side],
    ) -> Self {
        let mut radius = [0.0; MAX_SETS];
        for (radius, (low, high)) in radius.iter_mut().zip(sides) {
            *radius = (high / low).ln() / 2.0;
        }
        let states: Vec<LogState> = bounds.map(|state| log_state(state, sides.len())).collect();
        let inside = |window: &Window| {
            let meets = |s: &LogState| s.low <= window.1 && s.high >= window.0;
            let all = states.iter().enumerate();
            all.fold(0u64, |mask, (place, state)| mask | u64::from(meets(state)) << place)
        };
        let inside = wanted.windows.iter().map(inside).collect();
        Self { wanted, sets: sides.len(), states, radius, inside }
    }

    /// The pairs that may beat the staircase by more than the gap somewhere in the box.
    /// `neighbours` as from [`Ladder::neighbours`].
    pub fn pairs(&self, neighbours: &[u64], stairs: &Staircase, gap: Gap) -> Vec<Pair> {
        let lasts = self.inside[self.inside.len() - 1];
        let mut pairs = Vec::new();
        for first in bits(self.inside[0]) {
            for last in bits(lasts) {
                if (first == last) != (self.inside.len() == 1) {
                    continue;
                }
                let (low, high) = self.step_bounds((0, first), (self.inside.len() - 1, last));
                let window = self.wanted.spread;
                if high < window.0 || low > window.1 {
                    continue;
                }
                let spread = (low.max(window.0), high.min(window.1));
                let below = stairs.least_beyond(spread.1 - gap.log_spread) - gap.deviation;
                if below <= 0.0 {
                    continue;
                }
                let ends = Ends { first, last, spread, below };
                if let Some(shifts) = self.shifts(neighbours, &ends) {
                    pairs.push(Pair { first, last, below, shifts });
                }
            }
        }
        pairs
    }

    /// The shifts that lie on some chain from first to last; `None` when there is no chain.
    fn shifts(&self, neighbours: &[u64], ends: &Ends) -> Option<Vec<Shift>> {
        let gears = self.inside.len();
        let mut reached = 1u64 << ends.first;
        let mut shifts = Vec::new();
        for gear in 0..gears - 1 {
            let goal = match gear + 2 == gears {
                true => 1 << ends.last,
                false => self.inside[gear + 1] & !(1 << ends.first | 1 << ends.last),
            };
            let mut next = 0u64;
            for from in bits(reached) {
                for to in bits(goal & neighbours[from]) {
                    if self.may_shift(gear, from, to, ends) {
                        shifts.push((gear as u8, from as u8, to as u8));
                        next |= 1 << to;
                    }
                }
            }
            reached = next;
            if reached == 0 {
                return None;
            }
        }
        // Those that lead nowhere go.
        let mut useful = 1u64 << ends.last;
        let mut gear = gears;
        let mut before = 0u64;
        let mut keep = vec![false; shifts.len()];
        for (place, &(at, from, to)) in shifts.iter().enumerate().rev() {
            if usize::from(at) + 1 != gear {
                if gear != gears {
                    useful = before;
                }
                (gear, before) = (usize::from(at) + 1, 0);
            }
            if useful >> to & 1 == 1 {
                keep[place] = true;
                before |= 1 << from;
            }
        }
        let mut keep = keep.into_iter();
        shifts.retain(|_| keep.next().unwrap_or(false));
        // Where every step goes down, no state comes twice.
        let is_falling = self.wanted.step.0 > 0.0;
        let next = |gear: usize, state: usize| next_of(&shifts, gear, state);
        let has_chain = !is_falling || may_have_chain(gears, ends.first, &next);
        has_chain.then_some(shifts)
    }

    /// Whether a shift may lie within the band of steps, and nearer to the wanted step than
    /// the pair's bound.
    #[inline]
    fn may_shift(&self, gear: usize, from: usize, to: usize, ends: &Ends) -> bool {
        let (low, high) = self.step_bounds((gear, from), (gear + 1, to));
        let step = self.wanted.step;
        if high < step.0 || low > step.1 {
            return false;
        }
        let (share, constant) = (self.wanted.share, self.wanted.constants[gear]);
        let (low, high) = (low.max(step.0), high.min(step.1));
        let above = low - share * ends.spread.1 - constant;
        let under = share * ends.spread.0 + constant - high;
        if above.max(under) >= ends.below {
            return false;
        }
        let [a, b] = [from, to].map(|state| &self.states[state]);
        let [f, l] = [ends.first, ends.last].map(|state| &self.states[state]);
        if !(a.is_smooth && b.is_smooth && f.is_smooth && l.is_smooth) {
            return true;
        }
        let is_first = f64::from(u8::from(from == ends.first));
        let is_last = f64::from(u8::from(to == ends.last));
        let mut reach = SLACK;
        for set in 0..self.sets {
            let (sa, sb, sf, sl) = (a.slope[set], b.slope[set], f.slope[set], l.slope[set]);
            let middle = sa.0 - sb.0 - share * (sf.0 - sl.0);
            // Where a state is at both ends, its slope counts once, with what is left of it.
            let width = sa.1 + sb.1 + share * (sf.1 + sl.1)
                - 2.0 * share * (is_first * sf.1 + is_last * sl.1);
            reach += self.radius[set] * (middle.abs() + width);
        }
        let centre = a.centre - b.centre - share * (f.centre - l.centre) - constant;
        centre.abs() - reach < ends.below
    }

    /// Bounds of ln i_a − ln i_b where both ratios lie in the windows of their gears. States are
    /// told with the gear that they are.
    #[inline]
    fn step_bounds(&self, (gear, a): (usize, usize), (next, b): (usize, usize)) -> (f64, f64) {
        let (a, b) = (&self.states[a], &self.states[b]);
        let within = |state: &LogState, gear: usize| {
            let window = self.wanted.windows[gear];
            (state.low.max(window.0), state.high.min(window.1))
        };
        let (own, other) = (within(a, gear), within(b, next));
        let loose = (own.0 - other.1, own.1 - other.0);
        if !(a.is_smooth && b.is_smooth) {
            return loose;
        }
        let mut reach = SLACK;
        for set in 0..self.sets {
            let (x, y) = (a.slope[set], b.slope[set]);
            reach += self.radius[set] * ((x.0 - y.0).abs() + x.1 + y.1);
        }
        let centre = a.centre - b.centre;
        (loose.0.max(centre - reach), loose.1.min(centre + reach))
    }

    /// How far each base ratio moves ln i of some state that a pair may use, at most; infinite
    /// where such a state has no slopes.
    pub fn swings(&self, pairs: &[Pair]) -> Option<[f64; MAX_SETS]> {
        let used = pairs.iter().flat_map(|pair| &pair.shifts);
        let used = used.fold(0u64, |mask, &(_, from, to)| mask | 1 << from | 1 << to);
        let mut swings = [0.0f64; MAX_SETS];
        for state in bits(used) {
            let state = &self.states[state];
            if !state.is_smooth {
                return None;
            }
            for (set, swing) in swings.iter_mut().enumerate() {
                let (middle, width) = state.slope[set];
                *swing = swing.max(self.radius[set] * (middle.abs() + width));
            }
        }
        Some(swings)
    }
}

/// The ends of a chain.
struct Ends {
    first: usize,
    last: usize,
    /// Bounds of ln spread.
    spread: Window,
    below: f64,
}

/// Where shifts of a gear and its state lead, as bits.
fn next_of(shifts: &[Shift], gear: usize, state: usize) -> u64 {
    let leads = |shift: &&Shift| (usize::from(shift.0), usize::from(shift.1)) == (gear, state);
    shifts.iter().filter(leads).fold(0, |all, shift| all | 1 << shift.2)
}

fn log_state(state: Option<(Bounds, OverBox)>, sets: usize) -> LogState {
    let mut log = LogState {
        low: f64::INFINITY,
        high: f64::NEG_INFINITY,
        is_smooth: false,
        centre: 0.0,
        slope: [(0.0, 0.0); MAX_SETS],
    };
    let Some((bounds, over)) = state else { return log };
    if bounds.forward.low <= bounds.forward.high {
        log.low = f64::from(bounds.forward.low).ln() - COARSE;
        log.high = f64::from(bounds.forward.high).ln() + COARSE;
    }
    if let Some(slopes) = over.slopes().filter(|_| over.centre() > 0.0) {
        log.is_smooth = true;
        log.centre = over.centre().ln();
        for (slope, &(low, high)) in log.slope.iter_mut().zip(slopes).take(sets) {
            *slope = ((low + high) / 2.0, (high - low) / 2.0);
        }
    }
    log
}
