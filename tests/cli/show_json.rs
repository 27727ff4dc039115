//! `coaxle show --json`: the fields that are promised, and the laws that they obey when
//! they are read by someone who knows the layout file only.

use std::collections::BTreeMap;

use crate::program::{answer, sample, samples};
use coaxle::num::{Fraction, fraction, parse_fraction, to_f64};
use num_traits::{One, Zero};
use serde_json::Value;

fn read(layout: &std::path::Path) -> Value {
    serde_json::from_str(&answer(&["show".into(), layout.to_owned(), "--json".into()])).unwrap()
}

fn exact(value: &Value) -> Fraction {
    parse_fraction(value.as_str().unwrap()).unwrap()
}

fn names(value: &Value) -> Vec<&str> {
    value.as_array().unwrap().iter().map(|name| name.as_str().unwrap()).collect()
}

fn list(value: &Value) -> &Vec<Value> {
    value.as_array().unwrap()
}

const PROMISED: [&str; 8] =
    ["canonical", "sets", "gears", "states", "spread", "steps", "nests", "scores"];

#[test]
fn every_promised_field_is_there() {
    for layout in samples() {
        let shown = read(&layout);
        for key in PROMISED {
            assert!(shown.get(key).is_some(), "{key}");
        }
        for set in list(&shown["sets"]) {
            for key in ["set", "kind", "sun", "ring", "planet", "planets", "conditions"] {
                assert!(set.get(key).is_some(), "{key}");
            }
            for condition in list(&set["conditions"]) {
                assert!(condition["name"].is_string() && condition["holds"].is_boolean());
                assert!(condition["detail"].is_string());
            }
        }
        for state in list(&shown["gears"]).iter().chain(list(&shown["states"])) {
            keys_of_a_state(state);
        }
    }
}

fn keys_of_a_state(state: &Value) {
    let keys = [
        "gear",
        "engaged",
        "status",
        "ratio",
        "formula",
        "shafts",
        "sets",
        "elements",
        "efficiency",
        "self_locking",
        "circulating_power",
    ];
    for key in keys {
        assert!(state.get(key).is_some(), "{key}");
    }
    let inner = [
        ("shafts", &["shaft", "speed", "torque"][..]),
        ("sets", &["set", "sun_torque", "planet_speed", "rolling_power"][..]),
        ("elements", &["element", "kind", "engaged", "torque", "slip"][..]),
    ];
    for (list_key, keys) in inner {
        for entry in list(&state[list_key]) {
            assert!(keys.iter().all(|key| entry.get(key).is_some()), "{list_key}: {entry}");
        }
    }
    let status = state["status"].as_str().unwrap();
    assert!(["live", "loose", "locked", "idle output"].contains(&status));
    assert_eq!(status == "live", state["ratio"].is_object());
    assert_eq!(status == "live", state["formula"].is_string());
    assert!(state["self_locking"].is_boolean());
}

#[test]
fn the_fewest_elements_and_their_states() {
    let shown = read(&sample("redundant.toml"));
    let expected = serde_json::json!({
        "kept": ["A", "B"],
        "left_out": ["C"],
        "proved": true,
        "gears": [{"gear": "1", "engaged": ["A"]}, {"gear": "2", "engaged": ["B"]}],
    });
    assert_eq!(shown["fewest_elements"], expected);
    assert!(read(&sample("paired.toml"))["fewest_elements"].is_null());
    for layout in samples() {
        let shown = read(&layout);
        for gear in shown["fewest_elements"]["gears"].as_array().into_iter().flatten() {
            let now = list(&shown["gears"]).iter().find(|other| other["gear"] == gear["gear"]);
            let states = list(&shown["states"]).iter();
            let kept = names(&shown["fewest_elements"]["kept"]);
            assert!(names(&gear["engaged"]).iter().all(|element| kept.contains(element)));
            let serving = states.clone().find(|state| state["engaged"] == gear["engaged"]).unwrap();
            assert_eq!(serving["ratio"], now.unwrap()["ratio"]);
        }
    }
}

#[test]
fn the_worked_example() {
    let shown = read(&sample("two-sets.toml"));
    assert_eq!(shown["canonical"], "abc.acd:e>c:0a,0d,ae,be");
    assert_eq!(shown["spread"]["exact"], "27/11");
    assert_eq!(shown["steps"][0]["from"], "1");
    assert_eq!(shown["steps"][0]["to"], "2");
    assert_eq!(shown["steps"][0]["exact"], "27/16");
    assert_eq!(shown["nests"], true);
    assert_eq!(shown["scores"]["element_count"], 6.0);
    let first = &shown["gears"][0];
    assert_eq!(first["gear"], "1");
    assert_eq!(first["engaged"], serde_json::json!(["A", "D"]));
    assert_eq!(first["ratio"]["exact"], "27/11");
    assert_eq!(first["ratio"]["value"], 27.0 / 11.0);
    assert_eq!(first["formula"], "(1 + ρ1 + ρ2) / ρ1");
    assert_eq!(
        first["shafts"][1],
        serde_json::json!({"shaft": "output", "speed": "11/27", "torque": "-27/11"})
    );
    assert_eq!(first["sets"][0]["sun_torque"], "5/11");
    assert_eq!(first["sets"][0]["planet_speed"], "176/81");
    // 4 elements, 2 at a time.
    assert_eq!(list(&shown["states"]).len(), 6);
    let dead: Vec<&str> = list(&shown["states"])
        .iter()
        .filter(|state| state["ratio"].is_null())
        .map(|state| state["status"].as_str().unwrap())
        .collect();
    assert_eq!(dead, ["locked", "idle output"]);
}

