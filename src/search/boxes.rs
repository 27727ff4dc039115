//! Bounds of the ratios of a class over a box of base ratios, and of their slopes.
//!
//! The bounds of two ratios, divided, are a loose bound of their step: both ratios move
//! together when a base ratio moves. The mean value form sees that: with u_j = ln ρ_j,
//!
//! ln i_a − ln i_b ∈ (the value at the centre) ± Σ_j r_j · max |∂(ln i_a − ln i_b)/∂u_j|,
//!
//! r_j the half width of the box in u_j (R. E. Moore, Interval Analysis, 1966). The
//! derivative of ln P for P = P₀ + ρ_j P₁ is ∂ ln P/∂u_j = 1 − P₀/P, and P₀/P, a quotient
//! of functions linear in each base ratio, takes its extremes at the corners of the box as
//! long as P keeps its sign there.
//!
//! Four functions at a time lie side by side in vectors, which are as wide as the machine
//! that runs the search allows.

use super::bounds::{Bounds, Coefficients, SLACK, powers};
use super::possible::{StepBounds, StepWindow};
use crate::train::MAX_SETS;

/// Functions side by side.
const LANES: usize = 4;
/// Points that a base ratio is put at: its low end, its high end, and zero.
const PLACES: usize = 3;
const MOST_POINTS: usize = PLACES.pow(MAX_SETS as u32);

type Lane = [f64; LANES];

/// A side of a box: least and largest base ratio of a set.
pub type Side = (f64, f64);

/// Up to four ratio functions.
struct Bundle {
    numerator: [Lane; 1 << MAX_SETS],
    denominator: [Lane; 1 << MAX_SETS],
}

/// The different functions of a class, ready to be bounded.
pub struct BoxBounds {
    sets: usize,
    functions: Vec<Coefficients>,
    bundles: Vec<Bundle>,
    stores: Stores,
}

/// What is known of one function over a box besides its bounds.
#[derive(Clone, Copy, Debug)]
pub struct OverBox {
    /// The ratio at the centre, in ln ρ, of the box.
    centre: f64,
    /// Bounds of ∂ ln |i| / ∂ ln ρ_j; `None` where the ratio may change its sign or have a
    /// pole.
    slopes: Option<[(f64, f64); MAX_SETS]>,
}

/// The logarithm at the centre and slopes of ln |i| over a box where i keeps its sign.
#[derive(Clone, Copy, Debug)]
struct Slopes {
    centre: f64,
    slope: [(f64, f64); MAX_SETS],
}

impl OverBox {
    /// Whether the ratio may change its sign or have a pole, so that no slope is known.
    pub fn is_vague(&self) -> bool {
        self.slopes.is_none()
    }

    /// Bounds of ∂ ln |i| / ∂ ln ρ_j, where the ratio keeps its sign.
    pub fn slopes(&self) -> Option<&[(f64, f64); MAX_SETS]> {
        self.slopes.as_ref()
    }

    /// The ratio at the centre, in ln ρ, of the box.
    pub fn centre(&self) -> f64 {
        self.centre
    }
}

impl BoxBounds {
    pub fn new(sets: usize, functions: Vec<Coefficients>) -> Self {
        let bundle = |four: &[Coefficients]| {
            // Lanes to spare hold the ratio 1.
            let mut numerator = [[0.0; LANES]; 1 << MAX_SETS];
            numerator[0] = [1.0; LANES];
            let mut bundle = Bundle { numerator, denominator: numerator };
            for (lane, function) in four.iter().enumerate() {
                for subset in 0..1 << MAX_SETS {
                    bundle.numerator[subset][lane] = function.numerator[subset];
                    bundle.denominator[subset][lane] = function.denominator[subset];
                }
            }
            bundle
        };
        let bundles = functions.chunks(LANES).map(bundle).collect();
        let stores = std::array::from_fn(|_| vec![[0.0; LANES]; MOST_POINTS]);
        Self { sets, functions, bundles, stores }
    }

