//! `coaxle show` about the inside: power, largest loads, faults, shifts, as JSON and as the
//! sections that are asked for.

use crate::program::{answer, failure, sample, samples};
use coaxle::num::{Fraction, parse_fraction};
use num_traits::{Signed, Zero};
use serde_json::{Value, json};

fn read(layout: &std::path::Path) -> Value {
    serde_json::from_str(&answer(&["show".into(), layout.to_owned(), "--json".into()])).unwrap()
}

fn only(name: &str, sections: &str) -> String {
    answer(&["show".into(), sample(name), "--only".into(), sections.into()])
}

fn exact(value: &Value) -> Fraction {
    parse_fraction(value.as_str().unwrap()).unwrap()
}

fn list(value: &Value) -> &Vec<Value> {
    value.as_array().unwrap()
}

/// Power is torque times speed on every member; what comes to a shaft goes from it.
#[test]
fn power_is_torque_times_speed() {
    let mut powers = 0;
    for path in samples() {
        let shown = read(&path);
        let place = |member: &str| {
            let shafts = list(&shown["shafts"]);
            shafts.iter().position(|shaft| list(&shaft["members"]).iter().any(|m| m == member))
        };
        for state in list(&shown["states"]).iter().filter(|state| state["status"] == "live") {
            for (index, set) in list(&state["sets"]).iter().enumerate() {
                for (letter, key) in [("S", "sun"), ("R", "ring"), ("C", "carrier")] {
                    if set[format!("{key}_torque")].is_null() {
                        continue;
                    }
                    let shaft = place(&format!("{letter}{}", index + 1));
                    let speed = shaft.map(|shaft| exact(&state["shafts"][shaft]["speed"]));
                    let torque = exact(&set[format!("{key}_torque")]);
                    let power = torque * speed.unwrap_or_else(Fraction::zero);
                    assert_eq!(exact(&set[format!("{key}_power")]), power);
                    powers += 1;
                }
            }
            for shaft in list(&state["power"]["shafts"]) {
                let Some(branches) = shaft["branches"].as_array() else { continue };
                let sum: Fraction = branches.iter().map(|b| exact(&b["power"])).sum();
                assert!(sum.is_zero());
                let shares: f64 = branches.iter().map(|b| b["share"].as_f64().unwrap()).sum();
                assert!(branches.is_empty() || (shares - 2.0).abs() < 1e-12);
            }
        }
    }
    assert!(powers > 100, "{powers}");
}

#[test]
fn the_largest_are_the_largest_of_the_gears() {
    for path in samples() {
        let shown = read(&path);
        let gears = list(&shown["gears"]).iter().filter(|gear| gear["status"] == "live");
        let gears: Vec<&Value> = gears.collect();
        if gears.is_empty() {
            continue;
        }
        for (index, shaft) in list(&shown["largest"]["shafts"]).iter().enumerate() {
            let speeds = gears.iter().map(|gear| exact(&gear["shafts"][index]["speed"]).abs());
            assert_eq!(exact(&shaft["speed"]["exact"]), speeds.max().unwrap());
        }
        for (index, element) in list(&shown["largest"]["elements"]).iter().enumerate() {
            for (key, engaged) in [("torque", true), ("slip", false)] {
                let counted = gears.iter().map(|gear| &gear["elements"][index]);
                let counted = counted.filter(|told| told["engaged"] == engaged);
                let sizes: Option<Vec<Fraction>> =
                    counted.map(|told| Some(parse_fraction(told[key].as_str()?)?.abs())).collect();
                let largest = sizes.and_then(|sizes| sizes.into_iter().max());
                assert_eq!(element[key].is_object(), largest.is_some());
                if let Some(largest) = largest {
                    assert_eq!(exact(&element[key]["exact"]), largest);
                }
            }
        }
    }
}

#[test]
fn faults_and_shifts_of_the_worked_example() {
    let shown = read(&sample("two-sets.toml"));
    let faults = list(&shown["faults"]);
    assert_eq!(faults.len(), 8);
    let stuck = faults.iter().find(|f| f["element"] == "C" && f["failure"] == "stays engaged");
    let stuck = stuck.unwrap();
    let first = json!({"gear": "1", "effect": "lost", "status": "locked", "ratio": null});
    assert_eq!(stuck["gears"][0], first);
    assert_eq!(stuck["gears"][1]["effect"], "kept");
    let instead = json!({
        "gear": "1", "opened": "D", "ratio": {"exact": "16/11", "value": 16.0 / 11.0}
    });
    assert_eq!(stuck["instead"][0], instead);
    let shift = &shown["shifts"][0];
    assert_eq!((&shift["from"], &shift["to"]), (&json!("1"), &json!("2")));
    assert_eq!((&shift["released"], &shift["applied"]), (&json!(["D"]), &json!(["C"])));
    assert_eq!((&shift["kind"], &shift["neighbours"]), (&json!("single"), &json!(true)));
    assert_eq!(shift["elements"][1]["slip_before"], "-121/135");
    assert_eq!(shift["elements"][0]["speed_change"], "-11/27");
    assert!(shown["gears"][0]["back_drives"].as_bool().unwrap());
}

