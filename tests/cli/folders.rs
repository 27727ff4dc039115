//! Whose folder is it? Every command at the terminal among files of other people, of other
//! commands and of other requests.

#![cfg(unix)]

use std::path::{Path, PathBuf};

use crate::program::{coaxle, contents, sample, text};
use crate::small::{EXAM, REDUCTION, SEARCH, STUDY};
use rstest::rstest;

struct Place(tempfile::TempDir);

impl Place {
    fn new() -> Self {
        let place = tempfile::tempdir().unwrap();
        let briefs = [("search", SEARCH), ("reduce", REDUCTION), ("exam", EXAM), ("study", STUDY)];
        for (command, brief) in briefs {
            std::fs::write(place.path().join(format!("{command}.toml")), brief).unwrap();
        }
        Self(place)
    }

    fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    fn word(&self, name: &str) -> String {
        self.path(name).to_str().unwrap().to_owned()
    }

    fn write(&self, name: &str, text: &str) {
        std::fs::create_dir_all(self.path(name).parent().unwrap()).unwrap();
        std::fs::write(self.path(name), text).unwrap();
    }

    fn read(&self, name: &str) -> String {
        std::fs::read_to_string(self.path(name)).unwrap()
    }

    /// Runs a command on its brief into the folder `out`; status and what it said.
    fn run(&self, command: &str, more: &[&str]) -> (i32, String) {
        let (brief, out) = (self.word(&format!("{command}.toml")), self.word("out"));
        self.words(&[&[command, &brief, "--out", &out][..], more].concat())
    }

    fn words(&self, words: &[&str]) -> (i32, String) {
        let output = coaxle(words);
        (output.status.code().unwrap(), text(&output.stderr))
    }
}

fn assert_refused((status, told): (i32, String), parts: &[&str]) {
    assert_eq!(status, 2, "{told}");
    for part in parts.iter().chain(&["mend: "]) {
        assert!(told.contains(part), "no {part} in {told}");
    }
}

/// Lists that say what to remove are worth nothing when they are not coaxle's own.
#[rstest]
fn lists_of_other_people_remove_nothing(
    #[values("search", "reduce", "exam", "study")] command: &str,
    #[values("notes.json", "summary.json")] list: &str,
    #[values(false, true)] force: bool,
) {
    let place = Place::new();
    place.write("thesis.txt", "years of work");
    place.write("out/chapter.tex", "years of work");
    place.write("out/parts/mine/contents.csv", "file,what it is\nplan.svg,a plan\n");
    place.write("out/parts/mine/plan.svg", "years of work");
    place.write("out/layouts/F99.toml", "# Layout F99 of the front that coaxle search found.\n");
    let listed = "{\"title\": \"\", \"brief\": \"\", \"version\": \"\", \"stopped\": \"\", \
                  \"elapsed_s\": 1, \"papers\": [], \"pool\": 1, \"deviation\": 0, \"complete\": \
                  true, \"searches\": 1, \"entries\": 1, \"space\": 1, \"funnel\": [], \"front\": \
                  [], \"files\": [\"chapter.tex\", \"../thesis.txt\"]}";
    place.write(&format!("out/{list}"), listed);
    let before = contents(&place.path("out"));
    let (status, told) = place.run(command, if force { &["--force"] } else { &[] });
    // Beside other people's files when forced; never where a name is taken.
    assert_eq!(status, if force && list != "summary.json" { 0 } else { 2 }, "{told}");
    let after = contents(&place.path("out"));
    assert!(before.iter().all(|file| after.contains(file)));
    assert!(status == 0 || after == before);
    assert_eq!(place.read("thesis.txt"), "years of work");
}

/// A folder belongs to one command, whatever is forced.
#[rstest]
fn commands_do_not_take_each_others_folders(
    #[values("search", "reduce", "exam", "study")] owner: &str,
    #[values("search", "reduce", "exam", "study")] other: &str,
) {
    if owner == other {
        return;
    }
    let place = Place::new();
    assert_eq!(place.run(owner, &["--quiet"]).0, 0);
    let before = contents(&place.path("out"));
    for more in [&[][..], &["--force"]] {
        let words = [&format!("a folder of coaxle {owner}")[..], "name another folder"];
        assert_refused(place.run(other, more), &words);
        assert_eq!(contents(&place.path("out")), before);
    }
    let layout = sample("two-sets.toml");
    let out = place.word("out");
    for option in ["--out", "--draw"] {
        let told = place.words(&["show", layout.to_str().unwrap(), option, &out]);
        assert_refused(told, &["a folder of coaxle"]);
    }
    let told = place.words(&["census", "--sets", "2", "--shafts", "4", "--out", &out]);
    assert_refused(told, &["a folder of coaxle"]);
    assert_eq!(contents(&place.path("out")), before);
}

