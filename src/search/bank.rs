//! The bank: every ratio function in play, with its bounds over a grid of cells.
//!
//! A cell is a box of base ratios: a run of neighbouring catalogue values for each set.
//! Numerator and denominator are linear in each base ratio, so they take their extremes
//! at the corners of a box; where the denominator keeps one sign at the corners, the
//! ratio is monotone along each base ratio and takes its extremes there too.

use std::ops::Range;

use rayon::prelude::*;

use super::gears::{Bounds, Span};
use super::{RatioFunction, Signs};
use crate::train::MAX_SETS;

/// 64-bit words that hold one bit a cell.
pub const WORDS: usize = 8;
const MOST_CELLS: usize = 64 * WORDS;

/// Outward rounding of bounds, far above what doubles lose on so few terms.
const SLACK: f64 = 1e-6;

/// One bit a cell.
pub type CellBits = [u64; WORDS];

/// The catalogue's base ratios, cut into runs; a cell is one run a set.
#[derive(Clone, Debug)]
pub struct CellGrid {
    sets: usize,
    /// All base ratios of the catalogue, rising.
    pub ratios: Vec<f64>,
    /// Index ranges into `ratios`, the same for every set.
    runs: Vec<Range<usize>>,
}

impl CellGrid {
    /// Cuts rising `ratios` into runs of about the same width on a log scale.
    ///
    /// # Panics
    /// If there are no ratios.
    pub fn new(ratios: &[f64], sets: usize) -> Self {
        let most = (1..).take_while(|n: &usize| n.pow(sets as u32) <= MOST_CELLS).last();
        let parts = most.unwrap_or(1);
        let (low, high) = (ratios[0].ln(), ratios[ratios.len() - 1].ln());
        let part = |ratio: f64| {
            let place = (ratio.ln() - low) / (high - low).max(f64::MIN_POSITIVE);
            ((place * parts as f64) as usize).min(parts - 1)
        };
        let mut runs: Vec<Range<usize>> = Vec::new();
        for index in 0..ratios.len() {
            match runs.last_mut() {
                Some(run) if part(ratios[run.start]) == part(ratios[index]) => run.end = index + 1,
                _ => runs.push(index..index + 1),
            }
        }
        Self { sets, ratios: ratios.to_vec(), runs }
    }

    pub fn sets(&self) -> usize {
        self.sets
    }

    pub fn cells(&self) -> usize {
        self.runs.len().pow(self.sets as u32)
    }

    /// The catalogue indices that a cell spans, one range a set.
    pub fn ranges(&self, cell: usize) -> Vec<Range<usize>> {
        let mut rest = cell;
        let mut digit = || {
            let run = rest % self.runs.len();
            rest /= self.runs.len();
            self.runs[run].clone()
        };
        (0..self.sets).map(|_| digit()).collect()
    }

    /// The two ends of every run, in turn.
    fn ends(&self) -> Vec<f64> {
        let ends = |run: &Range<usize>| [self.ratios[run.start], self.ratios[run.end - 1]];
        self.runs.iter().flat_map(ends).collect()
    }
}

/// A ratio function in floats: coefficients by subset of sets.
#[derive(Clone, Debug)]
pub struct Coefficients {
    pub(super) numerator: [f64; 1 << MAX_SETS],
    pub(super) denominator: [f64; 1 << MAX_SETS],
}

impl Coefficients {
    pub fn new(function: &RatioFunction) -> Self {
        let floats = |signs: Signs| signs.coefficients().map(f64::from);
        Self { numerator: floats(function.numerator), denominator: floats(function.denominator) }
    }

    /// The ratio, given the products of base ratios over all subsets of sets.
    #[inline]
    pub fn at(&self, powers: &[f64]) -> f64 {
        let dot = |c: &[f64]| powers.iter().zip(c).map(|(p, c)| p * c).sum::<f64>();
        dot(&self.numerator) / dot(&self.denominator)
    }

    /// Bounds over the box of base ratios `[low, high]` a set; exact but for [`SLACK`].
    pub fn bounds(&self, sides: &[(f64, f64)]) -> Bounds {
        let corners = 1 << sides.len();
        let numerator = at_corners(&self.numerator, sides);
        let denominator = at_corners(&self.denominator, sides);
        bounds_of(numerator[..corners].iter().zip(&denominator[..corners]))
    }
}

