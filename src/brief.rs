//! The request: as written, then as understood and checked.
//!
//! A brief is a TOML file. `written` mirrors it without judgement; `understood` checks
//! every range and name once and fills in the defaults, so that below this room nothing
//! can fail because of the user. Every refusal names file, key, what was found and what
//! would be right. `configs/every-key.toml` describes every key.
//!
//! This room knows what may be asked for, not how it is searched.

mod canonical;
mod checks;
mod dialect;
mod exam;
mod fault;
mod gears;
mod keys;
#[cfg(test)]
mod laws_tests;
mod reduction;
#[cfg(test)]
mod reference_tests;
mod score;
mod space;
mod spoken;
mod study;
mod teeth;
mod understood;
mod written;

use std::path::Path;

pub use exam::{Bounds, ExamBrief, FormsWish, NumberWish, PaperSize, PaperWish, Parallel};
pub use gears::{GearWish, Targets};
pub use reduction::{
    BackDriving, Coupling, Direction, Load, MakingWish, RatioWish, ReductionBrief, ReductionEffort,
    Room, StockGear, StrengthWish, TrainWish, Variant, no_list,
};
pub use score::{Effort, Limit};
pub use space::{Family, Nesting, Permission, Space};
pub use study::{Band, StudyBrief, StudyEffort, StudySearch};

use crate::error::{Error, Mistake};
use crate::motion::MeshEfficiency;
use crate::score::Criterion;
use crate::teeth::ToothLimits;
use crate::train::read_text;

/// A request that has been checked: what is searched, what is wanted, what counts and
/// what may be spent.
#[derive(Clone, Debug, PartialEq)]
pub struct Brief {
    /// One line for headings; the name where the file gives none.
    pub title: String,
    /// Name of the results folder: letters, digits, `-` and `_` only.
    pub name: String,
    /// What is searched.
    pub space: Space,
    /// What gears are wanted.
    pub gears: GearWish,
    /// What the teeth may be.
    pub teeth: ToothLimits,
    /// What a mesh loses.
    pub mesh: MeshEfficiency,
    /// What the front is drawn over, in the order of the file; never empty, none twice.
    pub objectives: Vec<Criterion>,
    /// Bounds on scores, in the order of [`Criterion::ALL`], one a criterion.
    pub limits: Vec<Limit>,
    /// Layouts of the front that the report shows, 1 to 1000.
    pub show: usize,
    /// What may be spent.
    pub effort: Effort,
}

impl Brief {
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
        understood::understand(&written::read(&keys::SEARCH, text)?, name)
    }

    /// The text of the brief that is built in, `configs/railcar-6.toml`.
    pub fn default_text() -> &'static str {
        include_str!("../configs/railcar-6.toml")
    }

    /// The brief that is built in.
    ///
    /// # Panics
    /// Never in a build that passes its tests: they read the same text.
    pub fn embedded() -> Self {
        Self::parse(Self::default_text(), "railcar-6").expect("a test reads the built-in brief")
    }

    /// The request in two plain English sentences.
    pub fn sentence(&self) -> String {
        spoken::sentence(self)
    }

    /// The brief as TOML with every key that has a meaning in it, defaults written out;
    /// [`Brief::parse`] of it with the same name gives an equal brief. Two briefs that
    /// ask for the same thing have the same text.
    pub fn canonical_text(&self) -> String {
        written::text(&canonical::write(self))
    }

    /// What is asked for, in full and without what only limits a run: limits stop it, they do
    /// not change what it finds until then.
    pub fn request_text(&self) -> String {
        let mut unlimited = self.clone();
        (unlimited.effort.time_limit_s, unlimited.effort.memory_limit_mib) = (None, None);
        unlimited.canonical_text()
    }
}
