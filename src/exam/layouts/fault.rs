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
    let (stuck, phrases) = match fault.failure {
        Failure::CannotEngage => (false, ["fault-cannot", "fault-cannot-names"]),
        Failure::StaysEngaged => (true, ["fault-stuck", "fault-stuck-names"]),
    };
    let all: Vec<String> = gears.iter().map(|gear| gear.name.clone()).collect();
    let element = &gearbox.layout.elements[fault.element].name;
    let wrong = vec![(lost.clone(), Misconception::IdleForEngaged)];
    let say = |names: &[String]| match names {
        [] => Said::new("names-none"),
        some => Said::new("names-option").name("names", some.join(", ")),
    };
    let mut options = vec![(say(&lost), Misconception::IdleForEngaged)];
    options.push((say(&all), Misconception::NeutralForLock));
    if left.len() > 1 {
        options.push((say(&left[..left.len() - 1]), Misconception::OtherGear));
    }
    options.push((say(&[]), Misconception::NeutralForLock));
    let as_choice = shop.chance.below(3) == 0;
    let answer = if as_choice {
        choice(say(&left), options, 3, &mut shop.chance)?
    } else {
        Answer::Names { from: all, accepted: vec![left.clone()], wrong }
    };
    let table: Vec<String> = gears
        .iter()
        .map(|gear| format!("{}: {}", gear.name, gearbox.names(gear.engaged).join(" + ")))
        .collect();
    let steps = vec![
        step(
            Said::new(if stuck { "fault-stuck-why" } else { "fault-cannot-why" })
                .name("element", element),
            1,
        ),
        step(Said::new("fault-left").name("gears", left.join(", ")), 2),
    ];
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
    let scene = shop.scene();
    let variant = format!(
        "{}{}",
        if stuck { "stuck" } else { "cannot" },
        if as_choice { "-choice" } else { "" }
    );
    let topics = [Topic::Shifting];
    let draft = draft(Kind::Fault, shop.level, &variant, &topics, &gearbox, scene)
        .fact("element", element)
        .fact("failure", if stuck { "stays" } else { "cannot" })
        .fact("gears", table.join("; "))
        .stem(Said::new("gears-given").name("table", table.join("; ")));
    let ask = Said::new(phrases[usize::from(!as_choice)]).name("element", element);
    Some(draft.part(ask, answer, steps).done(demands))
}
