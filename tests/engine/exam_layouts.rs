//! Items on gearboxes of several sets, each answer found again by another way: speeds by
//! superposition instead of by the equations of the generator, torques from powers, faults by
//! taking an element away or adding one.

use std::collections::{BTreeMap, BTreeSet};

use crate::common::exam::{assert_sound, brief, numbers_of};
use crate::common::superposed::superposed;
use coaxle::num::{Fraction, fraction, parse_fraction, to_f64};
use coaxle::problem::{Answer, Cell, Item, Kind, Level};
use coaxle::train::{ElementMask, Layout, OUTPUT, parse_layout};
use num_traits::{Signed, Zero};

/// Items of each level.
const ITEMS: usize = 5_000;

const SEVERAL: [Kind; 10] = [
    Kind::ShiftTable,
    Kind::FindEngaged,
    Kind::CoupledSets,
    Kind::Torque,
    Kind::LeverDrawing,
    Kind::Fault,
    Kind::Efficiency,
    Kind::Ladder,
    Kind::Recognise,
    Kind::Derive,
];

fn fact<'a>(item: &'a Item, name: &str) -> &'a str {
    let found = item.facts.iter().find(|(fact, _)| fact == name);
    found.map(|(_, value)| value.as_str()).unwrap_or_else(|| panic!("{} has no {name}", item.id))
}

fn mask(layout: &Layout, names: &str) -> ElementMask {
    let place = |name: &str| layout.elements.iter().position(|e| e.name == name).unwrap();
    ElementMask::of(names.split_whitespace().map(place))
}

/// i by superposition; `None` where it is not live.
fn ratio(layout: &Layout, engaged: ElementMask) -> Option<Fraction> {
    let speeds = superposed(layout, engaged)?;
    let out = speeds[OUTPUT.0].clone();
    (!out.is_zero()).then(|| out.recip())
}

fn number(answer: &Answer) -> Fraction {
    match answer {
        Answer::Number { exact, .. } | Answer::Fraction { exact, .. } => exact.clone(),
        other => panic!("{other:?}"),
    }
}

#[test]
fn answers_on_gearboxes_are_found_again_another_way() {
    let mut kinds = BTreeSet::new();
    let mut wirings: BTreeMap<Kind, BTreeSet<String>> = BTreeMap::new();
    for level in Level::ALL {
        let mut brief = brief(level, ITEMS);
        brief.kinds.retain(|kind| SEVERAL.contains(kind));
        if level == Level::Course {
            brief.numbers.sets = 4;
        }
        for item in &coaxle::exam::pool(&brief).items {
            let layout = parse_layout(&item.layout).unwrap();
            if layout.sets.len() == 1 {
                continue;
            }
            kinds.insert(item.kind);
            let wiring = item.marks.iter().find(|mark| mark.starts_with("layout:")).unwrap();
            wirings.entry(item.kind).or_default().insert(wiring.clone());
            assert!(layout.gears.is_empty(), "{} tells its gears", item.id);
            assert_eq!(item.marks.len(), 1 + layout.sets.len(), "{}", item.id);
            assert_sound(item);
            check(item, &layout);
        }
    }
    assert_eq!(kinds, SEVERAL.into_iter().collect());
    for (kind, wirings) in wirings {
        assert!(wirings.len() > 40, "{kind:?} has {} wirings", wirings.len());
    }
}

fn check(item: &Item, layout: &Layout) {
    match item.kind {
        Kind::ShiftTable => shift_table(item, layout),
        Kind::FindEngaged => engaged(item, layout),
        Kind::CoupledSets => {
            let ratio = ratio(layout, mask(layout, fact(item, "engaged"))).unwrap();
            let expected = match item.facts.iter().find(|(name, _)| name == "input-rpm") {
                Some((_, rpm)) => parse_fraction(rpm).unwrap() / ratio,
                None => ratio,
            };
            assert_eq!(number(&item.parts[0].answer), expected, "{}", item.id);
        }
        Kind::Derive => {
            let ratio = ratio(layout, mask(layout, fact(item, "engaged"))).unwrap();
            assert_eq!(number(&item.parts[1].answer), ratio, "{}", item.id);
        }
        Kind::LeverDrawing => {
            let ratio = ratio(layout, mask(layout, fact(item, "engaged"))).unwrap();
            let rpm = parse_fraction(fact(item, "input-rpm")).unwrap();
            assert_eq!(number(&item.parts[1].answer), rpm / ratio, "{}", item.id);
        }
        Kind::Torque => torque(item, layout),
        Kind::Fault => fault(item, layout),
        Kind::Efficiency => efficiency(item, layout),
        Kind::Ladder => ladder(item, layout),
        Kind::Recognise => recognise(item, layout),
        other => panic!("{other:?}"),
    }
}

