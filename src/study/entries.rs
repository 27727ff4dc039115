//! What is reached with at most so many sets and elements: the answer of a study, entry by
//! entry.

use serde::Serialize;

use super::course::Course;
use super::searched::{Aim, Found, Searched};
use crate::brief::{Family, StudyBrief, StudySearch};

/// What at most so many sets with at most so many elements reach.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Entry {
    pub sets: u8,
    pub elements: u8,
    /// Whether there must be a reverse besides.
    pub reverse: bool,
    /// Whether neighbouring gears must differ by one element released and one applied.
    pub single_swap: bool,
    /// Whether only layouts that pass the nesting test count.
    pub must_nest: bool,
    /// Largest number of usable forward gears; 0 where there are not even two.
    pub gears: u8,
    /// Whether more gears are proved impossible: all larger numbers were searched in all
    /// families, and nothing was left undecided.
    pub proved: bool,
    /// One for each number of gears, from 2.
    pub rungs: Vec<Rung>,
}

/// What is asked of a ladder beside its number of gears.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Asked {
    pub reverse: bool,
    pub single_swap: bool,
    pub must_nest: bool,
}

impl Asked {
    /// Forward gears by any shift, with a reverse or without; wirings that cross count.
    pub fn any(reverse: bool) -> Self {
        Self { reverse, single_swap: false, must_nest: false }
    }

    #[must_use]
    pub fn single_swap(self) -> Self {
        Self { single_swap: true, ..self }
    }

    #[must_use]
    pub fn nesting(self) -> Self {
        Self { must_nest: true, ..self }
    }
}

impl Entry {
    pub fn asked(&self) -> Asked {
        let Self { reverse, single_swap, must_nest, .. } = *self;
        Asked { reverse, single_swap, must_nest }
    }
}

/// One number of gears.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Rung {
    pub gears: u8,
    /// The largest spread.
    pub widest: Reached,
    /// The smallest step deviation.
    pub evenest: Reached,
    /// Whether every family was searched for this number: else more may be reached.
    pub all_searched: bool,
    /// How the base ratios of the layouts were sought: "complete" or "sampled".
    pub base_ratios: &'static str,
}

/// A value and the layout that reaches it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Reached {
    pub spread: f64,
    pub deviation: f64,
    /// Sets and elements of the layout.
    pub sets: u8,
    pub elements: u8,
    /// Name of its layout file.
    pub witness: String,
}

/// All entries, and the witnesses that they name with their layouts.
pub fn entries(
    brief: &StudyBrief,
    course: &Course,
) -> (Vec<Entry>, Vec<(String, Searched, Found)>) {
    let mut witnesses = Vec::new();
    let mut entries = Vec::new();
    for sets in brief.sets.0..=brief.sets.1 {
        for elements in brief.elements.0..=brief.elements.1 {
            for [reverse, single_swap, must_nest] in asks(brief) {
                let cell = Cell { brief, course, sets, elements, reverse, single_swap, must_nest };
                entries.push(cell.entry(&mut witnesses));
            }
        }
    }
    (entries, witnesses)
}

/// All combinations of what may be asked: a reverse, single swaps, nesting.
fn asks(brief: &StudyBrief) -> Vec<[bool; 3]> {
    let mut asks = Vec::new();
    for &reverse in brief.reverses() {
        for single_swap in [false, true] {
            for must_nest in [false, true] {
                asks.push([reverse, single_swap, must_nest]);
            }
        }
    }
    asks
}

/// What one entry looks at.
struct Cell<'a> {
    brief: &'a StudyBrief,
    course: &'a Course,
    sets: u8,
    elements: u8,
    reverse: bool,
    single_swap: bool,
    must_nest: bool,
}

type Witnesses = Vec<(String, Searched, Found)>;

