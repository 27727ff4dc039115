//! What a ledger recalls, held against the plan before it is believed.
//!
//! A checksum tells that a line was written whole, not that it is this run's. What comes back must
//! be what the unit could have given: its own cores, slots that they have, points of the catalogue,
//! states of the layout, counts that add up. Ratios are not asked here: `settle` works them out
//! anew in fractions and drops what does not hold.

use super::ledger::Ledger;
use super::plan::{FamilyPlan, Plan, Unit};
use super::solve::Solution;
use super::twins::TwinMember;
use super::unit::{SolvedClass, UnitRecord};
use crate::error::{Error, Mistake};

/// The record of unit `number`, where the ledger has one.
///
/// # Errors
/// What the ledger says; [`Error::Request`] where the record cannot be one of this unit.
pub fn recalled(
    ledger: &mut dyn Ledger,
    plan: &Plan<'_>,
    number: usize,
) -> Result<Option<UnitRecord>, Error> {
    let Some(record) = ledger.recall(number)? else { return Ok(None) };
    let found = fits(&record, plan, &plan.units[number]);
    found.map_err(|fault| {
        let problem = format!("the record of unit {number} is none of this brief's: {fault}");
        let mistake = Mistake::at("unfinished run", problem, "begin anew by --afresh");
        ledger.path().map_or(mistake.clone(), |path| mistake.in_file(path))
    })?;
    Ok(Some(record))
}

/// Whether a record can be what the unit gave; what is wrong where it cannot.
fn fits(record: &UnitRecord, plan: &Plan<'_>, unit: &Unit) -> Result<(), &'static str> {
    let family = &plan.families[unit.family];
    let sizes = unit.cores.clone().map(|core| family.size_of(&family.cores[core]));
    let (layouts, states) = sizes.fold((0, 0), |all, one| (all.0 + one.0, all.1 + one.1));
    let counted = (record.cores, record.sifted.layouts, record.states);
    held(counted == (unit.cores.len() as u64, layouts, states), "it counts other cores")?;
    held(record.not_reached == 0, "it was not finished")?;
    held(fates(record) == u128::from(layouts), "its counts do not add up")?;
    let undecided = record.undecided_classes.len() as u64;
    held(undecided <= record.undecided, "it has more undecided classes than layouts")?;
    let rising = record.solved.is_sorted_by(|a, b| a.keys < b.keys);
    held(rising, "its classes are out of order")?;
    let expected = Expected { plan, family, unit };
    record.solved.iter().try_for_each(|class| expected.class(class))
}

/// Layouts of a record by what became of them, added up.
fn fates(record: &UnitRecord) -> u128 {
    let sifted = &record.sifted;
    let fallen = [sifted.mirrored, sifted.too_few, sifted.windows, record.not_nested];
    let tried = [record.no_ladder, record.no_teeth, record.undecided];
    let solved = record.solved.iter().map(|class| class.members.len() as u64);
    fallen.into_iter().chain(tried).chain(solved).map(u128::from).sum()
}

fn held(holds: bool, fault: &'static str) -> Result<(), &'static str> {
    if holds { Ok(()) } else { Err(fault) }
}

/// What a class of a unit is made of.
struct Expected<'a> {
    plan: &'a Plan<'a>,
    family: &'a FamilyPlan,
    unit: &'a Unit,
}

impl Expected<'_> {
    fn class(&self, class: &SolvedClass) -> Result<(), &'static str> {
        held(class.keys.len() == self.family.states.len(), "a class has other states")?;
        held(!class.members.is_empty(), "a class has no layouts")?;
        let solved = !class.complete || !class.solutions.is_empty();
        held(solved, "a class is solved without a solution")?;
        class.members.iter().try_for_each(|member| self.member(member))?;
        class.solutions.iter().try_for_each(|solution| self.solution(solution))
    }

    fn member(&self, member: &TwinMember) -> Result<(), &'static str> {
        let core = member.core as usize;
        held(self.unit.cores.contains(&core), "a layout is on a core of another unit")?;
        let slots = self.family.cores[core].slots().len();
        let (chosen, spare) = member.slots.split_at(self.family.elements);
        let there = different(chosen, slots) && spare.iter().all(|&slot| slot == 0);
        held(there, "a layout has slots that its core has not")?;
        let (sets, spare) = member.sets.split_at(self.family.sets);
        let numbered = different(sets, self.family.sets) && spare.iter().all(|&set| set == 0);
        held(numbered, "a layout numbers its sets wrongly")
    }

    fn solution(&self, solution: &Solution) -> Result<(), &'static str> {
        let (point, spare) = solution.point.split_at(self.family.sets);
        let most = self.plan.catalogue.len();
        let there = point.iter().all(|&index| usize::from(index) < most);
        held(there && spare.iter().all(|&index| index == 0), "no such base ratios are there")?;
        let (chain, ladder) = (&solution.chain, &self.plan.ladder);
        let gears = (chain.forward.len(), chain.reverse.len());
        held(gears == (ladder.forward(), ladder.reverse.len()), "it has other gears")?;
        let engaged: Vec<usize> = chain.forward.iter().chain(&chain.reverse).copied().collect();
        let states = self.family.states.len();
        held(different(&engaged, states), "a gear is a state that no layout has")?;
        let finite = chain.log_spread.is_finite() && chain.deviation.is_finite();
        held(finite, "spread or steps are no numbers")
    }
}

/// Whether these are places among `most`, each named once.
fn different<T: Copy + TryInto<usize>>(places: &[T], most: usize) -> bool {
    let mut named = vec![false; most];
    places.iter().all(|&place| {
        let place = place.try_into().unwrap_or(usize::MAX);
        named.get_mut(place).is_some_and(|named| !std::mem::replace(named, true))
    })
}
