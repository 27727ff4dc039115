//! The fewest shift elements of a layout that keep its gears: a small mixed-integer model.
//!
//! Knows one layout and its exact ratios. The model only proposes; what is told has been
//! checked in whole numbers.

use good_lp::{Expression, SolverModel as _, Variable, microlp, variable, variables};

use crate::motion::solve_state;
use crate::num::{Fraction, Solved, solve_within};
use crate::train::{ElementMask, Layout};

/// Nodes of branch and bound after which the solver gives what it has. The largest layouts
/// that a file may hold take a fraction of this.
const MOST_NODES: u64 = 2000;

/// A smallest set of elements with which a layout still has the ratio of every live gear.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fewest {
    /// The elements to keep.
    pub kept: ElementMask,
    /// Each live gear by name, in the order of the layout, and a state of kept elements
    /// that has exactly its ratio: its own where that is kept.
    pub gears: Vec<(String, ElementMask)>,
    /// Whether no smaller set does it; false only where the work was not enough.
    pub proved: bool,
}

/// Finds the fewest elements of `layout` that keep the ratio of every live named gear;
/// among equally few, those with which the fewest ratios need another state than now.
/// `None` when no named gear is live.
///
/// Elements that are left out never engage, so a state still needs its full number of
/// engaged elements, all of them kept. With R the set of wanted ratios and S_r the live
/// states of ratio exactly r, the model over keep_e, serve_{r,s} ∈ {0, 1} is
///
/// ```text
/// minimise  (|R| + 1) Σ_e keep_e + Σ_r Σ_{s ∈ S_r, no gear's own} serve_{r,s}
/// subject to  Σ_{s ∈ S_r} serve_{r,s} = 1                for each ratio r
///             Σ_{s ∈ S_r, e ∈ s} serve_{r,s} ≤ keep_e    for each ratio r and element e
/// ```
///
/// Since one state serves, the last line says the same as serve_{r,s} ≤ keep_e for each e
/// of s, in fewer and tighter rows. The weight |R| + 1 puts fewer elements before fewer
/// changes. Source: a covering problem with one choice for each ratio; for why few tight
/// rows serve better than many loose ones, G. Nemhauser, L. Wolsey, Integer and
/// Combinatorial Optimization, Wiley 1988. Breaks nowhere; where very many states share a
/// ratio `MOST_NODES` may end it early, and `proved` is false.
pub fn fewest_elements(layout: &Layout) -> Option<Fewest> {
    let wanted = wanted(layout);
    if wanted.is_empty() {
        return None;
    }
    let plain = shrunk(&wanted);
    let (kept, proved) = match solved(&wanted) {
        // A float may round to a lie; only what serves in whole numbers counts.
        Some((kept, proved))
            if serves(&wanted, kept) && cost(&wanted, kept) <= cost(&wanted, plain) =>
        {
            (kept, proved)
        }
        _ => (plain, false),
    };
    let of_gear = |gear: &crate::train::Gear| {
        let ratio = wanted.iter().find(|ratio| ratio.own.contains(&gear.engaged))?;
        let own = Some(gear.engaged).filter(|&own| within(own, kept));
        Some((gear.name.clone(), own.or_else(|| ratio.state_of(kept))?))
    };
    Some(Fewest { kept, gears: layout.gears.iter().filter_map(of_gear).collect(), proved })
}

/// One wanted ratio.
struct Wanted {
    ratio: Fraction,
    /// The states of the gears that have this ratio now.
    own: Vec<ElementMask>,
    /// All states that have it, `own` first.
    states: Vec<ElementMask>,
}

impl Wanted {
    /// A state that has the ratio with kept elements only.
    fn state_of(&self, kept: ElementMask) -> Option<ElementMask> {
        self.states.iter().copied().find(|&state| within(state, kept))
    }
}

fn within(state: ElementMask, kept: ElementMask) -> bool {
    state.0 & !kept.0 == 0
}