#[test]
fn sections_are_told_alone_and_in_the_order_asked() {
    let text = only("two-sets.toml", "faults,power");
    let at = |needle: &str| text.find(needle).unwrap_or_else(|| panic!("no {needle}\n{text}"));
    assert!(at("When an element fails") < at("Power per input power"));
    assert!(!text.contains("\nGears\n") && !text.contains("Caution"));
    at("A        cannot engage   lost   lost   lost      ·");
    at("With C stuck: 1 without D gives 1.4545");
    let text = only("two-sets.toml", "shifts,largest");
    assert!(text.contains("1 → 2  single  A"), "{text}");
    assert!(text.contains("3 of 3 pairs of gears of one direction are single"), "{text}");
    // What is empty says why.
    let told = "Nothing to tell of faults: the file names no gears";
    assert!(only("paired.toml", "faults").contains(told));
}

#[test]
fn sections_are_for_readers_not_for_machines() {
    let layout = sample("two-sets.toml");
    let arguments =
        ["show".into(), layout.clone(), "--only".into(), "power".into(), "--json".into()];
    assert!(failure(&arguments, 2).contains("cannot be used with"));
    let arguments = ["show".into(), layout, "--only".into(), "pwr".into()];
    assert!(failure(&arguments, 2).contains("possible values"));
}

/// A brief changes what the layout file does not say.
#[test]
fn a_brief_gives_losses_and_tooth_limits() {
    let folder = tempfile::tempdir().unwrap();
    let brief = folder.path().join("workshop.toml");
    let text = "[space]\nsets = 2\nshafts = 5\nelements = 4\n[gears]\nforward = 3\n\
                [losses]\nexternal = 0.9\ninternal = 1.0\n[teeth]\nmodule = 2.0\n";
    std::fs::write(&brief, text).unwrap();
    let show = |more: &[std::path::PathBuf]| -> Value {
        let plain = ["show".into(), sample("two-sets.toml"), "--json".into()];
        serde_json::from_str(&answer(&[&plain[..], more].concat())).unwrap()
    };
    let with = show(&["--brief".into(), brief.clone()]);
    let reverse = with["gears"].as_array().unwrap().iter().find(|g| g["gear"] == "R").unwrap();
    assert!((reverse["efficiency"].as_f64().unwrap() - 0.9).abs() < 1e-12);
    assert_eq!(with["assumed"]["module_mm"], 2.0);
    assert_eq!(show(&[])["assumed"]["module_mm"], 1.5);
    std::fs::write(&brief, text.replace("1.0", "1.7")).unwrap();
    let wrong = ["show".into(), sample("two-sets.toml"), "--brief".into(), brief.clone()];
    let told = failure(&wrong, 2);
    assert!(told.contains("losses.internal") && told.contains("workshop.toml"), "{told}");
}

/// Losses by teeth: the sets 30/18/66 lose more than the set 30/20/70 of the given meshes.
#[test]
fn small_planets_lose_more_where_losses_go_by_teeth() {
    let folder = tempfile::tempdir().unwrap();
    let brief = folder.path().join("teeth.toml");
    let text = "[space]\nsets = 2\nshafts = 5\nelements = 4\n[gears]\nforward = 3\n\
                [losses]\nby_teeth = true\n";
    std::fs::write(&brief, text).unwrap();
    let arguments =
        ["show".into(), sample("two-sets.toml"), "--json".into(), "--brief".into(), brief];
    let shown: Value = serde_json::from_str(&answer(&arguments)).unwrap();
    let reverse = shown["gears"].as_array().unwrap().iter().find(|g| g["gear"] == "R").unwrap();
    let external = 1.0 - 0.01 * (1.0 / 30.0 + 1.0 / 18.0) / (1.0 / 30.0 + 1.0 / 20.0);
    let internal = 1.0 - 0.005 * (1.0 / 18.0 - 1.0 / 66.0) / (1.0 / 20.0 - 1.0 / 70.0);
    let found = reverse["efficiency"].as_f64().unwrap();
    assert!((found - external * internal).abs() < 1e-12, "{found}");
    assert!(found < 0.990 * 0.995);
}

