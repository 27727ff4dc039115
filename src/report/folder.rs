//! The results folder: every file is written under a temporary name and renamed, so that
//! none is ever half there.

use std::ffi::OsString;
use std::io::Write as _;
use std::path::{Path, PathBuf};

use rustc_hash::FxHashSet;
use tempfile::NamedTempFile;

use super::layouts::{layout_file, mark};
use super::page::page;
use super::pictures::Pictures;
use super::record::{Kind, Record};
use super::summary::{is_summary, summary};
use super::table::{Rows, table};
use super::workshop_files::{CONTENTS, PARTS, workshop_files};
use crate::draw::png;
use crate::error::{Error, Mistake};

/// What may be replaced.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Overwrite {
    /// An empty folder, or one that an earlier run made.
    OwnResults,
    /// Whatever has the name of a file to be written. Other files always stay.
    Anything,
}

/// Names that begin so are ours in any folder: files on their way, notes for a later run.
const OWN_PREFIX: &str = ".coaxle-";
/// Names that end so too are files on their way, which a run that was killed leaves behind.
const OWN_SUFFIX: &str = ".part";
/// The ledger of an unfinished run.
pub(super) const LEDGER: &str = ".coaxle-ledger";
/// The folder of the front's layouts.
const LAYOUTS: &str = "layouts";
/// Image points a pixel of the picture: sharp on paper at a hand's width.
pub(super) const PNG_SCALE: f32 = 2.0;

/// Writes all results into `folder`, which is made where it is missing, and returns the
/// paths written, `summary.json` last. An earlier run's layout files that the new front
/// does not have are removed; files that are not ours are never touched.
///
/// # Errors
/// [`Error::Request`] when the folder holds files but no summary of ours and `overwrite`
/// does not allow it; [`Error::Work`] with path and cause when the disk or a permission
/// says no: then every file is either whole as before or whole as new.
pub fn write_folder(
    record: &Record,
    folder: &Path,
    overwrite: Overwrite,
) -> Result<Vec<PathBuf>, Error> {
    check_ids(record)?;
    may_write(folder, overwrite)?;
    let files = files(record)?;
    let layouts = folder.join(LAYOUTS);
    std::fs::create_dir_all(&layouts).map_err(|error| failed("make", &layouts, &error))?;
    let tidy = |new: &FxHashSet<&Path>| {
        remove_old_layouts(record, &layouts)?;
        remove_old_parts(&folder.join(PARTS), new)
    };
    write_whole(folder, files, tidy)
}

/// Writes files by their names in `folder`, whole or not at all, in this order; `tidy` removes
/// what an earlier run left, told what is new.
///
/// # Errors
/// [`Error::Work`] with path and cause when the disk or a permission says no.
pub(super) fn write_whole(
    folder: &Path,
    files: Vec<(PathBuf, Vec<u8>)>,
    tidy: impl FnOnce(&FxHashSet<&Path>) -> Result<(), Error>,
) -> Result<Vec<PathBuf>, Error> {
    for place in files.iter().filter_map(|(name, _)| folder.join(name).parent().map(Path::to_owned))
    {
        std::fs::create_dir_all(&place).map_err(|error| failed("make", &place, &error))?;
    }
    // All are on the disk before the first is renamed: a full disk is met while the old
    // results are still untouched.
    let written = files.into_iter().map(|(name, bytes)| {
        let path = folder.join(name);
        Ok((set_down(&path, &bytes)?, path))
    });
    let written: Vec<(NamedTempFile, PathBuf)> = written.collect::<Result<_, Error>>()?;
    let new: FxHashSet<&Path> = written.iter().map(|(_, path)| path.as_path()).collect();
    tidy(&new)?;
    let renamed = written.into_iter().map(|(file, path)| {
        file.persist(&path).map_err(|error| failed("write", &path, &error.error))?;
        Ok(path)
    });
    renamed.collect()
}

/// As [`write_whole`], in place of the files that the summary of an earlier run in `folder`
/// names: those that are not new are removed.
pub(super) fn write_instead(
    folder: &Path,
    files: Vec<(PathBuf, Vec<u8>)>,
) -> Result<Vec<PathBuf>, Error> {
    let old = earlier_files(folder);
    write_whole(folder, files, |new| {
        for path in old.iter().filter(|path| !new.contains(path.as_path()) && path.is_file()) {
            std::fs::remove_file(path).map_err(|error| failed("remove", path, &error))?;
        }
        Ok(())
    })
}

