//! New files written beside, then exchanged for the old ones; and what a killed run left of
//! that, brought to its end or undone.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use super::look::Found;
use super::marker::{Holding, Writing};
use super::{Folder, STAGING, SUMMARY, failed};
use crate::error::Error;

impl Folder {
    /// Writes new files into a folder where they wait. The list of what comes is on the disk
    /// before the first of them, so that a killed run leaves nothing that nobody knows.
    pub(super) fn stage(
        &mut self,
        next: Holding,
        puts: Vec<(String, Vec<u8>)>,
    ) -> Result<(), Error> {
        let numbers = (1u64..).map(|number| format!("{STAGING}{number:016x}"));
        let mut free = numbers.filter(|name| self.path.join(name).symlink_metadata().is_err());
        let staging = free.next().unwrap_or_default();
        let place = self.path.join(&staging);
        let writing = Writing { holding: self.holding.clone(), staging, staged: false, next };
        self.marker.writing = Some(writing);
        let staged = self.marker.write(&self.path, &self.disk).and_then(|()| {
            self.set_down(&place, puts)?;
            if let Some(writing) = &mut self.marker.writing {
                writing.staged = true;
            }
            self.marker.write(&self.path, &self.disk)
        });
        staged.inspect_err(|_| {
            // A full disk is met here, while the old results are still whole.
            let _ = self.undo();
        })
    }

    fn set_down(&self, place: &Path, puts: Vec<(String, Vec<u8>)>) -> Result<(), Error> {
        self.disk.make(place).map_err(|error| failed("make", place, &error))?;
        for (name, bytes) in puts {
            let (path, target) = (place.join(&name), self.path.join(&name));
            let made = path.parent().map_or(Ok(()), |folder| self.disk.make_all(folder));
            made.and_then(|()| self.disk.write(&path, &bytes))
                .map_err(|error| failed("write", &target, &error))?;
        }
        Ok(())
    }

    /// Brings a writing that a killed run began to its end where all of its files are there,
    /// and undoes it where they are not.
    pub(super) fn recover(&mut self) -> Result<(), Error> {
        match &self.marker.writing {
            None => Ok(()),
            Some(writing) if writing.staged => self.exchange(),
            Some(_) => self.undo(),
        }
    }

    /// Removes files that wait, then says so in the marker: until then they are known by it.
    fn undo(&mut self) -> Result<(), Error> {
        let Some(writing) = self.marker.writing.take_if(|writing| !writing.staged) else {
            return Ok(());
        };
        let place = self.path.join(&writing.staging);
        self.clear(&place, writing.next.files.keys())?;
        self.marker.write(&self.path, &self.disk)
    }

    /// Puts all waiting files into their places and removes old ones. Each step can be the last
    /// before a kill; done again from the beginning, the same comes out.
    pub(super) fn exchange(&mut self) -> Result<(), Error> {
        let Some(mut writing) = self.marker.writing.clone() else { return Ok(()) };
        let place = self.path.join(&writing.staging);
        let holding = self.marker.holdings.get(&writing.holding);
        let old = holding.map(|holding| holding.files.clone()).unwrap_or_default();
        // A summary speaks of whole results: it goes before they do, and comes after them.
        if place.join(SUMMARY).is_file()
            && let Found::File(now) = self.look(SUMMARY)?
            && old.get(SUMMARY) == Some(&now)
        {
            self.remove(SUMMARY)?;
        }
        let is_summary = |name: &&String| name.as_str() == SUMMARY;
        let (last, first): (Vec<String>, Vec<String>) =
            writing.next.files.keys().cloned().partition(|name| is_summary(&name));
        for name in &first {
            self.put(&place, name, &old, &mut writing.next)?;
        }
        self.remove_old(&old, &writing.next)?;
        for name in &last {
            self.put(&place, name, &old, &mut writing.next)?;
        }
        self.sync_folders(&writing.next);
        self.marker.holdings.insert(writing.holding, writing.next);
        self.marker.writing = None;
        self.clear(&place, std::iter::empty::<&String>())?;
        self.marker.write(&self.path, &self.disk)
    }

