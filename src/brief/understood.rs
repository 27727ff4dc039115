//! The brief as it is understood: every value checked once, every default filled in.
//!
//! Whatever passes here can be searched; no room below has to refuse a user's value again.

use super::keys::SEARCH;
use super::written::Written;
use super::{Brief, gears, score, space, teeth};
use crate::error::Mistake;

/// Longest title, in characters.
const LONGEST_TITLE: usize = 200;
/// Longest name of a brief, in characters; four bytes each still make a folder's name.
const LONGEST_NAME: usize = 60;

/// The meaning of what is written; `name` becomes the name of the results folder.
pub(super) fn understand(written: &Written, name: &str) -> Result<Brief, Mistake> {
    let name = folder_name(name);
    // The order is that of the file, so that its first mistake is told first.
    let title = written.title.as_deref().map_or(Ok(name.clone()), title)?;
    let space = space::understand(&written.space)?;
    let mut gears = gears::understand(&written.gears, written.targets.as_ref())?;
    // Only now both are known: a gear is a state, and the space says how many there are.
    space::states_for(&space, gears.forward + gears.reverse)?;
    let reverse = gears.reverse;
    let mut teeth = teeth::understand(&written.teeth)?;
    let most_sets = space.sets.iter().copied().max().unwrap_or(0);
    let mesh = teeth::losses(&SEARCH, &written.losses)?;
    let has_a_value = |key: &str, criterion| score::needs_reverse(key, criterion, reverse);
    let objectives = score::objectives(
        &SEARCH,
        written.score.objectives.as_ref(),
        &score::DEFAULT,
        has_a_value,
    )?;
    let limits = score::limits(&SEARCH, &written.limits, has_a_value)?;
    // The search sees windows from its first test on, and limits only when teeth are
    // chosen; what can be said by a window is, so that nothing is missed.
    for limit in &limits {
        gears::narrow(&mut gears, limit)?;
        teeth::narrow(&mut teeth, limit)?;
    }
    Ok(Brief {
        title,
        name,
        space,
        gears,
        teeth,
        mesh,
        objectives,
        limits,
        show: score::show_of(written.score.show)?,
        effort: score::effort(&written.effort, most_sets)?,
    })
}

/// A title goes into tables, pictures and pages as it is: one line, not empty, of
/// characters that XML has too.
pub(super) fn title(written: &str) -> Result<String, Mistake> {
    let title = written.trim();
    let problem = if title.is_empty() {
        "is empty".to_owned()
    } else if title.chars().any(|c| c.is_control() || c == '\u{fffe}' || c == '\u{ffff}') {
        "has a line break or another control character".to_owned()
    } else if title.chars().count() > LONGEST_TITLE {
        format!("is {} characters long", title.chars().count())
    } else {
        return Ok(title.to_owned());
    };
    let mend = format!("write one line of at most {LONGEST_TITLE} characters");
    Err(Mistake::at("title", problem, mend))
}

/// A name that is safe as a folder's: letters, digits, `-` and `_`, at most 60 of them.
/// Safe names stay as they are.
pub(super) fn folder_name(name: &str) -> String {
    let safe = |c: char| if c.is_alphanumeric() || c == '_' { c } else { '-' };
    let spelled: String = name.trim().chars().map(safe).take(LONGEST_NAME).collect();
    let trimmed = spelled.trim_matches('-');
    if trimmed.is_empty() { "brief".to_owned() } else { trimmed.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_safe_for_folders() {
        for (given, safe) in [
            ("railcar-6", "railcar-6"),
            ("../etc/x", "etc-x"),
            ("six gears.v2", "six-gears-v2"),
            ("  ", "brief"),
            ("Grünholz_8", "Grünholz_8"),
        ] {
            assert_eq!(folder_name(given), safe);
            assert_eq!(folder_name(safe), safe);
        }
    }
}
