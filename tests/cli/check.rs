//! `coaxle check`: an honest folder passes, and every way to tamper with one is found out.

use std::path::{Path, PathBuf};
use std::process::Output;
use std::sync::OnceLock;
use std::sync::atomic::AtomicBool;

use crate::program::{coaxle, failure, text};
use assert_cmd::Command;
use coaxle::brief::Brief;
use coaxle::check::Scope;
use coaxle::folder::{Disk, Folder};
use coaxle::report::{Record, read_results, results_claim, write_results};
use coaxle::{Controls, Criterion, Quiet, doors, read_layout};
use serde_json::Value;

/// Two sets with few base ratios: every layout can be tried at all of them.
const BRIEF: &str = "title = \"Hollowfell sand winch\"\n\
    [space]\nsets = 2\nshafts = 5\nelements = 4\nbare_input = \"required\"\n\
    [gears]\nforward = 3\nreverse = 1\nfirst = [1.2, 8.0]\ntop = [0.3, 1.6]\nstep = [1.1, 3.0]\n\
    [teeth]\nsun = [24, 34]\nring = [66, 78]\nplanet = [18, 30]\nplanets = [3]\n\
    base_ratio = [1.9, 3.2]\n\
    [effort]\nprove = true\n";

/// The record of the search, made once for all tests.
fn record() -> Record {
    static RECORD: OnceLock<Record> = OnceLock::new();
    let search = || {
        let brief = Brief::parse(BRIEF, "winch").unwrap();
        let stop = AtomicBool::new(false);
        let record = doors::search(&brief, &controls(&stop, 2)).unwrap();
        assert!(record.front.len() >= 3, "{} on the front", record.front.len());
        assert!(record.candidates.len() > record.front.len());
        record
    };
    RECORD.get_or_init(search).clone()
}

fn controls(stop: &AtomicBool, threads: usize) -> Controls<'_> {
    Controls { threads: Some(threads), stop, progress: &Quiet }
}

/// A folder with the results of a record, as `search` writes them.
fn written(record: &Record) -> tempfile::TempDir {
    let place = tempfile::tempdir().unwrap();
    let claim = results_claim(record.kind, &record.brief, false);
    let mut folder = Folder::open(&place.path().join("winch"), &Disk::default(), claim).unwrap();
    write_results(record, &mut folder).unwrap().unwrap();
    place
}

/// Runs the check of a folder, in an empty folder beside it.
fn check(place: &Path, more: &[&str]) -> Output {
    let here = place.join("here");
    std::fs::create_dir_all(&here).unwrap();
    let words = ["check", "../winch", "--time", "20", "--json", "--threads", "2"];
    let mut command = Command::cargo_bin("coaxle").unwrap();
    command.args(words).args(more).current_dir(here).output().unwrap()
}

fn verdict(output: &Output) -> Value {
    serde_json::from_slice(&output.stdout).unwrap_or_else(|_| panic!("{}", text(&output.stderr)))
}

/// Checks a folder that must not pass, and returns what was found.
fn caught(place: &Path) -> Value {
    let output = check(place, &[]);
    let found = verdict(&output);
    assert_eq!(output.status.code(), Some(1), "{found:#}");
    assert!(text(&output.stderr).contains("do not hold"));
    found
}

/// Whether a discrepancy names this file, and this in its place or words.
fn names(found: &Value, file: &str, words: &str) -> bool {
    let all = found["discrepancies"].as_array().unwrap();
    all.iter().any(|one| {
        let told = format!("{} {} {}", one["place"], one["what"], one["written"]);
        one["file"] == file && told.contains(words)
    })
}

fn change(path: &Path, change: impl FnOnce(String) -> String) {
    let before = std::fs::read_to_string(path).unwrap();
    let after = change(before.clone());
    assert_ne!(before, after, "nothing was changed in {}", path.display());
    std::fs::write(path, after).unwrap();
}

