//! `coaxle exam` as a user runs it: papers, keys, marking, messages, exit status.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::process::Output;

use assert_cmd::Command;
use coaxle::exam::Exam;
use coaxle::problem::{Answer, Cell};
use serde_json::Value;

fn coaxle(arguments: &[&str], folder: &Path) -> Output {
    let mut command = Command::cargo_bin("coaxle").unwrap();
    command.current_dir(folder).args(arguments).output().unwrap()
}

fn told(output: &Output) -> (i32, String, String) {
    let text = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).unwrap();
    (output.status.code().unwrap(), text(&output.stdout), text(&output.stderr))
}

fn config(name: &str) -> String {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("configs").join(name).display().to_string()
}

/// Every file below a folder with its bytes, the time of the run left out.
fn files(folder: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let mut all = BTreeMap::new();
    let mut folders = vec![folder.to_owned()];
    while let Some(next) = folders.pop() {
        for entry in std::fs::read_dir(next).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
                continue;
            }
            let mut bytes = std::fs::read(&path).unwrap();
            if path.ends_with("summary.json") {
                let text = String::from_utf8(bytes).unwrap();
                let lines = text.lines().filter(|line| !line.contains("elapsed_s"));
                bytes = lines.collect::<Vec<_>>().join("\n").into_bytes();
            }
            all.insert(path.strip_prefix(folder).unwrap().to_owned(), bytes);
        }
    }
    all
}

fn exam_of(folder: &Path) -> Exam {
    serde_json::from_slice(&std::fs::read(folder.join("items.json")).unwrap()).unwrap()
}

#[test]
fn a_seed_gives_the_same_bytes_and_another_other_numbers_of_the_same_difficulty() {
    let place = tempfile::tempdir().unwrap();
    let brief = config("workshop-exam.toml");
    for (folder, seed) in [("one", "1"), ("again", "1"), ("other", "2")] {
        let (status, stdout, stderr) =
            told(&coaxle(&["exam", &brief, "--seed", seed, "--out", folder], place.path()));
        assert_eq!(status, 0, "{stderr}");
        assert!(stdout.contains("proved: no choice from the 400 items"), "{stdout}");
        assert!(stdout.contains("have one plan"), "{stdout}");
    }
    let [one, again, other] = ["one", "again", "other"].map(|name| files(&place.path().join(name)));
    assert_eq!(one, again);
    for file in
        ["paper-A.html", "key-D.md", "paper-B.typ", "qti.zip", "blueprint.csv", "brief.toml"]
    {
        assert!(one.contains_key(Path::new(file)), "{file}");
        assert!(one.values().all(|bytes| !bytes.is_empty()));
    }
    assert_ne!(one.get(Path::new("paper-A.html")), other.get(Path::new("paper-A.html")));
    let [one, other] = ["one", "other"].map(|name| exam_of(&place.path().join(name)));
    for (a, b) in one.papers.iter().zip(&other.papers) {
        let sum = |paper: &coaxle::exam::ExamPaper| {
            paper.items.iter().map(coaxle::problem::Item::difficulty).sum::<u32>()
        };
        assert_eq!(sum(a), sum(b));
    }
    // No numbers twice in all papers, and every item's data in the text of its paper.
    let mut marks = BTreeSet::new();
    for paper in &one.papers {
        let name = format!("one/paper-{}.md", paper.name);
        let text = std::fs::read_to_string(place.path().join(name)).unwrap();
        for item in &paper.items {
            assert!(item.marks.iter().all(|mark| marks.insert(mark.clone())), "{}", item.id);
            let layout = coaxle::parse_layout(&item.layout).unwrap();
            if item.kind != coaxle::problem::Kind::FindTeeth {
                for set in &layout.sets {
                    assert!(text.contains(&set.sun.to_string()), "{}", item.id);
                    assert!(text.contains(&set.ring.to_string()), "{}", item.id);
                }
            }
        }
        assert!(!text.contains("Right answer"), "a paper tells its answers");
    }
}

