//! What the wheels of each variant are made of.

use toml::{Table, Value};

use super::Variant;
use super::keys::REDUCTION;
use crate::brief::dialect::nearest;
use crate::brief::fault::quote;
use crate::brief::understood::folder_name;
use crate::error::Mistake;
use crate::strength::NAMES;

/// The material of a brief that names none.
const DEFAULT: &str = "tempered-steel";
/// What must be named, and what may be.
const WHEELS: [&str; 3] = ["sun", "planet", "ring"];
const KEYS: [&str; 5] = ["sun", "planet", "ring", "carrier", "shaft"];
const MOST_VARIANTS: usize = 8;
/// Longest name of a variant, in characters.
const LONGEST_NAME: usize = 30;

/// The variants of a brief that names none: one, unnamed, of steel.
pub(super) fn unnamed() -> Vec<Variant> {
    vec![of("", [DEFAULT; 3])]
}

/// Plates like the ring, which stands still as well; shafts of steel.
fn of(name: &str, [sun, planet, ring]: [&str; 3]) -> Variant {
    Variant {
        carrier: ring.to_owned(),
        shaft: DEFAULT.to_owned(),
        name: name.to_owned(),
        sun: sun.to_owned(),
        planet: planet.to_owned(),
        ring: ring.to_owned(),
    }
}

/// The variants in the order of the brief.
pub(super) fn understand(written: Option<&Table>) -> Result<Vec<Variant>, Mistake> {
    // A table whose lines are all asleep says as little as none.
    let Some(table) = written.filter(|table| !table.is_empty()) else { return Ok(unnamed()) };
    if table.len() > MOST_VARIANTS {
        let problem = format!("names {} variants", table.len());
        let mend = format!("{}, at most {MOST_VARIANTS}", REDUCTION.right("materials"));
        return Err(Mistake::at("materials", problem, mend));
    }
    table.iter().map(|(name, value)| variant(name, value)).collect()
}

fn variant(name: &str, value: &Value) -> Result<Variant, Mistake> {
    let key = format!("materials.{}", quote(name));
    if folder_name(name) != name || name.chars().count() > LONGEST_NAME {
        let mend =
            format!("name a variant with letters, digits, - and _, at most {LONGEST_NAME} of them");
        return Err(Mistake::at(key, "is no name for a variant", mend));
    }
    match value {
        Value::String(word) => {
            let word = material(&key, word)?;
            Ok(of(name, [word; 3]))
        }
        Value::Table(wheels) => {
            if let Some(other) = wheels.keys().find(|wheel| !KEYS.contains(&wheel.as_str())) {
                let known = "a variant has the keys sun, planet, ring, carrier, shaft";
                let mend = match nearest(other, &KEYS) {
                    Some(near) => format!("did you mean {near}? {known}"),
                    None => known.to_owned(),
                };
                let key = format!("{key}.{}", quote(other));
                return Err(Mistake::at(key, "is not a key of a variant", mend));
            }
            let [sun, planet, ring] = WHEELS.map(|wheel| {
                let key = format!("{key}.{wheel}");
                match wheels.get(wheel) {
                    Some(Value::String(word)) => material(&key, word),
                    Some(other) => Err(wrong(&key, format!("is {}", quote(&other.to_string())))),
                    None => Err(wrong(&key, "is missing".to_owned())),
                }
            });
            let further = ["carrier", "shaft"].map(|part| {
                let key = format!("{key}.{part}");
                match wheels.get(part) {
                    Some(Value::String(word)) => material(&key, word).map(Some),
                    Some(other) => Err(wrong(&key, format!("is {}", quote(&other.to_string())))),
                    None => Ok(None),
                }
            });
            let plain = of(name, [sun?, planet?, ring?]);
            let [carrier, shaft] = further;
            let given = |word: Option<&str>, usual: String| word.map_or(usual, str::to_owned);
            Ok(Variant {
                carrier: given(carrier?, plain.carrier),
                shaft: given(shaft?, plain.shaft),
                ..plain
            })
        }
        other => Err(wrong(&key, format!("is {}", quote(&other.to_string())))),
    }
}

fn wrong(key: &str, problem: String) -> Mistake {
    let mend = format!("write a material in quotes: {}", NAMES.join(", "));
    Mistake::at(key, problem, mend)
}

fn material(key: &str, word: &str) -> Result<&'static str, Mistake> {
    let known = NAMES.into_iter().find(|material| *material == word);
    known.ok_or_else(|| {
        let problem = format!("\"{}\" is not a material", quote(word));
        let Mistake { mend, .. } = wrong(key, String::new());
        let mend = match nearest(word, &NAMES) {
            Some(near) => format!("did you mean \"{near}\"? {mend}"),
            None => mend,
        };
        Mistake::at(key, problem, mend)
    })
}
