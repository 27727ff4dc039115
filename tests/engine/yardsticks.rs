//! Two public problems of gear teeth, solved with proof, and the bounds held against loops.

#[path = "../yardsticks/mod.rs"]
mod problems;

use problems::areas::{Area, Problem, Quotient, Side, Verdict, area_of, search};
use problems::gear_train::{self, GearTrain};
use problems::plain;
use problems::planetary::{self, Planetary};
use rand::{RngExt as _, SeedableRng as _};
use rand_pcg::Pcg64;

const ALL: u64 = u64::MAX;

/// What doubles may lose on the plain side; the bounds themselves are whole numbers.
const ROUNDING: f64 = 1e-12;

#[test]
fn sandgrens_gear_train_is_solved_with_proof() {
    let outcome = search(&GearTrain, gear_train::WHOLE, ALL);
    assert!(outcome.is_proved());
    let (error, mut teeth) = outcome.best.unwrap();
    teeth[..2].sort();
    teeth[2..].sort();
    assert_eq!(teeth, [16, 19, 43, 49]);
    assert!((error.to_f64().powi(2) - 2.7008571e-12).abs() < 1e-19);
    // The whole space is small enough for loops.
    let (squared, _) = plain::gear_train(&gear_train::WHOLE);
    assert!((error.to_f64() - squared.sqrt()).abs() < ROUNDING);
}

#[test]
fn the_planetary_problem_is_solved_with_proof() {
    let outcome = search(&Planetary, planetary::WHOLE, ALL);
    assert!(outcome.is_proved());
    let (worth, found) = outcome.best.unwrap();
    assert_eq!(worth, Quotient::new(52_325, 100_000));
    // Several points share it; this one has small wheels. Five planets, modules 1.75 and 2.
    let small = [40, 21, 14, 19, 14, 69, 5, 7, 8];
    for point in [found, small] {
        assert!(plain::allowed(point), "{point:?}");
        assert_eq!(Planetary.verdict(&point), Verdict::Allowed, "{point:?}");
        assert_eq!(Planetary.least(&area_of(point)), Some(worth), "{point:?}");
    }
}

#[test]
fn a_search_that_was_stopped_proves_nothing() {
    let whole = search(&Planetary, planetary::WHOLE, ALL);
    for most in [1, 100, whole.areas / 2] {
        let part = search(&Planetary, planetary::WHOLE, most);
        assert!(!part.is_proved() && part.areas <= most + 1, "{part:?}");
    }
}

fn any_point<const N: usize>(random: &mut Pcg64, area: &Area<N>) -> [i64; N] {
    area.map(|side| random.random_range(side.low..=side.high))
}

/// An area around the point, within the whole: each side reaches up to `reach` to either
/// side of it.
fn area_around<const N: usize>(
    random: &mut Pcg64,
    point: [i64; N],
    whole: &Area<N>,
    reach: [i64; N],
) -> Area<N> {
    std::array::from_fn(|side| {
        let Side { low, high } = whole[side];
        let mut step = || random.random_range(0..=reach[side]);
        Side::new((point[side] - step()).max(low), (point[side] + step()).min(high))
    })
}

/// About one point in seven thousand is allowed.
fn any_allowed_point(random: &mut Pcg64) -> [i64; 9] {
    loop {
        let point = any_point(random, &planetary::WHOLE);
        if plain::allowed(point) {
            return point;
        }
    }
}

#[test]
fn small_gear_trains_agree_with_loops() {
    let mut random = Pcg64::seed_from_u64(6931);
    for _ in 0..500 {
        let point = any_point(&mut random, &gear_train::WHOLE);
        let area = area_around(&mut random, point, &gear_train::WHOLE, [6; 4]);
        let outcome = search(&GearTrain, area, ALL);
        let (error, found) = outcome.best.unwrap();
        let (squared, _) = plain::gear_train(&area);
        assert!(outcome.is_proved());
        assert!((error.to_f64() - squared.sqrt()).abs() < ROUNDING, "{area:?}");
        let own = plain::squared_error(found).sqrt();
        assert!((error.to_f64() - own).abs() < ROUNDING, "{found:?}");
    }
}

/// Sides that decide the ratios are short, for the sake of the loops; the others are not.
#[test]
fn small_planetary_problems_agree_with_loops() {
    let mut random = Pcg64::seed_from_u64(52_325);
    let reach = [4, 4, 4, 4, 20, 4, 2, 3, 3];
    let mut solved = 0;
    for round in 0..800 {
        // Near allowed points most areas have a best; elsewhere most must be found to have none.
        let centre = match round % 2 {
            0 => any_allowed_point(&mut random),
            _ => any_point(&mut random, &planetary::WHOLE),
        };
        let area = area_around(&mut random, centre, &planetary::WHOLE, reach);
        let outcome = search(&Planetary, area, ALL);
        assert!(outcome.is_proved());
        let plainly = plain::planetary(&area);
        assert_eq!(outcome.best.is_some(), plainly.is_some(), "{area:?}");
        if let (Some((worth, point)), Some((expected, _))) = (outcome.best, plainly) {
            assert!((worth.to_f64() - expected).abs() < ROUNDING, "{area:?}");
            assert!(plain::allowed(point), "{point:?}");
            solved += 1;
        }
    }
    assert!((400..700).contains(&solved), "{solved} of 800 areas have allowed points");
}

#[test]
fn no_gear_train_is_better_than_its_areas_say() {
    let mut random = Pcg64::seed_from_u64(12);
    for reach in [0, 1, 3, 10, 48] {
        for _ in 0..2000 {
            let point = any_point(&mut random, &gear_train::WHOLE);
            let area = area_around(&mut random, point, &gear_train::WHOLE, [reach; 4]);
            let least = GearTrain.least(&area).unwrap().to_f64();
            let own = plain::squared_error(point).sqrt();
            assert!(least <= own + ROUNDING, "{point:?} in {area:?}");
            assert!(reach > 0 || least >= own - ROUNDING, "{point:?}");
        }
    }
}

/// An area around an allowed point is never thought empty, nor worse than the point.
#[test]
fn no_allowed_point_is_better_than_its_areas_say() {
    let mut random = Pcg64::seed_from_u64(96);
    for _ in 0..1000 {
        let point = any_allowed_point(&mut random);
        let [n1, n2, n3, n4, _, n6, ..] = point;
        let own = plain::farthest_ratio(n1, n2, n3, n4, n6);
        for reach in [0, 1, 2, 4, 8, 16, 80] {
            // Some sides stay closed, as they do in a search.
            let open = [reach; 9].map(|reach| if random.random() { reach } else { 0 });
            let area = area_around(&mut random, point, &planetary::WHOLE, open);
            let least = Planetary.least(&area).map(Quotient::to_f64);
            assert!(least.is_some_and(|least| least <= own + ROUNDING), "{point:?} in {area:?}");
            assert!(reach > 0 || least.is_some_and(|least| least >= own - ROUNDING), "{point:?}");
        }
    }
}
