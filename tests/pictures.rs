//! Pictures: the same as the golden ones, no text over another, any number of layouts.
//!
//! After a wanted change: `COAXLE_BLESS=1 cargo test --release --test pictures`, then look
//! at tests/golden before committing it.

#[path = "report/made.rs"]
mod made;
#[path = "common/sight.rs"]
mod sight;

use coaxle::draw::{Axis, Dot, Ladder, Rung, Scatter, Size, Standing, Third, png};
use coaxle::report::{Pictures, ladder as ladder_of, scatter as scatter_of};
use coaxle::score::Better;
use sight::{alike, assert_readable, check, check_svg, text_boxes};

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
    let Pictures { pareto: wide, ladder: rungs } = Pictures::of(&record).unwrap();
    let narrow_rungs = ladder_of(&record).draw(440).unwrap();
    let narrow = scatter_of(&record).draw(Size { width: 440, height: 560 }).unwrap();
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
