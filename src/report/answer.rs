//! Quick answers, such as `show.json` and its pictures, in a folder of the user's.

use std::path::{Path, PathBuf};

use super::results::PNG_SCALE;
use crate::draw::{Picture, png};
use crate::error::Error;
use crate::folder::{Claim, Disk, Extent, Files, Folder, Neighbours};

/// Writes an answer of `command` into `folder`, in place of an earlier one of the same kind and
/// request, and returns the paths. It may stand among other files, which stay.
///
/// # Errors
/// As [`Folder::open`]; [`Error::Request`] also when a file of such a name was not written by
/// coaxle, or was changed since: nothing is written then.
pub fn write_answer(
    folder: &Path,
    disk: &Disk,
    command: &str,
    (holding, request): (&str, &str),
    files: Files,
) -> Result<Vec<PathBuf>, Error> {
    let neighbours = Neighbours::Among;
    let claim =
        Claim { command, holding, request, force: false, afresh: false, neighbours, names: &[] };
    let mut folder = Folder::open(folder, disk, claim)?;
    Ok(folder.write(files, Extent::WHOLE)?.unwrap_or_default())
}

/// A picture as files: `name`.svg and, if wanted, `name`.png.
///
/// # Errors
/// [`Error::Work`] when a picture is too large for memory.
pub fn picture_files(name: &str, picture: &Picture, as_png: bool) -> Result<Files, Error> {
    let mut files = vec![(format!("{name}.svg").into(), picture.svg().into_bytes())];
    if as_png {
        files.push((format!("{name}.png").into(), png(picture, PNG_SCALE)?));
    }
    Ok(files)
}
