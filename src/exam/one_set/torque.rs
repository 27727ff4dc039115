//! Torques of one set: output, held member, and the check by power.

use num_traits::Signed;

use super::{Way, member, round_speeds, stick, symbol, used};
use crate::exam::clean::{digits, ends_within, rounded};
use crate::exam::options::{Wrong, number, within};
use crate::exam::shop::{Draft, Shop, step};
use crate::num::{Fraction, fraction};
use crate::problem::{Demands, Item, Kind, Level, Misconception, Said, SignRule, Topic, Unit};
use crate::train::GearSet;

/// One set, loaded.
struct Load {
    way: Way,
    set: GearSet,
    /// Input torque in N m and input speed in rpm.
    torque: Fraction,
    speed: Fraction,
}

impl Load {
    fn ratio(&self) -> Fraction {
        self.way.ratio(&self.set)
    }

    /// Size of the output torque, |i| T_in: power in is power out.
    fn output(&self) -> Fraction {
        (self.ratio() * &self.torque).abs()
    }

    /// Size of what holds the held member: T_in + T_out + T_held = 0 with T_out = −i T_in
    /// acting on the gearbox from outside.
    fn holding(&self) -> Fraction {
        ((self.ratio() - fraction(1, 1)) * &self.torque).abs()
    }

    fn output_speed(&self) -> Fraction {
        &self.speed / self.ratio()
    }
}

pub(in crate::exam) fn torque(shop: &mut Shop<'_>) -> Option<Item> {
    let ways = Way::all();
    let way = *shop.chance.pick(&ways)?;
    let torques: Vec<i64> = (2..=40).chain((45..=300).step_by(5)).collect();
    let mut torques = shop.chance.shuffled(torques);
    let most = if shop.level == Level::Workshop { 900 } else { 3000 };
    let mut speeds = shop.chance.shuffled(round_speeds(60, most));
    let ends = |value: &Fraction| ends_within(value, 1) && digits(value) <= 5;
    for _ in 0..40 {
        let set = shop.set(|_| true)?;
        shop.chance.shuffle(&mut torques);
        shop.chance.shuffle(&mut speeds);
        let load = |torque: i64, speed: i64| Load {
            way,
            set,
            torque: fraction(torque, 1),
            speed: fraction(speed, 1),
        };
        let clean_torque = |&torque: &i64| {
            let load = load(torque, 1);
            ends(&load.output()) && ends(&load.holding())
        };
        let torque = torques.iter().copied().find(clean_torque);
        let speed = speeds.iter().copied().find(|&speed| ends(&load(1, speed).output_speed()));
        if let (Some(torque), Some(speed)) = (torque, speed) {
            return Some(item(shop, &load(torque, speed)));
        }
    }
    None
}

fn item(shop: &mut Shop<'_>, load: &Load) -> Item {
    let (way, ratio) = (load.way, load.ratio());
    let topics = [Topic::Torque, Topic::OneSet];
    let draft = used(shop, Kind::Torque, &way.letters(), &topics, way, &load.set)
        .fact("input-torque", &load.torque)
        .fact("input-rpm", &load.speed)
        .stem(
            Said::new("torque-given")
                .with("driver", member(way.driver))
                .with("torque", &load.torque)
                .with("speed", &load.speed),
        )
        .figure(stick(&load.set, way));
    let draft = with_output(draft, load, &ratio);
    let draft = with_holding(draft, load, &ratio);
    let draft = with_speed(draft, load, &ratio);
    let course = shop.level == Level::Course;
    let draft = if course { with_power(draft, load) } else { draft };
    let more = u32::from(course);
    draft.done(Demands {
        sets: 1,
        equations: 3 + more,
        unknowns: 1,
        sign_changes: 1 + u32::from(ratio.is_negative()),
        digits: digits(&load.output()).max(digits(&ratio)),
        concepts: 2 + more,
        results: 3 + more,
    })
}

