//! An element fails: which gears are left?

use super::family::{Gearbox, Need, clean};
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
    let fault = &failures[shop.chance.below(failures.len())];
    if shop.chance.below(3) == 0 {
        let (fault, answer) = chosen(shop, &failures, fault.failure, &gearbox)?;
        return Some(item(shop, &gearbox, fault, answer, true));
    }
    let answer = named(&gearbox, fault)?;
    Some(item(shop, &gearbox, fault, answer, false))
}

/// Gears that keep their ratio.
fn left(gearbox: &Gearbox, fault: &Fault) -> Vec<String> {
    let gears = gearbox.gears.iter().enumerate();
    let kept = |index: usize| matches!(fault.effect(index), Some(Effect::Kept { .. }));
    gears.filter(|(index, _)| kept(*index)).map(|(_, gear)| gear.name.clone()).collect()
}

/// A fault of one sort and what is left among what other faults of it leave.
fn chosen<'a>(
    shop: &mut Shop<'_>,
    failures: &'a [Fault],
    failure: Failure,
    gearbox: &Gearbox,
) -> Option<(&'a Fault, Answer)> {
    let all = lists(failures, failure, gearbox);
    let some = shop.chance.some(&all, 4);
    if some.len() < 3 {
        return None;
    }
    let right = shop.chance.below(some.len());
    let options = some.iter().map(|(_, left)| say(left)).collect();
    let answer = exchangeable(options, right, &mut shop.chance, |other| {
        let apart = some[other].1.iter().all(|name| !some[right].1.contains(name));
        if apart { Misconception::IdleForEngaged } else { Misconception::OtherGear }
    })?;
    Some((some[right].0, answer))
}

/// The names of what is left; `None` where all or none are, which would be guessed.
fn named(gearbox: &Gearbox, fault: &Fault) -> Option<Answer> {
    let all: Vec<String> = gearbox.gears.iter().map(|gear| gear.name.clone()).collect();
    let left = left(gearbox, fault);
    let lost: Vec<String> = all.iter().filter(|name| !left.contains(name)).cloned().collect();
    if left.is_empty() || lost.is_empty() {
        return None;
    }
    let wrong =
        vec![(lost, Misconception::OtherGear), (all.clone(), Misconception::IdleForEngaged)];
    Some(Answer::Names { from: all, accepted: vec![left], wrong })
}

fn item(
    shop: &mut Shop<'_>,
    gearbox: &Gearbox,
    fault: &Fault,
    answer: Answer,
    as_choice: bool,
) -> Item {
    let gears = &gearbox.gears;
    let stuck = fault.failure == Failure::StaysEngaged;
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
    let draft = draft(Kind::Fault, shop.level, &variant, &[Topic::Shifting], gearbox, scene)
        .fact("element", element)
        .fact("failure", if stuck { "stays" } else { "cannot" })
        .fact("gears", table.join("; "))
        .stem(Said::new("gears-given").name("table", table.join("; ")));
    let phrase = format!("fault-{failure}{}", if as_choice { "" } else { "-names" });
    let ask = Said::new(&phrase).name("element", element);
    let why = Said::new(&format!("fault-{failure}-why")).name("element", element);
    let result = Said::new("fault-left").name("gears", left(gearbox, fault).join(", "));
    draft.part(ask, answer, vec![step(why, 1), step(result, 2)]).done(demands)
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
    gearbox: &Gearbox,
) -> Vec<(&'a Fault, Vec<String>)> {
    let mut all: Vec<(&Fault, Vec<String>)> = Vec::new();
    for fault in failures.iter().filter(|fault| fault.failure == failure) {
        let left = left(gearbox, fault);
        let known = all.iter().any(|(_, other)| *other == left);
        if !known && !left.is_empty() && left.len() < gearbox.gears.len() {
            all.push((fault, left));
        }
    }
    all
}
