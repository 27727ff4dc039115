//! Neutral, locked, direct or a gear: states of a gearbox of two sets.

use num_traits::{One, Signed};

use super::family::{Need, clean, names};
use super::told::{draft, engaged};
use crate::exam::shop::{Shop, step};
use crate::motion::{Motion, Status, solve_state};
use crate::problem::{Answer, Cell, Demands, Item, Kind, Row, Said, Topic};
use crate::train::ElementMask;

/// In the order of a drop-down list.
const WORDS: [&str; 7] =
    ["neutral", "reduction", "overdrive", "reverse", "direct", "locked", "idle"];

pub(in crate::exam) fn recognise(shop: &mut Shop<'_>) -> Option<Item> {
    let need = Need { sets: 2, engaged: 1, elements: 3, forward: 2 };
    let gearbox = clean(shop, &need)?;
    let layout = &gearbox.layout;
    let elements = layout.elements.len() as u32;
    let singles = (0..elements).map(|element| ElementMask(1 << element));
    let pairs: Vec<ElementMask> = (0..elements)
        .flat_map(|a| (a + 1..elements).map(move |b| ElementMask(1 << a | 1 << b)))
        .collect();
    let pair = *shop.chance.pick(&pairs)?;
    let states: Vec<ElementMask> =
        std::iter::once(ElementMask(0)).chain(singles).chain([pair]).collect();
    let motions: Vec<Motion> = states.iter().map(|&state| solve_state(layout, state)).collect();
    let of: Vec<Said> = WORDS.iter().map(|word| Said::new(&format!("behaviour-{word}"))).collect();
    let row = |motion: &Motion| Row {
        head: engaged(&names(layout, motion.engaged)),
        cells: vec![Cell::Word { of: of.clone(), right: behaviour(motion) }],
    };
    let answer = Answer::Table {
        columns: vec![Said::new("column-engaged"), Said::new("column-behaviour")],
        rows: motions.iter().map(row).collect(),
    };
    let steps = motions
        .iter()
        .map(|motion| {
            let state = engaged(&names(layout, motion.engaged));
            let said = match (&motion.ratio, motion.status) {
                (Some(ratio), _) => Said::new("why-live").with("state", state).with("ratio", ratio),
                (None, Status::Loose) => Said::new("why-loose").with("state", state),
                (None, Status::IdleOutput) => Said::new("why-idle").with("state", state),
                (None, _) => Said::new("why-overheld").with("state", state),
            };
            step(said, 1)
        })
        .collect();
    let live = motions.iter().filter(|motion| motion.ratio.is_some()).count() as u32;
    let demands = Demands {
        sets: 2,
        equations: live + 1,
        unknowns: 2,
        sign_changes: 1,
        digits: gearbox.digits(),
        concepts: 3,
        results: states.len() as u32,
    };
    let scene = shop.scene();
    let topics = [Topic::Shifting, Topic::CoupledSets];
    let draft = draft(Kind::Recognise, shop.level, "states", &topics, &gearbox, scene);
    Some(draft.part(Said::new("recognise-states-ask"), answer, steps).done(demands))
}

/// The place of a motion's word in [`WORDS`].
fn behaviour(motion: &Motion) -> usize {
    match (motion.status, &motion.ratio) {
        (Status::Loose, _) => 0,
        (Status::Live, Some(ratio)) if ratio.is_negative() => 3,
        (Status::Live, Some(ratio)) if ratio.is_one() => 4,
        (Status::Live, Some(ratio)) if ratio.numer() > ratio.denom() => 1,
        (Status::Live, _) => 2,
        (Status::Locked, _) => 5,
        (Status::IdleOutput, _) => 6,
    }
}
