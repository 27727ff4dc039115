//! The brief as it is written: a mirror of the TOML file, without judgement.
//!
//! Every key is optional here and every number as wide as TOML has it, so that all ranges
//! are judged in one place, in `understood`. What this room does judge is the shape: a
//! key nobody knows, a text where a number belongs.

use std::collections::BTreeMap;

use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};

use super::dialect::Dialect;
use super::fault;
use crate::error::Mistake;

#[derive(Clone, Debug, Default, Deserialize, Serialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct Written {
    #[serde(skip_serializing_if = "Option::is_none")]
    pub title: Option<String>,
    pub space: WrittenSpace,
    pub gears: WrittenGears,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub targets: Option<WrittenTargets>,
    pub teeth: WrittenTeeth,
    pub losses: WrittenLosses,
    pub score: WrittenSearchScore,
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    pub limits: BTreeMap<String, WrittenLimit>,
    pub effort: WrittenEffort,
}

#[derive(Clone, Debug, Default, Deserialize, Serialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct WrittenSpace {
    pub sets: Option<OneOrMany>,
    pub shafts: Option<OneOrMany>,
    pub elements: Option<OneOrMany>,
    pub held_shaft: Option<String>,
    pub bare_input: Option<String>,
    pub nests: Option<String>,
}

#[derive(Clone, Debug, Default, Deserialize, Serialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct WrittenGears {
    pub forward: Option<i64>,
    pub reverse: Option<i64>,
    pub single_swap: Option<bool>,
    pub first: Option<Vec<f64>>,
    pub top: Option<Vec<f64>>,
    pub reverse_ratio: Option<Vec<f64>>,
    pub spread: Option<Vec<f64>>,
    pub step: Option<Vec<f64>>,
    pub progression: Option<String>,
    pub step_factor: Option<f64>,
}

#[derive(Clone, Debug, Default, Deserialize, Serialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct WrittenTargets {
    pub forward: Option<Vec<f64>>,
    pub reverse: Option<Vec<f64>>,
    pub tolerance: Option<f64>,
}

#[derive(Clone, Debug, Default, Deserialize, Serialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct WrittenTeeth {
    pub sun: Option<Vec<i64>>,
    pub planet: Option<Vec<i64>>,
    pub ring: Option<Vec<i64>>,
    pub planets: Option<OneOrMany>,
    pub base_ratio: Option<Vec<f64>>,
    pub module: Option<f64>,
    pub pressure_angle: Option<f64>,
    pub addendum: Option<f64>,
    pub gap: Option<f64>,
    pub rim: Option<f64>,
    pub largest_diameter: Option<f64>,
    pub largest_shift: Option<f64>,
    pub odd_planet: Option<bool>,
    pub unequal_spacing: Option<bool>,
    pub radial_assembly: Option<bool>,
}

#[derive(Clone, Debug, Default, Deserialize, Serialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct WrittenLosses {
    pub external: Option<f64>,
    pub internal: Option<f64>,
    pub by_teeth: Option<bool>,
}

#[derive(Clone, Debug, Default, Deserialize, Serialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct WrittenScore {
    pub objectives: Option<Vec<String>>,
}

#[derive(Clone, Debug, Default, Deserialize, Serialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct WrittenSearchScore {
    pub objectives: Option<Vec<String>>,
    pub show: Option<i64>,
}

#[derive(Clone, Debug, Default, Deserialize, Serialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct WrittenLimit {
    pub least: Option<f64>,
    pub most: Option<f64>,
}

#[derive(Clone, Debug, Default, Deserialize, Serialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct WrittenEffort {
    pub samples: Option<i64>,
    pub time_limit: Option<f64>,
    pub memory_limit: Option<f64>,
    pub prove: Option<bool>,
    pub gap: Option<Vec<f64>>,
    pub keep: Option<i64>,
}

/// A key that takes one whole number or a list of them.
#[derive(Clone, Debug, Deserialize, Serialize)]
#[serde(untagged)]
pub(super) enum OneOrMany {
    One(i64),
    Many(Vec<i64>),
}

impl OneOrMany {
    pub fn list(&self) -> Vec<i64> {
        match self {
            Self::One(value) => vec![*value],
            Self::Many(values) => values.clone(),
        }
    }
}

/// Reads the text of a brief into the mirror of its kind.
///
/// # Errors
/// A [`Mistake`] with key and mend for an empty text and one that is no TOML, for a brief
/// of another kind, for a key that such a brief does not have, and for a value of the
/// wrong kind.
pub(super) fn read<T: DeserializeOwned>(dialect: &Dialect, text: &str) -> Result<T, Mistake> {
    if text.trim_start_matches('\u{feff}').trim().is_empty() {
        let (key, least) = dialect.least;
        let mend = format!("{least}; {} shows every key", dialect.reference);
        return Err(Mistake::at(key, "is missing, the brief is empty", mend));
    }
    fault::misshapen(dialect, text)?;
    let reader =
        toml::Deserializer::parse(text).map_err(|error| fault::no_toml(dialect, text, &error))?;
    serde_path_to_error::deserialize(reader).map_err(|error| fault::misfit(dialect, text, &error))
}

/// The text that [`read`] reads back, keys in the order of the mirror.
pub(super) fn text(written: &impl Serialize) -> String {
    toml::to_string(written).expect("plain tables, lists, texts and numbers are TOML")
}
