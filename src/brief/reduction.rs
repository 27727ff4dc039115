//! The request for a reduction, understood: one ratio, what may make it, the room it has,
//! the load it bears.

mod canonical;
mod keys;
#[cfg(test)]
mod laws_tests;
mod ratio;
#[cfg(test)]
mod reference_tests;
mod room;
mod spoken;
mod stock;
mod understood;
mod variants;
mod written;

use std::path::Path;

use crate::error::{Error, Mistake};
use crate::motion::MeshEfficiency;
use crate::num::Fraction;
use crate::score::Criterion;
use crate::teeth::ToothLimits;
use crate::train::{SetKind, read_text};

pub(super) use keys::REDUCTION;

use super::Limit;

/// A request for a reduction that has been checked.
#[derive(Clone, Debug, PartialEq)]
pub struct ReductionBrief {
    /// One line for headings; the name where the file gives none.
    pub title: String,
    /// Name of the results folder: letters, digits, `-` and `_` only.
    pub name: String,
    pub ratio: RatioWish,
    pub train: TrainWish,
    pub room: Room,
    /// What the teeth may be. Its module and largest diameter have no meaning: those of
    /// [`Room`] count.
    pub teeth: ToothLimits,
    /// What is borne; without it faces are as wide as [`Room::width`] asks at least, and no
    /// strength is judged.
    pub load: Option<Load>,
    /// What wheels are made of, one entry a variant; each variant has a front of its own.
    /// One unnamed entry of steel where the brief names none.
    pub variants: Vec<Variant>,
    /// What a mesh loses.
    pub mesh: MeshEfficiency,
    /// What is asked of teeth, pins, shafts and hubs.
    pub strength: StrengthWish,
    /// The gears that may be used, where only those of a list may.
    pub stock: Option<Vec<StockGear>>,
    /// What the front is drawn over, in the order of the file; never empty, none twice.
    pub objectives: Vec<Criterion>,
    /// Bounds on scores of [`Criterion::REDUCTION`], one a criterion.
    pub limits: Vec<Limit>,
    /// How the parts are made.
    pub making: MakingWish,
    pub effort: ReductionEffort,
}

impl ReductionBrief {
    /// Reads a brief and the list of gears that it may name, which lies beside it or
    /// wherever its path leads from there. The name of the brief is the file's, without
    /// folder and ending.
    ///
    /// # Errors
    /// [`Error::Request`] with file, key and mend for anything that is wrong in it; of the
    /// list with file, line and column.
    pub fn read(path: &Path) -> Result<Self, Error> {
        let text = read_text(path)?;
        let name = path.file_stem().unwrap_or_default().to_string_lossy();
        let folder = path.parent().unwrap_or(Path::new(""));
        let list = |file: &Path| match read_text(&folder.join(file)) {
            Ok(text) => Ok(text),
            Err(Error::Request(mistake)) => Err(Mistake { file: None, ..mistake }),
            Err(other) => {
                let mend = "name a list of gears that may be read";
                Err(Mistake::at("", other.to_string(), mend))
            }
        };
        let brief = Self::parse(&text, &name, list).map_err(|mistake| match &mistake.file {
            Some(file) => Mistake { file: Some(folder.join(file)), ..mistake },
            None => mistake.in_file(path),
        })?;
        Ok(brief)
    }

    /// Reads the text of a brief. `name` is made safe for folders. `list` is asked for the
    /// text of the list of gears, where the brief names one, with its path as written
    /// there; [`no_list`] is for where there are no files.
    ///
    /// # Errors
    /// A [`Mistake`] that names the key and the mend; of the list with its path, line and
    /// column.
    pub fn parse(
        text: &str,
        name: &str,
        list: impl FnOnce(&Path) -> Result<String, Mistake>,
    ) -> Result<Self, Mistake> {
        let written = super::written::read(&REDUCTION, text)?;
        understood::understand(&written, text, name, list)
    }

    /// The request in two plain English sentences.
    pub fn sentence(&self) -> String {
        spoken::sentence(self)
    }

    /// The brief as TOML with every key that has a meaning in it, defaults written out and
    /// the gears of the stock as `stock.gears`; [`ReductionBrief::parse`] of it with the
    /// same name gives an equal brief and asks for no list. Two briefs that ask for the
    /// same thing have the same text.
    pub fn canonical_text(&self) -> String {
        super::written::text(&canonical::write(self))
    }

    /// What is asked for, in full and without what only limits a run.
    pub fn request_text(&self) -> String {
        let mut unlimited = self.clone();
        unlimited.effort.time_limit_s = None;
        unlimited.canonical_text()
    }
}

/// For [`ReductionBrief::parse`] where no files are read.
///
/// # Errors
/// Always.
pub fn no_list(_: &Path) -> Result<String, Mistake> {
    let mend = "write the gears into the brief, as stock.gears";
    Err(Mistake::at("", "is a list of gears, and no files are read here", mend))
}

