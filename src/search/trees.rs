//! The ratio of a state as a quotient of two polynomials with coefficients −1, 0, 1.
//!
//! A Willis row is (S − C) + ρ (R − C) (paired: −(S − C) + ρ (R − C)), an element row is
//! a difference of two shafts, a brake or the input row a difference of a shaft and the
//! housing. So each coefficient of the determinant, one choice of S − C or R − C a set,
//! is the determinant of a reduced incidence matrix of a graph whose vertices are the
//! shafts and the housing: ±1 when the chosen edges form a spanning tree, else 0
//! (G. Kirchhoff 1847; H. Poincaré 1900 for the unimodularity). Nothing is rounded, and a
//! polynomial that vanishes identically is seen to vanish.

use super::{RatioFunction, Signs};
use crate::train::{Core, HOUSING, MAX_SETS, SetKind, Slot};

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
            let sign = if (rows + position).is_multiple_of(2) { 1 } else { -1 };
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