    /// Moves a waiting file into its place, unless somebody's stands there now.
    fn put(
        &mut self,
        place: &Path,
        name: &str,
        old: &BTreeMap<String, String>,
        next: &mut Holding,
    ) -> Result<(), Error> {
        let from = place.join(name);
        if !from.is_file() {
            return Ok(());
        }
        let new = next.files[name].clone();
        let mut target = name.to_owned();
        match self.look(name)? {
            Found::Nothing => {}
            Found::File(now) if old.get(name) == Some(&now) || now == new => {}
            // It came after the plan was made.
            Found::File(_) | Found::Other => {
                target = self.free_name(name, &next.files.keys().cloned().collect())?;
                self.notes.push(format!("{name} was changed, and stays; the new one is {target}"));
                next.files.remove(name);
                next.files.insert(target.clone(), new);
            }
            Found::Outside => {
                let above = std::io::Error::other("a part of its path is a link or a file");
                return Err(failed("write", &self.path.join(name), &above));
            }
        }
        let to = self.path.join(&target);
        let moved = to.parent().map_or(Ok(()), |folder| self.disk.make_all(folder));
        let moved = moved.and_then(|()| {
            // A file that its owner made private stays private.
            if let Ok(data) = to.metadata() {
                std::fs::set_permissions(&from, data.permissions())?;
            }
            self.disk.rename(&from, &to)
        });
        moved.map_err(|error| failed("write", &to, &error))
    }

    /// Removes files that were listed and are not written again, as far as they are as they
    /// were written.
    fn remove_old(&mut self, old: &BTreeMap<String, String>, next: &Holding) -> Result<(), Error> {
        let mut folders = BTreeSet::new();
        for (name, mark) in old.iter().filter(|(name, _)| !next.files.contains_key(*name)) {
            match self.look(name)? {
                Found::File(now) if now == *mark => {
                    self.remove(name)?;
                    folders.extend(inner_folders(name));
                }
                Found::Nothing => folders.extend(inner_folders(name)),
                // Changed since it was written: somebody's now, and told with theirs.
                _ => {}
            }
        }
        // The innermost first.
        for folder in folders.iter().rev() {
            self.disk.remove_if_empty(&self.path.join(folder));
        }
        Ok(())
    }

    fn remove(&self, name: &str) -> Result<(), Error> {
        let path = self.path.join(name);
        self.disk.remove(&path).map_err(|error| failed("remove", &path, &error))
    }

    fn sync_folders(&self, next: &Holding) {
        let inner: BTreeSet<PathBuf> = next.files.keys().flat_map(|n| inner_folders(n)).collect();
        inner.iter().for_each(|folder| self.disk.sync(&self.path.join(folder)));
        self.disk.sync(&self.path);
    }

    /// Removes the named files of a folder where files waited, and it with its folders, as far as
    /// nothing else is in them.
    fn clear<'a>(
        &self,
        place: &Path,
        names: impl Iterator<Item = &'a String>,
    ) -> Result<(), Error> {
        if place.is_symlink() || !place.is_dir() {
            return Ok(());
        }
        for name in names {
            let path = place.join(name);
            if path.is_file() && !path.is_symlink() {
                self.disk.remove(&path).map_err(|error| failed("remove", &path, &error))?;
            }
        }
        self.clear_folders(place);
        Ok(())
    }

    /// Removes folders without files, from the inside.
    fn clear_folders(&self, place: &Path) {
        let entries = std::fs::read_dir(place).into_iter().flatten().flatten();
        let inner = entries.filter(|entry| entry.file_type().is_ok_and(|kind| kind.is_dir()));
        inner.for_each(|entry| self.clear_folders(&entry.path()));
        self.disk.remove_if_empty(place);
    }
}

/// The folders of a name, below the folder of all, the outermost last.
fn inner_folders(name: &str) -> Vec<PathBuf> {
    let above = Path::new(name).ancestors().skip(1);
    above.filter(|folder| !folder.as_os_str().is_empty()).map(Path::to_path_buf).collect()
}
