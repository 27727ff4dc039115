//! The course of a study: which searches are made, in which order, and what is left out.
//!
//! For each number of sets and elements, for forward gears alone and with a reverse, for any
//! shift and for single swaps: numbers of gears are asked for from the most that states allow
//! downwards; those that fewer sets reach too only in families that are not too large for it, and
//! in the largest families only until some number is found, as are forward gears alone where both
//! are asked for. A number that fails is thereby proved
//! out of reach, unless a search left layouts undecided; and what is out of reach by a weaker ask
//! (no reverse, any shift) is not asked again with more.

use std::path::Path;

use serde::{Deserialize, Serialize};

use super::one_set::{OneSet, one_set};
use super::recalled::Request;
use super::searched::Searched;
use crate::brief::{Brief, Family, StudyBrief, StudyEffort, StudySearch};
use crate::error::Error;
use crate::num::grouped;
use crate::search::{
    Controls, CoreFamily, Course as SearchCourse, Ledger, Limits, NoLedger, Progress, Stop,
    run_course,
};
use crate::teeth::Catalogue;

/// What a study keeps of its finished work, so that it can go on after it was stopped.
pub trait StudyLedger {
    /// What came of search number `place`, if it was finished before.
    ///
    /// # Errors
    /// [`Error::Work`] when it cannot be read.
    fn recall(&mut self, place: usize) -> Result<Option<Searched>, Error>;

    /// Keeps what came of search number `place`.
    ///
    /// # Errors
    /// [`Error::Work`] when it cannot be kept.
    fn keep(&mut self, place: usize, searched: &Searched) -> Result<(), Error>;

    /// Where a person finds it, for sentences about it.
    fn path(&self) -> Option<&Path> {
        None
    }

    /// Does `work` with a ledger of the units of one search.
    ///
    /// # Errors
    /// What `work` says, and [`Error::Work`] when the ledger cannot be had.
    fn with_units(
        &mut self,
        brief: &Brief,
        work: &mut dyn FnMut(&mut dyn Ledger) -> Result<(), Error>,
    ) -> Result<(), Error>;
}

/// Keeps nothing.
#[derive(Clone, Copy, Debug, Default)]
pub struct NoStudyLedger;

impl StudyLedger for NoStudyLedger {
    fn recall(&mut self, _place: usize) -> Result<Option<Searched>, Error> {
        Ok(None)
    }

    fn keep(&mut self, _place: usize, _searched: &Searched) -> Result<(), Error> {
        Ok(())
    }

    fn with_units(
        &mut self,
        _brief: &Brief,
        work: &mut dyn FnMut(&mut dyn Ledger) -> Result<(), Error>,
    ) -> Result<(), Error> {
        work(&mut NoLedger)
    }
}

/// All searches of a study, and why it ended.
#[derive(Clone, Debug)]
pub struct Course {
    pub stop: Stop,
    pub searches: Vec<Searched>,
    /// Families larger than the brief allows.
    pub left_out: Vec<LeftOut>,
    /// Base ratios of the catalogue, rising.
    pub base_ratios: Vec<f64>,
    /// Sets of the catalogue.
    pub catalogue: usize,
    /// What one set does; `None` where the study was stopped before the catalogue was made.
    pub one_set: Option<OneSet>,
}

/// A family that was not searched.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct LeftOut {
    pub sets: u8,
    pub shafts: u8,
    pub elements: u8,
    pub bare_input: bool,
    pub layouts: u64,
}

/// Fewest gears between which there is a step.
const FEWEST_GEARS: u8 = 2;

/// Makes all searches of a study.
///
/// The result depends on the brief alone. Where it was stopped, it has the searches that were
/// finished until then.
///
/// # Errors
/// [`Error::Request`] when no set fits the tooth limits; [`Error::Work`] when threads cannot be
/// started or the ledger fails.
pub fn run(
    brief: &StudyBrief,
    controls: &Controls<'_>,
    ledger: &mut dyn StudyLedger,
) -> Result<Course, Error> {
    controls.progress.phase("making the catalogue of sets", 0);
    let Some(catalogue) = Catalogue::build_unless(&brief.teeth, &|| controls.stopped()) else {
        return Ok(Course {
            stop: Stop::Interrupted,
            searches: Vec::new(),
            left_out: Vec::new(),
            base_ratios: Vec::new(),
            catalogue: 0,
            one_set: None,
        });
    };
    let mut runner = Runner {
        brief,
        controls,
        ledger,
        course: Course {
            stop: Stop::Finished,
            searches: Vec::new(),
            left_out: Vec::new(),
            base_ratios: catalogue.ratios().to_vec(),
            catalogue: catalogue.entries().len(),
            one_set: one_set(&catalogue, &brief.band),
        },
        place: 0,
    };
    for sets in brief.sets.0..=brief.sets.1 {
        for elements in brief.elements.0..=brief.elements.1 {
            if runner.cell(sets, elements)?.is_none() {
                return Ok(runner.course);
            }
        }
    }
    Ok(runner.course)
}

struct Runner<'a> {
    brief: &'a StudyBrief,
    controls: &'a Controls<'a>,
    ledger: &'a mut dyn StudyLedger,
    course: Course,
    /// Searches begun.
    place: usize,
}

/// What is asked of a ladder beside its number of gears.
#[derive(Clone, Copy)]
struct Ask {
    reverse: bool,
    single_swap: bool,
}

impl Ask {
    fn of(self, family: Family, gears: u8) -> StudySearch {
        StudySearch { family, gears, reverse: self.reverse, single_swap: self.single_swap }
    }
}

