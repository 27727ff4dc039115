//! From a refusal of the TOML reader to one message: key, what was found, what would be
//! right. Knows TOML's spelling and nothing of gearboxes.

use std::ops::Range;

use toml::{Table, Value};

use super::dialect::Dialect;
use crate::error::Mistake;

/// Longest piece of the user's text that a message repeats, in characters.
const LONGEST_QUOTE: usize = 60;

/// Text that is not TOML at all; the reader's own words, the line, and the key it is in.
pub(super) fn no_toml(dialect: &Dialect, text: &str, error: &toml::de::Error) -> Mistake {
    let start = error.span().map_or(0, |span| span.start);
    let key = key_at(dialect, text, start);
    let line = text.get(..start).unwrap_or(text).matches('\n').count();
    let shown = quote(text.lines().nth(line).unwrap_or_default());
    // A bare word in place of a value begins like `true` or `false` as often as not; the
    // reader's guess that a boolean was meant would mislead.
    let reason = match error.message() {
        guess if guess.starts_with("invalid boolean") => "text must be quoted",
        reason => reason,
    };
    let problem = format!("line {} is not TOML ({reason}): {shown}", line + 1);
    let mend = dialect.right(&key);
    Mistake::at(key, problem, mend)
}

/// A value that does not fit its key, or a key that a brief does not have.
pub(super) fn misfit(
    dialect: &Dialect,
    text: &str,
    error: &serde_path_to_error::Error<toml::de::Error>,
) -> Mistake {
    // The reader's own words for a value with its place are no part of the path.
    let full = error.path().to_string();
    let full =
        full.split('.').filter(|part| !part.starts_with("$__")).collect::<Vec<_>>().join(".");
    // A bad entry is told of its whole list: `gears.first[1]` of `gears.first`.
    let path = full.split('[').next().unwrap_or_default();
    let span = error.inner().span();
    if error.inner().message().starts_with("unknown field") {
        return unknown(dialect, &full, &line_of(text, span));
    }
    let found = span.clone().and_then(|span| text.get(span)).unwrap_or("another kind of value");
    let place = line_of(text, span);
    Mistake::at(path, format!("is {}{place}", quote(found)), dialect.right(path))
}

fn unknown(dialect: &Dialect, path: &str, place: &str) -> Mistake {
    let table = path.rsplit_once('.').map_or("", |(table, _)| table);
    let heading = match table {
        "" => "the keys there are".to_owned(),
        table if table.starts_with("limits.") => "a limit has the keys".to_owned(),
        table => format!("[{table}] has the keys"),
    };
    let known = format!("{heading} {}", dialect.keys_of(table).join(", "));
    let mend = match dialect.near(path) {
        Some(key) => format!("did you mean {key}? {known}"),
        None => known,
    };
    Mistake::at(plain(path), format!("is not a key of {}{place}", dialect.noun), mend)
}

/// What a look at the whole file tells, before its keys are read one by one.
pub(super) fn misshapen(dialect: &Dialect, text: &str) -> Result<(), Mistake> {
    // Text that is no TOML is told of by the reader that comes next.
    let Ok(table) = toml::from_str::<Table>(text) else { return Ok(()) };
    of_another_kind(dialect, &table)?;
    lists_for_tables(dialect, &table)
}

/// A brief for one command in the hands of another.
fn of_another_kind(dialect: &Dialect, table: &Table) -> Result<(), Mistake> {
    let marked = |kind: &Dialect| kind.marks.iter().copied().find(|mark| table.contains_key(*mark));
    if marked(dialect).is_some() {
        return Ok(());
    }
    let known = Dialect::all().into_iter().find_map(|kind| Some((kind, marked(kind)?)));
    known.map_or(Ok(()), |(kind, mark)| {
        let problem = format!(
            "is a table of {}, which is for coaxle {}, not for coaxle {}",
            kind.noun, kind.command, dialect.command
        );
        let mend = format!(
            "run coaxle {} with this file; {} shows what coaxle {} reads",
            kind.command, dialect.reference, dialect.command
        );
        Err(Mistake::at(mark, problem, mend))
    })
}

