//! `coaxle study`: every witness is re-checked by `show`, every number on the page stands in the
//! facts, a killed study goes on to the same bytes.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::Duration;

use crate::program::{
    answer, at_line, coaxle, contents, failure, finished_lines, kill_at_line, text,
};
use crate::verdicts::tells;
use serde_json::Value;

/// Up to two sets, small enough for a test; more are in the study that is kept.
const SMALL: &str = "[study]\nsets = [1, 2]\nelements = [3, 5]\nengaged = [1, 2]\n\
                     [effort]\nagain = 1000000\n";

struct Study {
    _folder: tempfile::TempDir,
    brief: PathBuf,
    out: PathBuf,
}

impl Study {
    fn of(brief: &str) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let (path, out) = (folder.path().join("small.toml"), folder.path().join("out"));
        std::fs::write(&path, brief).unwrap();
        Self { _folder: folder, brief: path, out }
    }

    fn arguments(&self) -> [&str; 5] {
        ["study", self.brief.to_str().unwrap(), "--quiet", "--out", self.out.to_str().unwrap()]
    }

    fn made(brief: &str) -> Self {
        let study = Self::of(brief);
        assert_eq!(answer(&study.arguments()), "");
        study
    }

    fn read(&self, name: &str) -> String {
        std::fs::read_to_string(self.out.join(name)).unwrap()
    }

    fn facts(&self) -> Value {
        serde_json::from_str(&self.read("study.json")).unwrap()
    }
}

fn list<'a>(value: &'a Value, key: &str) -> &'a Vec<Value> {
    value[key].as_array().unwrap_or_else(|| panic!("no list {key} in {value}"))
}

fn word<'a>(value: &'a Value, key: &str) -> &'a str {
    value[key].as_str().unwrap_or_else(|| panic!("no text {key} in {value}"))
}

fn near(a: &Value, b: &Value) -> bool {
    (a.as_f64().unwrap() - b.as_f64().unwrap()).abs() < 1e-9
}

/// The study that is kept for reference.
fn reference() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("results/reference/study")
}

fn read(folder: &Path, name: &str) -> String {
    std::fs::read_to_string(folder.join(name)).unwrap()
}

#[test]
fn every_witness_is_rechecked_by_show() {
    recheck(&Study::made(SMALL).out);
    recheck(&reference());
}

fn recheck(folder: &Path) {
    let facts: Value = serde_json::from_str(&read(folder, "study.json")).unwrap();
    let mut seen = BTreeMap::new();
    for witness in list(&facts, "witnesses") {
        let file = folder.join(word(witness, "file"));
        let shown = answer(&["show", file.to_str().unwrap(), "--json"]);
        let shown: Value = serde_json::from_str(&shown).unwrap();
        assert_eq!(shown["canonical"], witness["canonical"]);
        assert_eq!(shown["nests"], witness["nests"]);
        assert!(near(&shown["spread"]["value"], &witness["spread"]), "{witness}");
        let deviation = &shown["scores"]["step_deviation"];
        assert!(near(deviation, &witness["deviation"]), "{witness} {deviation}");
        assert_eq!(list(&shown, "gears").len(), list(witness, "gears").len());
        for (gear, told) in list(&shown, "gears").iter().zip(list(witness, "gears")) {
            assert_eq!(gear["gear"], told["gear"]);
            assert_eq!(gear["engaged"], told["engaged"]);
            assert_eq!(gear["ratio"]["exact"], told["ratio"]);
        }
        for (name, score) in witness["scores"].as_object().unwrap() {
            assert!(near(&shown["scores"][name], score), "{name}");
        }
        // Each set meets every condition of mesh and assembly.
        for set in list(&shown, "sets") {
            for condition in list(set, "conditions").iter().filter(|c| c["kind"] == "condition") {
                assert_eq!(condition["holds"], true, "{condition}");
            }
        }
        let states = list(&shown, "states");
        let fates = &witness["fates"];
        assert_eq!(fates["states"], states.len());
        for (status, fate) in
            [("loose", "loose"), ("locked", "locked"), ("idle output", "idle_output")]
        {
            let count = states.iter().filter(|state| state["status"] == status).count();
            assert_eq!(fates[fate], count, "{status} of {witness}");
        }
        let sum: u64 = fates
            .as_object()
            .unwrap()
            .iter()
            .filter(|(name, _)| *name != "states")
            .map(|(_, count)| count.as_u64().unwrap())
            .sum();
        assert_eq!(fates["states"], sum);
        seen.insert(word(witness, "name").to_owned(), witness.clone());
    }
    assert!(seen.len() > 5);
    in_band(&facts, &seen);
}

