//! Two coupled sets in one gear: simultaneous equations; and the same in letters.

use num_traits::{One, Signed, Zero};

use super::family::{Gearbox, NamedGear, Need, clean};
use super::told::{Symbols, draft, engaged, per_input};
use crate::exam::clean::{digits, ends_within};
use crate::exam::one_set::round_speeds;
use crate::exam::options::{Wrong, number};
use crate::exam::shop::{Shop, step};
use crate::motion::{Formula, formula, solve_state};
use crate::num::{Fraction, fraction};
use crate::problem::{
    Answer, Demands, Item, Kind, Misconception, Said, SignRule, Step, Topic, Unit,
};
use crate::train::{GearSet, Layout};

/// A gearbox and a gear in which both sets roll and both base ratios count.
fn coupled_gear(shop: &mut Shop<'_>) -> Option<(Gearbox, usize, Formula)> {
    let need = Need { sets: 2, engaged: 1, elements: 3, forward: 2 };
    for _ in 0..20 {
        let gearbox = clean(shop, &need)?;
        let both = |gear: &NamedGear| {
            let formula = formula(&gearbox.layout, gear.engaged)?;
            let text = formula.to_string();
            (text.contains("ρ1") && text.contains("ρ2")).then_some(formula)
        };
        let gears = gearbox.gears.iter().enumerate();
        let fitting: Vec<(usize, Formula)> =
            gears.filter_map(|(index, gear)| Some((index, both(gear)?))).collect();
        if let Some((index, formula)) = shop.chance.pick(&fitting).cloned() {
            return Some((gearbox, index, formula));
        }
    }
    None
}

pub(in crate::exam) fn coupled(shop: &mut Shop<'_>) -> Option<Item> {
    let (gearbox, index, _) = coupled_gear(shop)?;
    let gear = &gearbox.gears[index];
    let scene = shop.scene();
    let names = gearbox.names(gear.engaged);
    let speed = shop.chance.below(2) == 0;
    let places = shop.numbers.places.min(1);
    let speeds = shop.chance.shuffled(round_speeds(60, 4000));
    let clean_speed = speeds.into_iter().find(|&speed| {
        let out = fraction(speed, 1) / &gear.ratio;
        ends_within(&out, places) && digits(&out) <= 5
    });
    let variant = if speed { "speed" } else { "ratio" };
    let wrong = wrong_ratios(&gearbox.layout, gear);
    let topics = [Topic::CoupledSets];
    let mut draft = draft(Kind::CoupledSets, shop.level, variant, &topics, &gearbox, scene)
        .fact("engaged", names.join(" "))
        .stem(engaged(&names));
    let mut steps = solved(&gearbox.layout, gear);
    let (ask, answer) = if speed {
        let rpm = fraction(clean_speed?, 1);
        let out = &rpm / &gear.ratio;
        let mut of_speed = Wrong::than(&out);
        for one in wrong.apart(&Fraction::zero()) {
            if !one.value.is_zero() {
                of_speed = of_speed.by(one.misconception, &rpm / one.value);
            }
        }
        draft = draft.fact("input-rpm", &rpm);
        steps.push(step(
            Said::new("output-speed")
                .with("speed", &rpm)
                .with("ratio", &gear.ratio)
                .decimal("value", &out, places),
            1,
        ));
        let ask = Said::new("coupled-speed-ask").with("speed", &rpm).count("places", places);
        (ask, number(&out, Unit::Rpm, places, SignRule::Counts, of_speed))
    } else {
        let wrong = wrong.apart(&Fraction::zero());
        let answer = Answer::Fraction { exact: gear.ratio.clone(), sign: SignRule::Counts, wrong };
        (Said::new("coupled-ratio-ask"), answer)
    };
    Some(draft.part(ask, answer, steps).done(demands(gear, u32::from(speed))))
}

