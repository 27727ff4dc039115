//! The keeper of folders against a plain model of who owns what: random sequences of runs, kills,
//! edits, additions and links. Whatever happens, nothing of anybody else's is lost or changed.

use std::collections::BTreeMap;
use std::io::Error as IoError;
use std::path::{Path, PathBuf};

use coaxle::Error;
use coaxle::folder::{Claim, Disk, Extent, Files, Folder, Neighbours};
use proptest::prelude::*;

/// Names that runs write, and some that only people do.
const NAMES: [&str; 12] = [
    "summary.json",
    "front.csv",
    "answers.csv",
    "layouts/F01.toml",
    "layouts/F02.toml",
    "parts/F01/wheel.dxf",
    "front.new.csv",
    "layouts/F01.new.toml",
    "notes.txt",
    "layouts/mine.toml",
    "parts/notes.txt",
    ".coaxle-notes",
];

/// What a run writes: it depends on the request and on the build, some of it on neither.
fn files(request: u8, build: u8) -> Files {
    let mut files: Files = vec![("answers.csv".into(), b"student,paper\n".to_vec())];
    let mut add = |name: &str| {
        files.push((name.into(), format!("{name} of {request}, {build}\n").into_bytes()));
    };
    add("front.csv");
    add("layouts/F01.toml");
    if request != 1 {
        add("layouts/F02.toml");
    }
    if request == 2 {
        add("parts/F01/wheel.dxf");
    }
    add("summary.json");
    files
}

#[derive(Clone, Debug)]
enum Act {
    Run {
        command: bool,
        request: u8,
        build: u8,
        force: bool,
        whole: bool,
        kill: Option<u64>,
    },
    /// A quick answer among other files.
    Answer {
        request: u8,
        kill: Option<u64>,
    },
    Write {
        name: usize,
    },
    Delete {
        name: usize,
    },
    LinkFile {
        name: usize,
    },
    LinkFolder {
        parts: bool,
    },
    RemoveFolder,
}

fn acts() -> impl Strategy<Value = Vec<Act>> {
    let kill = || prop_oneof![3 => Just(None), 2 => (1u64..70).prop_map(Some)];
    let run = (prop::bool::weighted(0.1), 0..3u8, 0..2u8, any::<bool>(), any::<bool>(), kill());
    let name = || 0..NAMES.len();
    let act = prop_oneof![
        8 => run.prop_map(|(command, request, build, force, whole, kill)| {
            Act::Run { command, request, build, force, whole, kill }
        }),
        1 => (0..2u8, kill()).prop_map(|(request, kill)| Act::Answer { request, kill }),
        5 => name().prop_map(|name| Act::Write { name }),
        2 => name().prop_map(|name| Act::Delete { name }),
        1 => name().prop_map(|name| Act::LinkFile { name }),
        1 => any::<bool>().prop_map(|parts| Act::LinkFolder { parts }),
        1 => Just(Act::RemoveFolder),
    ];
    prop::collection::vec(act, 1..14)
}

/// From this step on nothing reaches the disk any more, as if the program were gone.
fn dying(kill: Option<u64>) -> Disk {
    let disk = kill.map_or_else(Disk::default, |last| {
        Disk::watched(move |step| match step < last {
            true => Ok(()),
            false => Err(IoError::other("killed")),
        })
    });
    disk.unsynced()
}

/// Every file below a folder; links are told by what they name.
fn tree(folder: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let mut all = BTreeMap::new();
    let mut waiting = vec![folder.to_path_buf()];
    while let Some(place) = waiting.pop() {
        for entry in std::fs::read_dir(&place).into_iter().flatten().flatten() {
            let path = entry.path();
            let name = path.strip_prefix(folder).unwrap().to_path_buf();
            let kind = entry.file_type().unwrap();
            if kind.is_symlink() {
                let target = std::fs::read_link(&path).unwrap();
                all.insert(name, format!("link to {}", target.display()).into_bytes());
            } else if kind.is_dir() {
                waiting.push(path);
            } else {
                all.insert(name, std::fs::read(&path).unwrap());
            }
        }
    }
    all
}

/// The plain model: what people wrote, by name, in the folder and outside of it.
struct Model {
    folder: PathBuf,
    outside: PathBuf,
    theirs: BTreeMap<PathBuf, Vec<u8>>,
    beyond: BTreeMap<PathBuf, Vec<u8>>,
    written: usize,
}

