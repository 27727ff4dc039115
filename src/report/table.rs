//! `front.csv` and `candidates.csv`: one line a layout, one column a score.

use itertools::Itertools;
use rustc_hash::FxHashSet;

use super::cells::csv_text;
use super::number::plain;
use super::record::{Candidate, Record};
use crate::error::Error;

/// Which layouts a table lists.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rows {
    /// The front in the order of display.
    Front,
    /// All candidates in the order of the record.
    Candidates,
}

/// The text of a table: columns `id`, `canonical`, `gears`, one per criterion of the
/// record by its name, `twins` (how many), `twin_layouts` (their canonical spellings, spaces
/// between) and `front` (1 on the front, 0 behind it). Scores have at most six decimals; an unknown one is empty.
/// RFC 4180 with line feeds.
///
/// # Errors
/// [`Error::Work`] when the text cannot be made, which no known record brings about.
pub fn table(record: &Record, rows: Rows) -> Result<String, Error> {
    let names = record.criteria.iter().map(|criterion| criterion.name());
    let head = ["id", "canonical", "gears"].into_iter().chain(names).chain([
        "twins",
        "twin_layouts",
        "front",
    ]);
    let listed: Vec<&Candidate> = match rows {
        Rows::Front => record.front().collect(),
        Rows::Candidates => record.candidates.iter().collect(),
    };
    let on_front: FxHashSet<&str> = record.front().map(|one| one.id.as_str()).collect();
    let rows = listed.into_iter().map(|candidate| {
        let scores = (0..record.criteria.len()).map(|column| {
            candidate.scores.get(column).copied().flatten().map(plain).unwrap_or_default()
        });
        let twins = [candidate.twins.len().to_string(), candidate.twins.iter().join(" ")];
        let row = [candidate.id.clone(), candidate.canonical.clone(), gears_cell(candidate)];
        let front = u8::from(on_front.contains(candidate.id.as_str())).to_string();
        row.into_iter().chain(scores).chain(twins).chain([front]).collect::<Vec<_>>()
    });
    csv_text(head.map(str::to_owned), rows)
}

/// The gears in one cell: `name:ratio=value elements` separated by `; `, such as
/// `1:27/11=2.454545 A+D; 2:16/11=1.454545 A+C; R:-11/5=-2.2 B+D`. The ratio is exact, the
/// value has at most six decimals, the elements are joined by `+`. To read it: split at
/// `; `, then at the first `:`, then at `=`, then at the first space.
pub fn gears_cell(candidate: &Candidate) -> String {
    let gear = |gear: &super::record::GearRow| {
        format!(
            "{}:{}={} {}",
            gear.name,
            gear.ratio,
            plain(gear.value),
            gear.engaged.iter().join("+")
        )
    };
    candidate.gears.iter().map(gear).join("; ")
}
