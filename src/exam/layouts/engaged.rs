//! From a ratio or a behaviour to the engaged elements.

use num_traits::{One, Signed};

use super::family::{Gearbox, NamedGear, Need, clean, size};
use super::told::{Symbols, draft};
use crate::exam::shop::{Shop, step};
use crate::problem::{Answer, Demands, Item, Kind, Level, Misconception, Said, Topic};

pub(in crate::exam) fn engaged(shop: &mut Shop<'_>) -> Option<Item> {
    let two = shop.level == Level::Course && shop.chance.below(2) == 0;
    let need = Need {
        sets: shop.several_sets(),
        engaged: if two { 2 } else { 1 },
        elements: if two { 4 } else { 3 },
        forward: 2,
    };
    let gearbox = clean(shop, &need)?;
    let (variant, asked, ask) = asked(shop, &gearbox)?;
    let all = gearbox.layout.elements.iter().map(|element| element.name.clone()).collect();
    let inverse =
        |gear: &&NamedGear| gear.ratio == asked.ratio.recip() && gear.ratio != asked.ratio;
    let others = gearbox.gears.iter().filter(|gear| gear.ratio != asked.ratio);
    let wrong = others.map(|gear| {
        let why = match inverse(&gear) {
            true => Misconception::InverseRatio,
            false if gear.ratio == -asked.ratio.clone() => Misconception::LostSign,
            false => Misconception::OtherGear,
        };
        (gearbox.names(gear.engaged), why)
    });
    let answer = Answer::Names {
        from: all,
        accepted: vec![gearbox.names(asked.engaged)],
        wrong: wrong.collect(),
    };
    let layout = &gearbox.layout;
    let symbols = Symbols::new(layout, asked.engaged);
    let equations: Vec<String> =
        (0..layout.sets.len()).map(|set| symbols.equation(layout, set)).collect();
    let steps = vec![
        step(Said::new("engaged-count").count("count", u32::from(need.engaged)), 1),
        step(
            Said::new("engaged-solved")
                .name("elements", gearbox.names(asked.engaged).join(", "))
                .maths("equations", equations.join(", "))
                .with("ratio", &asked.ratio),
            2,
        ),
    ];
    let scene = shop.scene();
    let demands = Demands {
        sets: u32::from(need.sets),
        equations: 2 * u32::from(need.sets),
        unknowns: u32::from(need.sets),
        sign_changes: u32::from(asked.ratio.is_negative()),
        digits: gearbox.digits(),
        concepts: 2,
        results: 1,
    };
    let topics = [Topic::Shifting, Topic::CoupledSets];
    let draft = draft(Kind::FindEngaged, shop.level, &variant, &topics, &gearbox, scene)
        .fact("ratio", &asked.ratio)
        .stem(Said::new("engaged-how-many").count("count", u32::from(need.engaged)));
    Some(draft.part(ask, answer, steps).done(demands))
}

/// Which gear is asked for, and how.
fn asked<'a>(shop: &mut Shop<'_>, gearbox: &'a Gearbox) -> Option<(String, &'a NamedGear, Said)> {
    let count = |one: &NamedGear| if one.ratio.is_one() { "direct" } else { "ratio" };
    let reverse: Vec<&NamedGear> =
        gearbox.gears.iter().filter(|gear| gear.ratio.is_negative()).collect();
    if let ([one], 0) = (&reverse[..], shop.chance.below(2)) {
        return Some(("reverse".to_owned(), one, Said::new("engaged-reverse-ask")));
    }
    let forward: Vec<&NamedGear> = gearbox.forward().collect();
    if shop.chance.below(3) == 0 {
        let slowest = forward.iter().max_by(|a, b| size(&a.ratio).total_cmp(&size(&b.ratio)))?;
        return Some(("slowest".to_owned(), slowest, Said::new("engaged-slowest-ask")));
    }
    let one = *shop.chance.pick(&gearbox.gears.iter().collect::<Vec<_>>())?;
    let ask = Said::new("engaged-ratio-ask").with("ratio", &one.ratio);
    Some((count(one).to_owned(), one, ask))
}
