//! What a fuzzer calls, one function a target, and what `tests/house/corpus.rs` calls with the files of
//! the corpus: bytes from outside go in, and must be read or refused, never more. Where they are
//! read, laws that a reader promises are held.

#![allow(dead_code)]

use std::cell::RefCell;
use std::path::Path;
use std::sync::OnceLock;

use coaxle::brief::{ExamBrief, ReductionBrief, StudyBrief, no_list};
use coaxle::exam::{Exam, class_report, mark};
use coaxle::folder::{Claim, Disk, Extent, Folder, Neighbours};
use coaxle::report::{Earlier, LEDGER, LedgerFile, StudyLedgerFile, read_answers, read_exam};
use coaxle::search::Ledger;
use coaxle::study::StudyLedger;
use coaxle::{Brief, Error, Mistake, parse_layout, write_layout};
use tempfile::TempDir;

/// A target by its name, as the folders of the corpus are called.
pub type Target = (&'static str, fn(&[u8]));

pub const TARGETS: [Target; 10] = [
    ("layout", layout),
    ("brief_search", brief_search),
    ("brief_reduction", brief_reduction),
    ("brief_exam", brief_exam),
    ("brief_study", brief_study),
    ("stock", stock),
    ("answers", answers),
    ("ledger", ledger),
    ("study_ledger", study_ledger),
    ("folder", folder),
];

/// A layout file. What was read is written, and reads as the same.
pub fn layout(data: &[u8]) {
    let Some(text) = text(data) else { return };
    let Some(layout) = read_or_refused(parse_layout(text)) else { return };
    let again = parse_layout(&write_layout(&layout));
    assert_eq!(again.as_ref(), Ok(&layout), "a layout reads as written");
}

/// A brief for `coaxle search`. Its canonical text is a brief that asks for the same.
pub fn brief_search(data: &[u8]) {
    let Some(text) = text(data) else { return };
    let Some(brief) = read_or_refused(Brief::parse(text, "fuzz")) else { return };
    assert!(!brief.sentence().is_empty());
    let again = Brief::parse(&brief.canonical_text(), "fuzz");
    assert_eq!(again.as_ref(), Ok(&brief), "{}", brief.canonical_text());
}

/// A brief for `coaxle reduce`, without a file of stock gears.
pub fn brief_reduction(data: &[u8]) {
    let Some(text) = text(data) else { return };
    let brief = ReductionBrief::parse(text, "fuzz", no_list);
    let Some(brief) = read_or_refused(brief) else { return };
    assert!(!brief.sentence().is_empty());
    let again = ReductionBrief::parse(&brief.canonical_text(), "fuzz", no_list);
    assert_eq!(again.as_ref(), Ok(&brief), "{}", brief.canonical_text());
}

/// A brief for `coaxle exam`.
pub fn brief_exam(data: &[u8]) {
    let Some(text) = text(data) else { return };
    let Some(brief) = read_or_refused(ExamBrief::parse(text, "fuzz")) else { return };
    assert!(!brief.sentence().is_empty());
    let again = ExamBrief::parse(&brief.canonical_text(), "fuzz");
    assert_eq!(again.as_ref(), Ok(&brief), "{}", brief.canonical_text());
}

/// A brief for `coaxle study`.
pub fn brief_study(data: &[u8]) {
    let Some(text) = text(data) else { return };
    let Some(brief) = read_or_refused(StudyBrief::parse(text, "fuzz")) else { return };
    assert!(!brief.sentence().is_empty());
    let again = StudyBrief::parse(&brief.canonical_text(), "fuzz");
    assert_eq!(again.as_ref(), Ok(&brief), "{}", brief.canonical_text());
}

/// A list of stock gears, as a brief names it.
pub fn stock(data: &[u8]) {
    const BRIEF: &str = include_str!("../../configs/stock-winch.toml");
    let Some(text) = text(data) else { return };
    let mut asked = false;
    let list = |_: &Path| {
        asked = true;
        Ok(text.to_owned())
    };
    read_or_refused(ReductionBrief::parse(BRIEF, "fuzz", list));
    assert!(asked, "the brief asks for its list");
}

/// A class's table of answers. What was read is marked.
pub fn answers(data: &[u8]) {
    static EXAM: OnceLock<Exam> = OnceLock::new();
    let exam = EXAM.get_or_init(|| {
        serde_json::from_str(include_str!("corpus/folder/exam.json")).expect("an exam")
    });
    in_folder("answers.csv", data, |folder| {
        let class = read_answers(&folder.join("answers.csv"), exam);
        let Some(class) = told(class) else { return };
        let scripts = class.scripts;
        let say = |_: &_| String::new();
        let marks: Vec<_> = scripts.iter().filter_map(|one| mark(exam, one, &say)).collect();
        assert_eq!(marks.len(), scripts.len(), "every script is marked");
        class_report(exam, &marks);
    });
}

/// The ledger of a search.
pub fn ledger(data: &[u8]) {
    thread_local!(static HEADING: Vec<u8> = heading(units_of));
    let bytes = HEADING.with(|heading| forged(data, heading));
    in_folder(LEDGER, &bytes, |folder| {
        let Some(mut ledger) = units_of(folder) else { return };
        assert!(ledger.finished() <= data.len());
        (0..UNITS).for_each(|unit| _ = told(ledger.recall(unit)));
    });
}

/// The ledger of a study.
pub fn study_ledger(data: &[u8]) {
    thread_local!(static HEADING: Vec<u8> = heading(searches_of));
    let bytes = HEADING.with(|heading| forged(data, heading));
    in_folder(LEDGER, &bytes, |folder| {
        let Some(mut ledger) = searches_of(folder) else { return };
        assert!(ledger.finished() <= data.len());
        (0..UNITS).for_each(|place| _ = told(ledger.recall(place)));
    });
}

/// What commands read back of a results folder.
pub fn folder(data: &[u8]) {
    in_folder("items.json", data, |folder| {
        if let Some(exam) = told(read_exam(folder)) {
            class_report(&exam, &[]);
        }
    });
    marked(data);
}

/// A folder whose marker says what it likes: a run gives up nothing of other people's for it.
fn marked(data: &[u8]) {
    let place = tempfile::tempdir().expect("a folder");
    let (out, theirs) = (place.path().join("out"), ["thesis.txt", "out/thesis.txt"]);
    std::fs::create_dir(&out).expect("a folder");
    std::fs::write(out.join(".coaxle.json"), data).expect("a file");
    theirs.iter().for_each(|name| std::fs::write(place.path().join(name), "mine").expect("a file"));
    let (command, holding, neighbours) = ("search", "results", Neighbours::Apart);
    let claim =
        Claim { command, holding, request: "", force: true, afresh: false, neighbours, names: &[] };
    let opened = Folder::open(&out, &Disk::default().unsynced(), claim);
    let files = vec![("front.csv".into(), b"new".to_vec())];
    match opened.and_then(|mut folder| folder.write(files, Extent::WHOLE)) {
        Err(Error::Request(mistake)) => _ = read_or_refused::<()>(Err(mistake)),
        // A marker can name what cannot be made; that fails with its cause.
        Err(other) => assert!(!other.to_string().is_empty()),
        Ok(_) => {}
    }
    for name in theirs {
        let now = std::fs::read(place.path().join(name)).expect("still there");
        assert_eq!(now, b"mine", "{name}");
    }
}

/// Units that are looked for in a ledger.
const UNITS: usize = 4;

fn disk() -> Disk {
    Disk::default().unsynced()
}

fn units_of(folder: &Path) -> Option<LedgerFile> {
    told(LedgerFile::open(folder, &disk(), LEDGER, "brief".into(), Earlier::GoOn))
}

fn searches_of(folder: &Path) -> Option<StudyLedgerFile> {
    told(StudyLedgerFile::open(folder, &disk(), "brief".into(), Earlier::GoOn))
}

/// What a ledger of this build begins with, as `begin` writes it.
fn heading<T>(begin: impl FnOnce(&Path) -> T) -> Vec<u8> {
    let folder = tempfile::tempdir().expect("a folder");
    // One without a unit goes when it is closed.
    let _open = begin(folder.path());
    std::fs::read(folder.path().join(LEDGER)).expect("a ledger")
}

/// Bytes of a ledger. Behind a `!` stand lines without heading and checksums: both are made
/// right, so that what the lines say is read.
fn forged(data: &[u8], heading: &[u8]) -> Vec<u8> {
    let Some(body) = data.strip_prefix(b"!") else { return data.to_vec() };
    let mut forged = heading.to_vec();
    for line in body.split(|&byte| byte == b'\n') {
        forged.extend(format!("{:08x} ", crc32fast::hash(line)).bytes());
        forged.extend(line);
        forged.push(b'\n');
    }
    forged
}

/// Does `work` in a folder that holds one file.
fn in_folder(name: &str, data: &[u8], work: impl FnOnce(&Path)) {
    thread_local! {
        static FOLDER: RefCell<Option<TempDir>> = const { RefCell::new(None) };
    }
    FOLDER.with_borrow_mut(|folder| {
        let folder = folder.get_or_insert_with(|| tempfile::tempdir().expect("a folder"));
        let file = folder.path().join(name);
        std::fs::write(&file, data).expect("a file");
        work(folder.path());
        let _ = std::fs::remove_file(file);
    });
}

fn text(data: &[u8]) -> Option<&str> {
    std::str::from_utf8(data).ok()
}

/// What was read; of a refusal, that it says what is wrong and how to mend it.
fn read_or_refused<T>(read: Result<T, Mistake>) -> Option<T> {
    read.map_err(|mistake| {
        assert!(!mistake.problem.is_empty() && !mistake.mend.is_empty(), "{mistake:?}");
    })
    .ok()
}

/// The same of what comes with a path. That the work failed is no answer to bytes.
fn told<T>(read: Result<T, Error>) -> Option<T> {
    match read {
        Ok(read) => Some(read),
        Err(Error::Request(mistake)) => read_or_refused(Err(mistake)),
        Err(other) => panic!("{other}"),
    }
}
