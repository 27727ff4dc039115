//! Linear equations solved as by hand: one unknown after the other, the easiest first.
//!
//! This is for a reader to follow. The speeds themselves come from [`crate::num::solve`].

use num_bigint::BigInt;
use num_integer::Integer;
use num_traits::{Signed, Zero};

use crate::num::Fraction;

/// Σ coefficient · unknown = right, in whole numbers without a common divisor, the first
/// coefficient positive.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Row {
    /// The set whose equation it was.
    pub set: usize,
    pub coefficients: Vec<BigInt>,
    pub right: BigInt,
    /// The sets that had a part in it, bit k for set k.
    pub from: usize,
}

impl Row {
    pub fn new(set: usize, coefficients: Vec<BigInt>, right: BigInt) -> Self {
        Self { set, coefficients, right, from: 1 << set }.reduced()
    }

    pub fn divisor(coefficients: &[BigInt], right: &BigInt) -> BigInt {
        coefficients.iter().fold(right.abs(), |divisor, c| divisor.gcd(c))
    }

    fn reduced(mut self) -> Self {
        let divisor = Self::divisor(&self.coefficients, &self.right);
        if divisor.is_zero() {
            return self;
        }
        let lead = self.coefficients.iter().find(|c| !c.is_zero()).unwrap_or(&self.right);
        let divisor = if lead.is_negative() { -divisor } else { divisor };
        self.coefficients.iter_mut().for_each(|c| *c = &*c / &divisor);
        self.right = &self.right / &divisor;
        self
    }

    pub fn has(&self, unknown: usize) -> bool {
        !self.coefficients[unknown].is_zero()
    }

    pub fn unknowns(&self) -> Vec<usize> {
        (0..self.coefficients.len()).filter(|&unknown| self.has(unknown)).collect()
    }

    /// The greatest number in it.
    fn size(&self) -> BigInt {
        let sizes = self.coefficients.iter().chain([&self.right]).map(BigInt::abs);
        sizes.max().unwrap_or_default()
    }

    /// With `unknown` put in as `other` has it.
    fn without(&self, unknown: usize, other: &Self) -> Self {
        let (own, its) = (&self.coefficients[unknown], &other.coefficients[unknown]);
        let cross = |a: &BigInt, b: &BigInt| a * its - b * own;
        let pairs = self.coefficients.iter().zip(&other.coefficients);
        let coefficients = pairs.map(|(a, b)| cross(a, b)).collect();
        let right = cross(&self.right, &other.right);
        Self { set: self.set, coefficients, right, from: self.from | other.from }.reduced()
    }
}

/// A row before and after an unknown was put into it.
pub(super) struct Put {
    pub before: Row,
    pub after: Row,
}

/// One move by hand.
pub(super) enum Move {
    /// A row with one unknown gives its value, which goes into the rows that have it.
    Solve { row: Row, unknown: usize, value: Fraction, puts: Vec<Put> },
    /// A row gives one unknown by others, and that goes into the rows that have it. None
    /// has it where the unknown stands in no other row: then the row waits.
    Express { row: Row, unknown: usize, puts: Vec<Put> },
    /// What an unknown was expressed by is known now.
    PutBack { row: Row, unknown: usize, value: Fraction },
}

pub(super) struct Elimination {
    pub moves: Vec<Move>,
    /// For each unknown the sets that had a part in its value, bit k for set k.
    pub from: Vec<usize>,
}

/// Solves the rows for all unknowns, keeping `wanted` as long as another will do; `None`
/// where they do not have exactly one solution.
pub(super) fn eliminate(
    mut rows: Vec<Row>,
    unknowns: usize,
    wanted: Option<usize>,
) -> Option<Elimination> {
    let mut moves = Vec::new();
    let mut known: Vec<Option<(Fraction, usize)>> = vec![None; unknowns];
    let mut waiting = Vec::new();
    loop {
        if rows.iter().any(|row| row.unknowns().is_empty() && !row.right.is_zero()) {
            return None;
        }
        rows.retain(|row| !row.unknowns().is_empty());
        let Some((index, unknown)) = easiest(&rows, wanted) else { break };
        let row = rows.remove(index);
        let mut puts = Vec::new();
        for other in rows.iter_mut().filter(|other| other.has(unknown)) {
            let after = other.without(unknown, &row);
            puts.push(Put { before: other.clone(), after: after.clone() });
            *other = after;
        }
        if row.unknowns().len() == 1 {
            let value = Fraction::new(row.right.clone(), row.coefficients[unknown].clone());
            known[unknown] = Some((value.clone(), row.from));
            moves.push(Move::Solve { row, unknown, value, puts });
        } else {
            waiting.push((row.clone(), unknown));
            moves.push(Move::Express { row, unknown, puts });
        }
    }
    // What a row still has was expressed or solved after it.
    for (row, unknown) in waiting.into_iter().rev() {
        let (mut right, mut from) = (Fraction::from(row.right.clone()), row.from);
        for other in row.unknowns().into_iter().filter(|&other| other != unknown) {
            let (value, its) = known[other].as_ref()?;
            right -= value * &row.coefficients[other];
            from |= its;
        }
        let value = right / &row.coefficients[unknown];
        known[unknown] = Some((value.clone(), from));
        moves.push(Move::PutBack { row, unknown, value });
    }
    let from = known.into_iter().map(|known| Some(known?.1)).collect::<Option<_>>()?;
    Some(Elimination { moves, from })
}

/// The next row and the unknown that it shall give: a row with one unknown, with the
/// smallest numbers; else an unknown that stands in one row alone; else from the row with
/// the fewest unknowns the one, if possible not `wanted`, that stands in the fewest other
/// rows and has the smallest coefficient.
fn easiest(rows: &[Row], wanted: Option<usize>) -> Option<(usize, usize)> {
    let pairs = rows.iter().enumerate().flat_map(|(index, row)| {
        row.unknowns().into_iter().map(move |unknown| (index, row, unknown))
    });
    let key = |&(_, row, unknown): &(usize, &Row, usize)| {
        let count = row.unknowns().len();
        let others = rows.iter().filter(|other| other.has(unknown)).count() - 1;
        let hard = match (count, others) {
            (1, _) => 0,
            (_, 0) => 1,
            _ => 2,
        };
        let effort = (hard, count, wanted == Some(unknown));
        // In a row with one unknown its numbers decide, not where else the unknown stands.
        let spread = if count == 1 { 0 } else { others };
        (effort, spread, row.coefficients[unknown].abs(), row.size(), row.set, unknown)
    };
    pairs.min_by_key(key).map(|(index, _, unknown)| (index, unknown))
}
