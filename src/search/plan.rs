//! The plan of a run: the families of a brief, their cores, and the units of work.

use std::ops::Range;

use super::CoreFamily;
use super::cells::CellGrid;
use super::gears::MOST_STATES;
use super::ladder::Ladder;
use super::states::states_of;
use super::watch::Watch;
use crate::brief::{Brief, Family};
use crate::error::{Error, Mistake};
use crate::teeth::Catalogue;
use crate::train::{Core, ElementMask};

/// Cores of one unit of work: what is lost when a run is killed, and no more.
pub const UNIT_CORES: usize = 128;

/// All that is known before the search begins.
pub struct Plan<'a> {
    pub brief: &'a Brief,
    pub ladder: Ladder,
    pub catalogue: Catalogue,
    /// In the order of the brief; families with fewer states than gears are left out.
    pub families: Vec<FamilyPlan>,
    /// All units, in the order in which they are worked and merged.
    pub units: Vec<Unit>,
}

/// One family of layouts.
pub struct FamilyPlan {
    pub cores: Vec<Core>,
    pub sets: usize,
    /// Elements that a state engages.
    pub engaged: usize,
    pub elements: usize,
    /// Whether the family before it has the same cores, for another number of elements.
    pub same_cores: bool,
    pub grid: CellGrid,
    /// The elements of each state, as lists and as masks.
    pub combinations: Vec<Vec<usize>>,
    pub states: Vec<ElementMask>,
    /// For each state, those that may be its neighbour in the ladder.
    pub neighbours: Vec<u64>,
}

/// A range of cores of one family.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unit {
    /// Index into [`Plan::families`].
    pub family: usize,
    pub cores: Range<usize>,
}

impl<'a> Plan<'a> {
    /// `None` when the watch said stop.
    ///
    /// # Errors
    /// [`Error::Request`] when no set fits the tooth limits, or a layout would have more
    /// states than can be searched.
    pub fn new(brief: &'a Brief, watch: &Watch<'_>) -> Result<Option<Self>, Error> {
        let stopped = || watch.should_stop();
        let candidates = Catalogue::count_candidates(&brief.teeth) as u64;
        watch.progress().phase("making the catalogue of sets", candidates);
        let judged = || {
            watch.progress().tick(Catalogue::BETWEEN_QUESTIONS as u64);
            watch.should_stop()
        };
        let Some(catalogue) = Catalogue::build_unless(&brief.teeth, &judged) else {
            return Ok(None);
        };
        watch.progress().phase("listing cores", 0);
        if catalogue.is_empty() {
            let problem = "no planetary set meets every condition within these limits";
            let mend = "widen sun, planet or ring, or allow shift";
            return Err(Mistake::at("teeth", problem, mend).into());
        }
        can_be_numbered(catalogue.len())?;
        let most = brief.space.families().iter().map(Family::states).max().unwrap_or(0);
        if most > MOST_STATES as u64 {
            let problem =
                format!("lets a layout have {most} states, {MOST_STATES} can be searched");
            let mend = "allow fewer elements or shafts";
            return Err(Mistake::at("space.elements", problem, mend).into());
        }
        let ladder = Ladder::of(&brief.gears);
        let mut families: Vec<FamilyPlan> = Vec::new();
        let mut last: Option<CoreFamily> = None;
        for family in brief.space.families() {
            if family.states() < ladder.gears() as u64 {
                continue;
            }
            let core_family = core_family(&family);
            let same_cores = last == Some(core_family);
            last = Some(core_family);
            let cores = match families.last() {
                Some(before) if same_cores => before.cores.clone(),
                _ => match core_family.cores_unless(&stopped) {
                    Some(cores) => cores,
                    None => return Ok(None),
                },
            };
            families.push(FamilyPlan::new(&family, cores, same_cores, &catalogue, &ladder));
        }
        let units = families.iter().enumerate().flat_map(|(family, plan)| {
            let all = plan.cores.len();
            let unit = move |from| Unit { family, cores: from..all.min(from + UNIT_CORES) };
            (0..all).step_by(UNIT_CORES).map(unit)
        });
        let units = units.collect();
        Ok(Some(Self { brief, ladder, catalogue, families, units }))
    }

    /// The numbers of the units that are asked for: all, or a range of them.
    ///
    /// # Errors
    /// [`Error::Request`] when there are no such units.
    pub fn units_of(&self, asked: Option<Range<usize>>) -> Result<Range<usize>, Error> {
        let all = self.units.len();
        match asked {
            None => Ok(0..all),
            Some(asked) if asked.start < asked.end && asked.end <= all => Ok(asked),
            Some(asked) => {
                let problem = format!("{}..{} are not units of this brief", asked.start, asked.end);
                let mend = format!("it has {all}: write a range within 0..{all}");
                Err(Mistake::at("--units", problem, mend).into())
            }
        }
    }
}

impl FamilyPlan {
    fn new(
        family: &Family,
        cores: Vec<Core>,
        same_cores: bool,
        catalogue: &Catalogue,
        ladder: &Ladder,
    ) -> Self {
        let (sets, elements) = (usize::from(family.sets), usize::from(family.elements));
        let engaged = usize::from(family.engaged());
        let combinations = states_of(elements, engaged);
        let states: Vec<ElementMask> =
            combinations.iter().map(|state| ElementMask::of(state.iter().copied())).collect();
        let neighbours = ladder.neighbours(&states);
        let grid = CellGrid::new(catalogue.ratios(), sets);
        Self { cores, sets, engaged, elements, same_cores, grid, combinations, states, neighbours }
    }

    /// Layouts on one core, and states that its slots make.
    pub fn size_of(&self, core: &Core) -> (u64, u64) {
        let slots = core.slots().len() as u64;
        let choices = |k: usize| num_integer::binomial(slots, k as u64);
        (choices(self.elements), choices(self.engaged))
    }
}

/// Base ratios go by numbers of 16 bits: with more of them some would silently stand for others,
/// and what is proved of all would be false.
fn can_be_numbered(ratios: usize) -> Result<(), Mistake> {
    let most = usize::from(u16::MAX);
    if ratios <= most {
        return Ok(());
    }
    let problem = format!("allows {ratios} different base ratios, {most} can be searched");
    Err(Mistake::at("teeth", problem, "narrow sun, planet, ring or base_ratio"))
}

fn core_family(family: &Family) -> CoreFamily {
    let Family { sets, shafts, held, bare_input, .. } = *family;
    CoreFamily { sets, shafts, held, bare_input }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn more_base_ratios_than_numbers_are_refused() {
        assert!(can_be_numbered(65_535).is_ok());
        let mistake = can_be_numbered(65_536).unwrap_err();
        assert!(mistake.key == "teeth" && mistake.problem.contains("65536 different base ratios"));
    }
}
