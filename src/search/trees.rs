//! The ratio of a state as a quotient of two polynomials with coefficients −1, 0, 1.
//!
//! A Willis row is (S − C) + ρ (R − C) (paired: −(S − C) + ρ (R − C)), an element row is
//! a difference of two shafts, a brake or the input row a difference of a shaft and the
//! housing. So each coefficient of the determinant, one choice of S − C or R − C a set,
//! is the determinant of a reduced incidence matrix of a graph whose vertices are the
//! shafts and the housing: ±1 when the chosen edges form a spanning tree, else 0
//! (G. Kirchhoff 1847; H. Poincaré 1900 for the unimodularity). Nothing is rounded, and a
//! polynomial that vanishes identically is seen to vanish.

use crate::train::{Core, HOUSING, MAX_SETS, SetKind, Slot};

/// Coefficients of one polynomial: bit T of `plus` (`minus`) is set when the product of
/// the ρ of the sets in T has coefficient +1 (−1).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Signs {
    pub plus: u16,
    pub minus: u16,
}

impl Signs {
    pub fn is_zero(self) -> bool {
        self.plus | self.minus == 0
    }

    /// Value at the base ratios, whose products over all subsets are `powers`.
    pub fn at(self, powers: &[f64]) -> f64 {
        let mut value = 0.0;
        for (subset, power) in powers.iter().enumerate() {
            let sign = (self.plus >> subset & 1) as i32 - (self.minus >> subset & 1) as i32;
            value += f64::from(sign) * power;
        }
        value
    }

    fn negated(self) -> Self {
        Self { plus: self.minus, minus: self.plus }
    }

    /// The coefficients without set `set` (value 0) or of its ρ (value 1), as a
    /// polynomial in the other sets.
    fn part(self, set: usize, value: u8) -> Self {
        let mask = FACTOR[set];
        if value == 0 {
            Self { plus: self.plus & !mask, minus: self.minus & !mask }
        } else {
            let shift = 1 << set;
            Self { plus: (self.plus & mask) >> shift, minus: (self.minus & mask) >> shift }
        }
    }

    fn coefficients(self) -> [i32; 1 << MAX_SETS] {
        std::array::from_fn(|t| (self.plus >> t & 1) as i32 - (self.minus >> t & 1) as i32)
    }
}

/// Subsets T, as bits, that contain set 0, 1, 2, 3.
const FACTOR: [u16; MAX_SETS] = [0xAAAA, 0xCCCC, 0xF0F0, 0xFF00];

/// A ratio i = numerator / denominator as a function of the base ratios, in lowest terms
/// and with the first coefficient of the denominator positive: equal functions are `==`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct RatioFunction {
    pub numerator: Signs,
    pub denominator: Signs,
}

impl RatioFunction {
    /// The reduced function of a live state's two determinants, neither zero.
    fn reduced(mut numerator: Signs, mut denominator: Signs) -> Self {
        for set in 0..MAX_SETS {
            let (n0, n1) = (numerator.part(set, 0), numerator.part(set, 1));
            let (d0, d1) = (denominator.part(set, 0), denominator.part(set, 1));
            let depends = !(n1.is_zero() && d1.is_zero());
            if depends && products_agree(n1, d0, n0, d1) {
                // N1 / D1 = N0 / D0: the function does not depend on this ρ at all.
                let simpler = if d0.is_zero() { (n1, d1) } else { (n0, d0) };
                (numerator, denominator) = simpler;
            }
        }
        let lowest = denominator.plus | denominator.minus;
        if denominator.minus & (lowest & lowest.wrapping_neg()) != 0 {
            (numerator, denominator) = (numerator.negated(), denominator.negated());
        }
        Self { numerator, denominator }
    }

    /// The ratio at base ratios whose products over all subsets are `powers`.
    pub fn at(&self, powers: &[f64]) -> f64 {
        self.numerator.at(powers) / self.denominator.at(powers)
    }

    /// Bit s is set when the function depends on ρ of set s.
    pub fn variables(&self) -> u8 {
        let used = self.numerator.plus
            | self.numerator.minus
            | self.denominator.plus
            | self.denominator.minus;
        (0..MAX_SETS).filter(|&set| used & FACTOR[set] != 0).fold(0, |bits, set| bits | 1 << set)
    }

    /// The same function with the sets renumbered: `order[new] = old`.
    #[must_use]
    pub fn with_sets(&self, order: &[usize]) -> Self {
        let moved = |bits: u16| {
            (0..16u16).filter(|&t| bits >> t & 1 == 1).fold(0u16, |all, t| {
                let subset = order
                    .iter()
                    .enumerate()
                    .filter(|&(_, &old)| t >> old & 1 == 1)
                    .fold(0, |subset, (new, _)| subset | 1 << new);
                all | 1 << subset
            })
        };
        let signs = |s: Signs| Signs { plus: moved(s.plus), minus: moved(s.minus) };
        Self::reduced(signs(self.numerator), signs(self.denominator))
    }
}