impl Cell<'_> {
    fn entry(&self, witnesses: &mut Witnesses) -> Entry {
        let most = self.searches().map(|searched| searched.gears).max().unwrap_or(0);
        let rungs = (2..=most).filter_map(|gears| self.rung(gears, witnesses));
        let rungs: Vec<Rung> = rungs.collect();
        let gears = rungs.last().map_or(0, |rung| rung.gears);
        Entry {
            sets: self.sets,
            elements: self.elements,
            reverse: self.reverse,
            single_swap: self.single_swap,
            must_nest: self.must_nest,
            gears,
            proved: self.none_above(gears),
            rungs,
        }
    }

    /// Searches of at most so many sets and elements.
    fn searches(&self) -> impl Iterator<Item = &Searched> {
        self.course.searches.iter().filter(|searched| {
            searched.sets <= self.sets
                && searched.elements <= self.elements
                && (searched.reverse, searched.single_swap) == (self.reverse, self.single_swap)
        })
    }

    fn rung(&self, gears: u8, witnesses: &mut Witnesses) -> Option<Rung> {
        let [widest, evenest] = Aim::ALL.map(|aim| self.best(gears, aim));
        let here = || self.searches().filter(|searched| searched.gears == gears);
        let complete = here().all(Searched::is_complete);
        Some(Rung {
            gears,
            widest: reached(widest?, witnesses),
            evenest: reached(evenest?, witnesses),
            all_searched: self.unsearched(gears) == 0,
            base_ratios: if complete { "complete" } else { "sampled" },
        })
    }

    /// The best layout; of equal ones that of fewer sets and elements.
    fn best(&self, gears: u8, aim: Aim) -> Option<(&Searched, &Found)> {
        let searches = self.searches().filter(|searched| searched.gears == gears);
        let all = searches.flat_map(|searched| {
            let fits = |found: &&Found| found.aim == aim && found.must_nest == self.must_nest;
            searched.best.iter().filter(fits).map(move |found| (searched, found))
        });
        all.min_by(|(a, x), (b, y)| {
            aim.compare((x.spread, x.deviation), (y.spread, y.deviation))
                .then_with(|| (a.sets, a.elements).cmp(&(b.sets, b.elements)))
                .then_with(|| y.nests.cmp(&x.nests))
                .then_with(|| x.canonical.cmp(&y.canonical))
        })
    }

    /// Families with states enough that were not searched for so many gears.
    fn unsearched(&self, gears: u8) -> usize {
        let mut missing = 0;
        for sets in self.brief.sets.0..=self.sets {
            for elements in self.brief.elements.0..=self.elements {
                let families = self.brief.families(sets, elements).into_iter();
                let states = u64::from(gears) + u64::from(self.reverse);
                let with_states = families.filter(|family| family.states() >= states);
                missing += with_states.filter(|family| !self.settled(family, gears)).count();
            }
        }
        missing
    }

    /// Whether a family was searched for so many gears, or is known to have none.
    fn settled(&self, family: &Family, gears: u8) -> bool {
        let Self { reverse, single_swap, .. } = *self;
        let search = StudySearch { family: *family, gears, reverse, single_swap };
        self.course.searches.iter().any(|searched| {
            let same = searched.is_of(family)
                && (searched.gears, searched.reverse, searched.single_swap)
                    == (gears, reverse, single_swap);
            same || searched.excludes(&search)
        })
    }

    /// Whether more than `gears` gears are proved impossible.
    fn none_above(&self, gears: u8) -> bool {
        let states =
            |sets, elements| self.brief.families(sets, elements).iter().map(Family::states).max();
        let sets = self.brief.sets.0..=self.sets;
        let most = sets.flat_map(|sets| {
            (self.brief.elements.0..=self.elements).filter_map(move |e| states(sets, e))
        });
        let most = most.max().unwrap_or(0).saturating_sub(u64::from(self.reverse)) as u8;
        (gears.max(1) + 1..=most).all(|more| {
            let mut here = self.searches().filter(|searched| searched.gears == more);
            self.unsearched(more) == 0 && here.all(|searched| searched.undecided_classes == 0)
        })
    }
}

/// A layout as a witness: the same layout with the same gears has one name.
fn reached((searched, found): (&Searched, &Found), witnesses: &mut Witnesses) -> Reached {
    let known = witnesses.iter().find(|(_, _, other)| other.layout == found.layout);
    let witness = match known {
        Some((name, ..)) => name.clone(),
        None => {
            let name = format!("W{:03}", witnesses.len() + 1);
            witnesses.push((name.clone(), searched.clone(), found.clone()));
            name
        }
    };
    Reached {
        spread: found.spread,
        deviation: found.deviation,
        sets: searched.sets,
        elements: searched.elements,
        witness,
    }
}
