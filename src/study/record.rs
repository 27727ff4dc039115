//! The record of a study: all its facts, ready to be written and told.

use std::collections::BTreeMap;

use num_traits::Signed;
use serde::Serialize;

use super::course::{Course, LeftOut};
use super::coverage::coverage;
use super::entries::{Asked, Entry, entries};
use super::fates::{Fates, fates};
use super::one_set::OneSet;
use super::searched::{Found, FoundGear, Searched};
use super::shortcut::{Shortcut, shortcut};
use super::why::{Why, why};
use crate::brief::StudyBrief;
use crate::error::Error;
use crate::motion::MeshEfficiency;
use crate::program::VERSION;
use crate::score::{Criterion, GearState, Progression, Setting, assess};
use crate::search::Stop;
use crate::train::{Layout, parse_layout};

/// All that a study tells. Two runs of one brief make equal records but for `elapsed_s`.
#[derive(Clone, Debug, Serialize)]
pub struct StudyRecord {
    pub title: String,
    /// The request in a plain sentence.
    pub request: String,
    /// The brief in canonical TOML, every key written out.
    pub brief: String,
    /// Of the program.
    pub version: String,
    /// Whether every search was made that the brief asks for.
    pub complete: bool,
    pub stopped: &'static str,
    /// Sentences: what is exact, what is sampled, what is proved.
    pub coverage: Vec<String>,
    pub band: BandRecord,
    pub space: SpaceRecord,
    pub catalogue: CatalogueRecord,
    pub one_set: OneSet,
    /// How many states there are, by elements and elements engaged.
    pub counts: Vec<StateCount>,
    /// The most gears that counting allows, for each number of elements.
    pub limits: Vec<GearLimit>,
    pub totals: Totals,
    pub entries: Vec<Entry>,
    pub witnesses: Vec<Witness>,
    pub shortcut: Shortcut,
    pub searches: Vec<SearchRecord>,
    pub left_out: Vec<LeftOut>,
    /// Wall time in seconds.
    pub elapsed_s: f64,
}

/// What counts as a usable gear: windows with their ends.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct BandRecord {
    pub first: [f64; 2],
    pub top: [f64; 2],
    pub step: [f64; 2],
    /// `None` where no reverse is asked for.
    pub reverse: Option<[f64; 2]>,
}

/// What kinds of layouts were searched.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SpaceRecord {
    pub sets: [u8; 2],
    pub elements: [u8; 2],
    /// Elements that a gear engages.
    pub engaged: [u8; 2],
    /// Kinds of sets.
    pub kinds: Vec<&'static str>,
    /// Whether members were held in the housing permanently.
    pub held_members: bool,
    /// Whether inputs that only clutches reach were searched: "never", "allowed", "required".
    pub bare_input: &'static str,
}

/// The sets of teeth that were tried.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CatalogueRecord {
    pub sun: [u32; 2],
    pub planet: [u32; 2],
    pub ring: [u32; 2],
    pub planets: Vec<u32>,
    /// Sets that meet every tooth condition.
    pub sets: usize,
    pub base_ratio_count: usize,
    /// Rising.
    pub base_ratios: Vec<f64>,
}

/// States of k among s elements.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct StateCount {
    pub elements: u8,
    pub engaged: u8,
    pub states: u64,
}

/// One state for each gear, and one for the reverse where there is one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct GearLimit {
    pub elements: u8,
    /// Largest number of states: forward gears alone.
    pub most_forward: u64,
    /// The same less one, for the reverse.
    pub most_gears: u64,
}

/// All searches together.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Totals {
    pub searches: usize,
    /// Families, each counted once.
    pub families: usize,
    /// Layouts of these families.
    pub layouts: u64,
    /// Of these, layouts of one set.
    pub one_set_layouts: u64,
    /// Classes left undecided, over all searches.
    pub undecided_classes: u64,
    pub sampled_classes: u64,
    pub complete_classes: u64,
}

/// One search, without its layouts.
#[derive(Clone, Debug, Serialize)]
pub struct SearchRecord {
    #[serde(flatten)]
    pub searched: Searched,
    pub all_base_ratios: bool,
}