fn shift_table(item: &Item, layout: &Layout) {
    let Answer::Table { rows, .. } = &item.parts[0].answer else { panic!("{}", item.id) };
    let elements = layout.elements.len();
    let all: BTreeSet<Fraction> =
        layout.states().filter_map(|state| ratio(layout, state)).collect();
    assert_eq!(rows.len(), all.len(), "{}", item.id);
    for row in rows {
        assert_eq!(row.cells.len(), elements + 1);
        let ticked = |cell: &Cell| match cell {
            Cell::Tick(ticked) => *ticked,
            Cell::Given(said) => said.phrase == "table-tick",
            other => panic!("{other:?}"),
        };
        let state = ElementMask::of((0..elements).filter(|&e| ticked(&row.cells[e])));
        let told = match &row.cells[elements] {
            Cell::Number { exact, .. } => exact.clone(),
            Cell::Given(said) => numbers_of(said)[0].clone(),
            other => panic!("{other:?}"),
        };
        assert_eq!(ratio(layout, state), Some(told.clone()), "{}", item.id);
        // One right answer: no other state has this ratio.
        let same = layout.states().filter(|&state| ratio(layout, state).as_ref() == Some(&told));
        assert_eq!(same.count(), 1, "{}", item.id);
    }
}

fn engaged(item: &Item, layout: &Layout) {
    let Answer::Names { accepted, .. } = &item.parts[0].answer else { panic!("{}", item.id) };
    let states: Vec<(ElementMask, Fraction)> =
        layout.states().filter_map(|state| Some((state, ratio(layout, state)?))).collect();
    let wanted: Vec<ElementMask> = if item.skeleton.ends_with("reverse") {
        states.iter().filter(|(_, ratio)| ratio.is_negative()).map(|(state, _)| *state).collect()
    } else if item.skeleton.ends_with("slowest") {
        let most = states.iter().map(|(_, ratio)| ratio).max().unwrap();
        states.iter().filter(|(_, ratio)| ratio == most).map(|(state, _)| *state).collect()
    } else {
        let asked = parse_fraction(fact(item, "ratio")).unwrap();
        states.iter().filter(|(_, ratio)| *ratio == asked).map(|(state, _)| *state).collect()
    };
    let names = |state: &ElementMask| -> Vec<String> {
        state.iter().map(|element| layout.elements[element].name.clone()).collect()
    };
    assert_eq!(*accepted, wanted.iter().map(names).collect::<Vec<_>>(), "{}", item.id);
}

/// Output from power, the brake from the sum of all torques.
fn torque(item: &Item, layout: &Layout) {
    let speeds = superposed(layout, mask(layout, fact(item, "engaged"))).unwrap();
    let torque = parse_fraction(fact(item, "input-torque")).unwrap();
    let out = -&torque / &speeds[OUTPUT.0];
    assert_eq!(number(&item.parts[0].answer), speeds[OUTPUT.0].recip(), "{}", item.id);
    assert_eq!(number(&item.parts[1].answer), out.abs(), "{}", item.id);
    assert_eq!(number(&item.parts[2].answer), (-(torque + out)).abs(), "{}", item.id);
}

fn fault(item: &Item, layout: &Layout) {
    let element = layout.elements.iter().position(|e| e.name == fact(item, "element")).unwrap();
    let stays = fact(item, "failure") == "stays";
    let mut left = Vec::new();
    let mut names = Vec::new();
    for gear in fact(item, "gears").split("; ") {
        let (name, elements) = gear.split_once(": ").unwrap();
        names.push(name.to_owned());
        let state = mask(layout, &elements.replace('+', " "));
        let sound = ratio(layout, state);
        assert!(sound.is_some(), "{}", item.id);
        let faulty = match stays {
            true => ElementMask(state.0 | 1 << element),
            false => ElementMask(state.0 & !(1 << element)),
        };
        // A state that misses an element leaves a speed open, unless the element did nothing.
        let kept = state == faulty || ratio(layout, faulty) == sound;
        if kept {
            left.push(name.to_owned());
        }
    }
    match &item.parts[0].answer {
        Answer::Names { accepted, from, .. } => {
            assert_eq!(*from, names, "{}", item.id);
            assert_eq!(*accepted, [left], "{}", item.id);
        }
        Answer::Choice { options, right } => {
            let said = &options[*right].said;
            let coaxle::problem::Arg::Name(told) = &said.args[0].1 else { panic!("{}", item.id) };
            assert_eq!(*told, left.join(", "), "{}", item.id);
        }
        other => panic!("{other:?}"),
    }
}

