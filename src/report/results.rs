//! The files of a search or a reduction, and the folder that they go into.

use std::path::PathBuf;

use super::layouts::layout_file;
use super::page::page;
use super::pictures::Pictures;
use super::record::{Kind, Record};
use super::summary::summary;
use super::table::{Rows, table};
use super::workshop_files::workshop_files;
use crate::draw::png;
use crate::error::Error;
use crate::folder::{Claim, Files, Folder, Neighbours};

/// The folder of the front's layouts.
const LAYOUTS: &str = "layouts";
/// Image points a pixel of the picture: sharp on paper at a hand's width.
pub(super) const PNG_SCALE: f32 = 2.0;
/// Names that every run writes, and folders that it fills; a reduction parts as well.
const NAMES: [&str; 11] = [
    "summary.json",
    "front.csv",
    "candidates.csv",
    "pareto.svg",
    "pareto.png",
    "matrix.svg",
    "parallel.svg",
    "funnel.svg",
    "report.html",
    "layouts/",
    "parts/",
];

/// The claim of a search or a reduction on its folder. `request` is the brief in full, without
/// what only limits a run.
pub fn results_claim(kind: Kind, request: &str, force: bool) -> Claim<'_> {
    let (command, holding, neighbours) = (kind.command(), "results", Neighbours::Apart);
    let names = match kind {
        Kind::Reduction => &NAMES[..],
        Kind::Search => &NAMES[..NAMES.len() - 1],
    };
    Claim { command, holding, request, force, afresh: false, neighbours, names }
}

/// Writes all results, and returns the paths written, `summary.json` last; `None` where results
/// stand in the folder that say more, and so stay (see [`Folder::keeps`]).
///
/// # Errors
/// As [`Folder::write`].
pub fn write_results(record: &Record, folder: &mut Folder) -> Result<Option<Vec<PathBuf>>, Error> {
    check_ids(record)?;
    // Pictures and pages of results that will not be written are not made.
    if folder.keeps(&record.extent) {
        return Ok(None);
    }
    folder.write(files(record)?, record.extent)
}

/// All files by their names in the folder. The summary is last: where it stands, the
/// others stand.
fn files(record: &Record) -> Result<Files, Error> {
    let pictures = Pictures::of(record)?;
    let pareto = &pictures.pareto;
    let layouts = record.front().map(|candidate| {
        let name = format!("{LAYOUTS}/{}.toml", candidate.id);
        (PathBuf::from(name), layout_file(record.kind, candidate).into_bytes())
    });
    let mut files: Files = layouts.collect();
    files.push(("front.csv".into(), table(record, Rows::Front)?.into_bytes()));
    files.push(("candidates.csv".into(), table(record, Rows::Candidates)?.into_bytes()));
    files.push(("pareto.svg".into(), pareto.svg().into_bytes()));
    files.push(("pareto.png".into(), png(pareto, PNG_SCALE)?));
    let further = [
        ("matrix.svg", &pictures.matrix),
        ("parallel.svg", &pictures.parallel),
        ("steps.svg", &pictures.steps),
        ("funnel.svg", &pictures.funnel),
    ];
    // A reduction has one ratio and so no steps.
    let further =
        further.into_iter().filter(|(name, _)| record.kind == Kind::Search || *name != "steps.svg");
    files.extend(further.map(|(name, picture)| (name.into(), picture.svg().into_bytes())));
    files.extend(workshop_files(record)?);
    files.push(("report.html".into(), page(record, &pictures)?.into_bytes()));
    files.push(("summary.json".into(), summary(record)?.into_bytes()));
    Ok(files)
}

/// Ids are file names: one that is not plain, or that two layouts share, would write
/// outside the folder or over another.
fn check_ids(record: &Record) -> Result<(), Error> {
    let mut seen = rustc_hash::FxHashSet::default();
    for candidate in &record.candidates {
        let id = candidate.id.as_str();
        let plain = |c: u8| c.is_ascii_alphanumeric() || c == b'-' || c == b'_';
        if id.is_empty() || id.len() > 100 || !id.bytes().all(plain) {
            return Err(Error::Work(format!("\"{id}\" cannot name a layout file")));
        }
        if !seen.insert(id) {
            return Err(Error::Work(format!("two layouts have the name {id}")));
        }
    }
    Ok(())
}
