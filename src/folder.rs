//! A folder of results that belongs to one command and one request. It is locked while a run is
//! at work; a list says which files were written there and what was in them, and only these
//! files, as long as they are as they were written, are ever replaced or removed. What people
//! changed or added stays, whatever is forced; links are never followed.
//!
//! New results are written beside the old ones, then exchanged for them. A run that is killed
//! at any instant leaves either the old results, with files on their way that the next run
//! sweeps out, or the new ones, whose exchange the next run brings to its end.
//!
//! Knows nothing of gears, requests and records: names, bytes, and whose they are.

mod admit;
mod disk;
mod exchange;
mod lock;
mod look;
mod marker;
mod plan;

use std::path::{Path, PathBuf};

pub use disk::Disk;
pub use marker::Extent;

use crate::error::{Error, Mistake};
use crate::program::{BUILD, VERSION};
use lock::Lock;
use marker::{Holding, Marker};

/// Files by their names in a folder, in the order in which they are written.
pub type Files = Vec<(PathBuf, Vec<u8>)>;

/// Names that begin so are ours in any folder: the lock, ledgers, files on their way.
const OWN: &str = ".coaxle-";
/// Folders in which new files wait; a number of sixteen figures follows.
const STAGING: &str = ".coaxle-new-";
/// The file that says what the others are: it goes last, and is gone while they change.
const SUMMARY: &str = "summary.json";

/// Who wants a folder, and for what.
#[derive(Clone, Copy, Debug)]
pub struct Claim<'a> {
    /// A folder belongs to one command.
    pub command: &'a str,
    /// Which of the command's kinds of results; each has a list of its own.
    pub holding: &'a str,
    /// What is asked for, in full and without what only limits a run.
    pub request: &'a str,
    /// Whether to write beside other people's files, and in place of results of another
    /// request.
    pub force: bool,
    /// Whether what an unfinished run of another request left may be replaced.
    pub afresh: bool,
    pub neighbours: Neighbours,
    /// Names that are sure to be written; those that end in `/` are folders.
    pub names: &'a [&'a str],
}

/// What becomes of other people's files in a folder.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Neighbours {
    /// A folder of results is for results alone, unless forced. Where a file must not be
    /// replaced the new one goes beside it, for the work was long.
    Apart,
    /// A quick answer may stand among other files. Where a file must not be replaced, nothing is
    /// written.
    Among,
}

/// A folder that is ours: locked, swept, and open to the request.
pub struct Folder {
    path: PathBuf,
    disk: Disk,
    /// `None` when it is let go of only.
    lock: Option<Lock>,
    marker: Marker,
    holding: String,
    request: String,
    force: bool,
    afresh: bool,
    neighbours: Neighbours,
    names: Vec<String>,
    /// The folder and those above it that were not there before, the innermost first.
    made: Vec<PathBuf>,
    /// Whether it had no marker before.
    is_new: bool,
    notes: Vec<String>,
}

impl Folder {
    /// Opens `path`, which is made where it is missing, for the claim.
    ///
    /// # Errors
    /// [`Error::Request`] when another run is at work there, or the folder holds other people's
    /// files, another command's results or another request's, each with a way out;
    /// [`Error::Work`] with path and cause when the system says no.
    pub fn open(path: &Path, disk: &Disk, claim: Claim<'_>) -> Result<Self, Error> {
        can_be_made(path)?;
        let made = path.ancestors().take_while(|above| !above.exists()).map(Path::to_path_buf);
        let made = made.filter(|above| !above.as_os_str().is_empty()).collect();
        let lock = Some(Lock::take(path, disk)?);
        let mut folder = Self {
            path: path.to_path_buf(),
            disk: disk.clone(),
            lock,
            marker: Marker::new(claim.command),
            holding: claim.holding.to_owned(),
            request: claim.request.to_owned(),
            force: claim.force,
            afresh: claim.afresh,
            neighbours: claim.neighbours,
            names: claim.names.iter().map(|&name| name.to_owned()).collect(),
            made,
            is_new: false,
            notes: Vec::new(),
        };
        folder.enter(claim.command)?;
        Ok(folder)
    }

    /// Reads the marker, brings an interrupted writing to its end and asks whether the claim is
    /// good here; a folder without marker gets one before anything else is written.
    fn enter(&mut self, command: &str) -> Result<(), Error> {
        match Marker::read(&self.path)? {
            None => {
                self.is_new = true;
                self.admit_to_strangers()?;
                self.marker = Marker::new(command);
                self.marker.write(&self.path, &self.disk)
            }
            Some(marker) => {
                (self.marker, self.is_new) = (marker, false);
                self.recover()?;
                self.admit(command)
            }
        }
    }

    /// Brings a writing that was interrupted in `path` to its end, if there is one, so that what
    /// is read there is of one run.
    ///
    /// # Errors
    /// As [`Folder::open`].
    pub fn settle(path: &Path, disk: &Disk) -> Result<(), Error> {
        let Some(marker) = Marker::read(path)?.filter(|marker| marker.writing.is_some()) else {
            return Ok(());
        };
        let names = &[];
        let (force, neighbours) = (true, Neighbours::Among);
        let (command, holding, request, afresh) = (&*marker.command, "", "", false);
        let claim = Claim { command, holding, request, force, afresh, neighbours, names };
        Self::open(path, disk, claim).map(drop)
    }

