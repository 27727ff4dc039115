//! An element fails: which gears are left?

use super::family::{Need, clean};
use super::told::draft;
use crate::exam::options::exchangeable;
use crate::exam::shop::{Shop, step};
use crate::motion::{Effect, Failure, Fault, faults};
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
    let mut fault = &failures[shop.chance.below(failures.len())];
    let gears = &gearbox.gears;
    let left_of = |fault: &Fault| -> Vec<String> {
        let kept = |index: &usize| matches!(fault.effect(*index), Some(Effect::Kept { .. }));
        (0..gears.len()).filter(kept).map(|index| gears[index].name.clone()).collect()
    };
    let as_choice = shop.chance.below(3) == 0;
    let mut choice = None;
    if as_choice {
        let all = lists(&failures, fault.failure, gears.len(), left_of);
        let some = shop.chance.some(&all, 4);
        let right = shop.chance.below(some.len().max(1));
        fault = some.get(right).filter(|_| some.len() > 2)?.0;
        let options = some.iter().map(|(_, left)| say(left)).collect();
        choice = Some(exchangeable(options, right, &mut shop.chance, |other| {
            let apart = some[other].1.iter().all(|name| !some[right].1.contains(name));
            if apart { Misconception::IdleForEngaged } else { Misconception::OtherGear }
        })?);
    }
    let all: Vec<String> = gears.iter().map(|gear| gear.name.clone()).collect();
    let left = left_of(fault);
    let lost: Vec<String> = all.iter().filter(|name| !left.contains(name)).cloned().collect();
    // All or none left would be guessed.
    if left.is_empty() || lost.is_empty() {
        return None;
    }
    let stuck = fault.failure == Failure::StaysEngaged;
    let answer = if let Some(choice) = choice {
        choice
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

/// What is left after each fault of one sort, each list once, with a fault that leaves it: of
/// the same gearbox any of them may be asked for. All or nothing would be guessed.
fn lists<'a>(
    failures: &'a [Fault],
    failure: Failure,
    gears: usize,
    left: impl Fn(&Fault) -> Vec<String>,
) -> Vec<(&'a Fault, Vec<String>)> {
    let mut all: Vec<(&Fault, Vec<String>)> = Vec::new();
    for fault in failures.iter().filter(|fault| fault.failure == failure) {
        let left = left(fault);
        let known = all.iter().any(|(_, other)| *other == left);
        if !known && !left.is_empty() && left.len() < gears {
            all.push((fault, left));
        }
    }
    all
}
