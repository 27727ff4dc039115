//! The equations of a state as they are written: shafts' speeds, rows, what is put in.

use itertools::Itertools;
use num_traits::{Signed, Zero};

use super::elimination::{Put, Row};
use super::expression::{Expression, Symbol};
use super::script::Line;
use super::system::System;
use crate::train::{GearSet, SetKind};

impl System<'_> {
    /// ω_a = ω_b = … for all shafts that turn as one, the input first, then what is held.
    pub fn joints(&self) -> Vec<Line> {
        let bodies = [Some(0), None].into_iter().chain((1..self.count()).map(Some));
        let lines = bodies.filter_map(|body| {
            let value = match body {
                Some(0) => Some(Expression::whole(1)),
                None => Some(Expression::whole(0)),
                Some(_) => None,
            };
            let shafts = self.shafts(body).into_iter().map(speed_of);
            let sides = shafts.chain(value).collect_vec();
            (sides.len() > 1).then(|| Line::equal(&sides))
        });
        lines.collect()
    }

    /// The symbol of a body's speed; 0 for what is held.
    pub fn speed(&self, body: Option<usize>) -> Expression {
        body.map_or(Expression::whole(0), |body| speed_of(self.shafts(Some(body))[0]))
    }

    /// The same with the input's speed put in.
    pub fn known_or_speed(&self, body: Option<usize>) -> Expression {
        if body == Some(0) { Expression::whole(1) } else { self.speed(body) }
    }

    /// The left side of a row, with `put` in place of one unknown.
    fn left(&self, row: &Row, put: Option<(usize, &Expression)>) -> Expression {
        let terms = row.unknowns().into_iter().map(|unknown| {
            let factor = match put {
                Some((replaced, by)) if replaced == unknown => by.clone(),
                _ => self.speed(Some(unknown + 1)),
            };
            Expression::term(&row.coefficients[unknown], factor)
        });
        Expression::sum(terms.collect())
    }

    /// A row: unknowns on the left, the number on the right.
    pub fn line(&self, row: &Row) -> Line {
        Line::equal(&[self.left(row, None), Expression::whole(row.right.clone())])
    }

    /// Each row with `by` in place of the unknown, and what it comes to.
    pub fn put_lines(&self, unknown: usize, by: &Expression, puts: &[Put]) -> Vec<Line> {
        let lines = puts.iter().flat_map(|Put { before, after }| {
            let right = Expression::whole(before.right.clone());
            let left = self.left(before, Some((unknown, by)));
            [Line::equal(&[left, right]), self.line(after)]
        });
        lines.collect()
    }

    /// One unknown of a row by the others: (3·ω_b + 2) / 5.
    pub fn expressed(&self, row: &Row, unknown: usize) -> Expression {
        let own = &row.coefficients[unknown];
        let sign = own.signum();
        let others = row.unknowns().into_iter().filter(|&other| other != unknown);
        let term = |other: usize| {
            let coefficient = -&sign * &row.coefficients[other];
            Expression::term(&coefficient, self.speed(Some(other + 1)))
        };
        let mut terms = others.map(term).collect_vec();
        let right = &sign * &row.right;
        if !right.is_zero() {
            terms.push((right.is_negative(), Expression::whole(right.abs())));
        }
        // 2 - 3·ω_b reads better than -3·ω_b + 2.
        let front = terms.iter().position(|(minus, _)| !minus).unwrap_or(0);
        terms[..=front].rotate_right(1);
        Expression::quotient(Expression::sum(terms), Expression::whole(own.abs()))
    }
}

/// The symbol of the speed of a shaft.
pub(super) fn speed_of(name: &str) -> Expression {
    Expression::Symbol(Symbol::ShaftSpeed(name.to_owned()))
}

/// The Willis equation divided by Z_S, left side: ω_S + ρ ω_R − (1 + ρ) ω_C of a single
/// set, −ω_S + ρ ω_R + (1 − ρ) ω_C of a paired one.
pub(super) fn in_symbols(
    set: usize,
    teeth: GearSet,
    [sun, ring, carrier]: [Expression; 3],
) -> Expression {
    let rho = Expression::Symbol(Symbol::BaseRatio(set));
    let single = teeth.kind == SetKind::Single;
    let both = Expression::sum(vec![(false, Expression::whole(1)), (!single, rho.clone())]);
    Expression::sum(vec![
        (!single, sun),
        (false, Expression::product(vec![rho, ring])),
        (single, Expression::product(vec![both, carrier])),
    ])
}