/// And to one request: another one is refused with the line that differs, and has its place when
/// it is forced.
#[rstest]
#[case("search", "forward = 2", "forward = 3", "forward = 3")]
#[case("reduce", "target = 4.0", "target = 4.2", "target")]
#[case("exam", "items = 2", "items = 3", "items")]
#[case("study", "elements = [2, 3]", "elements = [3, 3]", "elements")]
fn another_request_is_refused_until_it_is_forced(
    #[case] command: &str,
    #[case] from: &str,
    #[case] to: &str,
    #[case] line: &str,
) {
    let place = Place::new();
    assert_eq!(place.run(command, &["--quiet"]).0, 0);
    let before = contents(&place.path("out"));
    let brief = format!("{command}.toml");
    let text = place.read(&brief);
    assert!(text.contains(from));
    place.write(&brief, &text.replace(from, to));
    let words = ["another brief", line, "then", "now", "--force", "name another folder"];
    assert_refused(place.run(command, &[]), &words);
    assert_eq!(contents(&place.path("out")), before);
    place.write("out/notes.txt", "mine");
    let (status, told) = place.run(command, &["--force"]);
    assert_eq!(status, 0, "{told}");
    assert!(told.contains("notes.txt"), "{told}");
    assert_eq!(place.read("out/notes.txt"), "mine");
    let forced = contents(&place.path("out"));
    assert_ne!(forced, before);
    // The same as in a folder of its own.
    std::fs::remove_dir_all(place.path("out")).unwrap();
    assert_eq!(place.run(command, &["--quiet"]).0, 0);
    let fresh = contents(&place.path("out"));
    assert!(fresh.iter().all(|file| forced.contains(file)));
    assert_eq!(forced.len(), fresh.len() + 1);
}

/// A table of answers that was filled in stays, and so does whatever else was changed.
#[test]
fn what_was_filled_in_stays() {
    let place = Place::new();
    assert_eq!(place.run("exam", &["--quiet"]).0, 0);
    let filled = place.read("out/answers.csv") + "Ada,A,1,2,3\n";
    place.write("out/answers.csv", &filled);
    place.write("out/paper-A.md", "my own words");
    place.write("out/notes.txt", "mine");
    let (status, told) = place.run("exam", &[]);
    assert_eq!(status, 0, "{told}");
    for name in ["answers.csv", "paper-A.md", "notes.txt"] {
        assert!(told.contains(name), "{name} is not told of: {told}");
    }
    // Another seed has other papers; the old ones that were changed are no longer coaxle's.
    let (status, told) = place.run("exam", &["--seed", "5", "--force"]);
    assert_eq!(status, 0, "{told}");
    assert_eq!(place.read("out/answers.csv"), filled);
    assert_eq!(place.read("out/paper-A.md"), "my own words");
    assert!(told.contains("paper-A.new.md"), "{told}");
    assert_ne!(place.read("out/paper-A.new.md"), "my own words");
    assert_eq!(place.read("out/notes.txt"), "mine");
}

/// Quick answers go among other files, and over none of them.
#[test]
fn answers_go_over_nothing_of_other_people() {
    let place = Place::new();
    let (layout, out) = (sample("two-sets.toml"), place.word("out"));
    let layout = layout.to_str().unwrap();
    let show = ["show", layout, "--out", &out];
    let draw = ["show", layout, "--draw", &out];
    let explain = ["show", layout, "--explain", "--out", &out];
    let census = ["census", "--sets", "2", "--shafts", "4", "--out", &out];
    for (words, name) in [
        (&show[..], "show.json"),
        (&draw, "ladder.svg"),
        (&explain, "explain.html"),
        (&census, "census.json"),
    ] {
        let _ = std::fs::remove_dir_all(place.path("out"));
        place.write(&format!("out/{name}"), "mine");
        place.write("out/thesis.txt", "years of work");
        let before = contents(&place.path("out"));
        assert_refused(place.words(words), &[name, "stays as it is"]);
        assert_eq!(contents(&place.path("out")), before);
        std::fs::remove_file(place.path(&format!("out/{name}"))).unwrap();
        for _ in 0..2 {
            let (status, told) = place.words(words);
            assert_eq!(status, 0, "{told}");
        }
        assert!(place.path(&format!("out/{name}")).is_file());
        assert_eq!(place.read("out/thesis.txt"), "years of work");
    }
    // Another layout's answers are refused, not mixed in.
    let other = sample("paired.toml");
    let _ = std::fs::remove_dir_all(place.path("out"));
    assert_eq!(place.words(&draw).0, 0);
    let before = contents(&place.path("out"));
    let told = place.words(&["show", other.to_str().unwrap(), "--draw", &out]);
    assert_refused(told, &["another request", "two-sets.toml"]);
    assert_eq!(contents(&place.path("out")), before);
    // All kinds of answers for one layout stand side by side.
    for words in [&show[..], &explain, &draw] {
        assert_eq!(place.words(words).0, 0);
    }
    for name in ["show.json", "explain.html", "ladder.svg"] {
        assert!(place.path(&format!("out/{name}")).is_file());
    }
}

