//! Sets with their teeth, shafts with their members.

use itertools::Itertools as _;

use super::short;
use crate::cli::look::{Align, Column, Paint, name, table, wrapped};
use crate::doors::shown::{ConditionTold, SetTeeth, Shown};

pub(super) fn section(shown: &Shown, paint: Paint) -> String {
    let heads = ["set", "kind", "sun", "planet", "ring", "planets", "ρ = Z_R/Z_S", ""];
    let aligns = [Align::Left, Align::Left].into_iter().chain([Align::Right; 6]);
    let columns: Vec<Column> =
        heads.iter().zip(aligns).map(|(head, align)| Column::new(*head, align)).collect();
    let sets = table(&columns, shown.sets.iter().map(row).collect());
    let told: String = shown.sets.iter().map(|set| conditions(set, paint)).collect();
    let (sets_title, shafts_title) = (paint.strong("Sets"), paint.strong("Shafts"));
    format!("{sets_title}\n{sets}{told}\n{shafts_title}\n{}", shafts(shown))
}

fn row(set: &SetTeeth) -> Vec<String> {
    let planet = match (set.planet, set.outer_planet) {
        (Some(inner), Some(outer)) => format!("{inner} + {outer}"),
        (Some(planet), None) => planet.to_string(),
        (None, Some(outer)) => format!("? + {outer}"),
        (None, None) => "?".to_owned(),
    };
    vec![
        set.set.to_string(),
        set.kind.to_owned(),
        set.sun.to_string(),
        planet,
        set.ring.to_string(),
        set.planets.map_or("not given".to_owned(), |planets| planets.to_string()),
        set.base_ratio.exact.clone(),
        short(set.base_ratio.value),
    ]
}

/// What a set keeps in a list, what it breaks in sentences.
fn conditions(set: &SetTeeth, paint: Paint) -> String {
    let of = |kind: &str, holds: bool| -> Vec<&ConditionTold> {
        set.conditions.iter().filter(|c| c.kind == kind && c.holds == holds).collect()
    };
    let names = |told: &[&ConditionTold]| told.iter().map(|condition| condition.name).join(", ");
    let kept = names(&[of("condition", true), of("preference", true)].concat());
    let mut text = wrapped(&format!("Set {} keeps {kept}.", set.set), 2);
    for broken in of("condition", false) {
        let fault = format!("Set {} breaks {}: {}", set.set, broken.name, broken.detail);
        text += &(paint.bad(wrapped(&fault, 2).trim_end()) + "\n");
    }
    for missed in of("preference", false) {
        let wish =
            format!("Wished of set {}, not kept: {}. {}", set.set, missed.name, missed.detail);
        text += &wrapped(&wish, 2);
    }
    text
}

fn shafts(shown: &Shown) -> String {
    let rows = shown.shafts.iter().map(|shaft| {
        let of = |kind: &str| {
            let elements = shown
                .elements
                .iter()
                .filter(|element| element.kind == kind && element.shafts.contains(&shaft.shaft));
            elements.map(|element| name(&element.element, 12)).join(" ")
        };
        let members = shaft.members.join(" ");
        let members = if members.is_empty() { "none".to_owned() } else { members };
        vec![name(&shaft.shaft, 32), members, of("clutch"), of("brake")]
    });
    let held = (!shown.held.is_empty())
        .then(|| vec!["housing".to_owned(), shown.held.join(" "), String::new(), String::new()]);
    let columns =
        ["shaft", "members", "clutches", "brakes"].map(|head| Column::new(head, Align::Left));
    table(&columns, rows.chain(held).collect())
}
