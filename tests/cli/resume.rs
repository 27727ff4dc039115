//! Long runs at the terminal: killed, stopped, damaged, and gone on with. What comes out in
//! the end must be what an uninterrupted run gives, byte for byte.

use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use crate::program::{coaxle, contents, failure, kill_at_line, text};
use rand::prelude::*;
use rand_pcg::Pcg64;

/// A few units of a space that would take minutes.
const BRIEF: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/configs/railcar-8.toml");
const UNITS: &str = "100..104";
const LEDGER: &str = ".coaxle-ledger";

fn begin(out: &Path) -> Child {
    let mut command = Command::new(env!("CARGO_BIN_EXE_coaxle"));
    command.args(["search", BRIEF, "--units", UNITS, "--quiet", "--resume", "--out"]).arg(out);
    command.stderr(Stdio::null()).spawn().unwrap()
}

fn finish(out: &Path) {
    assert!(begin(out).wait().unwrap().success());
}

#[test]
fn killed_runs_end_in_the_same_bytes() {
    let folder = tempfile::tempdir().unwrap();
    let (whole, killed) = (folder.path().join("whole"), folder.path().join("killed"));
    let started = std::time::Instant::now();
    finish(&whole);
    let longest = started.elapsed();
    // Two kills on the way that are sure to hit, then some at any instant.
    for lines in [2, 3] {
        kill_at_line(begin(&killed), &killed.join(LEDGER), lines);
        assert!(!killed.join("summary.json").exists());
    }
    let mut rng = Pcg64::seed_from_u64(11);
    for _ in 0..4 {
        let mut run = begin(&killed);
        std::thread::sleep(longest.mul_f64(rng.random_range(0.05..0.8)));
        run.kill().unwrap();
        run.wait().unwrap();
    }
    finish(&killed);
    assert_eq!(contents(&whole), contents(&killed));
}

#[test]
fn a_damaged_ledger_costs_work_and_nothing_else() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("out");
    finish(&out);
    let before = contents(&out);
    let ledger = out.join(LEDGER);
    let whole = std::fs::read(&ledger).unwrap();
    let lines = whole.split(|byte| *byte == b'\n').count() - 1;
    assert_eq!(lines, 1 + 4, "a heading and a line a unit");
    // Torn in the middle of a line, a byte turned, zeros behind it as a power cut leaves them.
    let torn = whole[..whole.len() * 2 / 3].to_vec();
    let mut turned = whole.clone();
    turned[whole.len() / 2] ^= 1;
    let zeros = [&torn[..], &[0; 4096]].concat();
    for damaged in [torn, turned, zeros, Vec::new()] {
        std::fs::write(&ledger, damaged).unwrap();
        finish(&out);
        assert_eq!(contents(&out), before);
    }
}

/// A part of a search that stands is not given up for a narrower one, and neither is its ledger:
/// that goes only when the whole request was judged.
#[test]
fn a_narrower_run_gives_nothing_up() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("out");
    finish(&out);
    let before = contents(&out);
    let name = out.to_str().unwrap();
    let part = |units: &str, more: &[&str]| {
        let usual = ["search", BRIEF, "--units", units, "--quiet", "--out", name];
        coaxle(&[&usual, more].concat())
    };
    for units in ["100..101", "103..105"] {
        let output = part(units, &[]);
        let told = text(&output.stderr);
        assert_eq!(output.status.code(), Some(2), "{told}");
        assert!(told.contains("units 100..104") && told.contains("--force"), "{told}");
        assert_eq!(contents(&out), before);
    }
    // Forced, the results are another part's; what is finished stays finished.
    assert_eq!(part("100..101", &["--force"]).status.code(), Some(0));
    assert_eq!(std::fs::read(out.join(LEDGER)).unwrap(), ledger_of(&before));
    finish(&out);
    assert_eq!(contents(&out), before);
}

fn ledger_of(contents: &[(std::path::PathBuf, Vec<u8>)]) -> &[u8] {
    &contents.iter().find(|(name, _)| name == Path::new(LEDGER)).unwrap().1
}

