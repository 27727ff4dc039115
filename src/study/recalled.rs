//! What a study's ledger recalls, judged again before it is believed: the search that is asked
//! for, counts that can be, and layouts that are worked out anew.

use super::course::StudyLedger;
use super::searched::{Found, Searched};
use crate::brief::{StudyBrief, StudySearch};
use crate::error::{Error, Mistake};
use crate::num::to_f64;
use crate::score::{Criterion, Progression, Setting, assess};
use crate::train::{Layout, canonical, parse_layout, write_layout};

/// Search number `place` of a study: what it is, and how many layouts its family has.
pub struct Request<'a> {
    pub brief: &'a StudyBrief,
    pub place: usize,
    pub search: StudySearch,
    pub layouts: u64,
}

impl Request<'_> {
    /// What came of the search, where the ledger has it.
    ///
    /// # Errors
    /// What the ledger says; [`Error::Request`] where it cannot have come of this search.
    pub fn recalled(&self, ledger: &mut dyn StudyLedger) -> Result<Option<Searched>, Error> {
        let Some(searched) = ledger.recall(self.place)? else { return Ok(None) };
        self.fits(&searched).map_err(|fault| {
            let place = self.place;
            let problem = format!("the record of search {place} is none of this brief's: {fault}");
            let mistake = Mistake::at("unfinished study", problem, "begin anew by --afresh");
            ledger.path().map_or(mistake.clone(), |path| mistake.in_file(path))
        })?;
        Ok(Some(searched))
    }

    fn fits(&self, searched: &Searched) -> Result<(), &'static str> {
        let StudySearch { family, gears, reverse, single_swap } = self.search;
        let Searched { sets, shafts, elements, engaged, bare_input, .. } = *searched;
        let same = (sets, shafts, elements, engaged, bare_input)
            == (family.sets, family.shafts, family.elements, family.engaged(), family.bare_input);
        let asked = (searched.gears, searched.reverse, searched.single_swap)
            == (gears, reverse, single_swap);
        held(same && asked, "it is of another search")?;
        held(searched.layouts == self.layouts, "it counts other layouts")?;
        held((1..=self.layouts).contains(&searched.cores), "it counts other cores")?;
        let classes =
            [searched.complete_classes, searched.sampled_classes, searched.undecided_classes];
        let classes: u128 = classes.into_iter().map(u128::from).sum();
        held(classes <= u128::from(self.layouts), "it has more classes than layouts")?;
        held(funnel_holds(searched), "its funnel does not add up")?;
        held((searched.found == 0) == searched.best.is_empty(), "its best layouts are missing")?;
        let aims = || searched.best.iter().map(|found| (found.must_nest, found.aim as u8));
        held(aims().is_sorted_by(|a, b| a < b), "its best layouts are out of order")?;
        searched.best.iter().try_for_each(|found| self.found(found))
    }

    /// Works a layout out anew.
    fn found(&self, found: &Found) -> Result<(), &'static str> {
        let layout = parse_layout(&found.layout).map_err(|_| "a layout does not read")?;
        held(self.is_asked_for(&layout), "a layout is of another family")?;
        held(write_layout(&layout) == found.layout, "a layout is not as it was written")?;
        let (core, slots) = layout.wiring();
        let spelling = canonical(&core, &slots).to_string();
        held(spelling == found.canonical, "a layout has another wiring")?;
        let assessed = assess(&layout, &self.brief.mesh);
        let ratios = assessed.ratios().ok_or("a gear of a layout does not turn")?;
        let told =
            found.gears.iter().zip(&layout.gears).zip(&ratios).all(|((told, gear), ratio)| {
                let names = gear.engaged.iter().map(|element| &layout.elements[element].name);
                told.gear == gear.name
                    && told.engaged.iter().eq(names)
                    && told.ratio == ratio.to_string()
                    && told.value == to_f64(ratio)
            });
        held(told && found.gears.len() == ratios.len(), "a layout has other gears")?;
        let setting = Setting { progression: &Progression::Geometric, teeth: &self.brief.teeth };
        let is = |criterion, told: f64| {
            let score = assessed.score(criterion, &layout, &setting);
            score.is_some_and(|score| (score - told).abs() <= 1e-9 * score.abs().max(1.0))
        };
        let scores = is(Criterion::Spread, found.spread)
            && is(Criterion::StepDeviation, found.deviation)
            && is(Criterion::Nests, f64::from(u8::from(found.nests)));
        held(scores && (found.nests || !found.must_nest), "a layout has other scores")
    }

    /// Whether a layout has the sets, shafts, elements and gears of the search.
    fn is_asked_for(&self, layout: &Layout) -> bool {
        let StudySearch { family, .. } = self.search;
        let sizes = [
            (layout.sets.len(), family.sets),
            (layout.shafts.len(), family.shafts),
            (layout.elements.len(), family.elements),
            (layout.gears.len(), self.search.states() as u8),
        ];
        let as_asked = sizes.into_iter().all(|(has, asked)| has == usize::from(asked));
        let engaged = |gear: &crate::train::Gear| gear.engaged.len() == layout.engaged();
        as_asked && layout.held.is_empty() && layout.gears.iter().all(engaged)
    }
}

/// Whether each test of the funnel goes on with what the one before it left.
fn funnel_holds(searched: &Searched) -> bool {
    let funnel = &searched.funnel;
    funnel.first().is_some_and(|first| first.entered == searched.layouts)
        && funnel.windows(2).all(|pair| pair[0].left == pair[1].entered)
}

fn held(holds: bool, fault: &'static str) -> Result<(), &'static str> {
    if holds { Ok(()) } else { Err(fault) }
}