/// Every value of an entry is that of its witness, which is a ladder of the band with one swap
/// a shift and nesting where the entry asks for it.
fn in_band(facts: &Value, witnesses: &BTreeMap<String, Value>) {
    let within = |value: f64, window: &Value| {
        value >= window[0].as_f64().unwrap() - 1e-9 && value <= window[1].as_f64().unwrap() + 1e-9
    };
    let mut rungs = 0;
    for entry in list(facts, "entries") {
        for rung in list(entry, "rungs") {
            for aim in ["widest", "evenest"] {
                let reached = &rung[aim];
                let witness = &witnesses[word(reached, "witness")];
                assert_eq!(reached["spread"], witness["spread"]);
                assert_eq!(reached["deviation"], witness["deviation"]);
                assert!(witness["sets"].as_u64() <= entry["sets"].as_u64());
                assert!(witness["elements"].as_u64() <= entry["elements"].as_u64());
                assert!(entry["must_nest"] == false || witness["nests"] == true);
                let gears = list(witness, "gears");
                let ratio = |gear: &Value| gear["value"].as_f64().unwrap();
                let forward: Vec<&Value> = gears.iter().filter(|gear| ratio(gear) > 0.0).collect();
                assert_eq!(rung["gears"], forward.len());
                let band = &facts["band"];
                assert!(within(ratio(forward[0]), &band["first"]));
                assert!(within(ratio(forward[forward.len() - 1]), &band["top"]));
                let reverse = gears.iter().find(|gear| ratio(gear) < 0.0);
                assert_eq!(reverse.is_some(), entry["reverse"] == true, "{witness}");
                let usable = |gear: &&Value| within(-ratio(gear), &band["reverse"]);
                assert!(reverse.as_ref().is_none_or(usable));
                for pair in forward.windows(2) {
                    assert!(within(ratio(pair[0]) / ratio(pair[1]), &band["step"]));
                    let (a, b) = (list(pair[0], "engaged"), list(pair[1], "engaged"));
                    let swapped = b.iter().filter(|element| !a.contains(element)).count();
                    assert!(entry["single_swap"] == false || swapped == 1, "{pair:?}");
                }
                rungs += 1;
            }
        }
    }
    assert!(rungs > 20, "{rungs}");
}

/// Text between tags, where it is neither a formula nor a picture nor style.
fn prose(page: &str) -> String {
    let mut page = page.to_owned();
    for tag in ["style", "svg", "math", "data", "title"] {
        while let Some(start) = page.find(&format!("<{tag}")) {
            let close = format!("</{tag}>");
            let end = page[start..].find(&close).unwrap() + start + close.len();
            page.replace_range(start..end, " ");
        }
    }
    let mut out = String::new();
    let mut inside = false;
    for c in page.chars() {
        match c {
            '<' => inside = true,
            '>' => inside = false,
            _ if !inside => out.push(c),
            _ => {}
        }
    }
    out
}

/// Values on the page with the pointers they come from.
fn sourced(page: &str) -> Vec<(String, String)> {
    let attribute = |tag: &str, name: &str| {
        let rest = &tag[tag.find(&format!("{name}=\"")).unwrap() + name.len() + 2..];
        rest[..rest.find('"').unwrap()].to_owned()
    };
    page.split("<data ")
        .skip(1)
        .map(|rest| {
            let tag = &rest[..rest.find('>').unwrap()];
            (attribute(tag, "value"), attribute(tag, "data-from"))
        })
        .collect()
}

#[test]
fn every_number_on_the_page_comes_from_the_facts() {
    traced(&Study::made(&format!("title = \"Wagons & <horses>\"\n{SMALL}")).out);
    traced(&reference());
}

