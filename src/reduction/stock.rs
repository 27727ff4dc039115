//! Sets made of gears that the builder owns or can buy.

use crate::brief::{ReductionBrief, StockGear};
use crate::teeth::{conditions, outer_diameter, planet_spacing, preferences, profile_shifts};
use crate::train::{GearSet, SetKind};

use super::choice::{Choice, limits_at};

/// A kind of gear in the list, and how many of it a reduction takes.
pub(super) type Taken = (StockKey, u32);

/// What makes two gears the same part: internal, teeth, module in thousandths of a mm.
pub(super) type StockKey = (bool, u32, u64);

/// Every set of `kind` that the gears of the list can make, within the limits of the brief.
/// Gears that are cut already have no profile shift, so none is allowed. `None` as soon as
/// `stopped` says so.
pub(super) fn stock_choices(
    stock: &[StockGear],
    brief: &ReductionBrief,
    kind: SetKind,
    stopped: &dyn Fn() -> bool,
) -> Option<Vec<Choice>> {
    let mut modules: Vec<f64> = stock.iter().map(|gear| gear.module).collect();
    modules.sort_by(f64::total_cmp);
    modules.dedup();
    let mut choices = Vec::new();
    for module in modules {
        for set in sets_of(stock, brief, kind, module) {
            if stopped() {
                return None;
            }
            let limits =
                crate::teeth::ToothLimits { largest_shift: 0.0, ..limits_at(brief, module) };
            let holds = conditions(&set, &limits).iter().all(|condition| condition.holds);
            let diameter =
                ring_diameter(stock, &set, module).unwrap_or_else(|| outer_diameter(&set, &limits));
            let fits = brief.room.bore.is_none_or(|bore| diameter <= bore + 1e-9);
            let Some(spacing) = planet_spacing(&set, &limits).filter(|_| holds && fits) else {
                continue;
            };
            let missed = preferences(&set).iter().filter(|wish| !wish.holds).count();
            let choice = Choice {
                set,
                module,
                shift: profile_shifts(&set, &limits),
                spacing,
                outer_diameter: diameter,
                preference: missed as f64 + diameter / module / 1000.0,
                price: 0.0,
                number: 0,
            };
            choices.extend(priced(stock, choice));
        }
    }
    Some(choices)
}

/// Sun, planets and ring of one module that lie in the list in sufficient number.
fn sets_of(
    stock: &[StockGear],
    brief: &ReductionBrief,
    kind: SetKind,
    module: f64,
) -> Vec<GearSet> {
    let teeth = |internal: bool, ends: (u32, u32)| -> Vec<u32> {
        let fit = stock.iter().filter(|gear| gear.internal == internal && gear.module == module);
        let fit = fit.map(|gear| gear.teeth).filter(|teeth| (ends.0..=ends.1).contains(teeth));
        let mut all: Vec<u32> = fit.collect();
        all.sort_unstable();
        all.dedup();
        all
    };
    let limits = &brief.teeth;
    let (suns, planets) = (teeth(false, limits.sun), teeth(false, limits.planet));
    let mut sets = Vec::new();
    for ring in teeth(true, limits.ring) {
        for &sun in suns.iter().filter(|&&sun| sun < ring) {
            let ratio = f64::from(ring) / f64::from(sun);
            if ratio < limits.base_ratio.0 || ratio > limits.base_ratio.1 {
                continue;
            }
            for &planet in &planets {
                let outers: Vec<Option<u32>> = match kind {
                    SetKind::Single if sun + 2 * planet != ring => continue,
                    SetKind::Single => vec![None],
                    SetKind::Paired => planets.iter().copied().map(Some).collect(),
                };
                let (planet, counts) = (Some(planet), &limits.planets);
                sets.extend(outers.iter().flat_map(|&outer_planet| {
                    counts.iter().map(move |&count| GearSet {
                        kind,
                        sun,
                        ring,
                        planet,
                        outer_planet,
                        planets: Some(count),
                    })
                }));
            }
        }
    }
    sets
}

/// The gears that a set takes from the list.
pub(super) fn taken(choice: &Choice) -> Vec<Taken> {
    let GearSet { sun, ring, planet, outer_planet, planets, .. } = choice.set;
    let module = (choice.module * 1000.0).round() as u64;
    let each = planets.unwrap_or(0);
    let wheels = [(false, Some(sun), 1), (true, Some(ring), 1), (false, planet, each)];
    let wheels = wheels.into_iter().chain([(false, outer_planet, each)]);
    let mut taken: Vec<Taken> = Vec::new();
    for (internal, teeth, count) in wheels {
        let Some(teeth) = teeth else { continue };
        add(&mut taken, ((internal, teeth, module), count));
    }
    taken
}

/// Adds to a list of gears taken.
pub(super) fn add(taken: &mut Vec<Taken>, (key, count): Taken) {
    match taken.iter_mut().find(|(other, _)| *other == key) {
        Some((_, so_far)) => *so_far += count,
        None => taken.push((key, count)),
    }
}

/// Whether the list holds all that `sets` take together, and what that costs, the cheapest
/// first.
pub(super) fn cost(stock: &[StockGear], sets: &[Choice]) -> Option<f64> {
    let mut all: Vec<Taken> = Vec::new();
    for choice in sets {
        taken(choice).into_iter().for_each(|one| add(&mut all, one));
    }
    all.iter().map(|&(key, count)| cost_of(stock, key, count)).sum()
}

fn cost_of(stock: &[StockGear], key: StockKey, count: u32) -> Option<f64> {
    let mut rows: Vec<&StockGear> = stock.iter().filter(|gear| key_of(gear) == key).collect();
    rows.sort_by(|a, b| a.price.total_cmp(&b.price));
    let (mut left, mut sum) = (count, 0.0);
    for row in rows {
        let here = left.min(row.count);
        (left, sum) = (left - here, sum + f64::from(here) * row.price);
    }
    (left == 0).then_some(sum)
}

/// What makes this gear the same part as another.
pub(super) fn key_of(gear: &StockGear) -> StockKey {
    (gear.internal, gear.teeth, (gear.module * 1000.0).round() as u64)
}

fn priced(stock: &[StockGear], choice: Choice) -> Option<Choice> {
    Some(Choice { price: cost(stock, &[choice])?, ..choice })
}

/// The outside diameter that the list gives for a ring.
fn ring_diameter(stock: &[StockGear], set: &GearSet, module: f64) -> Option<f64> {
    let known = stock.iter().filter(|gear| gear.internal && gear.bore > 0.0);
    let mut same = known.filter(|gear| gear.teeth == set.ring && gear.module == module);
    same.next().map(|gear| gear.bore)
}
