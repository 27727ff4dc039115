//! The files of a study: its facts as JSON, a layout file for each witness, the page.

use std::path::{Path, PathBuf};

use serde::Serialize;

use super::cautions::CAUTIONS;
use super::layouts::comment;
use super::ledger::{Earlier, LEDGER, LedgerFile};
use super::sources::{Source, json, set};
use crate::brief::Brief;
use crate::error::Error;
use crate::folder::{Claim, Disk, Extent, Files, Folder, Neighbours, failed};
use crate::lesson::{Facts, study_page};
use crate::paper::html;
use crate::search::Ledger;
use crate::study::{Searched, StudyLedger, StudyRecord, Witness};

/// The ledgers of a study in its folder: of its searches, and of the units of the search at work.
pub struct StudyLedgerFile {
    folder: PathBuf,
    disk: Disk,
    searches: LedgerFile<Searched>,
}

/// The ledger of units.
const UNITS: &str = ".coaxle-units";

impl StudyLedgerFile {
    /// # Errors
    /// As [`LedgerFile::open`].
    pub fn open(
        folder: &Path,
        disk: &Disk,
        request: String,
        earlier: Earlier,
    ) -> Result<Self, Error> {
        let searches = LedgerFile::open(folder, disk, LEDGER, request, earlier)?;
        let ledger = Self { folder: folder.to_path_buf(), disk: disk.clone(), searches };
        if earlier == Earlier::Discard {
            ledger.drop_units()?;
        }
        Ok(ledger)
    }

    /// Searches that are finished.
    pub fn finished(&self) -> usize {
        self.searches.finished()
    }

    /// Removes the ledgers: the study is done, and its results are written.
    ///
    /// # Errors
    /// [`Error::Work`] when the system does not let them be removed.
    pub fn close(self) -> Result<(), Error> {
        self.drop_units()?;
        self.searches.close()
    }

    fn drop_units(&self) -> Result<(), Error> {
        let path = self.folder.join(UNITS);
        let removed = self.disk.remove(&path);
        removed.map_err(|error| failed("remove", &path, &error))
    }
}

impl StudyLedger for StudyLedgerFile {
    fn path(&self) -> Option<&Path> {
        Some(self.searches.path())
    }

    fn recall(&mut self, place: usize) -> Result<Option<Searched>, Error> {
        self.searches.recalled(place)
    }

    fn keep(&mut self, place: usize, searched: &Searched) -> Result<(), Error> {
        self.searches.kept(place, searched)?;
        // What its units gave is in the record of the search now.
        self.drop_units()
    }

    fn with_units(
        &mut self,
        brief: &Brief,
        work: &mut dyn FnMut(&mut dyn Ledger) -> Result<(), Error>,
    ) -> Result<(), Error> {
        let text = brief.request_text();
        // Units of another search are left where a run was killed after its search was kept.
        let open = |text, earlier| LedgerFile::open(&self.folder, &self.disk, UNITS, text, earlier);
        let mut units: LedgerFile = match open(text.clone(), Earlier::GoOn) {
            Err(Error::Request(_)) => open(text, Earlier::Discard)?,
            other => other?,
        };
        work(&mut units)
    }
}

/// Names that every study writes, and folders that it fills.
const NAMES: [&str; 6] =
    ["summary.json", "study.json", "study.html", "brief.toml", "layouts/", "figures/"];

/// The claim of a study on its folder.
pub fn study_claim(request: &str, force: bool) -> Claim<'_> {
    let (command, holding) = ("study", "results");
    Claim {
        command,
        holding,
        request,
        force,
        afresh: false,
        neighbours: Neighbours::Apart,
        names: &NAMES,
    }
}

/// Writes all files of a study, `summary.json` last, and returns their paths; `None` where
/// results stand in the folder that say more, and so stay.
///
/// # Errors
/// As [`Folder::write`].
pub fn write_study(
    record: &StudyRecord,
    folder: &mut Folder,
) -> Result<Option<Vec<PathBuf>>, Error> {
    let extent = match record.complete {
        true => Extent::WHOLE,
        false => Extent::part(0, record.searches.len() as u64),
    };
    if folder.keeps(&extent) {
        return Ok(None);
    }
    let mut files = files(record)?;
    let summary = summary(record, &files)?;
    files.push(("summary.json".into(), summary));
    folder.write(files, extent)
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
