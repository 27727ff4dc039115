//! Items on one set, each answer found again by another way than its generator went: the
//! generator knows formulas, these tests solve the layout, try every number, or place the
//! planets in a plane.

use std::collections::BTreeSet;

use crate::common::exam::{assert_sound, brief, numbers_of};
use coaxle::motion::{Status, planet_speed, solve_state, solve_torques};
use coaxle::num::{Fraction, fraction, parse_fraction, to_f64};
use coaxle::problem::{Answer, Cell, Item, Kind, Level, SignRule};
use coaxle::train::{ElementMask, GearSet, Layout, parse_layout};
use num_traits::Signed;

/// Items of each level; over all seeds together with `tests/engine/exam_layouts.rs` 20,000 and more.
const ITEMS: usize = 6_500;

fn layout(item: &Item) -> Layout {
    parse_layout(&item.layout).unwrap_or_else(|mistake| panic!("{}: {mistake}", item.id))
}

fn fact<'a>(item: &'a Item, name: &str) -> Option<&'a str> {
    item.facts.iter().find(|(fact, _)| fact == name).map(|(_, value)| value.as_str())
}

fn number(item: &Item, name: &str) -> Fraction {
    let text = fact(item, name).unwrap_or_else(|| panic!("{} has no {name}", item.id));
    parse_fraction(text).unwrap()
}

/// The ratio with everything engaged, by the linear system of all speeds.
fn solved_ratio(layout: &Layout) -> Fraction {
    solve_state(layout, ElementMask::of([0])).ratio.expect("live")
}

/// What the right answer of a part is, as a number.
fn right_number(answer: &Answer) -> Fraction {
    match answer {
        Answer::Number { exact, .. } | Answer::Fraction { exact, .. } => exact.clone(),
        Answer::Choice { options, right } => {
            numbers_of(&options[*right].said).into_iter().next().expect("an option with a number")
        }
        other => panic!("no number: {other:?}"),
    }
}

#[test]
fn answers_on_one_set_are_found_again_another_way() {
    let mut kinds = BTreeSet::new();
    for level in Level::ALL {
        let mut brief = brief(level, ITEMS);
        brief.kinds.retain(|kind| ONE_SET.contains(kind));
        let pool = coaxle::exam::pool(&brief);
        assert!(pool.items.len() > 4 * ITEMS / 5, "{} items only", pool.items.len());
        for item in pool.items.iter().filter(|item| layout(item).sets.len() == 1) {
            kinds.insert(item.kind);
            assert_sound(item);
            match item.kind {
                Kind::SixWays => six_ways(item),
                Kind::Ratio => ratio(item),
                Kind::TwoDriven => two_driven(item),
                Kind::PlanetSpeed => planet(item),
                Kind::Assembly => assembly(item),
                Kind::FindTeeth => find_teeth(item),
                Kind::Torque => torque(item),
                Kind::LeverDrawing => lever(item),
                Kind::Recognise => recognise(item),
                Kind::Derive => derive(item),
                other => panic!("{other:?} on one set"),
            }
        }
    }
    assert_eq!(kinds, ONE_SET.into_iter().collect());
}

const ONE_SET: [Kind; 10] = [
    Kind::SixWays,
    Kind::Ratio,
    Kind::TwoDriven,
    Kind::Torque,
    Kind::PlanetSpeed,
    Kind::Assembly,
    Kind::FindTeeth,
    Kind::LeverDrawing,
    Kind::Recognise,
    Kind::Derive,
];

/// Ratio of one set with `driver` and `held` named by phrases such as "member-sun".
fn ratio_of_way(set: &GearSet, driver: &str, held: &str) -> Fraction {
    let member = |phrase: &str| match phrase {
        "member-sun" => "S1",
        "member-ring" => "R1",
        _ => "C1",
    };
    let all = ["member-sun", "member-ring", "member-carrier"];
    let out = all.into_iter().find(|&m| m != driver && m != held).unwrap();
    let text = format!(
        "sets = [{{ sun = {}, ring = {} }}]\n[shafts]\ninput = [\"{}\"]\noutput = [\"{}\"]\n\
         third = [\"{}\"]\n[elements]\nA = {{ brake = \"third\" }}",
        set.sun,
        set.ring,
        member(driver),
        member(out),
        member(held)
    );
    solved_ratio(&parse_layout(&text).unwrap())
}

fn said_arg<'a>(said: &'a coaxle::problem::Said, place: &str) -> &'a str {
    match &said.args.iter().find(|(name, _)| name == place).unwrap().1 {
        coaxle::problem::Arg::Said(said) => &said.phrase,
        other => panic!("{other:?}"),
    }
}

