//! The ledger of a long run: a file in the results folder, one line a finished piece of work: a
//! unit of a search, a search of a study.
//!
//! Lines are only ever added, and each is on the disk before the next unit begins, so a
//! run that is killed at any instant loses the units in work and no more. A line begins
//! with a checksum; reading ends at the first line that does not hold, and what comes
//! behind it is done again.

use std::collections::BTreeMap;
use std::fs::{File, OpenOptions};
use std::io::{BufRead as _, BufReader, Read as _, Seek as _, SeekFrom};
use std::marker::PhantomData;
use std::path::{Path, PathBuf};

use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};

use crate::error::{Error, Mistake};
use crate::folder::{Disk, difference, failed};
use crate::program::{BUILD, VERSION};
use crate::search::{Ledger, UnitRecord};

/// What to do with the ledger of an unfinished run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Earlier {
    /// Go on with it where there is one.
    GoOn,
    /// Begin anew.
    Discard,
}

/// The first line: what the units belong to.
#[derive(Debug, PartialEq, Serialize, Deserialize)]
struct Heading {
    version: String,
    /// The build of the program; older programs wrote none.
    #[serde(default)]
    build: String,
    /// The brief in full, without what only limits a run.
    brief: String,
}

/// Any further line.
#[derive(Serialize, Deserialize)]
struct Entry<R> {
    unit: usize,
    record: R,
}

/// A ledger in a file of a folder that is open, and so locked: two runs would garble it.
pub struct LedgerFile<R = UnitRecord> {
    record: PhantomData<R>,
    disk: Disk,
    path: PathBuf,
    file: File,
    /// Where the line of each finished unit begins.
    places: BTreeMap<usize, u64>,
    end: u64,
    /// Whether it was seen to belong to this brief and build.
    is_ours: bool,
}

/// The ledger of a run in its folder.
pub const LEDGER: &str = ".coaxle-ledger";

impl<R> LedgerFile<R> {
    /// Opens or begins the ledger of a brief, told in full without what only limits a run, under
    /// `name` in `folder`, which must be open.
    ///
    /// # Errors
    /// [`Error::Request`] when there is one of another brief or build, unless it is to be
    /// discarded; [`Error::Work`] when the disk or a permission says no.
    pub fn open(
        folder: &Path,
        disk: &Disk,
        name: &str,
        brief: String,
        earlier: Earlier,
    ) -> Result<Self, Error>
    where
        R: DeserializeOwned,
    {
        let path = folder.join(name);
        if path.symlink_metadata().is_ok_and(|data| !data.is_file()) {
            let mend = "remove it, or name another folder";
            return Err(refused(folder, name, "is no plain file", mend));
        }
        // It may have been removed while a long run was at work in it.
        std::fs::create_dir_all(folder).map_err(|error| failed("make", folder, &error))?;
        let opened = OpenOptions::new().read(true).append(true).create(true).open(&path);
        let file = opened.map_err(|error| failed("open", &path, &error))?;
        let (record, disk) = (PhantomData, disk.clone());
        let (places, end, is_ours) = (BTreeMap::new(), 0, false);
        let mut ledger = Self { record, disk, path, file, places, end, is_ours };
        if earlier == Earlier::Discard {
            ledger.cut(0)?;
        }
        let heading = Heading { version: VERSION.to_owned(), build: BUILD.to_owned(), brief };
        ledger.read(folder, &heading)?;
        Ok(ledger)
    }

    pub(super) fn path(&self) -> &Path {
        &self.path
    }

    /// Units that are finished.
    pub fn finished(&self) -> usize {
        self.places.len()
    }

    /// Removes the ledger: all that was asked for is judged, and the results are written.
    ///
    /// # Errors
    /// [`Error::Work`] when the system does not let it be removed.
    pub fn close(mut self) -> Result<(), Error> {
        self.places.clear();
        self.disk.remove(&self.path).map_err(|error| failed("remove", &self.path, &error))
    }

    /// Finds the lines that hold, and cuts off the rest.
    fn read(&mut self, folder: &Path, heading: &Heading) -> Result<(), Error>
    where
        R: DeserializeOwned,
    {
        let failed = |error: &std::io::Error| failed("read", &self.path, error);
        let mut reader = BufReader::new(&self.file);
        reader.seek(SeekFrom::Start(0)).map_err(|error| failed(&error))?;
        let (mut line, mut end) = (Vec::new(), 0u64);
        let mut headed = false;
        loop {
            line.clear();
            let length = reader.read_until(b'\n', &mut line).map_err(|error| failed(&error))?;
            let Some(text) = (length > 0).then(|| checked(&line)).flatten() else { break };
            if headed {
                let Ok(entry) = serde_json::from_str::<Entry<R>>(text) else { break };
                self.places.insert(entry.unit, end);
            } else {
                let Ok(found) = serde_json::from_str::<Heading>(text) else { break };
                same(folder, &found, heading)?;
                headed = true;
            }
            end += length as u64;
        }
        if !headed && self.has_lines()? {
            let problem = "cannot be told apart: the first line of its ledger is damaged";
            return Err(refused(folder, KEY, problem, "begin anew by --afresh"));
        }
        self.is_ours = true;
        if headed && end == self.length()? {
            self.end = end;
            return Ok(());
        }
        self.cut(end)?;
        if headed { Ok(()) } else { self.add(heading).map(|_| ()) }
    }

