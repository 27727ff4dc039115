//! `summary.json`: the run in short, for machines.

use serde::Serialize;

use super::record::{FrontProof, Record, SpaceCount, Stage};
use crate::error::Error;

#[derive(Serialize)]
struct Summary<'a> {
    title: &'a str,
    request: &'a str,
    brief: &'a str,
    version: &'a str,
    complete: bool,
    stopped: &'a str,
    coverage: &'a [String],
    space: SpaceCount,
    funnel: &'a [Stage],
    front: Vec<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    proof: Option<&'a FrontProof>,
    elapsed_s: f64,
}

/// The text of `summary.json`, keys in a fixed order; the last line but one is the only
/// place in a results folder where a time stands.
///
/// # Errors
/// [`Error::Work`] when the text cannot be made, which no known record brings about.
pub fn summary(record: &Record) -> Result<String, Error> {
    let milliseconds = (record.elapsed_s * 1000.0).round() / 1000.0;
    let summary = Summary {
        title: &record.title,
        request: &record.request,
        brief: &record.brief,
        version: &record.version,
        complete: record.complete,
        stopped: &record.stopped,
        coverage: &record.coverage,
        space: record.space,
        funnel: &record.funnel,
        front: record.front().map(|candidate| candidate.id.as_str()).collect(),
        proof: record.proof.as_ref(),
        elapsed_s: milliseconds,
    };
    let text = serde_json::to_string_pretty(&summary)
        .map_err(|error| Error::Work(format!("summary.json could not be made: {error}")))?;
    Ok(text + "\n")
}