#[test]
fn another_brief_or_version_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let (out, brief) = (folder.path().join("out"), folder.path().join("mine.toml"));
    let (out_name, brief_name) = (out.to_str().unwrap(), brief.to_str().unwrap());
    let railcar = include_str!("../../configs/railcar-8.toml");
    let part = |more: &[&str]| {
        let usual = ["search", brief_name, "--units", "100..101", "--quiet", "--out", out_name];
        coaxle(&[&usual, more].concat())
    };
    std::fs::write(&brief, railcar).unwrap();
    assert_eq!(part(&[]).status.code(), Some(0));
    let changed = railcar.replace("[1.1, 1.75]", "[1.1, 1.7]");
    assert_ne!(changed, railcar);
    std::fs::write(&brief, changed).unwrap();
    let output = part(&["--resume"]);
    let told = text(&output.stderr);
    assert_eq!(output.status.code(), Some(2), "{told}");
    for part in [out_name, "another brief", "1.75", "mend:", "--afresh"] {
        assert!(told.contains(part), "no {part} in {told}");
    }
    // Limits only stop a run: they may change.
    std::fs::write(&brief, format!("{railcar}\n[effort]\ntime_limit = 1000\n")).unwrap();
    assert_eq!(part(&["--resume"]).status.code(), Some(0));
    std::fs::write(&brief, railcar).unwrap();
    let ledger = out.join(LEDGER);
    let kept = std::fs::read_to_string(&ledger).unwrap();
    let (heading, rest) = kept.split_once('\n').unwrap();
    let build = format!("\"build\":\"{}\"", coaxle::program::BUILD);
    let other = heading[9..].replace(&build, "\"build\":\"0123456789abcdef\"");
    assert_ne!(other, heading[9..]);
    let sum = crc32fast::hash(other.as_bytes());
    std::fs::write(&ledger, format!("{sum:08x} {other}\n{rest}")).unwrap();
    let output = part(&["--resume"]);
    let told = text(&output.stderr);
    assert_eq!(output.status.code(), Some(2), "{told}");
    assert!(told.contains("build 0123456789abcdef") && told.contains("--afresh"), "{told}");
    assert_eq!(part(&["--afresh"]).status.code(), Some(0));
}

#[test]
fn what_a_limit_stops_goes_on_later() {
    let folder = tempfile::tempdir().unwrap();
    let (whole, limited) = (folder.path().join("whole"), folder.path().join("limited"));
    finish(&whole);
    let name = limited.to_str().unwrap();
    let search = ["search", BRIEF, "--units", UNITS, "--out", name];
    let output = coaxle(&[&search[..], &["--limit-time", "0.4"]].concat());
    let page = text(&output.stdout) + &text(&output.stderr);
    assert!(page.contains("time limit"), "{page}");
    let summary = std::fs::read_to_string(limited.join("summary.json")).unwrap();
    assert!(summary.contains("\"complete\": false"), "{summary}");
    let output = coaxle(&[&search[..], &["--limit-memory", "24"]].concat());
    let page = text(&output.stdout) + &text(&output.stderr);
    assert!(page.contains("memory limit"), "{page}");
    finish(&limited);
    assert_eq!(contents(&whole), contents(&limited));
}

#[test]
fn two_runs_do_not_share_a_folder() {
    let folder = tempfile::tempdir().unwrap();
    let mut first = begin(folder.path());
    let ledger = folder.path().join(LEDGER);
    while !ledger.exists() && first.try_wait().unwrap().is_none() {
        std::thread::sleep(Duration::from_millis(5));
    }
    std::thread::sleep(Duration::from_millis(20));
    let name = folder.path().to_str().unwrap();
    let output = coaxle(&["search", BRIEF, "--units", UNITS, "--quiet", "--out", name]);
    let told = text(&output.stderr);
    assert_eq!(output.status.code(), Some(2), "{told}");
    assert!(told.contains("another run is at work"), "{told}");
    assert!(first.wait().unwrap().success());
}

#[test]
fn units_that_are_not_there_are_named() {
    for (units, part) in [("5000..5001", "it has 1073"), ("4..4", "0..100"), ("x", "0..100")] {
        let told = failure(&["search", BRIEF, "--units", units, "--out", "out", "--quiet"], 2);
        assert!(told.contains(part) && told.contains("--units"), "{told}");
    }
}

/// Eight elements on four sets: more layouts than a day has microseconds.
#[test]
fn what_takes_more_than_a_day_asks_first() {
    let folder = tempfile::tempdir().unwrap();
    let brief = folder.path().join("long.toml");
    let content = "[space]\nsets = 4\nshafts = 8\nelements = 8\n[gears]\nforward = 4\n";
    std::fs::write(&brief, content).unwrap();
    let out = folder.path().join("out");
    let told =
        failure(&["search", brief.to_str().unwrap(), "--quiet", "--out", out.to_str().unwrap()], 2);
    for part in ["long.toml", "would take", "days", "137,324 cores", "--yes", "--units"] {
        assert!(told.contains(part), "no {part} in {told}");
    }
    assert!(!out.exists(), "nothing was begun");
}