/// What a student writes who has everything right.
fn right(place: &coaxle::exam::Place<'_>) -> String {
    match (&place.of.answer, place.cell) {
        (_, Some((_, Cell::Number { exact, .. }))) => exact.to_string(),
        (_, Some((_, Cell::Tick(ticked)))) => if *ticked { "x" } else { "-" }.to_owned(),
        (_, Some((_, Cell::Word { of, right }))) => {
            let words = coaxle::paper::Words::of("en", false).unwrap();
            words.say(&of[*right]).unwrap().plain()
        }
        (Answer::Number { exact, .. } | Answer::Fraction { exact, .. }, _) => {
            format!("x = {exact}")
        }
        (Answer::Choice { right, .. }, _) => char::from(b'A' + *right as u8).to_string(),
        (Answer::Names { accepted, .. }, _) => match &accepted[0][..] {
            [] => "none".to_owned(),
            names => names.join(" + "),
        },
        (Answer::Teeth { accepted }, _) => {
            let [sun, planet, ring, _] = accepted[0];
            format!("{sun}/{planet}/{ring}")
        }
        _ => String::new(),
    }
}

/// What a person gives who finds everything right that only a person can mark.
fn by_hand(place: &coaxle::exam::Place<'_>) -> String {
    match place.of.answer.is_marked_by_machine() {
        true => String::new(),
        false => place.of.points().to_string(),
    }
}

/// Name, number of the paper, what is written at a place, and the points given there.
type Student<'a> = (
    &'a str,
    usize,
    &'a dyn Fn(&coaxle::exam::Place<'_>) -> String,
    &'a dyn Fn(&coaxle::exam::Place<'_>) -> String,
);

/// A table with one line a student.
fn table(folder: &Path, exam: &Exam, students: &[Student<'_>]) -> String {
    let head = std::fs::read_to_string(folder.join("answers.csv")).unwrap();
    let columns: Vec<&str> = head.trim().split(',').collect();
    let mut text = head.clone();
    for (student, paper, write, give) in students {
        let paper = &exam.papers[*paper];
        let places = paper.places();
        let answers = places.iter().map(|place| (place.column(paper), write(place)));
        let given = places.iter().map(|place| (place.hand_column(paper), give(place)));
        let answers: BTreeMap<String, String> = answers.chain(given).collect();
        let cells = columns[2..].iter().map(|label| {
            let cell = answers.get(*label).cloned().unwrap_or_default();
            format!("\"{cell}\"")
        });
        text += &format!("{student},{},{}\n", paper.name, cells.collect::<Vec<_>>().join(","));
    }
    text
}

#[test]
fn a_class_is_marked_against_the_key() {
    let place = tempfile::tempdir().unwrap();
    for brief in ["workshop-exam", "course-exam"] {
        let folder = place.path().join(brief);
        let made = coaxle(
            &["exam", &config(&format!("{brief}.toml")), "--out", brief, "--quiet"],
            place.path(),
        );
        assert_eq!(told(&made), (0, String::new(), String::new()));
        let exam = exam_of(&folder);
        let empty = |_: &coaxle::exam::Place<'_>| String::new();
        // The first wrong option or number that has a misconception, else nothing.
        let wrong = |place: &coaxle::exam::Place<'_>| match &place.of.answer {
            Answer::Choice { right, .. } => char::from(b'A' + u8::from(*right == 0)).to_string(),
            Answer::Number { wrong, .. } | Answer::Fraction { wrong, .. } => {
                wrong.first().map_or(String::new(), |wrong| wrong.value.to_string())
            }
            _ => String::new(),
        };
        let last = exam.papers.len() - 1;
        let text = table(
            &folder,
            &exam,
            &[
                ("Ada", 0, &right, &by_hand),
                ("Ben", last, &right, &by_hand),
                ("Cem", 0, &empty, &empty),
                ("Dot", 0, &wrong, &empty),
            ],
        );
        std::fs::write(place.path().join("class.csv"), &text).unwrap();
        let (status, stdout, stderr) =
            told(&coaxle(&["exam", "--mark", brief, "class.csv", "--json"], place.path()));
        assert_eq!(status, 0, "{stderr}");
        let report: Value = serde_json::from_str(&stdout).unwrap();
        assert_eq!(report["students"], 4);
        assert!(!report["misconceptions"].as_array().unwrap().is_empty(), "{stdout}");
        let marks = std::fs::read_to_string(folder.join("marks.csv")).unwrap();
        for (student, paper) in [("Ada", 0), ("Ben", last)] {
            let points = exam.papers[paper].points();
            let total = format!("{student},{},total,{points},{points},,", exam.papers[paper].name);
            assert!(marks.contains(&total), "{total}\n{marks}");
        }
        // Who writes nothing has nothing.
        let total = marks.lines().find(|line| line.starts_with("Cem") && line.contains("total"));
        assert_eq!(total.unwrap().split(',').nth(3), Some("0"));
        assert!(folder.join("class.html").is_file() && folder.join("class.md").is_file());
    }
}

