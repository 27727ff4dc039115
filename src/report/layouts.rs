//! `layouts/<id>.toml`: a layout of the front, ready for `coaxle show`.

use super::cautions::CAUTIONS;
use super::record::Candidate;
use crate::train::write_layout;

/// The text of the file: comments that say what it is, then the layout.
pub fn layout_file(candidate: &Candidate) -> String {
    format!(
        "{}\n# Open it with: {}\n# Wiring: {}\n# {}\n# {}\n\n{}",
        mark(&candidate.id),
        show_command(&candidate.id),
        candidate.canonical,
        CAUTIONS[0],
        CAUTIONS[1],
        write_layout(&candidate.layout)
    )
}

/// The first line, by which a later run knows a file of an earlier one.
pub(super) fn mark(id: &str) -> String {
    format!("# Layout {id} of the front that coaxle search found.")
}

/// The command to give in the results folder.
pub(super) fn show_command(id: &str) -> String {
    format!("coaxle show layouts/{id}.toml")
}
