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
use crate::train::{Core, SetKind, Slot};

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

/// A value −1, 0 or 1 for each choice T of edges, a bit each.
///
/// All minors of an incidence matrix are −1, 0 or 1, so they may be worked out modulo 3,
/// and bit by bit for all choices at once.
type Lanes = Signs;

/// Numbers of seats that fit side by side in one vector of 16-bit words.
const SEATS: usize = 16;

/// What the free motions of each choice of edges make of input, output and slots.
///
/// In the lane of a choice, the chosen edges join shafts into components; the speeds of
/// the components that do not hold the housing are free, so a shaft is a unit vector (or
/// zero) there, and the determinant of the whole matrix is the determinant of these rows
/// but for a sign, which the input and output rows carry.
pub struct FreeMotions {
    dimension: usize,
    input: Vec<Lanes>,
    output: Vec<Lanes>,
    /// The two seats of each slot.
    slots: Vec<[usize; 2]>,
    /// A row a slot: the difference of its shafts, a column a free motion.
    rows: Vec<Vec<Lanes>>,
    /// `columns[column][seat]`: the choices in which the seat moves with that free motion.
    columns: Vec<[u16; SEATS]>,
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
        let choices: Vec<Choice> = (0..1 << core.sets()).map(|t| Choice::new(core, t)).collect();
        let mut columns = vec![[0u16; SEATS]; dimension];
        let mut signs = Lanes::default();
        for (lane, choice) in choices.iter().enumerate() {
            signs.plus |= u16::from(choice.sign > 0) << lane;
            signs.minus |= u16::from(choice.sign < 0) << lane;
            for (seat, component) in choice.component.iter().enumerate() {
                if let Some(component) = component {
                    columns[*component][seat] |= 1 << lane;
                }
            }
        }
        let end = |seat: u8| {
            let masked = |column: &[u16; SEATS]| {
                let moves = column[usize::from(seat)];
                Signs { plus: signs.plus & moves, minus: signs.minus & moves }
            };
            columns.iter().map(masked).collect()
        };
        let slot_row = |slot: &Slot| {
            let difference = |column: &[u16; SEATS]| {
                let (first, second) = (usize::from(slot.first), usize::from(slot.second));
                let moves = |seat: usize, other: usize| column[seat] & !column[other];
                Signs { plus: moves(second, first), minus: moves(first, second) }
            };
            columns.iter().map(difference).collect()
        };
        Self {
            dimension,
            input: end(core.input),
            output: end(core.output),
            slots: slots.iter().map(|s| [s.first, s.second].map(usize::from)).collect(),
            rows: slots.iter().map(slot_row).collect(),
            columns,
            laplace: (0..dimension).map(|rows| laplace(rows, dimension)).collect(),
        }
    }

    /// Visits every set of `dimension − 1` slots in lexicographic order.
    pub fn for_each_state(&self, visit: impl FnMut(&[usize], StatePolynomials)) {
        self.for_each_state_unless(&|| false, visit);
    }

    /// The same until `stopped` says so, which is asked before every family of states that
    /// differ in their last slot only: a core of many shafts has thousands of millions.
    pub fn for_each_state_unless(
        &self,
        stopped: &impl Fn() -> bool,
        mut visit: impl FnMut(&[usize], StatePolynomials),
    ) {
        let none = vec![Signs { plus: u16::MAX, minus: 0 }];
        if self.dimension == 1 {
            let close = |end: &[Lanes]| expand(&self.laplace[0][0], &none, end);
            let (input, output) = (close(&self.input), close(&self.output));
            return visit(&[], StatePolynomials { input, output });
        }
        let mut minors = vec![Vec::new(); self.dimension];
        minors[0] = none;
        let mut chosen = Vec::with_capacity(self.dimension);
        self.extend(&mut minors, &mut chosen, stopped, &mut visit);
    }

    fn extend(
        &self,
        minors: &mut [Vec<Lanes>],
        chosen: &mut Vec<usize>,
        stopped: &impl Fn() -> bool,
        visit: &mut impl FnMut(&[usize], StatePolynomials),
    ) {
        let rows = chosen.len();
        let from = chosen.last().map_or(0, |last| last + 1);
        if rows + 2 == self.dimension {
            let (input, output) = (&self.input, &self.output);
            let (input, output) =
                (self.seats(&minors[rows], input), self.seats(&minors[rows], output));
            chosen.push(from);
            for slot in from..self.slots.len() {
                chosen[rows] = slot;
                let [first, second] = self.slots[slot];
                let close = |seats: &SeatLanes| sum(seats.at(second), seats.at(first).negated());
                visit(chosen, StatePolynomials { input: close(&input), output: close(&output) });
            }
            chosen.pop();
            return;
        }
        for slot in from..self.slots.len() {
            if stopped() {
                return;
            }
            let (done, next) = minors.split_at_mut(rows + 1);
            let terms = self.laplace[rows].iter();
            next[0].clear();
            next[0].extend(terms.map(|terms| expand(terms, &done[rows], &self.rows[slot])));
            chosen.push(slot);
            self.extend(minors, chosen, stopped, visit);
            chosen.pop();
        }
    }

    /// The determinants of the rows chosen, a last slot row and the `end` row, had the last
    /// slot row a 1 for one seat alone. Any slot's determinant is a difference of two.
    fn seats(&self, minors: &[Lanes], end: &[Lanes]) -> SeatLanes {
        let rows = self.dimension - 2;
        let mut seats = SeatLanes { plus: [0; SEATS], minus: [0; SEATS] };
        for (column, moves) in self.columns.iter().enumerate() {
            // The column sets of one row less are listed from the highest column that is
            // left out down to the lowest.
            let without = &self.laplace[rows][self.dimension - 1 - column];
            let minor = expand(without, minors, end);
            // The end row stands before the last slot row: one exchange of rows.
            let even = (self.dimension - 1 + column).is_multiple_of(2);
            let minor = if even { minor.negated() } else { minor };
            for (seat, moves) in moves.iter().enumerate() {
                seats.plus[seat] |= minor.plus & moves;
                seats.minus[seat] |= minor.minus & moves;
            }
        }
        seats
    }
}

