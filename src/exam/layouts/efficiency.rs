//! Power flow and efficiency of one gear, by the power that rolls in each set.

use num_traits::{One, Signed, Zero};

use super::coupled::solved;
use super::family::{Gearbox, NamedGear, Need, clean};
use super::told::{draft, engaged};
use crate::exam::clean::{digits, is_short, last_place, rounded};
use crate::exam::options::{Wrong, number, within};
use crate::exam::shop::{Shop, step};
use crate::motion::{solve_state, solve_torques};
use crate::num::{Fraction, fraction};
use crate::problem::{
    Answer, Demands, Item, Kind, Misconception, Said, SignRule, Step, Topic, Unit,
};

/// Losses of a set's meshes in thousandths that an item may give.
const LOSSES: [i64; 4] = [10, 15, 20, 30];

/// One set in a gear: what turns and what rolls, per input.
struct Rolling {
    torque: Fraction,
    slip: Fraction,
    power: Fraction,
}

pub(in crate::exam) fn efficiency(shop: &mut Shop<'_>) -> Option<Item> {
    let need = Need { sets: 2, engaged: 1, elements: 3, forward: 2 };
    for _ in 0..10 {
        let gearbox = clean(shop, &need)?;
        let loss = *shop.chance.pick(&LOSSES)?;
        let gears = shop.chance.shuffled((0..gearbox.gears.len()).collect::<Vec<_>>());
        for gear in gears {
            if let Some(rolling) = rolling(&gearbox, &gearbox.gears[gear], shop.numbers.digits) {
                return Some(item(shop, &gearbox, gear, &rolling, &fraction(loss, 1000)));
            }
        }
    }
    None
}

/// P_roll = T_S (n_S − n_C) of every set, per input power; `None` where nothing rolls in one, all
/// together is the input power, a number is long, or more than twice the power circulates.
fn rolling(gearbox: &Gearbox, gear: &NamedGear, short: u32) -> Option<Vec<Rolling>> {
    let layout = &gearbox.layout;
    let motion = solve_state(layout, gear.engaged);
    let torques = solve_torques(layout, &motion)?;
    let mut all = Vec::new();
    for set in 0..layout.sets.len() {
        let [sun, _, carrier] = layout.seats(set).map(|seat| motion.speed_at(seat));
        let slip = sun? - carrier?;
        let torque = torques.members[set][0].clone()?;
        let power = &torque * &slip;
        if power.is_zero()
            || ![&slip, &torque, &power].into_iter().all(|value| is_short(value, short))
        {
            return None;
        }
        all.push(Rolling { torque, slip, power });
    }
    let total: Fraction = all.iter().map(|one| one.power.abs()).sum();
    (!total.is_one() && total < fraction(2, 1)).then_some(all)
}

fn item(
    shop: &mut Shop<'_>,
    gearbox: &Gearbox,
    gear: usize,
    rolling: &[Rolling],
    loss: &Fraction,
) -> Item {
    let gear = &gearbox.gears[gear];
    let names = gearbox.names(gear.engaged);
    let scene = shop.scene();
    let total: Fraction = rolling.iter().map(|one| one.power.abs()).sum();
    let efficiency = (fraction(1, 1) - loss * &total) * fraction(100, 1);
    let last = Said::new("efficiency-result").with("loss", loss).with("total", &total).decimal(
        "value",
        &efficiency,
        2,
    );
    let topics = [Topic::Torque, Topic::CoupledSets];
    let draft = draft(Kind::Efficiency, shop.level, "rolling", &topics, gearbox, scene)
        .fact("engaged", names.join(" "))
        .fact("loss", loss)
        .stem(engaged(&names))
        .stem(Said::new("losses-given").decimal("loss", &(loss * fraction(100, 1)), 1));
    let mut steps = solved(&gearbox.layout, gear);
    steps.extend(rolling_steps(rolling));
    draft
        .part(Said::new("rolling-ask"), rolled_answer(&total), steps)
        .part(
            Said::new("efficiency-ask"),
            efficiency_answer(rolling, loss, &efficiency),
            vec![step(last, 2)],
        )
        .done(Demands {
            sets: 2,
            equations: 5,
            unknowns: 2,
            sign_changes: 2,
            digits: digits(&total).max(digits(&gear.ratio)),
            concepts: 3,
            results: 2,
        })
}

/// The efficiency in percent.
fn efficiency_answer(rolling: &[Rolling], loss: &Fraction, efficiency: &Fraction) -> Answer {
    let percent = |value: Fraction| (fraction(1, 1) - loss * value) * fraction(100, 1);
    let wrong = Wrong::than(efficiency)
        .by(Misconception::LossForgotten, fraction(100, 1))
        .by(Misconception::WholePowerRolls, percent(fraction(rolling.len() as i64, 1)))
        .by(Misconception::OneMeshOnly, percent(rolling[0].power.abs()));
    let tolerance = last_place(2) * fraction(2, 1);
    within(&tolerance, &rounded(efficiency, 4), Unit::Percent, 2, SignRule::Counts, wrong)
}

/// The power that rolls in all sets, in percent of the input power.
fn rolled_answer(total: &Fraction) -> Answer {
    let rolled = rounded(&(total * fraction(100, 1)), 4);
    let wrong = Wrong::than(&rolled).by(Misconception::WholePowerRolls, fraction(100, 1));
    number(&rolled, Unit::Percent, 1, SignRule::Counts, wrong)
}

fn rolling_steps(rolling: &[Rolling]) -> Vec<Step> {
    let told = |(index, one): (usize, &Rolling)| {
        let said = Said::new("rolling-set")
            .with("set", index as u32 + 1)
            .maths("symbol", format!("T_S{}", index + 1))
            .with("torque", &one.torque)
            .with("slip", &one.slip)
            .with("power", one.power.abs());
        step(said, 1)
    };
    rolling.iter().enumerate().map(told).collect()
}
