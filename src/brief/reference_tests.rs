//! Tests only: the mirror, the table of keys and the reference file say the same.
//!
//! [`Reference`] serves every kind of brief; the laws below it are those of `search`.

use std::collections::BTreeSet;

use serde::Serialize;
use serde::de::DeserializeOwned;

use super::dialect::Dialect;
use super::keys::SEARCH;
use super::written::{self, Written, WrittenLimit, WrittenTargets};
use super::{Brief, canonical};
use crate::error::Mistake;

const REFERENCE: Reference =
    Reference { text: include_str!("../../configs/every-key.toml"), dialect: &SEARCH };

/// The reference file of one kind of brief.
pub(super) struct Reference {
    pub text: &'static str,
    pub dialect: &'static Dialect,
}

/// One key of the reference file.
pub(super) struct Entry {
    /// Full path.
    pub path: String,
    /// Value as written.
    pub value: String,
    /// Number of the line, from 0.
    pub line: usize,
    /// Whether the line is commented out.
    pub asleep: bool,
    /// The comment above it, in one line.
    pub comment: String,
}

impl Reference {
    pub fn entries(&self) -> Vec<Entry> {
        let (mut table, mut comment, mut all) = (String::new(), String::new(), Vec::new());
        for (line, text) in self.text.lines().enumerate() {
            let awake = text.trim_start_matches("# ");
            if let Some(heading) = awake.strip_prefix('[').and_then(|rest| rest.strip_suffix(']')) {
                table = heading.to_owned();
                continue;
            }
            let known = self.dialect.keys_of(&table);
            let key = awake.split_once(" = ").filter(|(key, _)| known.contains(key));
            match key {
                Some((key, value)) => {
                    let path = if table.is_empty() { key.into() } else { format!("{table}.{key}") };
                    let asleep = text.starts_with("# ");
                    let value = value.to_owned();
                    all.push(Entry { path, value, line, asleep, comment: comment.clone() });
                }
                None if text.is_empty() => comment.clear(),
                None => comment = format!("{comment} {awake}"),
            }
        }
        all
    }

    /// The number of the line of a key.
    pub fn line(&self, path: &str) -> usize {
        self.entries().iter().find(|entry| entry.path == path).unwrap().line
    }

    /// The reference with some lines dropped and some commented-out lines made live.
    pub fn variant(&self, drop: impl Fn(usize) -> bool, wake: impl Fn(usize) -> bool) -> String {
        let kept = self.text.lines().enumerate().filter(|(line, _)| !drop(*line));
        kept.map(|(line, text)| if wake(line) { text.trim_start_matches("# ") } else { text })
            .fold(String::new(), |text, line| text + line + "\n")
    }

    /// `full` is a mirror in which every key has a value, and `limits` one limit of `name`.
    pub fn keys_are_those_of(&self, full: &impl Serialize, name: &str) {
        let table: toml::Table = toml::from_str(&written::text(full)).unwrap();
        let mut paths = BTreeSet::new();
        for (name, value) in table {
            match value.as_table() {
                Some(inner) => paths.extend(inner.keys().map(|key| format!("{name}.{key}"))),
                None => drop(paths.insert(name)),
            }
        }
        let keys = self.dialect.keys.iter().map(|(path, _)| (*path).to_owned());
        assert_eq!(paths, keys.chain([format!("limits.{name}")]).collect());
    }

    /// The reader's own list of keys, in each table but those of names.
    pub fn mirror_refuses_other_keys<T: DeserializeOwned>(&self, limit: &str) {
        let named = self.dialect.named.iter().map(|(table, _)| *table);
        let named: Vec<&str> = named.collect();
        let limit = format!("limits.{limit}");
        for table in ["", &limit].into_iter().chain(self.dialect.tables.iter().copied()) {
            let open = if table.is_empty() { String::new() } else { format!("[{table}]\n") };
            let error = toml::from_str::<T>(&format!("{open}zzz = {{}}\n")).err();
            let Some(error) = error else {
                assert!(named.contains(&table), "[{table}] takes any key");
                continue;
            };
            for key in self.dialect.keys_of(table) {
                assert!(error.message().contains(&format!("`{key}`")), "[{table}] {key}: {error}");
            }
        }
    }

    /// Every key once, with its unit and default, and every criterion.
    pub fn is_complete(&self) {
        let (entries, name) = (self.entries(), self.dialect.reference);
        for (path, _) in self.dialect.keys {
            let found = entries.iter().filter(|entry| entry.path == *path).count();
            assert_eq!(found, 1, "{path} stands {found} times in {name}");
        }
        let objectives = entries.iter().find(|entry| entry.path == "score.objectives").unwrap();
        for criterion in self.dialect.criterion_names() {
            assert!(objectives.comment.contains(criterion), "{criterion}");
        }
        for entry in entries.iter().filter(|entry| !entry.path.starts_with("limits.")) {
            assert!(entry.comment.contains("Unit: "), "{} has no unit", entry.path);
            let told = entry.comment.contains("Default: ") || entry.comment.contains("Required");
            assert!(told, "{} tells no default", entry.path);
        }
    }

