//! The marker of a folder: whose it is, and the list of what was written there.

use std::collections::BTreeMap;
use std::io::ErrorKind;
use std::path::Path;

use serde::{Deserialize, Serialize};

use super::disk::Disk;
use super::look::is_plain;
use super::{STAGING, failed};
use crate::error::{Error, Mistake};

/// Name of the marker.
pub(super) const MARKER: &str = ".coaxle.json";
/// The marker on its way.
const HALF: &str = ".coaxle-marker.part";
/// Of the shape below; another one is of a newer program.
const FORMAT: u32 = 1;

const NOTE: &str = "What coaxle wrote into this folder. Only files that stand here, and are as they \
                    were written, are ever replaced or removed.";

/// What a folder is.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Marker {
    note: String,
    format: u32,
    /// The command that it belongs to.
    pub command: String,
    /// What that command wrote: its results, or results of several kinds.
    pub holdings: BTreeMap<String, Holding>,
    /// A writing that is not at its end.
    pub writing: Option<Writing>,
}

/// One kind of results in a folder.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Holding {
    /// What was asked for, in full.
    pub request: String,
    /// The program that wrote it.
    pub version: String,
    pub build: String,
    pub extent: Extent,
    /// Every file with the mark of its contents.
    pub files: BTreeMap<String, String>,
}

/// How much of a request some results rest on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Extent {
    /// Whether on all of it.
    pub whole: bool,
    /// Else on the work from here …
    pub from: u64,
    /// … up to here, in units of the command.
    pub to: u64,
}

impl Extent {
    /// Of a request that was answered in full.
    pub const WHOLE: Self = Self { whole: true, from: 0, to: 0 };

    /// Of a part of a request.
    pub fn part(from: u64, to: u64) -> Self {
        Self { whole: false, from, to }
    }

    /// Whether these results say at least as much as `other`.
    pub fn covers(&self, other: &Self) -> bool {
        let empty = !other.whole && other.from >= other.to;
        let wider = !other.whole && self.from <= other.from && self.to >= other.to;
        self.whole || empty || wider
    }
}

/// A writing that has begun.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Writing {
    pub holding: String,
    /// The folder in which new files wait.
    pub staging: String,
    /// Whether all of them are there, so that the writing is gone on with rather than undone.
    pub staged: bool,
    pub next: Holding,
}

impl Marker {
    pub fn new(command: &str) -> Self {
        let holdings = BTreeMap::new();
        let (note, command) = (NOTE.to_owned(), command.to_owned());
        Self { note, format: FORMAT, command, holdings, writing: None }
    }

    /// The marker of `folder`, if it has one.
    ///
    /// # Errors
    /// [`Error::Request`] when it does not read or lists what no run writes: then nobody knows
    /// whose the files are.
    pub fn read(folder: &Path) -> Result<Option<Self>, Error> {
        let path = folder.join(MARKER);
        let broken = |problem: String| -> Error {
            let mend = "name another folder, or bring that file back; without it all files here count \
                        as yours";
            Mistake::at(MARKER, problem, mend).in_file(folder).into()
        };
        match path.symlink_metadata() {
            Err(error) if error.kind() == ErrorKind::NotFound => return Ok(None),
            Err(error) => return Err(failed("read", &path, &error)),
            Ok(data) if !data.is_file() => return Err(broken("is no plain file".to_owned())),
            Ok(_) => {}
        }
        let bytes = std::fs::read(&path).map_err(|error| failed("read", &path, &error))?;
        let marker: Self = serde_json::from_slice(&bytes)
            .map_err(|error| broken(format!("does not read: {error}")))?;
        if marker.format != FORMAT {
            return Err(broken(format!("has the format {}, not {FORMAT}", marker.format)));
        }
        if !marker.is_sound() {
            return Err(broken("lists files that no run of coaxle writes".to_owned()));
        }
        Ok(Some(marker))
    }

    fn is_sound(&self) -> bool {
        let next = self.writing.iter().map(|writing| &writing.next);
        let files = self.holdings.values().chain(next).flat_map(|holding| holding.files.keys());
        let staging = |writing: &Writing| {
            let number = writing.staging.strip_prefix(STAGING);
            number.is_some_and(|n| n.len() == 16 && n.bytes().all(|b| b.is_ascii_hexdigit()))
        };
        files.into_iter().all(|name| is_plain(name) && !name.starts_with(".coaxle"))
            && self.writing.iter().all(staging)
    }

    /// Writes the marker, whole or not at all.
    ///
    /// # Errors
    /// [`Error::Work`] with path and cause.
    pub fn write(&self, folder: &Path, disk: &Disk) -> Result<(), Error> {
        let (half, path) = (folder.join(HALF), folder.join(MARKER));
        let failed = |error: &std::io::Error| failed("write", &path, error);
        let text = serde_json::to_string_pretty(self).map_err(|error| failed(&error.into()))?;
        disk.remove(&half).map_err(|error| failed(&error))?;
        let written = disk.write(&half, (text + "\n").as_bytes());
        written.and_then(|()| disk.rename(&half, &path)).map_err(|error| {
            let _ = disk.remove(&half);
            failed(&error)
        })?;
        disk.sync(folder);
        Ok(())
    }

    /// Whether a file of that name is listed.
    pub fn lists(&self, name: &str) -> bool {
        self.holdings.values().any(|holding| holding.files.contains_key(name))
    }
}