/// Changes cells of one row of front.csv.
fn change_row(place: &Path, row: usize, changed: impl Fn(&str, &str) -> String) {
    change(&place.join("winch/front.csv"), |before| {
        let mut reader = csv::Reader::from_reader(before.as_bytes());
        let head = reader.headers().unwrap().clone();
        let mut writer = csv::Writer::from_writer(Vec::new());
        writer.write_record(&head).unwrap();
        for (number, record) in reader.records().enumerate() {
            let record = record.unwrap();
            let cells = head.iter().zip(&record);
            let cells = cells.map(|(column, cell)| match number == row {
                true => changed(column, cell),
                false => cell.to_owned(),
            });
            writer.write_record(cells).unwrap();
        }
        String::from_utf8(writer.into_inner().unwrap()).unwrap()
    });
}

/// The record without the candidates that the rest of the front has no answer to once a row is
/// taken from it: a front with a hole that its own tables do not show.
fn with_a_hole(record: &Record, taken: usize) -> Record {
    let mut holed = record.clone();
    let gone = holed.front.remove(taken);
    let objectives: Vec<usize> = holed
        .objectives
        .iter()
        .map(|o| Criterion::ALL.iter().position(|c| c == o).unwrap())
        .collect();
    let point = |index: usize| -> Vec<f64> {
        let scores = &record.candidates[index].scores;
        let spread_first = objectives.iter().enumerate();
        let signed = spread_first.map(|(k, &place)| {
            let sign = if holed.objectives[k] == Criterion::Spread { -1.0 } else { 1.0 };
            (sign * scores[place].unwrap() * 1e6).round()
        });
        signed.collect()
    };
    let front: Vec<Vec<f64>> = holed.front.iter().map(|&index| point(index)).collect();
    let answered = |index: usize| {
        let own = point(index);
        front.iter().any(|other| other.iter().zip(&own).all(|(other, own)| other <= own))
    };
    let kept: Vec<usize> = (0..record.candidates.len())
        .filter(|&index| index != gone && (holed.front.contains(&index) || answered(index)))
        .collect();
    holed.candidates = kept.iter().map(|&index| record.candidates[index].clone()).collect();
    let place = |index: &usize| kept.iter().position(|kept| kept == index).unwrap();
    holed.front = holed.front.iter().map(place).collect();
    holed
}

#[test]
fn an_honest_folder_passes_and_says_what_was_tried() {
    let place = written(&record());
    let output = check(place.path(), &[]);
    let found = verdict(&output);
    assert_eq!(output.status.code(), Some(0), "{found:#}");
    assert_eq!(text(&output.stderr), "");
    let checks = found["checks"].as_array().unwrap();
    let scope = |name: &str| {
        let line = checks.iter().find(|line| line["check"] == name).unwrap();
        assert_eq!(line["against"], 0);
        line["scope"].as_str().unwrap().to_owned()
    };
    assert_eq!(scope("ratios"), "exact");
    assert_eq!(scope("counts of the space"), "exact");
    assert_eq!(scope("twins"), "exact");
    assert_eq!(scope("no row beats the front"), "printed");
    assert_eq!(scope("other scores"), "rejudged");
    assert_eq!(scope("cores sifted again"), "complete");
    // Nothing is left in the folder where it ran.
    assert_eq!(std::fs::read_dir(place.path().join("here")).unwrap().count(), 0);
}

/// What is kept for reference is as it says, twins included; whether it can be beaten is another
/// matter, for which there is no time here.
#[test]
fn the_reference_results_are_what_they_say() {
    for name in ["railcar-4", "railcar-6", "railcar-8"] {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("results/reference").join(name);
        let results = read_results(&folder).unwrap();
        let stop = AtomicBool::new(false);
        let verdict = doors::check(&results, 1e-6, &controls(&stop, 1)).unwrap();
        assert_eq!(verdict.discrepancies, [], "{name}");
        let ratios = verdict.checks.iter().find(|line| line.check == "ratios").unwrap();
        assert_eq!(ratios.scope, Scope::Exact);
        assert!(ratios.tried.starts_with(char::is_numeric) && !ratios.tried.starts_with("0 "));
    }
}

