//! `coaxle search` at the terminal; what it finds is tested elsewhere.

use std::path::Path;

use crate::program::{coaxle, failure, text, widest};
use serde_json::Value;

const SMALL: &str = "\
title = \"Hollowfell hand crank\"
[space]
sets = 2
shafts = 4
elements = 3
[gears]
forward = 2
reverse = 0
";

fn brief(folder: &Path, content: &str) -> String {
    let path = folder.join("crank.toml");
    std::fs::write(&path, content).unwrap();
    path.to_str().unwrap().to_owned()
}

#[test]
fn a_person_reads_tables_and_finds_the_files() {
    let folder = tempfile::tempdir().unwrap();
    let brief = brief(folder.path(), SMALL);
    let out = folder.path().join("out");
    let output = coaxle(&["search", &brief, "--out", out.to_str().unwrap(), "--threads", "1"]);
    let page = text(&output.stdout);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    let tables = page.split("\nWritten\n").next().unwrap();
    assert!(widest(tables) <= 100, "{page}");
    for head in ["id", "gears", "first", "top", "spread", "worst step", "elements", "reverse"] {
        assert!(page.contains(head), "no {head} in {page}");
    }
    for line in page.split("\nWritten\n").nth(1).unwrap().lines() {
        let path = line.trim().split(" … ").next().unwrap();
        assert!(Path::new(path).is_file(), "{line}");
    }
    let text = std::fs::read_to_string(out.join("summary.json")).unwrap();
    let summary: Value = serde_json::from_str(&text).unwrap();
    assert_eq!(summary["complete"], true);
    assert!(page.contains(summary["front"][0].as_str().unwrap()));
}

#[test]
fn the_table_shows_what_counts() {
    let folder = tempfile::tempdir().unwrap();
    let objectives = "[score]\nobjectives = [\"spread\", \"worst_efficiency\", \"nests\"]\n";
    let brief = brief(folder.path(), &format!("{SMALL}{objectives}"));
    let out = folder.path().join("out");
    let output = coaxle(&["search", &brief, "--out", out.to_str().unwrap()]);
    let page = text(&output.stdout);
    let front = page.split("\nFront\n").nth(1).unwrap().split("\nWritten\n").next().unwrap();
    assert!(front.contains("efficiency") && front.contains("nests"), "{page}");
    assert!(front.contains(" yes") || front.contains(" no"), "{page}");
    assert!(widest(front) <= 100, "{page}");
}

/// Times stand in one line of one file.
#[test]
fn no_file_but_the_summary_holds_a_time() {
    let folder = tempfile::tempdir().unwrap();
    let brief = brief(folder.path(), SMALL);
    let run = |name: &str, threads: &str| {
        let out = folder.path().join(name);
        let words = ["search", &brief, "--threads", threads, "--quiet", "--out"];
        let output = coaxle(&[&words[..], &[out.to_str().unwrap()]].concat());
        assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
        files(&out)
    };
    let (one, other) = (run("one", "1"), run("other", "3"));
    assert!(one.len() > 6);
    assert_eq!(one.keys().collect::<Vec<_>>(), other.keys().collect::<Vec<_>>());
    for (name, bytes) in &one {
        if name != "summary.json" {
            assert!(*bytes == other[name], "{name} differs between two runs");
            continue;
        }
        let lines = |bytes: &[u8]| -> Vec<String> {
            let all = text(bytes);
            all.lines().filter(|line| !line.contains("elapsed_s")).map(str::to_owned).collect()
        };
        assert_eq!(lines(bytes), lines(&other[name]));
    }
}

/// Every file under a folder by its path in it.
fn files(folder: &Path) -> std::collections::BTreeMap<String, Vec<u8>> {
    let mut found = std::collections::BTreeMap::new();
    let mut open = vec![folder.to_owned()];
    while let Some(next) = open.pop() {
        for entry in std::fs::read_dir(next).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                open.push(path);
            } else {
                let name = path.strip_prefix(folder).unwrap().to_str().unwrap().to_owned();
                found.insert(name, std::fs::read(path).unwrap());
            }
        }
    }
    found
}

#[test]
fn json_is_the_summary_and_nothing_else() {
    let folder = tempfile::tempdir().unwrap();
    let brief = brief(folder.path(), SMALL);
    let out = folder.path().join("out");
    let output = coaxle(&["search", &brief, "--json", "--quiet", "--out", out.to_str().unwrap()]);
    assert_eq!(text(&output.stderr), "");
    assert_eq!(output.stdout, std::fs::read(out.join("summary.json")).unwrap());
}

#[test]
fn quiet_says_nothing_and_writes_under_the_name_of_the_brief() {
    let folder = tempfile::tempdir().unwrap();
    let brief = brief(folder.path(), SMALL);
    let mut command = assert_cmd::Command::cargo_bin("coaxle").unwrap();
    let output = command.args(["search", &brief, "--quiet"]).current_dir(folder.path()).output();
    let output = output.unwrap();
    assert_eq!((text(&output.stdout), text(&output.stderr)), (String::new(), String::new()));
    assert!(folder.path().join("results/crank/summary.json").is_file());
}

