//! `show --explain`: what is told of a gear is true, at every depth, for random layouts too.

use std::cell::Cell;

use coaxle::account::Basis;
use coaxle::lesson::{Depth, explain};
use coaxle::motion::{Motion, solve_state, solve_torques};
use coaxle::num::{Fraction, parse_fraction, to_f64};
use coaxle::paper::{Block, Document, TableCell, html, plain};
use coaxle::train::{Layout, read_layout};
use num_traits::{One, Signed, Zero};
use proptest::prelude::*;
use proptest::test_runner::TestRunner;

fn told(layout: &Layout, depth: Depth) -> Document {
    explain(layout, depth, &Basis::default(), "en").unwrap()
}

/// The walks of a document: each begins with a heading, the first ones being those of gears.
fn walks(document: &Document) -> Vec<&[Block]> {
    let head = |block: &Block| matches!(block, Block::Heading(_));
    let starts: Vec<usize> =
        (0..document.blocks.len()).filter(|&at| head(&document.blocks[at])).collect();
    let ends = starts.iter().skip(1).copied().chain([document.blocks.len()]);
    starts.iter().zip(ends).map(|(&start, end)| &document.blocks[start..end]).collect()
}

fn text(block: &Block) -> String {
    match block {
        Block::Paragraph(text) | Block::Note(text) | Block::Label(text) | Block::Heading(text) => {
            text.plain()
        }
        Block::Step(text, _) => text.plain(),
        _ => String::new(),
    }
}

/// Paragraphs and tables below a label.
fn below<'a>(walk: &'a [Block], label: &str) -> &'a [Block] {
    let at = walk.iter().position(|block| matches!(block, Block::Label(_)) && text(block) == label);
    let Some(at) = at else { return &[] };
    let rest = &walk[at + 1..];
    let end = rest.iter().position(|block| matches!(block, Block::Label(_)));
    &rest[..end.unwrap_or(rest.len())]
}

/// The exact number at the beginning of a told one: `27/11 ≈ 2.455`.
fn number(text: &str) -> Fraction {
    let first = text.split(['\u{a0}', ' ']).next().unwrap();
    parse_fraction(&first.replace('−', "-")).unwrap_or_else(|| panic!("{text:?}"))
}

fn cells(block: &Block) -> Vec<Vec<String>> {
    let Block::Table(_, rows) = block else { return Vec::new() };
    let cell = |cell: &TableCell| match cell {
        TableCell::Text(text) => text.plain(),
        TableCell::Blank | TableCell::Box => panic!("a cell to fill"),
    };
    rows.iter().map(|row| row.iter().map(cell).collect()).collect()
}

/// What is expected before any number must come true; returns whether anything was decided.
fn expectation(walk: &[Block], ratio: &Fraction) -> bool {
    let said: String = below(walk, "Before any number").iter().map(text).collect();
    assert!(!said.is_empty());
    let one = Fraction::one();
    let forward = said.contains("the same way") || said.contains("goes with the input");
    let backward = said.contains("backwards");
    let slower = said.contains("slower") && !said.contains("slower or faster");
    let faster = said.contains("faster") && !said.contains("slower or faster");
    assert!(!(forward && backward), "{said}");
    assert!(!(slower && faster), "{said}");
    assert!(!forward || ratio.is_positive(), "{ratio}: {said}");
    assert!(!backward || ratio.is_negative(), "{ratio}: {said}");
    assert!(!slower || ratio.abs() > one, "{ratio}: {said}");
    assert!(!faster || ratio.abs() < one, "{ratio}: {said}");
    if said.contains("as one block") {
        assert_eq!(*ratio, one, "{said}");
    }
    (forward || backward) && (slower || faster || said.contains("as one block"))
}

