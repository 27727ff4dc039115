//! The speed of a planet about its pin.

use num_traits::{Signed, Zero};

use super::{Way, member, ratio::willis_steps, round_speeds, stick, symbol, used};
use crate::exam::clean::{digits, ends_within};
use crate::exam::options::{Wrong, number};
use crate::exam::shop::{Shop, step};
use crate::num::{Fraction, fraction};
use crate::problem::{
    Answer, Demands, Item, Kind, Level, Misconception, Said, SignRule, Step, Topic, Unit,
};
use crate::train::{GearSet, Role};

/// Speeds in rpm of sun, ring and carrier of a set used in one way.
struct Speeds {
    sun: Fraction,
    ring: Fraction,
    carrier: Fraction,
    /// Of the planet about its pin.
    planet: Fraction,
}

/// First the carrier's speed where it is not given, then the planet's about its pin.
pub(in crate::exam) fn planet_speed(shop: &mut Shop<'_>) -> Option<Item> {
    let ways = Way::all();
    let way = ways[shop.chance.below(ways.len())];
    let places = shop.numbers.places.min(1);
    let most = if shop.level == Level::Workshop { 900 } else { 3000 };
    let mut speeds = shop.chance.shuffled(round_speeds(60, most));
    for _ in 0..60 {
        let set = shop.set(|_| true)?;
        shop.chance.shuffle(&mut speeds);
        let clean = |speed: &i64| {
            let all = Speeds::of(&set, way, *speed);
            let ends = |value: &Fraction| ends_within(value, places) && digits(value) <= 5;
            ends(&all.planet) && ends(&all.carrier) && !all.planet.is_zero()
        };
        if let Some(speed) = speeds.iter().copied().find(clean) {
            return item(shop, way, &set, speed, places);
        }
    }
    None
}

impl Speeds {
    /// n_P − n_C = −(Z_S / Z_P)(n_S − n_C); source: Willis, seen from the carrier.
    fn of(set: &GearSet, way: Way, driver: i64) -> Self {
        let speed = |role: Role| {
            if role == way.held {
                Fraction::zero()
            } else if role == way.driver {
                fraction(driver, 1)
            } else {
                fraction(driver, 1) / way.ratio(set)
            }
        };
        let [sun, ring, carrier] = Role::ALL.map(speed);
        let back = fraction(-i64::from(set.sun), i64::from(set.planet.unwrap_or(1)));
        let planet = (&sun - &carrier) * back;
        Self { sun, ring, carrier, planet }
    }
}

fn item(shop: &mut Shop<'_>, way: Way, set: &GearSet, speed: i64, places: u32) -> Option<Item> {
    let speeds = Speeds::of(set, way, speed);
    let back = fraction(-i64::from(set.sun), i64::from(set.planet?));
    let wrong = Wrong::than(&speeds.planet)
        .by(Misconception::WrongFrame, &speeds.planet + &speeds.carrier)
        .by(Misconception::CarrierTurnForgotten, &speeds.sun * &back)
        .by(Misconception::LostSign, -speeds.planet.clone())
        .by(Misconception::SunRingExchanged, (&speeds.ring - &speeds.carrier) * &back)
        .by(Misconception::InverseRatio, (&speeds.sun - &speeds.carrier) / &back);
    let asks_carrier = way.held != Role::Carrier && way.driver != Role::Carrier;
    let turns = Said::new("driver-turns")
        .with("driver", member(way.driver))
        .with("speed", fraction(speed, 1));
    let topics = [Topic::OneSet];
    let mut draft = used(shop, Kind::PlanetSpeed, &way.letters(), &topics, way, set)
        .fact("input-rpm", speed)
        .stem(turns)
        .figure(stick(set, way));
    if asks_carrier {
        let (answer, steps) = carrier_part(way, set, &speeds, speed, places);
        draft = draft.part(Said::new("carrier-speed-ask").count("places", places), answer, steps);
    }
    let answer = number(&speeds.planet, Unit::Rpm, places, SignRule::Counts, wrong);
    let ask = Said::new("planet-speed-ask").count("places", places);
    let draft = draft.part(ask, answer, planet_steps(way, set, &speeds, places));
    let demands = Demands {
        sets: 1,
        equations: if asks_carrier { 3 } else { 2 },
        unknowns: 1,
        sign_changes: 1 + u32::from(speeds.carrier.is_negative()),
        digits: digits(&speeds.planet),
        concepts: 2,
        results: if asks_carrier { 2 } else { 1 },
    };
    Some(draft.done(demands))
}

/// The carrier's speed and the way to it.
fn carrier_part(
    way: Way,
    set: &GearSet,
    speeds: &Speeds,
    speed: i64,
    places: u32,
) -> (Answer, Vec<Step>) {
    let counted = Wrong::than(&speeds.carrier)
        .by(Misconception::InverseRatio, fraction(speed, 1) * way.ratio(set))
        .by(Misconception::LostSign, -speeds.carrier.clone());
    let answer = number(&speeds.carrier, Unit::Rpm, places, SignRule::Counts, counted);
    let mut steps = willis_steps(way);
    steps.push(step(
        Said::new("speed-from-ratio")
            .maths("out", "n_C")
            .maths("driver", symbol("n", way.driver))
            .with("speed", fraction(speed, 1))
            .with("ratio", way.ratio(set))
            .decimal("value", &speeds.carrier, places),
        1,
    ));
    (answer, steps)
}

/// By the wheel whose speed is known at once: the held one, or the driver where the carrier
/// is held.
fn planet_steps(way: Way, set: &GearSet, speeds: &Speeds, places: u32) -> Vec<Step> {
    let known = if way.held == Role::Carrier { way.driver } else { way.held };
    let (rule, put, wheel, speed) = match known {
        Role::Ring => ("planet-from-ring", "planet-put-ring", set.ring, &speeds.ring),
        _ => ("planet-from-sun", "planet-put-sun", set.sun, &speeds.sun),
    };
    let put = Said::new(put)
        .with("wheel", wheel)
        .with("planet", set.planet.unwrap_or_default())
        .with("speed", speed)
        .with("carrier", &speeds.carrier)
        .decimal("value", &speeds.planet, places);
    vec![step(Said::new(rule), 1), step(put, 1)]
}
