//! The largest loads and speeds, and in which gear.

use super::number;
use crate::cli::look::{Align, Column, Paint, name, table};
use crate::doors::shown::{Peak, Shown};

pub(super) fn section(shown: &Shown, paint: Paint) -> String {
    let heads = ["part", "", "largest", "in gear"];
    let aligns = [Align::Left, Align::Left, Align::Right, Align::Left];
    let columns: Vec<Column> =
        heads.into_iter().zip(aligns).map(|(head, align)| Column::new(head, align)).collect();
    let mut rows = Vec::new();
    let mut add = |part: &str, what: &str, peak: &Option<Peak>| {
        if let Some(peak) = peak {
            let part = name(part, 24);
            rows.push(vec![part, what.to_owned(), number(&peak.exact), name(&peak.gear, 24)]);
        }
    };
    for element in &shown.largest.elements {
        add(&element.element, "torque, engaged", &element.torque);
        add(&element.element, "slip, open", &element.slip);
    }
    for set in &shown.largest.sets {
        add(&format!("planets {}", set.set), "speed about the pin", &set.planet_speed);
    }
    for shaft in &shown.largest.shafts {
        add(&shaft.shaft, "speed", &shaft.speed);
    }
    if rows.is_empty() {
        return String::new();
    }
    paint.strong("Largest loads and speeds, per input torque and speed")
        + "\n"
        + &table(&columns, rows)
}
