//! The results folder: what is in it, that it is the same every time, and what it refuses.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use coaxle::Error;
use coaxle::folder::{Disk, Folder};
use coaxle::num::{parse_fraction, to_f64};
use coaxle::report::{
    Candidate, Kind, Pictures, Record, Rows, layout_file, page, results_claim, summary, table,
    write_results,
};
use coaxle::score::{Criterion, Progression};
use coaxle::train::parse_layout;

fn record() -> Record {
    crate::made::record(crate::made::candidates(4))
}

fn html(record: &Record) -> String {
    page(record, &Pictures::of(record).unwrap()).unwrap()
}

fn write(record: &Record, path: &Path, force: bool) -> Result<Vec<PathBuf>, Error> {
    let claim = results_claim(Kind::Search, "request", force);
    let mut folder = Folder::open(path, &Disk::default(), claim)?;
    Ok(write_results(record, &mut folder)?.expect("nothing better stands there"))
}

/// Every file under a folder with its bytes, but for the marker that says whose it is.
fn contents(folder: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let mut found = BTreeMap::new();
    let mut waiting = vec![folder.to_path_buf()];
    while let Some(next) = waiting.pop() {
        for entry in std::fs::read_dir(next).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                waiting.push(path);
            } else {
                let name = path.strip_prefix(folder).unwrap().to_path_buf();
                found.insert(name, std::fs::read(path).unwrap());
            }
            found.remove(Path::new(".coaxle.json"));
        }
    }
    found
}

#[test]
fn the_summary_has_the_keys_of_the_contract() {
    let record = record();
    let value: serde_json::Value = serde_json::from_str(&summary(&record).unwrap()).unwrap();
    let mut keys: Vec<&str> = value.as_object().unwrap().keys().map(String::as_str).collect();
    keys.sort_unstable();
    let expected = [
        "brief",
        "complete",
        "coverage",
        "elapsed_s",
        "front",
        "funnel",
        "request",
        "space",
        "stopped",
        "title",
        "version",
    ];
    assert_eq!(keys, expected);
    assert_eq!(value["space"]["layouts"], 14_872);
    assert_eq!(value["funnel"][0]["in"], 14_872);
    assert_eq!(value["funnel"][0]["out"], 9_031);
    assert_eq!(value["funnel"][1]["test"], "band");
    assert_eq!(value["elapsed_s"], 1.25);
    assert_eq!(value["front"].as_array().unwrap().len(), record.front.len());
    assert_eq!(value["front"][0], record.candidates[record.front[0]].id);
}

#[test]
fn tables_read_back_with_the_same_ratios_and_scores() {
    let record = record();
    for (rows, count) in
        [(Rows::Front, record.front.len()), (Rows::Candidates, record.candidates.len())]
    {
        let text = table(&record, rows).unwrap();
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let header = reader.headers().unwrap().clone();
        let expected = "id canonical gears spread step_deviation element_count worst_efficiency twins twin_layouts \
                        front";
        assert_eq!(header.iter().collect::<Vec<_>>().join(" "), expected);
        let lines: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
        assert_eq!(lines.len(), count);
        for line in &lines {
            let candidate = record.candidates.iter().find(|one| one.id == line[0]).unwrap();
            assert_eq!(&line[1], candidate.canonical);
            check_gears(&line[2], candidate, line[3].parse().unwrap(), line[4].parse().unwrap());
            assert_eq!(&line[6], "", "an unknown score is empty");
            assert_eq!(line[7].parse::<usize>().unwrap(), candidate.twins.len());
            let on_front = record.front().any(|one| one.id == candidate.id);
            assert_eq!(&line[9], if on_front { "1" } else { "0" });
        }
    }
}

