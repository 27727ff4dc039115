//! Runs the program as a user would.

#![allow(dead_code)] // Each house uses its own part.

use std::path::{Path, PathBuf};
use std::process::Output;

use assert_cmd::Command;

/// A sample layout.
pub fn sample(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/layouts").join(name)
}

/// Every sample layout.
pub fn samples() -> Vec<PathBuf> {
    let folder = std::fs::read_dir(sample("")).unwrap();
    let mut paths: Vec<PathBuf> = folder.map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    assert!(paths.len() >= 6);
    paths
}

/// Runs `coaxle` in an empty folder of its own.
pub fn coaxle<S: AsRef<std::ffi::OsStr>>(arguments: &[S]) -> Output {
    let folder = tempfile::tempdir().unwrap();
    let mut command = Command::cargo_bin("coaxle").unwrap();
    command.args(arguments).current_dir(folder.path()).output().unwrap()
}

/// stdout of a run that must succeed and say nothing on stderr.
pub fn answer<S: AsRef<std::ffi::OsStr>>(arguments: &[S]) -> String {
    let output = coaxle(arguments);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    assert_eq!(text(&output.stderr), "");
    text(&output.stdout)
}

/// stderr of a run that must fail with `status` and print no answer.
pub fn failure<S: AsRef<std::ffi::OsStr>>(arguments: &[S], status: i32) -> String {
    let output = coaxle(arguments);
    assert_eq!(output.status.code(), Some(status), "{}", text(&output.stderr));
    assert_eq!(text(&output.stdout), "");
    text(&output.stderr)
}

pub fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

/// Widest line, in columns of a terminal.
pub fn widest(text: &str) -> usize {
    text.lines().map(unicode_width::UnicodeWidthStr::width).max().unwrap_or(0)
}

/// Sends the process `id` the signal of Ctrl-C.
#[cfg(unix)]
pub fn interrupt(id: u32) {
    let sent = std::process::Command::new("kill").args(["-INT", &id.to_string()]).status();
    assert!(sent.unwrap().success());
}

/// Waits until a run's ledger has so many lines, its heading among them; the run must still be at
/// work then.
pub fn at_line(run: &mut std::process::Child, ledger: &Path, lines: usize) {
    let there = || std::fs::read(ledger).is_ok_and(|text| finished_lines(&text) >= lines);
    while !there() {
        let ended = run.try_wait().unwrap();
        assert!(ended.is_none(), "{ended:?} before line {lines} of {}", ledger.display());
        std::thread::sleep(std::time::Duration::from_millis(1));
    }
}

/// Lines that were written to their end.
pub fn finished_lines(text: &[u8]) -> usize {
    text.iter().filter(|byte| **byte == b'\n').count()
}

/// Kills a run when its ledger has so many lines. The kill must hit: a run that is over leaves
/// nothing to go on with.
pub fn kill_at_line(mut run: std::process::Child, ledger: &Path, lines: usize) {
    at_line(&mut run, ledger, lines);
    run.kill().unwrap();
    let status = run.wait().unwrap();
    assert!(status.code().is_none(), "it ended by itself after line {lines}: {status}");
}

/// All files below a folder and their bytes, but for the time in a summary, sorted.
pub fn contents(folder: &Path) -> Vec<(PathBuf, Vec<u8>)> {
    let mut all = Vec::new();
    let mut waiting = vec![folder.to_path_buf()];
    while let Some(path) = waiting.pop() {
        for entry in std::fs::read_dir(&path).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                waiting.push(path);
                continue;
            }
            let mut bytes = std::fs::read(&path).unwrap();
            if path.ends_with("summary.json") {
                let text = String::from_utf8(bytes).unwrap();
                let timeless = text.lines().filter(|line| !line.contains("elapsed_s"));
                bytes = timeless.collect::<Vec<_>>().join("\n").into_bytes();
            }
            all.push((path.strip_prefix(folder).unwrap().to_path_buf(), bytes));
        }
    }
    all.sort();
    all
}
