//! The cheapest series of stages from a stock of gears: a mixed-integer model. Logarithms of
//! stage ratios add up, so a product of ratios is a linear row.

use good_lp::{Expression, SolverModel as _, Variable, microlp, variable, variables};

use super::choice::{Choice, Choices};
use super::stages::stages;
use super::stock::{StockKey, key_of, taken};
use crate::brief::{Direction, ReductionBrief, StockGear};
use crate::num::{Solved, to_f64};
use crate::search::solve_unless;
use crate::train::SetKind;

/// The work after which the solver gives what it has: nodes of branch and bound times ways to
/// use a set, for a node of many ways takes long.
const WORK: u64 = 2_000_000;

/// A series with the least price.
#[derive(Clone, Debug)]
pub(super) struct Cheapest {
    pub sets: Vec<(SetKind, Choice)>,
    pub price: f64,
    /// Whether no series of as many sets costs less.
    pub proved: bool,
}

/// One way to use one set as a stage.
struct Use<'a> {
    choice: &'a Choice,
    kind: SetKind,
    ratio: f64,
    gears: Vec<(StockKey, u32)>,
}

/// The cheapest series of `sets` stages within the tolerance, whatever else the brief asks;
/// `None` where there is none, the solver found none within its work, or it was stopped.
///
/// With y_u ∈ {0, 1, 2 …} how often way u is used and b_r ∈ {0, 1, …} how many gears of row r
/// of the list are bought, h whole:
///
/// ```text
/// minimise  Σ_r price_r b_r
/// subject to  Σ_u y_u = sets
///             ln i (1 − δ) ≤ Σ_u y_u ln |i_u| ≤ ln i (1 + δ)
///             Σ_{u reverses} y_u = 2 h        (2 h + 1 where the output reverses)
///             Σ_u takes_{g,u} y_u = Σ_{r of gear g} b_r,  b_r ≤ count_r
/// ```
///
/// Source: a knapsack with rows in logarithms, G. Nemhauser, L. Wolsey, Integer and
/// Combinatorial Optimization, Wiley 1988. What the floats propose is checked by whoever uses
/// it.
pub(super) fn cheapest(
    brief: &ReductionBrief,
    stock: &[StockGear],
    choices: &[Choices; 2],
    sets: u8,
    stopped: &dyn Fn() -> bool,
) -> Option<Cheapest> {
    let directions: &[bool] = match brief.ratio.direction {
        Direction::Same => &[false],
        Direction::Reversed => &[true],
        Direction::Either => &[false, true],
    };
    let uses = uses(choices);
    let found = directions.iter().filter_map(|&r| solve(brief, stock, &uses, (sets, r), stopped));
    found.min_by(|a, b| a.price.total_cmp(&b.price))
}

fn uses(choices: &[Choices; 2]) -> Vec<Use<'_>> {
    let each = stages(choices).into_iter().flat_map(|stage| {
        stage.class.choices.iter().map(move |choice| Use {
            choice,
            kind: stage.kind,
            ratio: stage.ratio,
            gears: taken(choice),
        })
    });
    each.collect()
}

fn solve(
    brief: &ReductionBrief,
    stock: &[StockGear],
    uses: &[Use<'_>],
    (sets, reverses): (u8, bool),
    stopped: &dyn Fn() -> bool,
) -> Option<Cheapest> {
    let mut variables = variables!();
    let whole = |most: f64| variable().integer().min(0).max(most);
    let used: Vec<Variable> = uses.iter().map(|_| variables.add(whole(f64::from(sets)))).collect();
    let bought: Vec<Variable> =
        stock.iter().map(|gear| variables.add(whole(f64::from(gear.count)))).collect();
    let half = variables.add(whole(f64::from(sets)));
    let sum = |weight: &dyn Fn(&Use<'_>) -> f64| -> Expression {
        used.iter().zip(uses).map(|(&y, one)| weight(one) * y).sum()
    };
    let price: Expression = bought.iter().zip(stock).map(|(&b, gear)| gear.price * b).sum();
    let goal = to_f64(&brief.ratio.target).ln();
    let off = brief.ratio.tolerance.max(1e-9);
    let logs = || sum(&|one| one.ratio.abs().ln());
    let turned = sum(&|one| if one.ratio < 0.0 { 1.0 } else { 0.0 });
    let odd = if reverses { 1.0 } else { 0.0 };
    let mut model = variables
        .minimise(price)
        .using(microlp)
        .with(sum(&|_| 1.0).eq(f64::from(sets)))
        .with(logs().geq(goal + (1.0 - off).ln()))
        .with(logs().leq(goal + (1.0 + off).ln()))
        .with((turned - 2.0 * half).eq(odd));
    let mut keys: Vec<StockKey> = stock.iter().map(key_of).collect();
    keys.sort_unstable();
    keys.dedup();
    for key in keys {
        let takes = |one: &Use<'_>| {
            one.gears.iter().find(|(other, _)| *other == key).map_or(0.0, |(_, n)| f64::from(*n))
        };
        let rows = bought.iter().zip(stock).filter(|(_, gear)| key_of(gear) == key);
        let here: Expression = rows.map(|(&b, _)| Expression::from(b)).sum();
        model = model.with((sum(&takes) - here).eq(0.0));
    }
    let nodes = WORK / (uses.len() as u64).max(1);
    let (values, proved) = match solve_unless(&model, nodes, stopped) {
        Solved::Optimal(values) => (values, true),
        Solved::Feasible(values) => (values, false),
        Solved::Infeasible | Solved::Undecided => return None,
    };
    // The uses were added first.
    let sets = values.iter().zip(uses).flat_map(|(times, one)| {
        let times = times.round().max(0.0) as usize;
        std::iter::repeat_n((one.kind, *one.choice), times)
    });
    let sets: Vec<(SetKind, Choice)> = sets.collect();
    let all: Vec<Choice> = sets.iter().map(|(_, choice)| *choice).collect();
    let price = super::stock::cost(stock, &all)?;
    Some(Cheapest { sets, price, proved })
}