/// The different ratios of the live gears and every state that has them.
fn wanted(layout: &Layout) -> Vec<Wanted> {
    let mut wanted: Vec<Wanted> = Vec::new();
    for gear in &layout.gears {
        let Some(ratio) = solve_state(layout, gear.engaged).ratio else { continue };
        match wanted.iter_mut().find(|known| known.ratio == ratio) {
            Some(known) if known.own.contains(&gear.engaged) => {}
            Some(known) => known.own.push(gear.engaged),
            None => wanted.push(Wanted { ratio, own: vec![gear.engaged], states: Vec::new() }),
        }
    }
    // A gear may engage more elements than a state needs, so its own state is added to
    // those of the layout.
    for known in &mut wanted {
        known.states.clone_from(&known.own);
    }
    for state in layout.states() {
        let Some(ratio) = solve_state(layout, state).ratio else { continue };
        let known = wanted.iter_mut().find(|known| known.ratio == ratio);
        if let Some(known) = known.filter(|known| !known.own.contains(&state)) {
            known.states.push(state);
        }
    }
    wanted
}

/// Whether every ratio has a state of kept elements.
fn serves(wanted: &[Wanted], kept: ElementMask) -> bool {
    wanted.iter().all(|ratio| ratio.state_of(kept).is_some())
}

/// Kept elements, then ratios for which no gear's own state is kept.
fn cost(wanted: &[Wanted], kept: ElementMask) -> (usize, usize) {
    let moved = wanted.iter().filter(|ratio| !ratio.own.iter().any(|&own| within(own, kept)));
    (kept.len(), moved.count())
}

/// Elements from which none can be taken away: those that the gears engage, less each
/// that is not needed, in order. Not always fewest, but there without any solver.
fn shrunk(wanted: &[Wanted]) -> ElementMask {
    let used = wanted.iter().flat_map(|ratio| &ratio.own).fold(0, |used, own| used | own.0);
    ElementMask(used).iter().fold(ElementMask(used), |kept, element| {
        let fewer = ElementMask(kept.0 & !(1 << element));
        if serves(wanted, fewer) { fewer } else { kept }
    })
}

/// What the solver keeps, and whether it is proved to be fewest; `None` where it gives
/// nothing.
fn solved(wanted: &[Wanted]) -> Option<(ElementMask, bool)> {
    let used = wanted.iter().flat_map(|ratio| &ratio.states).fold(0, |used, state| used | state.0);
    let used: Vec<usize> = ElementMask(used).iter().collect();
    let mut model = variables!();
    let keep: Vec<(usize, Variable)> =
        used.into_iter().map(|element| (element, model.add(variable().binary()))).collect();
    let serve: Vec<Vec<(ElementMask, Variable)>> = wanted
        .iter()
        .map(|ratio| ratio.states.iter().map(|&s| (s, model.add(variable().binary()))).collect())
        .collect();
    let weight = wanted.len() as f64 + 1.0;
    let moved = wanted.iter().zip(&serve).flat_map(|(ratio, states)| {
        states.iter().filter(|(state, _)| !ratio.own.contains(state)).map(|&(_, serve)| serve)
    });
    let elements: Expression = keep.iter().map(|&(_, keep)| weight * keep).sum();
    let objective = elements + moved.sum::<Expression>();
    let mut model = model.minimise(objective).using(microlp);
    for states in &serve {
        let all: Expression = states.iter().map(|&(_, serve)| serve).sum();
        model.add_constraint(all.eq(1));
        for &(element, keep) in &keep {
            let through = states.iter().filter(|(state, _)| state.contains(element));
            let through: Expression = through.map(|&(_, serve)| serve).sum();
            model.add_constraint(through.leq(keep));
        }
    }
    let (values, proved) = match solve_within(model.as_inner(), MOST_NODES, &|| false) {
        Solved::Optimal(values) => (values, true),
        Solved::Feasible(values) => (values, false),
        Solved::Infeasible | Solved::Undecided => return None,
    };
    // What is kept was added first.
    let kept = keep.iter().zip(&values).filter(|(_, value)| **value > 0.5);
    let kept = ElementMask::of(kept.map(|((element, _), _)| *element));
    Some((kept, proved))
}
