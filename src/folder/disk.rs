//! The few ways in which a folder is changed, each in steps that a test can stop at.

use std::fs::{File, OpenOptions};
use std::io::{Error, Write as _};
use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

/// Hears the number of each step before it is done, from 1; an error stops it and is passed on.
type StepHook = dyn Fn(u64) -> Result<(), Error> + Send + Sync;

/// Changes files and folders. What ends in the middle of any change, by a kill or a full disk,
/// ends between two steps, so a test that stops at each of them has seen all.
#[derive(Clone, Default)]
pub struct Disk {
    hook: Option<Arc<StepHook>>,
    steps: Arc<AtomicU64>,
    /// Whether bytes need not have reached the disk when a step ends.
    unsynced: bool,
}

impl Disk {
    /// Tells `hook` the number of each step before it is done.
    pub fn watched(hook: impl Fn(u64) -> Result<(), Error> + Send + Sync + 'static) -> Self {
        Self { hook: Some(Arc::new(hook)), ..Self::default() }
    }

    /// Does not wait for the bytes to reach the disk. For tests that make thousands of folders:
    /// they see what a program leaves behind, not what a power cut does.
    #[must_use]
    pub fn unsynced(self) -> Self {
        Self { unsynced: true, ..self }
    }

    fn step(&self) -> Result<(), Error> {
        let Some(hook) = &self.hook else { return Ok(()) };
        hook(self.steps.fetch_add(1, Ordering::Relaxed) + 1)
    }

    /// Makes a folder that is not there.
    pub(super) fn make(&self, folder: &Path) -> Result<(), Error> {
        self.step()?;
        std::fs::create_dir(folder)
    }

    /// Makes a folder and those above it, where they are missing.
    pub(super) fn make_all(&self, folder: &Path) -> Result<(), Error> {
        if folder.is_dir() {
            return Ok(());
        }
        self.step()?;
        std::fs::create_dir_all(folder)
    }

    /// Writes a file that is not there, and closes it. A file or a link under its name is an
    /// error, so nothing is written through a link.
    pub(super) fn write(&self, path: &Path, bytes: &[u8]) -> Result<(), Error> {
        self.step()?;
        let mut file = OpenOptions::new().write(true).create_new(true).open(path)?;
        self.append(&mut file, bytes)?;
        if self.unsynced { Ok(()) } else { file.sync_all() }
    }

    /// Adds bytes to an open file, in two steps: a kill may come within.
    fn append(&self, file: &mut File, bytes: &[u8]) -> Result<(), Error> {
        let (first, second) = bytes.split_at(bytes.len() / 2);
        file.write_all(first)?;
        self.step()?;
        file.write_all(second)
    }

    /// Adds bytes to an open file and sees them onto the disk.
    ///
    /// # Errors
    /// What the system says; the file may then hold a part of them.
    pub fn add(&self, file: &mut File, bytes: &[u8]) -> Result<(), Error> {
        self.step()?;
        self.append(file, bytes)?;
        if self.unsynced { Ok(()) } else { file.sync_data() }
    }

    /// Cuts an open file.
    ///
    /// # Errors
    /// What the system says.
    pub fn cut(&self, file: &File, length: u64) -> Result<(), Error> {
        self.step()?;
        file.set_len(length)
    }

    /// Renames a file, in place of one that may be there.
    pub(super) fn rename(&self, from: &Path, to: &Path) -> Result<(), Error> {
        self.step()?;
        std::fs::rename(from, to)
    }

    /// Removes a file; that it is gone already is no error.
    ///
    /// # Errors
    /// What the system says.
    pub fn remove(&self, path: &Path) -> Result<(), Error> {
        self.step()?;
        match std::fs::remove_file(path) {
            Err(error) if error.kind() != std::io::ErrorKind::NotFound => Err(error),
            _ => Ok(()),
        }
    }

    /// Removes a folder if nothing is in it: what is not empty holds things of others.
    pub(super) fn remove_if_empty(&self, folder: &Path) {
        if self.step().is_ok() {
            let _ = std::fs::remove_dir(folder);
        }
    }

    /// Sees names of a folder onto the disk, where the system can.
    pub(super) fn sync(&self, folder: &Path) {
        if !self.unsynced && self.step().is_ok() {
            let _ = File::open(folder).and_then(|folder| folder.sync_all());
        }
    }
}
