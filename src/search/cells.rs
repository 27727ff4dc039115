//! The catalogue's base ratios cut into cells: a box is one run of neighbouring catalogue
//! values for each set, and a set of boxes is one bit a cell.

use std::ops::Range;

use super::bounds::{Bounds, bounds_of};
use super::{RatioFunction, Signs};

/// 64-bit words that hold one bit a cell.
pub const WORDS: usize = 8;
const MOST_CELLS: usize = 64 * WORDS;

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

    /// The box of the whole catalogue.
    pub fn whole(&self) -> Vec<(f64, f64)> {
        vec![(self.ratios[0], self.ratios[self.ratios.len() - 1]); self.sets]
    }

    /// The two ends of every run, in turn.
    fn ends(&self) -> Vec<f64> {
        let ends = |run: &Range<usize>| [self.ratios[run.start], self.ratios[run.end - 1]];
        self.runs.iter().flat_map(ends).collect()
    }
}

/// The cells whose bounds pass a test.
pub fn cell_bits(bounds: &[Bounds], test: impl Fn(Bounds) -> bool) -> CellBits {
    let mut bits = [0; WORDS];
    for (cell, &bounds) in bounds.iter().enumerate() {
        bits[cell / 64] |= u64::from(test(bounds)) << (cell % 64);
    }
    bits
}

/// Bounds of a function in every cell of the grid, from its values at all cell corners.
pub fn cell_bounds(grid: &CellGrid, function: &RatioFunction) -> Vec<Bounds> {
    let ends = grid.ends();
    let numerator = at_all(function.numerator, &ends, grid.sets);
    let denominator = at_all(function.denominator, &ends, grid.sets);
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

/// Bits that are set in at least `least` of the words: a counter in bit slices.
pub fn at_least<'a>(words: impl Iterator<Item = &'a CellBits>, least: usize) -> CellBits {
    let mut slices = [[0u64; WORDS]; 7];
    for bits in words {
        let mut carry = *bits;
        for slice in &mut slices {
            for word in 0..WORDS {
                let sum = slice[word] ^ carry[word];
                carry[word] &= slice[word];
                slice[word] = sum;
            }
        }
    }
    // Counts of at least `least`, compared from the highest slice down.
    let (mut above, mut equal) = ([0u64; WORDS], [u64::MAX; WORDS]);
    for (bit, slice) in slices.iter().enumerate().rev() {
        for word in 0..WORDS {
            if least >> bit & 1 == 1 {
                equal[word] &= slice[word];
            } else {
                above[word] |= equal[word] & slice[word];
                equal[word] &= !slice[word];
            }
        }
    }
    std::array::from_fn(|word| above[word] | equal[word])
}

/// The cells whose bit is set.
pub fn ones(bits: &CellBits) -> impl Iterator<Item = usize> {
    bits.iter().enumerate().flat_map(|(word, &bits)| {
        (0..64).filter(move |bit| bits >> bit & 1 == 1).map(move |bit| 64 * word + bit)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::search::bounds::{Coefficients, Span, powers};
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
            let all = cell_bounds(&grid, &function);
            let point = picks.map(|pick| ratios[pick]);
            let value = function.at(&powers(&point));
            let inside = |cell: &usize| {
                grid.ranges(*cell).iter().zip(&picks).all(|(range, pick)| range.contains(pick))
            };
            let cell = (0..grid.cells()).find(inside).unwrap();
            let bounds = all[cell];
            prop_assert!(holds(bounds, value), "{bounds:?} {value}");
            let sides: Vec<(f64, f64)> = grid.ranges(cell).iter().map(|r| (ratios[r.start], ratios[r.end - 1])).collect();
            prop_assert_eq!(Coefficients::new(&function).bounds(&sides), bounds);
        }
    }
}
