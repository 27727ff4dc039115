//! `coaxle show` at the terminal: exit status, messages, width, folders.

use std::process::Stdio;

use crate::program::{answer, coaxle, failure, sample, samples, text, widest};
use rstest::rstest;

fn shown(name: &str) -> String {
    answer(&["show".into(), sample(name)])
}

#[test]
fn gears_come_first_and_say_what_they_are() {
    let page = shown("two-sets.toml");
    let at = |needle: &str| page.find(needle).unwrap_or_else(|| panic!("no {needle}\n{page}"));
    assert!(page.starts_with("two sets, three gears\n"));
    assert!(at("\nGears\n") < at("\nSets\n") && at("\nSets\n") < at("\nDead states\n"));
    for line in [
        "1     ● · · ●  27/11   2.4545                   98.51 %      1.000",
        "2     ● · ● ·  16/11   1.4545  1.688  D → C     99.53 %      0.312",
        "R     · ● · ●  -11/5  -2.2000                   98.51 %      1.000",
        "Spread 27/11 = 2.4545; the steps are at most 7.7 % off an even ladder.",
        "All 4 elements are needed for these gears.",
        "i(1) = (1 + ρ1 + ρ2) / ρ1",
        "B C      locked       the input is held by B and C",
        "C D      idle output  set 2 stands still as a whole, and the output with it",
    ] {
        at(line);
    }
    assert!(page.contains("Necessary, not sufficient"));
    assert!(page.contains("signed by a qualified engineer"));
}

#[test]
fn no_page_is_wider_than_100_columns_and_none_carries_control_characters() {
    for layout in samples() {
        let page = answer(&["show".into(), layout.clone()]);
        assert!(widest(&page) <= 100, "{}: {}", layout.display(), widest(&page));
        let harmful = page.chars().find(|c| c.is_control() && *c != '\n');
        assert_eq!(harmful, None, "{}", layout.display());
        let short = answer(&["show".into(), "--quiet".into(), layout]);
        assert!(page.contains(&short));
    }
}

#[test]
fn without_named_gears_every_live_state_is_listed_by_ratio() {
    let page = shown("paired.toml");
    let table = page.split("Live states, by ratio").nth(1).unwrap();
    let ratios: Vec<&str> = ["13/6", "143/108", "13/18", "-13/5"].into();
    let places: Vec<usize> =
        ratios.iter().map(|ratio| table.find(&format!(" {ratio} ")).unwrap()).collect();
    assert!(places.is_sorted(), "{page}");
}

#[test]
fn teeth_that_cannot_be_assembled_are_computed_and_named() {
    let page = shown("wrong-teeth.toml");
    assert!(page.contains("98/5"), "{page}");
    assert!(page.contains("Set 1 breaks assembly: Z_S + Z_R = 30 + 68 = 98 leaves 2"), "{page}");
    assert!(page.contains("Set 2 breaks neighbours: "), "{page}");
}

#[test]
fn elements_that_could_be_left_out_are_told() {
    let page = shown("redundant.toml");
    assert!(page.contains("  A B would do: C could be left out (gear 2 by B).\n"), "{page}");
    assert!(shown("block.toml").contains("  Both elements are needed for these gears.\n"));
    let long = "B C D F G would do: brake of the uphill ring, E, H could be left out (gear the";
    assert!(shown("crowded.toml").contains(long));
    // No named gears, no elements: nothing to say.
    for name in ["paired.toml", "wrong-teeth.toml"] {
        let page = shown(name);
        assert!(!page.contains("would do") && !page.contains("needed for"), "{page}");
    }
}

#[test]
fn dead_gears_are_told_with_their_reason() {
    let page = shown("redundant.toml");
    assert!(page.contains("Gear neutral is loose: too few constraints"), "{page}");
    assert!(page.contains("Gear stuck is locked: the input is held by B and A."), "{page}");
    // The torques that a redundant element leaves open.
    assert!(page.contains("S1               1   ?"), "{page}");
}

#[rstest]
#[case("missing", None, "cannot be read", "name a file that exists")]
#[case("empty", Some(""), "sets: is missing", "[[sets]]")]
#[case("no toml", Some("sets = ["), "line 1: is not TOML", "[[sets]]")]
#[case("list", Some("sets = [[30, 66]]\nshafts = {}"), "sets[1]: is [30, 66]", "[[sets]]")]
#[case(
    "unknown key",
    Some("[[sets]]\nsun = 30\nring = 66\nteeth = 3\n[shafts]"),
    "sets[1].teeth",
    "mend"
)]
#[case("small ring", Some("[[sets]]\nsun = 30\nring = 20\n[shafts]"), "sets[1].ring", "more teeth")]
fn wrong_layouts_are_refused_with_file_key_and_mend(
    #[case] _name: &str,
    #[case] content: Option<&str>,
    #[case] problem: &str,
    #[case] mend: &str,
) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a layout.toml");
    if let Some(content) = content {
        std::fs::write(&path, content).unwrap();
    }
    let told = failure(&["show".into(), path.clone()], 2);
    assert!(told.starts_with("error: "), "{told}");
    assert_eq!(told.matches("error:").count(), 1, "{told}");
    for part in [path.to_str().unwrap(), problem, "mend: ", mend] {
        assert!(told.contains(part), "no {part} in {told}");
    }
}

