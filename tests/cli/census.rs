//! `coaxle census` at the terminal.

use crate::program::{answer, coaxle, failure, text, widest};

fn counted(arguments: &str) -> String {
    let arguments: Vec<&str> = ["census"].into_iter().chain(arguments.split(' ')).collect();
    answer(&arguments).split_whitespace().collect()
}

/// The true figures, and exactly the promised keys in their order.
#[test]
fn json_is_exactly_what_is_promised() {
    assert_eq!(
        counted("--sets 2 --shafts 5 --json"),
        r#"{"sets":2,"shafts":5,"engaged":2,"cores":90,"connected_cores":90,"#.to_owned()
            + r#""states":7020,"determinate":5832,"live":5346}"#
    );
    assert_eq!(
        counted("--sets 2 --shafts 4 --json"),
        r#"{"sets":2,"shafts":4,"engaged":1,"cores":111,"connected_cores":111,"#.to_owned()
            + r#""states":888,"determinate":888,"live":888}"#
    );
}

/// One set, input and output among its three shafts: 6 cores without an element, all live.
/// With the input apart there are 3 outputs; a state is a clutch and a brake or a second
/// clutch.
#[test]
fn one_set_by_hand() {
    let plain = counted("--sets 1 --shafts 3 --json");
    assert!(plain.contains(r#""engaged":1,"cores":6,"connected_cores":6,"states":24,"#), "{plain}");
    let held = counted("--sets 1 --shafts 2 --held --json");
    assert!(held.contains(r#""engaged":0,"cores":6,"#), "{held}");
    assert!(held.contains(r#""states":6,"determinate":6,"live":6}"#), "{held}");
    let bare = counted("--sets 1 --shafts 4 --bare-input --json");
    assert!(bare.contains(r#""engaged":2,"cores":3,"#), "{bare}");
}

#[test]
fn threads_change_nothing() {
    let one = counted("--sets 3 --shafts 6 --json --threads 1");
    assert_eq!(one, counted("--sets 3 --shafts 6 --json --threads 3"));
    assert!(one.contains(r#""cores":4551"#), "{one}");
}

#[test]
fn a_person_reads_a_table() {
    let table = answer(&["census", "--sets", "2", "--shafts", "5"]);
    assert!(table.contains("7,020") && table.contains("exact"), "{table}");
    assert!(widest(&table) <= 100);
}

#[test]
fn numbers_that_no_core_has_are_refused_with_the_range() {
    let refused = |sets: &str, shafts: &str, options: &[&str]| {
        failure(&[&["census", "--sets", sets, "--shafts", shafts], options].concat(), 2)
    };
    assert!(refused("0", "5", &[]).contains("--sets: is 0"));
    assert!(refused("5", "8", &[]).contains("from 1 to 4"));
    assert!(refused("2", "7", &[]).contains("from 3 to 6"));
    assert!(refused("2", "2", &[]).contains("--shafts: is 2"));
    assert!(refused("2", "8", &["--bare-input"]).contains("from 4 to 7"));
    assert!(refused("4", "13", &["--bare-input"]).contains("from 5 to 12"));
    assert!(refused("2", "300", &[]).contains("--shafts"));
    assert!(refused("two", "5", &[]).contains("--sets"));
    assert!(refused("2", "5", &["--threads", "0"]).contains("--threads"));
    assert!(failure(&["census", "--sets", "2"], 2).contains("--shafts"));
}

#[test]
fn out_writes_the_same_json() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().to_str().unwrap();
    let arguments = ["census", "--sets", "2", "--shafts", "4", "--json", "--quiet", "--out", out];
    let output = coaxle(&arguments);
    assert_eq!((output.status.code(), text(&output.stderr)), (Some(0), String::new()));
    assert_eq!(std::fs::read(folder.path().join("census.json")).unwrap(), output.stdout);
}

/// Ctrl-C stops between two parts of the count, with 130 and a word on what is kept.
#[cfg(unix)]
#[test]
fn an_interrupt_ends_it_cleanly() {
    use std::process::{Command, Stdio};
    let program = assert_cmd::cargo::cargo_bin("coaxle");
    let child = Command::new(program)
        .args(["census", "--sets", "4", "--shafts", "9"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    std::thread::sleep(std::time::Duration::from_millis(1000));
    crate::program::interrupt(child.id());
    let output = child.wait_with_output().unwrap();
    assert_eq!(output.status.code(), Some(130));
    assert_eq!(text(&output.stdout), "");
    assert!(text(&output.stderr).contains("nothing was kept"), "{}", text(&output.stderr));
}
