//! Tests only: the mirror, the table of keys and the reference file say the same.

use std::collections::BTreeSet;

use super::keys::{KEYS, TABLES, keys_of};
use super::written::{Written, WrittenLimit, WrittenTargets};
use super::{Brief, canonical};
use crate::score::Criterion;

const REFERENCE: &str = include_str!("../../configs/every-key.toml");

/// One key of the reference file.
struct Entry {
    /// Full path.
    path: String,
    /// Value as written.
    value: String,
    /// Number of the line, from 0.
    line: usize,
    /// Whether the line is commented out.
    asleep: bool,
    /// The comment above it, in one line.
    comment: String,
}

fn entries() -> Vec<Entry> {
    let (mut table, mut comment, mut all) = (String::new(), String::new(), Vec::new());
    for (line, text) in REFERENCE.lines().enumerate() {
        let awake = text.trim_start_matches("# ");
        if let Some(heading) = awake.strip_prefix('[').and_then(|rest| rest.strip_suffix(']')) {
            table = heading.to_owned();
            continue;
        }
        let key = awake.split_once(" = ").filter(|(key, _)| keys_of(&table).contains(key));
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

/// The reference with some lines dropped and some commented-out lines made live.
fn variant(drop: impl Fn(usize) -> bool, wake: impl Fn(usize) -> bool) -> String {
    let kept = REFERENCE.lines().enumerate().filter(|(line, _)| !drop(*line));
    kept.map(|(line, text)| if wake(line) { text.trim_start_matches("# ") } else { text })
        .fold(String::new(), |text, line| text + line + "\n")
}

fn parse(text: &str) -> Brief {
    Brief::parse(text, "every-key").unwrap_or_else(|mistake| panic!("{mistake}\n{text}"))
}

/// All paths of a written brief in which every key has a value.
fn mirrored() -> BTreeSet<String> {
    let mut written = canonical::write(&parse(REFERENCE));
    written.gears.step_factor = Some(1.05);
    written.targets = Some(WrittenTargets {
        forward: Some(vec![1.0]),
        reverse: Some(vec![1.0]),
        tolerance: Some(0.02),
    });
    let limit = WrittenLimit { least: Some(0.0), most: Some(1.0) };
    written.limits.insert("spread".into(), limit);
    let table: toml::Table = toml::from_str(&written.text()).unwrap();
    let mut paths = BTreeSet::new();
    for (name, value) in table {
        match value.as_table() {
            Some(inner) => paths.extend(inner.keys().map(|key| format!("{name}.{key}"))),
            None => drop(paths.insert(name)),
        }
    }
    paths
}

#[test]
fn the_table_of_keys_is_the_mirror() {
    let known: BTreeSet<String> =
        KEYS.iter().map(|(path, _)| (*path).to_owned()).chain(["limits.spread".into()]).collect();
    assert_eq!(mirrored(), known);
}

#[test]
fn the_mirror_names_the_same_keys_where_it_refuses_one() {
    for table in ["", "limits.spread"].into_iter().chain(TABLES) {
        let open = if table.is_empty() { String::new() } else { format!("[{table}]\n") };
        let error = toml::from_str::<Written>(&format!("{open}zzz = {{}}\n")).err();
        let Some(error) = error else {
            assert_eq!(table, "limits", "[{table}] takes any key");
            continue;
        };
        for key in keys_of(table) {
            assert!(error.message().contains(&format!("`{key}`")), "[{table}] {key}: {error}");
        }
    }
}

#[test]
fn the_reference_has_every_key_and_criterion_once() {
    let entries = entries();
    for (path, _) in KEYS {
        let found = entries.iter().filter(|entry| entry.path == path).count();
        assert_eq!(found, 1, "{path} stands {found} times in configs/every-key.toml");
    }
    let objectives = entries.iter().find(|entry| entry.path == "score.objectives").unwrap();
    for criterion in Criterion::ALL {
        assert!(objectives.comment.contains(criterion.name()), "{}", criterion.name());
    }
}

#[test]
fn every_key_has_unit_and_default() {
    for entry in entries().iter().filter(|entry| !entry.path.starts_with("limits.")) {
        assert!(entry.comment.contains("Unit: "), "{} has no unit", entry.path);
        let told = entry.comment.contains("Default: ") || entry.comment.contains("Required");
        assert!(told, "{} tells no default", entry.path);
    }
}

#[test]
fn the_defaults_are_those_of_the_program() {
    let whole = parse(REFERENCE);
    let mut checked = 0;
    for entry in entries().iter().filter(|entry| !entry.asleep) {
        let Some((_, told)) = entry.comment.split_once("Default: ") else {
            let without = variant(|line| line == entry.line, |_| false);
            let mistake = Brief::parse(&without, "every-key").unwrap_err();
            assert_eq!(mistake.key, entry.path, "is required");
            continue;
        };
        let without = parse(&variant(|line| line == entry.line, |_| false));
        if entry.path == "title" {
            assert_eq!(without.title, "every-key");
            continue;
        }
        assert!(
            told.starts_with(&entry.value),
            "{}: default {told}, written {}",
            entry.path,
            entry.value
        );
        assert_eq!(without, whole, "{} left out is not {}", entry.path, entry.value);
        checked += 1;
    }
    // All but the title, the four required keys and the four that are commented out.
    assert_eq!(checked, KEYS.len() - 9);
}

#[test]
fn the_commented_keys_work_too() {
    let entries = entries();
    let line = |path: &str| entries.iter().find(|entry| entry.path == path).unwrap().line;
    let limits: Vec<usize> =
        entries.iter().filter(|e| e.path.starts_with("limits.")).map(|e| e.line).collect();
    let limited = parse(&variant(|_| false, |at| limits.contains(&at)));
    assert_eq!(limited.limits.len(), limits.len());

    let progressive = variant(|_| false, |at| at == line("gears.step_factor"));
    let progressive = progressive.replace("= \"geometric\"", "= \"progressive\"");
    let without = progressive.replace("\nstep_factor = 1.05", "");
    assert_ne!(progressive, without);
    assert_eq!(parse(&progressive), parse(&without));

    let windows = ["first", "top", "spread", "step", "reverse_ratio", "progression"];
    let windows = windows.map(|key| line(&format!("gears.{key}")));
    let heading = REFERENCE.lines().position(|text| text == "# [targets]").unwrap();
    let keys = ["forward", "reverse", "tolerance"].map(|key| line(&format!("targets.{key}")));
    let wake = |at: usize| at == heading || keys.contains(&at);
    let aimed = parse(&variant(|at| windows.contains(&at), wake));
    let targets = aimed.gears.targets.as_ref().unwrap();
    assert_eq!((targets.forward.len(), targets.reverse.len()), (6, 1));
    let plain = parse(&variant(
        |at| windows.contains(&at) || at == keys[2],
        |at| wake(at) && at != keys[2],
    ));
    assert_eq!(plain, aimed);
}