/// Superposition, torques and mistakes of one gear.
fn check(walk: &[Block], layout: &Layout, motion: &Motion) {
    let ratio = motion.ratio.as_ref().unwrap();
    let speeds = crate::common::superposed::superposed(layout, motion.engaged);
    for table in below(walk, "Two simple motions, one on top of the other") {
        let Block::Table(columns, _) = table else { continue };
        let set: usize = columns[0].plain().trim_start_matches("Set ").parse().unwrap();
        let rows = cells(table);
        for (member, seat) in layout.seats(set - 1).into_iter().enumerate() {
            let [block, roll, sum] = [0, 1, 2].map(|row: usize| number(&rows[row][member + 1]));
            assert_eq!(&block + &roll, sum);
            // By another way than the program's.
            if let Some(speeds) = &speeds {
                let speed = seat.map_or_else(Fraction::zero, |shaft| speeds[shaft.0].clone());
                assert_eq!(sum, speed, "set {set}");
            }
        }
    }
    let torque = below(walk, "Torque");
    let tables: Vec<Vec<Vec<String>>> =
        torque.iter().map(cells).filter(|rows| !rows.is_empty()).collect();
    let solved = solve_torques(layout, motion).unwrap();
    for (row, members) in tables[0].iter().zip(&solved.members) {
        let open = row[1..].iter().any(|cell| cell == "Not determined");
        assert_eq!(open, members.iter().any(Option::is_none), "{row:?}");
        if !open {
            let told: Vec<Fraction> = row[1..].iter().map(|cell| number(cell)).collect();
            assert!(told.iter().sum::<Fraction>().is_zero(), "{row:?}");
            assert!(told.iter().zip(members).all(|(a, b)| Some(a) == b.as_ref()), "{row:?}");
        }
    }
    for row in tables.get(1).into_iter().flatten() {
        assert_eq!(number(&row[1]) + number(&row[2]), number(&row[3]), "{row:?}");
    }
    let mistakes = below(walk, "Mistakes that are made here");
    let told: Vec<String> = mistakes.iter().map(text).collect();
    if let Some((right, wrong)) = told.split_last() {
        assert!(right.contains(&ratio.to_string().replace('-', "−")), "{right}");
        for mistake in wrong.iter().filter(|mistake| mistake.contains(" gives ")) {
            let (_, value) = mistake.split_once(" gives ").unwrap();
            let value = value.trim_end_matches('.').split(". ").next().unwrap();
            assert_ne!(&number(value), ratio, "{mistake}");
        }
    }
}

/// All gears of a layout at all depths; returns how many gears, and expectations that decide.
fn sound(layout: &Layout) -> (usize, usize) {
    let (mut gears, mut decided) = (0, 0);
    for depth in [Depth::FirstLook, Depth::Course, Depth::Full] {
        let document = told(layout, depth);
        let live: Vec<Motion> = match layout.gears.is_empty() {
            true => layout.states().map(|state| solve_state(layout, state)).collect(),
            false => layout.gears.iter().map(|gear| solve_state(layout, gear.engaged)).collect(),
        };
        let live: Vec<&Motion> = live.iter().filter(|motion| motion.ratio.is_some()).collect();
        let walks = walks(&document);
        assert!(walks.len() >= live.len());
        for (walk, motion) in walks.iter().zip(&live) {
            let ratio = motion.ratio.as_ref().unwrap();
            let law: String = walk.iter().map(text).collect::<Vec<_>>().join("\n");
            decided += usize::from(expectation(walk, ratio));
            gears += 1;
            assert_eq!(depth == Depth::FirstLook, !law.contains("i = ω_input/ω_output"), "{law}");
            if depth > Depth::FirstLook {
                assert!(law.contains(&format!("{ratio}").replace('-', "−")), "{ratio}: {law}");
                check(walk, layout, motion);
            }
        }
        let page = html(&document);
        for formula in page.split("<math").skip(1) {
            let formula = formula.split("</math>").next().unwrap();
            let formula = format!("<math{formula}</math>");
            roxmltree::Document::parse(&formula).unwrap_or_else(|e| panic!("{formula}: {e}"));
        }
        let page = plain(&document, "");
        assert!(!page.contains(['{', '`']) || layout.shafts.iter().any(|s| s.name.contains('{')));
    }
    (gears, decided)
}

#[test]
fn samples_are_explained() {
    for path in crate::program::samples() {
        let (gears, _) = sound(&read_layout(&path).unwrap());
        assert!(gears > 0, "{}", path.display());
    }
}

#[test]
fn random_layouts_are_explained() {
    let (gears, decided) = (Cell::new(0), Cell::new(0));
    let config = ProptestConfig { cases: 60, failure_persistence: None, ..Default::default() };
    let outcome = TestRunner::new(config).run(&crate::common::any_layout(), |layout| {
        let (more, sure) = sound(&layout);
        gears.set(gears.get() + more);
        decided.set(decided.get() + sure);
        Ok(())
    });
    outcome.unwrap_or_else(|error| panic!("{error}"));
    assert!(gears.get() > 100, "{} gears", gears.get());
    assert!(2 * decided.get() > gears.get(), "{} of {}", decided.get(), gears.get());
}

