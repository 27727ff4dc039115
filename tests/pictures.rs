//! Pictures: the same as the golden ones, no text over another, any number of layouts.
//!
//! After a wanted change: `COAXLE_BLESS=1 cargo test --release --test pictures`, then look
//! at tests/golden before committing it.

#[path = "report/made.rs"]
mod made;

use std::path::{Path, PathBuf};

use coaxle::draw::{Axis, Dot, Ladder, Picture, Rung, Scatter, Size, Standing, Third, png};
use coaxle::report::Pictures;
use coaxle::score::Better;
use resvg::tiny_skia::Pixmap;
use resvg::usvg::{Group, Node, Options, Tree, fontdb};

fn golden(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden").join(name)
}

/// Compares with the golden file by `same`, or writes it when `COAXLE_BLESS` is set. What
/// differs is kept under target/golden.
fn check(name: &str, bytes: &[u8], same: impl Fn(&[u8], &[u8]) -> bool) {
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

fn check_svg(name: &str, picture: &Picture) {
    check(name, picture.svg().as_bytes(), |a, b| a == b);
}

/// The same but for a grey level or two on a few points: rounding of floats may differ
/// between machines.
fn alike(a: &[u8], b: &[u8]) -> bool {
    let (Ok(a), Ok(b)) = (Pixmap::decode_png(a), Pixmap::decode_png(b)) else { return false };
    let far = a.data().iter().zip(b.data()).filter(|(a, b)| a.abs_diff(**b) > 8).count();
    (a.width(), a.height()) == (b.width(), b.height()) && far * 2000 < a.data().len()
}

/// Boxes of all texts in pixels, as the embedded font sets them.
fn text_boxes(picture: &Picture) -> Vec<(String, [f32; 4])> {
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

fn assert_readable(picture: &Picture) {
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

const WIDE: Size = Size { width: 1120, height: 700 };

fn scatter(dots: Vec<Dot>) -> Scatter {
    let axis = |title: &str, better| Axis { title: title.to_owned(), better };
    Scatter {
        title: "Made dots".to_owned(),
        x: axis("spread (more is better)", Better::Higher),
        y: axis("step deviation, % (less is better)", Better::Lower),
        third: Some(Third { title: "elements".to_owned(), better: Better::Lower }),
        dots,
        empty: "Nothing here.".to_owned(),
    }
}

fn dot(name: &str, at: (f64, f64), third: Option<f64>, standing: Standing) -> Dot {
    Dot { name: name.to_owned(), at, third, standing }
}

/// Dots on a fixed pattern that looks random; the best corner is the lower right.
fn cloud(front: u32, beaten: u32) -> Vec<Dot> {
    let part = |k: u32, factor: u32| f64::from(k.wrapping_mul(factor) % 9973) / 9973.0;
    let best = (0..front).map(|k| {
        let t = f64::from(k) / f64::from(front.max(2) - 1);
        let at = (3.0 + 4.0 * t, 2.0 + 9.0 * t * t);
        dot(&format!("sample-{k:03}"), at, Some(f64::from(7 + k % 3)), Standing::Front)
    });
    let rest = (0..beaten).map(|k| {
        let t = part(k, 7919);
        let at = (2.0 + 4.5 * t, 4.0 + 9.0 * t * t + 12.0 * part(k, 104_729));
        let third = (k % 11 > 0).then(|| f64::from(7 + k % 5));
        dot("", at, third, Standing::Beaten)
    });
    best.chain(rest).collect()
}

#[test]
fn the_record_is_drawn_as_before() {
    let record = made::record(made::candidates(4));
    let Pictures { pareto: [wide, narrow], ladder: [rungs, narrow_rungs] } =
        Pictures::of(&record).unwrap();
    check_svg("pareto.svg", &wide);
    check_svg("pareto-narrow.svg", &narrow);
    check_svg("ladder.svg", &rungs);
    check("pareto.png", &png(&wide, 0.5).unwrap(), alike);
    [wide, narrow, rungs, narrow_rungs].iter().for_each(assert_readable);
}

#[test]
fn no_dot_and_one_dot_are_drawn_as_before() {
    let none = scatter(Vec::new()).draw(WIDE).unwrap();
    check_svg("pareto-none.svg", &none);
    assert!(none.svg().contains("Nothing here."));
    let one = scatter(vec![dot("only", (4.0, 3.0), Some(7.0), Standing::Front)]);
    let one = one.draw(WIDE).unwrap();
    check_svg("pareto-one.svg", &one);
    assert_readable(&one);
}

#[test]
fn a_crowded_front_stays_readable() {
    for (width, height) in [(1120, 700), (440, 560)] {
        let crowd = scatter(cloud(60, 400)).draw(Size { width, height }).unwrap();
        assert_readable(&crowd);
        let names = text_boxes(&crowd).iter().filter(|(t, _)| t.starts_with("sample-")).count();
        assert!(names >= 10, "{names}");
        assert!(crowd.svg().contains(&format!("{names} of 60 names")));
    }
    check_svg("pareto-crowd.svg", &scatter(cloud(60, 400)).draw(WIDE).unwrap());
}

#[test]
fn twenty_thousand_dots_are_thinned_the_same_way_every_time() {
    let many = scatter(cloud(12, 20_000));
    let svg = many.draw(WIDE).unwrap().svg();
    assert_eq!(svg, many.draw(WIDE).unwrap().svg());
    assert!(svg.contains("20,000 beaten layouts, drawn as"));
    assert!(svg.len() < 400_000, "{} bytes", svg.len());
    assert!(svg.lines().count() < 2_000);
}

#[test]
fn dots_without_a_place_are_counted() {
    let mut dots = cloud(5, 5);
    dots.push(dot("", (f64::NAN, 1.0), None, Standing::Beaten));
    let svg = scatter(dots).draw(WIDE).unwrap().svg();
    assert!(svg.contains("1 without a value on an axis left out"));
}

#[test]
fn coordinates_are_finer_than_pixels() {
    let near = |shift: f64| {
        let dots = cloud(4, 0).into_iter().map(|one| Dot { at: (one.at.0, one.at.1), ..one });
        let mut dots: Vec<Dot> = dots.collect();
        // A quarter of a pixel on a frame of about 1000 pixels and 4.6 units.
        dots[1].at.0 += shift * 4.6 / 1000.0;
        scatter(dots).draw(WIDE).unwrap().svg()
    };
    assert_ne!(near(0.0), near(0.5));
}

#[test]
fn ladders_of_any_size_are_drawn() {
    let rung = |k: usize| Rung {
        name: format!("sample-{k:03}"),
        gears: vec![("1".into(), 4.0 + k as f64 / 50.0), ("2".into(), 1.0), ("R".into(), -3.9)],
    };
    for count in [0, 1, 60] {
        let ladder = Ladder { title: "Ratios".to_owned(), rungs: (0..count).map(rung).collect() };
        let picture = ladder.draw(440).unwrap();
        assert_eq!(picture.svg().contains("the first 24 of 60"), count == 60);
        if count > 0 {
            assert_readable(&picture);
        }
    }
}
