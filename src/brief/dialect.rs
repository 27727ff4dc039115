//! What one kind of brief may say: its keys, its tables, the file that shows them all.
//!
//! Every kind of brief is read and refused by the same machinery; a dialect is all that it
//! has to know of the kind. The mirror of the file decides what is read; a dialect only
//! lets a refusal say what would be right. Tests hold mirror, dialect and reference file
//! together.

use super::exam::EXAM;
use super::keys::SEARCH;
use super::reduction::REDUCTION;
use super::study::STUDY;
use crate::score::Criterion;

/// One kind of brief.
pub(super) struct Dialect {
    /// The command that reads such briefs, without `coaxle`.
    pub command: &'static str,
    /// What a refusal calls such a brief, with its article.
    pub noun: &'static str,
    /// The commented file that has every key.
    pub reference: &'static str,
    /// The key that an empty brief misses first, and the least that it must say.
    pub least: (&'static str, &'static str),
    /// Tables by which briefs of this kind are known: no other kind has them.
    pub marks: &'static [&'static str],
    /// `(path, what would be right)` for every key, in the order of the reference file.
    pub keys: &'static [(&'static str, &'static str)],
    /// The tables, besides the title at the head of the file.
    pub tables: &'static [&'static str],
    /// Keys whose value is a list of tables, each with the keys of those.
    pub rows: &'static [(&'static str, &'static [&'static str])],
    /// What such a brief may score by.
    pub criteria: &'static [Criterion],
    /// Tables whose keys are names of things, each with what would be right in it.
    pub named: &'static [(&'static str, &'static str)],
}

impl Dialect {
    /// All kinds of brief there are.
    pub fn all() -> [&'static Self; 4] {
        [&SEARCH, &REDUCTION, &EXAM, &STUDY]
    }

    /// The names of the criteria.
    pub fn criterion_names(&self) -> Vec<&'static str> {
        self.criteria.iter().map(|criterion| criterion.name()).collect()
    }

    /// The criterion with this name.
    pub fn criterion(&self, name: &str) -> Option<Criterion> {
        self.criteria.iter().copied().find(|criterion| criterion.name() == name)
    }

    /// The keys of a table, `""` for the head of the file.
    pub fn keys_of(&self, table: &str) -> Vec<&'static str> {
        // A row is told of its whole list: `stock.gears[3]` of `stock.gears`.
        let list = table.split('[').next().unwrap_or_default();
        if let Some((_, keys)) = self.rows.iter().find(|(path, _)| *path == list) {
            return keys.to_vec();
        }
        match table {
            "" => ["title"].into_iter().chain(self.tables.iter().copied()).collect(),
            "limits" => self.criterion_names(),
            limit if limit.starts_with("limits.") => vec!["least", "most"],
            _ => self
                .keys
                .iter()
                .filter_map(|(path, _)| path.strip_prefix(table)?.strip_prefix('.'))
                .collect(),
        }
    }

    /// What would be right at `path`, in words.
    pub fn right(&self, path: &str) -> String {
        let mut forms = self.keys.iter().chain(self.named);
        if let Some((_, form)) = forms.find(|(key, _)| *key == path) {
            return (*form).to_owned();
        }
        if path.starts_with("limits.") {
            return match path.rsplit('.').next() {
                Some(end @ ("least" | "most")) => format!("write a number, such as {end} = 0.95"),
                _ => "write { least = 0.95 }, { most = 4.0 } or both".into(),
            };
        }
        if self.tables.contains(&path) {
            let keys = self.keys_of(path).join(", ");
            return format!("write a table: a line [{path}], then {keys}");
        }
        let reference = self.reference;
        format!("write TOML: lines [table] and lines key = value; {reference} shows every key")
    }

    /// The known key that `path` was probably meant to be, as a full path.
    pub fn near(&self, path: &str) -> Option<String> {
        let (table, word) = path.rsplit_once('.').unwrap_or(("", path));
        let full =
            |key: &str| if table.is_empty() { key.to_owned() } else { format!("{table}.{key}") };
        let here = nearest(word, &self.keys_of(table)).map(full);
        // A key that stands under the wrong heading is known by its last word.
        let elsewhere = || {
            let mut paths = self.keys.iter().map(|(path, _)| *path);
            paths.find(|path| path.rsplit('.').next() == Some(word)).map(str::to_owned)
        };
        here.or_else(elsewhere)
    }
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
        let near = |path| SEARCH.near(path);
        assert_eq!(near("gears.forwrad").as_deref(), Some("gears.forward"));
        assert_eq!(near("forward").as_deref(), Some("gears.forward"));
        assert_eq!(near("score.gap").as_deref(), Some("teeth.gap"));
        assert_eq!(near("limits.worst_eficiency").as_deref(), Some("limits.worst_efficiency"));
        assert_eq!(near("limits.spread.lesat").as_deref(), Some("limits.spread.least"));
        assert_eq!(near("limits.torque").as_deref(), Some("limits.element_torque"));
        assert_eq!(near("tooth").as_deref(), Some("teeth"));
        assert_eq!(near("gears.xyzzy"), None);
        let near = |path| REDUCTION.near(path);
        assert_eq!(near("ratio.tolernace").as_deref(), Some("ratio.tolerance"));
        assert_eq!(near("backlash").as_deref(), Some("parts.backlash"));
        assert_eq!(near("stock.gears[2].tooth").as_deref(), Some("stock.gears[2].teeth"));
        assert_eq!(near("limits.prize").as_deref(), Some("limits.price"));
    }

    /// A mark that two kinds share would tell nothing.
    #[test]
    fn marks_are_tables_of_one_kind_only() {
        for one in Dialect::all() {
            for mark in one.marks {
                let with: Vec<_> = Dialect::all()
                    .into_iter()
                    .filter(|other| other.tables.contains(mark))
                    .map(|other| other.command)
                    .collect();
                assert_eq!(with, [one.command], "[{mark}]");
            }
        }
    }
}