fn six_ways(item: &Item) {
    let set = layout(item).sets[0];
    match &item.parts[0].answer {
        Answer::Table { rows, .. } => {
            assert_eq!(rows.len(), 6);
            for row in rows {
                let found =
                    ratio_of_way(&set, said_arg(&row.head, "driver"), said_arg(&row.head, "held"));
                let Cell::Number { exact, .. } = &row.cells[1] else { panic!("{}", item.id) };
                assert_eq!(*exact, found, "{}", item.id);
                let Cell::Word { right, of } = &row.cells[2] else { panic!("{}", item.id) };
                assert_eq!(of[*right].phrase == "sense-reversed", found.is_negative());
            }
        }
        Answer::Choice { options, right } => {
            let wanted = number(item, "ratio");
            for (index, option) in options.iter().enumerate() {
                let said = &option.said;
                let found = ratio_of_way(&set, said_arg(said, "driver"), said_arg(said, "held"));
                assert_eq!(found == wanted, index == *right, "{}", item.id);
            }
        }
        other => panic!("{other:?}"),
    }
}

fn ratio(item: &Item) {
    let ratio = solved_ratio(&layout(item));
    let expected = match fact(item, "input-rpm") {
        Some(_) => number(item, "input-rpm") / ratio,
        None => ratio,
    };
    assert_eq!(right_number(&item.parts[0].answer), expected, "{}", item.id);
}

/// The third speed of a set by trying: speeds that turn alike and relative ones.
fn two_driven(item: &Item) {
    let set = layout(item).sets[0];
    let given = |name: &str| fact(item, name).map(|_| number(item, name));
    let (sun, ring, carrier) = (given("sun-rpm"), given("ring-rpm"), given("carrier-rpm"));
    let back = fraction(-i64::from(set.sun), i64::from(set.ring));
    let expected = match (sun, ring, carrier) {
        // n_R - n_C = back (n_S - n_C).
        (Some(sun), None, Some(carrier)) => &carrier + back * (sun - &carrier),
        (None, Some(ring), Some(carrier)) => &carrier + (ring - &carrier) / back,
        (Some(sun), Some(ring), None) => (ring - &back * sun) / (fraction(1, 1) - back),
        other => panic!("{}: {other:?}", item.id),
    };
    assert_eq!(right_number(&item.parts[0].answer), expected, "{}", item.id);
}

fn planet(item: &Item) {
    let layout = layout(item);
    let motion = solve_state(&layout, ElementMask::of([0]));
    let rpm = number(item, "input-rpm");
    let found = planet_speed(&layout, &motion, 0).unwrap() * &rpm;
    assert_eq!(right_number(&item.parts.last().unwrap().answer), found, "{}", item.id);
    if item.parts.len() == 2 {
        let [_, _, carrier] = layout.seats(0);
        let carrier = motion.speed_at(carrier).unwrap() * rpm;
        assert_eq!(right_number(&item.parts[0].answer), carrier, "{}", item.id);
    }
}

/// Whether `planets` can be put in, each at its place: the sun's teeth there and the ring's
/// gaps there ask the planet to stand in some phase, and both must ask for the same.
fn goes_in(set: &GearSet, planets: u32) -> bool {
    (0..planets).all(|place| {
        let turn = f64::from(place) / f64::from(planets);
        // In teeth: the sun's flank is met from outside, the ring's from inside.
        let (by_sun, by_ring) = (-f64::from(set.sun) * turn, f64::from(set.ring) * turn);
        let apart = (by_sun - by_ring).rem_euclid(1.0);
        apart.min(1.0 - apart) < 1e-9
    })
}

/// Least distance between the tip circles of neighbours, by their centres in the plane.
fn room(set: &GearSet, planets: u32) -> f64 {
    let radius = f64::from(set.sun + set.planet.unwrap()) / 2.0;
    let centre = |index: u32| {
        let angle = std::f64::consts::TAU * f64::from(index) / f64::from(planets);
        (radius * angle.cos(), radius * angle.sin())
    };
    let (a, b) = (centre(0), centre(1));
    (a.0 - b.0).hypot(a.1 - b.1) - f64::from(set.planet.unwrap() + 2)
}

fn assembly(item: &Item) {
    let set = layout(item).sets[0];
    let good = |n: u32| goes_in(&set, n) && room(&set, n) >= 0.5;
    match &item.parts[0].answer {
        Answer::Number { exact, .. } => {
            let most = (2..=10).filter(|&n| good(n)).max().unwrap();
            assert_eq!(*exact, fraction(i64::from(most), 1), "{}", item.id);
        }
        Answer::Table { rows, .. } => {
            for (row, planets) in rows.iter().zip(3..) {
                let expected =
                    [Cell::Tick(goes_in(&set, planets)), Cell::Tick(room(&set, planets) >= 0.5)];
                assert_eq!(row.cells, expected, "{}", item.id);
            }
        }
        Answer::Choice { options, right } => {
            for (index, option) in options.iter().enumerate() {
                let planets = to_f64(&numbers_of(&option.said)[0]) as u32;
                assert_eq!(good(planets), index == *right, "{}: {planets}", item.id);
            }
        }
        other => panic!("{other:?}"),
    }
}

