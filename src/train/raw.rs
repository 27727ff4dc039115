//! A layout file as it is written: which keys stand there and what kind of value each has.
//! What the values mean is judged by the reader, `file.rs`.

use toml::{Table, Value};

use crate::error::Mistake;

const MOST_TEETH: u32 = 100_000;
/// Longest name of a shaft, an element or a gear, and longest title, in characters: they stand
/// in tables and pictures.
const LONGEST_NAME: usize = 100;
const LONGEST_TITLE: usize = 200;

const KEYS: [&str; 5] = ["title", "sets", "shafts", "elements", "gears"];
const SET_KEYS: [&str; 6] = ["sun", "ring", "planet", "outer-planet", "planets", "kind"];

/// The tables of a layout file.
pub(super) struct RawLayout {
    pub title: Option<String>,
    pub sets: Vec<RawSet>,
    pub shafts: Table,
    pub elements: Table,
    pub gears: Table,
}

/// One of its `[[sets]]`.
pub(super) struct RawSet {
    pub sun: u32,
    pub ring: u32,
    pub planet: Option<u32>,
    pub outer_planet: Option<u32>,
    pub planets: Option<u32>,
    pub kind: Option<String>,
}

/// Reads the text of a layout file.
///
/// # Errors
/// A [`Mistake`] for what is no TOML, for a key that there is not, and for a value of another
/// kind than its key takes.
pub(super) fn raw_layout(text: &str) -> Result<RawLayout, Mistake> {
    let table: Table = toml::from_str(text).map_err(|error| no_toml(text, &error))?;
    only("", &table, &KEYS, "a layout file")?;
    let sets = match table.get("sets") {
        Some(Value::Array(sets)) => sets.iter().enumerate().map(raw_set).collect(),
        Some(other) => Err(other_kind("sets", other, "begin each set with a line [[sets]]")),
        None => Err(Mistake::at("sets", "is missing", "write one to four [[sets]] tables")),
    };
    let tables = |key: &'static str| match table.get(key) {
        Some(Value::Table(inner)) => Ok(Some(inner.clone())),
        Some(other) => Err(other_kind(key, other, &format!("begin the table with a line [{key}]"))),
        None => Ok(None),
    };
    Ok(RawLayout {
        title: title(&table)?,
        sets: sets?,
        shafts: tables("shafts")?.ok_or_else(|| {
            let mend = "write a table [shafts] with input, output and the others";
            Mistake::at("shafts", "is missing", mend)
        })?,
        elements: tables("elements")?.unwrap_or_default(),
        gears: tables("gears")?.unwrap_or_default(),
    })
}

/// What the TOML reader found, with its line; not its drawing of the place.
fn no_toml(text: &str, error: &toml::de::Error) -> Mistake {
    let before = error.span().and_then(|span| text.get(..span.start)).unwrap_or_default();
    let line = before.matches('\n').count();
    let reason = match error.message() {
        // Its guess for any bare word.
        guess if guess.starts_with("invalid boolean") => "text must be quoted",
        reason => reason,
    };
    let shown = shortened(text.lines().nth(line).unwrap_or_default().trim());
    let problem = format!("is not TOML ({}): {shown}", shortened(reason));
    let mend = "a layout file has title, [[sets]] with sun and ring (planet, planets, kind), \
                [shafts], [elements] and [gears]";
    Mistake::at(format!("line {}", line + 1), problem, mend)
}

fn only(place: &str, table: &Table, known: &[&str], of: &str) -> Result<(), Mistake> {
    let strange = table.keys().find(|key| !known.contains(&key.as_str()));
    strange.map_or(Ok(()), |key| {
        let mend = format!("the keys are {}", known.join(", "));
        Err(Mistake::at(place.to_owned() + &shortened(key), format!("is not a key of {of}"), mend))
    })
}

fn other_kind(key: &str, value: &Value, mend: &str) -> Mistake {
    Mistake::at(key, format!("is {}", shortened(&value.to_string())), mend)
}

fn title(table: &Table) -> Result<Option<String>, Mistake> {
    let mend = format!("write a text in quotes of at most {LONGEST_TITLE} characters");
    match table.get("title") {
        None => Ok(None),
        Some(Value::String(title)) => match title.chars().count() {
            count if count > LONGEST_TITLE => {
                Err(Mistake::at("title", format!("has {count} characters"), mend))
            }
            _ => Ok(Some(title.clone())),
        },
        Some(other) => Err(other_kind("title", other, &mend)),
    }
}

fn raw_set((index, value): (usize, &Value)) -> Result<RawSet, Mistake> {
    let place = format!("sets[{}]", index + 1);
    let Value::Table(table) = value else {
        return Err(other_kind(&place, value, "begin each set with a line [[sets]]"));
    };
    only(&format!("{place}."), table, &SET_KEYS, "a set")?;
    let teeth = |key: &str| {
        let mend = format!("write a whole number from 1 to {MOST_TEETH}");
        let key = (format!("{place}.{key}"), table.get(key));
        match key {
            (_, None) => Ok(None),
            (key, Some(value)) => {
                let whole = value.as_integer().and_then(|teeth| u32::try_from(teeth).ok());
                let whole = whole.filter(|teeth| (1..=MOST_TEETH).contains(teeth));
                whole.map(Some).ok_or_else(|| other_kind(&key, value, &mend))
            }
        }
    };
    let needed = |key: &str| {
        let missing = || {
            let mend = "a set has at least sun and ring, each a number of teeth";
            Mistake::at(format!("{place}.{key}"), "is missing", mend)
        };
        teeth(key)?.ok_or_else(missing)
    };
    let kind = match table.get("kind") {
        None => None,
        Some(Value::String(kind)) => Some(kind.clone()),
        Some(other) => {
            let mend = "write \"single\" or \"paired\"";
            return Err(other_kind(&format!("{place}.kind"), other, mend));
        }
    };
    Ok(RawSet {
        sun: needed("sun")?,
        ring: needed("ring")?,
        planet: teeth("planet")?,
        outer_planet: teeth("outer-planet")?,
        planets: teeth("planets")?,
        kind,
    })
}

/// The key of a thing that the file names, where the name can be one.
///
/// # Errors
/// A [`Mistake`] for an empty name and one that no table or picture has room for.
pub(super) fn check_name(table: &str, name: &str) -> Result<String, Mistake> {
    if name.trim().is_empty() {
        let mend = "write a name of letters, digits and hyphens, such as rear-carrier";
        return Err(Mistake::at(table, "has an empty name", mend));
    }
    let key = format!("{table}.{}", shortened(name));
    let count = name.chars().count();
    if count > LONGEST_NAME {
        let mend = format!("write a name of at most {LONGEST_NAME} characters");
        return Err(Mistake::at(key, format!("is a name of {count} characters"), mend));
    }
    Ok(key)
}

/// The user's own text for a message: short, without control characters, which would move the
/// cursor of a terminal.
pub(super) fn shortened(text: &str) -> String {
    const MOST: usize = 60;
    let plain = |c: char| if c.is_control() { ' ' } else { c };
    let short: String = text.chars().take(MOST).map(plain).collect();
    if text.chars().nth(MOST).is_some() { short + " …" } else { short }
}
