//! The order of the house, kept by machine: who may use whom, how long a file and a
//! function may be, who may print, what stands at the top, what DEVELOPERS.md promises.
//!
//! Source is read as Rust tokens, so comments and texts never count.

mod source;

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use source::{root, sources};

/// A file is one noun; longer ones hold two.
const MOST_LINES: usize = 400;
/// Functions seldom pass forty lines; none does two jobs.
const MOST_FUNCTION_LINES: usize = 60;
/// Longer than that, but no work: the table of criteria, one arm a criterion.
const TABLES: [(&str, &str); 1] = [("src/score/criterion.rs", "about")];

/// The rooms in the order of the `mod` lines of src/lib.rs.
fn rooms() -> Vec<String> {
    let text = std::fs::read_to_string(root().join("src/lib.rs")).unwrap();
    let name = |line: &str| {
        let line = line.strip_prefix("pub ").unwrap_or(line);
        line.strip_prefix("mod ")?.strip_suffix(';').map(str::to_owned)
    };
    text.lines().filter_map(name).collect()
}

#[test]
fn rooms_use_only_rooms_listed_before_them() {
    let rooms = rooms();
    assert!(rooms.len() > 10, "{rooms:?}");
    let place = |room: &str| rooms.iter().position(|other| other == room);
    let mut seen = BTreeSet::new();
    for source in sources().iter().filter(|source| source.room().is_some()) {
        let room = source.room().unwrap();
        let own = place(room).unwrap_or_else(|| panic!("src/lib.rs has no room {room}"));
        for (line, used) in source.rooms_used() {
            // A name that is no room is one that src/lib.rs hands on: for users, not for us.
            let other = place(&used)
                .unwrap_or_else(|| panic!("{}:{line} uses crate::{used}", source.name()));
            assert!(other <= own, "{}:{line} uses {used}, listed after it", source.name());
            seen.insert((room.to_owned(), used));
        }
    }
    // The scan itself: these uses are known to be there.
    for (room, used) in [("motion", "train"), ("search", "teeth"), ("cli", "doors")] {
        assert!(seen.contains(&(room.to_owned(), used.to_owned())), "{room} uses {used}");
    }
}

#[test]
fn every_file_says_what_it_is_for() {
    for source in sources() {
        let first = source.text.lines().next().unwrap_or_default();
        assert!(first.starts_with("//! ") && first.len() > 12, "{} opens mute", source.name());
    }
}

#[test]
fn files_and_functions_are_short() {
    let (mut functions, mut long) = (0, Vec::new());
    for source in sources().iter().filter(|source| source.is_room_file()) {
        let lines = source.text.lines().count();
        if lines > MOST_LINES {
            long.push(format!("{} has {lines} lines", source.name()));
        }
        for (name, line, length) in source.functions() {
            functions += 1;
            let table = TABLES.contains(&(source.name().as_str(), name.as_str()));
            if length > MOST_FUNCTION_LINES && !table && !source.only_for_tests() {
                long.push(format!("{}:{line}: fn {name} has {length} lines", source.name()));
            }
        }
    }
    assert!(functions > 500, "the scan saw {functions} functions");
    assert!(long.is_empty(), "too long for one job:\n{}", long.join("\n"));
}

#[test]
fn only_the_command_line_prints() {
    const PRINTING: [&str; 5] = ["print", "println", "eprint", "eprintln", "dbg"];
    for source in sources().iter().filter(|source| source.is_room_file()) {
        let may_print = source.room() == Some("cli") || source.name() == "src/main.rs";
        for (line, name) in source.macros() {
            assert!(may_print || !PRINTING.contains(&name.as_str()), "{}:{line}", source.name());
        }
    }
}

/// Who may touch what of the machine: files are read by the layout and brief readers and
/// written by the keeper of folders and by ledgers alone, clocks are for limits and elapsed times, threads are for the
/// two engines. The command line may do all; the rooms of pure computation nothing.
#[test]
fn only_some_rooms_touch_the_machine() {
    for source in sources().iter().filter(|source| source.is_room_file()) {
        let room = source.room().unwrap_or("main");
        let standard = source.paths_of("std").into_iter();
        let threads = source.paths_of("rayon").into_iter().map(|(line, _)| (line, "thread".into()));
        for (line, part) in standard.chain(threads) {
            let allowed = match part.as_str() {
                "fs" => ["train", "folder", "report"].contains(&room),
                "time" => ["search", "doors"].contains(&room),
                "thread" => ["search", "reduction", "doors"].contains(&room),
                "net" | "process" | "env" => false,
                _ => true,
            };
            let free = ["cli", "main"].contains(&room) || source.only_for_tests();
            assert!(allowed || free, "{}:{line} touches {part}", source.name());
        }
    }
}