/// Reads the gears' cell as its documentation says, and compares.
fn check_gears(cell: &str, candidate: &Candidate, spread: f64, deviation: f64) {
    let mut forward = Vec::new();
    for (text, gear) in cell.split("; ").zip(&candidate.gears) {
        let (name, rest) = text.split_once(':').unwrap();
        let (exact, rest) = rest.split_once('=').unwrap();
        let (value, elements) = rest.split_once(' ').unwrap();
        assert_eq!(name, gear.name);
        assert_eq!(parse_fraction(exact).unwrap(), gear.ratio);
        assert!((value.parse::<f64>().unwrap() - to_f64(&gear.ratio)).abs() <= 5e-7);
        assert_eq!(elements.split('+').collect::<Vec<_>>(), gear.engaged);
        forward.extend(Some(to_f64(&gear.ratio)).filter(|&ratio| ratio > 0.0));
    }
    assert_eq!(cell.split("; ").count(), candidate.gears.len());
    assert!((forward[0] / forward[forward.len() - 1] - spread).abs() < 1e-6);
    assert!((Progression::Geometric.deviation(&forward) - deviation).abs() < 1e-6);
}

#[test]
fn layout_files_read_back_and_give_the_same_ratios() {
    let record = record();
    for candidate in record.front() {
        let text = layout_file(coaxle::report::Kind::Search, candidate);
        assert!(text.contains(&format!("coaxle show layouts/{}.toml", candidate.id)));
        assert!(text.contains("not a rating"));
        assert!(text.lines().all(|line| line.len() < 100));
        let layout = parse_layout(&text).unwrap();
        assert_eq!(layout, candidate.layout);
        assert!(layout.sets.iter().all(|set| set.planet.is_some() && set.planets.is_some()));
        let (core, slots) = layout.wiring();
        for (gear, row) in layout.gears.iter().zip(&candidate.gears) {
            let engaged: Vec<_> = gear.engaged.iter().map(|element| slots[element]).collect();
            assert_eq!(crate::made::ratio(&core, &layout.sets, &engaged), Some(row.ratio.clone()));
        }
    }
}

#[test]
fn the_page_asks_nothing_of_a_network() {
    let html = crate::data::without_data(&html(&record()));
    // Names, not addresses: of a notation, and of the policy that forbids every network.
    let html = html.replace("http://www.w3.org/2000/svg", "").replace("http-equiv", "");
    for word in ["http", "//cdn", "src=", "url(", "@import", "<link", "<iframe", "fetch(", "<base"]
    {
        assert!(!html.contains(word), "{word}");
    }
    let targets = html.split("href=\"").skip(1).map(|rest| rest.split('"').next().unwrap());
    for target in targets {
        let anchor = target.strip_prefix('#').expect("links stay on the page");
        assert!(html.contains(&format!("id=\"{anchor}\"")), "{anchor}");
    }
}

#[test]
fn the_page_is_balanced_and_says_what_it_must() {
    let record = record();
    let html = html(&record);
    assert_balanced(&html);
    assert!(html.find("class=\"answer\"") < html.find("<svg"), "the answer comes first");
    assert!(html.contains("two sets &amp; five shafts"));
    assert!(html.contains("&lt;b&gt;not bold&lt;&#x2f;b&gt; &amp; not &quot;markup&quot;"));
    for candidate in record.front() {
        assert!(html.contains(&format!("id=\"layout-{}\"", candidate.id)));
        assert!(html.contains(&candidate.gears[0].ratio.to_string().replace('/', "&#x2f;")));
    }
    for caution in ["Rotating gears are guarded", "ISO 6336", "no hobby part", "Printed parts"] {
        assert!(html.contains(caution), "{caution}");
    }
    assert!(html.contains("prefers-color-scheme:dark") && html.contains("@media print"));
    assert!(!html.contains("1.25 s") && !html.contains("elapsed"), "no time on the page");
}

