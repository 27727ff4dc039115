//! Numbers and words on the page of a study, held against the facts that they come from.

use serde_json::Value;

/// Words for facts that are true, and for the same facts where they are false.
const VERDICTS: [[&str; 2]; 6] = [
    ["proved", "not proved"],
    ["all", "some"],
    ["with a reverse", "without a reverse"],
    [
        "every shift releases one element and applies one",
        "some shifts may exchange more than one element",
    ],
    [
        "among layouts that can be drawn without crossing shafts",
        "among layouts of which none could be drawn without crossing shafts",
    ],
    [
        "also with members held in the housing permanently",
        "without members held in the housing permanently",
    ],
];

/// What the page says of inputs that only clutches reach.
const BARE: [[&str; 2]; 3] = [
    ["never", "with inputs that are joined to a member"],
    [
        "allowed",
        "with inputs that are joined to a member, and with inputs that clutches alone reach",
    ],
    ["required", "with inputs that clutches alone reach"],
];

/// Whether a text is the value, rounded to the decimals that the text has, or words for it.
pub fn tells(shown: &str, value: &Value) -> bool {
    match value {
        Value::String(text) => {
            let plain =
                |text: &str| text.replace('−', "-").replace("&quot;", "\"").replace("&amp;", "&");
            plain(text) == plain(shown) || BARE.contains(&[text, &shown.to_lowercase()])
        }
        Value::Bool(holds) => {
            let words = shown.to_lowercase();
            VERDICTS.iter().any(|verdict| verdict[usize::from(!holds)] == words)
        }
        Value::Number(_) if shown.eq_ignore_ascii_case("none") => *value == 0,
        Value::Number(number) => {
            let percent = shown.ends_with(" %");
            let text = shown.trim_end_matches(" %").replace(',', "").replace('−', "-");
            let decimals = text.split_once('.').map_or(0, |(_, decimals)| decimals.len());
            let value = number.as_f64().unwrap() * if percent { 100.0 } else { 1.0 };
            let told: f64 = text.parse().unwrap_or_else(|_| panic!("{shown}"));
            (told - value).abs() <= 0.5001 * 10f64.powi(-(decimals as i32))
        }
        _ => false,
    }
}