fn traced(folder: &Path) {
    let facts: Value = serde_json::from_str(&read(folder, "study.json")).unwrap();
    let page = read(folder, "study.html");
    let told = sourced(&page);
    assert!(told.len() > 150, "{}", told.len());
    for (shown, from) in &told {
        let value = facts.pointer(from).unwrap_or_else(|| panic!("no {from}"));
        // The subtitle's and coverage's sentences are texts as they stand.
        let shown = shown.replace("&lt;", "<").replace("&gt;", ">");
        assert!(tells(&shown, value), "{shown} from {from}: {value}");
    }
    let prose = prose(&page);
    // Names of members and of the program's files have no digits here: what is left over has
    // none at all, but for the version in the subtitle.
    let prose = prose.replace(env!("CARGO_PKG_VERSION"), "").replace("ISO 6336", "");
    // Nor the ratio of direct drive, which is 1 by what the words mean and in the facts too.
    let gears = list(&facts, "witnesses").iter().flat_map(|witness| list(&witness["why"], "gears"));
    let direct: Vec<&Value> = gears.filter(|gear| gear["kind"] == "direct").collect();
    assert!(direct.iter().all(|gear| gear["formula"] == "1"), "{direct:?}");
    assert!(prose.matches("1Direct drive").count() <= direct.len());
    let prose = prose.replace("1Direct drive", "Direct drive");
    let digits: Vec<&str> =
        prose.lines().filter(|line| line.chars().any(|c| c.is_ascii_digit())).collect();
    assert!(digits.is_empty(), "{digits:#?}");
    assert!(!prose.contains('{') && !prose.contains('`'), "{prose}");
    // Each table cell of the ways of a set, from the laws themselves.
    for way in list(&facts["one_set"], "ways") {
        assert!(told.iter().any(|(shown, _)| tells(shown, &way["ratio"])), "{way}");
    }
}

#[test]
fn the_shortcut_holds_and_fails_as_told() {
    let study = Study::made(SMALL);
    let facts = study.facts();
    let holds = list(&facts["shortcut"], "holds");
    assert_eq!(holds.len(), 6);
    for case in holds {
        assert_eq!(case["shortcut"], case["ratio"], "{case}");
    }
    let fails = &facts["shortcut"]["fails"];
    assert_ne!(fails["shortcut"], fails["ratio"]);
    let file = study.out.join(format!("layouts/{}.toml", word(fails, "witness")));
    let shown = answer(&["show", file.to_str().unwrap(), "--json"]);
    let shown: Value = serde_json::from_str(&shown).unwrap();
    let gear = list(&shown, "gears").iter().find(|gear| gear["gear"] == fails["gear"]).unwrap();
    assert_eq!(gear["ratio"]["exact"], fails["ratio"]);
    assert!(list(&shown, "sets").len() > 1);
}

/// What the program finds with one and two sets now is what the kept study tells of them.
#[test]
fn the_kept_study_is_of_this_program() {
    let kept: Value = serde_json::from_str(&read(&reference(), "study.json")).unwrap();
    let study = Study::made("[study]\nsets = [1, 2]\n");
    let facts = study.facts();
    assert_eq!(kept["version"], facts["version"]);
    for key in ["band", "catalogue", "one_set", "counts", "limits"] {
        assert!(alike(&kept[key], &facts[key]), "{key}");
    }
    let found = list(&facts, "entries");
    let told: Vec<&Value> =
        list(&kept, "entries").iter().filter(|entry| entry["sets"].as_u64() <= Some(2)).collect();
    assert_eq!(found.len(), told.len());
    assert!(found.iter().zip(told).all(|(a, b)| alike(a, b)));
    let searches = list(&facts, "searches");
    for (a, b) in searches.iter().zip(list(&kept, "searches")) {
        assert!(alike(a, b), "{a} {b}");
    }
}

/// The same, but for the last places of logarithms, which may differ between machines.
fn alike(a: &Value, b: &Value) -> bool {
    match (a, b) {
        (Value::Array(a), Value::Array(b)) => {
            a.len() == b.len() && a.iter().zip(b).all(|(a, b)| alike(a, b))
        }
        (Value::Object(a), Value::Object(b)) => {
            a.len() == b.len() && a.iter().all(|(key, a)| b.get(key).is_some_and(|b| alike(a, b)))
        }
        (Value::Number(a), Value::Number(b)) => {
            (a.as_f64().unwrap() - b.as_f64().unwrap()).abs() <= 2e-6
        }
        _ => a == b,
    }
}

