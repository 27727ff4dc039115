//! A shift table to complete: ratios from engaged elements, or elements from ratios.

use super::family::{Gearbox, Need, clean};
use super::told::{Symbols, draft};
use crate::exam::shop::{Shop, step};
use crate::problem::{Answer, Cell, Demands, Item, Kind, Row, Said, Step, Topic};

pub(in crate::exam) fn shift_table(shop: &mut Shop<'_>) -> Option<Item> {
    let sets = shop.several_sets();
    let need = Need { sets, engaged: 1, elements: 3, forward: 2 };
    let gearbox = clean(shop, &need)?;
    let ratios = shop.chance.below(2) == 0;
    let scene = shop.scene();
    let elements = gearbox
        .layout
        .elements
        .iter()
        .map(|e| Said::new("column-element").name("element", &e.name));
    let columns = std::iter::once(Said::new("column-gear"))
        .chain(elements)
        .chain([Said::new("column-ratio")])
        .collect();
    let rows = gearbox.gears.iter().map(|gear| {
        let ticks = (0..gearbox.layout.elements.len()).map(|element| {
            let engaged = gear.engaged.contains(element);
            match ratios {
                true => Cell::Given(Said::new(if engaged { "table-tick" } else { "table-empty" })),
                false => Cell::Tick(engaged),
            }
        });
        let ratio = match ratios {
            true => Cell::Number { exact: gear.ratio.clone(), places: None },
            false => Cell::Given(Said::new("number-plain").with("value", &gear.ratio)),
        };
        Row {
            head: Said::new("gear-row").name("gear", &gear.name),
            cells: ticks.chain([ratio]).collect(),
        }
    });
    let answer = Answer::Table { columns, rows: rows.collect() };
    let gears = gearbox.gears.len() as u32;
    let demands = Demands {
        sets: u32::from(sets),
        equations: u32::from(sets) * gears.min(3),
        unknowns: u32::from(sets),
        sign_changes: gearbox.gears.iter().filter(|gear| gear.name.starts_with('R')).count() as u32,
        digits: gearbox.digits(),
        concepts: 2,
        results: gears,
    };
    let variant = if ratios { "ratios" } else { "ticks" };
    let ask = Said::new(if ratios { "shift-ratios-ask" } else { "shift-ticks-ask" });
    let topics = [Topic::Shifting, Topic::CoupledSets];
    let draft = draft(Kind::ShiftTable, shop.level, variant, &topics, &gearbox, scene);
    Some(draft.part(ask, answer, steps(&gearbox)).done(demands))
}

/// For each gear its equations and what they give.
fn steps(gearbox: &Gearbox) -> Vec<Step> {
    let layout = &gearbox.layout;
    let gear = |gear: &super::family::NamedGear| {
        let symbols = Symbols::new(layout, gear.engaged);
        let equations: Vec<String> =
            (0..layout.sets.len()).map(|set| symbols.equation(layout, set)).collect();
        let said = Said::new("gear-solved")
            .name("gear", &gear.name)
            .name("elements", gearbox.names(gear.engaged).join(", "))
            .maths("equations", equations.join(", "))
            .with("ratio", &gear.ratio);
        step(said, 1)
    };
    gearbox.gears.iter().map(gear).collect()
}