/// Every sun, planet and ring there is is tried.
fn find_teeth(item: &Item) {
    let limit = |name: &str| to_f64(&number(item, name)) as u32;
    let (sun, planet) = (limit("least-sun"), limit("least-planet"));
    let (ring, planets) = (limit("most-ring"), limit("planets"));
    let target = number(item, "ratio");
    let template = layout(item);
    let mut expected = BTreeSet::new();
    for z_r in 1..=ring {
        for z_s in sun..z_r {
            for z_p in (planet..z_r).filter(|z_p| z_s + 2 * z_p == z_r) {
                let set = GearSet { planet: Some(z_p), ..GearSet::single(z_s, z_r) };
                let fits = goes_in(&set, planets) && room(&set, planets) >= 0.5;
                let tried = Layout { sets: vec![set], ..template.clone() };
                if fits && solved_ratio(&tried) == target {
                    expected.insert([z_s, z_p, z_r, planets]);
                }
            }
        }
    }
    let Answer::Teeth { accepted } = &item.parts[0].answer else { panic!("{}", item.id) };
    assert_eq!(accepted.iter().copied().collect::<BTreeSet<_>>(), expected, "{}", item.id);
    assert_eq!(accepted.len(), expected.len(), "{}", item.id);
}

fn torque(item: &Item) {
    let layout = layout(item);
    let motion = solve_state(&layout, ElementMask::of([0]));
    let torques = solve_torques(&layout, &motion).unwrap();
    let (torque, speed) = (number(item, "input-torque"), number(item, "input-rpm"));
    let parts: Vec<Fraction> = item.parts.iter().map(|part| right_number(&part.answer)).collect();
    assert_eq!(parts[0], (torques.output * &torque).abs(), "{}", item.id);
    assert_eq!(parts[1], (torques.elements[0].clone().unwrap() * &torque).abs(), "{}", item.id);
    assert_eq!(parts[2], (motion.speeds[1].clone().unwrap() * &speed).abs(), "{}", item.id);
    if let Some(power) = parts.get(3) {
        let watts = to_f64(&torque) * to_f64(&speed) * std::f64::consts::TAU / 60.0;
        assert!((to_f64(power) / watts - 1.0).abs() < 1e-3, "{}", item.id);
    }
    for part in &item.parts {
        let Answer::Number { sign, unit, .. } = &part.answer else { panic!("{}", item.id) };
        assert_eq!(*sign, SignRule::Ignored);
        assert_ne!(*unit, coaxle::problem::Unit::None, "{}", item.id);
    }
}

fn lever(item: &Item) {
    let out = number(item, "input-rpm") / solved_ratio(&layout(item));
    assert_eq!(right_number(&item.parts[1].answer), out, "{}", item.id);
}

fn recognise(item: &Item) {
    let layout = layout(item);
    let behaviour = |engaged: ElementMask| {
        let motion = solve_state(&layout, engaged);
        match (motion.status, motion.ratio) {
            (Status::Loose, _) => "behaviour-neutral",
            (Status::Locked, _) => "behaviour-locked",
            (Status::Live, Some(i)) if i.is_negative() => "behaviour-reverse",
            (Status::Live, Some(i)) if i == fraction(1, 1) => "behaviour-direct",
            (Status::Live, Some(i)) if i > fraction(1, 1) => "behaviour-reduction",
            (Status::Live, _) => "behaviour-overdrive",
            other => panic!("{}: {other:?}", item.id),
        }
    };
    match &item.parts[0].answer {
        Answer::Table { rows, .. } => {
            for (bits, row) in rows.iter().enumerate() {
                let Cell::Word { of, right } = &row.cells[0] else { panic!("{}", item.id) };
                assert_eq!(of[*right].phrase, behaviour(ElementMask(bits as u32)), "{}", item.id);
            }
        }
        Answer::Choice { options, right } => {
            let names = fact(item, "engaged").unwrap();
            let engaged = ElementMask::of(
                names.split_whitespace().map(|name| usize::from(name.as_bytes()[0] - b'A')),
            );
            let right_one = behaviour(engaged);
            for (index, option) in options.iter().enumerate() {
                assert_eq!(option.said.phrase == right_one, index == *right, "{}", item.id);
            }
        }
        other => panic!("{other:?}"),
    }
}

fn derive(item: &Item) {
    let ratio = solved_ratio(&layout(item));
    assert_eq!(right_number(&item.parts[1].answer), ratio, "{}", item.id);
    // Points follow minutes; of those there are, the derivation has three quarters and more.
    assert!(4 * item.parts[0].points() >= 3 * item.points(), "{}", item.id);
    // The formula that the solution ends in has the value of the ratio.
    let said = &item.parts[1].steps[0].said;
    let put = said.args.iter().find(|(place, _)| place == "put").unwrap();
    let coaxle::problem::Arg::Maths(put) = &put.1 else { panic!("{}", item.id) };
    let value =
        crate::common::arithmetic::value_of(&put.replace(" * ", "·").replace('/', " / "), &|_| {
            None
        });
    assert_eq!(value, Some(ratio), "{}: {put}", item.id);
}