#[test]
fn a_person_reads_one_line_a_check() {
    let place = written(&record());
    let folder = place.path().join("winch").to_str().unwrap().to_owned();
    let output = coaxle(&["check", &folder, "--time", "20"]);
    let page = text(&output.stdout);
    assert_eq!(output.status.code(), Some(0), "{page}");
    for word in ["ratios", "exact", "complete", "cores sifted again", "Nothing was found"] {
        assert!(page.contains(word), "no {word} in {page}");
    }
    assert!(crate::program::widest(&page) <= 100, "{page}");
    let quiet = text(&coaxle(&["check", &folder, "--time", "20", "--quiet"]).stdout);
    assert_eq!(quiet.lines().count(), 1, "{quiet}");
}

#[test]
fn threads_change_nothing() {
    let holed = with_a_hole(&record(), 1);
    let place = written(&holed);
    let results = read_results(&place.path().join("winch")).unwrap();
    let stop = AtomicBool::new(false);
    let one = doors::check(&results, 100.0, &controls(&stop, 1)).unwrap();
    let two = doors::check(&results, 100.0, &controls(&stop, 2)).unwrap();
    assert_eq!(one, two);
    assert!(!one.counterexamples.is_empty());
}

#[test]
fn a_digit_of_a_ratio_is_missed() {
    let place = written(&record());
    change_row(place.path(), 0, |column, cell| match column {
        "gears" => {
            let (before, after) = cell.split_once('/').unwrap();
            let last = before.chars().last().unwrap();
            let other = char::from_digit((last.to_digit(10).unwrap() + 1) % 10, 10).unwrap();
            format!("{}{other}/{after}", &before[..before.len() - 1])
        }
        _ => cell.to_owned(),
    });
    let found = caught(place.path());
    assert!(names(&found, "front.csv", "line 2 (F01), gears"), "{found:#}");
}

#[test]
fn every_score_is_held_against_its_layout() {
    let before = record();
    for (column, criterion) in [
        ("spread", Criterion::Spread),
        ("step_deviation", Criterion::StepDeviation),
        ("element_count", Criterion::ElementCount),
        ("worst_efficiency", Criterion::WorstEfficiency),
        ("outer_diameter", Criterion::OuterDiameter),
    ] {
        let mut tampered = before.clone();
        let index = Criterion::ALL.iter().position(|&other| other == criterion).unwrap();
        let row = tampered.front[0];
        *tampered.candidates[row].scores[index].as_mut().unwrap() += 2e-6;
        let place = written(&tampered);
        let found = caught(place.path());
        assert!(names(&found, "front.csv", &format!("F01), {column}")), "{column}: {found:#}");
    }
}

#[test]
fn a_worse_layout_on_the_front_is_seen() {
    let mut worse = record();
    // Behind the front, and beaten by what stands on it.
    let last = worse.candidates.len() - 1;
    worse.front[1] = last;
    let place = written(&worse);
    let found = caught(place.path());
    assert!(names(&found, "front.csv", "is beaten by"), "{found:#}");
    assert!(names(&found, "candidates.csv", "no row of the front is as good"), "{found:#}");
}

#[test]
fn other_teeth_in_a_layout_file_are_seen() {
    let place = written(&record());
    change(&place.path().join("winch/layouts/F02.toml"), |layout| {
        let sun = layout.lines().find(|line| line.starts_with("sun = ")).unwrap().to_owned();
        layout.replacen(&sun, "sun = 21", 1)
    });
    let found = caught(place.path());
    assert!(names(&found, "front.csv", "F02), gears"), "{found:#}");
    assert!(names(&found, "layouts/F02.toml", "teeth of the sun"), "{found:#}");
}