impl Model {
    fn new(place: &Path) -> Self {
        let (folder, outside) = (place.join("out"), place.join("outside"));
        std::fs::create_dir_all(outside.join("layouts")).unwrap();
        for name in ["thesis.txt", "summary.json", "layouts/F01.toml", "wheel.dxf"] {
            std::fs::write(outside.join(name), format!("{name} of somebody")).unwrap();
        }
        let beyond = tree(&outside);
        Self { folder, outside, theirs: BTreeMap::new(), beyond, written: 0 }
    }

    fn act(&mut self, act: &Act) {
        match *act {
            Act::Run { command, request, build, force, whole, kill } => {
                self.run(command, request, build, force, whole, kill);
            }
            Act::Answer { request, kill } => self.answer(request, kill),
            Act::Write { name } => self.write(NAMES[name]),
            Act::Delete { name } => self.delete(NAMES[name]),
            Act::LinkFile { name } => self.link(NAMES[name], "thesis.txt"),
            Act::LinkFolder { parts: false } => self.link("layouts", "layouts"),
            Act::LinkFolder { parts: true } => self.link("parts/F01", "."),
            Act::RemoveFolder => {
                let _ = std::fs::remove_dir_all(&self.folder);
                self.theirs.clear();
            }
        }
        self.check(act);
    }

    fn run(
        &self,
        command: bool,
        request: u8,
        build: u8,
        force: bool,
        whole: bool,
        kill: Option<u64>,
    ) {
        let words = format!("request = {request}\n");
        let claim = Claim {
            command: if command { "study" } else { "search" },
            holding: "results",
            request: &words,
            force,
            afresh: false,
            neighbours: Neighbours::Apart,
            names: &["summary.json", "front.csv", "layouts/"],
        };
        let before = tree(&self.folder);
        let extent = if whole { Extent::WHOLE } else { Extent::part(0, 5) };
        let opened = Folder::open(&self.folder, &dying(kill), claim);
        let ended = opened.and_then(|mut folder| folder.write(files(request, build), extent));
        let pending = before.keys().any(|name| name.starts_with(".coaxle-new-0000000000000001"));
        match ended {
            Ok(Some(paths)) if kill.is_none() => {
                for (path, (_, bytes)) in paths.iter().zip(files(request, build)) {
                    let name = path.strip_prefix(&self.folder).unwrap();
                    let now = std::fs::read(path).unwrap();
                    assert!(now == bytes || self.theirs.contains_key(name), "{}", path.display());
                }
            }
            // A refusal changes nothing, but for what a killed run left.
            Err(Error::Request(_)) if kill.is_none() && !pending => {
                let after = tree(&self.folder);
                assert_eq!(plain(&before), plain(&after), "a refusal changed something");
            }
            Err(Error::Request(_)) | Ok(_) => {}
            Err(error) if kill.is_none() => {
                assert!(error.to_string().contains("a link or a file"), "{error}");
            }
            Err(_) => {}
        }
    }

    fn answer(&self, request: u8, kill: Option<u64>) {
        let words = format!("layout {request}");
        let (command, holding, neighbours) = ("show", "answer", Neighbours::Among);
        let (request, names) = (&words, &[]);
        let claim =
            Claim { command, holding, request, force: false, afresh: false, neighbours, names };
        let opened = Folder::open(&self.folder, &dying(kill), claim);
        let files = vec![("front.csv".into(), b"answer".to_vec())];
        let _ = opened.and_then(|mut folder| folder.write(files, Extent::WHOLE));
    }

    /// Somebody writes a file, over one of ours or a new one, but not through a link.
    fn write(&mut self, name: &str) {
        let path = self.folder.join(name);
        let parent = path.parent().unwrap();
        let inside = parent.ancestors().take_while(|above| *above != self.folder);
        if inside.into_iter().any(Path::is_symlink) || path.is_symlink() {
            return;
        }
        std::fs::create_dir_all(parent).unwrap();
        self.written += 1;
        let bytes = format!("written by somebody, {}", self.written).into_bytes();
        std::fs::write(&path, &bytes).unwrap();
        self.theirs.insert(name.into(), bytes);
    }

