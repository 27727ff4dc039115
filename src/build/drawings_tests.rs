//! Laws of drawings: one for every layout that nests, and true; the checker sees planted
//! faults. Tests only.

use itertools::Itertools;
use proptest::prelude::*;

use super::draft::draft;
use super::drawing::{Drawing, Point, Segment, drawing, drawing_of_wiring};
use super::nests_wiring;
use super::plan::Plan;
use super::wheels_tests::random_wiring;
use crate::train::{Layout, parse_layout};

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn what_nests_is_drawn_and_truly((core, slots) in random_wiring(1..=4)) {
        let drawing = drawing_of_wiring(&core, &slots);
        prop_assert_eq!(drawing.is_some(), nests_wiring(&core, &slots));
        if let Some(drawing) = drawing {
            prop_assert_eq!(drawing.check_wiring(&core, &slots), Ok(()));
        }
    }

    /// The guarantee is not for the best order alone: no order and no embedding fails.
    #[test]
    fn every_draft_of_what_nests_comes_to_an_end(
        (core, slots) in random_wiring(1..=4),
        variant in 0usize..4,
    ) {
        if let Some(plan) = Plan::new(&core, &slots, variant) {
            for order in (0..core.sets()).permutations(core.sets()) {
                prop_assert!(draft(&plan, &order, |_| false).is_some(), "order {:?}", order);
            }
        }
    }
}

fn two_sets() -> (Layout, Drawing) {
    let layout = parse_layout(
        r#"
        sets = [{ sun = 30, ring = 66 }, { sun = 30, ring = 66 }]
        [shafts]
        input = []
        output = ["C1", "R2"]
        suns = ["S1", "S2"]
        front-ring = ["R1"]
        rear-carrier = ["C2"]
        [elements]
        A = { clutch = ["input", "front-ring"] }
        B = { clutch = ["suns", "input"] }
        C = { brake = "suns" }
        D = { brake = "rear-carrier" }
        "#,
    );
    let layout = layout.unwrap();
    let drawing = doubled(drawing(&layout).unwrap());
    (layout, drawing)
}

/// Twice as large, so that there is room for faults between the lines.
fn doubled(mut drawing: Drawing) -> Drawing {
    let twice = |at: Point| Point { x: 2 * at.x, y: 2 * at.y };
    drawing.width *= 2;
    drawing.height *= 2;
    for column in &mut drawing.columns {
        for part in [&mut column.x, &mut column.sun, &mut column.pin, &mut column.ring] {
            *part *= 2;
        }
    }
    for line in drawing.shafts.iter_mut().flatten().chain(&mut drawing.housing) {
        *line = Segment { from: twice(line.from), to: twice(line.to) };
    }
    drawing.elements.iter_mut().for_each(|mark| mark.at = twice(mark.at));
    drawing
}

fn line(from: (i32, i32), to: (i32, i32)) -> Segment {
    let point = |(x, y): (i32, i32)| Point { x, y };
    Segment { from: point(from), to: point(to) }
}

/// What the checker says of a drawing with one fault.
fn told(fault: impl FnOnce(&mut Drawing)) -> String {
    let (layout, mut drawing) = two_sets();
    fault(&mut drawing);
    drawing.check(&layout).unwrap_err()
}

#[test]
fn the_drawing_without_a_fault_is_true() {
    let (layout, drawing) = two_sets();
    assert_eq!(drawing.check(&layout), Ok(()));
}

#[test]
fn the_checker_sees_lines_that_meet() {
    let met = told(|drawing| {
        let at = Point { x: drawing.columns[1].x, y: drawing.columns[1].pin };
        drawing.shafts[2].push(Segment { from: at, to: at });
    });
    assert!(met.contains("shaft 5 and shaft 3 meet at"), "{met}");
    let crossed = told(|drawing| {
        let column = drawing.columns[0];
        let y = column.sun + 1;
        drawing.shafts[1].push(line((column.x - 1, y), (column.x + 1, y)));
    });
    assert!(crossed.contains("crosses a mesh of set 1"), "{crossed}");
    let along = told(|drawing| {
        let column = drawing.columns[1];
        drawing.shafts[1].push(line((column.x, column.pin), (column.x, column.ring)));
    });
    assert!(along.contains("along a mesh of set 2"), "{along}");
}

#[test]
fn the_checker_sees_what_is_cut_or_missing() {
    let (_, whole) = two_sets();
    for shaft in 0..whole.shafts.len() {
        for gone in 0..whole.shafts[shaft].len() {
            // Whatever line goes, something is in pieces, short of its side or its mark.
            told(|drawing| {
                drawing.shafts[shaft].remove(gone);
            });
        }
    }
    let pieces = told(|drawing| drawing.shafts[2].push(line((1, 1), (1, 1))));
    assert!(pieces.contains("shaft 3 is in pieces"), "{pieces}");
    let missing = told(|drawing| {
        drawing.elements.pop();
    });
    assert!(missing.contains("3 elements drawn, 4"), "{missing}");
    let short = told(|drawing| drawing.width += 1);
    assert!(short.contains("shaft 2 does not reach the output side"), "{short}");
    let low = told(|drawing| drawing.height += 1);
    assert!(low.contains("the housing reaches the input side"), "{low}");
}

#[test]
fn the_checker_sees_wrong_words() {
    for element in 0..4 {
        let turned = told(|drawing| {
            let mark = &mut drawing.elements[element];
            mark.first = mark.first.opposite();
        });
        assert!(turned.contains("first shaft does not end there"), "{turned}");
    }
    let order = told(|drawing| drawing.order.reverse());
    assert!(order.contains("order of the sets"), "{order}");
    let sides = told(|drawing| drawing.carrier_sides[0].left ^= true);
    assert!(sides.contains("carrier 1 leaves"), "{sides}");
    let below = told(|drawing| drawing.shafts[1].push(line((1, 0), (1, 0))));
    assert!(below.contains("leaves the half plane"), "{below}");
    let askew = told(|drawing| drawing.shafts[1].push(line((1, 1), (2, 2))));
    assert!(askew.contains("askew"), "{askew}");
}

/// Members of one set on one shaft, held carriers, lone shafts: nothing of it is usual.
#[test]
fn odd_layouts_are_drawn_too() {
    let odd = [
        r#"input = ["S1", "C1"]
        output = ["R1"]"#,
        r#"input = ["C1"]
        output = ["S1", "R1"]"#,
        r#"input = ["S1"]
        output = ["R1"]
        housing = ["C1"]"#,
        r#"input = []
        output = []
        whole = ["S1", "R1", "C1"]"#,
        r#"input = []
        output = []
        lone = []
        housing = ["S1", "R1", "C1"]"#,
    ];
    for shafts in odd {
        let text = format!(
            "sets = [{{ sun = 30, ring = 66 }}]\n[shafts]\n{shafts}\n[elements]\nA = {{ clutch = [\"input\", \"output\"] }}"
        );
        let layout = parse_layout(&text).unwrap();
        let drawing = drawing(&layout).unwrap_or_else(|| panic!("no drawing of {text}"));
        assert_eq!(drawing.check(&layout), Ok(()), "{text}");
    }
}