/// Every element that is opened is closed, in order; texts hold no bare `<`.
fn assert_balanced(html: &str) {
    const VOID: [&str; 4] = ["meta", "!doctype", "br", "input"];
    let mut open: Vec<&str> = Vec::new();
    let mut rest = html;
    while let Some(start) = rest.find('<') {
        let end = start + rest[start..].find('>').expect("a tag ends");
        let tag = &rest[start + 1..end];
        rest = &rest[end + 1..];
        let name = tag.trim_start_matches('/').split_whitespace().next().unwrap();
        let name = name.trim_end_matches('/');
        if tag.starts_with('/') {
            assert_eq!(open.pop(), Some(name));
        } else if !VOID.contains(&name) && !tag.ends_with('/') {
            open.push(name);
        }
        if ["style", "script"].contains(&name) && !tag.starts_with('/') {
            rest = &rest[rest.find(&format!("</{name}>")).expect("is closed")..];
        }
    }
    assert!(open.is_empty(), "{open:?}");
}

#[test]
fn words_of_the_user_are_never_markup() {
    let mut record = record();
    let evil = "</style><script>alert(1)</script>\"'&";
    record.title = evil.to_owned();
    record.request = evil.to_owned();
    record.brief = evil.to_owned();
    record.stopped = evil.to_owned();
    record.complete = false;
    record.coverage = vec![evil.to_owned()];
    record.funnel[0].why = evil.to_owned();
    let first = record.front[0];
    record.candidates[first].layout.shafts[2].name = evil.to_owned();
    record.candidates[first].layout.elements[0].name = evil.to_owned();
    record.candidates[first].gears[0].name = evil.to_owned();
    let html = html(&record);
    assert_balanced(&html);
    assert!(!html.contains("<script>alert"));
    assert_eq!(html.matches("<script>").count(), 1);
    assert!(html.contains("This run did not finish"));
    let svg = Pictures::of(&record).unwrap().pareto.svg();
    resvg::usvg::Tree::from_str(&svg, &resvg::usvg::Options::default()).unwrap();
}

#[test]
fn an_empty_record_is_told_as_such() {
    let record = crate::made::record(Vec::new());
    let html = html(&record);
    assert_balanced(&html);
    assert!(html.contains("Nothing found meets the request."));
    assert!(Pictures::of(&record).unwrap().pareto.svg().contains("No layout met the request."));
    let folder = tempfile::tempdir().unwrap();
    let written = write(&record, folder.path(), false).unwrap();
    assert_eq!(written.len(), 10);
    assert_eq!(table(&record, Rows::Front).unwrap().lines().count(), 1);
}

#[test]
fn records_without_a_second_or_third_objective_are_drawn() {
    let mut record = record();
    for count in [0, 1, 2] {
        record.objectives.truncate(count);
        html(&record);
    }
    // Of these the record holds no value.
    record.objectives = vec![Criterion::WorstEfficiency, Criterion::Nests];
    let svg = Pictures::of(&record).unwrap().pareto.svg();
    let all = record.candidates.len();
    assert!(svg.contains(&format!("None of {all} layouts has a value on both axes.")));
}

#[test]
fn two_runs_give_the_same_bytes_but_for_the_time() {
    let [one, other] = [1.25, 99.0].map(|elapsed_s| {
        let folder = tempfile::tempdir().unwrap();
        let record = Record { elapsed_s, ..record() };
        let written = write(&record, folder.path(), false).unwrap();
        let files = contents(folder.path());
        assert_eq!(written.len(), files.len());
        assert!(written.last().unwrap().ends_with("summary.json"));
        files
    });
    assert_eq!(one.keys().collect::<Vec<_>>(), other.keys().collect::<Vec<_>>());
    for (name, bytes) in &one {
        if name == Path::new("summary.json") {
            let text = String::from_utf8(bytes.clone()).unwrap();
            let timeless = text.replace("\"elapsed_s\": 1.25", "\"elapsed_s\": 99.0");
            assert_eq!(timeless.as_bytes(), other[name]);
        } else {
            assert!(*bytes == other[name], "{} differs", name.display());
        }
    }
}

