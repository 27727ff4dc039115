//! The room there is, and whether any set of wheels fits into it.

use super::keys::REDUCTION;
use super::written::{WrittenModules, WrittenRoom};
use super::{Room, StockGear, TrainWish, stock};
use crate::brief::Limit;
use crate::brief::checks::{Open, Reach, show};
use crate::brief::dialect::nearest;
use crate::brief::fault::quote;
use crate::brief::teeth::some_set_fits;
use crate::brief::written::WrittenTeeth;
use crate::error::Mistake;
use crate::score::Criterion;
use crate::teeth::ToothLimits;
use crate::train::SetKind;

/// Modules of a brief that names none and has no stock, in mm: what is made and printed at
/// home, all of series I of ISO 54.
const MODULES: [f64; 4] = [1.0, 1.25, 1.5, 2.0];
/// Series I of ISO 54 from 1 to 10 mm.
const SERIES_I: [f64; 11] = [1.0, 1.25, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0];
/// Series II of ISO 54 from 1 to 10 mm, without the 6.5 that the standard advises against.
const SERIES_II: [f64; 10] = [1.125, 1.375, 1.75, 2.25, 2.75, 3.5, 4.5, 5.5, 7.0, 9.0];
const SERIES: [&str; 2] = ["iso-54-1", "iso-54-2"];
/// Largest diameter or length that a brief may write, in mm.
const LARGEST: f64 = 1e5;

/// Teeth of a brief that names none. Twelve teeth are what small bought and printed suns
/// and planets begin with; the shift that they need is allowed.
fn default_teeth() -> ToothLimits {
    ToothLimits {
        sun: (12, 60),
        planet: (12, 54),
        ring: (36, 120),
        planets: vec![3, 4],
        base_ratio: (2.0, 11.0),
        ..ToothLimits::default()
    }
}

/// The room that a brief gives.
pub(super) fn understand(
    written: &WrittenRoom,
    gears: Option<&[StockGear]>,
) -> Result<Room, Mistake> {
    let most = |key: &str, value: Option<f64>| {
        let ends = (f64::MIN_POSITIVE, LARGEST);
        value.map_or(Ok(None), |value| REDUCTION.ceiling(key, value, ends))
    };
    let size = |key: &str, value: Option<f64>, ends, default| {
        value.map_or(Ok(default), |value| REDUCTION.number(key, value, ends))
    };
    let faces = Reach { least: 1.0, most: 60.0, open: Open::Never };
    Ok(Room {
        bore: most("room.bore", written.bore)?,
        length: most("room.length", written.length)?,
        modules: modules(written.modules.as_ref(), gears)?,
        width: match &written.width {
            Some(ends) => REDUCTION.window("room.width", ends, faces)?,
            None => (8.0, 15.0),
        },
        equal_rings: written.equal_rings.unwrap_or(false),
        plate: size("room.plate", written.plate, (0.1, 1000.0), 4.0)?,
        gap: size("room.gap", written.gap, (0.0, 100.0), 1.0)?,
    })
}

/// Rising, each once; without the key those of the stock or [`MODULES`].
fn modules(
    written: Option<&WrittenModules>,
    gears: Option<&[StockGear]>,
) -> Result<Vec<f64>, Mistake> {
    let key = "room.modules";
    let mut modules = match written {
        None => {
            let mut modules = match gears {
                Some(gears) => gears.iter().map(|gear| gear.module).collect(),
                None => MODULES.to_vec(),
            };
            modules.sort_by(f64::total_cmp);
            modules.dedup();
            modules
        }
        Some(WrittenModules::One(module)) => vec![*module],
        Some(WrittenModules::Many(modules)) => modules.clone(),
        Some(WrittenModules::Series(name)) => series(key, name)?,
    };
    if modules.is_empty() {
        return Err(REDUCTION.wrong(key, "is an empty list"));
    }
    for module in &modules {
        REDUCTION.number(key, *module, (0.05, 50.0))?;
    }
    modules.sort_by(f64::total_cmp);
    match modules.windows(2).find(|pair| pair[0] == pair[1]) {
        Some(pair) => {
            let problem = format!("lists {} twice", show(pair[0]));
            Err(Mistake::at(key, problem, "list every module once"))
        }
        None => Ok(modules),
    }
}

