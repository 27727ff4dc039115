//! Points of the catalogue tried in rows: all base ratios but one are fixed, the last runs
//! over a range, eight values side by side.
//!
//! What is found here was found in floats with a logarithm of our own; it points at where to
//! look and is judged again by [`super::gears`]. The tests are a little wide, so that nothing
//! is missed.

use std::ops::Range;

use super::bounds::{Coefficients, powers};
use super::gears::bits;
use super::prospect::{Gap, Pair, Wanted};
use super::staircase::Staircase;
use crate::train::MAX_SETS;

/// Points side by side.
const LANES: usize = 8;
/// Far above what rounding and the logarithm lose.
const SLACK: f64 = 1e-9;

type Lane = [f64; LANES];

/// A point that a pair makes worth a closer look.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hit {
    /// Catalogue indices.
    pub point: [u16; MAX_SETS],
    pub first: usize,
    pub last: usize,
    /// Of the evenest chain, whatever elements it engages.
    pub log_spread: f64,
    pub deviation: f64,
}

/// A box of catalogue points and what may matter in it.
pub struct Rows<'a> {
    /// All base ratios of the catalogue, rising.
    pub ratios: &'a [f64],
    /// The function of each state; `None` for dead ones.
    pub states: &'a [Option<&'a Coefficients>],
    pub wanted: &'a Wanted,
    pub stairs: &'a Staircase,
    pub gap: Gap,
}

impl Rows<'_> {
    /// Every point in the box at which one of the `pairs` may have a chain of gears that the
    /// staircase does not cover, with the pair.
    pub fn hits(&self, ranges: &[Range<usize>], pairs: &[Pair], hits: &mut Vec<Hit>) {
        pulp::Arch::new().dispatch(Try { rows: self, ranges, pairs, hits });
    }

    #[inline(always)]
    fn walk(&self, ranges: &[Range<usize>], pairs: &[Pair], hits: &mut Vec<Hit>) {
        let used = pairs.iter().flat_map(|pair| &pair.shifts);
        let used = used.fold(0u64, |mask, &(_, from, to)| mask | 1 << from | 1 << to);
        let used = pairs.iter().fold(used, |mask, pair| mask | 1 << pair.first | 1 << pair.last);
        let along = (0..ranges.len()).max_by_key(|&set| ranges[set].len()).unwrap_or(0);
        let mut point = [0u16; MAX_SETS];
        for (index, range) in point.iter_mut().zip(ranges) {
            *index = range.start as u16;
        }
        let mut logs = [[0.0; LANES]; 64];
        loop {
            self.try_row(&point, along, ranges[along].clone(), used, pairs, &mut logs, hits);
            // The next row: the sets but `along` count like the digits of a number.
            let mut set = 0;
            loop {
                if set == along {
                    set += 1;
                }
                if set >= ranges.len() {
                    return;
                }
                point[set] += 1;
                if usize::from(point[set]) < ranges[set].end {
                    break;
                }
                point[set] = ranges[set].start as u16;
                set += 1;
            }
        }
    }

    #[inline(always)]
    #[allow(clippy::too_many_arguments)]
    fn try_row(
        &self,
        point: &[u16; MAX_SETS],
        along: usize,
        range: Range<usize>,
        used: u64,
        pairs: &[Pair],
        logs: &mut [Lane; 64],
        hits: &mut Vec<Hit>,
    ) {
        let mut fixed = point.map(|index| self.ratios[usize::from(index)]);
        fixed[along] = 1.0;
        let powers = powers(&fixed);
        let mut lines = [[0.0; 4]; 64];
        for state in bits(used) {
            let Some(function) = self.states[state] else { continue };
            lines[state] = line(function, &powers, along);
        }
        let mut from = range.start;
        while from < range.end {
            let count = LANES.min(range.end - from);
            let ratio: Lane = std::array::from_fn(|lane| self.ratios[from + lane.min(count - 1)]);
            for state in bits(used) {
                let [p0, p1, q0, q1] = lines[state];
                let mut quotient = [0.0; LANES];
                for lane in 0..LANES {
                    quotient[lane] = (p0 + p1 * ratio[lane]) / (q0 + q1 * ratio[lane]);
                }
                logs[state] = ln(quotient);
            }
            for pair in pairs {
                let (spread, worst) = self.evenest(pair, logs);
                for lane in 0..count {
                    if worst[lane] < f64::INFINITY {
                        let width = spread[lane] + SLACK - self.gap.log_spread;
                        let even = worst[lane] - SLACK + self.gap.deviation;
                        if !self.stairs.covers(width, even) {
                            let mut point = *point;
                            point[along] = (from + lane) as u16;
                            hits.push(Hit {
                                point,
                                first: pair.first,
                                last: pair.last,
                                log_spread: width + self.gap.log_spread,
                                deviation: even - self.gap.deviation,
                            });
                        }
                    }
                }
            }
            from += LANES;
        }
    }

    /// ln spread of a pair, and the least deviation of its chains; infinite where there is none
    /// below the pair's bound.
    #[inline(always)]
    fn evenest(&self, pair: &Pair, logs: &[Lane; 64]) -> (Lane, Lane) {
        let Wanted { windows, step, spread: spreads, constants, share } = self.wanted;
        let (first, last) = (logs[pair.first], logs[pair.last]);
        let below = pair.below + SLACK;
        let mut spread = [0.0; LANES];
        let mut start = [0.0; LANES];
        let window = windows[0];
        let goal = windows[windows.len() - 1];
        let mut any = false;
        for lane in 0..LANES {
            spread[lane] = first[lane] - last[lane];
            let fits = (first[lane] >= window.0 - SLACK)
                & (first[lane] <= window.1 + SLACK)
                & (last[lane] >= goal.0 - SLACK)
                & (last[lane] <= goal.1 + SLACK)
                & (spread[lane] >= spreads.0 - SLACK)
                & (spread[lane] <= spreads.1 + SLACK);
            start[lane] = if fits { 0.0 } else { f64::INFINITY };
            any |= fits;
        }
        if !any {
            return (spread, [f64::INFINITY; LANES]);
        }
        let mut buffers = [[[f64::INFINITY; LANES]; 64]; 2];
        let [old, new] = &mut buffers;
        let (mut old, mut new) = (old, new);
        old[pair.first] = start;
        let (mut gear, mut written) = (0u8, 0u64);
        for &(at, from, to) in &pair.shifts {
            if at != gear {
                std::mem::swap(&mut old, &mut new);
                (gear, written) = (at, 0);
            }
            let (from, to) = (usize::from(from), usize::from(to));
            let constant = constants[usize::from(at)];
            let window = windows[usize::from(at) + 1];
            let (low, high) = (step.0 - SLACK, step.1 + SLACK);
            let (a, b, before) = (&logs[from], &logs[to], old[from]);
            let mut now = if written >> to & 1 == 1 { new[to] } else { [f64::INFINITY; LANES] };
            written |= 1 << to;
            for lane in 0..LANES {
                let jump = a[lane] - b[lane];
                let off = (jump - share * spread[lane] - constant).abs();
                let fits = (jump >= low)
                    & (jump <= high)
                    & (b[lane] >= window.0 - SLACK)
                    & (b[lane] <= window.1 + SLACK)
                    & (off < below);
                let worst = if off > before[lane] { off } else { before[lane] };
                let worst = if fits { worst } else { f64::INFINITY };
                now[lane] = if worst < now[lane] { worst } else { now[lane] };
            }
            new[to] = now;
        }
        // A ladder of one gear has no shifts.
        (spread, if pair.shifts.is_empty() { start } else { new[pair.last] })
    }
}

