//! The brief of an exam as it is written: a mirror of the TOML file, without judgement.

use serde::{Deserialize, Serialize};
use toml::Table;

use crate::brief::written::OneOrMany;

#[derive(Clone, Debug, Default, Deserialize, Serialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct WrittenExam {
    #[serde(skip_serializing_if = "Option::is_none")]
    pub title: Option<String>,
    pub exam: WrittenAsked,
    pub numbers: WrittenNumbers,
    pub teeth: WrittenExamTeeth,
    pub forms: WrittenForms,
    pub paper: WrittenPaper,
}

#[derive(Clone, Debug, Default, Deserialize, Serialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct WrittenAsked {
    pub level: Option<String>,
    pub kinds: Option<Vec<String>>,
    pub topics: Option<Vec<String>>,
    pub pool: Option<i64>,
    pub seed: Option<i64>,
}

#[derive(Clone, Debug, Default, Deserialize, Serialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct WrittenNumbers {
    pub places: Option<i64>,
    pub digits: Option<i64>,
    pub sets: Option<i64>,
}

#[derive(Clone, Debug, Default, Deserialize, Serialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct WrittenExamTeeth {
    pub sun: Option<Vec<i64>>,
    pub planet: Option<Vec<i64>>,
    pub ring: Option<Vec<i64>>,
    pub planets: Option<OneOrMany>,
}

#[derive(Clone, Debug, Default, Deserialize, Serialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct WrittenForms {
    pub forms: Option<i64>,
    pub items: Option<i64>,
    pub parallel: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub points: Option<OneOrMany>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub minutes: Option<OneOrMany>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub difficulty: Option<i64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub spread: Option<i64>,
    pub enemies: Option<Vec<Vec<String>>>,
    pub work: Option<i64>,
    pub seconds: Option<f64>,
    /// Tables, because their keys are words of this program and judged by `understood`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub topics: Option<Table>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub kinds: Option<Table>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub answers: Option<Table>,
}

#[derive(Clone, Debug, Default, Deserialize, Serialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct WrittenPaper {
    pub size: Option<String>,
    pub decimal: Option<String>,
    pub language: Option<String>,
    pub formula_sheet: Option<bool>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub subtitle: Option<String>,
    pub names: Option<Vec<String>>,
}