    /// Bounds of every function over the box with these `sides`, in the order given to
    /// [`Self::new`].
    pub fn bounds(&self, sides: &[Side]) -> Vec<Bounds> {
        let mut all = Vec::with_capacity(self.bundles.len() * LANES);
        let work = Work::Bounds(&mut all);
        pulp::Arch::new().dispatch(Over { bounds: self, sides, work });
        all.truncate(self.functions.len());
        all
    }

    /// Centre and slopes of every function over the same box; more work than its bounds.
    pub fn slopes(&mut self, sides: &[Side]) -> Vec<OverBox> {
        let mut all = Vec::with_capacity(self.bundles.len() * LANES);
        // Taken out for the while: they are all that changes.
        let mut stores = std::mem::take(&mut self.stores);
        let work = Work::Slopes(&mut all, &mut stores);
        pulp::Arch::new().dispatch(Over { bounds: self, sides, work });
        self.stores = stores;
        all.truncate(self.functions.len());
        all
    }
}

/// Room for the values of numerators and denominators, two of each.
type Stores = [Vec<Lane>; 4];

enum Work<'a> {
    Bounds(&'a mut Vec<Bounds>),
    Slopes(&'a mut Vec<OverBox>, &'a mut Stores),
}

/// The work on a box, for whichever instruction set there is.
struct Over<'a> {
    bounds: &'a BoxBounds,
    sides: &'a [Side],
    work: Work<'a>,
}

impl pulp::NullaryFnOnce for Over<'_> {
    type Output = ();

    #[inline(always)]
    fn call(self) {
        match self.bounds.sets {
            1 => self.over_sets::<1>(),
            2 => self.over_sets::<2>(),
            3 => self.over_sets::<3>(),
            _ => self.over_sets::<MAX_SETS>(),
        }
    }
}

impl Over<'_> {
    #[inline(always)]
    fn over_sets<const SETS: usize>(self) {
        let Self { bounds, sides, work } = self;
        let (all, stores) = match work {
            Work::Bounds(all) => {
                let bundles = bounds.bundles.iter();
                return all.extend(bundles.flat_map(|bundle| bundle.bounds::<SETS>(sides)));
            }
            Work::Slopes(all, stores) => (all, stores),
        };
        let mut centre = [0.0; MAX_SETS];
        for (centre, (low, high)) in centre.iter_mut().zip(sides) {
            *centre = (low * high).sqrt();
        }
        let powers = powers(&centre[..SETS]);
        for (index, bundle) in bounds.bundles.iter().enumerate() {
            let slopes = bundle.slopes::<SETS>(sides, stores);
            for (lane, slopes) in slopes.into_iter().enumerate() {
                let function = bounds.functions.get(LANES * index + lane);
                let centre = function.map_or(1.0, |f| f.at(&powers[..1 << SETS]));
                all.push(OverBox { centre, slopes });
            }
        }
    }
}

impl Bundle {
    #[inline(always)]
    fn bounds<const SETS: usize>(&self, sides: &[Side]) -> [Bounds; LANES] {
        let top = at_corners::<SETS>(&self.numerator, sides);
        let bottom = at_corners::<SETS>(&self.denominator, sides);
        let (mut ratios, mut inverses) = (Extremes::NONE, Extremes::NONE);
        let (mut tops, mut bottoms) = (Extremes::NONE, Extremes::NONE);
        for (top, bottom) in top.iter().zip(&bottom).take(1 << SETS) {
            ratios = ratios.with(std::array::from_fn(|lane| top[lane] / bottom[lane]));
            inverses = inverses.with(std::array::from_fn(|lane| bottom[lane] / top[lane]));
            tops = tops.with(*top);
            bottoms = bottoms.with(*bottom);
        }
        std::array::from_fn(|lane| match (tops.keeps_sign(lane), bottoms.keeps_sign(lane)) {
            (_, true) => Bounds::between(ratios.low[lane], ratios.high[lane]),
            (true, false) => Bounds::beyond(inverses.low[lane], inverses.high[lane]),
            (false, false) => Bounds::ANY,
        })
    }

