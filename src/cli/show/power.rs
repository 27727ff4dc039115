//! Where the power goes, a column a gear, and in sentences where it splits and runs round.

use itertools::Itertools as _;

use super::columns::{self, Rows, label, live, told};
use super::{percent, short};
use crate::cli::look::{Paint, decimal, name, wrapped};
use crate::doors::shown::{ShaftPowerTold, Shown, State};

/// Gears whose splits are told; the rest is for machines.
const MOST: usize = 16;

pub(super) fn section(shown: &Shown, paint: Paint) -> String {
    let title = "Power per input power";
    let below = "Members: what their shafts give to the set. Clutches: what they give to the \
                 shaft first named. These are exact and without losses; what is lost is an \
                 estimate. A largest branch above 1 means that power circulates, where anything \
                 rolls (Σ|P_roll| above 0).";
    let table = columns::section(shown, paint, title, |rows| fill(shown, rows), &wrapped(below, 2));
    if table.is_empty() { table } else { table + &sentences(shown, paint) }
}

fn fill(shown: &Shown, rows: &mut Rows<'_>) {
    rows.title("members");
    for index in 0..shown.sets.len() {
        let of = |state: &State, member: usize| {
            let set = &state.sets[index];
            told([&set.sun_power, &set.ring_power, &set.carrier_power][member].as_ref())
        };
        for (member, letter) in ["S", "R", "C"].iter().enumerate() {
            rows.add(&format!("{letter}{}", index + 1), |state| of(state, member));
        }
    }
    let clutches = shown.elements.iter().enumerate().filter(|(_, e)| e.kind == "clutch");
    let clutches: Vec<_> = clutches.collect();
    if !clutches.is_empty() {
        rows.title("clutches");
    }
    for (index, clutch) in clutches {
        rows.add(&clutch.element, |state| match &state.elements[index] {
            element if element.engaged => told(element.power.as_ref()),
            _ => "·".to_owned(),
        });
    }
    rows.title("lost");
    for (index, set) in shown.sets.iter().enumerate() {
        rows.add(&format!("set {}", set.set), |state| {
            let lost = state.sets[index].lost_power;
            lost.map_or("?".to_owned(), |lost| decimal(lost, 4))
        });
    }
    rows.title("sums");
    rows.add("Σ|P_roll|", |state| state.circulating_power.map_or("?".to_owned(), short));
    rows.add("largest branch", |state| state.largest_branch_power.map_or("?".to_owned(), short));
    rows.add("efficiency", |state| match (state.efficiency, state.self_locking) {
        (_, true) => "locks".to_owned(),
        (efficiency, false) => efficiency.map_or("?".to_owned(), percent),
    });
    rows.add("driven back", |state| match (state.back_efficiency, state.back_drives) {
        (Some(efficiency), _) => percent(efficiency),
        (None, Some(false)) => "locks".to_owned(),
        (None, _) => "?".to_owned(),
    });
}

fn sentences(shown: &Shown, paint: Paint) -> String {
    let mut text = String::new();
    for state in live(shown).into_iter().take(MOST) {
        let gear = label(state, 24);
        let Some(power) = &state.power else { continue };
        let splits = power.shafts.iter().filter_map(split).join("; ");
        if !splits.is_empty() {
            text += &wrapped(&format!("Gear {gear}: {splits}."), 2);
        }
        // What does not roll only holds: its torques are static, and no power runs there.
        let rolls = state.circulating_power.is_none_or(|rolling| rolling > 1e-12);
        for one in power.loops.iter().flatten().filter(|_| rolls) {
            let way = one.through.iter().chain(one.through.first());
            let way = way.map(|station| name(station, 24)).join(" → ");
            let round = format!(
                "Gear {gear}: {} × the input power runs round, {way}.",
                short(one.power.value)
            );
            text += &(paint.bad(wrapped(&round, 2).trim_end()) + "\n");
        }
        if state.self_locking {
            let locks = format!(
                "Gear {gear} locks itself: with these losses the input cannot drive the output."
            );
            text += &(paint.bad(wrapped(&locks, 2).trim_end()) + "\n");
        }
        if state.back_drives == Some(false) {
            let locks = format!("Gear {gear} cannot be driven from the output.");
            text += &wrapped(&locks, 2);
        }
    }
    text
}

/// Such as `at output R1 75.0 % + C2 25.0 % go to outside`, where more than two branches meet.
fn split(shaft: &ShaftPowerTold) -> Option<String> {
    let branches = shaft.branches.as_ref().filter(|branches| branches.len() > 2)?;
    // Alone on its side, a branch has all.
    let side = |taking: bool| {
        let side = branches.iter().filter(|branch| branch.power.starts_with('-') == taking);
        let side: Vec<_> = side.collect();
        let told = side.iter().map(|branch| match side.len() {
            1 => name(&branch.branch, 16),
            _ => format!("{} {} %", name(&branch.branch, 16), decimal(100.0 * branch.share, 1)),
        });
        told.collect::<Vec<_>>()
    };
    let (giving, taking) = (side(false), side(true));
    let go = if giving.len() == 1 { "goes" } else { "go" };
    let (giving, taking) = (giving.join(" + "), taking.join(" + "));
    Some(format!("at {} {giving} {go} to {taking}", name(&shaft.shaft, 24)))
}