#[test]
fn elements_and_wirings_are_held_against_the_file() {
    let place = written(&record());
    change(&place.path().join("winch/layouts/F01.toml"), |layout| {
        let engaged = |gear: &str| {
            let line = layout.lines().find(|line| line.starts_with(gear)).unwrap();
            line.split_once('=').unwrap().1.to_owned()
        };
        let (first, second) = (engaged("1 ="), engaged("2 ="));
        let swapped = layout.replace(&format!("1 ={first}"), &format!("1 ={second}"));
        swapped.replace(&format!("2 ={second}"), &format!("2 ={first}"))
    });
    let found = caught(place.path());
    assert!(names(&found, "front.csv", "engages other elements"), "{found:#}");
    let place = written(&record());
    change_row(place.path(), 0, |column, cell| match column {
        "canonical" => format!("{cell},ab"),
        _ => cell.to_owned(),
    });
    let found = caught(place.path());
    assert!(names(&found, "front.csv", "another wiring"), "{found:#}");
}

#[test]
fn a_twin_that_is_none_is_seen() {
    let before = record();
    let first = &before.candidates[before.front[0]];
    let others = before.candidates.iter();
    let stranger = others
        .map(|other| &other.canonical)
        .find(|spelling| **spelling != first.canonical && !first.twins.contains(spelling))
        .unwrap()
        .clone();
    for (twin, words) in [(stranger.as_str(), "other ratios"), ("abc.cde:e>", "no spelling")] {
        let mut tampered = before.clone();
        tampered.candidates[before.front[0]].twins.push(twin.to_owned());
        let place = written(&tampered);
        let found = caught(place.path());
        assert!(names(&found, "front.csv", "named as a twin"), "{found:#}");
        assert!(found["discrepancies"].to_string().contains(words), "{found:#}");
    }
}

#[test]
fn counts_are_counted_again() {
    for key in ["cores", "layouts", "states"] {
        let mut tampered = record();
        match key {
            "cores" => tampered.space.cores += 1,
            "layouts" => tampered.space.layouts -= 715,
            _ => tampered.space.states += 1,
        }
        let place = written(&tampered);
        let found = caught(place.path());
        assert!(names(&found, "summary.json", &format!("space.{key}")), "{found:#}");
    }
}

#[test]
fn a_hole_in_the_front_is_found_by_seeking() {
    let before = record();
    // Two rows with the same objectives answer for each other.
    let objectives = |row: usize| before.candidates[before.front[row]].scores[..3].to_vec();
    let rows = 0..before.front.len();
    let single = rows.clone().filter(|&taken| {
        rows.clone().all(|other| other == taken || objectives(other) != objectives(taken))
    });
    assert!(single.clone().count() >= 3);
    for taken in single {
        let holed = with_a_hole(&before, taken);
        let place = written(&holed);
        let found = caught(place.path());
        assert_eq!(found["discrepancies"].as_array().unwrap().len(), 0, "{found:#}");
        assert!(!found["counterexamples"].as_array().unwrap().is_empty(), "{found:#}");
        // It is kept where the command ran, and is a layout like any other.
        let kept = place.path().join("here/counterexample.toml");
        let layout = read_layout(&kept).unwrap();
        let told = found["counterexamples"][0]["canonical"].as_str().unwrap();
        let (core, slots) = layout.wiring();
        assert_eq!(coaxle::train::canonical(&core, &slots).to_string(), told);
    }
}

#[test]
fn a_counterexample_is_never_written_over_a_file() {
    let place = written(&with_a_hole(&record(), 0));
    let out = place.path().join("out");
    std::fs::create_dir(&out).unwrap();
    std::fs::write(out.join("counterexample.toml"), "mine").unwrap();
    let output = check(place.path(), &["--out", out.to_str().unwrap()]);
    assert_eq!(output.status.code(), Some(1), "{}", text(&output.stderr));
    assert!(!verdict(&output)["counterexamples"].as_array().unwrap().is_empty());
    assert!(text(&output.stderr).contains("could not be kept"), "{}", text(&output.stderr));
    assert_eq!(std::fs::read_to_string(out.join("counterexample.toml")).unwrap(), "mine");
    let free = place.path().join("free");
    check(place.path(), &["--out", free.to_str().unwrap()]);
    assert!(free.join("counterexample.toml").is_file());
}