    /// Bounds of the slopes, where numerator and denominator keep their signs.
    #[inline(always)]
    fn slopes<const SETS: usize>(
        &self,
        sides: &[Side],
        stores: &mut Stores,
    ) -> [Option<[(f64, f64); MAX_SETS]>; LANES] {
        let [top, more_top, bottom, more_bottom] = stores;
        let top = spread::<SETS>(&self.numerator, sides, [top, more_top]);
        let bottom = spread::<SETS>(&self.denominator, sides, [bottom, more_bottom]);
        let corners = &CORNERS[..1 << SETS];
        let mut over_top = [[0.0; LANES]; 1 << MAX_SETS];
        let mut over_bottom = over_top;
        let (mut tops, mut bottoms) = (Extremes::NONE, Extremes::NONE);
        for (corner, &place) in corners.iter().enumerate() {
            over_top[corner] = top[place].map(|value| 1.0 / value);
            over_bottom[corner] = bottom[place].map(|value| 1.0 / value);
            tops = tops.with(top[place]);
            bottoms = bottoms.with(bottom[place]);
        }
        let mut slope = [[(0.0, 0.0); LANES]; MAX_SETS];
        for (set, slope) in slope.iter_mut().enumerate().take(SETS) {
            let step = PLACES.pow(set as u32);
            let (mut above, mut below) = (Extremes::NONE, Extremes::NONE);
            for (corner, &place) in corners.iter().enumerate() {
                // The same corner with ρ of the set put to zero.
                let flat = place - (corner >> set & 1) * step + 2 * step;
                above = above.with(times(&top[flat], &over_top[corner]));
                below = below.with(times(&bottom[flat], &over_bottom[corner]));
            }
            for (lane, slope) in slope.iter_mut().enumerate() {
                *slope = (below.low[lane] - above.high[lane], below.high[lane] - above.low[lane]);
            }
        }
        std::array::from_fn(|lane| {
            let known = tops.keeps_sign(lane) && bottoms.keeps_sign(lane);
            known.then(|| std::array::from_fn(|set| slope[set][lane]))
        })
    }
}

/// Values at the corners of a box, bit s telling the end of side s.
#[inline(always)]
fn at_corners<const SETS: usize>(
    coefficients: &[Lane; 1 << MAX_SETS],
    sides: &[Side],
) -> [Lane; 1 << MAX_SETS] {
    let mut values = *coefficients;
    for (set, &(low, high)) in sides.iter().enumerate().take(SETS) {
        let bit = 1 << set;
        for index in 0..1 << SETS {
            if index & bit == 0 {
                let (constant, slope) = (values[index], values[index | bit]);
                values[index] = std::array::from_fn(|lane| constant[lane] + low * slope[lane]);
                values[index | bit] =
                    std::array::from_fn(|lane| constant[lane] + high * slope[lane]);
            }
        }
    }
    values
}

/// For each corner of a box, bit s telling the end of side s, its point in [`spread`].
const CORNERS: [usize; 1 << MAX_SETS] = {
    let mut corners = [0; 1 << MAX_SETS];
    let mut corner = 1;
    while corner < corners.len() {
        let set = corner.trailing_zeros();
        corners[corner] = corners[corner & (corner - 1)] + PLACES.pow(set);
        corner += 1;
    }
    corners
};

