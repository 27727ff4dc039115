//! `coaxle reduce` as a user runs it: files, messages, exit status.

use std::path::Path;
use std::process::Output;

use assert_cmd::Command;

fn coaxle(arguments: &[&str], folder: &Path) -> Output {
    let mut command = Command::cargo_bin("coaxle").unwrap();
    command.current_dir(folder).args(arguments).output().unwrap()
}

fn told(output: &Output) -> (i32, String, String) {
    let text = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).unwrap();
    (output.status.code().unwrap(), text(&output.stdout), text(&output.stderr))
}

/// Small enough to be quick, with a load.
const CRANK: &str = "title = \"Hollowfell points crank\"\n[ratio]\ntarget = 16.0\ntolerance = 0.02\n\
    direction = \"either\"\n[train]\nsets = [2]\ncoupling = \"any\"\n[room]\nbore = 100\n\
    modules = [1.0]\n[teeth]\nsun = [18, 30]\nplanet = [16, 30]\nring = [60, 80]\nplanets = [3]\n\
    [load]\noutput_torque = 10.0\ninput_speed = 60.0\n";

fn with(text: &str, from: &str, to: &str) -> String {
    assert!(text.contains(from), "{from}");
    text.replace(from, to)
}

#[test]
fn a_reduction_from_wish_to_parts() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("crank.toml"), CRANK).unwrap();
    let (status, stdout, stderr) = told(&coaxle(&["reduce", "crank.toml"], folder.path()));
    assert_eq!(status, 0, "{stderr}");
    assert!(stdout.contains("complete and proved"), "{stdout}");
    assert!(stdout.contains("Strength figures are first estimates, not a rating"), "{stdout}");
    let results = folder.path().join("results/crank");
    for file in [
        "summary.json",
        "front.csv",
        "candidates.csv",
        "pareto.svg",
        "pareto.png",
        "report.html",
        "layouts/F01.toml",
        "parts/F01/set-1-sun.dxf",
        "parts/F01/set-2-ring.stl",
        "parts/F01/set-1.3mf",
        "parts/F01/tooth-data.csv",
        "parts/F01/mesh-data.csv",
        "parts/F01/strength.csv",
        "parts/F01/stages.csv",
        "parts/F01/section.svg",
        "parts/F01/assembly.md",
        "parts/F01/contents.csv",
    ] {
        let size = std::fs::metadata(results.join(file)).map_or(0, |data| data.len());
        assert!(size > 0, "{file}");
    }
    let summary = std::fs::read_to_string(results.join("summary.json")).unwrap();
    let summary: serde_json::Value = serde_json::from_str(&summary).unwrap();
    assert_eq!(summary["complete"], true);
    assert!(summary["front"].as_array().unwrap().iter().any(|id| id == "F01"));
    // Every layout of the front opens in `show` with the ratio that the table tells.
    let mut front = csv::Reader::from_path(results.join("front.csv")).unwrap();
    for row in front.records().map(Result::unwrap) {
        let file = format!("results/crank/layouts/{}.toml", &row[0]);
        let (status, json, stderr) = told(&coaxle(&["show", &file, "--json"], folder.path()));
        assert_eq!(status, 0, "{stderr}");
        let shown: serde_json::Value = serde_json::from_str(&json).unwrap();
        let exact = shown["gears"][0]["ratio"]["exact"].as_str().unwrap();
        assert!(row[2].contains(&format!(":{exact}=")), "{} {exact}", &row[2]);
    }
    // No mesh overlaps beyond 1 µm, and each has the backlash that was asked for.
    let mut meshes = csv::Reader::from_path(results.join("parts/F01/mesh-data.csv")).unwrap();
    let mut count = 0;
    for row in meshes.records().map(Result::unwrap) {
        let number = |column: usize| row[column].parse::<f64>().unwrap();
        let (asked, measured, overlap) = (number(5), number(6), number(8));
        assert!(overlap <= 0.001, "{row:?}");
        assert!((measured / asked - 1.0).abs() < 0.02, "{row:?}");
        count += 1;
    }
    assert_eq!(count, 4);
}