/// Files that the summary of an earlier run names.
fn earlier_files(folder: &Path) -> Vec<PathBuf> {
    let text = std::fs::read_to_string(folder.join("summary.json")).unwrap_or_default();
    let value: serde_json::Value = serde_json::from_str(&text).unwrap_or_default();
    let names = value.get("files").and_then(|files| files.as_array()).cloned().unwrap_or_default();
    // Names of ours never lead out of the folder; a list that was tampered with may.
    let plain = |name: &&str| !name.contains("..") && !Path::new(name).is_absolute();
    names
        .iter()
        .filter_map(|name| name.as_str())
        .filter(plain)
        .map(|name| folder.join(name))
        .collect()
}

/// All files by their names in the folder. The summary is last: where it stands, the
/// others stand.
fn files(record: &Record) -> Result<Vec<(PathBuf, Vec<u8>)>, Error> {
    let pictures = Pictures::of(record)?;
    let pareto = &pictures.pareto;
    let layouts = record.front().map(|candidate| {
        let name = format!("{LAYOUTS}/{}.toml", candidate.id);
        (PathBuf::from(name), layout_file(record.kind, candidate).into_bytes())
    });
    let mut files: Vec<(PathBuf, Vec<u8>)> = layouts.collect();
    files.push(("front.csv".into(), table(record, Rows::Front)?.into_bytes()));
    files.push(("candidates.csv".into(), table(record, Rows::Candidates)?.into_bytes()));
    files.push(("pareto.svg".into(), pareto.svg().into_bytes()));
    files.push(("pareto.png".into(), png(pareto, PNG_SCALE)?));
    let further = [
        ("matrix.svg", &pictures.matrix),
        ("parallel.svg", &pictures.parallel),
        ("steps.svg", &pictures.steps),
        ("funnel.svg", &pictures.funnel),
    ];
    // A reduction has one ratio and so no steps.
    let further =
        further.into_iter().filter(|(name, _)| record.kind == Kind::Search || *name != "steps.svg");
    files.extend(further.map(|(name, picture)| (name.into(), picture.svg().into_bytes())));
    files.extend(workshop_files(record)?);
    files.push(("report.html".into(), page(record, &pictures)?.into_bytes()));
    files.push(("summary.json".into(), summary(record)?.into_bytes()));
    Ok(files)
}

/// Ids are file names: one that is not plain, or that two layouts share, would write
/// outside the folder or over another.
fn check_ids(record: &Record) -> Result<(), Error> {
    let mut seen = rustc_hash::FxHashSet::default();
    for candidate in &record.candidates {
        let id = candidate.id.as_str();
        let plain = |c: u8| c.is_ascii_alphanumeric() || c == b'-' || c == b'_';
        if id.is_empty() || id.len() > 100 || !id.bytes().all(plain) {
            return Err(Error::Work(format!("\"{id}\" cannot name a layout file")));
        }
        if !seen.insert(id) {
            return Err(Error::Work(format!("two layouts have the name {id}")));
        }
    }
    Ok(())
}

/// Whether [`write_folder`] would write into `folder`, asked before long work.
///
/// # Errors
/// As [`write_folder`]; also [`Error::Request`] when `folder` is a file or would be in one.
pub fn may_write(folder: &Path, overwrite: Overwrite) -> Result<(), Error> {
    can_be_made(folder)?;
    if overwrite == Overwrite::Anything || !folder.exists() {
        return Ok(());
    }
    let entries = std::fs::read_dir(folder).map_err(|error| failed("read", folder, &error))?;
    let names: Result<Vec<OsString>, std::io::Error> =
        entries.map(|entry| entry.map(|entry| entry.file_name())).collect();
    let mut names = names.map_err(|error| failed("read", folder, &error))?;
    names.retain(|name| !name.to_string_lossy().starts_with(OWN_PREFIX));
    names.sort();
    let ours = || {
        // An unfinished run may have been killed while it wrote its results.
        if folder.join(LEDGER).is_file() {
            return true;
        }
        let text = std::fs::read_to_string(folder.join("summary.json"));
        text.is_ok_and(|text| is_summary(&text))
    };
    match names.first() {
        Some(name) if !ours() => {
            let name = name.to_string_lossy();
            let problem = format!("holds files that no run of coaxle made, such as {name}");
            let mend = "name an empty or a new folder, or allow overwriting with --force";
            Err(Mistake::at("--out", problem, mend).in_file(folder).into())
        }
        _ => Ok(()),
    }
}

/// Whether files can be written into `folder`, which need not be there yet.
///
/// # Errors
/// [`Error::Request`] when it is a file or would be in one; [`Error::Work`] when the
/// system lets nothing be written there.
pub(super) fn can_be_made(folder: &Path) -> Result<(), Error> {
    // `a/../b` and links are the system's business: the nearest part that is there counts.
    let there = folder.ancestors().find(|part| part.symlink_metadata().is_ok());
    let there = there.unwrap_or(Path::new("."));
    if !there.is_dir() {
        let problem = match there.metadata() {
            _ if there != folder => format!("would be inside {}, no folder", there.display()),
            Ok(_) => "is a file".to_owned(),
            Err(_) => "is a link that leads nowhere".to_owned(),
        };
        let mend = "name an empty or a new folder";
        return Err(Mistake::at("--out", problem, mend).in_file(folder).into());
    }
    // Only trying tells: permissions, mounts and quotas all have a say. Gone when dropped.
    let trial = tempfile::Builder::new().prefix(OWN_PREFIX).suffix(OWN_SUFFIX).tempfile_in(there);
    trial.map(drop).map_err(|error| failed("write into", there, &error))
}