/// Values with every base ratio at its low end (place 0), its high end (1) and zero (2);
/// the first set's place is the lowest digit. One base ratio after the other is put in,
/// from one of the two stores into the other; returns the one that was filled last.
#[inline(always)]
fn spread<'a, const SETS: usize>(
    coefficients: &[Lane; 1 << MAX_SETS],
    sides: &[Side],
    stores: [&'a mut Vec<Lane>; 2],
) -> &'a [Lane] {
    let [values, next] = stores;
    let (mut values, mut next) = (&mut values[..MOST_POINTS], &mut next[..MOST_POINTS]);
    values[..1 << MAX_SETS].copy_from_slice(coefficients);
    let mut done = 1;
    for (set, &(low, high)) in sides.iter().enumerate().take(SETS) {
        for rest in 0..1 << (SETS - set - 1) {
            for point in 0..done {
                let constant = values[point + done * (2 * rest)];
                let slope = values[point + done * (2 * rest + 1)];
                let to = point + done * PLACES * rest;
                for lane in 0..LANES {
                    next[to][lane] = constant[lane] + low * slope[lane];
                    next[to + done][lane] = constant[lane] + high * slope[lane];
                    next[to + 2 * done][lane] = constant[lane];
                }
            }
        }
        std::mem::swap(&mut values, &mut next);
        done *= PLACES;
    }
    values
}

#[inline(always)]
fn times(a: &Lane, b: &Lane) -> Lane {
    std::array::from_fn(|lane| a[lane] * b[lane])
}

/// Least and largest values so far.
#[derive(Clone, Copy)]
struct Extremes {
    low: Lane,
    high: Lane,
}

impl Extremes {
    const NONE: Self = Self { low: [f64::INFINITY; LANES], high: [f64::NEG_INFINITY; LANES] };

    /// Not f64::min, which minds NaN and is slower; where a NaN may come, a numerator or
    /// denominator is near zero, and the bound it would spoil is not used.
    #[inline(always)]
    fn with(self, values: Lane) -> Self {
        let (mut low, mut high) = (self.low, self.high);
        for lane in 0..LANES {
            low[lane] = if values[lane] < low[lane] { values[lane] } else { low[lane] };
            high[lane] = if values[lane] > high[lane] { values[lane] } else { high[lane] };
        }
        Self { low, high }
    }

    fn keeps_sign(&self, lane: usize) -> bool {
        self.low[lane] > SLACK || self.high[lane] < -SLACK
    }
}

/// What the mean value form loses to rounding is far below this.
const FORM_SLACK: f64 = 1e-9;

/// Close bounds of steps between the states of a class over one box.
pub struct CloseSteps {
    states: Vec<Option<Slopes>>,
    /// Half widths in ln ρ.
    radius: [f64; MAX_SETS],
}

impl CloseSteps {
    /// `states`: what is known of each state over the box with these `sides`; `None` for
    /// dead states.
    pub fn new(states: &[Option<OverBox>], sides: &[Side]) -> Self {
        let mut radius = [0.0; MAX_SETS];
        for (radius, (low, high)) in radius.iter_mut().zip(sides) {
            *radius = (high / low).ln() / 2.0;
        }
        let slopes = |state: &Option<OverBox>| {
            let state = state.as_ref()?;
            Some(Slopes { centre: state.centre.abs().ln(), slope: state.slopes? })
        };
        Self { states: states.iter().map(slopes).collect(), radius }
    }

    /// How far each base ratio moves ln i of some state within the box, at most.
    pub fn swings(&self) -> [f64; MAX_SETS] {
        let mut swings = [0.0f64; MAX_SETS];
        for slopes in self.states.iter().flatten() {
            for (set, swing) in swings.iter_mut().enumerate() {
                let (low, high) = slopes.slope[set];
                *swing = swing.max(self.radius[set] * low.abs().max(high.abs()));
            }
        }
        swings
    }
}

impl StepBounds for CloseSteps {
    #[inline]
    fn may_be(&self, from: usize, to: usize, window: &StepWindow) -> bool {
        let (Some(a), Some(b)) = (&self.states[from], &self.states[to]) else { return true };
        let swing = |j: usize| {
            let (low, high) = (a.slope[j].0 - b.slope[j].1, a.slope[j].1 - b.slope[j].0);
            self.radius[j] * low.abs().max(high.abs())
        };
        let reach: f64 = (0..MAX_SETS).map(swing).sum::<f64>() + FORM_SLACK;
        let centre = a.centre - b.centre;
        centre + reach >= window.logs.0 && centre - reach <= window.logs.1
    }
}
