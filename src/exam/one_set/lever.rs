//! The lever of one set: to draw the speeds on and to read from.

use super::{Way, layout_of, member, round_speeds, symbol, used};
use crate::exam::clean::{digits, ends_within};
use crate::exam::options::{Wrong, within};
use crate::exam::shop::{Shop, step};
use crate::num::{Fraction, fraction};
use crate::problem::{
    Answer, Demands, Figure, Item, Kind, Misconception, Said, SignRule, Step, Topic, Unit,
};
use crate::train::{GearSet, write_layout};

pub(in crate::exam) fn lever(shop: &mut Shop<'_>) -> Option<Item> {
    let ways = Way::all();
    let way = *shop.chance.pick(&ways)?;
    let mut speeds = shop.chance.shuffled(round_speeds(60, 600));
    let (set, speed) = (0..60).find_map(|_| {
        let set = shop.set(|_| true)?;
        shop.chance.shuffle(&mut speeds);
        let clean = |speed: &i64| {
            let out = fraction(*speed, 1) / way.ratio(&set);
            ends_within(&out, 0) && digits(&out) <= 4
        };
        Some((set, speeds.iter().copied().find(clean)?))
    })?;
    let rpm = fraction(speed, 1);
    let out = &rpm / way.ratio(&set);
    let text = write_layout(&layout_of(&set, way));
    let demands = Demands {
        sets: 1,
        equations: 2,
        unknowns: 1,
        sign_changes: 1,
        digits: digits(&out),
        concepts: 2,
        results: 2,
    };
    let topics = [Topic::Drawings, Topic::OneSet];
    let draft = used(shop, Kind::LeverDrawing, &way.letters(), &topics, way, &set)
        .fact("input-rpm", speed)
        .stem(Said::new("driver-turns").with("driver", member(way.driver)).with("speed", &rpm));
    let ask = Said::new("lever-draw-ask").with("driver", member(way.driver));
    let read = Said::new("lever-read-ask").with("out", member(way.out));
    let draft = draft.part(ask, drawing(&text), drawing_steps(way, &set, &rpm));
    let draft = draft.part(read, reading(way, &set, &rpm), reading_steps(way, &set, &rpm));
    Some(draft.done(demands))
}

fn drawing(layout: &str) -> Answer {
    let layout = layout.to_owned();
    Answer::Drawing {
        on: Figure::BlankLever { layout: layout.clone(), set: 1 },
        done: Figure::Levers { layout, engaged: vec!["A".to_owned()] },
    }
}

fn drawing_steps(way: Way, set: &GearSet, rpm: &Fraction) -> Vec<Step> {
    let line = Said::new("lever-line")
        .with("driver", member(way.driver))
        .with("held", member(way.held))
        .with("speed", rpm);
    vec![
        step(Said::new("lever-arms").with("sun", set.sun).with("ring", set.ring), 1),
        step(line, 1),
    ]
}

/// The speed that is read: a twentieth of the input speed is near enough in a drawing.
fn reading(way: Way, set: &GearSet, rpm: &Fraction) -> Answer {
    let out = rpm / way.ratio(set);
    let tolerance = rpm / fraction(20, 1);
    let wrong = Wrong::than(&out)
        .by(Misconception::InverseRatio, rpm * way.ratio(set))
        .by(Misconception::ArmsExchanged, rpm / way.exchanged().ratio(set))
        .by(Misconception::LostSign, -out.clone());
    within(&tolerance, &out, Unit::Rpm, 0, SignRule::Counts, wrong)
}

fn reading_steps(way: Way, set: &GearSet, rpm: &Fraction) -> Vec<Step> {
    let read = Said::new("lever-read")
        .maths("out", symbol("n", way.out))
        .maths("driver", symbol("n", way.driver))
        .with("speed", rpm)
        .maths("formula", way.formula())
        .with("ratio", way.ratio(set))
        .decimal("value", &(rpm / way.ratio(set)), 0);
    vec![step(read, 2)]
}
