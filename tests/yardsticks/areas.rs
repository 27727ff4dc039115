//! Branch and bound over areas of whole numbers, in exact quotients; knows no problem.

use std::cmp::Ordering;

/// Whole numbers from `low` to `high`, both included.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Side {
    pub low: i64,
    pub high: i64,
}

impl Side {
    pub const fn new(low: i64, high: i64) -> Self {
        Self { low, high }
    }

    /// Its width as a share of its largest number: quotients follow shares.
    fn share(self) -> Quotient {
        Quotient::new(self.high - self.low, self.high)
    }
}

/// One side for each variable; all numbers above zero.
pub type Area<const N: usize> = [Side; N];

/// The area that holds one point only.
pub fn area_of<const N: usize>(point: [i64; N]) -> Area<N> {
    point.map(|value| Side::new(value, value))
}

/// A fraction with a positive bottom, not in lowest terms; compared without rounding.
#[derive(Clone, Copy, Debug)]
pub struct Quotient {
    top: i64,
    bottom: i64,
}

impl Quotient {
    pub const ZERO: Self = Self { top: 0, bottom: 1 };

    #[inline]
    pub fn new(top: i64, bottom: i64) -> Self {
        debug_assert!(bottom > 0);
        Self { top, bottom }
    }

    pub fn to_f64(self) -> f64 {
        self.top as f64 / self.bottom as f64
    }

    /// How near to zero a value comes that runs from `low` to `high`.
    #[inline]
    pub fn nearest_to_zero(low: Self, high: Self) -> Self {
        if low.top > 0 {
            low
        } else if high.top < 0 {
            Self { top: -high.top, ..high }
        } else {
            Self::ZERO
        }
    }
}

impl Ord for Quotient {
    #[inline]
    fn cmp(&self, other: &Self) -> Ordering {
        let cross = |a: &Self, b: &Self| i128::from(a.top) * i128::from(b.bottom);
        cross(self, other).cmp(&cross(other, self))
    }
}

impl PartialOrd for Quotient {
    #[inline]
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for Quotient {
    #[inline]
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other).is_eq()
    }
}

impl Eq for Quotient {}

/// Whether a point meets all conditions.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    Allowed,
    Forbidden,
    /// So near to the edge of a condition that rounding may have decided.
    Unclear,
}

/// Something to be made as small as can be over whole numbers.
pub trait Problem<const N: usize> {
    /// Nothing allowed in the area is worth less; `None` where nothing in it is allowed.
    /// Of an area of one point, the worth of the point, or `None`.
    fn least(&self, area: &Area<N>) -> Option<Quotient>;

    /// Of a point for which `least` gives its worth.
    fn verdict(&self, point: &[i64; N]) -> Verdict;

    /// The variables that decide the worth: their sides are halved before all others.
    fn deciding(&self) -> &[usize];
}

/// What a search tells.
#[derive(Clone, Debug, PartialEq)]
pub struct Outcome<const N: usize> {
    /// The least worth, and one point that has it.
    pub best: Option<(Quotient, [i64; N])>,
    /// Areas whose bound was worked out.
    pub areas: u64,
    /// Areas not looked into because the search was stopped.
    pub waiting: usize,
    /// Points better than any allowed one that was known then, and unclear.
    pub unclear: u64,
}

impl<const N: usize> Outcome<N> {
    /// No allowed point is better than the best: nothing waits, and nothing was unclear.
    pub fn is_proved(&self) -> bool {
        self.waiting == 0 && self.unclear == 0
    }
}

/// Looks through the whole area, and stops once it has seen `most` areas.
///
/// Depth first, the more promising half first: a good point is found soon, and the stack
/// stays short.
pub fn search<const N: usize>(problem: &impl Problem<N>, whole: Area<N>, most: u64) -> Outcome<N> {
    let mut outcome = Outcome { best: None, areas: 1, waiting: 0, unclear: 0 };
    let bounded = |area: Area<N>| Some((problem.least(&area)?, area));
    let mut stack = Vec::from_iter(bounded(whole));
    while outcome.areas < most
        && let Some((least, area)) = stack.pop()
    {
        // The best may have become better since the area was put by.
        if outcome.best.is_some_and(|(best, _)| least >= best) {
            continue;
        }
        let Some(side) = side_to_halve(problem.deciding(), &area) else {
            let point = area.map(|side| side.low);
            match problem.verdict(&point) {
                Verdict::Allowed => outcome.best = Some((least, point)),
                Verdict::Forbidden => {}
                Verdict::Unclear => outcome.unclear += 1,
            }
            continue;
        };
        let mut parts = halves(&area, side).map(bounded);
        outcome.areas += 2;
        // The stack gives back first what came last.
        if let [Some((first, _)), Some((second, _))] = parts
            && first < second
        {
            parts.swap(0, 1);
        }
        stack.extend(parts.into_iter().flatten());
    }
    outcome.waiting = stack.len();
    outcome
}

/// The side with the largest share, among the deciding ones if any of them is open; `None`
/// for a point.
fn side_to_halve<const N: usize>(deciding: &[usize], area: &Area<N>) -> Option<usize> {
    let open = |&side: &usize| area[side].low < area[side].high;
    let share = |&side: &usize| area[side].share();
    let first = deciding.iter().copied().filter(open).max_by_key(share);
    first.or_else(|| (0..N).filter(open).max_by_key(share))
}

fn halves<const N: usize>(area: &Area<N>, side: usize) -> [Area<N>; 2] {
    let middle = (area[side].low + area[side].high) / 2;
    let (mut lower, mut upper) = (*area, *area);
    lower[side].high = middle;
    upper[side].low = middle + 1;
    [lower, upper]
}
