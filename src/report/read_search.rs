//! The results of a search read back, as they stand in a folder: for whoever does not believe them.

use std::path::{Path, PathBuf};

use serde::Deserialize;

use super::cells::unguarded;
use crate::brief::Brief;
use crate::check::{Gap, Row, SpaceWritten, WrittenGear, WrittenResults};
use crate::error::{Error, Mistake};
use crate::score::Criterion;
use crate::train::{Layout, read_layout};

/// A table or summary larger than this is none of ours: a million rows are smaller.
const LARGEST_FILE: u64 = 1 << 30;
/// What to do about a file that a search cannot have written.
const MEND: &str = "name a folder as coaxle search wrote it, or search the brief again";

/// What is read of `summary.json`; other keys are passed over.
#[derive(Deserialize)]
struct Summary {
    brief: String,
    complete: bool,
    space: Space,
    front: Vec<String>,
    #[serde(default)]
    proof: Option<Proof>,
}

#[derive(Deserialize)]
struct Space {
    cores: u64,
    layouts: u64,
    states: u64,
}

#[derive(Deserialize)]
struct Proof {
    #[serde(default)]
    gap: Option<ProofGap>,
    /// By how much nothing beats the front, where that is proved.
    #[serde(default)]
    reached: Option<ProofGap>,
}

#[derive(Deserialize)]
struct ProofGap {
    #[serde(default)]
    ln_spread: f64,
    #[serde(default)]
    step_deviation: f64,
}

/// The results of a search in `folder`: summary.json, front.csv, candidates.csv where it is
/// there, and a layout file for every row of front.csv.
///
/// # Errors
/// [`Error::Request`] with the file and what would be right, where one is missing or is none that
/// a search has written. What is wrong in a file that reads is not judged here.
pub fn read_results(folder: &Path) -> Result<WrittenResults, Error> {
    let path = folder.join("summary.json");
    let summary: Summary = serde_json::from_str(&text_of(&path)?)
        .map_err(|error| wrong(&path, "", format!("is no summary of a search ({error})")))?;
    let name = folder.file_name().unwrap_or_default().to_string_lossy();
    let brief = Brief::parse(&summary.brief, &name).map_err(|mistake| {
        let problem = format!("is no brief of a search: {}: {}", mistake.key, mistake.problem);
        wrong(&path, "brief", problem)
    })?;
    let gap = gap_of(&summary, &path)?;
    let (front, columns) = read_table(&folder.join("front.csv"), &brief)?;
    let candidates = folder.join("candidates.csv");
    let candidates = match candidates.exists() {
        true => Some(read_table(&candidates, &brief)?.0),
        false => None,
    };
    let layouts = front.iter().map(|row| read_layout(&layout_path(folder, row)?));
    let layouts: Vec<Layout> = layouts.collect::<Result<_, Error>>()?;
    let Space { cores, layouts: counted, states } = summary.space;
    Ok(WrittenResults {
        nesting_required: asks_for_nesting(&summary.brief),
        brief,
        complete: summary.complete,
        space: SpaceWritten { cores, layouts: counted, states },
        front_ids: summary.front,
        gap,
        columns,
        front,
        candidates,
        layouts,
    })
}

fn wrong(path: &Path, key: &str, problem: impl Into<String>) -> Mistake {
    Mistake::at(key, problem, MEND).in_file(path)
}

fn text_of(path: &Path) -> Result<String, Error> {
    let unreadable = |error: std::io::Error| wrong(path, "", format!("cannot be read ({error})"));
    let data = std::fs::metadata(path).map_err(unreadable)?;
    if !data.is_file() || data.len() > LARGEST_FILE {
        return Err(wrong(path, "", "is no file of a search, or larger than any of them").into());
    }
    std::fs::read_to_string(path).map_err(|error| unreadable(error).into())
}

fn gap_of(summary: &Summary, path: &Path) -> Result<Gap, Mistake> {
    // What is claimed; where nothing is, what was sought.
    let told = summary.proof.as_ref().and_then(|p| p.reached.as_ref().or(p.gap.as_ref()));
    let Some(gap) = told else {
        return Ok(Gap::default());
    };
    let ProofGap { ln_spread, step_deviation } = *gap;
    let sound = |value: f64| value.is_finite() && value >= 0.0;
    if !sound(ln_spread) || !sound(step_deviation) {
        return Err(wrong(path, "proof", "has a number that is no gap"));
    }
    Ok(Gap { ln_spread, step_deviation })
}

