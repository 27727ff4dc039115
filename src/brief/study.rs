//! The brief of a study: what is compared, what counts as a usable gear, what may be spent.

mod canonical;
mod keys;
#[cfg(test)]
mod reference_tests;
mod understood;
mod written;

use std::path::Path;

pub(super) use keys::STUDY;

use super::score::SHOWN;
use super::written::{read, text};
use super::{Brief, Effort, Family, GearWish, Nesting, Permission, Space};
use crate::error::{Error, Mistake};
use crate::motion::MeshEfficiency;
use crate::score::{Criterion, Progression};
use crate::teeth::ToothLimits;
use crate::train::read_text;

/// A request for a study that has been checked.
#[derive(Clone, Debug, PartialEq)]
pub struct StudyBrief {
    /// One line for the head of the page; the name where the file gives none.
    pub title: String,
    /// Name of the results folder: letters, digits, `-` and `_` only.
    pub name: String,
    /// Fewest and most sets, within 1 to 4.
    pub sets: (u8, u8),
    /// Fewest and most shift elements.
    pub elements: (u8, u8),
    /// Fewest and most elements that a gear engages.
    pub engaged: (u8, u8),
    /// An input shaft without members, reached by clutches only.
    pub bare_input: Permission,
    pub band: Band,
    /// What the teeth may be.
    pub teeth: ToothLimits,
    /// What a mesh loses.
    pub mesh: MeshEfficiency,
    pub effort: StudyEffort,
}

/// What a usable gear is. Ratios are input speed / output speed; windows include their ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Band {
    pub first: (f64, f64),
    pub top: (f64, f64),
    pub step: (f64, f64),
    /// Of the one reverse, without its sign; `None` where no ladder needs one. Where it is a
    /// window, ladders are studied with a reverse and without.
    pub reverse: Option<(f64, f64)>,
}

/// What a study may spend.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StudyEffort {
    /// Boxes of base ratios that may be tried for one class of layouts.
    pub samples: u32,
    /// Largest family that is searched, in layouts.
    pub layouts: u64,
    /// Largest family, in layouts, that is searched for numbers of gears too that fewer sets
    /// reach.
    pub again: u64,
    /// Largest family, in layouts, that is searched for each number of gears; larger ones only
    /// until the largest number that they reach is found.
    pub each: u64,
}

impl StudyEffort {
    /// The same with nothing left out.
    #[must_use]
    pub fn thorough(self) -> Self {
        Self { layouts: u64::MAX, again: u64::MAX, each: u64::MAX, ..self }
    }
}

/// One search of a study: a family of layouts, asked for a number of gears.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StudySearch {
    pub family: Family,
    /// Forward gears.
    pub gears: u8,
    /// Whether there must be a reverse besides.
    pub reverse: bool,
    pub single_swap: bool,
}

impl StudySearch {
    /// States that its gears need, each its own.
    pub fn states(&self) -> u64 {
        u64::from(self.gears) + u64::from(self.reverse)
    }
}

impl StudyBrief {
    /// Reads a brief; its name is the file's, without folder and ending.
    ///
    /// # Errors
    /// [`Error::Request`] with file, key and mend for anything that is wrong in it.
    pub fn read(path: &Path) -> Result<Self, Error> {
        let text = read_text(path)?;
        let name = path.file_stem().unwrap_or_default().to_string_lossy();
        Self::parse(&text, &name).map_err(|mistake| mistake.in_file(path).into())
    }

    /// Reads the text of a brief. `name` is made safe for folders.
    ///
    /// # Errors
    /// A [`Mistake`] that names the key and the mend.
    pub fn parse(text: &str, name: &str) -> Result<Self, Mistake> {
        understood::understand(&read(&STUDY, text)?, name)
    }

    /// The text of the brief that is built in, `configs/study.toml`.
    pub fn default_text() -> &'static str {
        include_str!("../../configs/study.toml")
    }

    /// The brief that is built in.
    ///
    /// # Panics
    /// Never in a build that passes its tests: they read the same text.
    pub fn embedded() -> Self {
        Self::parse(Self::default_text(), "study").expect("a test reads the built-in brief")
    }

    /// The brief as TOML with every key written out; [`StudyBrief::parse`] of it with the same
    /// name gives an equal brief.
    pub fn canonical_text(&self) -> String {
        text(&canonical::write(self))
    }

    /// The request in a plain English sentence.
    pub fn sentence(&self) -> String {
        let range = |(least, most): (u8, u8), one: &str, many: &str| match (least, most) {
            (1, 1) => format!("1 {one}"),
            _ if least == most => format!("{most} {many}"),
            _ => format!("{least} to {most} {many}"),
        };
        let Band { first, top, step, reverse } = self.band;
        let back = match reverse {
            Some((least, most)) => {
                format!("without a reverse, and with one of {least} to {most}")
            }
            None => "no reverse is asked for".to_owned(),
        };
        format!(
            "Layouts of {} with {}, {} engaged in a gear, are searched for as many usable gears as \
             there can be: first ratio {} to {}, top {} to {}, steps {} to {}; {back}.",
            range(self.sets, "set", "sets"),
            range(self.elements, "shift element", "shift elements"),
            range(self.engaged, "of them", "of them"),
            first.0,
            first.1,
            top.0,
            top.1,
            step.0,
            step.1,
        )
    }

    /// Whether ladders are studied without a reverse, and with one: the weaker ask first.
    pub fn reverses(&self) -> &'static [bool] {
        if self.band.reverse.is_some() { &[false, true] } else { &[false] }
    }

    /// The families with so many sets and elements, whatever their size.
    pub fn families(&self, sets: u8, elements: u8) -> Vec<Family> {
        let shafts = (self.engaged.0..=self.engaged.1).map(|engaged| sets + 1 + engaged);
        self.space(sets, shafts.collect(), elements, self.bare_input).families()
    }

    fn space(&self, sets: u8, shafts: Vec<u8>, elements: u8, bare_input: Permission) -> Space {
        Space {
            sets: vec![sets],
            shafts,
            elements: (elements, elements),
            held_shaft: Permission::Never,
            bare_input,
            // The study tells of those that nest and of all.
            nests: Nesting::Any,
        }
    }

    /// The brief of one search of this study.
    pub fn search(&self, search: &StudySearch) -> Brief {
        let StudySearch { family, gears, reverse, single_swap } = *search;
        let plural = if family.sets == 1 { "set" } else { "sets" };
        let bare = if family.bare_input { Permission::Required } else { Permission::Never };
        Brief {
            title: format!(
                "{}: {} {plural}, {} elements, {gears} gears",
                self.title, family.sets, family.elements
            ),
            name: self.name.clone(),
            space: self.space(family.sets, vec![family.shafts], family.elements, bare),
            gears: GearWish {
                forward: usize::from(gears),
                reverse: usize::from(reverse),
                single_swap,
                first: self.band.first,
                top: self.band.top,
                // Of no account where no reverse is wanted.
                reverse_ratio: self.band.reverse.unwrap_or((1.0, 1.0)),
                spread: (1.0, f64::INFINITY),
                step: self.band.step,
                progression: Progression::Geometric,
                targets: None,
            },
            teeth: self.teeth.clone(),
            mesh: self.mesh,
            objectives: vec![Criterion::Spread, Criterion::StepDeviation, Criterion::Nests],
            limits: Vec::new(),
            show: SHOWN,
            // All that is found is looked at: what counts here is chosen from it afterwards.
            effort: Effort {
                samples: self.effort.samples,
                keep: usize::MAX,
                contest: false,
                ..Effort::default()
            },
        }
    }
}