    fn delete(&mut self, name: &str) {
        let path = self.folder.join(name);
        let inside = path.ancestors().skip(1).take_while(|above| *above != self.folder);
        if !inside.into_iter().any(Path::is_symlink) && std::fs::remove_file(&path).is_ok() {
            self.theirs.remove(Path::new(name));
        }
    }

    fn link(&mut self, name: &str, to: &str) {
        let path = self.folder.join(name);
        let inside = path.ancestors().skip(1).take_while(|above| *above != self.folder);
        if path.symlink_metadata().is_ok() || inside.into_iter().any(Path::is_symlink) {
            return;
        }
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        let target = self.outside.join(to);
        std::os::unix::fs::symlink(&target, &path).unwrap();
        self.theirs.insert(name.into(), format!("link to {}", target.display()).into_bytes());
    }

    fn check(&self, act: &Act) {
        assert_eq!(tree(&self.outside), self.beyond, "a link was followed by {act:?}");
        let now = tree(&self.folder);
        for (name, bytes) in &self.theirs {
            assert_eq!(now.get(name), Some(bytes), "{} after {act:?}", name.display());
        }
    }
}

/// Without lock, marker and files on their way.
fn plain(tree: &BTreeMap<PathBuf, Vec<u8>>) -> BTreeMap<&PathBuf, &Vec<u8>> {
    tree.iter().filter(|(name, _)| !name.to_string_lossy().starts_with(".coaxle")).collect()
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: std::env::var("PROPTEST_CASES").ok().and_then(|n| n.parse().ok()).unwrap_or(1500),
        ..ProptestConfig::default()
    })]

    #[test]
    fn nothing_of_anybody_else_is_lost_or_changed(acts in acts()) {
        let place = tempfile::tempdir().unwrap();
        let mut model = Model::new(place.path());
        for act in &acts {
            model.act(act);
        }
        // In the end a run that is not killed finds a way, or says which is in the way.
        model.run(false, 0, 0, true, true, None);
        model.check(&Act::RemoveFolder);
    }
}

fn search(folder: &Path, disk: &Disk, request: u8, force: bool) -> Result<Vec<PathBuf>, Error> {
    let words = format!("request = {request}\n");
    let (command, holding, neighbours) = ("search", "results", Neighbours::Apart);
    let claim =
        Claim { command, holding, request: &words, force, afresh: false, neighbours, names: &[] };
    let mut folder = Folder::open(folder, disk, claim)?;
    Ok(folder.write(files(request, 0), Extent::WHOLE)?.unwrap_or_default())
}

/// Killed before each of its steps, in an empty folder and in place of other results: the next
/// run is not refused and ends in the same bytes. Until then there are the old results, or new
/// ones, or no summary.
#[test]
fn a_run_killed_at_any_step_is_gone_on_with() {
    let quiet = dying(None);
    for first in [None, Some(2)] {
        let place = tempfile::tempdir().unwrap();
        let whole = place.path().join("whole");
        if let Some(first) = first {
            search(&whole, &quiet, first, false).unwrap();
        }
        let old = tree(&whole);
        search(&whole, &quiet, 0, true).unwrap();
        let new = tree(&whole);
        assert_ne!(old, new);
        let mut kills = 0;
        for step in 1.. {
            let killed = place.path().join(format!("killed-{step}"));
            if let Some(first) = first {
                search(&killed, &quiet, first, false).unwrap();
            }
            if search(&killed, &dying(Some(step)), 0, true).is_ok() {
                // Past its last step but for sweeping.
                assert!(step > 20, "{step} steps");
                break;
            }
            kills += 1;
            let between = tree(&killed);
            if let Some(summary) = between.get(Path::new("summary.json")) {
                let is_new = summary == &new[Path::new("summary.json")];
                let one = if is_new { &new } else { &old };
                assert_eq!(plain(&between), plain(one), "step {step}: mixed results");
            }
            search(&killed, &quiet, 0, true).unwrap();
            assert_eq!(tree(&killed), new, "killed before step {step}");
        }
        assert!(kills > 20, "{kills}");
    }
}