/// Whether a brief has a key `nests` that says "required", in whatever table it stands.
fn asks_for_nesting(brief: &str) -> bool {
    fn asks(table: &toml::Table) -> bool {
        table.iter().any(|(key, value)| match value {
            toml::Value::String(word) => key == "nests" && word == "required",
            toml::Value::Table(inner) => asks(inner),
            _ => false,
        })
    }
    brief.parse::<toml::Table>().is_ok_and(|table| asks(&table))
}

/// A table, and the scores that it has columns for. Columns are known by name.
fn read_table(path: &Path, brief: &Brief) -> Result<(Vec<Row>, Vec<Criterion>), Error> {
    let text = text_of(path)?;
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let broken = |error: csv::Error| wrong(path, "", format!("is no table ({error})"));
    let head: Vec<String> =
        reader.headers().map_err(broken)?.iter().map(|cell| unguarded(cell).to_owned()).collect();
    let place = |name: &str| head.iter().position(|column| column == name);
    let needed = ["id", "canonical", "gears", "twins", "twin_layouts"];
    let objectives = brief.objectives.iter().map(|objective| objective.name());
    if let Some(missing) = needed.into_iter().chain(objectives).find(|name| place(name).is_none()) {
        return Err(wrong(path, "", format!("has no column {missing}")).into());
    }
    let mut rows = Vec::new();
    for record in reader.records() {
        let record = record.map_err(broken)?;
        let line = record.position().map_or(0, csv::Position::line);
        let cell = |name: &str| {
            place(name).and_then(|at| record.get(at)).map(unguarded).unwrap_or_default()
        };
        rows.push(read_row(line, &cell).map_err(|(column, problem)| {
            wrong(path, &format!("line {line}, column {column}"), problem)
        })?);
    }
    if rows.is_empty() {
        return Err(wrong(path, "", "has no rows").into());
    }
    let columns = Criterion::ALL.into_iter().filter(|c| place(c.name()).is_some());
    Ok((rows, columns.collect()))
}

/// A row, or the column that does not read and why.
fn read_row<'a>(line: u64, cell: &dyn Fn(&str) -> &'a str) -> Result<Row, (&'static str, String)> {
    let unread = |column: &'static str| (column, format!("\"{}\" does not read", cell(column)));
    let score = |criterion: Criterion| match cell(criterion.name()) {
        "" => Ok(None),
        text => match text.parse::<f64>() {
            Ok(value) if value.is_finite() => Ok(Some(value)),
            _ => Err(unread(criterion.name())),
        },
    };
    Ok(Row {
        line,
        id: cell("id").to_owned(),
        canonical: cell("canonical").to_owned(),
        gears: WrittenGear::all(cell("gears")).ok_or_else(|| unread("gears"))?,
        scores: Criterion::ALL.into_iter().map(score).collect::<Result<_, _>>()?,
        twins: cell("twin_layouts").split_whitespace().map(str::to_owned).collect(),
        twin_count: cell("twins").parse().map_err(|_| unread("twins"))?,
    })
}

/// The layout file of a row; its id must be a plain name, or it would lead elsewhere.
fn layout_path(folder: &Path, row: &Row) -> Result<PathBuf, Mistake> {
    let plain = |c: char| c.is_ascii_alphanumeric() || c == '-' || c == '_';
    if row.id.is_empty() || !row.id.chars().all(plain) {
        let problem = format!("\"{}\" names no layout file", row.id);
        return Err(wrong(&folder.join("front.csv"), &format!("line {}", row.line), problem));
    }
    Ok(folder.join("layouts").join(format!("{}.toml", row.id)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_key_that_asks_for_nesting_is_found_where_it_stands() {
        assert!(asks_for_nesting("[space]\nnests = \"required\"\n"));
        assert!(asks_for_nesting("nests = \"required\"\n"));
        assert!(!asks_for_nesting("[space]\nnests = \"any\"\n"));
        assert!(!asks_for_nesting("[limits]\nnests = { least = 1 }\n"));
    }
}
