//! What a writing will do with each file: three versions are compared, what was written before,
//! what stands there now, and what is to be written.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Component, Path};

use super::look::{Found, is_plain, mark};
use super::{Files, Folder, Neighbours, SUMMARY, failed};
use crate::error::Error;

/// What a writing will do.
#[derive(Default)]
pub(super) struct Plan {
    /// The new list: every file of ours with the mark of its contents.
    pub listed: BTreeMap<String, String>,
    /// Files to write, by the names under which they will stand.
    pub puts: Vec<(String, Vec<u8>)>,
    /// The name of each file that was given, in order.
    pub names: Vec<String>,
    pub notes: Vec<String>,
}

impl Plan {
    fn put(&mut self, name: String, bytes: Vec<u8>) {
        self.names.push(name.clone());
        self.listed.insert(name.clone(), mark(&name, &bytes));
        self.puts.push((name, bytes));
    }
}

impl Folder {
    /// # Errors
    /// [`Error::Work`] for names that no folder has, or below a link; [`Error::Request`] for a
    /// quick answer whose name is taken.
    pub(super) fn plan(&self, files: Files) -> Result<Plan, Error> {
        let mut plan = Plan::default();
        let names =
            files.iter().map(|(name, _)| plain_name(name)).collect::<Result<Vec<_>, _>>()?;
        let mut taken: BTreeSet<String> = names.iter().cloned().collect();
        if taken.len() < names.len() {
            return Err(Error::Work("two files of one name were to be written".to_owned()));
        }
        for (name, (_, bytes)) in names.into_iter().zip(files) {
            self.plan_file(&mut plan, &mut taken, name, bytes)?;
        }
        Ok(plan)
    }

    fn plan_file(
        &self,
        plan: &mut Plan,
        taken: &mut BTreeSet<String>,
        name: String,
        bytes: Vec<u8>,
    ) -> Result<(), Error> {
        let new = mark(&name, &bytes);
        let before = self.written_before(&name);
        let is_summary = name == SUMMARY;
        match self.look(&name)? {
            Found::Nothing => plan.put(name, bytes),
            // A summary of the same mark may tell another time: that is written.
            Found::File(now) if before == Some(&now) && (now != new || is_summary) => {
                plan.put(name, bytes);
            }
            Found::File(now) if now == new => {
                if before.is_some() {
                    plan.listed.insert(name.clone(), new);
                }
                plan.names.push(name);
            }
            Found::File(_) if before == Some(&new) => {
                plan.notes.push(format!("{name} was changed since it was written, and stays so"));
                plan.listed.insert(name.clone(), new);
                plan.names.push(name);
            }
            Found::Outside => {
                let above = std::io::Error::other("a part of its path is a link or a file");
                return Err(failed("write", &self.path.join(&name), &above));
            }
            Found::File(_) | Found::Other if self.neighbours == Neighbours::Among => {
                return Err(self.taken(&name));
            }
            Found::File(_) | Found::Other => {
                let beside = self.free_name(&name, taken)?;
                taken.insert(beside.clone());
                plan.notes.push(format!(
                    "{name} was changed or is not of this run, and stays; the new one is {beside}"
                ));
                plan.put(beside, bytes);
            }
        }
        Ok(())
    }

    /// The mark of a file when it was written.
    pub(super) fn written_before(&self, name: &str) -> Option<&String> {
        self.marker.holdings.get(&self.holding)?.files.get(name)
    }

    /// A name beside `name` under which nothing stands but what was written there before.
    pub(super) fn free_name(&self, name: &str, taken: &BTreeSet<String>) -> Result<String, Error> {
        let (stem, ending) = match name.rsplit_once('.') {
            Some((stem, ending)) if !stem.is_empty() && !ending.contains('/') => (stem, ending),
            _ => (name, ""),
        };
        let dot = if ending.is_empty() { "" } else { "." };
        for number in 1..1000 {
            let mark = if number == 1 { "new".to_owned() } else { format!("new-{number}") };
            let beside = format!("{stem}.{mark}{dot}{ending}");
            let free = match self.look(&beside)? {
                Found::Nothing => true,
                Found::File(now) => self.written_before(&beside) == Some(&now),
                Found::Other | Found::Outside => false,
            };
            if free && !taken.contains(&beside) {
                return Ok(beside);
            }
        }
        let path = self.path.join(name);
        let none = std::io::Error::other("all names beside it are taken");
        Err(failed("write beside", &path, &none))
    }
}

/// A name with `/` between its parts.
fn plain_name(name: &Path) -> Result<String, Error> {
    let parts = name.components().map(|part| match part {
        Component::Normal(part) => part.to_str(),
        _ => None,
    });
    let text = parts.collect::<Option<Vec<_>>>().map(|parts| parts.join("/"));
    text.filter(|text| is_plain(text))
        .ok_or_else(|| Error::Work(format!("\"{}\" cannot be a name of a file", name.display())))
}