struct Try<'a, 'b> {
    rows: &'a Rows<'b>,
    ranges: &'a [Range<usize>],
    pairs: &'a [Pair],
    hits: &'a mut Vec<Hit>,
}

impl pulp::NullaryFnOnce for Try<'_, '_> {
    type Output = ();

    #[inline(always)]
    fn call(self) {
        self.rows.walk(self.ranges, self.pairs, self.hits);
    }
}

/// Numerator and denominator as functions of one base ratio, the others being put in: constant
/// and slope of each. `powers` has 1 for the base ratio that is left.
#[inline(always)]
fn line(function: &Coefficients, powers: &[f64; 1 << MAX_SETS], along: usize) -> [f64; 4] {
    let mut line = [0.0; 4];
    for (subset, power) in powers.iter().enumerate() {
        let slope = subset >> along & 1;
        line[slope] += function.numerator[subset] * power;
        line[2 + slope] += function.denominator[subset] * power;
    }
    line
}

/// Natural logarithms to about 1e-14; NaN for what is not positive.
///
/// x = 2ᵉ m with m within √½ … √2, ln m = 2 artanh s with s = (m − 1)/(m + 1), |s| < 0.172: a
/// series whose terms fall by s² < 0.03. M. Abramowitz, I. A. Stegun, Handbook of Mathematical
/// Functions, 1964, 4.1.27. Without branches, so that lanes stay side by side.
#[inline(always)]
fn ln(x: Lane) -> Lane {
    /// Bits of √½.
    const ROOT: u64 = 0x3FE6_A09E_667F_3BCD;
    let mut result = [0.0; LANES];
    for lane in 0..LANES {
        let bits = x[lane].to_bits();
        let exponent = (bits.wrapping_sub(ROOT) as i64) >> 52;
        let mantissa = f64::from_bits(bits.wrapping_sub((exponent as u64) << 52));
        let s = (mantissa - 1.0) / (mantissa + 1.0);
        let q = s * s;
        let mut series = 1.0 / 19.0;
        series = series * q + 1.0 / 17.0;
        series = series * q + 1.0 / 15.0;
        series = series * q + 1.0 / 13.0;
        series = series * q + 1.0 / 11.0;
        series = series * q + 1.0 / 9.0;
        series = series * q + 1.0 / 7.0;
        series = series * q + 1.0 / 5.0;
        series = series * q + 1.0 / 3.0;
        series = series * q + 1.0;
        let log = exponent as f64 * std::f64::consts::LN_2 + 2.0 * s * series;
        result[lane] = if x[lane] > 0.0 { log } else { f64::NAN };
    }
    result
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn logarithms_are_those_of_the_library(x in 1e-6f64..1e6) {
            let logs = ln([x; LANES]);
            prop_assert!((logs[0] - x.ln()).abs() < 1e-13, "{} {}", logs[0], x.ln());
            prop_assert!(ln([-x; LANES])[3].is_nan());
        }
    }
}
