//! The formulas of the gears: in base ratios, in teeth, and as LaTeX.

use super::columns::{label, live};
use crate::cli::look::{Paint, wrapped};
use crate::doors::shown::Shown;

pub(super) fn section(shown: &Shown, paint: Paint) -> String {
    let told = live(shown).into_iter().filter_map(|state| {
        let formulas = state.formulas.as_ref()?;
        let first = format!("i({}) = {}", label(state, 16), formulas.base_ratios.text);
        let teeth = format!("= {}", formulas.teeth.text);
        // LaTeX is there to be copied, so its lines are never broken.
        let latex = [&formulas.base_ratios.latex, &formulas.teeth.latex];
        let latex = latex.map(|formula| format!("      LaTeX  {formula}\n")).concat();
        Some(wrapped(&first, 2) + &wrapped(&teeth, 6) + &latex)
    });
    let told: String = told.collect();
    if told.is_empty() {
        return told;
    }
    let below = "ρ1 = R1 / S1 with the teeth R1 of ring 1 and S1 of sun 1; --json has MathML too.";
    paint.strong("Formulas") + "\n" + &told + &wrapped(below, 2)
}
