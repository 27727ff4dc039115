//! README.md and results/README.md tell the truth: every command in them works, in a folder
//! that has only what a fresh clone has, and every file that they link to is there.
//!
//! Rust in README.md is a doc test, see src/lib.rs. The search on the default brief is left
//! to tests/engine/reference.rs, which runs it once for all.

use std::path::Path;

use crate::program::{sample, text};
use assert_cmd::Command;
use coaxle::motion::{Status, solve_state};
use coaxle::num::fraction;
use coaxle::train::{ElementMask, OUTPUT, read_layout};

const COMMAND: &str = "cargo run --release -- ";

fn read(name: &str) -> String {
    std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(name)).unwrap()
}

/// The texts of all fenced blocks in this language.
fn blocks(page: &str, language: &str) -> Vec<String> {
    let fence = format!("```{language}\n");
    let parts = page.split(fence.as_str()).skip(1);
    parts.map(|part| part.split("```").next().unwrap().to_owned()).collect()
}

/// A folder with what a clone has and a user may name.
fn clone() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    for part in ["configs", "tests/layouts", "results/reference"] {
        let from = Path::new(env!("CARGO_MANIFEST_DIR")).join(part);
        copy(&from, &folder.path().join(part));
    }
    folder
}

fn copy(from: &Path, to: &Path) {
    if from.is_dir() {
        std::fs::create_dir_all(to).unwrap();
        for entry in std::fs::read_dir(from).unwrap() {
            let path = entry.unwrap().path();
            copy(&path, &to.join(path.file_name().unwrap()));
        }
    } else {
        std::fs::copy(from, to).unwrap();
    }
}

#[test]
fn every_command_works() {
    let folder = clone();
    let page = read("README.md");
    // A block of TOML whose first line is a comment with a file name is such a file.
    for block in blocks(&page, "toml") {
        let name = block.lines().next().unwrap().trim_start_matches("# ");
        assert!(name.ends_with(".toml") && !name.contains('/'), "{name}");
        std::fs::write(folder.path().join(name), &block).unwrap();
    }
    let mut worked = 0;
    for block in [blocks(&page, "sh"), blocks(&read("results/README.md"), "sh")].concat() {
        for line in block.lines() {
            let Some(arguments) = line.strip_prefix(COMMAND) else {
                assert_eq!(line, "cargo test --release");
                continue;
            };
            if arguments == "search" {
                continue;
            }
            let mut command = Command::cargo_bin("coaxle").unwrap();
            let output = command.args(arguments.split(' ')).current_dir(folder.path()).output();
            let output = output.unwrap();
            assert!(output.status.success(), "{line}: {}", text(&output.stderr));
            worked += 1;
        }
    }
    assert!(worked >= 10, "{worked} commands");
}

/// The words of the first page are those that the program uses.
#[test]
fn the_glossary_has_the_words_of_the_program() {
    let page = read("README.md");
    let words = page.split("## Words\n").nth(1).unwrap().split("\n## ").next().unwrap();
    for dead in [Status::Loose, Status::Locked, Status::IdleOutput].map(Status::word) {
        assert!(words.contains(dead), "no {dead}");
    }
    assert!(words.contains(&format!("*{}* state", Status::Live.word())));
    // Two sets with what the table says of ratio, step and spread, and a state that it calls dead.
    let layout = read_layout(&sample("two-sets.toml")).unwrap();
    let state = |engaged: &[usize]| solve_state(&layout, ElementMask::of(engaged.iter().copied()));
    let first = state(&[0, 3]);
    assert_eq!(
        (first.status, first.speeds[OUTPUT.0].clone()),
        (Status::Live, Some(fraction(11, 27)))
    );
    assert_eq!(first.ratio, Some(fraction(27, 11)));
    assert_eq!(state(&[1, 2]).status, Status::Locked);
    assert_eq!(state(&[2, 3]).status, Status::IdleOutput);
    assert_eq!(state(&[0]).status, Status::Loose);
}

#[test]
fn every_link_leads_somewhere() {
    for (page, folder) in
        [("README.md", ""), ("results/README.md", "results"), ("DEVELOPERS.md", "")]
    {
        let text = read(page);
        let headings: Vec<String> = text
            .lines()
            .filter(|line| line.starts_with('#'))
            .map(|line| line.trim_start_matches('#').trim().to_lowercase().replace(' ', "-"))
            .collect();
        for link in text.split("](").skip(1).map(|rest| rest.split(')').next().unwrap()) {
            let there = match link.strip_prefix('#') {
                Some(heading) => headings.iter().any(|other| other == heading),
                None => Path::new(env!("CARGO_MANIFEST_DIR")).join(folder).join(link).exists(),
            };
            assert!(there || link.starts_with("https://"), "{page}: {link}");
        }
    }
}

/// Figures in the text are those of the runs that are kept.
#[test]
fn the_figures_of_the_first_page_are_those_of_the_reference_run() {
    let summary = read("results/reference/railcar-6/summary.json");
    let summary: serde_json::Value = serde_json::from_str(&summary).unwrap();
    let page = read("README.md");
    let layouts = summary["space"]["layouts"].as_u64().unwrap();
    let digits = layouts.to_string();
    let plain: String = page.chars().filter(|c| *c != ',').collect();
    assert!(plain.contains(&format!("all {digits} layouts")), "{digits} layouts");
    let front = summary["front"].as_array().unwrap();
    assert!(page.contains(&format!("and {} choices of layout", front.len())), "{}", front.len());
    // Those that the report shows come first, the widest to the evenest.
    let last = front[front.len().min(20) - 1].as_str().unwrap();
    assert!(page.contains(&format!("`{last}` has the most even steps")), "{last}");
}

/// What the page says is proved of four sets is what that run proved.
#[test]
fn what_is_said_of_four_sets_was_proved() {
    let summary = read("results/reference/railcar-8/summary.json");
    let summary: serde_json::Value = serde_json::from_str(&summary).unwrap();
    let proof = &summary["proof"];
    assert_eq!((&summary["complete"], &proof["open"]), (&true.into(), &0.into()));
    let [spread, even] = ["ln_spread", "step_deviation"].map(|what| &proof["reached"][what]);
    let said = format!("proved within {spread} in ln spread and {even} in step deviation");
    let page = read("README.md").split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(page.contains(&said), "{said}");
}
