//! The levers of two coupled sets: to draw the speeds of a gear on, and to read from.

use super::coupled::solved;
use super::family::{NamedGear, Need, clean};
use super::told::{draft, engaged};
use crate::exam::clean::{digits, ends_within};
use crate::exam::one_set::round_speeds;
use crate::exam::options::{Wrong, within};
use crate::exam::shop::{Shop, step};
use crate::num::{Fraction, fraction};
use crate::problem::{
    Answer, Demands, Figure, Item, Kind, Misconception, Said, SignRule, Topic, Unit,
};
use crate::train::write_layout;

pub(in crate::exam) fn lever(shop: &mut Shop<'_>) -> Option<Item> {
    let need = Need { sets: 2, engaged: 1, elements: 3, forward: 2 };
    let gearbox = clean(shop, &need)?;
    let rolling: Vec<&NamedGear> = (0..gearbox.gears.len())
        .map(|gear| &gearbox.gears[gear])
        .filter(|gear| gear.ratio != fraction(1, 1) && gearbox.all_work(gear))
        .collect();
    let gear = *shop.chance.pick(&rolling)?;
    let speeds = shop.chance.shuffled(round_speeds(60, 600));
    let rpm = speeds.into_iter().map(|speed| fraction(speed, 1)).find(|rpm| {
        let out = rpm / &gear.ratio;
        ends_within(&out, 0) && digits(&out) <= 4
    })?;
    let out = &rpm / &gear.ratio;
    let names = gearbox.names(gear.engaged);
    let text = write_layout(&gearbox.layout);
    let scene = shop.scene();
    let drawing = Answer::Drawing {
        on: Figure::BlankLever { layout: text.clone(), set: 1 },
        done: Figure::Levers { layout: text.clone(), engaged: names.clone() },
    };
    let arms = |set: usize| {
        let teeth = gearbox.layout.sets[set];
        let said = Said::new("lever-arms-of-set").with("set", set as u32 + 1);
        step(said.with("sun", teeth.sun).with("ring", teeth.ring), 1)
    };
    let draw_steps = vec![arms(0), arms(1), step(Said::new("levers-share"), 2)];
    let mut read_steps = solved(&gearbox.layout, gear);
    read_steps.push(step(
        Said::new("output-speed")
            .with("speed", &rpm)
            .with("ratio", &gear.ratio)
            .decimal("value", &out, 0),
        1,
    ));
    let topics = [Topic::Drawings, Topic::CoupledSets];
    let draft = draft(Kind::LeverDrawing, shop.level, "coupled", &topics, &gearbox, scene)
        .fact("engaged", names.join(" "))
        .fact("input-rpm", &rpm)
        .stem(engaged(&names))
        .stem(Said::new("input-turns").with("speed", &rpm))
        .figure(Figure::BlankLever { layout: text, set: 2 });
    let demands = Demands {
        sets: 2,
        equations: 3,
        unknowns: 2,
        sign_changes: 1,
        digits: digits(&out),
        concepts: 3,
        results: 2,
    };
    let draft = draft.part(Said::new("levers-draw-ask"), drawing, draw_steps).part(
        Said::new("levers-read-ask"),
        reading(&gear.ratio, &rpm),
        read_steps,
    );
    Some(draft.done(demands))
}

/// The speed that is read: a twentieth of the input speed is near enough in a drawing.
fn reading(ratio: &Fraction, rpm: &Fraction) -> Answer {
    let (out, tolerance) = (rpm / ratio, rpm / fraction(20, 1));
    let wrong = Wrong::than(&out)
        .by(Misconception::InverseRatio, rpm * ratio)
        .by(Misconception::LostSign, -out.clone());
    within(&tolerance, &out, Unit::Rpm, 0, SignRule::Counts, wrong)
}
