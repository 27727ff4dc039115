//! Golden pictures, and whether the texts of a picture can be read.

#![allow(dead_code)] // Each house uses its own part.

use std::path::{Path, PathBuf};

use coaxle::draw::Picture;
use resvg::tiny_skia::Pixmap;
use resvg::usvg::{Group, Node, Options, Tree, fontdb};

fn golden(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden").join(name)
}

/// Compares with the golden file by `same`, or writes it when `COAXLE_BLESS` is set. What
/// differs is kept under target/golden.
pub fn check(name: &str, bytes: &[u8], same: impl Fn(&[u8], &[u8]) -> bool) {
    if std::env::var_os("COAXLE_BLESS").is_some() {
        std::fs::create_dir_all(golden("")).unwrap();
        std::fs::write(golden(name), bytes).unwrap();
        return;
    }
    let expected = std::fs::read(golden(name)).unwrap_or_default();
    if !same(&expected, bytes) {
        let kept = Path::new(env!("CARGO_MANIFEST_DIR")).join("target/golden");
        std::fs::create_dir_all(&kept).unwrap();
        std::fs::write(kept.join(name), bytes).unwrap();
        panic!("{name} differs from tests/golden; see {}", kept.join(name).display());
    }
}

pub fn check_svg(name: &str, picture: &Picture) {
    check(name, picture.svg().as_bytes(), |a, b| a == b);
}

/// The same but for a grey level or two on a few points: rounding of floats may differ
/// between machines.
pub fn alike(a: &[u8], b: &[u8]) -> bool {
    let (Ok(a), Ok(b)) = (Pixmap::decode_png(a), Pixmap::decode_png(b)) else { return false };
    let far = a.data().iter().zip(b.data()).filter(|(a, b)| a.abs_diff(**b) > 8).count();
    (a.width(), a.height()) == (b.width(), b.height()) && far * 2000 < a.data().len()
}

/// Boxes of all texts in pixels, as the embedded font sets them.
pub fn text_boxes(picture: &Picture) -> Vec<(String, [f32; 4])> {
    let mut fonts = fontdb::Database::new();
    for font in [dejavu::sans::regular(), dejavu::sans::bold()] {
        fonts.load_font_data(font.to_vec());
    }
    fonts.set_sans_serif_family("DejaVu Sans");
    let options = Options { fontdb: fonts.into(), ..Options::default() };
    let tree = Tree::from_str(&picture.svg(), &options).unwrap();
    let mut found = Vec::new();
    collect(tree.root(), &mut found);
    found
}

fn collect(group: &Group, found: &mut Vec<(String, [f32; 4])>) {
    for node in group.children() {
        match node {
            Node::Group(group) => collect(group, found),
            Node::Text(text) => {
                // Stroke boxes hug the letters; layout boxes have air above and below.
                let block = text.flattened().bounding_box().transform(text.abs_transform());
                let block = block.unwrap();
                let words = text.chunks().iter().map(|chunk| chunk.text()).collect();
                found.push((words, [block.left(), block.top(), block.right(), block.bottom()]));
            }
            _ => {}
        }
    }
}

pub fn assert_readable(picture: &Picture) {
    let boxes = text_boxes(picture);
    assert!(boxes.len() > 4);
    let (width, height) = (picture.size.width as f32, picture.size.height as f32);
    for (index, (words, a)) in boxes.iter().enumerate() {
        let inside = a[0] >= 0.0 && a[1] >= 0.0 && a[2] <= width && a[3] <= height;
        assert!(inside, "{words} leaves the picture: {a:?}");
        for (other, b) in &boxes[..index] {
            let over = a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3];
            assert!(!over, "{words} {a:?} lies over {other} {b:?}");
        }
    }
}
