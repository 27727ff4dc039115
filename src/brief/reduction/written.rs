//! The brief of a reduction as it is written: a mirror of the TOML file, without judgement.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};
use toml::{Spanned, Table, Value};

use crate::brief::written::{OneOrMany, WrittenLimit, WrittenLosses, WrittenScore, WrittenTeeth};

#[derive(Clone, Debug, Default, Deserialize, Serialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct WrittenReduction {
    #[serde(skip_serializing_if = "Option::is_none")]
    pub title: Option<String>,
    pub ratio: WrittenRatio,
    pub train: WrittenTrain,
    pub room: WrittenRoom,
    /// Module and largest diameter stand in the mirror of `search`; here they are refused.
    pub teeth: WrittenTeeth,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub load: Option<WrittenLoad>,
    /// A table, because its names are the user's own and keep their order.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub materials: Option<Table>,
    pub losses: WrittenLosses,
    pub strength: WrittenStrength,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stock: Option<WrittenStock>,
    pub score: WrittenScore,
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    pub limits: BTreeMap<String, WrittenLimit>,
    pub parts: WrittenParts,
    pub effort: WrittenReductionEffort,
}

#[derive(Clone, Debug, Default, Deserialize, Serialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct WrittenRatio {
    /// With its place in the text: a float would have lost the decimal that was written.
    pub target: Option<Spanned<Value>>,
    pub tolerance: Option<f64>,
    pub exact: Option<bool>,
    pub direction: Option<String>,
    pub close_enough: Option<f64>,
}

#[derive(Clone, Debug, Default, Deserialize, Serialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct WrittenTrain {
    pub sets: Option<OneOrMany>,
    pub kinds: Option<Vec<String>>,
    pub coupling: Option<String>,
    pub back_driving: Option<String>,
    pub nests: Option<bool>,
}

#[derive(Clone, Debug, Default, Deserialize, Serialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct WrittenRoom {
    pub bore: Option<f64>,
    pub length: Option<f64>,
    pub modules: Option<WrittenModules>,
    pub width: Option<Vec<f64>>,
    pub equal_rings: Option<bool>,
    pub plate: Option<f64>,
    pub gap: Option<f64>,
}

/// One module, a list of them, or the name of a series.
#[derive(Clone, Debug, Deserialize, Serialize)]
#[serde(untagged)]
pub(super) enum WrittenModules {
    One(f64),
    Many(Vec<f64>),
    Series(String),
}

#[derive(Clone, Debug, Default, Deserialize, Serialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct WrittenLoad {
    pub output_torque: Option<f64>,
    pub input_torque: Option<f64>,
    pub input_speed: Option<f64>,
    pub application_factor: Option<f64>,
    pub sharing: Option<f64>,
}

#[derive(Clone, Debug, Default, Deserialize, Serialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct WrittenStrength {
    pub safety: Option<f64>,
    pub face_load_factor: Option<f64>,
}

#[derive(Clone, Debug, Default, Deserialize, Serialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct WrittenStock {
    pub file: Option<String>,
    pub gears: Option<Vec<WrittenGear>>,
}

/// One line of a list of gears, in TOML or from a table of texts.
#[derive(Clone, Debug, Default, Deserialize, Serialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct WrittenGear {
    pub kind: Option<String>,
    pub teeth: Option<i64>,
    pub module: Option<f64>,
    pub bore: Option<f64>,
    pub count: Option<i64>,
    pub price: Option<f64>,
}

#[derive(Clone, Debug, Default, Deserialize, Serialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct WrittenParts {
    pub backlash: Option<f64>,
    pub tip_rounding: Option<f64>,
    pub balanced_sliding: Option<bool>,
    pub shaft: Option<f64>,
    pub hexagonal: Option<bool>,
    pub pin: Option<f64>,
    pub hole_allowance: Option<f64>,
    pub bolt: Option<f64>,
    pub helix: Option<f64>,
    pub layouts: Option<i64>,
}

#[derive(Clone, Debug, Default, Deserialize, Serialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct WrittenReductionEffort {
    pub time_limit: Option<f64>,
    pub tries: Option<i64>,
    pub keep: Option<i64>,
}