/// A second run with fewer parts takes away what the first one wrote, and nothing else.
#[test]
fn old_parts_go_and_other_files_stay() {
    let folder = tempfile::tempdir().unwrap();
    let brief = folder.path().join("crank.toml");
    std::fs::write(&brief, format!("{CRANK}[parts]\nlayouts = 2\n")).unwrap();
    assert_eq!(told(&coaxle(&["reduce", "crank.toml", "--quiet"], folder.path())).0, 0);
    let parts = folder.path().join("results/crank/parts");
    assert!(parts.join("F02/contents.csv").is_file());
    std::fs::write(parts.join("F02/notes.txt"), "mine").unwrap();
    std::fs::write(&brief, CRANK).unwrap();
    let (status, stdout, stderr) =
        told(&coaxle(&["reduce", "crank.toml", "--quiet", "--force"], folder.path()));
    assert_eq!((status, stdout.as_str()), (0, ""), "{stderr}");
    assert!(parts.join("F01/contents.csv").is_file());
    let left: Vec<_> = std::fs::read_dir(parts.join("F02")).unwrap().flatten().collect();
    assert_eq!(left.len(), 1, "{left:?}");
    assert_eq!(std::fs::read_to_string(parts.join("F02/notes.txt")).unwrap(), "mine");
}

/// What would have to give way is computed: a brief with that change finds something.
#[test]
fn an_impossible_wish_tells_what_would_do() {
    let folder = tempfile::tempdir().unwrap();
    let brief = folder.path().join("narrow.toml");
    let narrow = with(CRANK, "bore = 100", "bore = 69");
    let narrow = with(&narrow, "tolerance = 0.02", "tolerance = 0.002");
    std::fs::write(&brief, &narrow).unwrap();
    let (status, _, stderr) = told(&coaxle(&["reduce", "narrow.toml"], folder.path()));
    assert_eq!(status, 3, "{stderr}");
    assert!(stderr.contains("nothing meets the request"), "{stderr}");
    let bore = stderr.lines().find_map(|line| line.trim().strip_prefix("- room.bore = "));
    let bore = bore.expect(&stderr).split(' ').next().unwrap().to_owned();
    assert!(!folder.path().join("results").exists());
    std::fs::write(&brief, with(&narrow, "bore = 69", &format!("bore = {bore}"))).unwrap();
    assert_eq!(told(&coaxle(&["reduce", "narrow.toml", "--quiet"], folder.path())).0, 0, "{bore}");
}

#[test]
fn too_much_load_tells_the_torque_that_is_borne() {
    let folder = tempfile::tempdir().unwrap();
    let brief = folder.path().join("heavy.toml");
    let heavy = with(CRANK, "output_torque = 10.0", "output_torque = 4000.0");
    std::fs::write(&brief, &heavy).unwrap();
    let (status, _, stderr) = told(&coaxle(&["reduce", "heavy.toml"], folder.path()));
    assert_eq!(status, 3, "{stderr}");
    // Wider faces than the reader of briefs takes are not advised.
    assert!(!stderr.contains("room.width"), "{stderr}");
    let (_, after) = stderr.split_once("- load.output_torque = ").expect(&stderr);
    let torque = after.split(' ').next().unwrap();
    let lighter = with(&heavy, "output_torque = 4000.0", &format!("output_torque = {torque}"));
    std::fs::write(&brief, lighter).unwrap();
    let (status, _, stderr) = told(&coaxle(&["reduce", "heavy.toml", "--quiet"], folder.path()));
    assert_eq!(status, 0, "{torque}: {stderr}");
}

