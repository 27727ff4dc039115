//! The keys of a brief: for each its full path and, in words, what may stand there.
//!
//! The mirror in `written` decides what is read; this table only lets a refusal say what
//! would be right. Tests hold the two, and `configs/every-key.toml`, together.

/// `(path, what would be right)` for every key, in the order of the reference file.
pub(super) const KEYS: [(&str, &str); 43] = [
    ("title", "write a text in quotes, such as title = \"Six gears for the railcar\""),
    ("space.sets", "write a whole number from 1 to 4, or a list of them such as [2, 3]"),
    ("space.shafts", "write a whole number from 3 to 9, or a list of them such as [5, 6]"),
    ("space.elements", "write a whole number from 1 to 8, or [fewest, most] such as [3, 5]"),
    ("space.held_shaft", "write \"never\", \"allowed\" or \"required\""),
    ("space.bare_input", "write \"never\", \"allowed\" or \"required\""),
    ("gears.forward", "write a whole number from 1 to 16, such as 6"),
    ("gears.reverse", "write 0, 1 or 2"),
    ("gears.single_swap", "write true or false"),
    ("gears.first", "write [least, most], such as [3.5, 5.5]"),
    ("gears.top", "write [least, most], such as [0.6, 0.9]"),
    ("gears.reverse_ratio", "write [least, most] without signs, such as [2.5, 5.0]"),
    ("gears.spread", "write [least, most], such as [5.5, inf]"),
    ("gears.step", "write [least, most], both above 1, such as [1.1, 1.8]"),
    ("gears.progression", "write \"geometric\", \"progressive\" or \"targets\""),
    ("gears.step_factor", "write a number from 1 to 2, such as 1.05"),
    ("targets.forward", "write ratios from first to top gear, such as [4.2, 2.6, 1.7, 1.0]"),
    ("targets.reverse", "write ratios without signs, such as [3.6]"),
    ("targets.tolerance", "write a number above 0 and below 0.5, such as 0.02 for ±2 %"),
    ("teeth.sun", "write [fewest, most], such as [18, 60]"),
    ("teeth.planet", "write [fewest, most], such as [16, 48]"),
    ("teeth.ring", "write [fewest, most], such as [48, 110]"),
    ("teeth.planets", "write a whole number from 2 to 12, or a list of them such as [3, 4]"),
    ("teeth.base_ratio", "write [least, most], such as [1.4, 4.5]"),
    ("teeth.module", "write a number of mm from 0.05 to 50, such as 1.5"),
    ("teeth.pressure_angle", "write a number of degrees from 10 to 35, such as 20.0"),
    ("teeth.addendum", "write a number of modules from 0.5 to 1.5, such as 1.0"),
    ("teeth.gap", "write a number of modules from 0 to 5, such as 0.5"),
    ("teeth.rim", "write a number of modules from 0 to 20, such as 2.5"),
    ("teeth.largest_diameter", "write a number of mm above 0, such as 190.0, or inf for no limit"),
    ("teeth.largest_shift", "write a number from 0 to 1, such as 0.5"),
    ("teeth.odd_planet", "write true or false"),
    ("teeth.unequal_spacing", "write true or false"),
    ("teeth.radial_assembly", "write true or false"),
    ("losses.external", "write a number from 0.5 to 1, such as 0.990"),
    ("losses.internal", "write a number from 0.5 to 1, such as 0.995"),
    ("losses.by_teeth", "write true or false"),
    ("score.objectives", "write a list of names, such as [\"spread\", \"element_count\"]"),
    ("effort.samples", "write a whole number from 1 to 65536, such as 512"),
    ("effort.time_limit", "write a number of seconds above 0, such as 600, or inf for no limit"),
    (
        "effort.memory_limit",
        "write a whole number of MiB above 0, such as 2048, or inf for no limit",
    ),
    ("effort.prove", "write true or false"),
    ("effort.keep", "write a whole number from 1 to 10000000, such as 20000"),
];

/// The tables of a brief, besides the title at its head.
pub(super) const TABLES: [&str; 8] =
    ["space", "gears", "targets", "teeth", "losses", "score", "limits", "effort"];

/// The keys of a table, `""` for the head of the file.
pub(super) fn keys_of(table: &str) -> Vec<&'static str> {
    match table {
        "" => ["title"].into_iter().chain(TABLES).collect(),
        "limits" => crate::score::Criterion::ALL.map(|criterion| criterion.name()).to_vec(),
        limit if limit.starts_with("limits.") => vec!["least", "most"],
        _ => KEYS
            .iter()
            .filter_map(|(path, _)| path.strip_prefix(table)?.strip_prefix('.'))
            .collect(),
    }
}

/// What would be right at `path`, in words.
pub(super) fn right(path: &str) -> String {
    if let Some((_, form)) = KEYS.iter().find(|(key, _)| *key == path) {
        return (*form).to_owned();
    }
    if path == "limits" {
        return "write a table [limits] with lines such as worst_efficiency = { least = 0.95 }"
            .into();
    }
    if path.starts_with("limits.") {
        return match path.rsplit('.').next() {
            Some(end @ ("least" | "most")) => format!("write a number, such as {end} = 0.95"),
            _ => "write { least = 0.95 }, { most = 4.0 } or both".into(),
        };
    }
    if TABLES.contains(&path) {
        return format!("write a table: a line [{path}], then {}", keys_of(path).join(", "));
    }
    "write TOML: lines [table] and lines key = value; configs/every-key.toml shows every key".into()
}

/// The known key that `path` was probably meant to be, as a full path.
pub(super) fn near(path: &str) -> Option<String> {
    let (table, word) = path.rsplit_once('.').unwrap_or(("", path));
    let full = |key: &str| if table.is_empty() { key.to_owned() } else { format!("{table}.{key}") };
    let here = nearest(word, &keys_of(table)).map(full);
    // A key that stands under the wrong heading is known by its last word.
    let elsewhere = || {
        let mut paths = KEYS.iter().map(|(path, _)| *path);
        paths.find(|path| path.rsplit('.').next() == Some(word)).map(str::to_owned)
    };
    here.or_else(elsewhere)
}

/// The word among `known` that is nearest to `word`, if any is near.
pub(super) fn nearest(word: &str, known: &[&'static str]) -> Option<&'static str> {
    // Beyond a few dozen letters nobody mistyped a key, and the comparison is quadratic.
    if word.len() > 40 {
        return None;
    }
    let word = word.to_lowercase();
    let typos = |other: &str| strsim::damerau_levenshtein(&word, other);
    let mistyped = known.iter().copied().min_by_key(|other| typos(other));
    // Half a name, such as `efficiency`, is remembered more often than it is mistyped.
    let half = || known.iter().copied().find(|other| word.len() > 3 && other.contains(&word));
    mistyped.filter(|other| typos(other) <= 1 + word.len() / 4).or_else(half)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn near_keys_are_found_here_and_under_other_headings() {
        assert_eq!(near("gears.forwrad").as_deref(), Some("gears.forward"));
        assert_eq!(near("forward").as_deref(), Some("gears.forward"));
        assert_eq!(near("score.gap").as_deref(), Some("teeth.gap"));
        assert_eq!(near("limits.worst_eficiency").as_deref(), Some("limits.worst_efficiency"));
        assert_eq!(near("limits.spread.lesat").as_deref(), Some("limits.spread.least"));
        assert_eq!(near("limits.torque").as_deref(), Some("limits.element_torque"));
        assert_eq!(near("tooth").as_deref(), Some("teeth"));
        assert_eq!(near("gears.xyzzy"), None);
    }
}