#[test]
fn marks_go_over_nothing_of_other_people() {
    let place = Place::new();
    assert_eq!(place.run("exam", &["--quiet"]).0, 0);
    let head = place.read("out/answers.csv");
    let answers = format!("{head}Ada,A{}\n", ",".repeat(head.matches(',').count() - 1));
    place.write("class.csv", &answers);
    let (exam, class, marks) = (place.word("out"), place.word("class.csv"), place.word("marks"));
    let mark = ["exam", "--mark", &exam, &class, "--quiet"];
    // A table of the user's under the name of ours, in the exam's folder or elsewhere.
    place.write("out/marks.csv", &answers);
    place.write("marks/class.html", "mine");
    let own = place.word("out/marks.csv");
    let elsewhere = [&mark[..], &["--out", &marks]].concat();
    for words in [&mark[..], &["exam", "--mark", &exam, &own], &elsewhere] {
        assert_refused(place.words(words), &["stays as it is"]);
        assert_eq!(place.read("out/marks.csv"), answers);
        assert_eq!(place.read("marks/class.html"), "mine");
        assert!(!place.path("out/class.html").exists());
        assert!(!place.path("marks/marks.csv").exists());
    }
    std::fs::remove_file(place.path("out/marks.csv")).unwrap();
    for _ in 0..2 {
        assert_eq!(place.words(&mark).0, 0);
    }
    // The papers may be made again without harm to the marks, and the marks after them.
    let before = contents(&place.path("out"));
    assert_eq!(place.run("exam", &["--quiet"]).0, 0);
    assert_eq!(contents(&place.path("out")), before);
    // Another class has a folder of its own.
    place.write("other.csv", &answers);
    let other = place.word("other.csv");
    assert_refused(place.words(&["exam", "--mark", &exam, &other]), &["other.csv", "then"]);
    assert_eq!(contents(&place.path("out")), before);
}

/// A whole result stays until another whole one is there.
#[test]
fn a_whole_result_is_not_replaced_by_less() {
    let place = Place::new();
    assert_eq!(place.run("search", &["--quiet"]).0, 0);
    let before = contents(&place.path("out"));
    let (_, told) = place.run("search", &["--limit-time", "0.000001", "--quiet"]);
    let now = contents(&place.path("out"));
    assert_eq!(without_ledger(now), before, "{told}");
    assert_refused(place.run("search", &["--units", "0..1"]), &["a whole search", "--force"]);
    assert_eq!(without_ledger(contents(&place.path("out"))), before);
}

fn without_ledger(contents: Vec<(PathBuf, Vec<u8>)>) -> Vec<(PathBuf, Vec<u8>)> {
    contents.into_iter().filter(|(name, _)| name != Path::new(".coaxle-ledger")).collect()
}

/// Links inside a folder lead to other people's things.
#[rstest]
fn links_are_not_followed(#[values("search", "reduce", "exam", "study")] command: &str) {
    let place = Place::new();
    place.write("elsewhere/summary.json", "theirs");
    place.write("elsewhere/.coaxle-ledger", "theirs");
    let before = contents(&place.path("elsewhere"));
    let inner = if command == "exam" { "figures" } else { "layouts" };
    for (name, to) in [
        (inner, "elsewhere"),
        ("summary.json", "elsewhere/summary.json"),
        (".coaxle-lock", "elsewhere/summary.json"),
        (".coaxle.json", "elsewhere/summary.json"),
    ] {
        let _ = std::fs::remove_dir_all(place.path("out"));
        std::fs::create_dir_all(place.path("out")).unwrap();
        std::os::unix::fs::symlink(place.path(to), place.path("out").join(name)).unwrap();
        assert_refused(place.run(command, &["--force"]), &[name]);
        assert_eq!(contents(&place.path("elsewhere")), before);
    }
    if ["search", "study"].contains(&command) {
        let _ = std::fs::remove_dir_all(place.path("out"));
        std::fs::create_dir_all(place.path("out")).unwrap();
        let ledger = place.path("elsewhere/.coaxle-ledger");
        std::os::unix::fs::symlink(ledger, place.path("out/.coaxle-ledger")).unwrap();
        assert_refused(place.run(command, &["--force"]), &[".coaxle-ledger"]);
        assert_eq!(contents(&place.path("elsewhere")), before);
    }
}