#[test]
fn a_table_that_does_not_fit_is_refused_with_its_line() {
    let place = tempfile::tempdir().unwrap();
    let made = coaxle(&["exam", &config("workshop-exam.toml"), "--out", "w", "-q"], place.path());
    assert_eq!(made.status.code(), Some(0));
    let cases = [
        ("", "is a column that no paper has"),
        ("student\tname\nAda,A,1\n", "line 1, column 2: \"name\" is a column that no"),
        ("student\tq01\nAda\t1\n", "paper: is missing as a column"),
        ("student,paper,99z\nAda,A,1\n", "line 1, column 3: \"99z\" is a column that no"),
        ("student,paper,q01,\nAda,A,1,\n", "line 1, column 4: \"\" is a column that no"),
        ("student,paper,q01,Q01\nAda,A,1,1\n", "column 4: \"Q01\" is column 3 again"),
        ("student,paper,q01,1\nAda,A,1,1\n", "column 4: \"1\" is column 3 again"),
        ("student,paper,q01\nAda,Q,1\n", "line 2, paper: is \"Q\""),
        ("student,paper,q01\n,A,1\n", "line 2, student: is empty"),
        ("student,paper,q01\n\n\nAda,A,1\n", "line 4, paper: is A, but the table has no column"),
        ("student,paper,q01\nAda,A,5,5\n", "line 2: has 4 cells, the head has 3"),
        ("student,paper,q01\nAda,A\n", "line 2: has 2 cells, the head has 3"),
        ("student,paper,q01\nAda,A,\"1\nBen,A,2\n", "line 2, q01: runs over several lines"),
        ("student,paper,q01\nA\u{202e}da,A,1\n", "invisible character U+202E"),
        ("student,paper,q01\n", "has no line of a student"),
        (
            "{head}Ada,A,7{fewer}\nAda,B,7{fewer}\n",
            "line 2, student: has Ada with the number 7 in line 3 too",
        ),
        ("{head}Ada,A,{many}\n", "cells, the head has"),
    ];
    let head = std::fs::read_to_string(place.path().join("w/answers.csv")).unwrap();
    let commas = ",".repeat(head.matches(',').count() - 1);
    let fewer = &commas[1..];
    for (text, message) in cases {
        let text =
            text.replace("{head}", &head).replace("{commas}", &commas).replace("{fewer}", fewer);
        let text = text.replace("{many}", &"1,".repeat(commas.len()));
        std::fs::write(place.path().join("class.csv"), text).unwrap();
        let (status, stdout, stderr) =
            told(&coaxle(&["exam", "--mark", "w", "class.csv"], place.path()));
        assert_eq!((status, stdout.as_str()), (2, ""), "{stderr}");
        assert!(stderr.contains(message) && stderr.contains("class.csv"), "{message}: {stderr}");
        assert!(stderr.contains("mend: "), "{stderr}");
    }
    let (status, _, stderr) = told(&coaxle(&["exam", "--mark", "v", "class.csv"], place.path()));
    assert_eq!(status, 2);
    assert!(stderr.contains("has no items.json"), "{stderr}");
    assert!(!place.path().join("w/marks.csv").exists());
}

/// The exam that the tests of tables mark, with paper A and its first column that a number
/// answers.
fn a_number(folder: &Path) -> (Exam, String, String) {
    let exam = exam_of(folder);
    let paper = &exam.papers[0];
    let places = paper.places();
    let number = places.iter().find_map(|place| match &place.of.answer {
        Answer::Number { exact, .. } if *exact != coaxle::num::fraction(2, 1) => {
            Some((place.column(paper), exact.to_string()))
        }
        _ => None,
    });
    let (column, exact) = number.expect("paper A asks for a number");
    (exam, column, exact)
}

/// A line with cells by the names of their columns, all others empty.
fn line(head: &str, cells: &[(&str, &str)]) -> String {
    let cell = |name: &str| {
        let text = cells.iter().find(|(column, _)| *column == name).map_or("", |(_, text)| text);
        format!("\"{}\"", text.replace('"', "\"\""))
    };
    head.trim().split(',').map(cell).collect::<Vec<_>>().join(",") + "\n"
}