/// Products of the base ratios over all subsets of sets.
#[inline]
pub fn powers(ratios: &[f64]) -> [f64; 1 << MAX_SETS] {
    let mut powers = [1.0; 1 << MAX_SETS];
    for (set, ratio) in ratios.iter().enumerate() {
        for subset in 0..1 << set {
            powers[subset | 1 << set] = powers[subset] * ratio;
        }
    }
    powers
}

pub(super) fn at_corners(
    coefficients: &[f64; 1 << MAX_SETS],
    sides: &[(f64, f64)],
) -> [f64; 1 << MAX_SETS] {
    let mut values = *coefficients;
    for (set, &(low, high)) in sides.iter().enumerate() {
        let bit = 1 << set;
        for index in (0..1 << sides.len()).filter(|index| index & bit == 0) {
            let (constant, slope) = (values[index], values[index | bit]);
            values[index] = constant + low * slope;
            values[index | bit] = constant + high * slope;
        }
    }
    values
}

/// Bounds from the values of numerator and denominator at the corners of a box.
///
/// Where the denominator keeps its sign, the ratio i takes its extremes at the corners;
/// where only the numerator does, 1/i takes its extremes there, and i is bounded away from
/// zero on both sides of its pole.
fn bounds_of<'a>(corners: impl Iterator<Item = (&'a f64, &'a f64)> + Clone) -> Bounds {
    let (mut top, mut bottom) = (Sides::default(), Sides::default());
    for (numerator, denominator) in corners.clone() {
        top.see(*numerator);
        bottom.see(*denominator);
    }
    match (top.both(), bottom.both()) {
        (_, false) => {
            let (low, high) =
                extremes(corners.map(|(numerator, denominator)| numerator / denominator));
            Bounds { forward: span(low, high), reverse: span(-high, -low) }
        }
        (false, true) => {
            let (low, high) =
                extremes(corners.map(|(numerator, denominator)| denominator / numerator));
            let beyond = |inverse: f64| span(1.0 / inverse, f64::INFINITY);
            Bounds { forward: beyond(high.max(0.0)), reverse: beyond((-low).max(0.0)) }
        }
        (true, true) => Bounds::ANY,
    }
}

/// Which signs were seen; a value too near zero to tell counts as both.
#[derive(Clone, Copy, Default)]
struct Sides {
    positive: bool,
    negative: bool,
}

impl Sides {
    fn see(&mut self, value: f64) {
        self.positive |= value > -SLACK;
        self.negative |= value < SLACK;
    }

    fn both(self) -> bool {
        self.positive && self.negative
    }
}

fn extremes(values: impl Iterator<Item = f64>) -> (f64, f64) {
    values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
        (low.min(value), high.max(value))
    })
}

/// The positive part of `[low, high]`, rounded outward.
fn span(low: f64, high: f64) -> Span {
    if high <= 0.0 {
        return Span::EMPTY;
    }
    let low = (low * (1.0 - SLACK) - SLACK).max(0.0);
    Span { low: low as f32, high: (high * (1.0 + SLACK) + SLACK) as f32 }
}

/// One function of the bank.
pub struct Entry {
    pub coefficients: Coefficients,
    /// Bounds in every cell.
    pub bounds: Vec<Bounds>,
    /// Cells where the ratio may be a forward gear of the ladder.
    pub forward: CellBits,
    /// Cells where the ratio may be a reverse gear of the ladder.
    pub reverse: CellBits,
}

/// All ratio functions in play over one grid.
pub struct Bank {
    pub grid: CellGrid,
    pub entries: Vec<Entry>,
}

impl Bank {
    /// Bounds of every function; `forward` and `reverse` judge what may be a gear.
    pub fn new(
        grid: CellGrid,
        functions: &[RatioFunction],
        forward: impl Fn(Bounds) -> bool + Sync,
        reverse: impl Fn(Bounds) -> bool + Sync,
    ) -> Self {
        let ends = grid.ends();
        let entry = |function: &RatioFunction| {
            let bounds = cell_bounds(&grid, &ends, function);
            Entry {
                coefficients: Coefficients::new(function),
                forward: cell_bits(&bounds, &forward),
                reverse: cell_bits(&bounds, &reverse),
                bounds,
            }
        };
        let entries = functions.par_iter().map(entry).collect();
        Self { grid, entries }
    }
}