/// Whether a·b = c·d as polynomials. Exponents reach 2, so products are spread over
/// base-3 digits.
fn products_agree(a: Signs, b: Signs, c: Signs, d: Signs) -> bool {
    let mut difference = [0i32; 81];
    for (x, y, sign) in [(a, b, 1), (c, d, -1)] {
        let (x, y) = (x.coefficients(), y.coefficients());
        for (s, &from) in x.iter().enumerate().filter(|(_, c)| **c != 0) {
            for (t, &with) in y.iter().enumerate().filter(|(_, c)| **c != 0) {
                difference[TERNARY[s] + TERNARY[t]] += sign * from * with;
            }
        }
    }
    difference.iter().all(|&coefficient| coefficient == 0)
}

const TERNARY: [usize; 1 << MAX_SETS] = {
    let mut table = [0; 1 << MAX_SETS];
    let mut subset = 0;
    while subset < table.len() {
        table[subset] =
            (subset & 1) + 3 * (subset >> 1 & 1) + 9 * (subset >> 2 & 1) + 27 * (subset >> 3 & 1);
        subset += 1;
    }
    table
};

/// How a state comes out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StatePolynomials {
    /// det[Willis; elements; input]: zero when the state is not determinate.
    pub input: Signs,
    /// det[Willis; elements; output]: zero when the output stands still.
    pub output: Signs,
}

impl StatePolynomials {
    pub fn is_determinate(&self) -> bool {
        !self.input.is_zero()
    }

    pub fn is_live(&self) -> bool {
        self.is_determinate() && !self.output.is_zero()
    }

    /// The ratio of a live state.
    pub fn ratio(&self) -> Option<RatioFunction> {
        self.is_live().then(|| RatioFunction::reduced(self.input, self.output))
    }
}

/// One small integer for each choice T of edges: 16 lanes.
type Lanes = [i16; 1 << MAX_SETS];

/// A shaft, or a difference of two, in the free motions: a component, one lane a choice.
type Row = Vec<Lanes>;

/// Input, output and slots of a core as rows in the free motions that each choice of
/// edges leaves.
///
/// In the lane of a choice, the chosen edges join shafts into components; the speeds of
/// the components that do not hold the housing are free, so a shaft is a unit vector (or
/// zero) there, and the determinant of the whole matrix is the determinant of these rows
/// but for a sign, which the input and output rows carry.
pub struct FreeMotions {
    dimension: usize,
    input: Row,
    output: Row,
    slots: Vec<Row>,
    /// `laplace[j]`: how the minors of j + 1 rows come from those of j.
    laplace: Vec<Vec<[Term; 8]>>,
}

/// `sign · row[column] · minor[source]`; sign 0 ends a list.
#[derive(Clone, Copy, Default)]
struct Term {
    source: u8,
    column: u8,
    sign: i8,
}

impl FreeMotions {
    /// # Panics
    /// If the core has no freedom, or more than 8 degrees of it.
    pub fn new(core: &Core, slots: &[Slot]) -> Self {
        let dimension = core.freedom();
        assert!((1..=8).contains(&dimension), "a core moves in 1 to 8 degrees of freedom");
        let lanes = 1 << core.sets();
        let choices: Vec<Choice> = (0..lanes).map(|subset| Choice::new(core, subset)).collect();
        let end = |seat| row(&choices, dimension, HOUSING, seat, |choice| choice.sign);
        let slot = |slot: &Slot| row(&choices, dimension, slot.first, slot.second, |_| 1);
        Self {
            dimension,
            input: end(core.input),
            output: end(core.output),
            slots: slots.iter().map(slot).collect(),
            laplace: (0..dimension).map(|rows| laplace(rows, dimension)).collect(),
        }
    }

    /// Visits every set of `dimension − 1` slots in lexicographic order.
    pub fn for_each_state(&self, mut visit: impl FnMut(&[usize], StatePolynomials)) {
        let mut minors = vec![Vec::new(); self.dimension];
        minors[0] = vec![[1; 1 << MAX_SETS]];
        self.extend(&mut minors, &mut Vec::with_capacity(self.dimension), &mut visit);
    }

    fn extend(
        &self,
        minors: &mut [Vec<Lanes>],
        chosen: &mut Vec<usize>,
        visit: &mut impl FnMut(&[usize], StatePolynomials),
    ) {
        let rows = chosen.len();
        if rows + 1 == self.dimension {
            let close = |row: &Row| signs(&expand(&self.laplace[rows][0], &minors[rows], row));
            let (input, output) = (close(&self.input), close(&self.output));
            visit(chosen, StatePolynomials { input, output });
            return;
        }
        for slot in chosen.last().map_or(0, |last| last + 1)..self.slots.len() {
            let (done, next) = minors.split_at_mut(rows + 1);
            let terms = self.laplace[rows].iter();
            next[0].clear();
            next[0].extend(terms.map(|terms| expand(terms, &done[rows], &self.slots[slot])));
            chosen.push(slot);
            self.extend(minors, chosen, visit);
            chosen.pop();
        }
    }
}

