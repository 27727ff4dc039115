//! Every layout that is kept beside the program has a true drawing if it nests, and none
//! if it does not.

use std::path::{Path, PathBuf};

use coaxle::build::{drawing, nests};
use coaxle::read_layout;

fn layouts() -> Vec<PathBuf> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let files = |folder: PathBuf| {
        let entries = std::fs::read_dir(&folder).unwrap();
        entries.map(|entry| entry.unwrap().path()).collect::<Vec<PathBuf>>()
    };
    let runs = files(root.join("results/reference"));
    let folders = runs.into_iter().map(|run| run.join("layouts")).filter(|folder| folder.is_dir());
    let folders = folders.chain([root.join("tests/layouts")]);
    let all = folders.flat_map(files);
    all.filter(|path| path.extension().is_some_and(|ending| ending == "toml")).collect()
}

#[test]
fn kept_layouts_are_drawn_if_they_nest() {
    let (mut nesting, mut read) = (0, 0);
    for path in layouts() {
        // Some are kept because they are wrong.
        let Ok(layout) = read_layout(&path) else { continue };
        read += 1;
        let drawing = drawing(&layout);
        assert_eq!(drawing.is_some(), nests(&layout), "{}", path.display());
        if let Some(drawing) = drawing {
            nesting += 1;
            assert_eq!(drawing.check(&layout), Ok(()), "{}", path.display());
        }
    }
    println!("{nesting} of {read} kept layouts nest, all of them drawn");
    assert!(nesting >= 20 && read > nesting, "{nesting} of {read}");
}
