//! The ratio of one set, one member driven and one held.

use num_traits::Zero;

use super::{Way, member, round_speeds, stick, symbol, used};
use crate::exam::clean::{digits, ends_within, is_short};
use crate::exam::options::{Wrong, exchangeable, number};
use crate::exam::shop::{Draft, Shop, step};
use crate::num::{Fraction, fraction};
use crate::problem::{
    Answer, Demands, Item, Kind, Level, Misconception, Said, SignRule, Step, Topic, Unit,
};
use crate::train::{GearSet, Role};

/// How the ratio is asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Asked {
    /// As a fraction in lowest terms.
    Fraction,
    /// As one of four.
    Choice,
    /// The speed of the driven member in rpm.
    Speed,
}

/// The ratio, as a fraction, a choice or through the speed that comes out.
pub(in crate::exam) fn ratio(shop: &mut Shop<'_>) -> Option<Item> {
    let asked = [Asked::Fraction, Asked::Choice, Asked::Speed][shop.chance.below(3)];
    let (short, places) = (shop.numbers.digits, shop.numbers.places);
    if asked == Asked::Choice {
        return choice_item(shop);
    }
    let way = *shop.chance.pick(&Way::all())?;
    match asked {
        Asked::Speed => {
            let set = shop.set(|set| ends_within(&way.ratio(set), places))?;
            speed_item(shop, way, &set)
        }
        _ => {
            let set = shop.set(|set| is_short(&way.ratio(set), short))?;
            Some(fraction_item(shop, way, &set))
        }
    }
}

fn draft(shop: &mut Shop<'_>, way: Way, set: &GearSet, variant: &str) -> Draft {
    let variant = format!("{}-{variant}", way.letters());
    used(shop, Kind::Ratio, &variant, &[Topic::OneSet], way, set).figure(stick(set, way))
}

fn fraction_item(shop: &mut Shop<'_>, way: Way, set: &GearSet) -> Item {
    let exact = way.ratio(set);
    let wrong = wrong_ratios(way, set).apart(&Fraction::zero());
    let answer = Answer::Fraction { exact, sign: SignRule::Counts, wrong };
    ratio_item(draft(shop, way, set, "fraction"), way, set, "ratio-ask", answer)
}

/// The ratios of four of the six ways of one set, of which any may be asked for.
fn choice_item(shop: &mut Shop<'_>) -> Option<Item> {
    let ways = shop.chance.some(&Way::all(), OPTIONS);
    let short = shop.numbers.digits;
    let set = shop.set(|set| ways.iter().all(|way| is_short(&way.ratio(set), short)))?;
    let right = shop.chance.below(OPTIONS);
    let say = |way: &Way| Said::new("ratio-option").with("value", way.ratio(&set));
    let options = ways.iter().map(say).collect();
    let slip = |other: usize| ways[right].slip_to(ways[other]);
    let answer = exchangeable(options, right, &mut shop.chance, slip)?;
    let way = ways[right];
    Some(ratio_item(draft(shop, way, &set, "choice"), way, &set, "ratio-choose", answer))
}

/// Options of a choice.
const OPTIONS: usize = 4;

fn ratio_item(draft: Draft, way: Way, set: &GearSet, ask: &str, answer: Answer) -> Item {
    let exact = way.ratio(set);
    let mut steps = willis_steps(way);
    steps
        .push(step(Said::new("ratio-numbers").maths("put", way.put(set)).with("ratio", &exact), 1));
    let ask = Said::new(ask).with("driver", member(way.driver)).with("out", member(way.out));
    draft.part(ask, answer, steps).done(demands(way, &exact, 0))
}

fn speed_item(shop: &mut Shop<'_>, way: Way, set: &GearSet) -> Option<Item> {
    let ratio = way.ratio(set);
    let places = shop.numbers.places.min(1);
    let most = if shop.level == Level::Workshop { 1500 } else { 4000 };
    // Every round speed is tried, in any order, for one whose result ends.
    let speeds = shop.chance.shuffled(round_speeds(60, most));
    let speed = speeds.into_iter().find(|&speed| {
        let out = fraction(speed, 1) / &ratio;
        ends_within(&out, places) && digits(&out) <= 4
    })?;
    let rpm = fraction(speed, 1);
    let out = &rpm / &ratio;
    let speed_of = |ratio: &Fraction| &rpm / ratio;
    let mut wrong = Wrong::than(&out);
    for one in wrong_ratios(way, set).apart(&Fraction::zero()) {
        wrong = wrong.by(one.misconception, speed_of(&one.value));
    }
    let answer = number(&out, Unit::Rpm, places, SignRule::Counts, wrong);
    let mut steps = willis_steps(way);
    steps
        .push(step(Said::new("ratio-numbers").maths("put", way.put(set)).with("ratio", &ratio), 1));
    steps.push(step(
        Said::new("speed-from-ratio")
            .maths("out", symbol("n", way.out))
            .maths("driver", symbol("n", way.driver))
            .with("speed", &rpm)
            .with("ratio", &ratio)
            .decimal("value", &out, places),
        1,
    ));
    let ask = Said::new("speed-ask")
        .with("driver", member(way.driver))
        .with("out", member(way.out))
        .with("speed", &rpm)
        .count("places", places);
    let draft = draft(shop, way, set, "speed").fact("input-rpm", speed);
    Some(draft.part(ask, answer, steps).done(demands(way, &ratio, 1)))
}

/// What known errors make of the ratio.
pub(super) fn wrong_ratios(way: Way, set: &GearSet) -> Wrong {
    let exact = way.ratio(set);
    let [sun, ring, planet] = [set.sun, set.ring, set.planet.unwrap_or_default()].map(i64::from);
    let plain = match (way.driver, way.out) {
        (Role::Sun, _) | (_, Role::Ring) => fraction(ring, sun),
        _ => fraction(sun, ring),
    };
    // The sum with the planet's teeth in it, wherever the carrier or the ring counts.
    let counted = |role: Role| match role {
        Role::Sun => sun,
        Role::Ring => ring + planet,
        Role::Carrier => sun + ring + planet,
    };
    let with_planet = fraction(counted(way.out), counted(way.driver));
    let with_planet = if exact < Fraction::zero() { -with_planet } else { with_planet };
    Wrong::than(&exact)
        .by(Misconception::InverseRatio, exact.recip())
        .by(Misconception::LostSign, -exact.clone())
        .by(Misconception::CarrierIdle, -plain.clone())
        .by(Misconception::SumForgotten, plain)
        .by(Misconception::WrongHeld, way.held_wrong().ratio(set))
        .by(Misconception::PlanetCounted, with_planet)
}

/// From the speed equation to the formula of the way.
pub(super) fn willis_steps(way: Way) -> Vec<Step> {
    let held = symbol("n", way.held);
    vec![
        step(Said::new("willis-one-set"), 1),
        step(
            Said::new("held-is-zero")
                .maths("held", held)
                .maths("driver", symbol("n", way.driver))
                .maths("out", symbol("n", way.out))
                .maths("formula", way.formula()),
            1,
        ),
    ]
}

fn demands(way: Way, ratio: &Fraction, more: u32) -> Demands {
    Demands {
        sets: 1,
        equations: 1 + more,
        unknowns: 1,
        sign_changes: u32::from(way.held == Role::Carrier),
        digits: digits(ratio),
        concepts: 1,
        results: 1,
    }
}
