//! Steps and spread of a ladder of gears, and a judgement of it.

use super::family::{Need, clean};
use super::told::draft;
use crate::exam::clean::rounded;
use crate::exam::options::{Wrong, choice};
use crate::exam::shop::{Shop, step};
use crate::num::{Fraction, fraction, to_f64};
use crate::problem::{
    Answer, Cell, Demands, Figure, Item, Kind, Misconception, Row, Said, SignRule, Topic, Unit,
};

pub(in crate::exam) fn ladder(shop: &mut Shop<'_>) -> Option<Item> {
    let four = shop.chance.below(2) == 0;
    let need = Need { sets: shop.several_sets(), engaged: 2, elements: 4, forward: 3 };
    let gearbox = clean(shop, &need)?;
    let mut ratios: Vec<(String, Fraction)> =
        gearbox.forward().map(|gear| (gear.name.clone(), gear.ratio.clone())).collect();
    ratios.truncate(if four { 5 } else { 4 });
    let steps: Vec<Fraction> = ratios.windows(2).map(|pair| &pair[0].1 / &pair[1].1).collect();
    let differences: Vec<Fraction> =
        ratios.windows(2).map(|pair| &pair[0].1 - &pair[1].1).collect();
    let largest = |values: &[Fraction]| {
        let sorted = (0..values.len()).max_by(|&a, &b| values[a].cmp(&values[b]))?;
        let near = values
            .iter()
            .enumerate()
            .filter(|(i, v)| *i != sorted && to_f64(&(&values[sorted] - *v)) < 0.02);
        (near.count() == 0).then_some(sorted)
    };
    let right = largest(&steps)?;
    let say = |step: usize| {
        Said::new("step-option").name("from", &ratios[step].0).name("to", &ratios[step + 1].0)
    };
    let smallest = (0..steps.len()).min_by(|&a, &b| steps[a].cmp(&steps[b]))?;
    let mut wrong = Vec::new();
    if let Some(by_difference) = largest(&differences) {
        wrong.push((say(by_difference), Misconception::StepAsDifference));
    }
    wrong.push((say(smallest), Misconception::InverseRatio));
    wrong.push((Said::new("steps-equal"), Misconception::SpreadAsDifference));
    let judged = choice(say(right), wrong, 2, &mut shop.chance)?;
    let spread = &ratios.first()?.1 / &ratios.last()?.1;
    let table = table(&ratios, &steps);
    let shown: Vec<String> =
        ratios.iter().map(|(name, ratio)| format!("{name}: {ratio}")).collect();
    let spread_wrong = Wrong::than(&spread)
        .by(Misconception::SpreadAsDifference, &ratios.first()?.1 - &ratios.last()?.1)
        .by(Misconception::InverseRatio, spread.recip());
    let tolerance = fraction(1, 100);
    let spread_answer = Answer::Number {
        exact: spread.clone(),
        unit: Unit::None,
        places: 2,
        tolerance: tolerance.clone(),
        sign: SignRule::Counts,
        wrong: spread_wrong.apart(&(&tolerance + &tolerance)),
    };
    let scene = shop.scene();
    let gears = ratios.iter().map(|(name, ratio)| (name.clone(), ratio.to_string())).collect();
    let draft = draft(
        Kind::Ladder,
        shop.level,
        &format!("{}-gears", ratios.len()),
        &[Topic::Shifting],
        &gearbox,
        scene,
    )
    .fact("ratios", shown.join("; "))
    .stem(Said::new("ladder-given").name("ratios", shown.join("; ")))
    .figure(Figure::Ladder { gears });
    let step_line = |index: usize| {
        Said::new("step-line")
            .name("from", &ratios[index].0)
            .name("to", &ratios[index + 1].0)
            .with("above", &ratios[index].1)
            .with("below", &ratios[index + 1].1)
            .decimal("value", &rounded(&steps[index], 2), 2)
    };
    let step_steps = (0..steps.len()).map(|index| step(step_line(index), 1)).collect();
    let spread_step = Said::new("spread-line")
        .with("first", &ratios.first()?.1)
        .with("top", &ratios.last()?.1)
        .decimal("value", &spread, 2);
    let draft = draft
        .part(Said::new("ladder-steps-ask"), table, step_steps)
        .part(Said::new("ladder-spread-ask"), spread_answer, vec![step(spread_step, 1)])
        .part(
            Said::new("ladder-largest-ask"),
            judged,
            vec![step(Said::new("ladder-largest").with("step", say(right)), 1)],
        );
    Some(draft.done(Demands {
        sets: 1,
        equations: 2,
        unknowns: 1,
        sign_changes: 0,
        digits: 3,
        concepts: 2,
        results: steps.len() as u32 + 2,
    }))
}

/// A line a step.
fn table(ratios: &[(String, Fraction)], steps: &[Fraction]) -> Answer {
    let row = |(index, value): (usize, &Fraction)| Row {
        head: Said::new("step-option")
            .name("from", &ratios[index].0)
            .name("to", &ratios[index + 1].0),
        cells: vec![Cell::Number { exact: value.clone(), places: Some(2) }],
    };
    let columns = vec![Said::new("column-shift"), Said::new("column-step")];
    Answer::Table { columns, rows: steps.iter().enumerate().map(row).collect() }
}
