//! Speeds, slips and torques, a column a gear.

use super::columns::{self, Rows, told};
use crate::cli::look::{Paint, wrapped};
use crate::doors::shown::{Shown, State};

pub(super) fn section(shown: &Shown, paint: Paint) -> String {
    let title = "Speeds per input speed, torques per input torque";
    let open = "Planets turn about their pins. Torques: members as their shafts drive them, \
                elements as they act on the shaft first named; · is open, ? is not determined.";
    columns::section(shown, paint, title, |rows| fill(shown, rows), &wrapped(open, 2))
}

fn fill(shown: &Shown, rows: &mut Rows<'_>) {
    rows.title("speed");
    for (index, shaft) in shown.shafts.iter().enumerate() {
        rows.add(&shaft.shaft, |state| told(state.shafts[index].speed.as_ref()));
    }
    for (index, set) in shown.sets.iter().enumerate() {
        let planet = format!("planets {}", set.set);
        rows.add(&planet, |state| told(state.sets[index].planet_speed.as_ref()));
    }
    rows.title("slip");
    for (index, element) in shown.elements.iter().enumerate() {
        rows.add(&element.element, |state| match &state.elements[index] {
            element if element.engaged => "·".to_owned(),
            element => told(element.slip.as_ref()),
        });
    }
    rows.title("torque");
    rows.add("output", |state| told(state.shafts[1].torque.as_ref()));
    rows.add("housing", |state| told(state.housing.torque.as_ref()));
    for index in 0..shown.sets.len() {
        let of = |state: &State, member: usize| {
            let set = &state.sets[index];
            told([&set.sun_torque, &set.ring_torque, &set.carrier_torque][member].as_ref())
        };
        for (member, letter) in ["S", "R", "C"].iter().enumerate() {
            rows.add(&format!("{letter}{}", index + 1), |state| of(state, member));
        }
    }
    for (index, element) in shown.elements.iter().enumerate() {
        rows.add(&element.element, |state| match &state.elements[index] {
            element if element.engaged => told(element.torque.as_ref()),
            _ => "·".to_owned(),
        });
    }
}