/// Writes the bytes under a temporary name beside `path`; gone again unless renamed.
pub(super) fn set_down(path: &Path, bytes: &[u8]) -> Result<NamedTempFile, Error> {
    let folder = path.parent().unwrap_or(Path::new("."));
    let mut builder = tempfile::Builder::new();
    builder.prefix(OWN_PREFIX).suffix(OWN_SUFFIX);
    #[cfg(unix)]
    {
        // As any other new file: what the user's mask leaves, not only the owner's.
        use std::os::unix::fs::PermissionsExt as _;
        builder.permissions(std::fs::Permissions::from_mode(0o666));
    }
    let mut file = builder.tempfile_in(folder).map_err(|error| failed("write", path, &error))?;
    let whole = file.write_all(bytes).and_then(|()| file.as_file().sync_all());
    whole.map_err(|error| failed("write", path, &error))?;
    Ok(file)
}

/// Removes files that a killed search left on their way; no other run may be at work in
/// `folder`.
///
/// # Errors
/// [`Error::Work`] with path and cause when the system says no.
pub(super) fn sweep(folder: &Path) -> Result<(), Error> {
    let places = [folder.to_path_buf(), folder.join(LAYOUTS)];
    let entries = places.iter().filter_map(|place| std::fs::read_dir(place).ok()).flatten();
    for path in entries.flatten().map(|entry| entry.path()) {
        let name = path.file_name().map(|name| name.to_string_lossy()).unwrap_or_default();
        if name.starts_with(OWN_PREFIX) && name.ends_with(OWN_SUFFIX) {
            std::fs::remove_file(&path).map_err(|error| failed("remove", &path, &error))?;
        }
    }
    Ok(())
}

/// Removes layout files that an earlier run wrote and this one does not; they are known by
/// their first line, which names the file they were written as.
fn remove_old_layouts(record: &Record, layouts: &Path) -> Result<(), Error> {
    let entries = std::fs::read_dir(layouts).map_err(|error| failed("read", layouts, &error))?;
    for path in entries.flatten().map(|entry| entry.path()) {
        let Some(id) = path.file_stem().and_then(|stem| stem.to_str()) else { continue };
        let toml = path.extension().is_some_and(|extension| extension == "toml");
        let kept = record.front().any(|candidate| candidate.id == id);
        let ours = || {
            let text = std::fs::read_to_string(&path).unwrap_or_default();
            [Kind::Search, Kind::Reduction]
                .iter()
                .any(|&kind| text.lines().next() == Some(mark(kind, id).as_str()))
        };
        if toml && !kept && ours() {
            std::fs::remove_file(&path).map_err(|error| failed("remove", &path, &error))?;
        }
    }
    Ok(())
}

/// Removes the files of parts that an earlier run lists and this one does not write, and
/// folders that are empty then.
fn remove_old_parts(parts: &Path, new: &FxHashSet<&Path>) -> Result<(), Error> {
    let Ok(entries) = std::fs::read_dir(parts) else { return Ok(()) };
    for folder in entries.flatten().map(|entry| entry.path()) {
        let list = folder.join(CONTENTS);
        let Ok(mut reader) = csv::Reader::from_path(&list) else { continue };
        let listed = reader.records().flatten();
        let names: Vec<String> = listed.filter_map(|row| row.get(0).map(str::to_owned)).collect();
        // Names of ours never lead out of the folder; a list that was tampered with may.
        let plain = |name: &String| !name.contains("..") && !Path::new(name).is_absolute();
        let stale = names.iter().filter(|name| plain(name)).map(|name| folder.join(name));
        for path in stale.chain([list.clone()]).filter(|path| !new.contains(path.as_path())) {
            if path.is_file() {
                std::fs::remove_file(&path).map_err(|error| failed("remove", &path, &error))?;
            }
            // Not empty is not ours to remove.
            let _ = path.parent().map(std::fs::remove_dir);
        }
        let _ = std::fs::remove_dir(&folder);
    }
    let _ = std::fs::remove_dir(parts);
    Ok(())
}

pub(super) fn failed(verb: &str, path: &Path, error: &std::io::Error) -> Error {
    Error::Work(format!("could not {verb} {}: {error}", path.display()))
}
