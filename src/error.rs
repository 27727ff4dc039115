//! What can go wrong, sorted by what the user can do about it.

use std::fmt;
use std::path::{Path, PathBuf};

/// Every error of the library; each kind has one exit status of the binary.
#[derive(Debug, thiserror::Error)]
pub enum Error {
    /// The request is wrong (exit 2): the user can mend it.
    #[error("{0}")]
    Request(#[from] Mistake),
    /// The work failed (exit 1): a disk, a permission, a limit of the machine.
    #[error("{0}")]
    Work(String),
    /// Nothing meets the request (exit 3).
    #[error("{0}")]
    Nothing(String),
    /// Stopped by the user (exit 130); the text tells what was kept.
    #[error("{0}")]
    Interrupted(String),
}

/// A wrong request: where, what, and how to mend it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mistake {
    /// The file, where there is one.
    pub file: Option<PathBuf>,
    /// The key in the file (`gears.forward`) or the option (`--sets`); may be empty.
    pub key: String,
    /// What is wrong, with the value found.
    pub problem: String,
    /// What would be right.
    pub mend: String,
}

impl Mistake {
    /// A mistake at `key`, not yet tied to a file.
    pub fn at(key: impl Into<String>, problem: impl Into<String>, mend: impl Into<String>) -> Self {
        Self { file: None, key: key.into(), problem: problem.into(), mend: mend.into() }
    }

    /// The same mistake, told of `file`.
    #[must_use]
    pub fn in_file(mut self, file: &Path) -> Self {
        self.file.get_or_insert_with(|| file.to_path_buf());
        self
    }
}

impl fmt::Display for Mistake {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(file) = &self.file {
            write!(f, "{}: ", file.display())?;
        }
        if !self.key.is_empty() {
            write!(f, "{}: ", self.key)?;
        }
        write!(f, "{}\n  mend: {}", self.problem, self.mend)
    }
}

impl std::error::Error for Mistake {}
