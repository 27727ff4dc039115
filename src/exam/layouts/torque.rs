//! Torques in a gear of two sets: output and brake, and the check.

use num_traits::{Signed, Zero};

use super::coupled::solved;
use super::family::{Gearbox, NamedGear, Need, clean, is_brake};
use super::told::{draft, engaged};
use crate::exam::clean::{digits, ends_within};
use crate::exam::options::{Wrong, number};
use crate::exam::shop::{Shop, step};
use crate::num::{Fraction, fraction};
use crate::problem::{Answer, Demands, Item, Kind, Misconception, Said, SignRule, Topic, Unit};

pub(in crate::exam) fn torque(shop: &mut Shop<'_>) -> Option<Item> {
    let need = Need { sets: 2, engaged: 1, elements: 3, forward: 2 };
    let gearbox = clean(shop, &need)?;
    let braked: Vec<usize> = (0..gearbox.gears.len())
        .filter(|&gear| {
            let gear = &gearbox.gears[gear];
            let mut engaged = gear.engaged.iter();
            gearbox.all_work(gear)
                && engaged.all(|element| is_brake(&gearbox.layout.elements[element]))
        })
        .collect();
    let gear = *shop.chance.pick(&braked)?;
    let torques = shop.chance.shuffled((4..=60).map(|t| 5 * t).collect::<Vec<i64>>());
    let ratio = gearbox.gears[gear].ratio.clone();
    let ends = |value: &Fraction| ends_within(value, 1) && digits(value) <= 5;
    let clean_torque = torques
        .into_iter()
        .map(|torque| fraction(torque, 1))
        .find(|torque| ends(&(&ratio * torque)) && ends(&((&ratio - fraction(1, 1)) * torque)))?;
    Some(item(shop, &gearbox, &gearbox.gears[gear], &clean_torque))
}

fn item(shop: &mut Shop<'_>, gearbox: &Gearbox, gear: &NamedGear, torque: &Fraction) -> Item {
    let scene = shop.scene();
    let names = gearbox.names(gear.engaged);
    let topics = [Topic::Torque, Topic::CoupledSets];
    let (output, holding) =
        ((&gear.ratio * torque).abs(), ((&gear.ratio - fraction(1, 1)) * torque).abs());
    let ratio = Answer::Fraction {
        exact: gear.ratio.clone(),
        sign: SignRule::Counts,
        wrong: Wrong::than(&gear.ratio)
            .by(Misconception::InverseRatio, gear.ratio.recip())
            .by(Misconception::LostSign, -gear.ratio.clone())
            .apart(&Fraction::zero()),
    };
    let out_wrong =
        Wrong::than(&output).by(Misconception::TorqueAsSpeed, (torque / &gear.ratio).abs());
    let held_wrong = Wrong::than(&holding)
        .by(Misconception::ReactionForgotten, output.clone())
        .by(Misconception::LostSign, ((&gear.ratio + fraction(1, 1)) * torque).abs());
    let output_answer = number(&output, Unit::NewtonMetre, 1, SignRule::Ignored, out_wrong);
    let holding_answer = number(&holding, Unit::NewtonMetre, 1, SignRule::Ignored, held_wrong);
    let output_step = Said::new("torque-output")
        .with("ratio", &gear.ratio)
        .with("torque", torque)
        .decimal("value", &output, 1);
    let holding_step = Said::new("torque-holding")
        .maths("held", format!("T_{}", names.join("")))
        .with("ratio", &gear.ratio)
        .with("torque", torque)
        .decimal("value", &holding, 1);
    let balance = Said::new("torque-balance").maths("held", format!("T_{}", names.join("")));
    draft(Kind::Torque, shop.level, "brake", &topics, gearbox, scene)
        .fact("engaged", names.join(" "))
        .fact("input-torque", torque)
        .stem(engaged(&names))
        .stem(Said::new("input-torque-given").with("torque", torque))
        .part(Said::new("coupled-ratio-ask"), ratio, solved(&gearbox.layout, gear))
        .part(Said::new("torque-out-ask"), output_answer, vec![step(output_step, 1)])
        .part(
            Said::new("torque-brake-ask").name("element", names.join(", ")),
            holding_answer,
            vec![step(balance, 1), step(holding_step, 1)],
        )
        .done(Demands {
            sets: 2,
            equations: 4,
            unknowns: 2,
            sign_changes: 1 + u32::from(gear.ratio.is_negative()),
            digits: digits(&output),
            concepts: 3,
            results: 3,
        })
}
