//! The lock of a folder: one run at a time.

use std::fs::{File, OpenOptions, TryLockError};
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use super::disk::Disk;
use super::failed;
use crate::error::{Error, Mistake};

/// Name of the file that is locked while a run is at work.
pub(super) const NAME: &str = ".coaxle-lock";
/// A run that ends removes its lock; one that begins in this instant tries so often again.
const TRIES: usize = 50;

/// A locked folder. The system lets go of the lock when the program ends, however it ends.
pub(super) struct Lock {
    file: File,
    path: PathBuf,
    disk: Disk,
}

impl Lock {
    /// Locks `folder`, which is made where it is missing.
    ///
    /// # Errors
    /// [`Error::Request`] when another run has it; [`Error::Work`] when the system says no.
    pub fn take(folder: &Path, disk: &Disk) -> Result<Self, Error> {
        let path = folder.join(NAME);
        for _ in 0..TRIES {
            disk.make_all(folder).map_err(|error| failed("make", folder, &error))?;
            if path.is_symlink() {
                let mend = "remove the link, or name another folder";
                return Err(Mistake::at("--out", format!("has a link {NAME}"), mend)
                    .in_file(folder)
                    .into());
            }
            let opened = OpenOptions::new().write(true).create(true).truncate(false).open(&path);
            let file = match opened {
                // The run before removed the folder in this instant.
                Err(error) if error.kind() == ErrorKind::NotFound => continue,
                opened => opened.map_err(|error| failed("write into", folder, &error))?,
            };
            match file.try_lock() {
                Ok(()) => {}
                Err(TryLockError::WouldBlock) => return Err(at_work(folder)),
                Err(TryLockError::Error(error)) => return Err(failed("lock", &path, &error)),
            }
            let lock = Self { file, path: path.clone(), disk: disk.clone() };
            if lock.holds() {
                return Ok(lock);
            }
            // Locked, but no longer the file of that name: its owner removed it first.
        }
        Err(at_work(folder))
    }

    /// Whether the locked file is still the one in the folder: neither it nor the folder was
    /// removed meanwhile.
    pub fn holds(&self) -> bool {
        #[cfg(unix)]
        {
            use std::os::unix::fs::MetadataExt as _;
            let place = |data: std::fs::Metadata| (data.dev(), data.ino());
            let ours = self.file.metadata().map(place).ok();
            ours.is_some() && ours == std::fs::symlink_metadata(&self.path).map(place).ok()
        }
        #[cfg(not(unix))]
        self.path.exists()
    }
}

impl Drop for Lock {
    fn drop(&mut self) {
        // Removed while it is locked: who waits for it sees that it is gone, and begins again.
        // Elsewhere than on Unix an open file cannot be removed; it may stay.
        if cfg!(unix) && self.holds() {
            let _ = self.disk.remove(&self.path);
        }
    }
}

fn at_work(folder: &Path) -> Error {
    let mend = "wait for it, or name another folder";
    Mistake::at("--out", "another run is at work in this folder", mend).in_file(folder).into()
}
