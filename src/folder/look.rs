//! What stands under a name in a folder, seen without following any link.

use std::io::ErrorKind;
use std::path::{Component, Path};

use super::SUMMARY;

/// What stands under a name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Found {
    Nothing,
    /// A plain file, by the mark of its contents.
    File(String),
    /// A folder, a link, a pipe: never ours.
    Other,
    /// Its folder is a link or a file: what is below is not in this folder at all.
    Outside,
}

/// Looks at `name` in `folder`.
///
/// # Errors
/// What the system says.
pub(super) fn look(folder: &Path, name: &str) -> std::io::Result<Found> {
    let mut path = folder.to_path_buf();
    let mut parts = Path::new(name).components().peekable();
    while let Some(part) = parts.next() {
        path.push(part);
        let data = match std::fs::symlink_metadata(&path) {
            Err(error) if error.kind() == ErrorKind::NotFound => return Ok(Found::Nothing),
            data => data?,
        };
        match parts.peek() {
            Some(_) if !data.is_dir() => return Ok(Found::Outside),
            None if !data.is_file() => return Ok(Found::Other),
            _ => {}
        }
    }
    Ok(Found::File(mark(name, &std::fs::read(&path)?)))
}

/// The mark of a file's contents: a hash (BLAKE3). In a summary the line with the time of the
/// run is left out, because two runs of one request differ in it alone.
pub(super) fn mark(name: &str, bytes: &[u8]) -> String {
    let mut hasher = blake3::Hasher::new();
    if name == SUMMARY {
        let lines = bytes.split_inclusive(|byte| *byte == b'\n');
        let timed = |line: &&[u8]| line.trim_ascii_start().starts_with(b"\"elapsed_s\": ");
        lines.filter(|line| !timed(line)).for_each(|line| _ = hasher.update(line));
    } else {
        hasher.update(bytes);
    }
    hasher.finalize().to_hex().to_string()
}

/// Whether a name is one that a run may have: below the folder, no dots, nothing absolute.
pub(super) fn is_plain(name: &str) -> bool {
    let path = Path::new(name);
    let normal = |part: Component<'_>| matches!(part, Component::Normal(_));
    !name.is_empty() && !name.contains('\\') && path.components().all(normal)
}
