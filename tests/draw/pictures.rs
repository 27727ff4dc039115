//! Pictures: the same as the golden ones, no text over another, any number of layouts.
//!
//! After a wanted change: `COAXLE_BLESS=1 cargo test --release --test draw pictures::`, then look
//! at tests/golden before committing it.

use crate::sight::{alike, assert_readable, check, check_svg, text_boxes};
use coaxle::draw::{
    Axis, Case, Cases, Certainty, CurveLine, CurvePoint, Curves, Dot, Funnel, Ladder, Matrix,
    Parallel, Quantity, Rung, Scatter, Shift, Size, Standing, Steps, Test, Third, png,
};
use coaxle::report::{
    Pictures, funnel as funnel_of, ladder as ladder_of, matrix as matrix_of,
    parallel as parallel_of, scatter as scatter_of, steps as steps_of,
};
use coaxle::score::Better;

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
    let record = crate::made::record(crate::made::candidates(4));
    let Pictures { pareto: wide, ladder: rungs, .. } = Pictures::of(&record).unwrap();
    let narrow_rungs = ladder_of(&record).draw(440).unwrap();
    let narrow = scatter_of(&record).draw(Size { width: 440, height: 560 }).unwrap();
    check_svg("pareto.svg", &wide);
    check_svg("pareto-narrow.svg", &narrow);
    check_svg("ladder.svg", &rungs);
    check("pareto.png", &png(&wide, 0.5).unwrap(), alike);
    [wide, narrow, rungs, narrow_rungs].iter().for_each(assert_readable);
}

#[test]
fn the_further_plots_of_the_record_are_drawn_as_before() {
    let mut record = crate::made::record(crate::made::candidates(4));
    // A brief that can be read, so that steps and ladder are wanted.
    record.brief = "[space]\nsets = 2\nshafts = 5\nelements = 5\n[gears]\nforward = 4\n\
                    step = [1.2, 2.0]\n"
        .to_owned();
    let pictures = Pictures::of(&record).unwrap();
    let narrow = Size { width: 440, height: 460 };
    let further = [matrix_of(&record).draw(440), parallel_of(&record).draw(narrow)];
    let more = [steps_of(&record).draw(440), funnel_of(&record).draw(440)];
    let [matrix, parallel] = further.map(Result::unwrap);
    let [steps, funnel] = more.map(Result::unwrap);
    let ladder = ladder_of(&record).draw(440).unwrap();
    let matrix = [pictures.matrix, matrix];
    let parallel = [pictures.parallel, parallel];
    let steps = [pictures.steps, steps];
    let funnel = [pictures.funnel, funnel];
    let ladder = [pictures.ladder, ladder];
    check_svg("matrix.svg", &matrix[0]);
    check_svg("matrix-narrow.svg", &matrix[1]);
    check_svg("parallel.svg", &parallel[0]);
    check_svg("parallel-narrow.svg", &parallel[1]);
    check_svg("steps.svg", &steps[0]);
    check_svg("steps-narrow.svg", &steps[1]);
    check_svg("funnel.svg", &funnel[0]);
    check_svg("funnel-narrow.svg", &funnel[1]);
    check_svg("ladder-wanted.svg", &ladder[0]);
    for pictures in [&matrix, &parallel, &steps, &funnel, &ladder] {
        pictures.iter().for_each(assert_readable);
    }
    assert!(steps[0].svg().contains("wanted: 1.2 to 2"));
    assert!(funnel[0].svg().contains("14,872 → 9,031"));
    // Of no layout: each says so instead of drawing.
    (record.candidates, record.front, record.funnel) = Default::default();
    let Pictures { matrix, parallel, steps, funnel, .. } = Pictures::of(&record).unwrap();
    for (pictures, words) in [
        (matrix, "No layout met the request."),
        (parallel, "No layout met the request."),
        (steps, "No layout has two forward gears."),
        (funnel, "Nothing was tested."),
    ] {
        assert!(pictures.svg().contains(words), "{words}");
    }
}

