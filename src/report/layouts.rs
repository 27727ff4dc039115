//! `layouts/<id>.toml`: a layout of the front, ready for `coaxle show`.

use super::cautions::CAUTIONS;
use super::number::plain;
use super::record::{Candidate, Kind};
use crate::train::write_layout;

/// The text of the file: comments that say what it is, then the layout.
pub fn layout_file(kind: Kind, candidate: &Candidate) -> String {
    let mut text = format!(
        "{}\n# Open it with: {}\n# Wiring: {}\n#\n",
        mark(kind, &candidate.id),
        show_command(&candidate.id),
        candidate.canonical,
    );
    for caution in &CAUTIONS[..2] {
        comment(&mut text, caution);
    }
    for (number, set) in (1..).zip(candidate.workshop.iter().flat_map(|shop| &shop.sets)) {
        let (module, width) = (plain(set.choice.module), plain((set.width * 100.0).ceil() / 100.0));
        text += &format!("# Set {number}: module {module} mm, face width {width} mm.\n");
    }
    text + "\n" + &write_layout(&candidate.layout)
}

/// The sentence as comment lines of a width that any editor shows whole.
pub(super) fn comment(text: &mut String, sentence: &str) {
    let mut line = "#".to_owned();
    for word in sentence.split_whitespace() {
        if line.len() + 1 + word.len() > 88 {
            text.push_str(&line);
            line = "\n#".to_owned();
        }
        line.push(' ');
        line.push_str(word);
    }
    text.push_str(&line);
    text.push('\n');
}

/// The first line, by which a later run knows a file of an earlier one.
pub(super) fn mark(kind: Kind, id: &str) -> String {
    format!("# Layout {id} of the front that coaxle {} found.", kind.command())
}

/// The command to give in the results folder.
pub(super) fn show_command(id: &str) -> String {
    format!("coaxle show layouts/{id}.toml")
}
