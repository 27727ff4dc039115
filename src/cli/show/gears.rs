//! The table of gears, and what their ladder is like.

use itertools::Itertools as _;
use unicode_width::UnicodeWidthStr as _;

use super::{in_order, percent, short};
use crate::cli::look::{Align, Column, Paint, decimal, name, table, wrapped};
use crate::doors::shown::{FewestTold, Shown, State};

/// Gears with another state that are told when elements are left out.
const MOVED: usize = 6;
/// Widest that the marks of all elements may be, else the engaged ones are listed.
const MARKS: usize = 19;

pub(super) fn section(shown: &Shown, paint: Paint) -> String {
    let states = in_order(shown);
    let named = !shown.gears.is_empty();
    let title = if named { "Gears" } else { "Live states, by ratio (the file names no gears)" };
    if states.is_empty() {
        return format!("{}\n{}", paint.strong(title), wrapped("No state is live.", 2));
    }
    let marks = Marks::new(shown);
    let mut columns = vec![
        Column::new(marks.head.clone(), Align::Left),
        Column::new("ratio", Align::Right),
        Column::new("i", Align::Right),
        Column::new("efficiency", Align::Right),
        Column::new("Σ|P_roll|", Align::Right),
    ];
    if named {
        columns.insert(0, Column::new("gear", Align::Left));
        columns.insert(4, Column::new("step", Align::Right));
        columns.insert(5, Column::new("shift", Align::Left));
    }
    let mut before: Option<&State> = None;
    let rows = states.iter().map(|state| {
        let mut row = row(state, &marks);
        if named {
            let forward = state.ratio.as_ref().is_some_and(|ratio| ratio.value > 0.0);
            let lower = before.replace(state).filter(|_| forward);
            row.insert(0, name(state.gear.as_deref().unwrap_or(""), 8));
            row.insert(4, lower.map(|lower| step(lower, state)).unwrap_or_default());
            row.insert(5, lower.map(|lower| shift(lower, state)).unwrap_or_default());
        }
        row
    });
    let rows = rows.collect();
    let mut faults = states.iter().filter(|state| state.ratio.is_none()).map(|state| {
        let gear = name(state.gear.as_deref().unwrap_or(""), 24);
        let fault = format!("Gear {gear} is {}: {}.", state.status, name(&state.reason, 400));
        paint.bad(wrapped(&fault, 2).trim_end()) + "\n"
    });
    let faults = faults.join("");
    paint.strong(title)
        + "\n"
        + &table(&columns, rows)
        + &ladder(shown)
        + &formulas(&states)
        + &fewest(shown)
        + &faults
}

fn row(state: &State, marks: &Marks) -> Vec<String> {
    let efficiency = match (state.efficiency, state.self_locking) {
        (_, true) => "self-locks".to_owned(),
        (Some(efficiency), false) => percent(efficiency),
        (None, false) if state.ratio.is_some() => "?".to_owned(),
        (None, false) => String::new(),
    };
    vec![
        marks.of(&state.engaged),
        state.ratio.as_ref().map_or(state.status.to_owned(), |ratio| name(&ratio.exact, 15)),
        state.ratio.as_ref().map(|ratio| short(ratio.value)).unwrap_or_default(),
        efficiency,
        state.circulating_power.map(|power| decimal(power, 3)).unwrap_or_default(),
    ]
}

/// How engaged elements are marked: a column of dots an element, or a list.
struct Marks {
    head: String,
    elements: Vec<String>,
    dots: bool,
}

impl Marks {
    fn new(shown: &Shown) -> Self {
        let elements: Vec<String> =
            shown.elements.iter().map(|element| name(&element.element, 12)).collect();
        let head = elements.join(" ");
        let dots = !elements.is_empty() && head.width() <= MARKS;
        let head = if dots { head } else { "engaged".to_owned() };
        Self { head, elements, dots }
    }

    fn of(&self, engaged: &[String]) -> String {
        let engaged: Vec<String> = engaged.iter().map(|element| name(element, 12)).collect();
        if !self.dots {
            return engaged.join(" ");
        }
        let mark = |element: &String| {
            let dot = if engaged.contains(element) { "●" } else { "·" };
            dot.to_owned() + &" ".repeat(element.width().saturating_sub(1))
        };
        self.elements.iter().map(mark).join(" ")
    }
}