/// A layout file as its JSON repeats it: who sits where, who ties what.
struct Wiring {
    /// S1 … → its shaft, or "housing".
    place: BTreeMap<String, String>,
    elements: BTreeMap<String, Vec<String>>,
}

impl Wiring {
    fn of(path: &std::path::Path) -> Self {
        let file: toml::Table = std::fs::read_to_string(path).unwrap().parse().unwrap();
        let mut place = BTreeMap::new();
        for (shaft, members) in file["shafts"].as_table().unwrap() {
            for member in members.as_array().unwrap() {
                place.insert(member.as_str().unwrap().to_owned(), shaft.clone());
            }
        }
        let none = toml::Table::new();
        let elements = file.get("elements").map_or(&none, |e| e.as_table().unwrap());
        let ends = |element: &toml::Value| match element.get("brake") {
            Some(shaft) => vec![shaft.as_str().unwrap().to_owned()],
            None => {
                let pair = element["clutch"].as_array().unwrap();
                pair.iter().map(|shaft| shaft.as_str().unwrap().to_owned()).collect()
            }
        };
        let elements = elements.iter().map(|(name, e)| (name.clone(), ends(e))).collect();
        Self { place, elements }
    }
}

/// Outside torque + element torques = sum of its members' torques, on every shaft.
#[test]
fn every_shaft_is_in_balance() {
    let mut balanced = 0;
    for path in samples() {
        let wiring = Wiring::of(&path);
        let shown = read(&path);
        for state in list(&shown["gears"]).iter().chain(list(&shown["states"])) {
            let open = |entry: &&Value| {
                entry
                    .get("note")
                    .is_some_and(|note| note.as_str().unwrap().starts_with("not determined"))
            };
            let undetermined = list(&state["elements"]).iter().any(|e| open(&e));
            if state["status"] != "live" || undetermined {
                continue;
            }
            balance(&wiring, state);
            balanced += 1;
        }
    }
    assert!(balanced > 40, "{balanced}");
}

fn balance(wiring: &Wiring, state: &Value) {
    let ratio = exact(&state["ratio"]["exact"]);
    let mut housing = exact(&state["housing"]["torque"]);
    for shaft in list(&state["shafts"]) {
        let name = shaft["shaft"].as_str().unwrap();
        let outside = exact(&shaft["torque"]);
        let expected = match name {
            "input" => Fraction::one(),
            "output" => -&ratio,
            _ => Fraction::zero(),
        };
        assert_eq!(outside, expected, "{name}");
        let applied: Fraction = list(&state["elements"])
            .iter()
            .map(|element| {
                let ends = &wiring.elements[element["element"].as_str().unwrap()];
                let torque = exact(&element["torque"]);
                match ends.iter().position(|end| end == name) {
                    Some(0) => torque,
                    Some(_) => -torque,
                    None => Fraction::zero(),
                }
            })
            .sum();
        assert_eq!(outside + applied, members(wiring, state, name), "{name}");
    }
    for element in list(&state["elements"]) {
        if element["kind"] == "brake" {
            housing -= exact(&element["torque"]);
        }
    }
    assert_eq!(housing, members(wiring, state, "housing"));
}

fn members(wiring: &Wiring, state: &Value, shaft: &str) -> Fraction {
    let keys = [("S", "sun_torque"), ("R", "ring_torque"), ("C", "carrier_torque")];
    let torques = list(&state["sets"]).iter().flat_map(|set| {
        keys.map(|(letter, key)| (format!("{letter}{}", set["set"]), exact(&set[key])))
    });
    torques.filter(|(member, _)| wiring.place[member] == shaft).map(|(_, torque)| torque).sum()
}