/// The row of `second − first` in the free motions of every choice.
fn row(
    choices: &[Choice],
    dimension: usize,
    first: u8,
    second: u8,
    factor: impl Fn(&Choice) -> i16,
) -> Row {
    let mut row = vec![[0; 1 << MAX_SETS]; dimension];
    for (lane, choice) in choices.iter().enumerate() {
        for (seat, sign) in [(second, 1), (first, -1)] {
            if let Some(component) = choice.component[usize::from(seat)] {
                row[component][lane] += sign * factor(choice);
            }
        }
    }
    row
}

/// Minors are listed by their column sets, as rising bit masks.
fn column_sets(rows: usize, dimension: usize) -> Vec<u32> {
    (0..1 << dimension).filter(|set: &u32| set.count_ones() as usize == rows).collect()
}

/// Laplace expansion along the last of `rows + 1` rows.
fn laplace(rows: usize, dimension: usize) -> Vec<[Term; 8]> {
    let sources = column_sets(rows, dimension);
    let expansion = |columns: u32| {
        let mut terms = [Term::default(); 8];
        let inside = (0..dimension as u32).filter(|column| columns >> column & 1 == 1);
        for (position, column) in inside.enumerate() {
            let rest = columns & !(1 << column);
            let source = sources.iter().position(|&set| set == rest).expect("one column fewer");
            let sign = if (rows + position) % 2 == 0 { 1 } else { -1 };
            terms[position] = Term { source: source as u8, column: column as u8, sign };
        }
        terms
    };
    column_sets(rows + 1, dimension).into_iter().map(expansion).collect()
}

#[inline]
fn expand(terms: &[Term; 8], minors: &[Lanes], row: &Row) -> Lanes {
    let mut sum = [0i16; 1 << MAX_SETS];
    for term in terms.iter().take_while(|term| term.sign != 0) {
        let (minor, entry) = (&minors[usize::from(term.source)], &row[usize::from(term.column)]);
        for lane in 0..sum.len() {
            sum[lane] += i16::from(term.sign) * minor[lane] * entry[lane];
        }
    }
    sum
}

fn signs(lanes: &Lanes) -> Signs {
    let mut signs = Signs::default();
    for (lane, &value) in lanes.iter().enumerate() {
        debug_assert!(value.abs() <= 1, "an incidence matrix is unimodular");
        signs.plus |= u16::from(value > 0) << lane;
        signs.minus |= u16::from(value < 0) << lane;
    }
    signs
}

/// One choice of an edge a set, as a forest on shafts and housing.
struct Choice {
    /// For each seat, the index of its component's free speed; `None` is the housing's.
    component: Vec<Option<usize>>,
    /// Sign of the determinant of the choice's own rows; 0 when the edges close a cycle.
    sign: i16,
}

impl Choice {
    /// The edge R − C of the sets in `subset`, S − C of the others.
    ///
    /// Each edge eliminates one shaft in favour of the other (column operations of Gauss);
    /// the sign is that of the pivots and of the order in which the columns went.
    fn new(core: &Core, subset: usize) -> Self {
        let seats = usize::from(core.shafts) + 1;
        let mut standing_for: Vec<usize> = (0..seats).collect();
        let mut gone = Vec::new();
        let mut sign = 1;
        for (set, &[sun, ring, carrier]) in core.seats().iter().enumerate() {
            let takes_ring = subset >> set & 1 == 1;
            let from = standing_for[usize::from(if takes_ring { ring } else { sun })];
            let to = standing_for[usize::from(carrier)];
            let (kept, dropped) = (from.min(to), from.max(to));
            if kept == dropped {
                return Self { component: vec![None; seats], sign: 0 };
            }
            let turned = core.kind(set) == SetKind::Paired && !takes_ring;
            if turned != (dropped == to) {
                sign = -sign;
            }
            gone.push(dropped);
            for seat in &mut standing_for {
                if *seat == dropped {
                    *seat = kept;
                }
            }
        }
        let free: Vec<usize> = (1..seats).filter(|seat| !gone.contains(seat)).collect();
        let order: Vec<usize> = gone.iter().chain(&free).copied().collect();
        let later = |index: usize| order[index + 1..].iter().filter(|s| **s < order[index]).count();
        if (0..order.len()).map(later).sum::<usize>() % 2 == 1 {
            sign = -sign;
        }
        let component = |&seat: &usize| free.iter().position(|&other| other == seat);
        Self { component: standing_for.iter().map(component).collect(), sign }
    }
}