#[test]
fn a_killed_study_ends_in_the_same_bytes() {
    let whole = Study::made(SMALL);
    let killed = Study::of(SMALL);
    let ledger = killed.out.join(".coaxle-ledger");
    // A heading and a line a search: killed when it has begun, and twice on its way.
    for lines in [1, 2, 4] {
        let mut command = Command::new(env!("CARGO_BIN_EXE_coaxle"));
        command.args(killed.arguments()).arg("--threads").arg("1").stderr(Stdio::null());
        kill_at_line(command.spawn().unwrap(), &ledger, lines);
        assert!(finished_lines(&std::fs::read(&ledger).unwrap()) >= lines);
        assert!(!killed.out.join("summary.json").exists());
    }
    assert_eq!(answer(&killed.arguments()), "");
    assert_eq!(contents(&whole.out), contents(&killed.out));
    assert!(whole.out.join("summary.json").exists());
    assert!(!whole.out.join(".coaxle-ledger").exists());
}

/// Ctrl-C keeps what is done, says so, and the same command goes on. The study is one of minutes, so
/// that it cannot end first.
#[cfg(unix)]
#[test]
fn an_interrupted_study_is_kept() {
    let study = Study::of("[study]\nsets = [1, 4]\nelements = [3, 6]\n");
    let mut command = Command::new(env!("CARGO_BIN_EXE_coaxle"));
    command.args(study.arguments()).stderr(Stdio::piped()).stdout(Stdio::piped());
    let mut run = command.spawn().unwrap();
    at_line(&mut run, &study.out.join(".coaxle-ledger"), 2);
    std::thread::sleep(Duration::from_millis(300));
    crate::program::interrupt(run.id());
    let output = run.wait_with_output().unwrap();
    let told = text(&output.stderr);
    assert_eq!(output.status.code(), Some(130), "{told}");
    // A busy machine may leave no time to write what is finished: the ledger has it.
    let in_time = !told.contains("stopped at once");
    assert!(told.contains("goes on with the rest") || !in_time, "{told}");
    assert_eq!(study.out.join("summary.json").exists(), in_time);
    assert!(!in_time || study.read("summary.json").contains("\"complete\": false"));
    assert!(study.out.join(".coaxle-ledger").exists());
    let other = study.brief.with_file_name("other.toml");
    std::fs::write(&other, SMALL).unwrap();
    let out = study.out.to_str().unwrap();
    let told = failure(&["study", other.to_str().unwrap(), "--out", out, "--quiet"], 2);
    assert!(told.contains("another brief") && told.contains("--afresh"), "{told}");
    let made = coaxle(&["study", other.to_str().unwrap(), "--out", out, "--quiet", "--afresh"]);
    assert!(made.status.success(), "{}", text(&made.stderr));
    assert!(study.read("summary.json").contains("\"complete\": true"));
}

#[test]
fn wrong_requests_are_refused_with_key_and_mend() {
    let folder = tempfile::tempdir().unwrap();
    let brief = folder.path().join("wrong.toml");
    let name = brief.to_str().unwrap();
    for (text, key) in [
        ("[study]\nsets = [2]\n", "study.sets"),
        ("[study]\nset = [1, 2]\n", "study.set"),
        ("[band]\nfirst = [6.0, 2.5]\n", "band.first"),
        ("[ratio]\ntarget = 3\n", "coaxle reduce"),
        ("[teeth]\nsun = [20, 20]\nring = [30, 30]\n", "teeth"),
    ] {
        std::fs::write(&brief, text).unwrap();
        let told = failure(&["study", name, "--out", "out", "--quiet"], 2);
        assert!(told.contains(key) && told.contains("mend:"), "{told}");
    }
    let told = failure(&["study", "nowhere.toml", "--out", "out"], 2);
    assert!(told.contains("nowhere.toml"), "{told}");
}
