//! Steps and spread of a ladder of gears, and a judgement of it.

use super::family::{Need, clean};
use crate::exam::clean::rounded;
use crate::exam::options::{Wrong, exchangeable, number};
use crate::exam::shop::{Draft, Shop, step};
use crate::num::{Fraction, to_f64};
use crate::problem::{
    Answer, Cell, Demands, Item, Kind, Misconception, Row, Said, SignRule, Topic, Unit,
};
use crate::train::{Layout, write_layout};

pub(in crate::exam) fn ladder(shop: &mut Shop<'_>) -> Option<Item> {
    let need = Need { sets: shop.several_sets(), engaged: 2, elements: 4, forward: 4 };
    let gearbox = clean(shop, &need)?;
    let all: Vec<(String, Fraction)> =
        gearbox.forward().map(|gear| (gear.name.clone(), gear.ratio.clone())).collect();
    let smallest = shop.chance.below(2) == 0;
    let ((ratios, steps), right) = in_turn(shop, &all, smallest)?;
    let judged = judged(shop, &ratios, right, smallest)?;
    let spread = &ratios.first()?.1 / &ratios.last()?.1;
    let table = table(&ratios, &steps);
    let shown: Vec<String> =
        ratios.iter().map(|(name, ratio)| format!("{name}: {ratio}")).collect();
    let scene = shop.scene();
    // The ratios are given, so what makes them is not told.
    let layout = Layout { gears: Vec::new(), ..gearbox.layout.clone() };
    let extreme = if smallest { "smallest" } else { "largest" };
    let variant = format!("{}-gears-{extreme}", ratios.len());
    let topics = [Topic::Shifting];
    let draft = Draft::new(Kind::Ladder, shop.level, &variant, &topics, write_layout(&layout));
    let draft = gearbox.marks().into_iter().fold(draft, Draft::mark);
    let scene = Said::new(&format!("scene-{scene}"));
    let draft = draft
        .fact("ratios", shown.join("; "))
        .stem(Said::new("ladder-given").with("scene", scene).name("ratios", shown.join("; ")));
    let step_steps =
        (0..steps.len()).map(|index| step(step_line(&ratios, &steps, index), 1)).collect();
    let spread_step = Said::new("spread-line")
        .with("first", &ratios.first()?.1)
        .with("top", &ratios.last()?.1)
        .decimal("value", &spread, 2);
    let draft = draft
        .part(Said::new("ladder-steps-ask"), table, step_steps)
        .part(
            Said::new("ladder-spread-ask"),
            spread_answer(&ratios, &spread),
            vec![step(spread_step, 1)],
        )
        .part(
            Said::new(&format!("ladder-{extreme}-ask")),
            judged,
            vec![step(
                Said::new(&format!("ladder-{extreme}")).with("step", say(&ratios, right)),
                1,
            )],
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

type Ratios = [(String, Fraction)];

fn say(ratios: &Ratios, step: usize) -> Said {
    Said::new("step-option").name("from", &ratios[step].0).name("to", &ratios[step + 1].0)
}

/// The largest of the values; `None` where another is near it.
fn largest(values: &[Fraction]) -> Option<usize> {
    let most = (0..values.len()).max_by(|&a, &b| values[a].cmp(&values[b]))?;
    let near = |(index, value): (usize, &Fraction)| {
        index != most && to_f64(&(&values[most] - value)) < 0.02
    };
    (!values.iter().enumerate().any(near)).then_some(most)
}

/// The largest or the smallest of the values; `None` where another is near it.
fn extreme(values: &[Fraction], smallest: bool) -> Option<usize> {
    match smallest {
        true => largest(&values.iter().map(|value| -value).collect::<Vec<_>>()),
        false => largest(values),
    }
}

/// Which step is largest or smallest, the one at `right`: a choice among all of them.
fn judged(shop: &mut Shop<'_>, ratios: &Ratios, right: usize, smallest: bool) -> Option<Answer> {
    let differences: Vec<Fraction> =
        ratios.windows(2).map(|pair| &pair[0].1 - &pair[1].1).collect();
    let by_difference = extreme(&differences, smallest);
    let options = (0..differences.len()).map(|step| say(ratios, step)).collect();
    exchangeable(options, right, &mut shop.chance, |other| match Some(other) == by_difference {
        true => Misconception::StepAsDifference,
        false => Misconception::InverseRatio,
    })
}

/// Gears in a row with their ratios and steps.
type Ladder = (Vec<(String, Fraction)>, Vec<Fraction>);

/// Gears in a row whose largest or smallest step is at the place whose turn it is, so that every place is
/// right equally often; `None` where the gearbox has none.
fn in_turn(shop: &mut Shop<'_>, all: &Ratios, smallest: bool) -> Option<(Ladder, usize)> {
    let lengths: Vec<usize> = (4..=all.len().min(5)).collect();
    let length = *shop.chance.pick(&lengths)?;
    let right = shop.turn(u32::from(smallest), length - 1);
    let ladders = all.windows(length).map(|ratios| {
        let steps = ratios.windows(2).map(|pair| &pair[0].1 / &pair[1].1).collect();
        (ratios.to_vec(), steps)
    });
    let fits = |(_, steps): &Ladder| extreme(steps, smallest) == Some(right);
    let fitting: Vec<Ladder> = ladders.filter(fits).collect();
    let ladder = shop.chance.pick(&fitting)?.clone();
    shop.next_turn(u32::from(smallest), length - 1);
    Some((ladder, right))
}

fn spread_answer(ratios: &Ratios, spread: &Fraction) -> Answer {
    let mut wrong = Wrong::than(spread).by(Misconception::InverseRatio, spread.recip());
    if let (Some((_, first)), Some((_, top))) = (ratios.first(), ratios.last()) {
        wrong = wrong.by(Misconception::SpreadAsDifference, first - top);
    }
    number(spread, Unit::None, 2, SignRule::Counts, wrong)
}

fn step_line(ratios: &Ratios, steps: &[Fraction], index: usize) -> Said {
    Said::new("step-line")
        .name("from", &ratios[index].0)
        .name("to", &ratios[index + 1].0)
        .with("above", &ratios[index].1)
        .with("below", &ratios[index + 1].1)
        .decimal("value", &rounded(&steps[index], 2), 2)
}

/// A line a step.
fn table(ratios: &Ratios, steps: &[Fraction]) -> Answer {
    let row = |(index, value): (usize, &Fraction)| Row {
        head: say(ratios, index),
        cells: vec![Cell::Number { exact: value.clone(), places: Some(2) }],
    };
    let columns = vec![Said::new("column-shift"), Said::new("column-step")];
    Answer::Table { columns, rows: steps.iter().enumerate().map(row).collect() }
}