    /// Whether any line holds. A heading that was torn while it was written has none behind it.
    fn has_lines(&self) -> Result<bool, Error> {
        let mut reader = BufReader::new(&self.file);
        let failed = |error: &std::io::Error| failed("read", &self.path, error);
        reader.seek(SeekFrom::Start(0)).map_err(|error| failed(&error))?;
        for line in reader.split(b'\n') {
            let line = line.map_err(|error| failed(&error))?;
            if checked(&[&line[..], b"\n"].concat()).is_some() {
                return Ok(true);
            }
        }
        Ok(false)
    }

    fn length(&self) -> Result<u64, Error> {
        let data = self.file.metadata().map_err(|error| failed("read", &self.path, &error))?;
        Ok(data.len())
    }

    fn cut(&mut self, end: u64) -> Result<(), Error> {
        self.disk.cut(&self.file, end).map_err(|error| failed("write", &self.path, &error))?;
        self.end = end;
        Ok(())
    }

    /// Adds a line and sees it onto the disk; returns where it begins.
    fn add(&mut self, line: &impl Serialize) -> Result<u64, Error> {
        let text = serde_json::to_string(line)
            .map_err(|error| Error::Work(format!("{}: {error}", self.path.display())))?;
        let line = format!("{:08x} {text}\n", crc32fast::hash(text.as_bytes()));
        if let Err(error) = self.disk.add(&mut self.file, line.as_bytes()) {
            // Half a line does no harm, but a full disk has better uses.
            let _ = self.disk.cut(&self.file, self.end);
            return Err(failed("write", &self.path, &error));
        }
        let begin = self.end;
        self.end += line.len() as u64;
        Ok(begin)
    }
}

impl<R> Drop for LedgerFile<R> {
    fn drop(&mut self) {
        // One without a finished unit is nothing to go on with.
        if self.is_ours && self.places.is_empty() {
            let _ = self.disk.remove(&self.path);
        }
    }
}

impl<R: Serialize + DeserializeOwned> LedgerFile<R> {
    /// The record of a piece of work that was finished before.
    pub(super) fn recalled(&mut self, unit: usize) -> Result<Option<R>, Error> {
        let Some(&place) = self.places.get(&unit) else { return Ok(None) };
        let mut line = Vec::new();
        let read = self.file.seek(SeekFrom::Start(place)).and_then(|_| {
            let reader = BufReader::new(&self.file);
            reader.take(self.end - place).read_until(b'\n', &mut line)
        });
        read.map_err(|error| failed("read", &self.path, &error))?;
        let entry = checked(&line).and_then(|text| serde_json::from_str::<Entry<R>>(text).ok());
        let changed = || Error::Work(format!("{} changed while it was read", self.path.display()));
        entry.map(|entry| Some(entry.record)).ok_or_else(changed)
    }

    pub(super) fn kept(&mut self, unit: usize, record: &R) -> Result<(), Error> {
        #[derive(Serialize)]
        struct Line<'a, R> {
            unit: usize,
            record: &'a R,
        }
        let place = self.add(&Line { unit, record })?;
        self.places.insert(unit, place);
        Ok(())
    }
}

impl Ledger for LedgerFile {
    fn path(&self) -> Option<&Path> {
        Some(&self.path)
    }

    fn recall(&mut self, unit: usize) -> Result<Option<UnitRecord>, Error> {
        self.recalled(unit)
    }

    fn keep(&mut self, unit: usize, record: &UnitRecord) -> Result<(), Error> {
        self.kept(unit, record)
    }
}

/// The text of a whole line whose checksum holds.
fn checked(line: &[u8]) -> Option<&str> {
    let line = std::str::from_utf8(line).ok()?.strip_suffix('\n')?;
    let (sum, text) = line.split_once(' ')?;
    (u32::from_str_radix(sum, 16).ok()? == crc32fast::hash(text.as_bytes())).then_some(text)
}

/// What an error is about.
const KEY: &str = "unfinished run";

fn same(folder: &Path, found: &Heading, wanted: &Heading) -> Result<(), Error> {
    if (&found.version, &found.build) != (&wanted.version, &wanted.build) {
        let told = |heading: &Heading| match heading.build.as_str() {
            "" => format!("version {}", heading.version),
            build => format!("version {}, build {build}", heading.version),
        };
        let problem = format!("was begun by {}; this is {}", told(found), told(wanted));
        let mend = "go on with that program, or begin anew by --afresh";
        return Err(refused(folder, KEY, &problem, mend));
    }
    if found.brief != wanted.brief {
        let differs = difference(&found.brief, &wanted.brief);
        let mend = "change the brief back, name another folder, or begin anew by --afresh";
        return Err(refused(folder, KEY, &format!("was begun for another brief{differs}"), mend));
    }
    Ok(())
}

fn refused(folder: &Path, key: &str, problem: &str, mend: &str) -> Error {
    Mistake::at(key, problem, mend).in_file(folder).into()
}
