//! How the ratio of every gear follows, step by step.

use super::columns::{label, live};
use crate::cli::look::{Paint, name, wrapped};
use crate::doors::shown::{Shown, State};

pub(super) fn section(shown: &Shown, paint: Paint) -> String {
    let told: Vec<String> = live(shown).into_iter().filter_map(|state| of(state, paint)).collect();
    told.join("\n")
}

fn of(state: &State, paint: Paint) -> Option<String> {
    let derivation = state.derivation.as_ref()?;
    let engaged = derivation.engaged.iter().map(|element| name(element, 24));
    let engaged = engaged.collect::<Vec<_>>().join(" ");
    let with = if engaged.is_empty() { String::new() } else { format!(" with {engaged} engaged") };
    let title = format!("Why gear {} is {}{with}", label(state, 16), derivation.ratio);
    let mut text = wrapped(&paint.strong(&title), 0);
    for (index, step) in derivation.steps.iter().enumerate() {
        text += &wrapped(&format!("{}. {}", index + 1, step.sentence), 2);
        for line in &step.lines {
            text += &wrapped(&line.text, 8);
        }
    }
    Some(text)
}
