//! The request for a reduction in plain English.

use itertools::Itertools;

use super::ratio::told;
use super::{BackDriving, Coupling, Direction, RatioWish, ReductionBrief, Room, TrainWish};
use crate::brief::spoken::{counted, limit, short, spaced};
use crate::num::listed;
use crate::train::SetKind;

/// Two sentences: what is sought under which conditions, and what counts.
pub(super) fn sentence(brief: &ReductionBrief) -> String {
    let ratio = ratio(&brief.ratio);
    let train = train(&brief.train);
    let conditions = [room(&brief.room), load(brief), stock(brief)];
    let conditions: String = conditions.into_iter().flatten().collect();
    let names = brief.objectives.iter().map(|&criterion| spaced(criterion)).collect_vec();
    let limits = brief.limits.iter().map(limit).collect_vec();
    let kept = if limits.is_empty() {
        String::new()
    } else {
        format!("; kept is only what has {}", listed(&limits, "and"))
    };
    format!(
        "{ratio} is sought {train}{conditions}. What counts is {}{kept}.",
        listed(&names, "and")
    )
}

fn ratio(wish: &RatioWish) -> String {
    let within = if wish.tolerance == 0.0 {
        "exactly".to_owned()
    } else {
        format!("within ±{} %", short(wish.tolerance * 100.0))
    };
    let direction = match wish.direction {
        Direction::Same => ", output turning with the input,",
        Direction::Reversed => ", output turning against the input,",
        Direction::Either => "",
    };
    format!("A ratio of {} to 1 {within}{direction}", told(&wish.target))
}

fn train(wish: &TrainWish) -> String {
    let sets = wish.sets.iter().map(|&count| counted(count.into())).collect_vec();
    let kind = match wish.kinds[..] {
        [SetKind::Single] => "single planetary",
        [SetKind::Paired] => "paired planetary",
        _ => "single or paired planetary",
    };
    let noun = if wish.sets == [1] { "set" } else { "sets" };
    let coupling = match wish.coupling {
        _ if wish.sets == [1] => "",
        Coupling::Series => ", one behind the other",
        Coupling::Any => ", joined in any way",
    };
    let back = match wish.back_driving {
        BackDriving::Free => "",
        BackDriving::Must => ", that the output can drive back",
        BackDriving::Never => ", that the output cannot drive back",
    };
    let nests = if wish.nests { "" } else { ", nested or not" };
    format!("with {} {kind} {noun}{coupling}{back}{nests}", listed(&sets, "or"))
}

fn room(room: &Room) -> Option<String> {
    let modules = room.modules.iter().map(|&module| short(module)).collect_vec();
    let rings = if room.equal_rings { " with equal rings" } else { "" };
    let bore = room.bore.map(|bore| format!("a bore of {} mm", short(bore)));
    let length = room.length.map(|length| format!("a length of {} mm", short(length)));
    let sizes = bore.into_iter().chain(length).collect_vec();
    let sizes =
        if sizes.is_empty() { String::new() } else { format!(" within {}", listed(&sizes, "and")) };
    Some(format!(", in module {}{rings}{sizes}", listed(&modules, "or")))
}

fn load(brief: &ReductionBrief) -> Option<String> {
    let load = brief.load.as_ref()?;
    let variants = match &brief.variants[..] {
        [one] if one.name.is_empty() => String::new(),
        variants => {
            let names = variants.iter().map(|variant| variant.name.clone()).collect_vec();
            format!(" in {}", listed(&names, "and in"))
        }
    };
    let (torque, end) = match load.input_torque {
        Some(torque) => (torque, "input"),
        None => (load.output_torque, "output"),
    };
    let (torque, speed) = (short(torque), short(load.input_speed));
    let safety = match brief.strength.safety {
        1.0 => String::new(),
        safety => format!(" with a safety of {}", short(safety)),
    };
    Some(format!(", for {torque} N m at the {end} at {speed} rpm of the input{safety}{variants}"))
}

fn stock(brief: &ReductionBrief) -> Option<String> {
    let kinds = brief.stock.as_ref()?.len();
    let noun = if kinds == 1 { "kind" } else { "kinds" };
    Some(format!(", from a stock of {} {noun} of gear", counted(kinds)))
}