/// Points and note of a student at a place, from marks.csv.
fn marked(folder: &Path, student: &str, place: &str) -> (String, String) {
    let text = std::fs::read_to_string(folder.join("marks.csv")).unwrap();
    let mut rows = csv::Reader::from_reader(text.as_bytes()).into_records().map(Result::unwrap);
    let row = rows.find(|row| &row[0] == student && &row[2] == place);
    let row = row.unwrap_or_else(|| panic!("{student} at {place} in\n{text}"));
    (row[3].to_owned(), row[6].to_owned())
}

#[test]
fn points_by_hand_are_a_persons_and_formulas_stay_text() {
    let place = tempfile::tempdir().unwrap();
    let made = coaxle(&["exam", &config("workshop-exam.toml"), "--out", "w", "-q"], place.path());
    assert_eq!(made.status.code(), Some(0));
    let folder = place.path().join("w");
    let (exam, column, exact) = a_number(&folder);
    let label = {
        let paper = &exam.papers[0];
        paper.places().iter().find(|one| one.column(paper) == column).unwrap().label(paper)
    };
    let head = std::fs::read_to_string(folder.join("answers.csv")).unwrap();
    let hand = format!("hand-{column}");
    let head = head.replace(&format!(",{column},"), &format!(",{column},{hand},"));
    assert!(head.contains(&hand), "{head}");
    let long = "1".repeat(100_000);
    let equals = format!("= {exact}");
    let answers: [(&str, &str, &str); 6] = [
        ("=HYPERLINK(\"http://x.example\")", "=2", ""),
        ("@SUM", &equals, ""),
        ("-Ada", "nonsense", "1"),
        ("+1", &exact, "0"),
        ("'=5", &long, ""),
        ("Ben", "", ""),
    ];
    let mut text = head.clone();
    for (student, answer, points) in answers {
        text += &line(
            &head,
            &[("student", student), ("paper", "A"), (&column, answer), (&hand, points)],
        );
    }
    // As a spreadsheet of another country would save it, marked as UTF-16.
    let wide: Vec<u8> =
        format!("\u{feff}{text}").encode_utf16().flat_map(u16::to_le_bytes).collect();
    std::fs::write(place.path().join("class.csv"), wide).unwrap();
    let output = coaxle(&["exam", "--mark", "w", "class.csv", "-q"], place.path());
    assert_eq!(told(&output), (0, String::new(), String::new()));
    let got = |student: &str| marked(&folder, student, &label);
    assert_eq!(got("'=HYPERLINK(\"http://x.example\")").0, "0", "an answer is no points");
    assert_ne!(got("'@SUM").0, "0", "an answer behind = is read");
    assert_eq!((got("'-Ada").0, got("'+1").0), ("1".to_owned(), "0".to_owned()));
    // The apostrophe in the table is that of a spreadsheet: the name is =5.
    // What cannot be read waits for a person.
    let waits =
        format!("longer than 1000 characters; waits for a person: write points into column {hand}");
    assert_eq!(got("'=5"), (String::new(), waits));
    let marks = std::fs::read_to_string(folder.join("marks.csv")).unwrap();
    let cells = csv::ReaderBuilder::new().has_headers(false).from_reader(marks.as_bytes());
    for row in cells.into_records().map(Result::unwrap) {
        assert!(row.iter().all(|cell| !cell.starts_with(['=', '+', '-', '@'])), "{row:?}");
    }
    // Points that cannot be given are refused, and nothing is marked anew.
    for points in ["99", "=1", "+1", "-1", "1e0", "one", "1/0"] {
        let row = line(&head, &[("student", "Ada"), ("paper", "A"), (&hand, points)]);
        std::fs::write(place.path().join("class.csv"), head.clone() + &row).unwrap();
        let (status, _, stderr) =
            told(&coaxle(&["exam", "--mark", "w", "class.csv"], place.path()));
        assert_eq!(status, 2, "{points}");
        assert!(stderr.contains(&format!("line 2, {hand}: is \"{points}\"")), "{stderr}");
    }
    assert_eq!(std::fs::read_to_string(folder.join("marks.csv")).unwrap(), marks);
}

