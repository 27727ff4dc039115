//! A single answer, such as `show.json`, written whole or not at all.

use std::path::{Path, PathBuf};

use super::folder::{can_be_made, failed, set_down};
use crate::error::Error;

/// Writes `text` to `folder/name`, over an earlier answer of that name, and returns the
/// path. The folder is made where it is missing.
///
/// # Errors
/// [`Error::Request`] when `folder` is a file; [`Error::Work`] with path and cause when the
/// disk or a permission says no; an earlier file then stays as it was.
pub fn write_answer(folder: &Path, name: &str, text: &str) -> Result<PathBuf, Error> {
    can_be_made(folder)?;
    std::fs::create_dir_all(folder).map_err(|error| failed("make", folder, &error))?;
    let path = folder.join(name);
    let file = set_down(&path, text.as_bytes())?;
    file.persist(&path).map_err(|error| failed("write", &path, &error.error))?;
    Ok(path)
}