#[test]
fn an_own_folder_is_replaced_and_strange_files_stay() {
    let folder = tempfile::tempdir().unwrap();
    let mut record = record();
    write(&record, folder.path(), false).unwrap();
    let gone = record.candidates[record.front[0]].id.clone();
    let old = folder.path().join(format!("layouts/{gone}.toml"));
    // A copy under another name is the user's, though it begins as ours do.
    let copy = folder.path().join("layouts/mine.toml");
    std::fs::copy(&old, &copy).unwrap();
    std::fs::write(folder.path().join("notes.txt"), "keep").unwrap();
    record.front.remove(0);
    write(&record, folder.path(), false).unwrap();
    assert!(!old.exists());
    assert!(copy.exists());
    assert!(folder.path().join("notes.txt").exists());
    let names = contents(folder.path());
    assert_eq!(names.len(), record.front.len() + 10 + 2);
    assert!(names.keys().all(|name| !name.to_string_lossy().contains(".coaxle-")));
}

#[test]
fn a_strange_folder_is_refused_unless_forced() {
    let folder = tempfile::tempdir().unwrap();
    let strange = folder.path().join("thesis.txt");
    std::fs::write(&strange, "not ours").unwrap();
    let refused = write(&record(), folder.path(), false).unwrap_err();
    assert!(matches!(&refused, Error::Request(mistake) if mistake.problem.contains("thesis.txt")));
    assert_eq!(contents(folder.path()).len(), 1, "nothing was written");
    write(&record(), folder.path(), true).unwrap();
    assert!(contents(folder.path()).len() > 6);
    assert_eq!(std::fs::read_to_string(&strange).unwrap(), "not ours");
}

/// A name that is sure to be written is asked for before the work.
#[test]
fn a_file_in_the_way_is_met_before_the_work() {
    for name in ["summary.json", "report.html"] {
        let folder = tempfile::tempdir().unwrap();
        std::fs::write(folder.path().join(name), "{\"title\": \"not ours\"}").unwrap();
        let claim = results_claim(Kind::Search, "request", true);
        let refused = Folder::open(folder.path(), &Disk::default(), claim).err().unwrap();
        assert!(matches!(&refused, Error::Request(mistake) if mistake.problem.contains(name)));
        assert_eq!(contents(folder.path()).len(), 1, "nothing was written");
    }
}

#[test]
fn notes_of_an_unfinished_run_do_not_make_a_folder_strange() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join(".coaxle-resume"), "state").unwrap();
    write(&record(), folder.path(), false).unwrap();
    assert!(folder.path().join(".coaxle-resume").exists());
}

#[test]
fn a_failure_names_path_and_cause_and_leaves_no_half_file() {
    let place = tempfile::tempdir().unwrap();
    let file = place.path().join("file");
    std::fs::write(&file, "in the way").unwrap();
    let error = write(&record(), &file.join("results"), false).unwrap_err();
    // A folder inside a file is the user's mistake: the message names both.
    assert!(matches!(&error, Error::Request(_)), "{error}");
    let text = error.to_string();
    assert!(text.contains("results") && text.contains("would be inside"), "{text}");
    // A folder where a file must go is somebody's: told before the work.
    let folder = place.path().join("results");
    std::fs::create_dir_all(folder.join("report.html")).unwrap();
    let error = write(&record(), &folder, true).unwrap_err();
    assert!(matches!(&error, Error::Request(_)), "{error}");
    assert!(error.to_string().contains("report.html"), "{error}");
    assert!(contents(&folder).is_empty());
}

#[test]
fn ids_that_cannot_be_file_names_are_refused() {
    for id in ["", "../escape", "a/b", "a b", ".hidden"] {
        let folder = tempfile::tempdir().unwrap();
        let mut record = record();
        record.candidates[0].id = id.to_owned();
        let error = write(&record, folder.path(), false).unwrap_err();
        assert!(matches!(error, Error::Work(_)));
        assert!(contents(folder.path()).is_empty());
    }
    let mut record = record();
    record.candidates[1].id = record.candidates[0].id.clone();
    let folder = tempfile::tempdir().unwrap();
    assert!(write(&record, folder.path(), false).is_err());
}