/// 1 : ρ : −(1 + ρ) for a single set, 1 : −ρ : ρ − 1 for a paired one; the speeds obey
/// Willis; slip is the first speed minus the second; planets turn by Z_S / Z_P.
#[test]
fn sets_and_elements_obey_their_laws() {
    for path in samples() {
        let wiring = Wiring::of(&path);
        let shown = read(&path);
        for state in list(&shown["states"]).iter().filter(|state| state["status"] == "live") {
            let mut speeds: BTreeMap<&str, Fraction> = list(&state["shafts"])
                .iter()
                .map(|shaft| (shaft["shaft"].as_str().unwrap(), exact(&shaft["speed"])))
                .collect();
            speeds.insert("housing", Fraction::zero());
            assert_eq!(speeds["input"], Fraction::one());
            assert_eq!(exact(&state["ratio"]["exact"]), speeds["output"].recip());
            for (set, teeth) in list(&state["sets"]).iter().zip(list(&shown["sets"])) {
                laws_of_a_set(&wiring, &speeds, set, teeth);
            }
            for element in list(&state["elements"]) {
                let ends = &wiring.elements[element["element"].as_str().unwrap()];
                let second =
                    ends.get(1).map_or_else(Fraction::zero, |e| speeds[e.as_str()].clone());
                let slip = &speeds[ends[0].as_str()] - second;
                assert_eq!(exact(&element["slip"]), slip);
                assert!(element["engaged"] == false || slip.is_zero());
                assert!(element["engaged"] == true || element["torque"] == "0");
            }
        }
    }
}

fn laws_of_a_set(wiring: &Wiring, speeds: &BTreeMap<&str, Fraction>, set: &Value, teeth: &Value) {
    let number = |key: &str| teeth[key].as_i64().unwrap();
    let (sun, ring) = (number("sun"), number("ring"));
    let inner = if teeth["kind"] == "single" { fraction(-ring, sun) } else { fraction(ring, sun) };
    let speed =
        |letter: &str| speeds[wiring.place[&format!("{letter}{}", set["set"])].as_str()].clone();
    let rolling = speed("S") - speed("C");
    assert_eq!(rolling, &inner * (speed("R") - speed("C")));
    if teeth["planet"].is_number() {
        let planet = &rolling * fraction(-sun, number("planet"));
        assert_eq!(exact(&set["planet_speed"]), planet);
        if let Some(outer) = teeth.get("outer_planet") {
            let turned = -planet * fraction(number("planet"), outer.as_i64().unwrap());
            assert_eq!(exact(&set["outer_planet_speed"]), turned);
        }
    }
    if set["sun_torque"].is_string() {
        let torque = exact(&set["sun_torque"]);
        assert_eq!(exact(&set["ring_torque"]), -&inner * &torque);
        assert_eq!(exact(&set["carrier_torque"]), (&inner - Fraction::one()) * &torque);
        let power = set["rolling_power"].as_f64().unwrap();
        assert!((power - to_f64(&(torque * rolling))).abs() < 1e-12);
    }
}

#[test]
fn what_is_not_determined_is_null_and_says_so() {
    let shown = read(&sample("redundant.toml"));
    let second = &shown["gears"][1];
    assert_eq!(second["engaged"], serde_json::json!(["B", "C"]));
    assert_eq!(second["ratio"]["exact"], "1");
    assert_eq!(second["formula"], "1");
    for element in &list(&second["elements"])[1..] {
        assert!(element["torque"].is_null());
        assert!(element["note"].as_str().unwrap().contains("redundant"));
    }
    // A block loses nothing, whatever its torques.
    assert_eq!(second["efficiency"], 1.0);
    assert_eq!(shown["scores"]["element_torque"], Value::Null);
    assert_eq!(names(&shown["gears"][3]["engaged"]), ["A", "B"]);
    assert_eq!(shown["gears"][3]["status"], "locked");
    assert_eq!(shown["gears"][2]["status"], "loose");
}

#[test]
fn without_gears_there_are_none() {
    let shown = read(&sample("paired.toml"));
    assert_eq!(shown["gears"], serde_json::json!([]));
    assert_eq!(shown["steps"], serde_json::json!([]));
    assert!(shown["spread"].is_null() && shown["scores"]["spread"].is_null());
    assert_eq!(list(&shown["states"]).len(), 10);
    assert_eq!(shown["states"][0]["gear"], Value::Null);
}

/// A set with two members on one shaft is solid: it adds nothing and loses nothing.
#[test]
fn a_set_locked_as_a_block_is_as_if_it_were_solid() {
    let shown = read(&sample("block.toml"));
    assert_eq!(shown["gears"][0]["ratio"]["exact"], "16/5");
    let block = &shown["gears"][0]["sets"][1];
    assert_eq!((&block["planet_speed"], block["rolling_power"].as_f64()), (&"0".into(), Some(0.0)));
    let speed = |shaft: usize| exact(&shown["gears"][0]["shafts"][shaft]["speed"]);
    assert_eq!(speed(1), speed(3));
}

#[test]
fn teeth_that_cannot_be_assembled_are_computed_and_named() {
    let shown = read(&sample("wrong-teeth.toml"));
    assert_eq!(shown["gears"][0]["ratio"]["exact"], "98/5");
    let broken = |set: usize| -> Vec<&str> {
        let conditions = list(&shown["sets"][set]["conditions"]).iter();
        let broken = conditions.filter(|c| c["holds"] == false && c["kind"] == "condition");
        broken.map(|condition| condition["name"].as_str().unwrap()).collect()
    };
    assert_eq!(broken(0), ["assembly"]);
    assert_eq!(broken(1), ["neighbours"]);
}