#[rstest]
#[case("\"S1\", \"S2\"", "\"S1\"", "shafts", "S2 on no shaft")]
#[case("[\"R1\"]", "[\"R9\"]", "shafts.front-ring", "\"R9\" is not a member")]
#[case("brake = \"suns\"", "brake = \"moon\"", "elements.C", "no shaft \"moon\"")]
#[case("[\"A\", \"D\"]", "[\"A\", \"X\"]", "gears.1", "no element \"X\"")]
fn wrong_names_are_refused_by_their_key(
    #[case] old: &str,
    #[case] new: &str,
    #[case] key: &str,
    #[case] problem: &str,
) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("layout.toml");
    let good = std::fs::read_to_string(sample("two-sets.toml")).unwrap();
    std::fs::write(&path, good.replacen(old, new, 1)).unwrap();
    let told = failure(&["show".into(), path], 2);
    assert!(told.contains(key) && told.contains(problem), "{told}");
}

#[test]
fn what_is_no_text_file_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("latin.toml");
    std::fs::write(&path, b"title = \"gr\xfcn\"").unwrap();
    assert!(failure(&["show".into(), path], 2).contains("is not UTF-8 text (byte 11)"));
    assert!(failure(&["show".into(), folder.path().to_owned()], 2).contains("is a folder"));
}

#[test]
fn noise_is_refused_without_repeating_it() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("noise.toml");
    let good = std::fs::read_to_string(sample("two-sets.toml")).unwrap();
    let noise = [
        format!("sets = {}", "[".repeat(1 << 20)),
        format!("{} = 1\n", "k".repeat(1 << 20)),
        good.replacen("[\"R1\"]", &format!("[\"{}\"]", "\\u001b[2J".repeat(1 << 16)), 1),
        good.replacen("[\"A\", \"D\"]", &format!("[{}]", "\"A\", ".repeat(1 << 16)), 1),
    ];
    for (index, text) in noise.iter().enumerate() {
        std::fs::write(&path, text).unwrap();
        let output = coaxle(&["show".into(), path.clone()]);
        let told = crate::program::text(&output.stderr);
        // The last one only names an element often, which is no mistake.
        assert_eq!(output.status.code(), Some(if index == 3 { 0 } else { 2 }), "{told:.300}");
        assert!(told.len() < 5000 && !told.contains('\u{1b}'), "{told:.300}");
    }
}

#[test]
fn out_writes_the_same_json() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("new/deep");
    let arguments = ["show".into(), sample("two-sets.toml"), "--json".into(), "--out".into()];
    let output = coaxle(&[&arguments[..], std::slice::from_ref(&out)].concat());
    assert_eq!(output.status.code(), Some(0));
    assert!(text(&output.stderr).contains("show.json"));
    assert_eq!(std::fs::read(out.join("show.json")).unwrap(), output.stdout);
    let mut names: Vec<_> =
        std::fs::read_dir(&out).unwrap().map(|entry| entry.unwrap().file_name()).collect();
    names.sort();
    assert_eq!(names, [".coaxle.json", "show.json"]);
}

#[test]
fn a_folder_that_cannot_be_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("file");
    std::fs::write(&file, "mine").unwrap();
    let told = failure(&["show".into(), sample("block.toml"), "--out".into(), file.clone()], 2);
    assert!(told.contains("--out: is a file") && told.contains("mend: "), "{told}");
    assert_eq!(std::fs::read_to_string(file).unwrap(), "mine");
}

/// `coaxle show … | head`: the reader is gone before the answer is out.
#[test]
fn a_reader_that_is_gone_is_no_error() {
    let program = assert_cmd::cargo::cargo_bin("coaxle");
    let mut child = std::process::Command::new(program)
        .args(["show".into(), sample("crowded.toml"), "--json".into()])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    assert_eq!(text(&output.stderr), "");
    assert_eq!(output.status.code(), Some(0));
}

#[test]
fn usage_is_told_in_short() {
    let help = answer::<&str>(&[]);
    assert!(help.contains("Usage: coaxle") && help.contains("census"));
    assert_eq!(
        answer(&["--help"]).lines().next(),
        Some("Searches the design space of coaxial planetary gearboxes.")
    );
    let version = concat!("coaxle ", env!("CARGO_PKG_VERSION"));
    assert_eq!(answer(&["--version"]).lines().next(), Some(version));
    assert_eq!(answer(&["-V"]).trim(), version);
    for command in ["search", "show", "census"] {
        let help = answer(&[command, "--help"]);
        assert!(help.contains("Examples:\n  coaxle "), "{help}");
        assert!(widest(&help) <= 100, "{help}");
    }
    assert!(failure(&["show"], 2).contains("<LAYOUT>"));
    assert!(failure(&["fly"], 2).contains("unrecognized subcommand 'fly'"));
    assert!(failure(&["show", "--jsn", "x"], 2).contains("--json"));
}
