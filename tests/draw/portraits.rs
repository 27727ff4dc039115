//! Pictures of a layout: the same as the golden ones, and no text over another for any layout.
//!
//! After a wanted change: `COAXLE_BLESS=1 cargo test --release --test draw portraits::`, then look
//! at tests/golden before committing it.

use std::path::{Path, PathBuf};

use crate::program::{coaxle, failure, sample, samples, text};
use crate::sight::{assert_readable, check_svg};
use coaxle::doors::{Basis, Portrait, USUAL_SPEEDS, portrait};
use coaxle::read_layout;

fn portraits(path: &Path) -> Vec<Portrait> {
    portrait(&read_layout(path).unwrap(), &Basis::default(), USUAL_SPEEDS).unwrap()
}

/// The layouts of the reference runs that their reports show: those beside them differ in few teeth.
fn references() -> Vec<PathBuf> {
    let runs = Path::new(env!("CARGO_MANIFEST_DIR")).join("results/reference");
    let folders = std::fs::read_dir(runs).unwrap().map(|run| run.unwrap().path().join("layouts"));
    let files = folders.filter(|folder| folder.is_dir()).flat_map(|folder| {
        std::fs::read_dir(folder).unwrap().map(|file| file.unwrap().path()).collect::<Vec<_>>()
    });
    let mut files: Vec<PathBuf> = files.collect();
    files.retain(|file| {
        let name = file.file_stem().unwrap().to_str().unwrap();
        name.strip_prefix('F').is_none_or(|number| number.parse::<u32>().unwrap() <= 20)
    });
    files.sort();
    assert!(files.len() > 40);
    files
}

#[test]
fn two_sets_are_drawn_as_before() {
    let all = portraits(&sample("two-sets.toml"));
    let named = |name: &str| &all.iter().find(|one| one.name == name).unwrap().picture;
    let names = ["ladder", "saw-tooth", "speeds", "planet-speeds", "levers-1", "levers-R"];
    for name in names.into_iter().chain(["stick", "stick-1", "power-1", "power-R", "face-1"]) {
        check_svg(&format!("layout-{name}.svg"), named(name));
    }
}

#[test]
fn texts_of_every_layout_keep_apart_and_inside() {
    for path in samples().into_iter().chain(references()) {
        for Portrait { name, picture } in portraits(&path) {
            let told = std::panic::catch_unwind(|| assert_readable(&picture));
            assert!(told.is_ok(), "{name} of {}", path.display());
        }
    }
}

#[test]
fn only_what_nests_has_a_stick_drawing() {
    let mut drawn = 0;
    for path in samples().into_iter().chain(references()) {
        let layout = read_layout(&path).unwrap();
        let all = portraits(&path);
        let sticks = all.iter().filter(|one| one.name.starts_with("stick")).count();
        let live = all.iter().filter(|one| one.name.starts_with("levers")).count();
        let expected = if coaxle::build::nests(&layout) { live + 1 } else { 0 };
        assert_eq!(sticks, expected, "{}", path.display());
        drawn += usize::from(sticks > 0);
    }
    assert!(drawn > 20, "{drawn}");
}

#[test]
fn the_program_writes_them_where_it_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let pictures = folder.path().join("pictures");
    let mut arguments = vec!["show".into(), sample("two-sets.toml"), "--quiet".into()];
    arguments.extend(["--draw".into(), pictures.clone(), "--png".into()]);
    arguments.extend(["--input-speeds".into(), "900..2400".into()]);
    assert_eq!(coaxle(&arguments).status.code(), Some(0));
    let count = |ending: &str| {
        let files = std::fs::read_dir(&pictures).unwrap().map(|file| file.unwrap().path());
        files.filter(|file| file.extension().is_some_and(|e| e == ending)).count()
    };
    let all = portraits(&sample("two-sets.toml"));
    assert_eq!((count("svg"), count("png")), (all.len(), all.len()));
    let svg = std::fs::read(pictures.join("levers-1.svg")).unwrap();
    let drawn = all.iter().find(|one| one.name == "levers-1").unwrap();
    assert_eq!(text(&svg), drawn.picture.svg());
    let teeth = std::fs::read(pictures.join("saw-tooth.svg")).unwrap();
    assert!(text(&teeth).contains("input speed, rpm; used from 900"));
    for wrong in ["2400..900", "9", "0..10", "a..b"] {
        let folder = pictures.clone();
        let arguments = ["show".into(), sample("two-sets.toml"), "--draw".into(), folder];
        let more = ["--input-speeds".into(), wrong.into()];
        assert!(failure(&[&arguments[..], &more].concat(), 2).contains("1000..2800"));
    }
    // A file stands where the folder should be.
    let file = folder.path().join("file");
    std::fs::write(&file, "").unwrap();
    let arguments = ["show".into(), sample("two-sets.toml"), "--draw".into(), file];
    assert!(failure(&arguments, 2).contains("mend: "));
}