/// Layouts with `columns` quantities each, on a fixed pattern that looks random; every
/// second quantity is better when less, the last is yes or no, some are not known.
fn cases(columns: usize, front: u32, beaten: u32) -> Cases {
    let names = ["spread", "step deviation", "sets + shift elements", "worst efficiency"];
    let quantity = |column: usize| Quantity {
        name: names.get(column).map_or(format!("made quantity {column}"), |&name| name.to_owned()),
        unit: ["", "%", "", "× input"][column % 4].to_owned(),
        better: if column.is_multiple_of(2) { Better::Higher } else { Better::Lower },
        yes_no: column > 0 && column + 1 == columns,
    };
    let value = |k: u32, column: u32| {
        let part = f64::from(k.wrapping_mul(7919 + 104 * column) % 9973) / 9973.0;
        let known = !(k + column + 1).is_multiple_of(53);
        known.then_some(if column as usize + 1 == columns { part.round() } else { part * 1234.5 })
    };
    let case = |k: u32| Case {
        name: format!("sample-{k:03}"),
        values: (0..columns as u32).map(|column| value(k, column)).collect(),
        standing: if k < front { Standing::Front } else { Standing::Beaten },
    };
    let list = (0..front + beaten).map(case).collect();
    Cases { quantities: (0..columns).map(quantity).collect(), list }
}

#[test]
fn matrix_and_parallel_axes_of_any_size_stay_readable() {
    for columns in 2..=9 {
        for (front, beaten) in [(1, 0), (2, 0), (60, 0), (70, 900)] {
            let cases = cases(columns, front, beaten);
            let matrix = Matrix {
                title: "Made quantities two by two".to_owned(),
                cases: cases.clone(),
                marks: (columns > 2).then_some(2),
                empty: String::new(),
            };
            let parallel = Parallel {
                title: "Made quantities side by side".to_owned(),
                cases,
                empty: String::new(),
            };
            for (width, height) in [(1120, 480), (440, 460)] {
                assert_readable(&matrix.draw(width).unwrap());
                let lines = parallel.draw(Size { width, height }).unwrap();
                assert_readable(&lines);
                assert_eq!(lines.svg().contains("40 of 60 layouts"), front == 60);
                // Two layouts may share the last quantity, which then has no axis.
                let few = lines.svg().contains("criteria drawn");
                assert!(few || width == 1120 || columns < 9);
                assert!(!few || width == 440 && columns > 6);
            }
        }
    }
}

#[test]
fn what_all_layouts_share_has_no_axis() {
    let mut cases = cases(4, 9, 20);
    cases.list.iter_mut().for_each(|case| case.values[2] = Some(8.0));
    let matrix = Matrix { title: "Made".to_owned(), cases, marks: Some(2), empty: String::new() };
    let svg = matrix.draw(1120).unwrap().svg();
    assert!(svg.contains("sets + shift elements: 8 for all"));
}

#[test]
fn steps_and_funnels_of_any_size_stay_readable() {
    for gears in [1, 2, 5, 12] {
        let steps = |k: usize, count: usize| -> Vec<f64> {
            (0..count).map(|n| 1.2 + 0.02 * ((n * 7919 + k * 31) % 40) as f64).collect()
        };
        let shift = |k: usize| Shift {
            name: format!("{}–{}", k + 1, k + 2),
            front: steps(k, 9),
            all: steps(k, 300),
        };
        let shifts: Vec<Shift> = (0..gears).map(shift).collect();
        for wanted in [None, Some((1.1, 1.9)), Some((1.0, f64::INFINITY)), Some((0.1, 40.0))] {
            let title = "Made steps".to_owned();
            let steps = Steps { title, shifts: shifts.clone(), wanted, empty: String::new() };
            [1120, 440].iter().for_each(|&w| assert_readable(&steps.draw(w).unwrap()));
        }
    }
    for most in [1, 9_999, 184_687_596_896, u64::MAX] {
        let test = |k: u32| Test {
            name: format!("a test with a long name, number {k}"),
            came: most >> (7 * k),
            left: most >> (7 * k + 7),
        };
        let funnel = Funnel {
            title: "Made tests".to_owned(),
            tests: (0..9).map(test).collect(),
            note: "A note that is said below the bars and may be longer than a line.".to_owned(),
            empty: String::new(),
        };
        [1120, 440].iter().for_each(|&w| assert_readable(&funnel.draw(w).unwrap()));
    }
}

