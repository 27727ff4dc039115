//! A single answer, such as `show.json`, written whole or not at all.

use std::path::{Path, PathBuf};

use super::folder::{PNG_SCALE, can_be_made, failed, set_down};
use crate::draw::{Picture, png};
use crate::error::Error;

/// Writes `text` to `folder/name`, over an earlier answer of that name, and returns the
/// path. The folder is made where it is missing.
///
/// # Errors
/// [`Error::Request`] when `folder` is a file; [`Error::Work`] with path and cause when the
/// disk or a permission says no; an earlier file then stays as it was.
pub fn write_answer(folder: &Path, name: &str, text: &str) -> Result<PathBuf, Error> {
    write_bytes(folder, name, text.as_bytes())
}

/// Writes a picture as `name`.svg and, if wanted, as `name`.png, each whole or not at all.
///
/// # Errors
/// [`Error::Work`] as for [`write_answer`], and when a picture is too large for memory.
pub fn write_picture(
    folder: &Path,
    name: &str,
    picture: &Picture,
    as_png: bool,
) -> Result<(), Error> {
    write_bytes(folder, &format!("{name}.svg"), picture.svg().as_bytes())?;
    if as_png {
        write_bytes(folder, &format!("{name}.png"), &png(picture, PNG_SCALE)?)?;
    }
    Ok(())
}

fn write_bytes(folder: &Path, name: &str, bytes: &[u8]) -> Result<PathBuf, Error> {
    can_be_made(folder)?;
    std::fs::create_dir_all(folder).map_err(|error| failed("make", folder, &error))?;
    let path = folder.join(name);
    let file = set_down(&path, bytes)?;
    file.persist(&path).map_err(|error| failed("write", &path, &error.error))?;
    Ok(path)
}
