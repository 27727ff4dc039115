//! The speed equations of one state in as few unknowns as its elements leave.

use num_bigint::BigInt;

use super::bodies::Bodies;
use super::elimination::Row;
use crate::train::{INPUT, Layout, OUTPUT, ShaftId};

/// The bodies of a state as unknowns: body 0 is the input's and turns at 1, body b > 0 is
/// unknown b − 1.
pub(super) struct System<'a> {
    layout: &'a Layout,
    bodies: &'a Bodies,
    /// The body of the output.
    output: usize,
}

impl<'a> System<'a> {
    /// `None` where input or output are held.
    pub fn new(layout: &'a Layout, bodies: &'a Bodies) -> Option<Self> {
        // Bodies count by their first shafts, and the input is the first of all.
        bodies.of(Some(INPUT)).filter(|&body| body == 0)?;
        Some(Self { layout, bodies, output: bodies.of(Some(OUTPUT))? })
    }

    /// `None` for what is held.
    pub fn body(&self, shaft: Option<ShaftId>) -> Option<usize> {
        self.bodies.of(shaft)
    }

    /// The unknown of the output, if it does not turn with the input.
    pub fn wanted(&self) -> Option<usize> {
        self.output.checked_sub(1)
    }

    /// How many bodies turn, the input's among them.
    pub fn count(&self) -> usize {
        self.bodies.count
    }

    /// The shafts of a body, or those that are held; the first names the body.
    pub fn shafts(&self, body: Option<usize>) -> Vec<&'a str> {
        let all = self.layout.shafts.iter().enumerate();
        let on = all.filter(|&(index, _)| self.body(Some(ShaftId(index))) == body);
        on.map(|(_, shaft)| shaft.name.as_str()).collect()
    }

    /// The Willis equation of a set in the unknowns, in its smallest numbers.
    pub fn row(&self, set: usize) -> Row {
        let (coefficients, right) = self.whole_row(set);
        Row::new(set, coefficients, right)
    }

    /// The same in the numbers of its teeth: coefficients and the right side.
    pub fn whole_row(&self, set: usize) -> (Vec<BigInt>, BigInt) {
        let mut coefficients = vec![BigInt::default(); self.bodies.count - 1];
        let mut right = BigInt::default();
        let terms = self.layout.seats(set).into_iter().zip(self.layout.sets[set].willis());
        for (seat, factor) in terms {
            match self.body(seat) {
                None => {}
                Some(0) => right -= factor,
                Some(body) => coefficients[body - 1] += factor,
            }
        }
        (coefficients, right)
    }
}