#[test]
fn ladders_tell_steps_and_what_is_wanted() {
    let gears = [("1", 4.0), ("2", 2.5), ("3", 2.0), ("4", 1.0), ("R", -3.0)];
    let gears = gears.map(|(name, ratio)| (name.to_owned(), ratio)).to_vec();
    let rung = |wanted: Vec<f64>| Rung { name: "only".to_owned(), gears: gears.clone(), wanted };
    let drawn = |rung: Rung| {
        let ladder = Ladder { title: "Ratios".to_owned(), rungs: vec![rung] };
        ladder.draw(860).unwrap()
    };
    let plain = drawn(rung(Vec::new()));
    // 4 / 2.5, 2.5 / 2 and 2 / 1; the reverse has no step.
    for step in ["60 %", "25 %", "100 %"] {
        assert!(plain.svg().contains(step), "{step}");
    }
    assert_eq!(plain.svg().matches(" %").count(), 3);
    assert!(!plain.svg().contains("wanted"));
    let wished = drawn(rung(vec![4.0, 2.52, 1.59, 1.0]));
    assert!(wished.svg().contains("wanted"));
    assert_readable(&wished);
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
        wanted: Vec::new(),
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

fn curves(lines: &[(&str, &[(u32, f64)])], whole: bool) -> Curves {
    let line = |(name, points): &(&str, &[(u32, f64)])| CurveLine {
        name: (*name).to_owned(),
        points: points
            .iter()
            .map(|&(x, value)| CurvePoint { x, value, certainty: Certainty::Settled })
            .collect(),
    };
    Curves {
        title: "Usable forward gears".to_owned(),
        across: "Sets, at most".to_owned(),
        up: "Largest number of gears".to_owned(),
        lines: lines.iter().map(line).collect(),
        whole,
    }
}

/// Lines that end at one point, one point alone, no line at all: names stay apart.
#[test]
fn curves_are_drawn_as_before_and_readable() {
    let size = Size { width: 760, height: 380 };
    let usual = curves(
        &[
            ("3 elements", &[(1, 0.0), (2, 0.0), (3, 2.0), (4, 2.0)]),
            ("4 elements", &[(1, 0.0), (2, 4.0), (3, 5.0), (4, 5.0)]),
            ("5 elements", &[(1, 0.0), (2, 5.0), (3, 7.0), (4, 9.0)]),
            ("6 elements", &[(1, 0.0), (2, 7.0), (3, 11.0), (4, 11.0)]),
        ],
        true,
    );
    check_svg("curves", &usual.draw(size));
    let crowded = [("one", &[(5, 0.02)][..]), ("two", &[(5, 0.02)]), ("three", &[(5, 0.0)])];
    let empty = curves(&[], false).draw(size).svg();
    assert!(empty.contains("Nothing to draw."), "{empty}");
    for lines in [&crowded[..], &crowded[..1]] {
        for width in [420, 760, 1120] {
            let picture = curves(lines, false).draw(Size { width, height: 380 });
            assert_readable(&picture);
        }
    }
    assert_readable(&usual.draw(size));
    // A bound has an open mark and an arrow to where the true value may lie.
    let drawn = |certainty: Certainty| {
        let mut one = curves(&[("one", &[(1, 2.0), (2, 4.0)])], true);
        one.lines[0].points[1].certainty = certainty;
        let picture = one.draw(size);
        assert_readable(&picture);
        picture.svg()
    };
    let all = [Certainty::Settled, Certainty::AtLeast, Certainty::AtMost].map(drawn);
    assert!(all[0] != all[1] && all[1] != all[2] && all[0] != all[2]);
    let lines = |svg: &str| svg.lines().count();
    assert!(lines(&all[1]) > lines(&all[0]) && lines(&all[2]) > lines(&all[0]));
}