    /// Keys that are live: without a default they are missed, with one they may go. Returns
    /// how many defaults were compared.
    pub fn defaults_are_true<B: PartialEq + std::fmt::Debug>(
        &self,
        parse: impl Fn(&str) -> Result<B, Mistake>,
        title: impl Fn(&B) -> &str,
    ) -> usize {
        let read = |text: &str| parse(text).unwrap_or_else(|mistake| panic!("{mistake}\n{text}"));
        let whole = read(self.text);
        let mut checked = 0;
        for entry in self.entries().iter().filter(|entry| !entry.asleep) {
            let text = self.variant(|line| line == entry.line, |_| false);
            let Some((_, told)) = entry.comment.split_once("Default: ") else {
                assert_eq!(parse(&text).unwrap_err().key, entry.path, "is required");
                continue;
            };
            let without = read(&text);
            if entry.path == "title" {
                assert_eq!(title(&without), "every-key");
                continue;
            }
            let (path, value) = (&entry.path, &entry.value);
            assert!(told.starts_with(value), "{path}: default {told}, written {value}");
            assert_eq!(without, whole, "{path} left out is not {value}");
            checked += 1;
        }
        checked
    }
}

fn parse(text: &str) -> Brief {
    Brief::parse(text, "every-key").unwrap_or_else(|mistake| panic!("{mistake}\n{text}"))
}

#[test]
fn the_table_of_keys_is_the_mirror() {
    let mut written = canonical::write(&parse(REFERENCE.text));
    written.gears.step_factor = Some(1.05);
    written.targets = Some(WrittenTargets {
        forward: Some(vec![1.0]),
        reverse: Some(vec![1.0]),
        tolerance: Some(0.02),
    });
    let limit = WrittenLimit { least: Some(0.0), most: Some(1.0) };
    written.limits.insert("spread".into(), limit);
    REFERENCE.keys_are_those_of(&written, "spread");
}

#[test]
fn the_mirror_names_the_same_keys_where_it_refuses_one() {
    REFERENCE.mirror_refuses_other_keys::<Written>("spread");
}

#[test]
fn the_reference_has_every_key_and_criterion_with_unit_and_default() {
    REFERENCE.is_complete();
}

#[test]
fn the_defaults_are_those_of_the_program() {
    let parse = |text: &str| Brief::parse(text, "every-key");
    let checked = REFERENCE.defaults_are_true(parse, |brief| &brief.title);
    // All but the title, the four required keys and the four that are commented out.
    assert_eq!(checked, SEARCH.keys.len() - 9);
}

#[test]
fn the_commented_keys_work_too() {
    let entries = REFERENCE.entries();
    let line = |path: &str| REFERENCE.line(path);
    let variant =
        |drop: &dyn Fn(usize) -> bool, wake: &dyn Fn(usize) -> bool| REFERENCE.variant(drop, wake);
    let limits: Vec<usize> =
        entries.iter().filter(|e| e.path.starts_with("limits.")).map(|e| e.line).collect();
    let limited = parse(&variant(&|_| false, &|at| limits.contains(&at)));
    assert_eq!(limited.limits.len(), limits.len());

    let progressive = variant(&|_| false, &|at| at == line("gears.step_factor"));
    let progressive = progressive.replace("= \"geometric\"", "= \"progressive\"");
    let without = progressive.replace("\nstep_factor = 1.05", "");
    assert_ne!(progressive, without);
    assert_eq!(parse(&progressive), parse(&without));

    let windows = ["first", "top", "spread", "step", "reverse_ratio", "progression"];
    let windows = windows.map(|key| line(&format!("gears.{key}")));
    let heading = REFERENCE.text.lines().position(|text| text == "# [targets]").unwrap();
    let keys = ["forward", "reverse", "tolerance"].map(|key| line(&format!("targets.{key}")));
    let wake = |at: usize| at == heading || keys.contains(&at);
    let aimed = parse(&variant(&|at| windows.contains(&at), &wake));
    let targets = aimed.gears.targets.as_ref().unwrap();
    assert_eq!((targets.forward.len(), targets.reverse.len()), (6, 1));
    let plain = parse(&variant(&|at| windows.contains(&at) || at == keys[2], &|at| {
        wake(at) && at != keys[2]
    }));
    assert_eq!(plain, aimed);
}
