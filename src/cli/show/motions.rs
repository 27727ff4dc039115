//! Speeds, slips and torques, a column a gear.

use super::{in_order, number};
use crate::cli::look::{Align, Column, Paint, name, table, wrapped};
use crate::doors::shown::{Shown, State};

/// Columns beside each other.
const BESIDE: usize = 8;
/// More states than this are read by machines.
const MOST: usize = 16;

pub(super) fn section(shown: &Shown, paint: Paint) -> String {
    let states: Vec<&State> =
        in_order(shown).into_iter().filter(|state| state.ratio.is_some()).collect();
    let title = paint.strong("Speeds per input speed, torques per input torque");
    if states.is_empty() {
        return String::new();
    }
    if states.len() > MOST {
        let text = format!("There are {} states; --json tells of each.", states.len());
        return title + "\n" + &wrapped(&text, 2);
    }
    let blocks = states.chunks(BESIDE).map(|states| block(shown, states));
    let open = "Planets turn about their pins. Torques: members as their shafts drive them, elements as they act on the shaft \
                first named; · is open, ? is not determined.";
    title + "\n" + &blocks.collect::<Vec<_>>().join("\n") + &wrapped(open, 2)
}

fn block(shown: &Shown, states: &[&State]) -> String {
    let mut columns = vec![Column::new("", Align::Left)];
    columns.extend(states.iter().map(|state| {
        let label = state.gear.clone().unwrap_or_else(|| state.engaged.join(" "));
        Column::new(name(&label, 8), Align::Right)
    }));
    let mut rows = Rows { states, rows: Vec::new() };
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
    table(&columns, rows.rows)
}

fn told(exact: Option<&String>) -> String {
    exact.map_or("?".to_owned(), |exact| number(exact))
}

struct Rows<'a> {
    states: &'a [&'a State],
    rows: Vec<Vec<String>>,
}

impl Rows<'_> {
    fn title(&mut self, title: &str) {
        let mut row = vec![String::new(); self.states.len() + 1];
        row[0] = title.to_owned();
        self.rows.push(row);
    }

    fn add(&mut self, label: &str, value: impl Fn(&State) -> String) {
        let label = format!("  {}", name(label, 16));
        let values = self.states.iter().map(|state| value(state));
        self.rows.push([label].into_iter().chain(values).collect());
    }
}
