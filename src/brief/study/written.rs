//! The brief of a study as it is written: a mirror of the TOML file, without judgement.

use serde::{Deserialize, Serialize};

use crate::brief::written::{WrittenLosses, WrittenTeeth};

#[derive(Clone, Debug, Default, Deserialize, Serialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct WrittenStudy {
    #[serde(skip_serializing_if = "Option::is_none")]
    pub title: Option<String>,
    pub study: WrittenCompared,
    pub band: WrittenBand,
    pub teeth: WrittenTeeth,
    pub losses: WrittenLosses,
    pub effort: WrittenStudyEffort,
}

#[derive(Clone, Debug, Default, Deserialize, Serialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct WrittenCompared {
    pub sets: Option<Vec<i64>>,
    pub elements: Option<Vec<i64>>,
    pub engaged: Option<Vec<i64>>,
    pub bare_input: Option<String>,
}

#[derive(Clone, Debug, Default, Deserialize, Serialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct WrittenBand {
    pub first: Option<Vec<f64>>,
    pub top: Option<Vec<f64>>,
    pub step: Option<Vec<f64>>,
    pub reverse: Option<WrittenReverse>,
}

/// A window of the reverse, or a word.
#[derive(Clone, Debug, Deserialize, Serialize)]
#[serde(untagged)]
pub(super) enum WrittenReverse {
    Window(Vec<f64>),
    Word(String),
}

#[derive(Clone, Debug, Default, Deserialize, Serialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct WrittenStudyEffort {
    pub samples: Option<i64>,
    pub layouts: Option<i64>,
    pub again: Option<i64>,
    pub each: Option<i64>,
}