fn step(lower: &State, state: &State) -> String {
    let value = |state: &State| state.ratio.as_ref().map_or(f64::NAN, |ratio| ratio.value);
    decimal(value(lower) / value(state), 3)
}

/// What is released and applied on the way up: `D → C`.
fn shift(lower: &State, state: &State) -> String {
    let less = |a: &State, b: &State| {
        a.engaged.iter().filter(|element| !b.engaged.contains(element)).join(" ")
    };
    name(format!("{} → {}", less(lower, state), less(state, lower)).trim(), 13)
}

fn ladder(shown: &Shown) -> String {
    let Some(spread) = shown.spread.as_ref().filter(|_| !shown.steps.is_empty()) else {
        return String::new();
    };
    let score = |key: &str| shown.scores.0.iter().find(|(name, _)| *name == key)?.1;
    let mut text = format!("Spread {} = {}", name(&spread.exact, 30), short(spread.value));
    if let Some(deviation) = score("step_deviation").filter(|_| shown.steps.len() > 1) {
        let percent = 100.0 * (deviation.exp() - 1.0);
        text += &format!("; the steps are at most {} % off an even ladder", decimal(percent, 1));
    }
    wrapped(&(text + "."), 2)
}

/// Whether fewer elements would do, in a sentence.
fn fewest(shown: &Shown) -> String {
    let Some(fewest) = &shown.fewest_elements else { return String::new() };
    let all = shown.elements.len();
    let sentence = match (&fewest.left_out[..], all) {
        ([], 0) => return String::new(),
        ([], _) if !fewest.proved => {
            format!("Whether all {all} elements are needed for these gears is open")
        }
        ([], 1) => "The one element is needed for these gears".to_owned(),
        ([], 2) => "Both elements are needed for these gears".to_owned(),
        ([], _) => format!("All {all} elements are needed for these gears"),
        (left_out, _) => would_do(shown, fewest, left_out),
    };
    wrapped(&(sentence + "."), 2)
}

/// Such as `A B D would do: C could be left out (gear 3 by A+B)`.
fn would_do(shown: &Shown, fewest: &FewestTold, left_out: &[String]) -> String {
    let kept = if fewest.kept.is_empty() { "No element".to_owned() } else { listed(&fewest.kept) };
    let mut moved = fewest.gears.iter().filter(|served| {
        let now = shown.gears.iter().find(|gear| gear.gear.as_ref() == Some(&served.gear));
        now.is_none_or(|gear| gear.engaged != served.engaged)
    });
    let mut told = moved.by_ref().take(MOVED).map(|served| {
        let engaged = served.engaged.iter().map(|element| name(element, 24)).join("+");
        let engaged = if engaged.is_empty() { "none".to_owned() } else { engaged };
        format!("gear {} by {engaged}", name(&served.gear, 24))
    });
    let told = told.join(", ");
    let more = match moved.count() {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    let changes = match (&told[..], left_out) {
        ("", [_]) => ", no gear engages it".to_owned(),
        ("", _) => ", no gear engages them".to_owned(),
        (told, _) => format!(" ({told}{more})"),
    };
    let unproved = if fewest.proved { "" } else { "; whether still fewer would do is open" };
    format!("{kept} would do: {} could be left out{changes}{unproved}", listed(left_out))
}

/// Letters with spaces between them, longer names with commas.
fn listed(elements: &[String]) -> String {
    let letters = elements.iter().all(|element| element.width() == 1);
    let elements = elements.iter().map(|element| name(element, 24));
    elements.into_iter().join(if letters { " " } else { ", " })
}

/// The ratios in the base ratios of the sets, as many as are not a page of their own.
fn formulas(states: &[&State]) -> String {
    let told = states.iter().filter_map(|state| {
        let label = state.gear.clone().unwrap_or_else(|| state.engaged.join(" "));
        Some(wrapped(&format!("i({}) = {}", name(&label, 16), state.formula.as_ref()?), 2))
    });
    told.take(24).collect()
}