/// The reader takes a list for a table, entry by entry; a person who writes one errs.
fn lists_for_tables(dialect: &Dialect, table: &Table) -> Result<(), Mistake> {
    let limits = table.get("limits").and_then(Value::as_table);
    let limits =
        limits.into_iter().flatten().map(|(name, value)| (format!("limits.{name}"), value));
    let tables =
        dialect.tables.iter().filter_map(|name| Some(((*name).to_owned(), table.get(*name)?)));
    for (path, value) in tables.chain(limits) {
        if value.is_array() {
            let problem = format!("is the list {}", quote(&value.to_string()));
            return Err(Mistake::at(plain(&path), problem, dialect.right(&path)));
        }
    }
    Ok(())
}

/// ` (line 12)`, or nothing where the reader gave no place.
fn line_of(text: &str, span: Option<Range<usize>>) -> String {
    let before = span.and_then(|span| text.get(..span.start));
    before
        .map_or_else(String::new, |before| format!(" (line {})", before.matches('\n').count() + 1))
}

/// The path of the key at a byte of text that may not parse: the last heading above it
/// and the last word before an equals sign; empty where neither is plain.
fn key_at(dialect: &Dialect, text: &str, byte: usize) -> String {
    let rest = text.get(byte..).unwrap_or_default();
    let line_end = rest.find('\n').map_or(text.len(), |end| byte + end);
    let (mut table, mut key, mut open) = ("", "", 0);
    for line in text[..line_end].lines().map(str::trim) {
        // Inside a list that is still open, a line is part of its key's value.
        if open == 0 {
            if let Some(heading) = line.strip_prefix('[').and_then(|rest| rest.strip_suffix(']')) {
                (table, key) = (heading.trim(), "");
            } else if let Some((word, _)) = line.split_once('=') {
                key = word.trim();
            } else if let Some(word) = line.split_whitespace().next()
                && dialect.keys_of(table).contains(&word)
            {
                key = word;
            }
        }
        let code = line.split('#').next().unwrap_or_default();
        let brackets = |bracket: char| code.matches(bracket).count();
        open = (open + brackets('[')).saturating_sub(brackets(']'));
    }
    let bare = |word: &str| {
        (1..=LONGEST_QUOTE).contains(&word.len())
            && word.chars().all(|c| c.is_ascii_alphanumeric() || "-_.".contains(c))
    };
    match (bare(table), bare(key)) {
        (true, true) => format!("{table}.{key}"),
        (true, false) => table.to_owned(),
        (false, true) => key.to_owned(),
        (false, false) => String::new(),
    }
}

/// The user's own text for a message: in one line, short, without control characters.
pub(super) fn quote(text: &str) -> String {
    let text = plain(text.trim());
    if text.chars().count() <= LONGEST_QUOTE {
        return text;
    }
    text.chars().take(LONGEST_QUOTE).chain(" …".chars()).collect()
}

/// Control characters would move the cursor of a terminal; spaces do as well for a reader.
fn plain(text: &str) -> String {
    text.chars().map(|c| if c.is_control() { ' ' } else { c }).take(200).collect()
}

#[cfg(test)]
mod tests {
    use super::super::keys::SEARCH;
    use super::*;

    #[test]
    fn the_key_of_broken_text_is_found() {
        let text = "title = \"x\"\n[gears]\nfirst = [3,\n  x]\nforward = six\n";
        let at = |needle: &str| key_at(&SEARCH, text, text.find(needle).unwrap());
        assert_eq!(at("x]"), "gears.first");
        assert_eq!(at("six"), "gears.forward");
        assert_eq!(at("title"), "title");
        let open = "[gears]\nfirst = [3, 4\ntop = [1, 2]\n";
        assert_eq!(key_at(&SEARCH, open, open.find("top").unwrap()), "gears.first");
        assert_eq!(key_at(&SEARCH, "\u{1}\u{2}", 0), "");
    }

    #[test]
    fn quotes_are_short_and_harmless() {
        assert_eq!(quote("a\u{1b}[2J\nb"), "a [2J b");
        assert!(quote(&"long ".repeat(1000)).chars().count() <= LONGEST_QUOTE + 2);
    }
}