#[test]
fn every_gear_has_its_formulas_and_its_derivation() {
    for path in samples() {
        let shown = read(&path);
        for gear in list(&shown["gears"]).iter().filter(|gear| gear["status"] == "live") {
            let formulas = &gear["formulas"];
            assert_eq!(formulas["base_ratios"]["text"], gear["formula"]);
            for notation in ["text", "latex", "mathml"] {
                assert!(formulas["teeth"][notation].is_string());
            }
            assert!(formulas["teeth"]["mathml"].as_str().unwrap().starts_with("<math"));
            assert_eq!(gear["derivation"]["ratio"], gear["ratio"]["exact"]);
            let kinds: Vec<&str> = list(&gear["derivation"]["steps"])
                .iter()
                .map(|step| step["kind"].as_str().unwrap())
                .collect();
            assert_eq!(kinds.first(), Some(&"joined"));
            assert!(kinds.contains(&"willis") && kinds.contains(&"result"));
        }
    }
    let text = only("two-sets.toml", "derivation");
    assert!(text.starts_with("Why gear 1 is 27/11 with A D engaged\n"), "{text}");
    assert!(text.contains("\n        27·ω_output = 11\n"), "{text}");
    let text = only("two-sets.toml", "formulas");
    assert!(text.contains("i(1) = (1 + ρ1 + ρ2) / ρ1\n"), "{text}");
    assert!(text.contains(r"LaTeX  \frac{1+\rho_{1}+\rho_{2}}{\rho_{1}}"), "{text}");
}

/// Two sets of equal base ratio beside each other turn as one only at these teeth: there is
/// a ratio, and no formula in the base ratios has it.
#[test]
fn a_ratio_of_chance_has_no_formula() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("parallel.toml");
    let text = r#"
        sets = [{ sun = 30, ring = 66 }, { sun = 40, ring = 88 }]
        [shafts]
        input = ["S1", "S2"]
        output = ["C1", "C2"]
        first-ring = ["R1"]
        second-ring = ["R2"]
        [elements]
        A = { brake = "first-ring" }
        B = { brake = "second-ring" }
        [gears]
        1 = ["A", "B"]
    "#;
    std::fs::write(&path, text).unwrap();
    let shown = read(&path);
    assert_eq!(shown["gears"][0]["ratio"]["exact"], "16/5");
    let formula = shown["gears"][0]["formula"].as_str();
    assert!(formula.is_none_or(|formula| formula != "1"), "{formula:?}");
}

/// What nests says how it is drawn; what does not has no drawing.
#[test]
fn what_nests_tells_its_drawing() {
    for path in samples() {
        let shown = read(&path);
        assert_eq!(shown["nests"].as_bool().unwrap(), shown["drawing"].is_object());
    }
    let drawing = &read(&sample("two-sets.toml"))["drawing"];
    let mut order: Vec<i64> =
        list(&drawing["order"]).iter().map(|set| set.as_i64().unwrap()).collect();
    order.sort_unstable();
    assert_eq!(order, [1, 2]);
    assert_eq!(list(&drawing["shafts"]).len(), 5);
    assert_eq!(list(&drawing["elements"]).len(), 4);
    assert!(only("two-sets.toml", "nesting").contains("Sets from the input's side: "));
}

/// The planets stand where sun and ring let them, and a wheel's tooth fills its pitch.
#[test]
fn wheels_are_told_by_a_tooth_and_a_place() {
    let shown = read(&sample("two-sets.toml"));
    let wheels = &shown["sets"][0]["wheels"];
    assert_eq!(list(&wheels["planets"]).len(), 3);
    let centre = list(&wheels["planets"][0]["centre"]);
    // (30 + 18) / 2 modules from the axis.
    assert_eq!((centre[0].as_f64(), centre[1].as_f64()), (Some(24.0), Some(0.0)));
    for (wheel, teeth) in [("sun", 30), ("planet", 18), ("ring", 66)] {
        assert_eq!(wheels[wheel]["teeth"], teeth);
        assert_eq!(wheels[wheel]["pitch_radius"], f64::from(teeth) / 2.0);
        let tooth = list(&wheels[wheel]["tooth"]);
        let angle = |point: &Value| point[1].as_f64().unwrap().atan2(point[0].as_f64().unwrap());
        let pitch = angle(&tooth[tooth.len() - 1]) - angle(&tooth[0]);
        assert!((pitch - std::f64::consts::TAU / f64::from(teeth)).abs() < 1e-4, "{pitch}");
    }
}
