//! Gears chosen among states that keep the brief's limits.
//!
//! Many a limit is on the worst over all gears (torques, slips, speeds, efficiencies), and so is
//! kept exactly when each gear keeps it: at given teeth such a limit says which states may be
//! gears at all. What is left of the limits is judged at the gears that are then chosen.

use std::cell::{Cell, RefCell};

use super::gears::Chain;
use super::plan::FamilyPlan;
use super::settle::Setup;
use super::solve::{Point, Solution};
use super::twins::TwinMember;
use crate::score::assess;
use crate::train::Gear;

/// What may be taken of one class.
pub struct Keeping<'a> {
    setup: &'a Setup<'a>,
    family: &'a FamilyPlan,
    members: &'a [TwinMember],
    /// The elements that some gear must engage.
    all: u32,
    /// The point asked last, and for each twin the states that keep the limits there: hits come
    /// point by point.
    last: RefCell<Option<(Point, Vec<u64>)>>,
    /// Points at which limits may still be asked.
    looks: Cell<u32>,
}

/// Points at which the limits are asked of one class in one pass: where few keep them, bounds do
/// not tell, and all points that would better the front would have to be asked.
const MOST_LOOKS: u32 = 400;

impl<'a> Keeping<'a> {
    /// `engaged`: the elements of each state that must not stay idle, as bits.
    pub fn new(
        setup: &'a Setup<'a>,
        family: &'a FamilyPlan,
        members: &'a [TwinMember],
        engaged: &[u32],
    ) -> Self {
        let all = engaged.iter().fold(0, |all, elements| all | elements);
        Self { setup, family, members, all, last: RefCell::default(), looks: Cell::new(MOST_LOOKS) }
    }

    /// Whether a solution engages every element in some gear, and some twin meets the limits
    /// with it.
    pub fn holds(&self, solution: &Solution) -> bool {
        let states = solution.chain.forward.iter().chain(&solution.chain.reverse);
        let used = states.fold(0, |used, &state| used | self.family.states[state].0);
        used & self.all == self.all
            && (self.setup.brief.limits.is_empty() || self.some_twin(solution))
    }

    /// Whether no more points may be asked; what is then left is open.
    pub fn is_tired(&self) -> bool {
        self.looks.get() == 0
    }

    fn some_twin(&self, solution: &Solution) -> bool {
        let mut members = self.members.iter();
        members.any(|member| self.setup.keeps_limits(self.family, member, solution))
    }

    /// The evenest of the chains that `chosen` takes from these `ratios`, the states of each twin
    /// that do not keep the limits left out, and that then meets all limits.
    pub fn choose(
        &self,
        point: &Point,
        ratios: &[f64],
        chosen: &dyn Fn(&[f64]) -> Option<Chain>,
    ) -> Option<Chain> {
        if self.setup.brief.limits.is_empty() {
            return chosen(ratios);
        }
        // Without limits it would be no better.
        chosen(ratios)?;
        let mut known = self.last.borrow_mut();
        if known.as_ref().is_none_or(|(last, _)| last != point) {
            if self.is_tired() {
                return None;
            }
            self.looks.set(self.looks.get() - 1);
            let keeping = self.members.iter().map(|member| self.states(member, point)).collect();
            *known = Some((*point, keeping));
        }
        let (_, keeping) = known.as_ref()?;
        let mut best: Option<Chain> = None;
        for (member, keeping) in self.members.iter().zip(keeping) {
            let masked = ratios.iter().enumerate();
            let kept = |(state, &ratio)| if keeping >> state & 1 == 1 { ratio } else { f64::NAN };
            let masked: Vec<f64> = masked.map(kept).collect();
            let Some(chain) = chosen(&masked) else { continue };
            if best.as_ref().is_some_and(|best| best.deviation <= chain.deviation) {
                continue;
            }
            let solution = Solution { point: *point, chain };
            if self.setup.keeps_limits(self.family, member, &solution) {
                best = Some(solution.chain);
            }
        }
        best
    }

    /// The states that keep all limits that hold gear by gear, with a twin's torques and slips.
    fn states(&self, member: &TwinMember, point: &Point) -> u64 {
        let chain = Chain {
            forward: (0..self.family.states.len()).collect(),
            reverse: Vec::new(),
            log_spread: 0.0,
            deviation: 0.0,
        };
        let solution = Solution { point: *point, chain };
        let mut layout = self.setup.layout(self.family, member, &solution);
        for (state, gear) in layout.gears.iter_mut().enumerate() {
            *gear = Gear { name: format!("{state}"), engaged: gear.engaged };
        }
        let assessed = assess(&layout, &self.setup.brief.mesh);
        let keeps = |state: usize| {
            let mut limits = self.setup.brief.limits.iter();
            limits
                .all(|limit| assessed.gear_keeps(state, limit.criterion, (limit.least, limit.most)))
        };
        (0..self.family.states.len()).fold(0, |mask, s| mask | u64::from(keeps(s)) << s)
    }
}