fn series(key: &str, name: &str) -> Result<Vec<f64>, Mistake> {
    match name {
        "iso-54-1" => Ok(SERIES_I.to_vec()),
        "iso-54-2" => Ok(SERIES_I.into_iter().chain(SERIES_II).collect()),
        _ => {
            let right = REDUCTION.right(key);
            let mend = match nearest(name, &SERIES) {
                Some(near) => format!("did you mean \"{near}\"? {right}"),
                None => right,
            };
            Err(Mistake::at(key, format!("is \"{}\"", quote(name)), mend))
        }
    }
}

/// Limits on scores that a room says as well, which the search sees sooner.
pub(super) fn narrow(room: &mut Room, limits: &[Limit]) {
    let ends = |criterion| limits.iter().find(|limit| limit.criterion == criterion)?.most;
    let less = |given: Option<f64>, most: Option<f64>| match (given, most) {
        (Some(given), Some(most)) => Some(given.min(most)),
        (given, most) => given.or(most.filter(|most| *most <= LARGEST)),
    };
    // A limit of 0 or less has no room in it; it stays a limit that nothing meets.
    let positive = |most: Option<f64>| most.filter(|most| *most > 0.0);
    room.bore = less(room.bore, positive(ends(Criterion::OuterDiameter)));
    room.length = less(room.length, positive(ends(Criterion::Length)));
}

/// What the teeth may be; at least one set must fit the room, or be in the stock.
pub(super) fn teeth(
    written: &WrittenTeeth,
    room: &Room,
    train: &TrainWish,
    gears: Option<&[StockGear]>,
) -> Result<ToothLimits, Mistake> {
    for (key, given, other) in [
        ("teeth.module", written.module, "room.modules, such as modules = [1.0, 1.5]"),
        ("teeth.largest_diameter", written.largest_diameter, "room.bore, such as bore = 90.0"),
    ] {
        if let Some(given) = given {
            let problem = format!("is {}, but is not a key of {}", show(given), REDUCTION.noun);
            return Err(Mistake::at(key, problem, format!("in its place write {other}")));
        }
    }
    let limits = crate::brief::teeth::limits(&REDUCTION, written, default_teeth())?;
    let smallest = room.modules.first().copied().unwrap_or(limits.module);
    let limits = ToothLimits { module: smallest, largest_diameter: room.bore, ..limits };
    let face = room.width.0 * smallest;
    if let Some(length) = room.length.filter(|length| *length < face) {
        let problem = format!("is {}, but one set alone is {face} long", show(length));
        let mend = "allow a greater room.length, or smaller room.modules or room.width";
        return Err(Mistake::at("room.length", problem, mend));
    }
    // Teeth of paired sets are not settled by counting; there the search is the judge.
    if !train.kinds.contains(&SetKind::Paired) {
        match gears {
            None => some_set_fits(&limits).map_err(of_the_room)?,
            Some(gears) => in_stock(gears, room, &limits)?,
        }
    }
    Ok(limits)
}

fn in_stock(gears: &[StockGear], room: &Room, limits: &ToothLimits) -> Result<(), Mistake> {
    if stock::some_set_fits(gears, &room.modules, limits) {
        return Ok(());
    }
    let problem = format!(
        "has no sun, planets and ring that go together in module {} within [teeth]: Z_R = Z_S + \
         2 Z_P, and {} planets or more of a kind",
        room.modules.iter().map(|&module| show(module)).collect::<Vec<_>>().join(", "),
        limits.planets.iter().min().copied().unwrap_or_default(),
    );
    let mend = "add gears to the list, or widen [teeth] or room.modules";
    Err(Mistake::at("stock", problem, mend))
}

/// In briefs of reductions module and diameter stand in [room].
fn of_the_room(mistake: Mistake) -> Mistake {
    let told = |text: String| {
        text.replace("teeth.module", "room.modules").replace("teeth.largest_diameter", "room.bore")
    };
    Mistake { key: told(mistake.key), mend: told(mistake.mend), ..mistake }
}