/// One line that is not understood leaves one student without marks, and says so wherever marks
/// are read; students of one name are told apart.
#[test]
fn a_bad_line_does_not_stop_the_class() {
    let place = tempfile::tempdir().unwrap();
    let made = coaxle(&["exam", &config("workshop-exam.toml"), "--out", "w", "-q"], place.path());
    assert_eq!(made.status.code(), Some(0));
    let folder = place.path().join("w");
    let (exam, column, exact) = a_number(&folder);
    let head = std::fs::read_to_string(folder.join("answers.csv")).unwrap();
    let label = {
        let paper = &exam.papers[0];
        paper.places().iter().find(|one| one.column(paper) == column).unwrap().label(paper)
    };
    let ada = |paper: &str, number: &str, answer: &str| {
        let cells = [("student", "Ada"), ("paper", paper), ("number", number), (&column, answer)];
        line(&head, &cells)
    };
    let text = [
        head.clone(),
        ada("a", "1", &exact),
        "Ben,Q\n".to_owned(),
        ada("A", "2", "1,500"),
        ada("A", "", &exact),
        line(&head, &[("student", "Cem"), ("paper", "Z")]),
    ];
    std::fs::write(place.path().join("class.csv"), text.concat()).unwrap();
    let (status, stdout, stderr) =
        told(&coaxle(&["exam", "--mark", "w", "class.csv", "-q", "--json"], place.path()));
    assert_eq!(status, 0, "{stderr}");
    assert!(stderr.contains("line 3 is not marked") && stderr.contains("line 6"), "{stderr}");
    let report: Value = serde_json::from_str(&stdout).unwrap();
    assert_eq!((&report["students"], report["refused"].as_array().unwrap().len()), (&3.into(), 2));
    assert_eq!(report["refused"][0]["line"], 3);
    let marks = std::fs::read_to_string(folder.join("marks.csv")).unwrap();
    let mut rows = csv::Reader::from_reader(marks.as_bytes()).into_records().map(Result::unwrap);
    let rows: Vec<csv::StringRecord> = rows.by_ref().collect();
    let at = |number: &str| {
        let row = rows.iter().find(|row| &row[7] == number && row[2] == label);
        (row.unwrap()[3].to_owned(), row.unwrap()[6].to_owned())
    };
    assert!(at("1").0.parse::<f64>().unwrap() > 0.0 && at("line 5").0 == at("1").0, "{marks}");
    assert!(at("2").0.is_empty() && at("2").1.contains("the comma may part"), "{marks}");
    assert!(marks.contains("Ben,,,,,,\"line 3 is not marked"), "{marks}");
    let page = std::fs::read_to_string(folder.join("class.html")).unwrap();
    let (refused, students) = (page.find("Lines that nobody marked"), page.find(">Students<"));
    assert!(refused.is_some() && refused < students, "{page}");
}

/// A row that has a mark says that its empty cells are not ticked; a row without any says
/// nothing, and earns nothing.
#[test]
fn a_row_without_a_mark_is_no_answer() {
    let place = tempfile::tempdir().unwrap();
    let brief = "[exam]\nlevel = \"workshop\"\nkinds = [\"shift-table\"]\npool = 30\n[forms]\n\
                 forms = 1\nitems = 2\n[forms.kinds]\nshift-table = 2\n";
    std::fs::write(place.path().join("b.toml"), brief).unwrap();
    let made = coaxle(&["exam", "b.toml", "--out", "w", "-q"], place.path());
    assert_eq!(told(&made).2, "");
    let folder = place.path().join("w");
    let exam = exam_of(&folder);
    let paper = &exam.papers[0];
    let ticks: Vec<_> = paper
        .places()
        .into_iter()
        .filter(|place| matches!(place.cell, Some((_, Cell::Tick(_)))))
        .collect();
    assert!(!ticks.is_empty(), "one of the two is to be ticked");
    let head = std::fs::read_to_string(folder.join("answers.csv")).unwrap();
    let Answer::Table { rows, .. } = &ticks[0].of.answer else { panic!() };
    let width = rows[0].cells.iter().filter(|cell| matches!(cell, Cell::Tick(_))).count();
    let worth: coaxle::num::Fraction = ticks[..width].iter().map(coaxle::exam::worth).sum();
    let columns: Vec<String> = ticks.iter().map(|one| one.column(paper)).collect();
    let is_ticked = |at: usize| matches!(ticks[at].cell, Some((_, Cell::Tick(true))));
    let first: Vec<usize> = (0..width).filter(|&at| is_ticked(at)).collect();
    let row = |student: &str, at: &[usize], with: &str| {
        let mut cells = vec![("student", student), ("paper", &paper.name)];
        cells.extend(at.iter().map(|&at| (columns[at].as_str(), with)));
        line(&head, &cells)
    };
    let text =
        head.clone() + &row("Ada", &first, "x") + &row("Ben", &[], "x") + &row("Cem", &[0], "-");
    std::fs::write(place.path().join("class.csv"), text).unwrap();
    assert_eq!(
        coaxle(&["exam", "--mark", "w", "class.csv", "-q"], place.path()).status.code(),
        Some(0)
    );
    let total = |student: &str| marked(&folder, student, "total").0.parse::<f64>().unwrap();
    // One row is right in full, the other rows are no answers.
    assert!((total("Ada") - coaxle::num::to_f64(&worth)).abs() < 0.01, "{}", total("Ada"));
    assert_eq!(total("Ben"), 0.0);
    // A dash says that nothing is engaged: its own cells count, those of other rows do not.
    let unticked = (width - first.len()) as f64 / width as f64 * coaxle::num::to_f64(&worth);
    assert!((total("Cem") - unticked).abs() < 0.01, "{}", total("Cem"));
}

