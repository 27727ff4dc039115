//! An element fails: which gears are left?

use super::family::{Need, clean};
use super::told::draft;
use crate::exam::options::choice;
use crate::exam::shop::{Shop, step};
use crate::motion::{Effect, Failure, faults};
use crate::problem::{Answer, Demands, Item, Kind, Level, Misconception, Said, Topic};

pub(in crate::exam) fn fault(shop: &mut Shop<'_>) -> Option<Item> {
    let two = shop.level == Level::Course || shop.chance.below(2) == 0;
    let need = Need {
        sets: shop.several_sets(),
        engaged: if two { 2 } else { 1 },
        elements: if two { 4 } else { 3 },
        forward: 3 - usize::from(!two),
    };
    let gearbox = clean(shop, &need)?;
    let failures = faults(&gearbox.layout);
    let fault = &failures[shop.chance.below(failures.len())];
    let gears = &gearbox.gears;
    let kept = |index: &usize| matches!(fault.effect(*index), Some(Effect::Kept { .. }));
    let names = |of: Vec<usize>| of.into_iter().map(|i| gears[i].name.clone()).collect::<Vec<_>>();
    let left = names((0..gears.len()).filter(kept).collect());
    let lost = names((0..gears.len()).filter(|index| !kept(index)).collect());
    // All or none left would be guessed.
    if left.is_empty() || lost.is_empty() {
        return None;
    }
    let stuck = fault.failure == Failure::StaysEngaged;
    let all: Vec<String> = gears.iter().map(|gear| gear.name.clone()).collect();
    let as_choice = shop.chance.below(3) == 0;
    let answer = if as_choice {
        choice(say(&left), wrong_lists(&all, &left, &lost), 3, &mut shop.chance)?
    } else {
        let wrong =
            vec![(lost, Misconception::OtherGear), (all.clone(), Misconception::IdleForEngaged)];
        Answer::Names { from: all, accepted: vec![left.clone()], wrong }
    };
    let element = &gearbox.layout.elements[fault.element].name;
    let demands = Demands {
        // What engages what stands in the stem: the sets need not be thought of.
        sets: 1,
        equations: u32::from(stuck),
        unknowns: 1,
        sign_changes: 0,
        digits: 2,
        concepts: 2,
        results: gears.len() as u32,
    };
    let table = gears
        .iter()
        .map(|gear| format!("{}: {}", gear.name, gearbox.names(gear.engaged).join(" + ")));
    let table: Vec<String> = table.collect();
    let scene = shop.scene();
    let failure = if stuck { "stuck" } else { "cannot" };
    let variant = if as_choice { format!("{failure}-choice") } else { failure.to_owned() };
    let draft = draft(Kind::Fault, shop.level, &variant, &[Topic::Shifting], &gearbox, scene)
        .fact("element", element)
        .fact("failure", if stuck { "stays" } else { "cannot" })
        .fact("gears", table.join("; "))
        .stem(Said::new("gears-given").name("table", table.join("; ")));
    let phrase = format!("fault-{failure}{}", if as_choice { "" } else { "-names" });
    let ask = Said::new(&phrase).name("element", element);
    let why = Said::new(&format!("fault-{failure}-why")).name("element", element);
    let result = Said::new("fault-left").name("gears", left.join(", "));
    Some(draft.part(ask, answer, vec![step(why, 1), step(result, 2)]).done(demands))
}

fn say(names: &[String]) -> Said {
    match names {
        [] => Said::new("names-none"),
        some => Said::new("names-option").name("names", some.join(", ")),
    }
}

/// Lists that errors lead to: the lost ones for those that are left, the element taken as idle
/// so that all are left, a gear too few, every gear taken as lost.
fn wrong_lists(all: &[String], left: &[String], lost: &[String]) -> Vec<(Said, Misconception)> {
    let mut lists =
        vec![(say(lost), Misconception::OtherGear), (say(all), Misconception::IdleForEngaged)];
    if left.len() > 1 {
        lists.push((say(&left[..left.len() - 1]), Misconception::OtherGear));
    }
    lists.push((say(&[]), Misconception::NeutralForLock));
    lists
}