/// 500 : 1 from one set is refused before anything is sought, and what is advised is enough.
#[test]
fn what_no_set_can_reach_is_said_at_once() {
    let folder = tempfile::tempdir().unwrap();
    let brief = folder.path().join("far.toml");
    let text = "[ratio]\ntarget = 500\n[train]\nsets = 1\n[teeth]\nring = [36, 60]\n\
                planets = 3\n[room]\nmodules = 1.0\n";
    std::fs::write(&brief, text).unwrap();
    let (status, _, stderr) = told(&coaxle(&["reduce", "far.toml"], folder.path()));
    assert_eq!(status, 3, "{stderr}");
    // Rings of 60 over suns of 12: (1 + 5) : 1 a set, and 6⁴ is the first power above 500.
    for part in ["6.0 : 1 at most", "train.sets = 4"] {
        assert!(stderr.contains(part), "{part}: {stderr}");
    }
    assert!(!folder.path().join("results").exists());
}

/// A shaft that shears is told at the end, with the mend; exit 0, since all was done.
#[test]
fn too_weak_a_shaft_is_told_at_the_end() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("thin.toml"), format!("{CRANK}[parts]\nshaft = 3.0\n"))
        .unwrap();
    let (status, stdout, stderr) = told(&coaxle(&["reduce", "thin.toml"], folder.path()));
    assert_eq!(status, 0, "{stderr}");
    assert!(stdout.contains("TOO WEAK AS BUILT"), "{stdout}");
    let note = stderr.split_once("note on F").expect(&stderr).1;
    for part in ["Too weak as built: the shaft in", "Mend: leave parts.shaft out"] {
        assert!(note.split_whitespace().collect::<Vec<_>>().join(" ").contains(part), "{note}");
    }
    let page = std::fs::read_to_string(folder.path().join("results/thin/report.html")).unwrap();
    assert!(page.contains("<p class=\"poor\" role=\"note\">Too weak as built"));
}

#[test]
fn a_wrong_request_names_file_key_and_mend() {
    let folder = tempfile::tempdir().unwrap();
    let (status, _, stderr) = told(&coaxle(&["reduce", "missing.toml"], folder.path()));
    assert_eq!(status, 2, "{stderr}");
    std::fs::write(folder.path().join("odd.toml"), with(CRANK, "bore", "boer")).unwrap();
    let (status, _, stderr) = told(&coaxle(&["reduce", "odd.toml"], folder.path()));
    assert_eq!(status, 2, "{stderr}");
    for part in ["odd.toml", "room.boer", "did you mean room.bore", "mend:"] {
        assert!(stderr.contains(part), "{part}: {stderr}");
    }
    assert_eq!(told(&coaxle(&["reduce"], folder.path())).0, 2);
}

/// Where no limit alone is enough, pairs are tried, and the change that is told works.
#[test]
fn two_limits_that_have_to_give_way_together() {
    let folder = tempfile::tempdir().unwrap();
    let brief = folder.path().join("both.toml");
    let narrow = with(CRANK, "bore = 100", "bore = 69");
    let narrow = with(&narrow, "tolerance = 0.02", "tolerance = 0.002");
    let narrow = with(&narrow, "coupling = \"any\"", "coupling = \"series\"");
    let text = format!("{narrow}[limits]\nefficiency = {{ least = 0.99 }}\n");
    std::fs::write(&brief, &text).unwrap();
    let (status, _, stderr) = told(&coaxle(&["reduce", "both.toml"], folder.path()));
    assert_eq!(status, 3, "{stderr}");
    assert!(stderr.contains("each of these pairs would do"), "{stderr}");
    let way = stderr.lines().find(|line| line.contains("room.bore = ") && line.contains("limits."));
    let way = way.expect(&stderr).trim().trim_start_matches("- ");
    let (changes, _) = way.split_once(" would let in ").unwrap();
    let (bore, limit) = changes.split_once(" with limits.").unwrap();
    let wider = with(&text, "bore = 69", bore.trim_start_matches("room."));
    std::fs::write(&brief, with(&wider, "efficiency = { least = 0.99 }", limit)).unwrap();
    let (status, _, stderr) = told(&coaxle(&["reduce", "both.toml", "--quiet"], folder.path()));
    assert_eq!(status, 0, "{changes}: {stderr}");
}