/// The mistakes are what a person who makes them would get, by hand.
#[test]
fn mistakes_of_a_textbook_set() {
    let layout = read_layout(&crate::program::sample("redundant.toml")).unwrap();
    let document = told(&layout, Depth::Course);
    let mistakes = below(walks(&document)[0], "Mistakes that are made here");
    let told: String = mistakes.iter().map(text).collect::<Vec<_>>().join("\n");
    // Sun 30 driven, ring 66 held, planet 18: right 1 + 66/30 = 3.2. Inverse 0.3125; planet
    // counted in 1 + 84/30 = 3.8; sign lost 1 - 66/30 = -1.2; carrier still -66/30 = -2.2.
    for wrong in [5.0 / 16.0, 3.8, -1.2, -2.2] {
        let found = told.lines().any(|line| {
            line.split_once(" gives ").is_some_and(|(_, value)| {
                (to_f64(&number(value.trim_end_matches('.'))) - wrong).abs() < 1e-9
            })
        });
        assert!(found, "{wrong}: {told}");
    }
}

#[test]
fn the_program_explains() {
    let layout = crate::program::sample("two-sets.toml");
    let name = layout.to_str().unwrap();
    let first = crate::program::answer(&["show", name, "--explain=first-look"]);
    let course = crate::program::answer(&["show", name, "--explain"]);
    let full = crate::program::answer(&["show", name, "--explain=full"]);
    assert!(first.len() < course.len() && course.len() < full.len());
    assert!(course.contains("Superposition") || course.contains("Two simple motions"));
    assert!(!course.contains("Where the power goes") && full.contains("Where the power goes"));
    assert!(crate::program::widest(&first) <= 100, "{first}");
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().to_str().unwrap();
    let output = crate::program::coaxle(&["show", name, "--explain", "--out", out]);
    assert!(output.status.success());
    let page = std::fs::read_to_string(folder.path().join("explain.html")).unwrap();
    assert!(
        page.contains("<math")
            && page.contains("<svg")
            && !page.contains("http://www.w3.org/1999/xhtml")
    );
    for (arguments, part) in [
        (vec!["show", name, "--explain=deep"], "first-look"),
        (vec!["show", name, "--explain", "--json"], "cannot be used with"),
    ] {
        let told = crate::program::failure(&arguments, 2);
        assert!(told.contains(part), "{told}");
    }
}

/// Teeth that cannot be put together are told before anything is explained; a set that stands
/// still is not told to turn; no power runs round where nothing rolls.
#[test]
fn what_cannot_be_and_what_does_not_roll_is_told() {
    let whole = |name: &str| {
        let layout = read_layout(&crate::program::sample(name)).unwrap();
        told(&layout, Depth::Full).blocks.iter().map(text).collect::<Vec<_>>().join("\n")
    };
    assert!(whole("wrong-teeth.toml").contains("cannot be built with these teeth"));
    assert!(!whole("two-sets.toml").contains("cannot be built with these teeth"));
    for path in crate::program::samples() {
        let layout = read_layout(&path).unwrap();
        let document = told(&layout, Depth::Full);
        let live = layout.gears.iter().map(|gear| solve_state(&layout, gear.engaged));
        let live = live.filter(|motion| motion.ratio.is_some());
        for (walk, motion) in walks(&document).iter().zip(live) {
            let said = walk.iter().map(text).collect::<Vec<_>>().join("\n");
            let one_speed = |set: usize| {
                let speeds = layout.seats(set).map(|seat| motion.speed_at(seat));
                let [sun, ring, carrier] = speeds;
                (sun == carrier && ring == carrier).then_some(carrier).flatten()
            };
            let sets: Vec<Option<Fraction>> = (0..layout.sets.len()).map(one_speed).collect();
            for (set, speed) in sets.iter().enumerate() {
                let still = speed.as_ref().is_some_and(Zero::is_zero);
                assert_eq!(
                    said.contains(&format!("Set {} stands still", set + 1)),
                    still,
                    "{said}"
                );
                let block = speed.is_some() && !still;
                assert_eq!(said.contains(&format!("Set {} turns as a block", set + 1)), block);
            }
            assert!(!said.contains("runs round in a circle") || sets.contains(&None), "{said}");
        }
    }
}