/// The ratio that is wanted.
#[derive(Clone, Debug, PartialEq)]
pub struct RatioWish {
    /// |input speed / output speed|, from 0.0001 to 1000000; numerator and denominator have
    /// at most 64 bits with their sign.
    pub target: Fraction,
    /// Share by which the ratio may be off, below 0.5; 0 where it must be exact.
    pub tolerance: f64,
    /// Which way the output turns.
    pub direction: Direction,
    /// Share below which errors of the ratio count as none when reductions are compared.
    pub close_enough: f64,
}

/// Which way the output turns against the input.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Direction {
    Same,
    Reversed,
    Either,
}

/// What may make the ratio.
#[derive(Clone, Debug, PartialEq)]
pub struct TrainWish {
    /// Numbers of sets, 1 to 4, rising.
    pub sets: Vec<u8>,
    /// Kinds of set that may be used, at least one.
    pub kinds: Vec<SetKind>,
    pub coupling: Coupling,
    pub back_driving: BackDriving,
    /// Whether only what passes the nesting test is kept.
    pub nests: bool,
}

/// How sets may be joined.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Coupling {
    /// One behind the other, each with one member held.
    Series,
    /// In every way.
    Any,
}

/// What the output may do to the input.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BackDriving {
    Free,
    /// The output must be able to drive the input.
    Must,
    /// The output must not be able to.
    Never,
}

/// The room there is, in mm.
#[derive(Clone, Debug, PartialEq)]
pub struct Room {
    /// Largest outside diameter.
    pub bore: Option<f64>,
    /// Largest length along the axis.
    pub length: Option<f64>,
    /// Modules that may be used, rising.
    pub modules: Vec<f64>,
    /// Least and most face width, in modules.
    pub width: (f64, f64),
    /// Whether all sets have the same ring and module, so that one ring part serves all.
    pub equal_rings: bool,
    /// Thickness of a carrier plate.
    pub plate: f64,
    /// Gap along the axis between parts that turn past each other.
    pub gap: f64,
}

/// What the reduction bears.
#[derive(Clone, Debug, PartialEq)]
pub struct Load {
    /// N m at the output, without losses, above 0; where the input's is given, that times the
    /// wanted ratio.
    pub output_torque: f64,
    /// N m at the input, where that was given in place of the output's.
    pub input_torque: Option<f64>,
    /// Revolutions a minute of the input, at least 0.
    pub input_speed: f64,
    /// K_A, at least 1: how much rougher than smooth the drive is.
    pub application_factor: f64,
    /// How much more than its share the most loaded planet bears, at least 1; the usual
    /// value for the number of planets where it is not given.
    pub sharing: Option<f64>,
}

/// What is asked of what is judged under the load.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StrengthWish {
    /// Least allowable stress over stress, from 0.5 to 10: faces, pins and shafts are made as
    /// large as that asks, as far as they fit.
    pub safety: f64,
    /// K_Hβ, from 1 to 3: how much more than the mean the most loaded part of a face bears.
    pub face_load: f64,
}

/// What the parts of one variant are made of: keys of the table of materials.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Variant {
    /// Empty where the brief names no variants.
    pub name: String,
    pub sun: String,
    pub planet: String,
    pub ring: String,
    /// The carriers' plates.
    pub carrier: String,
    pub shaft: String,
}

/// A gear that the builder owns or can buy.
#[derive(Clone, Debug, PartialEq)]
pub struct StockGear {
    /// Internal teeth: a ring.
    pub internal: bool,
    pub teeth: u32,
    /// mm.
    pub module: f64,
    /// mm; of a ring its outside diameter, 0 where it is not known.
    pub bore: f64,
    /// How many there are.
    pub count: u32,
    /// Of one, in whatever money.
    pub price: f64,
}

/// How the parts are made, in mm.
#[derive(Clone, Debug, PartialEq)]
pub struct MakingWish {
    /// Circular backlash of each mesh.
    pub backlash: f64,
    /// Radius that rounds the edges of the tips, 0 for sharp ones.
    pub tip_rounding: f64,
    /// Whether shifts balance the sliding of sun and planet, instead of being the smallest
    /// that keep the conditions. Gears of a stock list are cut already.
    pub balanced_sliding: bool,
    /// Across the flats where it is hexagonal, else the diameter of the middle hole of suns
    /// and carriers; chosen by the torque where it is not given.
    pub shaft: Option<f64>,
    pub hexagonal: bool,
    /// Diameter of planet pins; chosen by the planet's size where it is not given.
    pub pin: Option<f64>,
    /// Added to the diameter of holes, because printed ones shrink.
    pub hole_allowance: f64,
    /// Diameter of bolts through rings and carriers.
    pub bolt: f64,
    /// Helix angle of herringbone teeth in degrees, 0 for straight teeth.
    pub helix: f64,
    /// For how many layouts of the front the files of the parts are written.
    pub layouts: usize,
}

/// What may be spent.
#[derive(Clone, Debug, PartialEq)]
pub struct ReductionEffort {
    /// Seconds after which the search stops and tells what it has, if limited.
    pub time_limit_s: Option<f64>,
    /// Sets of base ratios that may be tried in coupled layouts, in millions; beyond it
    /// they are sampled, and the results say so.
    pub tries: u64,
    /// Most candidates kept beside the front.
    pub keep: usize,
}
