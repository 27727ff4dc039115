//! Whether a claim is good in a folder: whose is it, and what stands in the way?

use std::collections::BTreeSet;
use std::path::Path;

use itertools::Itertools as _;

use super::look::{Found, look};
use super::marker::MARKER;
use super::{Folder, Neighbours, OWN, difference, failed};
use crate::error::{Error, Mistake};

/// So many files of other people are named; the rest is counted.
const NAMED: usize = 3;

impl Folder {
    /// A folder without marker: everything in it is somebody's.
    pub(super) fn admit_to_strangers(&self) -> Result<(), Error> {
        let strangers = self.strangers()?;
        if let Some(first) = strangers.first()
            && self.neighbours == Neighbours::Apart
            && !self.force
        {
            let problem =
                format!("holds files that stand on no list of coaxle ({MARKER}), such as {first}");
            let mend = "name an empty or a new folder, or write beside these files with --force: \
                        they stay";
            return Err(self.refused(problem, mend));
        }
        self.admit_names()
    }

    /// A folder with a marker: it is this command's, and what stands here may be replaced.
    pub(super) fn admit(&self, command: &str) -> Result<(), Error> {
        let owner = &self.marker.command;
        if owner != command {
            let problem = format!("is a folder of coaxle {owner}, not of coaxle {command}");
            return Err(self.refused(problem, "name another folder"));
        }
        if let Some(standing) = self.standing()
            && standing.request != self.request
            && !self.force
            && (standing.extent.whole || !self.afresh)
        {
            let noun = if self.neighbours == Neighbours::Among { "request" } else { "brief" };
            let differs = difference(&standing.request, &self.request);
            let problem = format!("holds the results of another {noun}{differs}");
            return Err(self.refused(problem, self.way_out(standing.extent.whole)));
        }
        self.admit_names()
    }

    /// What to do where results of another request stand, whole or of a part.
    fn way_out(&self, is_whole: bool) -> &'static str {
        match (self.neighbours, is_whole) {
            (Neighbours::Among, _) => "name another folder",
            (Neighbours::Apart, false) => {
                "name another folder, or write --afresh to drop that unfinished run"
            }
            (Neighbours::Apart, true) if self.is_unfinished() => {
                "name another folder, or write --force to have these results replaced and --afresh \
                 to drop the unfinished run"
            }
            (Neighbours::Apart, true) => {
                "name another folder, or write --force to have these results replaced"
            }
        }
    }

    /// Names that are sure to be written must not be other people's: that is better said before
    /// the work than after it.
    fn admit_names(&self) -> Result<(), Error> {
        for name in &self.names {
            let free = match name.strip_suffix('/') {
                Some(inner) => match self.path.join(inner).symlink_metadata() {
                    Ok(data) => data.is_dir(),
                    Err(_) => true,
                },
                None => match self.look(name)? {
                    Found::Nothing => true,
                    Found::File(_) => self.written_before(name).is_some(),
                    Found::Other | Found::Outside => false,
                },
            };
            if !free {
                return Err(self.taken(name.trim_end_matches('/')));
            }
        }
        Ok(())
    }

    /// The error for a name that stands for somebody's file, link or folder.
    pub(super) fn taken(&self, name: &str) -> Error {
        let problem =
            format!("{name} stands there and was not written by coaxle, or was changed since");
        self.refused(problem, "it stays as it is: move it away, or name another folder")
    }

    fn refused(&self, problem: String, mend: &str) -> Error {
        Mistake::at("--out", problem, mend).in_file(&self.path).into()
    }

    pub(super) fn look(&self, name: &str) -> Result<Found, Error> {
        look(&self.path, name).map_err(|error| failed("read", &self.path.join(name), &error))
    }

    /// What is not ours, in the folder and in those of its folders that hold files of ours, by
    /// name, sorted.
    pub(super) fn strangers(&self) -> Result<Vec<String>, Error> {
        let listed = self.marker.holdings.values().flat_map(|holding| holding.files.keys());
        let inner: BTreeSet<&Path> = listed
            .flat_map(|name| Path::new(name).ancestors().skip(1))
            .filter(|folder| !folder.as_os_str().is_empty())
            .collect();
        let mut strangers = Vec::new();
        for folder in std::iter::once(Path::new("")).chain(inner.iter().copied()) {
            let place = self.path.join(folder);
            if place.is_symlink() || !place.is_dir() {
                continue;
            }
            let entries =
                std::fs::read_dir(&place).map_err(|error| failed("read", &place, &error))?;
            for entry in entries.flatten() {
                let name = folder.join(entry.file_name());
                let text = name.to_string_lossy().replace('\\', "/");
                let own =
                    text == MARKER || (folder.as_os_str().is_empty() && text.starts_with(OWN));
                if !own && !inner.contains(name.as_path()) && !self.marker.lists(&text) {
                    strangers.push(text);
                }
            }
        }
        strangers.sort();
        Ok(strangers)
    }

    /// Says that other people's files were left alone.
    pub(super) fn tell_of_strangers(&mut self) {
        if self.neighbours == Neighbours::Among {
            return;
        }
        let strangers = self.strangers().unwrap_or_default();
        let named = strangers.iter().take(NAMED).join(", ");
        let more = match strangers.len().saturating_sub(NAMED) {
            0 => String::new(),
            more => format!(" and {more} more"),
        };
        match strangers.len() {
            0 => {}
            1 => self.notes.push(format!("not of this run, stays as it is: {named}")),
            _ => self.notes.push(format!("not of this run, stay as they are: {named}{more}")),
        }
    }
}