/// Progress that says of which search it is.
struct Labelled<'a> {
    about: String,
    inner: &'a dyn Progress,
}

impl Progress for Labelled<'_> {
    fn phase(&self, name: &str, total: u64) {
        self.inner.phase(&format!("{}: {name}", self.about), total);
    }

    fn tick(&self, by: u64) {
        self.inner.tick(by);
    }
}

/// `None`: the study was stopped.
type Unless<T> = Result<Option<T>, Error>;

impl Runner<'_> {
    /// All searches of one number of sets and elements.
    fn cell(&mut self, sets: u8, elements: u8) -> Unless<()> {
        let mut families = Vec::new();
        for family in self.brief.families(sets, elements) {
            let Some(layouts) = size(&family, self.controls) else {
                self.course.stop = Stop::Interrupted;
                return Ok(None);
            };
            if layouts <= self.brief.effort.layouts {
                families.push((family, layouts));
            } else {
                let Family { shafts, bare_input, .. } = family;
                self.course.left_out.push(LeftOut { sets, shafts, elements, bare_input, layouts });
            }
        }
        for &reverse in self.brief.reverses() {
            for single_swap in [false, true] {
                let ask = Ask { reverse, single_swap };
                if self.descend(&families, ask)?.is_none() {
                    return Ok(None);
                }
            }
        }
        Ok(Some(()))
    }

    /// Asks families, each with its number of layouts, for fewer and fewer gears.
    fn descend(&mut self, families: &[(Family, u64)], ask: Ask) -> Unless<()> {
        let Some((first, _)) = families.first() else { return Ok(Some(())) };
        let known = self.reached(first.sets, first.elements, ask);
        let StudyEffort { again, each, .. } = self.brief.effort;
        // Beside ladders with a reverse, of those without only the most gears is asked.
        let by_the_way = !ask.reverse && self.brief.reverses().len() > 1;
        let most = families.iter().map(|(family, _)| family.states()).max().unwrap_or(0) as u8;
        let mut done: Vec<Family> = Vec::new();
        for gears in (FEWEST_GEARS..=most).rev() {
            for &(family, layouts) in families {
                let search = ask.of(family, gears);
                let wanted = family.states() >= search.states()
                    && (gears > known || (!by_the_way && layouts <= again));
                let excluded = || self.course.searches.iter().any(|done| done.excludes(&search));
                if !wanted || done.contains(&family) || excluded() {
                    continue;
                }
                let Some(searched) = self.search(&search, layouts)? else { return Ok(None) };
                if searched.found > 0 && (layouts > each || by_the_way) {
                    done.push(family);
                }
                self.course.searches.push(searched);
            }
        }
        Ok(Some(()))
    }

    /// The most gears found with fewer sets and no more elements.
    fn reached(&self, sets: u8, elements: u8, ask: Ask) -> u8 {
        let fewer = self.course.searches.iter().filter(|searched| {
            searched.sets < sets
                && searched.elements <= elements
                && (searched.reverse, searched.single_swap) == (ask.reverse, ask.single_swap)
                && searched.found > 0
        });
        fewer.map(|searched| searched.gears).max().unwrap_or(0)
    }

    fn search(&mut self, search: &StudySearch, layouts: u64) -> Unless<Searched> {
        let place = self.place;
        self.place += 1;
        let asked = Request { brief: self.brief, place, search: *search, layouts };
        if let Some(searched) = asked.recalled(self.ledger)? {
            return Ok(Some(searched));
        }
        if self.controls.stopped() {
            self.course.stop = Stop::Interrupted;
            return Ok(None);
        }
        let brief = self.brief.search(search);
        let StudySearch { family, gears, reverse, single_swap } = *search;
        let back = if reverse { ", a reverse" } else { "" };
        let swap = if single_swap { ", single swaps" } else { "" };
        let sets = if family.sets == 1 { "set" } else { "sets" };
        let about = format!(
            "{} {sets}, {} shafts, {} elements, {gears} gears{back}{swap}",
            family.sets, family.shafts, family.elements
        );
        let progress = Labelled { about, inner: self.controls.progress };
        let controls = &Controls { progress: &progress, ..*self.controls };
        let mut findings = None;
        self.ledger.with_units(&brief, &mut |ledger| {
            let limits = Limits::default();
            let course = SearchCourse { units: None, limits, ledger };
            findings = Some(run_course(&brief, controls, course)?);
            Ok(())
        })?;
        // The work was done, so its findings are there.
        let Some(findings) = findings else { return Ok(None) };
        if findings.stop != Stop::Finished {
            self.course.stop = findings.stop;
            return Ok(None);
        }
        let searched = Searched::of(search, &findings);
        self.ledger.keep(place, &searched)?;
        Ok(Some(searched))
    }
}

/// Layouts of a family: its cores times the choices of elements among the slots; `None` when
/// stopped.
fn size(family: &Family, controls: &Controls<'_>) -> Option<u64> {
    let Family { sets, shafts, held, bare_input, elements } = *family;
    let family = CoreFamily { sets, shafts, held, bare_input };
    let cores = family.cores_unless(&|| controls.stopped())?;
    let layouts = |core: &crate::train::Core| {
        num_integer::binomial(core.slots().len() as u64, u64::from(elements))
    };
    Some(cores.iter().map(layouts).sum())
}

impl LeftOut {
    /// In words, for a terminal.
    pub fn told(&self) -> String {
        let bare = if self.bare_input { ", bare input" } else { "" };
        format!(
            "{} sets on {} shafts with {} elements{bare}: {} layouts",
            self.sets,
            self.shafts,
            self.elements,
            grouped(self.layouts)
        )
    }
}