/// Rolling power of a set from what its three members take in: the carrier's power taken out.
fn efficiency(item: &Item, layout: &Layout) {
    let state = mask(layout, fact(item, "engaged"));
    let speeds = superposed(layout, state).unwrap();
    let motion = coaxle::solve_state(layout, state);
    let torques = coaxle::solve_torques(layout, &motion).unwrap();
    let loss = parse_fraction(fact(item, "loss")).unwrap();
    let mut total = fraction(0, 1);
    for set in 0..layout.sets.len() {
        let speed =
            layout.seats(set).map(|seat| seat.map_or(fraction(0, 1), |s| speeds[s.0].clone()));
        // Seen from the carrier the ring takes out what the sun puts in.
        let ring = torques.members[set][1].clone().unwrap() * (&speed[1] - &speed[2]);
        total += ring.abs();
    }
    let rolled = to_f64(&total) * 100.0;
    let efficiency = 100.0 * (1.0 - to_f64(&(loss * total)));
    assert!((to_f64(&number(&item.parts[0].answer)) - rolled).abs() < 1e-3, "{}", item.id);
    assert!((to_f64(&number(&item.parts[1].answer)) - efficiency).abs() < 1e-3, "{}", item.id);
    assert!(efficiency > 80.0 && efficiency < 100.0, "{}", item.id);
}

fn ladder(item: &Item, layout: &Layout) {
    let gears: Vec<(String, Fraction)> = fact(item, "ratios")
        .split("; ")
        .map(|gear| gear.split_once(": ").unwrap())
        .map(|(name, ratio)| (name.to_owned(), parse_fraction(ratio).unwrap()))
        .collect();
    let all: BTreeSet<Fraction> =
        layout.states().filter_map(|state| ratio(layout, state)).collect();
    assert!(gears.iter().all(|(_, ratio)| all.contains(ratio)), "{}", item.id);
    assert!(gears.is_sorted_by(|a, b| a.1 > b.1), "{}", item.id);
    let Answer::Table { rows, .. } = &item.parts[0].answer else { panic!("{}", item.id) };
    let logs: Vec<f64> = gears.iter().map(|(_, ratio)| to_f64(ratio).ln()).collect();
    for (row, pair) in rows.iter().zip(logs.windows(2)) {
        let Cell::Number { exact, .. } = &row.cells[0] else { panic!("{}", item.id) };
        assert!((to_f64(exact).ln() - (pair[0] - pair[1])).abs() < 1e-9, "{}", item.id);
    }
    let spread = (logs[0] - logs[logs.len() - 1]).exp();
    assert!((to_f64(&number(&item.parts[1].answer)) - spread).abs() < 1e-9, "{}", item.id);
    let Answer::Choice { options, right } = &item.parts[2].answer else { panic!("{}", item.id) };
    let steps: Vec<f64> = logs.windows(2).map(|pair| pair[0] - pair[1]).collect();
    let sign = if item.skeleton.ends_with("smallest") { -1.0 } else { 1.0 };
    let extreme = |&a: &usize, &b: &usize| (sign * steps[a]).total_cmp(&(sign * steps[b]));
    let asked = (0..steps.len()).max_by(extreme).unwrap();
    let args = &options[*right].said.args;
    let name = |index: usize| coaxle::problem::Arg::Name(gears[index].0.clone());
    assert_eq!((&args[0].1, &args[1].1), (&name(asked), &name(asked + 1)), "{}", item.id);
}

fn recognise(item: &Item, layout: &Layout) {
    let Answer::Table { rows, .. } = &item.parts[0].answer else { panic!("{}", item.id) };
    for row in rows {
        let names: String = row
            .head
            .args
            .iter()
            .map(|(_, arg)| match arg {
                coaxle::problem::Arg::Name(names) => names.replace(',', " "),
                other => panic!("{other:?}"),
            })
            .collect();
        let engaged = mask(layout, &names);
        let Cell::Word { of, right } = &row.cells[0] else { panic!("{}", item.id) };
        let word = of[*right].phrase.strip_prefix("behaviour-").unwrap();
        let speeds = superposed(layout, engaged);
        let one = fraction(1, 1);
        // What superposition leaves undetermined is loose where elements are missing, locked
        // where there are too many.
        let expected = match speeds.map(|speeds| speeds[OUTPUT.0].clone()) {
            None if engaged.len() < layout.engaged() => "neutral",
            None if engaged.len() > layout.engaged() => "locked",
            None => ["neutral", "locked"].into_iter().find(|w| *w == word).unwrap_or("neither"),
            Some(out) if out.is_zero() => "idle",
            Some(out) if out.is_negative() => "reverse",
            Some(out) if out == one => "direct",
            Some(out) if out < one => "reduction",
            Some(_) => "overdrive",
        };
        assert_eq!(word, expected, "{}: {names}", item.id);
    }
}
