//! The account of one layout as the page holds it: what `show` tells and every picture.

use std::collections::BTreeMap;

use rustc_hash::FxHashMap;
use serde::Serialize;
use serde_json::Value;

use super::packed::packed;
use crate::account::{Account, Portrait};
use crate::error::Error;

/// What the script reads.
#[derive(Serialize)]
struct Told {
    /// As `show --json`, but each thing once, see [`once`].
    shown: Value,
    /// Every different line of all pictures.
    lines: Vec<String>,
    /// By its name, a picture as runs of lines: first line, how many, first line …
    pictures: BTreeMap<String, Vec<usize>>,
}

/// The account packed for the page.
///
/// # Errors
/// [`Error::Work`] when the text cannot be made, which no known layout brings about.
pub(super) fn told(account: &Account) -> Result<String, Error> {
    let broken = |error| Error::Work(format!("a layout could not be put on the page: {error}"));
    let mut shown = serde_json::to_value(&account.shown).map_err(broken)?;
    once(&mut shown);
    if let Some(Value::Array(states)) = shown.get_mut("states") {
        states.iter_mut().for_each(in_short);
    }
    let (lines, pictures) = shared(&account.pictures);
    let text = serde_json::to_string(&Told { shown, lines, pictures }).map_err(broken)?;
    packed(in_short_words(&text).as_bytes())
}

/// Words that fill accounts, as they stand in JSON: of formulas and of drawings.
const LONG: [&str; 22] = [
    r#"<math xmlns=\"http://www.w3.org/1998/Math/MathML\">"#,
    "</mo>",
    "</mn>",
    "<mo>",
    "<mn>",
    "</msub>",
    "</mi>",
    "<msub>",
    "<mi>",
    "</mrow>",
    "<mrow>",
    "</mtext>",
    "<mtext>",
    "</mfrac>",
    "</math>",
    "<mfrac>",
    r#" stroke-linecap=\"round\" stroke-linejoin=\"round\"/>"#,
    r#"<polyline points=\""#,
    r#" fill=\"none\" stroke=\""#,
    r#" stroke-width=\""#,
    r#"<text x=\""#,
    r#" font-family=\"sans-serif\" font-size=\""#,
];
/// Word k is written as this character and k more, which stand for nothing elsewhere.
const SHORT: u32 = 0xE000;

/// The text after a line with the words that it leaves out, each of which is one letter in
/// it: smaller when packed than what packing alone makes of them. Where somebody's name has
/// such a letter, nothing is left out.
fn in_short_words(text: &str) -> String {
    let letter = |place: usize| char::from_u32(SHORT + place as u32).unwrap_or_default();
    let letters: Vec<char> = (0..LONG.len()).map(letter).collect();
    if text.contains(&letters[..]) {
        return format!("[]\n{text}");
    }
    let words: Vec<String> = LONG.iter().map(|word| format!("\"{word}\"")).collect();
    let short = LONG.iter().zip(letters).fold(text.to_owned(), |text, (word, letter)| {
        text.replace(word, letter.encode_utf8(&mut [0; 4]))
    });
    format!("[{}]\n{short}", words.join(","))
}

/// Formulas stay in one notation, that of browsers.
fn once(value: &mut Value) {
    match value {
        Value::Object(fields) => {
            if fields.contains_key("mathml") {
                fields.retain(|key, _| key == "mathml");
            }
            fields.values_mut().for_each(once);
        }
        Value::Array(values) => values.iter_mut().for_each(once),
        _ => {}
    }
}

/// A state that is a gear is told in full among the gears; of the others, what they are.
fn in_short(state: &mut Value) {
    const SHORT: [&str; 5] = ["gear", "engaged", "status", "ratio", "reason"];
    let Value::Object(fields) = state else { return };
    let kept = if fields.get("gear").is_some_and(Value::is_string) { &SHORT[..2] } else { &SHORT };
    fields.retain(|key, _| kept.contains(&key.as_str()));
}

/// The pictures of a layout have most of their lines in common: each is kept once.
fn shared(pictures: &[Portrait]) -> (Vec<String>, BTreeMap<String, Vec<usize>>) {
    let mut places: FxHashMap<String, usize> = FxHashMap::default();
    let mut lines: Vec<String> = Vec::new();
    let mut runs_of = |picture: &Portrait| {
        let mut runs: Vec<usize> = Vec::new();
        for line in picture.picture.inline("drawing").lines() {
            let place = *places.entry(line.to_owned()).or_insert_with(|| {
                lines.push(line.to_owned());
                lines.len() - 1
            });
            match runs.as_mut_slice() {
                [.., first, count] if *first + *count == place => *count += 1,
                _ => runs.extend([place, 1]),
            }
        }
        runs
    };
    // A set from in front is drawn by the script, which turns it, from a tooth of each wheel.
    let pictures = pictures.iter().filter(|picture| !picture.name.starts_with("face-"));
    let pictures = pictures.map(|picture| (picture.name.clone(), runs_of(picture))).collect();
    (lines, pictures)
}