#[test]
fn the_top_level_is_what_it_should_be() {
    let known = [
        "Cargo.toml",
        "Cargo.lock",
        "README.md",
        "DEVELOPERS.md",
        "LICENSE",
        "src",
        "configs",
        "results",
        "tests",
        "benches",
        "target",
    ];
    for entry in std::fs::read_dir(root()).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        assert!(name.starts_with('.') || known.contains(&name.as_str()), "{name} at the top");
    }
}

/// What only tests use is known by its name.
#[test]
fn files_that_only_tests_use_are_called_so() {
    // To be renamed with its room.
    const STILL: &str = "src/strength/laws.rs";
    let mut seen = 0;
    for source in sources().iter().filter(|source| source.name() != STILL) {
        let called = source.name().ends_with("_tests.rs");
        assert_eq!(called, source.only_for_tests(), "{}", source.name());
        seen += usize::from(called);
    }
    assert!(seen > 5, "the scan saw {seen}");
}

/// A house of tests is one binary; a file that it does not name would never run, and one that stands
/// beside the houses would be a binary of its own.
#[test]
fn every_test_stands_in_a_house_that_names_it() {
    let tests = root().join("tests");
    let mut waiting: Vec<PathBuf> = below(&tests);
    for path in &waiting {
        assert!(path.extension().is_none_or(|e| e != "rs"), "{} has no house", path.display());
    }
    waiting.retain(|path| path.join("main.rs").is_file());
    assert!(waiting.len() >= 6, "{waiting:?}");
    let mut named = 0;
    while let Some(folder) = waiting.pop() {
        let house = folder.join("main.rs");
        let parent = if house.is_file() { house.clone() } else { folder.with_extension("rs") };
        let names = std::fs::read_to_string(&parent).unwrap();
        for path in below(&folder).into_iter().filter(|path| *path != house) {
            if path.is_dir() {
                waiting.push(path);
            } else if path.extension().is_some_and(|extension| extension == "rs") {
                let stem = path.file_stem().unwrap().to_str().unwrap();
                let line = format!("mod {stem};");
                let told = names.lines().any(|other| other == line);
                assert!(told, "{} is not named in {}", path.display(), parent.display());
                named += 1;
            }
        }
    }
    assert!(named > 50, "{named} files");
}

fn below(folder: &Path) -> Vec<PathBuf> {
    std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect()
}

/// Text files that are kept: all but builds and results that are not for reference.
fn kept_texts() -> Vec<(PathBuf, String)> {
    let mut waiting: Vec<PathBuf> = std::fs::read_dir(root())
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| !path.ends_with("target") && !path.ends_with("results"))
        .filter(|path| !path.ends_with(".git"))
        .collect();
    waiting.extend([root().join("results/README.md"), root().join("results/reference")]);
    let mut texts = Vec::new();
    while let Some(path) = waiting.pop() {
        if path.is_dir() {
            waiting.extend(std::fs::read_dir(path).unwrap().map(|entry| entry.unwrap().path()));
        } else if let Ok(text) = std::fs::read_to_string(&path) {
            texts.push((path, text));
        }
    }
    texts
}

#[test]
fn no_text_knows_the_machine_it_was_written_on() {
    let texts = kept_texts();
    assert!(texts.len() > 100);
    // In pieces, or this file would be the first to offend.
    let places = ["home", "root", "work", "tmp", "Users", "mnt"];
    for (path, text) in texts {
        for place in places {
            let absolute = format!("/{place}/");
            for (at, _) in text.match_indices(&absolute) {
                // A part of a longer relative path or of an address is none.
                let before = text[..at].chars().next_back().unwrap_or(' ');
                let longer = before.is_alphanumeric() || "/.-_$}\"".contains(before);
                assert!(longer, "{}: {absolute}", path.display());
            }
        }
    }
}

/// The map is complete, and everything on it exists.
#[test]
fn the_map_of_the_house_is_true() {
    let map = std::fs::read_to_string(root().join("DEVELOPERS.md")).unwrap();
    for room in rooms() {
        assert!(map.contains(&format!("`{room}`")), "DEVELOPERS.md has no room {room}");
    }
    for source in sources().iter().filter(|source| source.room() == Some("search")) {
        let file = source.path.file_name().unwrap().to_str().unwrap();
        let told = file == "search.rs" || map.contains(&format!("`{file}`"));
        assert!(told, "DEVELOPERS.md does not tell of {}", source.name());
    }
    for word in map.split(|c: char| c.is_whitespace() || "`(),;".contains(c)) {
        let word = word.trim_end_matches(['.', ':']);
        let local = ["src/", "tests/", "configs/", "results/", "benches/"];
        let plain = !word.contains(['*', '<', '…', '{']);
        if plain && local.iter().any(|folder| word.starts_with(folder)) {
            assert!(Path::new(&root()).join(word).exists(), "DEVELOPERS.md tells of {word}");
        }
    }
}