    pub fn path(&self) -> &Path {
        &self.path
    }

    /// What was left as it was, and what was brought to its end: sentences for the user, each
    /// told once.
    pub fn take_notes(&mut self) -> Vec<String> {
        std::mem::take(&mut self.notes)
    }

    /// Whether results of this request, or of another one, stand here that say more than new
    /// ones of `extent` would, and so stay: a whole result stays until a whole one comes, a part
    /// until one that covers it; results of the same request are given up when forced.
    pub fn keeps(&self, extent: &Extent) -> bool {
        let Some(standing) = self.standing() else { return false };
        match standing.request == self.request {
            true => !self.force && !extent.covers(&standing.extent),
            false => standing.extent.whole && !extent.whole,
        }
    }

    /// How much the results of this request rest on that stand here.
    pub fn extent(&self) -> Option<Extent> {
        let same = self.standing().filter(|standing| standing.request == self.request);
        same.map(|standing| standing.extent)
    }

    fn standing(&self) -> Option<&Holding> {
        self.marker.holdings.get(&self.holding).filter(|holding| !holding.files.is_empty())
    }

    /// Writes results in place of those that stand here, and returns the paths of all of them;
    /// `None` where what stands says more (see [`Folder::keeps`]). Files that were listed and
    /// are not written again are removed.
    ///
    /// # Errors
    /// [`Error::Work`] with path and cause when the disk or a permission says no: the old
    /// results then stand as they were; [`Error::Request`] for a quick answer whose name is
    /// taken.
    pub fn write(&mut self, files: Files, extent: Extent) -> Result<Option<Vec<PathBuf>>, Error> {
        self.claim_again()?;
        if self.keeps(&extent) {
            return Ok(None);
        }
        let plan = self.plan(files)?;
        let next = Holding {
            request: self.request.clone(),
            version: VERSION.to_owned(),
            build: BUILD.to_owned(),
            extent,
            files: plan.listed,
        };
        let paths = plan.names.iter().map(|name| self.path.join(name)).collect();
        self.notes.extend(plan.notes);
        self.stage(next, plan.puts)?;
        self.exchange()?;
        self.tell_of_strangers();
        Ok(Some(paths))
    }

    /// The folder may have been removed while the work went on: then it is made again, unless
    /// another run has it now.
    fn claim_again(&mut self) -> Result<(), Error> {
        if self.lock.as_ref().is_some_and(Lock::holds) {
            return Ok(());
        }
        self.lock = None;
        self.lock = Some(Lock::take(&self.path, &self.disk)?);
        self.made = vec![self.path.clone()];
        let command = self.marker.command.clone();
        self.enter(&command)
    }

    /// Whether a run left work to go on with: something of ours besides marker and lock.
    fn is_unfinished(&self) -> bool {
        let entries = std::fs::read_dir(&self.path).into_iter().flatten().flatten();
        let names = entries.map(|entry| entry.file_name());
        let ours = |name: &std::ffi::OsString| {
            let name = name.to_string_lossy();
            name.starts_with(OWN) && name != lock::NAME
        };
        names.filter(ours).count() > 0
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        // What came to nothing leaves nothing behind.
        if self.is_new && self.marker.holdings.is_empty() && !self.is_unfinished() {
            let _ = self.disk.remove(&self.path.join(marker::MARKER));
        }
        self.lock = None;
        self.made.iter().for_each(|folder| self.disk.remove_if_empty(folder));
    }
}

/// Whether files can be written into `folder`, which need not be there yet, as far as can be
/// seen without trying.
///
/// # Errors
/// [`Error::Request`] when it is a file or would be in one.
fn can_be_made(folder: &Path) -> Result<(), Error> {
    // `a/../b` and links are the system's business: the nearest part that is there counts.
    let there = folder.ancestors().find(|part| part.symlink_metadata().is_ok());
    let there = there.unwrap_or(Path::new("."));
    if there.is_dir() || there.as_os_str().is_empty() {
        return Ok(());
    }
    let problem = match there.metadata() {
        _ if there != folder => format!("would be inside {}, no folder", there.display()),
        Ok(_) => "is a file".to_owned(),
        Err(_) => "is a link that leads nowhere".to_owned(),
    };
    Err(Mistake::at("--out", problem, "name an empty or a new folder").in_file(folder).into())
}

/// Where two texts of requests differ first, as words for an error.
pub fn difference(then: &str, now: &str) -> String {
    let lines = then.lines().zip(now.lines());
    let line = lines.into_iter().find(|(then, now)| then != now);
    line.map_or_else(String::new, |(then, now)| format!(": \"{then}\" then, \"{now}\" now"))
}

/// An error of the disk, with the path.
pub fn failed(verb: &str, path: &Path, error: &std::io::Error) -> Error {
    Error::Work(format!("could not {verb} {}: {error}", path.display()))
}