/// Within the gap that a summary tells, a front has an answer.
#[test]
fn a_told_gap_is_granted() {
    let place = written(&with_a_hole(&record(), 0));
    change(&place.path().join("winch/summary.json"), |summary| {
        let mut summary: Value = serde_json::from_str(&summary).unwrap();
        let wide = serde_json::json!({ "ln_spread": 5.0, "step_deviation": 5.0 });
        summary["proof"]["reached"] = wide;
        summary.to_string()
    });
    let output = check(place.path(), &[]);
    assert_eq!(output.status.code(), Some(0), "{:#}", verdict(&output));
}

#[test]
fn an_unfinished_run_is_not_asked_for_what_it_does_not_claim() {
    let mut part = with_a_hole(&record(), 0);
    part.complete = false;
    part.space.cores -= 3;
    let place = written(&part);
    let output = check(place.path(), &[]);
    let found = verdict(&output);
    assert_eq!(output.status.code(), Some(0), "{found:#}");
    let left = found["checks"].as_array().unwrap().iter().filter(|line| line["scope"] == "left");
    assert_eq!(left.count(), 3, "{found:#}");
}

#[test]
fn a_stopped_check_says_so() {
    let place = written(&record());
    let results = read_results(&place.path().join("winch")).unwrap();
    let stop = AtomicBool::new(true);
    let verdict = doors::check(&results, 100.0, &controls(&stop, 1)).unwrap();
    assert!(verdict.interrupted);
    for line in &verdict.checks {
        let whole = ["lists of the front", "no row beats the front"].contains(&line.check)
            || line.check.starts_with("no candidate");
        let cut = matches!(line.scope, Scope::Sampled | Scope::Left);
        assert!(whole || cut, "{line:?}");
    }
}

#[test]
fn what_is_no_result_of_a_search_is_refused() {
    let refused = |place: &tempfile::TempDir, file: &str| {
        let folder: PathBuf = place.path().join("winch");
        let told = failure(&["check", folder.to_str().unwrap()], 2);
        assert!(told.contains(file) && told.contains("mend: "), "{told}");
    };
    let empty = tempfile::tempdir().unwrap();
    refused(&empty, "summary.json");
    let remove = |file: &str| {
        let place = written(&record());
        std::fs::remove_file(place.path().join("winch").join(file)).unwrap();
        place
    };
    refused(&remove("summary.json"), "summary.json");
    refused(&remove("front.csv"), "front.csv");
    refused(&remove("layouts/F02.toml"), "F02.toml");
    let broken = |file: &str, from: &str, to: &str| {
        let place = written(&record());
        change(&place.path().join("winch").join(file), |before| before.replacen(from, to, 1));
        place
    };
    refused(&broken("summary.json", "{", "["), "summary.json");
    refused(&broken("summary.json", "[space]", "[spade]"), "summary.json");
    refused(&broken("front.csv", "spread", "width"), "front.csv");
    refused(&broken("front.csv", "1:", "1;"), "line 2, column gears");
    refused(&broken("front.csv", "\nF01,", "\nF01,,"), "front.csv");
    refused(&broken("front.csv", "\nF01,", "\n../F01,"), "front.csv");
    refused(&broken("candidates.csv", "canonical", "spelling"), "candidates.csv");
    refused(&broken("layouts/F01.toml", "[shafts]", "[shaft]"), "F01.toml");
    failure(&["check"], 2);
    failure(&["check", "winch", "--time", "0"], 2);
}
