//! The request in plain English, for the head of a report and the first line of a run.

use itertools::Itertools;

use super::{Brief, GearWish, Limit, Nesting, Permission, Space};
use crate::num::listed;
use crate::score::{Criterion, Progression};

/// Two sentences: what is searched for which gears, and what counts.
pub(super) fn sentence(brief: &Brief) -> String {
    let searched = searched(&brief.space);
    let gears = gears(&brief.gears);
    let names = brief.objectives.iter().map(|&criterion| spaced(criterion)).collect_vec();
    let limits = brief.limits.iter().map(limit).collect_vec();
    let kept = if limits.is_empty() {
        String::new()
    } else {
        format!("; kept is only what has {}", listed(&limits, "and"))
    };
    format!("{searched} are searched for {gears}. What counts is {}{kept}.", listed(&names, "and"))
}

fn searched(space: &Space) -> String {
    let sets = space.sets.iter().map(|&count| counted(count.into())).collect_vec();
    let shafts = space.shafts.iter().map(|&count| counted(count.into())).collect_vec();
    let plural = if space.sets == [1] { "" } else { "s" };
    let elements = match space.elements {
        (1, 1) => "one shift element".to_owned(),
        (fewest, most) if fewest == most => format!("{} shift elements", counted(most.into())),
        (fewest, most) => {
            format!("{} to {} shift elements", counted(fewest.into()), counted(most.into()))
        }
    };
    let held = special(space.held_shaft, "a member held in the housing");
    let bare = special(space.bare_input, "an input that only clutches reach");
    let crossed = (space.nests == Nesting::Any).then(|| "nesting on one axis or not".to_owned());
    let notes = held.into_iter().chain(bare).chain(crossed).join(", ");
    let notes = if notes.is_empty() { notes } else { format!(" ({notes})") };
    format!(
        "Layouts of {} planetary set{plural} with {} shafts and {elements}{notes}",
        listed(&sets, "or"),
        listed(&shafts, "or"),
    )
}

fn special(permission: Permission, thing: &str) -> Option<String> {
    match permission {
        Permission::Never => None,
        Permission::Allowed => Some(format!("with or without {thing}")),
        Permission::Required => Some(format!("with {thing}")),
    }
}

fn gears(wish: &GearWish) -> String {
    let forward = match wish.forward {
        1 => "one forward gear".to_owned(),
        count => format!("{} forward gears", counted(count)),
    };
    let reverse = match wish.reverse {
        0 => "no reverse".to_owned(),
        1 => "one reverse".to_owned(),
        count => format!("{} reverses", counted(count)),
    };
    let swap = if wish.single_swap { ", one element swapped for one at every shift" } else { "" };
    format!("{forward} and {reverse}{swap}: {}{}", ratios(wish), ladder(wish))
}

fn ratios(wish: &GearWish) -> String {
    let mut parts = match &wish.targets {
        Some(targets) => vec![format!(
            "ratios {} within ±{} %",
            targets.forward.iter().join(", "),
            short(targets.tolerance * 100.0)
        )],
        None => {
            let mut windows =
                vec![format!("first {}", range(wish.first)), format!("top {}", range(wish.top))];
            if wish.spread != (1.0, f64::INFINITY) {
                windows.push(format!("spread {}", range(wish.spread)));
            }
            if wish.forward > 1 {
                windows.push(format!("steps {}", range(wish.step)));
            }
            windows
        }
    };
    if wish.reverse > 0 {
        let listed = wish.targets.as_ref().map_or(&[][..], |targets| &targets.reverse);
        parts.push(if listed.is_empty() {
            format!("reverse {}", range(wish.reverse_ratio))
        } else {
            format!("reverse {}", listed.iter().join(", "))
        });
    }
    parts.join(", ")
}

fn ladder(wish: &GearWish) -> String {
    match wish.progression {
        Progression::Progressive { factor } => {
            format!(", steps falling by a factor of {} from gear to gear", short(factor))
        }
        Progression::Geometric if wish.targets.is_some() => ", even steps wanted".to_owned(),
        Progression::Geometric | Progression::Given(_) => String::new(),
    }
}

pub(super) fn limit(limit: &Limit) -> String {
    let name = spaced(limit.criterion);
    let unit = limit.criterion.about().1;
    let unit = if unit == "mm" { " mm" } else { "" };
    match (limit.least, limit.most) {
        _ if limit.criterion == Criterion::Nests && limit.least == Some(1.0) => {
            "passed the nesting test".to_owned()
        }
        (Some(least), Some(most)) => format!("{name} {}{unit}", range((least, most))),
        (Some(least), None) => format!("{name} at least {}{unit}", short(least)),
        (None, Some(most)) => format!("{name} at most {}{unit}", short(most)),
        (None, None) => name,
    }
}

pub(super) fn spaced(criterion: Criterion) -> String {
    criterion.name().replace('_', " ")
}

pub(super) fn range((least, most): (f64, f64)) -> String {
    if most.is_infinite() {
        format!("at least {}", short(least))
    } else {
        format!("{} to {}", short(least), short(most))
    }
}

/// To four decimals at most.
pub(super) fn short(value: f64) -> String {
    ((value * 1e4).round() / 1e4).to_string()
}

/// Small numbers in words, as running text has them.
pub(super) fn counted(count: usize) -> String {
    const WORDS: [&str; 13] = [
        "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
        "eleven", "twelve",
    ];
    WORDS.get(count).map_or_else(|| count.to_string(), |word| (*word).to_owned())
}