/// `5.10` comes back from a spreadsheet as `5.1`, which is another place.
#[test]
fn a_column_that_may_be_two_is_refused() {
    let place = tempfile::tempdir().unwrap();
    let brief = "[exam]\nlevel = \"workshop\"\nkinds = [\"six-ways\"]\npool = 10\n[forms]\n\
                 forms = 1\nitems = 1\n[forms.kinds]\nsix-ways = 1\n[forms.answers]\ntable = 1\n";
    std::fs::write(place.path().join("b.toml"), brief).unwrap();
    let made = coaxle(&["exam", "b.toml", "--out", "w", "-q"], place.path());
    assert_eq!(told(&made).2, "");
    let exam = exam_of(&place.path().join("w"));
    let paper = &exam.papers[0];
    let labels: Vec<String> = paper.places().iter().map(|place| place.label(paper)).collect();
    assert!(labels.contains(&"1.10".to_owned()), "{labels:?}");
    let columns = std::fs::read_to_string(place.path().join("w/answers.csv")).unwrap();
    assert!(columns.contains(",q01-01,") && columns.contains("q01-10"), "{columns}");
    let mark = |labels: &[String]| {
        let text = format!(
            "student;paper;{}\nAda;{};{}\n",
            labels.join(";"),
            paper.name,
            vec!["x"; labels.len()].join(";")
        );
        std::fs::write(place.path().join("class.csv"), text).unwrap();
        told(&coaxle(&["exam", "--mark", "w", "class.csv", "-q"], place.path()))
    };
    // As they are printed, all labels are different, and understood.
    assert_eq!(mark(&labels), (0, String::new(), String::new()));
    let saved: Vec<String> = labels
        .iter()
        .map(|label| label.parse::<f64>().map_or(label.clone(), |number| number.to_string()))
        .collect();
    let (status, _, stderr) = mark(&saved);
    assert_eq!(status, 2);
    assert!(stderr.contains("\"1.1\" may be 1.1 or 1.10"), "{stderr}");
    assert!(stderr.contains("name the columns q01-01 and q01-10"), "{stderr}");
}

#[test]
fn bounds_that_clash_are_named_and_the_mend_helps() {
    let place = tempfile::tempdir().unwrap();
    let brief = "[exam]\nlevel = \"workshop\"\nkinds = [\"ratio\", \"six-ways\"]\npool = 80\n\
                 [forms]\nforms = 2\nitems = 3\npoints = 90\n";
    std::fs::write(place.path().join("b.toml"), brief).unwrap();
    let (status, stdout, stderr) = told(&coaxle(&["exam", "b.toml"], place.path()));
    assert_eq!((status, stdout.as_str()), (3, ""), "{stderr}");
    let line = stderr.lines().find(|line| line.contains("forms.points")).unwrap();
    let value: u32 = line.split("; ").nth(1).unwrap().split(' ').next().unwrap().parse().unwrap();
    assert!(!place.path().join("results").exists());
    let mended = brief.replace("points = 90", &format!("points = [{value}, 90]"));
    std::fs::write(place.path().join("b.toml"), mended).unwrap();
    let (status, _, stderr) = told(&coaxle(&["exam", "b.toml", "--quiet"], place.path()));
    assert_eq!(status, 0, "{stderr}");
}

