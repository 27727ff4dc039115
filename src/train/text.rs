//! The layout file written: TOML out, as the reader takes it.

use std::fmt::Write as _;

use itertools::Itertools;
use toml::Value;

use super::{Grip, Layout, Member, SetKind, ShaftId};

/// The text of a layout file; [`super::parse_layout`] reads the same layout back.
pub fn write_layout(layout: &Layout) -> String {
    let mut text = String::new();
    if let Some(title) = &layout.title {
        let _ = writeln!(text, "title = {}\n", Value::from(title.as_str()));
    }
    for set in &layout.sets {
        let _ = writeln!(text, "[[sets]]\nsun = {}\nring = {}", set.sun, set.ring);
        let optional =
            [("planet", set.planet), ("outer-planet", set.outer_planet), ("planets", set.planets)];
        for (key, value) in optional {
            if let Some(value) = value {
                let _ = writeln!(text, "{key} = {value}");
            }
        }
        if set.kind == SetKind::Paired {
            text.push_str("kind = \"paired\"\n");
        }
        text.push('\n');
    }
    text.push_str("[shafts]\n");
    for shaft in &layout.shafts {
        let _ = writeln!(text, "{} = {}", bare_key(&shaft.name), member_list(&shaft.members));
    }
    if !layout.held.is_empty() {
        let _ = writeln!(text, "housing = {}", member_list(&layout.held));
    }
    if !layout.elements.is_empty() {
        text.push_str("\n[elements]\n");
    }
    for element in &layout.elements {
        let name = |shaft: ShaftId| Value::from(layout.shafts[shaft.0].name.as_str());
        let grip = match element.grip {
            Grip::Brake(shaft) => format!("brake = {}", name(shaft)),
            Grip::Clutch(a, b) => format!("clutch = [{}, {}]", name(a), name(b)),
        };
        let _ = writeln!(text, "{} = {{ {grip} }}", bare_key(&element.name));
    }
    if !layout.gears.is_empty() {
        text.push_str("\n[gears]\n");
    }
    for gear in &layout.gears {
        let engaged = gear.engaged.iter().map(|e| Value::from(layout.elements[e].name.as_str()));
        let _ = writeln!(text, "{} = [{}]", bare_key(&gear.name), engaged.format(", "));
    }
    text
}

fn member_list(members: &[Member]) -> String {
    format!("[{}]", members.iter().map(|member| format!("\"{member}\"")).format(", "))
}

fn bare_key(key: &str) -> String {
    let bare = |c: char| c.is_ascii_alphanumeric() || c == '-' || c == '_';
    if !key.is_empty() && key.chars().all(bare) {
        key.to_owned()
    } else {
        Value::from(key).to_string()
    }
}