fn with_output(draft: Draft, load: &Load, ratio: &Fraction) -> Draft {
    let (way, output) = (load.way, load.output());
    let exchanged = way.exchanged().ratio(&load.set).abs() * &load.torque;
    let wrong = Wrong::than(&output)
        .by(Misconception::TorqueAsSpeed, (&load.torque / ratio).abs())
        .by(Misconception::WrongHeld, (way.held_wrong().ratio(&load.set) * &load.torque).abs())
        .by(Misconception::SunRingExchanged, exchanged);
    let answer = number(&output, Unit::NewtonMetre, 1, SignRule::Ignored, wrong);
    let steps = vec![
        step(
            Said::new("ratio-line")
                .maths("formula", way.formula())
                .maths("put", way.put(&load.set))
                .with("ratio", ratio),
            1,
        ),
        step(
            Said::new("torque-output")
                .with("ratio", ratio)
                .with("torque", &load.torque)
                .decimal("value", &output, 1),
            1,
        ),
    ];
    draft.part(Said::new("torque-output-ask").with("out", member(way.out)), answer, steps)
}

fn with_holding(draft: Draft, load: &Load, ratio: &Fraction) -> Draft {
    let (way, holding) = (load.way, load.holding());
    let wrong = Wrong::than(&holding)
        .by(Misconception::ReactionForgotten, load.output())
        .by(Misconception::LostSign, ((ratio + fraction(1, 1)) * &load.torque).abs())
        .by(Misconception::TorqueAsSpeed, ((ratio.recip() - fraction(1, 1)) * &load.torque).abs());
    let answer = number(&holding, Unit::NewtonMetre, 1, SignRule::Ignored, wrong);
    let steps = vec![
        step(Said::new("torque-balance").maths("held", symbol("T", way.held)), 1),
        step(
            Said::new("torque-holding")
                .maths("held", symbol("T", way.held))
                .with("ratio", ratio)
                .with("torque", &load.torque)
                .decimal("value", &holding, 1),
            1,
        ),
    ];
    draft.part(Said::new("torque-holding-ask").with("held", member(way.held)), answer, steps)
}

fn with_speed(draft: Draft, load: &Load, ratio: &Fraction) -> Draft {
    let (way, out) = (load.way, load.output_speed());
    let wrong = Wrong::than(&out.abs()).by(Misconception::InverseRatio, &load.speed * ratio);
    let answer = number(&out.abs(), Unit::Rpm, 1, SignRule::Ignored, wrong);
    let power = &load.torque * &load.speed;
    let steps = vec![
        step(
            Said::new("speed-from-ratio")
                .maths("out", symbol("n", way.out))
                .maths("driver", symbol("n", way.driver))
                .with("speed", &load.speed)
                .with("ratio", ratio)
                .decimal("value", &out, 1),
            1,
        ),
        step(
            Said::new("power-check")
                .with("torque", &load.torque)
                .with("speed", &load.speed)
                .decimal("out-torque", &load.output(), 1)
                .decimal("out-speed", &out.abs(), 1)
                .with("power", power),
            1,
        ),
    ];
    draft.part(Said::new("torque-speed-ask").with("out", member(way.out)), answer, steps)
}

/// P = T ω in watts, to 1 %: π makes it a number without end.
fn with_power(draft: Draft, load: &Load) -> Draft {
    let product = crate::num::to_f64(&(&load.torque * &load.speed));
    let watts = product * std::f64::consts::PI / 30.0;
    let exact = rounded(&Fraction::from_float(watts).unwrap_or_else(|| fraction(0, 1)), 3);
    let wrong = Wrong::than(&exact).by(Misconception::TorqueAsSpeed, &load.torque * &load.speed);
    let tolerance = &exact * fraction(1, 100);
    let answer = within(&tolerance, &exact, Unit::Watt, 1, SignRule::Ignored, wrong);
    let said = Said::new("power-watts")
        .with("torque", &load.torque)
        .with("speed", &load.speed)
        .decimal("value", &exact, 1);
    draft.part(Said::new("power-ask"), answer, vec![step(said, 1)])
}