/// A kind that the numbers of a brief leave no items of is named.
#[test]
fn a_kind_without_items_is_named() {
    let place = tempfile::tempdir().unwrap();
    let brief = "[exam]\nlevel = \"course\"\nkinds = [\"shift-table\"]\npool = 10\n\
                 [numbers]\nsets = 1\n[forms]\nforms = 1\nitems = 1\n";
    std::fs::write(place.path().join("b.toml"), brief).unwrap();
    let (status, stdout, stderr) = told(&coaxle(&["exam", "b.toml", "-q"], place.path()));
    assert_eq!((status, stdout.as_str()), (3, ""), "{stderr}");
    assert!(stderr.contains("leave only 0 items of shift-table"), "{stderr}");
}

#[test]
fn wrong_requests_say_what_would_be_right() {
    let place = tempfile::tempdir().unwrap();
    let cases = [
        ("", "exam.level", "is missing"),
        ("[exam]\nlevel = \"hard\"", "exam.level", "\"hard\""),
        (
            "[exam]\nlevel = \"course\"\nkinds = [\"ration\"]",
            "exam.kinds",
            "did you mean \"ratio\"",
        ),
        ("[exam]\nlevel = \"course\"\npool = 3", "exam.pool", "is 3"),
        ("[exam]\nlevel = \"course\"\n[forms]\nforms = 12\nitems = 20\n[exam.x]\n", "exam", ""),
        (
            "[exam]\nlevel = \"course\"\npool = 20\n[forms]\nforms = 6\nitems = 6",
            "exam.pool",
            "36 items",
        ),
        (
            "[exam]\nlevel = \"course\"\n[forms.kinds]\nratios = 1",
            "forms.kinds.ratios",
            "did you mean",
        ),
        (
            "[exam]\nlevel = \"course\"\n[forms]\nitems = 2\n[forms.answers]\nchoice = 2\ntable = 1",
            "forms.answers",
            "at least",
        ),
        ("[exam]\nlevel = \"course\"\n[paper]\nlanguage = \"xx\"", "paper.language", "\"xx\""),
        ("[exam]\nlevel = \"course\"\n[paper]\nnames = [\"a/b\", \"c\"]", "paper.names", "a/b"),
        ("[exam]\nlevel = \"course\"\n[forms]\nitem = 2", "forms.item", "forms.items"),
        ("[space]\nsets = 2\n[gears]\nforward = 3", "space", "coaxle search"),
    ];
    for (brief, key, message) in cases {
        std::fs::write(place.path().join("b.toml"), brief).unwrap();
        let (status, stdout, stderr) = told(&coaxle(&["exam", "b.toml"], place.path()));
        assert_eq!((status, stdout.as_str()), (2, ""), "{brief}: {stderr}");
        let all = stderr.contains("b.toml") && stderr.contains(key) && stderr.contains(message);
        assert!(all && stderr.contains("mend: "), "{brief}: {stderr}");
    }
    let (status, _, stderr) = told(&coaxle(&["exam"], place.path()));
    assert_eq!(status, 2);
    assert!(stderr.contains("configs/workshop-exam.toml"), "{stderr}");
}

#[test]
fn paper_and_decimals_are_as_wished() {
    let place = tempfile::tempdir().unwrap();
    let brief = "title = \"Test <&> _*$ class\"\n[exam]\nlevel = \"workshop\"\n\
                 kinds = [\"ladder\"]\npool = 12\n[forms]\nforms = 1\nitems = 2\n[forms.kinds]\n\
                 ladder = 2\n[paper]\nsize = \"letter\"\ndecimal = \"comma\"\nformula_sheet = false\n\
                 names = [\"Red\"]\n";
    std::fs::write(place.path().join("b.toml"), brief).unwrap();
    let (status, _, stderr) = told(&coaxle(&["exam", "b.toml", "--out", "o"], place.path()));
    assert_eq!(status, 0, "{stderr}");
    let read = |name: &str| std::fs::read_to_string(place.path().join("o").join(name)).unwrap();
    let html = read("paper-Red.html");
    assert!(html.contains("size: letter") && html.contains("Test &lt;&amp;&gt;"), "{html}");
    assert!(!html.contains(">Formulas<"));
    let key = read("key-Red.md");
    let fractions = key.matches(|c: char| c.is_ascii_digit()).count();
    assert!(fractions > 10 && key.contains("{,}"), "{key}");
    let typst = read("paper-Red.typ");
    assert!(typst.contains("us-letter") && typst.contains("\\$"), "{typst}");
}