/// A layout that an entry names; `layout` is the text of its file.
#[derive(Clone, Debug, Serialize)]
pub struct Witness {
    pub name: String,
    /// Where its layout file stands in the results folder.
    pub file: String,
    pub sets: u8,
    pub shafts: u8,
    pub elements: u8,
    /// Elements that a gear engages.
    pub engaged: u8,
    pub canonical: String,
    pub nests: bool,
    pub spread: f64,
    pub deviation: f64,
    /// The same as a difference from equal steps in percent, 100 (e^d − 1).
    pub off_percent: f64,
    /// Steps between neighbouring forward gears.
    pub steps: Vec<f64>,
    pub gears: Vec<FoundGear>,
    pub fates: Fates,
    /// What its gears are made of.
    pub why: Why,
    /// Wheels with teeth, planets each counted.
    pub wheels: u32,
    /// Planets alone.
    pub planets: u32,
    /// Least efficiency of its forward gears, and that of its reverse; `None` where there is
    /// none, and where the gear locks itself.
    pub forward_efficiency: Option<f64>,
    pub reverse_efficiency: Option<f64>,
    /// By name of the criterion; what has no value is left out.
    pub scores: BTreeMap<&'static str, f64>,
    #[serde(skip)]
    pub layout: String,
}

impl StudyRecord {
    /// What came of a course, in full.
    ///
    /// # Errors
    /// [`Error::Work`] when a layout that the search wrote does not read.
    pub fn of(brief: &StudyBrief, course: &Course) -> Result<Self, Error> {
        let (entries, found) = entries(brief, course);
        let mut witnesses = Vec::new();
        let mut layouts: Vec<(String, Layout)> = Vec::new();
        for (name, searched, found) in found {
            let layout = parse_layout(&found.layout)
                .map_err(|mistake| Error::Work(format!("{name} does not read: {mistake}")))?;
            witnesses.push(witness(brief, &name, &searched, found, &layout));
            layouts.push((name, layout));
        }
        let one = course.one_set.clone();
        let one = one.ok_or_else(|| Error::Work("no set of the catalogue turns".to_owned()))?;
        let shortcut = shortcut(one.sun, one.ring, &one.ways, &layouts);
        let boiled = |searched: &Searched| SearchRecord {
            all_base_ratios: searched.is_complete(),
            searched: Searched { best: Vec::new(), ..searched.clone() },
        };
        let band = brief.band;
        let pair = |(least, most): (f64, f64)| [least, most];
        Ok(Self {
            title: brief.title.clone(),
            request: brief.sentence(),
            brief: brief.canonical_text(),
            version: VERSION.to_owned(),
            complete: course.stop == Stop::Finished,
            stopped: course.stop.word(),
            coverage: coverage(course),
            band: BandRecord {
                first: pair(band.first),
                top: pair(band.top),
                step: pair(band.step),
                reverse: band.reverse.map(pair),
            },
            space: space(brief),
            catalogue: catalogue(brief, course),
            one_set: one,
            limits: limits(&counts(brief)),
            counts: counts(brief),
            totals: totals(course),
            entries,
            witnesses,
            shortcut,
            searches: course.searches.iter().map(boiled).collect(),
            left_out: course.left_out.clone(),
            elapsed_s: 0.0,
        })
    }

    /// The place of an entry, if the brief has it.
    pub fn entry_at(&self, sets: u8, elements: u8, asked: Asked) -> Option<usize> {
        let here = |entry: &Entry| {
            (entry.sets, entry.elements) == (sets, elements) && entry.asked() == asked
        };
        self.entries.iter().position(here)
    }

    /// An entry, if the brief has it.
    pub fn entry(&self, sets: u8, elements: u8, asked: Asked) -> Option<&Entry> {
        Some(&self.entries[self.entry_at(sets, elements, asked)?])
    }

    /// A witness by its name.
    pub fn witness(&self, name: &str) -> Option<&Witness> {
        self.witnesses.iter().find(|witness| witness.name == name)
    }
}

fn space(brief: &StudyBrief) -> SpaceRecord {
    let pair = |(least, most): (u8, u8)| [least, most];
    let families = || {
        let sets = brief.sets.0..=brief.sets.1;
        sets.flat_map(|sets| brief.families(sets, brief.elements.1))
    };
    SpaceRecord {
        sets: pair(brief.sets),
        elements: pair(brief.elements),
        engaged: pair(brief.engaged),
        // The search knows no others.
        kinds: vec!["single"],
        held_members: families().any(|family| family.held),
        bare_input: brief.bare_input.word(),
    }
}

