//! The ledger of a long run: a file in the results folder, one line a finished piece of work: a
//! unit of a search, a search of a study.
//!
//! Lines are only ever added, and each is on the disk before the next unit begins, so a
//! run that is killed at any instant loses the units in work and no more. A line begins
//! with a checksum; reading ends at the first line that does not hold, and what comes
//! behind it is done again.

use std::collections::BTreeMap;
use std::fs::{File, OpenOptions, TryLockError};
use std::io::{BufRead as _, BufReader, Read as _, Seek as _, SeekFrom, Write as _};
use std::marker::PhantomData;
use std::path::{Path, PathBuf};

use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};

use super::folder::{LEDGER, failed, sweep};
use crate::brief::Brief;
use crate::error::{Error, Mistake};
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
    /// The brief in full, without what only limits a run.
    brief: String,
}

/// Any further line.
#[derive(Serialize, Deserialize)]
struct Entry<R> {
    unit: usize,
    record: R,
}

/// A ledger in a file. Locked while it is open: two runs would garble it.
pub struct LedgerFile<R = UnitRecord> {
    record: PhantomData<R>,
    path: PathBuf,
    file: File,
    /// Where the line of each finished unit begins.
    places: BTreeMap<usize, u64>,
    end: u64,
}

impl<R: Serialize + DeserializeOwned> LedgerFile<R> {
    /// Opens or begins the ledger of a brief, told in full without what only limits a run, in
    /// `folder`, which is made where it is missing.
    ///
    /// # Errors
    /// [`Error::Request`] when there is one of another brief or version, unless it is to be
    /// discarded, or another run is at work here; [`Error::Work`] when the disk or a
    /// permission says no.
    pub fn open(folder: &Path, brief: String, earlier: Earlier) -> Result<Self, Error> {
        let path = folder.join(LEDGER);
        std::fs::create_dir_all(folder).map_err(|error| failed("make", folder, &error))?;
        let opened = OpenOptions::new().read(true).append(true).create(true).open(&path);
        let file = opened.map_err(|error| failed("open", &path, &error))?;
        match file.try_lock() {
            Ok(()) => {}
            Err(TryLockError::WouldBlock) => {
                let problem = "another run is at work in this folder";
                return Err(refused(
                    folder,
                    "--out",
                    problem,
                    "wait for it, or name another folder",
                ));
            }
            Err(TryLockError::Error(error)) => return Err(failed("lock", &path, &error)),
        }
        // Ours alone now: what a killed run left half written is nobody's.
        sweep(folder)?;
        let record = PhantomData;
        let mut ledger = Self { record, path, file, places: BTreeMap::new(), end: 0 };
        if earlier == Earlier::Discard {
            ledger.cut(0)?;
        }
        let version = env!("CARGO_PKG_VERSION").to_owned();
        ledger.read(folder, &Heading { version, brief })?;
        Ok(ledger)
    }

    /// Units that are finished.
    pub fn finished(&self) -> usize {
        self.places.len()
    }

    /// Removes the ledger: the run is done, and its results are written.
    ///
    /// # Errors
    /// [`Error::Work`] when the system does not let it be removed.
    pub fn close(self) -> Result<(), Error> {
        std::fs::remove_file(&self.path).map_err(|error| failed("remove", &self.path, &error))
    }

    /// Finds the lines that hold, and cuts off the rest.
    fn read(&mut self, folder: &Path, heading: &Heading) -> Result<(), Error> {
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
        self.cut(end)?;
        if headed { Ok(()) } else { self.add(heading).map(|_| ()) }
    }

    fn cut(&mut self, end: u64) -> Result<(), Error> {
        self.file.set_len(end).map_err(|error| failed("write", &self.path, &error))?;
        self.end = end;
        Ok(())
    }

    /// Adds a line and sees it onto the disk; returns where it begins.
    fn add(&mut self, line: &impl Serialize) -> Result<u64, Error> {
        let text = serde_json::to_string(line)
            .map_err(|error| Error::Work(format!("{}: {error}", self.path.display())))?;
        let line = format!("{:08x} {text}\n", crc32fast::hash(text.as_bytes()));
        let written = self.file.write_all(line.as_bytes()).and_then(|()| self.file.sync_data());
        if let Err(error) = written {
            // Half a line does no harm, but a full disk has better uses.
            let _ = self.file.set_len(self.end);
            return Err(failed("write", &self.path, &error));
        }
        let begin = self.end;
        self.end += line.len() as u64;
        Ok(begin)
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

/// A brief as a ledger has it. Limits stop a run; they do not change what it finds until then.
pub fn unlimited_text(brief: &Brief) -> String {
    let mut brief = brief.clone();
    (brief.effort.time_limit_s, brief.effort.memory_limit_mib) = (None, None);
    brief.canonical_text()
}

fn same(folder: &Path, found: &Heading, wanted: &Heading) -> Result<(), Error> {
    let key = "unfinished run";
    if found.version != wanted.version {
        let problem = format!("was begun by version {}, this is {}", found.version, wanted.version);
        let mend = "go on with that version, or begin anew by --afresh";
        return Err(refused(folder, key, &problem, mend));
    }
    let lines = found.brief.lines().zip(wanted.brief.lines());
    let differs = lines.into_iter().find(|(then, now)| then != now);
    match differs {
        Some((then, now)) => {
            let problem = format!("was begun for another brief: \"{then}\" then, \"{now}\" now");
            let mend = "change the brief back, or begin anew by --afresh";
            Err(refused(folder, key, &problem, mend))
        }
        None if found.brief != wanted.brief => {
            let mend = "change the brief back, or begin anew by --afresh";
            Err(refused(folder, key, "was begun for another brief", mend))
        }
        None => Ok(()),
    }
}

fn refused(folder: &Path, key: &str, problem: &str, mend: &str) -> Error {
    Mistake::at(key, problem, mend).in_file(folder).into()
}