#[test]
fn a_foreign_folder_is_refused_before_the_search() {
    let folder = tempfile::tempdir().unwrap();
    let brief = brief(folder.path(), SMALL);
    let out = folder.path().to_str().unwrap();
    let told = failure(&["search", &brief, "--out", out], 2);
    assert!(told.contains("crank.toml") && told.contains("--force"), "{told}");
    let told = failure(&["search", &brief, "--out", &brief], 2);
    assert!(told.contains("is a file"), "{told}");
    let inside = format!("{brief}/deep/out");
    let told = failure(&["search", &brief, "--out", &inside], 2);
    assert!(told.contains("would be inside") && told.contains("mend: "), "{told}");
    let output = coaxle(&["search", &brief, "--out", out, "--force", "--quiet"]);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    assert_eq!(std::fs::read_to_string(&brief).unwrap(), SMALL);
}

#[test]
fn nothing_found_is_3_and_wrong_briefs_are_2() {
    let folder = tempfile::tempdir().unwrap();
    let windows = "first = [900, 1000]\ntop = [9.0, 20.0]\nspread = [50, 100]\nstep = [50, 100]\n";
    let hopeless = SMALL.replace("elements = 3", "elements = 2") + windows;
    let path = brief(folder.path(), &hopeless);
    let told = failure(&["search", &path, "--quiet"], 3);
    assert!(told.contains("nothing meets the request") && told.contains("mend"), "{told}");
    let path = brief(folder.path(), &SMALL.replace("sets = 2", "sets = 9"));
    let told = failure(&["search", &path], 2);
    assert!(told.contains("crank.toml") && told.contains("space.sets"), "{told}");
    assert!(failure(&["search", "no such brief"], 2).contains("cannot be read"));
}

/// Where nothing can be written, that is met before the search, not after it.
#[cfg(target_os = "linux")]
#[test]
fn a_place_that_takes_no_files_is_met_before_the_search() {
    let folder = tempfile::tempdir().unwrap();
    let brief = brief(folder.path(), SMALL);
    let told = failure(&["search", &brief, "--out", "/proc/railcar/out"], 1);
    assert!(told.starts_with("error: could not make /proc/railcar/out: "), "{told}");
}

/// Ctrl-C: 130, and the folder holds what was found until then. Where a busy machine leaves no time
/// to write that, the program says so, and it is tried again.
#[cfg(unix)]
#[test]
fn an_interrupt_keeps_what_was_found() {
    let in_time = (0..5).any(|_| {
        let folder = tempfile::tempdir().unwrap();
        let out = folder.path().join("out");
        let told = interrupted(&out);
        if told.contains("stopped at once") {
            assert!(!out.join("summary.json").exists(), "half a result");
            return false;
        }
        assert!(told.contains("is kept in"), "{told}");
        let summary = std::fs::read_to_string(out.join("summary.json")).unwrap();
        let summary: Value = serde_json::from_str(&summary).unwrap();
        let ended = (&summary["complete"], &summary["stopped"]);
        assert_eq!(ended, (&false.into(), &"interrupted".into()));
        true
    });
    assert!(in_time, "five interrupts, and none left time to write what was found");
}

/// What a search says that is interrupted after a while.
#[cfg(unix)]
fn interrupted(out: &Path) -> String {
    use std::process::{Command, Stdio};
    let program = assert_cmd::cargo::cargo_bin("coaxle");
    // The brief that is built in takes many seconds on one thread.
    let child = Command::new(program)
        .args(["search", "--threads", "1", "--out", out.to_str().unwrap()])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    std::thread::sleep(std::time::Duration::from_millis(1500));
    crate::program::interrupt(child.id());
    let output = child.wait_with_output().unwrap();
    assert_eq!(output.status.code(), Some(130), "{}", text(&output.stderr));
    text(&output.stderr)
}

/// What a limit cuts short says which limit, and never that it is whole.
#[test]
fn limits_are_heard_and_told() {
    let railcar = include_str!("../../configs/railcar-4.toml");
    let memory = |mib| format!("{railcar}\n[effort]\nmemory_limit = {mib}\n");
    let folder = tempfile::tempdir().unwrap();
    let small = brief(folder.path(), &memory(1));
    let told = failure(&["search", &small, "--quiet", "--out", &format!("{small}.out")], 2);
    assert!(told.contains("memory_limit") && told.contains("mend: "), "{told}");
    let memory = memory(24);
    // A family whose ratio functions alone take minutes to list.
    let time = "[space]\nsets = 4\nshafts = 8\nelements = 5\n[gears]\nforward = 8\n\
                [effort]\ntime_limit = 1\n";
    for (content, limit) in [(memory.as_str(), "memory limit"), (time, "time limit")] {
        let folder = tempfile::tempdir().unwrap();
        let brief = brief(folder.path(), content);
        let out = folder.path().join("out");
        coaxle(&["search", &brief, "--quiet", "--out", out.to_str().unwrap()]);
        let summary = std::fs::read_to_string(out.join("summary.json")).unwrap();
        let summary: Value = serde_json::from_str(&summary).unwrap();
        assert_eq!((&summary["complete"], &summary["stopped"]), (&false.into(), &limit.into()));
    }
}