fn catalogue(brief: &StudyBrief, course: &Course) -> CatalogueRecord {
    let teeth = &brief.teeth;
    let pair = |(fewest, most): (u32, u32)| [fewest, most];
    CatalogueRecord {
        sun: pair(teeth.sun),
        planet: pair(teeth.planet),
        ring: pair(teeth.ring),
        planets: teeth.planets.clone(),
        sets: course.catalogue,
        base_ratio_count: course.base_ratios.len(),
        base_ratios: course.base_ratios.clone(),
    }
}

fn counts(brief: &StudyBrief) -> Vec<StateCount> {
    let elements = brief.elements.0..=brief.elements.1;
    let all = elements.flat_map(|elements| {
        let engaged = brief.engaged.0..=brief.engaged.1.min(elements);
        engaged.map(move |engaged| StateCount {
            elements,
            engaged,
            states: num_integer::binomial(u64::from(elements), u64::from(engaged)),
        })
    });
    all.collect()
}

fn limits(counts: &[StateCount]) -> Vec<GearLimit> {
    let mut limits: Vec<GearLimit> = Vec::new();
    for count in counts {
        let most = limits.iter().position(|limit| limit.elements == count.elements);
        let most = most.unwrap_or_else(|| {
            limits.push(GearLimit { elements: count.elements, most_forward: 0, most_gears: 0 });
            limits.len() - 1
        });
        let limit = &mut limits[most];
        limit.most_forward = limit.most_forward.max(count.states);
        limit.most_gears = limit.most_forward.saturating_sub(1);
    }
    limits
}

pub(super) fn totals(course: &Course) -> Totals {
    let mut totals = Totals { searches: course.searches.len(), ..Totals::default() };
    let mut families = Vec::new();
    for searched in &course.searches {
        totals.undecided_classes += searched.undecided_classes;
        totals.sampled_classes += searched.sampled_classes;
        totals.complete_classes += searched.complete_classes;
        let Searched { sets, shafts, elements, bare_input, .. } = *searched;
        if !families.contains(&(sets, shafts, elements, bare_input)) {
            families.push((sets, shafts, elements, bare_input));
            totals.layouts += searched.layouts;
            totals.one_set_layouts += if sets == 1 { searched.layouts } else { 0 };
        }
    }
    totals.families = families.len();
    totals
}

fn witness(
    brief: &StudyBrief,
    name: &str,
    searched: &Searched,
    found: Found,
    layout: &Layout,
) -> Witness {
    let assessed = assess(layout, &brief.mesh);
    let setting = Setting { progression: &Progression::Geometric, teeth: &brief.teeth };
    let score = |criterion: Criterion| {
        let score = assessed.score(criterion, layout, &setting).filter(|s| s.is_finite())?;
        Some((criterion.name(), score))
    };
    let forward: Vec<f64> =
        found.gears.iter().map(|gear| gear.value).filter(|&ratio| ratio > 0.0).collect();
    let planets = layout.sets.iter().filter_map(|set| set.planets).sum();
    Witness {
        name: name.to_owned(),
        file: format!("layouts/{name}.toml"),
        sets: searched.sets,
        shafts: searched.shafts,
        elements: searched.elements,
        engaged: searched.engaged,
        canonical: found.canonical,
        nests: found.nests,
        spread: found.spread,
        deviation: found.deviation,
        off_percent: 100.0 * (found.deviation.exp() - 1.0),
        steps: forward.windows(2).map(|pair| pair[0] / pair[1]).collect(),
        gears: found.gears,
        fates: fates(layout),
        why: why(layout, forward.len().saturating_sub(1)),
        // Sun, ring and planets of each set.
        wheels: 2 * layout.sets.len() as u32 + planets,
        planets,
        forward_efficiency: efficiency(layout, &brief.mesh, false),
        reverse_efficiency: efficiency(layout, &brief.mesh, true),
        scores: Criterion::ALL.into_iter().filter_map(score).collect(),
        layout: found.layout,
    }
}

/// Least efficiency of the forward gears or of the reverse.
fn efficiency(layout: &Layout, mesh: &MeshEfficiency, reverse: bool) -> Option<f64> {
    let states =
        layout.gears.iter().map(|gear| GearState::of(layout, &gear.name, gear.engaged, mesh));
    let backward = |state: &GearState| state.motion.ratio.as_ref().map(Signed::is_negative);
    let states = states.filter(|state| backward(state) == Some(reverse));
    let each = states.map(|state| state.losses.and_then(|losses| losses.efficiency));
    each.collect::<Option<Vec<f64>>>()?.into_iter().reduce(f64::min)
}