/// A full disk, unlike a kill, is met by a program that goes on: the old results stand.
#[test]
fn what_cannot_be_written_leaves_the_old_results() {
    let place = tempfile::tempdir().unwrap();
    let folder = place.path().join("out");
    search(&folder, &dying(None), 2, false).unwrap();
    let old = tree(&folder);
    search(&folder, &dying(None), 0, true).unwrap();
    let new = tree(&folder);
    search(&folder, &dying(None), 2, true).unwrap();
    for step in 1..400 {
        let full = Disk::watched(move |now| match now == step {
            true => Err(IoError::new(std::io::ErrorKind::StorageFull, "no space left")),
            false => Ok(()),
        });
        match search(&folder, &full.unsynced(), 0, true) {
            Err(error) => {
                assert!(error.to_string().contains("no space left"), "{error}");
                let now = tree(&folder);
                if let Some(summary) = now.get(Path::new("summary.json")) {
                    let is_old = summary == &old[Path::new("summary.json")];
                    let one = if is_old { &old } else { &new };
                    assert_eq!(plain(&now), plain(one), "step {step}");
                }
                // A later run finds its way from there.
                search(&folder, &dying(None), 2, true).unwrap();
                assert_eq!(tree(&folder), old, "step {step}");
            }
            Ok(_) => {
                search(&folder, &dying(None), 2, true).unwrap();
            }
        }
    }
}

#[test]
fn two_runs_do_not_share_a_folder() {
    let place = tempfile::tempdir().unwrap();
    let (command, holding, neighbours) = ("search", "results", Neighbours::Apart);
    let claim =
        Claim { command, holding, request: "", force: true, afresh: false, neighbours, names: &[] };
    let first = Folder::open(place.path(), &Disk::default(), claim).unwrap();
    let second = Folder::open(place.path(), &Disk::default(), claim).err().unwrap();
    assert!(second.to_string().contains("another run is at work"), "{second}");
    drop(first);
    assert_eq!(tree(place.path()).len(), 0, "what came to nothing leaves nothing");
    assert!(Folder::open(place.path(), &Disk::default(), claim).is_ok());
}

/// Only what stands in the list of a marker that reads is ours.
#[test]
fn a_forged_or_broken_marker_gives_nothing_away() {
    let place = tempfile::tempdir().unwrap();
    let folder = place.path().join("out");
    search(&folder, &dying(None), 0, false).unwrap();
    let marker = folder.join(".coaxle.json");
    let text = std::fs::read_to_string(&marker).unwrap();
    std::fs::write(place.path().join("thesis.txt"), "thesis").unwrap();
    for (from, to) in [
        ("front.csv", "../thesis.txt"),
        ("front.csv", "layouts/../../thesis.txt"),
        ("\"format\": 1", "\"format\": 2"),
        ("\"holdings\"", "\"more\": 1, \"holdings\""),
        ("{", "["),
    ] {
        std::fs::write(&marker, text.replacen(from, to, 1)).unwrap();
        let before = tree(place.path());
        let error = search(&folder, &dying(None), 0, true).unwrap_err();
        assert!(matches!(&error, Error::Request(mistake) if mistake.key == ".coaxle.json"));
        assert_eq!(tree(place.path()), before);
    }
}

/// A file that its owner made private stays private.
#[test]
fn modes_are_kept() {
    use std::os::unix::fs::PermissionsExt as _;
    let place = tempfile::tempdir().unwrap();
    search(place.path(), &dying(None), 0, false).unwrap();
    let path = place.path().join("front.csv");
    std::fs::set_permissions(&path, std::fs::Permissions::from_mode(0o600)).unwrap();
    search(place.path(), &dying(None), 1, true).unwrap();
    assert_eq!(path.metadata().unwrap().permissions().mode() & 0o777, 0o600);
    assert!(std::fs::read_to_string(path).unwrap().contains("of 1"));
}

/// A folder that is removed while the work goes on is made again.
#[test]
fn a_folder_removed_meanwhile_is_made_again() {
    let place = tempfile::tempdir().unwrap();
    let path = place.path().join("out");
    let (command, holding, neighbours) = ("search", "results", Neighbours::Apart);
    let claim = Claim {
        command,
        holding,
        request: "",
        force: false,
        afresh: false,
        neighbours,
        names: &[],
    };
    let mut folder = Folder::open(&path, &Disk::default(), claim).unwrap();
    std::fs::remove_dir_all(&path).unwrap();
    folder.write(files(0, 0), Extent::WHOLE).unwrap();
    drop(folder);
    assert_eq!(plain(&tree(&path)).len(), files(0, 0).len());
}
