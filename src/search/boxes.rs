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
}

/// What is known of one function over a box.
#[derive(Clone, Copy, Debug)]
pub struct OverBox {
    pub bounds: Bounds,
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
        Self { sets, functions, bundles }
    }

    /// Every function over the box with these `sides`, in the order given to [`Self::new`].
    pub fn over(&self, sides: &[Side]) -> Vec<OverBox> {
        let mut all = Vec::with_capacity(self.bundles.len() * LANES);
        pulp::Arch::new().dispatch(Over { bounds: self, sides, all: &mut all });
        all.truncate(self.functions.len());
        all
    }
}

/// The work of [`BoxBounds::over`], for whichever instruction set there is.
struct Over<'a> {
    bounds: &'a BoxBounds,
    sides: &'a [Side],
    all: &'a mut Vec<OverBox>,
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

/// Room for the values of numerators and denominators.
struct Stores {
    top: [Points; 2],
    bottom: [Points; 2],
}

impl Over<'_> {
    #[inline(always)]
    fn over_sets<const SETS: usize>(self) {
        let mut stores = Stores {
            top: [[[0.0; LANES]; MOST_POINTS]; 2],
            bottom: [[[0.0; LANES]; MOST_POINTS]; 2],
        };
        let mut centre = [0.0; MAX_SETS];
        for (centre, (low, high)) in centre.iter_mut().zip(self.sides) {
            *centre = (low * high).sqrt();
        }
        let powers = powers(&centre[..SETS]);
        for (index, bundle) in self.bounds.bundles.iter().enumerate() {
            let seen = bundle.over::<SETS>(self.sides, &mut stores);
            for (lane, mut seen) in seen.into_iter().enumerate() {
                let function = self.bounds.functions.get(LANES * index + lane);
                seen.centre = function.map_or(1.0, |f| f.at(&powers[..1 << SETS]));
                self.all.push(seen);
            }
        }
    }
}

impl Bundle {
    #[inline(always)]
    fn over<const SETS: usize>(&self, sides: &[Side], stores: &mut Stores) -> [OverBox; LANES] {
        let top = spread::<SETS>(&self.numerator, sides, &mut stores.top);
        let bottom = spread::<SETS>(&self.denominator, sides, &mut stores.bottom);
        let corners = &CORNERS[..1 << SETS];
        let mut over_top = [[0.0; LANES]; 1 << MAX_SETS];
        let mut over_bottom = over_top;
        let (mut ratios, mut inverses) = (Extremes::NONE, Extremes::NONE);
        let (mut tops, mut bottoms) = (Extremes::NONE, Extremes::NONE);
        for (corner, &place) in corners.iter().enumerate() {
            over_top[corner] = top[place].map(|value| 1.0 / value);
            over_bottom[corner] = bottom[place].map(|value| 1.0 / value);
            ratios = ratios.with(times(&top[place], &over_bottom[corner]));
            inverses = inverses.with(times(&bottom[place], &over_top[corner]));
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
            let (kept_top, kept_bottom) = (tops.keeps_sign(lane), bottoms.keeps_sign(lane));
            let slopes =
                (kept_top && kept_bottom).then(|| std::array::from_fn(|set| slope[set][lane]));
            let bounds = match (kept_top, kept_bottom) {
                (_, true) => Bounds::between(ratios.low[lane], ratios.high[lane]),
                (true, false) => Bounds::beyond(inverses.low[lane], inverses.high[lane]),
                (false, false) => Bounds::ANY,
            };
            OverBox { bounds, centre: f64::NAN, slopes }
        })
    }
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

/// Values of a bundle's polynomials at places of a box.
type Points = [Lane; MOST_POINTS];

/// Values with every base ratio at its low end (place 0), its high end (1) and zero (2);
/// the first set's place is the lowest digit. One base ratio after the other is put in,
/// from one of the two stores into the other; returns the one that was filled last.
#[inline(always)]
fn spread<'a, const SETS: usize>(
    coefficients: &[Lane; 1 << MAX_SETS],
    sides: &[Side],
    stores: &'a mut [Points; 2],
) -> &'a Points {
    let [values, next] = stores;
    let (mut values, mut next) = (values, next);
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
