//! Every file of the fuzzers' corpus, and the reference briefs and layouts, through the functions
//! that fuzzers call. No fuzzer is needed for it: what was found once stays found.
//!
//! `tests/fuzz/run` looks for more.

#[path = "../fuzz/readers.rs"]
mod readers;

use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use readers::{TARGETS, Target};

/// No input of a few thousand bytes takes so long by far, on any machine.
const HANG: Duration = Duration::from_secs(20);
/// A corpus is read by people too.
const LONGEST: u64 = 32 * 1024;

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn files(folder: &Path) -> Vec<PathBuf> {
    let entries = std::fs::read_dir(folder).unwrap_or_else(|e| panic!("{}: {e}", folder.display()));
    let mut files: Vec<PathBuf> = entries.map(|entry| entry.unwrap().path()).collect();
    files.retain(|path| path.is_file());
    files.sort();
    files
}

/// Runs files through a target and returns how many there were.
fn replayed((name, read): Target, files: &[PathBuf]) -> usize {
    for file in files {
        let data = std::fs::read(file).unwrap();
        let started = Instant::now();
        let outcome = std::panic::catch_unwind(|| read(&data));
        assert!(outcome.is_ok(), "{name} panics at {}", file.display());
        assert!(started.elapsed() < HANG, "{name} hangs at {}", file.display());
    }
    files.len()
}

fn target(name: &str) -> Target {
    *TARGETS.iter().find(|(target, _)| *target == name).unwrap()
}

#[test]
fn the_corpus_is_read_or_refused() {
    let corpus = root().join("tests/fuzz/corpus");
    for target in TARGETS {
        let files = files(&corpus.join(target.0));
        assert!(files.len() >= 2, "{} has no corpus", target.0);
        for file in &files {
            let size = file.metadata().unwrap().len();
            assert!(size <= LONGEST, "{} has {size} bytes", file.display());
        }
        replayed(target, &files);
    }
}

#[test]
fn every_folder_of_the_corpus_and_every_program_is_a_target() {
    let names: Vec<&str> = TARGETS.iter().map(|(name, _)| *name).collect();
    for entry in std::fs::read_dir(root().join("tests/fuzz/corpus")).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        assert!(names.contains(&name.as_str()), "no target reads corpus/{name}");
    }
    for (name, _) in TARGETS {
        let program = root().join(format!("tests/fuzz/targets/{name}.rs"));
        let text = std::fs::read_to_string(&program).unwrap();
        assert!(text.contains(&format!("readers::{name}(data)")), "{}", program.display());
    }
}

#[test]
fn reference_briefs_and_layouts_are_read() {
    let configs = files(&root().join("configs"));
    let briefs: Vec<PathBuf> =
        configs.into_iter().filter(|path| path.extension().is_some_and(|e| e == "toml")).collect();
    assert!(briefs.len() > 10);
    // Every brief as every kind: the wrong kind is refused, not stumbled over.
    for kind in ["brief_search", "brief_reduction", "brief_exam", "brief_study", "layout"] {
        replayed(target(kind), &briefs);
    }
    assert!(replayed(target("layout"), &files(&root().join("tests/layouts"))) > 3);
    replayed(target("stock"), &[root().join("configs/stock.csv")]);
}

/// Each file as it is, cut short at many places and with single bytes changed: a fuzzer's first
/// steps, the same ones every time.
#[test]
fn damaged_files_are_read_or_refused() {
    let corpus = root().join("tests/fuzz/corpus");
    let mut tried = 0;
    for (name, read) in TARGETS {
        for file in files(&corpus.join(name)) {
            let whole = std::fs::read(&file).unwrap();
            let stride = (whole.len() / 24).max(1);
            for place in (0..whole.len()).step_by(stride) {
                read(&whole[..place]);
                for byte in [0, b'"', b'9', b'-', b'\n', 0xff] {
                    let mut damaged = whole.clone();
                    damaged[place] = byte;
                    read(&damaged);
                    tried += 1;
                }
            }
        }
    }
    assert!(tried > 1000, "{tried}");
}