/// The same as a formula in base ratios, then with numbers.
pub(in crate::exam) fn derive(shop: &mut Shop<'_>) -> Option<Item> {
    let (gearbox, index, formula) = coupled_gear(shop)?;
    let gear = &gearbox.gears[index];
    let scene = shop.scene();
    let names = gearbox.names(gear.engaged);
    let layout = &gearbox.layout;
    let symbols = Symbols::new(layout, gear.engaged);
    let letters = |set: usize| {
        let term = |factor: &str, member: usize| {
            let symbol = symbols.shaft(layout.seats(set)[member]?.0)?;
            Some(if factor.is_empty() { symbol.to_owned() } else { format!("{factor} * {symbol}") })
        };
        let rho = format!("rho_{}", set + 1);
        let left: Vec<String> = [("", 0), (rho.as_str(), 1)]
            .into_iter()
            .filter_map(|(factor, member)| term(factor, member))
            .collect();
        let left = if left.is_empty() { "0".to_owned() } else { left.join(" + ") };
        format!("{left} = {}", term(&format!("(1 + {rho})"), 2).unwrap_or_else(|| "0".to_owned()))
    };
    let equation = |set: usize| {
        Said::new("derive-equation").with("set", set as u32 + 1).maths("equation", letters(set))
    };
    let result = Said::new("derive-result").maths("formula", notation(&formula));
    let written = vec![Said::new("derive-joined"), equation(0), equation(1), result];
    let points = [1, 2, 2, 2];
    let steps: Vec<Step> =
        written.iter().zip(points).map(|(said, points)| step(said.clone(), points)).collect();
    let wrong = wrong_ratios(layout, gear).apart(&Fraction::zero());
    let numbers = Answer::Fraction { exact: gear.ratio.clone(), sign: SignRule::Counts, wrong };
    let put = step(Said::new("derive-put").with("ratio", &gear.ratio), 1);
    let topics = [Topic::CoupledSets];
    let draft = draft(Kind::Derive, shop.level, "formula", &topics, &gearbox, scene)
        .fact("engaged", names.join(" "))
        .stem(engaged(&names));
    let draft = draft
        .part(Said::new("derive-coupled-ask"), Answer::Written { model: written }, steps)
        .part(Said::new("derive-number-ask"), numbers, vec![put]);
    Some(draft.done(Demands { results: 2, concepts: 3, ..demands(gear, 0) }))
}

/// The formula in the notation of papers.
fn notation(formula: &Formula) -> String {
    let text = formula.to_string().replace('·', "*").replace('−', "-");
    text.replace("ρ1", "rho_1").replace("ρ2", "rho_2")
}

fn demands(gear: &NamedGear, more: u32) -> Demands {
    Demands {
        sets: 2,
        equations: 3 + more,
        unknowns: 2,
        sign_changes: 1 + u32::from(gear.ratio.is_negative()),
        digits: digits(&gear.ratio),
        concepts: 2,
        results: 1 + more,
    }
}

/// The equations of both sets, then what they give for every shaft.
pub(super) fn solved(layout: &Layout, gear: &NamedGear) -> Vec<Step> {
    let symbols = Symbols::new(layout, gear.engaged);
    let motion = solve_state(layout, gear.engaged);
    let mut steps: Vec<Step> = (0..layout.sets.len())
        .map(|set| {
            let said = Said::new("set-equation")
                .with("set", set as u32 + 1)
                .maths("equation", symbols.equation(layout, set));
            step(said, 1)
        })
        .collect();
    for (shaft, symbol) in symbols.others() {
        if let Some(speed) = motion.speeds[shaft].as_ref() {
            let said = Said::new("unknown-solved")
                .maths("symbol", symbol)
                .maths("value", per_input(speed));
            steps.push(step(said, 1));
        }
    }
    steps.push(step(Said::new("ratio-solved").with("ratio", &gear.ratio), 1));
    steps
}

/// What known errors make of a ratio of coupled sets.
fn wrong_ratios(layout: &Layout, gear: &NamedGear) -> Wrong {
    let ratio_with = |change: &dyn Fn(&mut GearSet)| {
        let mut changed = layout.clone();
        changed.sets.iter_mut().for_each(change);
        solve_state(&changed, gear.engaged).ratio
    };
    let series = layout.sets.iter().fold(Fraction::one(), |product, set| {
        product * fraction(i64::from(set.sun + set.ring), i64::from(set.sun))
    });
    let mut wrong = Wrong::than(&gear.ratio)
        .by(Misconception::InverseRatio, gear.ratio.recip())
        .by(Misconception::LostSign, -gear.ratio.clone())
        .by(Misconception::SetsInSeries, series);
    if let Some(ratio) = ratio_with(&|set| std::mem::swap(&mut set.sun, &mut set.ring)) {
        wrong = wrong.by(Misconception::SunRingExchanged, ratio);
    }
    if let Some(ratio) = ratio_with(&|set| set.ring += set.planet.unwrap_or_default()) {
        wrong = wrong.by(Misconception::PlanetCounted, ratio);
    }
    wrong
}
