//! The files of a study: its facts as JSON, a layout file for each witness, the page.

use std::path::{Path, PathBuf};

use serde::Serialize;

use super::cautions::CAUTIONS;
use super::folder::{Overwrite, failed, may_write, write_instead};
use super::layouts::comment;
use super::ledger::{Earlier, LedgerFile, unlimited_text};
use super::sources::{Files, Source, json, set};
use crate::brief::{Brief, StudyBrief};
use crate::error::Error;
use crate::lesson::{Facts, study_page};
use crate::paper::html;
use crate::search::Ledger;
use crate::study::{Searched, StudyLedger, StudyRecord, Witness};

/// The ledger of a study in its results folder; the units of the search at work have one of
/// their own in a folder inside.
pub struct StudyLedgerFile {
    folder: PathBuf,
    searches: LedgerFile<Searched>,
}

/// The folder of the ledger of units.
const UNITS: &str = ".coaxle-units";

impl StudyLedgerFile {
    /// # Errors
    /// As [`LedgerFile::open`].
    pub fn open(folder: &Path, brief: &StudyBrief, earlier: Earlier) -> Result<Self, Error> {
        let searches = LedgerFile::open(folder, brief.canonical_text(), earlier)?;
        if earlier == Earlier::Discard {
            remove(&folder.join(UNITS))?;
        }
        Ok(Self { folder: folder.to_path_buf(), searches })
    }

    /// Searches that are finished.
    pub fn finished(&self) -> usize {
        self.searches.finished()
    }

    /// Removes the ledger: the study is done, and its results are written.
    ///
    /// # Errors
    /// [`Error::Work`] when the system does not let it be removed.
    pub fn close(self) -> Result<(), Error> {
        remove(&self.folder.join(UNITS))?;
        self.searches.close()
    }
}

fn remove(folder: &Path) -> Result<(), Error> {
    match folder.exists() {
        true => std::fs::remove_dir_all(folder).map_err(|error| failed("remove", folder, &error)),
        false => Ok(()),
    }
}

impl StudyLedger for StudyLedgerFile {
    fn recall(&mut self, place: usize) -> Result<Option<Searched>, Error> {
        self.searches.recalled(place)
    }

    fn keep(&mut self, place: usize, searched: &Searched) -> Result<(), Error> {
        self.searches.kept(place, searched)?;
        // What its units gave is in the record of the search now.
        remove(&self.folder.join(UNITS))
    }

    fn with_units(
        &mut self,
        brief: &Brief,
        work: &mut dyn FnMut(&mut dyn Ledger) -> Result<(), Error>,
    ) -> Result<(), Error> {
        let folder = self.folder.join(UNITS);
        let text = unlimited_text(brief);
        // Units of another search are left where a run was killed after its search was kept.
        let units = LedgerFile::open(&folder, text.clone(), Earlier::GoOn);
        let mut units = match units {
            Err(Error::Request(_)) => LedgerFile::open(&folder, text, Earlier::Discard)?,
            other => other?,
        };
        work(&mut units)
    }
}

/// Writes all files of a study, `summary.json` last, and returns their paths. Files that an
/// earlier study wrote there and this one does not are removed.
///
/// # Errors
/// As [`super::write_folder`].
pub fn write_study(
    record: &StudyRecord,
    folder: &Path,
    overwrite: Overwrite,
) -> Result<Vec<PathBuf>, Error> {
    may_write(folder, overwrite)?;
    let mut files = files(record)?;
    let summary = summary(record, &files)?;
    files.push(("summary.json".into(), summary));
    write_instead(folder, files)
}

fn files(record: &StudyRecord) -> Result<Files, Error> {
    let mut files = Files::new();
    for witness in &record.witnesses {
        files.push((witness.file.clone().into(), witness_file(witness).into_bytes()));
    }
    let facts = timeless(record);
    files.push(("study.json".into(), json(&facts)?));
    let page = study_page(record, &Facts::new(facts), &CAUTIONS, "en")?;
    files.push(("study.html".into(), html(&page).into_bytes()));
    let source = Source::of("study".to_owned(), &page);
    files.extend(source.files());
    files.extend(set(&[source])?);
    files.push(("brief.toml".into(), record.brief.clone().into_bytes()));
    Ok(files)
}

/// The record without the one thing that differs from run to run.
fn timeless(record: &StudyRecord) -> serde_json::Value {
    let mut value = serde_json::to_value(record).unwrap_or_default();
    if let Some(fields) = value.as_object_mut() {
        fields.remove("elapsed_s");
    }
    value
}

/// A layout file with comments that say what it is.
fn witness_file(witness: &Witness) -> String {
    let mut text = format!(
        "# Layout {} of a study by coaxle.\n# Open it with: coaxle show {}\n# Wiring: {}\n#\n",
        witness.name, witness.file, witness.canonical
    );
    for caution in &CAUTIONS[..2] {
        comment(&mut text, caution);
    }
    text + "\n" + &witness.layout
}

#[derive(Serialize)]
struct Summary<'a> {
    title: &'a str,
    request: &'a str,
    brief: &'a str,
    version: &'a str,
    complete: bool,
    stopped: &'a str,
    coverage: &'a [String],
    searches: usize,
    entries: usize,
    witnesses: usize,
    files: Vec<String>,
    elapsed_s: f64,
}

fn summary(record: &StudyRecord, files: &Files) -> Result<Vec<u8>, Error> {
    json(&Summary {
        title: &record.title,
        request: &record.request,
        brief: &record.brief,
        version: &record.version,
        complete: record.complete,
        stopped: record.stopped,
        coverage: &record.coverage,
        searches: record.searches.len(),
        entries: record.entries.len(),
        witnesses: record.witnesses.len(),
        files: files.iter().map(|(name, _)| name.to_string_lossy().into_owned()).collect(),
        elapsed_s: (record.elapsed_s * 1000.0).round() / 1000.0,
    })
}