fn cell_bits(bounds: &[Bounds], test: impl Fn(Bounds) -> bool) -> CellBits {
    let mut bits = [0; WORDS];
    for (cell, &bounds) in bounds.iter().enumerate() {
        bits[cell / 64] |= u64::from(test(bounds)) << (cell % 64);
    }
    bits
}

/// Bounds of a function in every cell of the grid, from its values at all cell corners.
fn cell_bounds(grid: &CellGrid, ends: &[f64], function: &RatioFunction) -> Vec<Bounds> {
    let numerator = at_all(function.numerator, ends, grid.sets);
    let denominator = at_all(function.denominator, ends, grid.sets);
    let side = ends.len();
    let corner_offsets: Vec<usize> = (0..1usize << grid.sets)
        .map(|corner| (0..grid.sets).map(|s| (corner >> s & 1) * side.pow(s as u32)).sum())
        .collect();
    let first_corner = |cell: usize| {
        let (mut rest, mut place) = (cell, 0);
        for set in 0..grid.sets {
            place += 2 * (rest % grid.runs.len()) * side.pow(set as u32);
            rest /= grid.runs.len();
        }
        place
    };
    (0..grid.cells())
        .map(|cell| {
            let place = first_corner(cell);
            let corners = corner_offsets.iter().map(|offset| place + offset);
            bounds_of(corners.map(|corner| (&numerator[corner], &denominator[corner])))
        })
        .collect()
}

/// Values of a polynomial at all points of the grid `ends`ⁿ, the first set fastest: one
/// base ratio after the other is put in, each in one pass.
fn at_all(signs: Signs, ends: &[f64], sets: usize) -> Vec<f64> {
    let mut values: Vec<f64> =
        signs.coefficients()[..1 << sets].iter().map(|&c| f64::from(c)).collect();
    let mut block = 1;
    for _ in 0..sets {
        let mut next = Vec::with_capacity(values.len() / 2 * ends.len());
        for pair in values.chunks(2 * block) {
            let (constant, slope) = pair.split_at(block);
            for end in ends {
                next.extend(constant.iter().zip(slope).map(|(c, s)| c + end * s));
            }
        }
        values = next;
        block *= ends.len();
    }
    values
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn any_function() -> impl Strategy<Value = RatioFunction> {
        let signs = || {
            (any::<u8>(), any::<u8>()).prop_map(|(plus, minus)| Signs {
                plus: u16::from(plus & !minus),
                minus: u16::from(minus & !plus),
            })
        };
        (signs(), signs())
            .prop_map(|(numerator, denominator)| RatioFunction { numerator, denominator })
    }

    fn holds(bounds: Bounds, value: f64) -> bool {
        let within =
            |span: Span, value: f64| f64::from(span.low) <= value && value <= f64::from(span.high);
        !value.is_finite()
            || value == 0.0
            || (value > 0.0 && within(bounds.forward, value))
            || (value < 0.0 && within(bounds.reverse, -value))
    }

    proptest! {
        /// Wherever the function is evaluated inside a cell, its value is within bounds.
        #[test]
        fn bounds_hold_inside(function in any_function(), picks in proptest::array::uniform3(0usize..40)) {
            let ratios: Vec<f64> = (0..40).map(|i| 1.4 * 1.03f64.powi(i)).collect();
            let grid = CellGrid::new(&ratios, 3);
            let bank = Bank::new(grid, &[function], |_| true, |_| true);
            let point = picks.map(|pick| ratios[pick]);
            let value = function.at(&powers(&point));
            let inside = |cell: &usize| {
                bank.grid.ranges(*cell).iter().zip(&picks).all(|(range, pick)| range.contains(pick))
            };
            let cell = (0..bank.grid.cells()).find(inside).unwrap();
            let bounds = bank.entries[0].bounds[cell];
            prop_assert!(holds(bounds, value), "{bounds:?} {value}");
            let sides: Vec<(f64, f64)> = bank.grid.ranges(cell).iter().map(|r| (ratios[r.start], ratios[r.end - 1])).collect();
            prop_assert_eq!(bank.entries[0].coefficients.bounds(&sides), bounds);
        }
    }
}