/// Lanes for every seat.
struct SeatLanes {
    plus: [u16; SEATS],
    minus: [u16; SEATS],
}

impl SeatLanes {
    #[inline]
    fn at(&self, seat: usize) -> Lanes {
        Signs { plus: self.plus[seat % SEATS], minus: self.minus[seat % SEATS] }
    }
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
fn expand(terms: &[Term; 8], minors: &[Lanes], row: &[Lanes]) -> Lanes {
    let terms = terms.iter().take_while(|term| term.sign != 0);
    terms.fold(Lanes::default(), |all, term| {
        let product = product(minors[usize::from(term.source)], row[usize::from(term.column)]);
        sum(all, if term.sign > 0 { product } else { product.negated() })
    })
}

/// The sum modulo 3, lane by lane: what is known to be −1, 0 or 1 in the end is that sum.
#[inline]
fn sum(a: Lanes, b: Lanes) -> Lanes {
    let mixed = (a.plus | b.minus) ^ (a.minus | b.plus);
    Signs { plus: (a.minus | b.minus) ^ mixed, minus: (a.plus | b.plus) ^ mixed }
}

#[inline]
fn product(a: Lanes, b: Lanes) -> Lanes {
    Signs { plus: a.plus & b.plus | a.minus & b.minus, minus: a.plus & b.minus | a.minus & b.plus }
}

/// One choice of an edge a set, as a forest on shafts and housing.
struct Choice {
    /// For each seat, the index of its component's free speed; `None` is the housing's.
    component: Vec<Option<usize>>,
    /// Sign of the determinant of the choice's own rows; 0 when the edges close a cycle.
    sign: i8,
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
