//! The layout file read: TOML in, every mistake told by its key.

use std::fs::File;
use std::io::Read as _;
use std::path::Path;

use itertools::Itertools;
use toml::{Table, Value};

use super::layout::{Element, ElementMask, Gear, Grip, INPUT, Layout, OUTPUT, Shaft};
use super::raw::{RawSet, check_name, raw_layout, shortened};
use super::{GearSet, MAX_SETS, Member, Role, SetKind, ShaftId};
use crate::error::{Error, Mistake};

/// A text file larger than this is noise, not a request.
const LARGEST_FILE: u64 = 4 << 20;
const MOST_SHAFTS: usize = 16;
const MOST_ELEMENTS: usize = 16;
/// Named gears: each is told in full and drawn.
pub const MOST_GEARS: usize = 100;
/// Shafts without members, input and output not counted. They have no natural order, so
/// the canonical spelling tries every one.
const MOST_BARE: usize = 4;

/// Reads a layout file.
///
/// # Errors
/// [`Error::Request`] with file, key and mend for anything that is wrong in it.
pub fn read_layout(path: &Path) -> Result<Layout, Error> {
    let text = read_text(path)?;
    parse_layout(&text).map_err(|mistake| mistake.in_file(path).into())
}

/// Reads a small UTF-8 text file that the user named.
///
/// # Errors
/// As [`read_bytes`]; [`Error::Request`] also for text that is not UTF-8.
pub fn read_text(path: &Path) -> Result<String, Error> {
    String::from_utf8(read_bytes(path)?).map_err(|error| {
        let at = error.utf8_error().valid_up_to();
        let problem = format!("is not UTF-8 text (byte {at})");
        Mistake::at("", problem, "save it as UTF-8").in_file(path).into()
    })
}

/// Reads a small file that the user named.
///
/// # Errors
/// [`Error::Request`] when it is not there, not readable or too large.
pub fn read_bytes(path: &Path) -> Result<Vec<u8>, Error> {
    let wrong = |problem: String, mend: &str| Mistake::at("", problem, mend).in_file(path);
    let unreadable = |error: std::io::Error| {
        wrong(format!("cannot be read ({error})"), "name a file that exists and may be read")
    };
    let data = std::fs::metadata(path).map_err(unreadable)?;
    if data.is_dir() {
        return Err(wrong("is a folder".into(), "name a file").into());
    }
    let too_large = |size: String| {
        let problem = format!("is {size} large, no file of this kind is over 4 MiB");
        Error::from(wrong(problem, "name a file written by hand, by a spreadsheet or by coaxle"))
    };
    if data.len() > LARGEST_FILE {
        return Err(too_large(format!("{} MiB", data.len().div_ceil(1 << 20))));
    }
    // A device tells no length, so the reading itself is bounded.
    let mut bytes = Vec::new();
    let file = File::open(path).map_err(unreadable)?;
    file.take(LARGEST_FILE + 1).read_to_end(&mut bytes).map_err(unreadable)?;
    if bytes.len() as u64 > LARGEST_FILE {
        return Err(too_large("endless or very".to_owned()));
    }
    Ok(bytes)
}

/// Reads the text of a layout file.
///
/// # Errors
/// A [`Mistake`] that names the key and the mend.
pub fn parse_layout(text: &str) -> Result<Layout, Mistake> {
    let raw = raw_layout(text)?;
    let sets = understand_sets(&raw.sets)?;
    let (shafts, held) = understand_shafts(&raw.shafts, sets.len())?;
    let elements = understand_elements(&raw.elements, &shafts)?;
    let gears = understand_gears(&raw.gears, &elements)?;
    Ok(Layout { title: raw.title, sets, shafts, held, elements, gears })
}

fn understand_sets(sets: &[RawSet]) -> Result<Vec<GearSet>, Mistake> {
    if sets.is_empty() || sets.len() > MAX_SETS {
        let problem = format!("there are {} sets", sets.len());
        return Err(Mistake::at("sets", problem, "write one to four [[sets]] tables"));
    }
    let numbered = sets.iter().enumerate();
    numbered.map(|(index, set)| understand_set(&format!("sets[{}]", index + 1), set)).collect()
}

fn understand_set(key: &str, set: &RawSet) -> Result<GearSet, Mistake> {
    if set.ring <= set.sun {
        let problem = format!("ring {} is not larger than sun {}", set.ring, set.sun);
        return Err(Mistake::at(format!("{key}.ring"), problem, "give the ring more teeth"));
    }
    let kind = match set.kind.as_deref() {
        None | Some("single") => SetKind::Single,
        Some("paired") => SetKind::Paired,
        Some(other) => {
            let problem = format!("is \"{}\"", shortened(other));
            let mend = "write \"single\" or \"paired\"";
            return Err(Mistake::at(format!("{key}.kind"), problem, mend));
        }
    };
    if kind == SetKind::Single && set.outer_planet.is_some() {
        let mend = "leave outer-planet out, or write kind = \"paired\"";
        return Err(Mistake::at(format!("{key}.outer-planet"), "a single set has none", mend));
    }
    let filled = match kind {
        SetKind::Single => GearSet::single(set.sun, set.ring),
        SetKind::Paired => GearSet::paired(set.sun, set.ring),
    };
    Ok(GearSet {
        planet: set.planet.or(filled.planet),
        outer_planet: set.outer_planet,
        planets: set.planets,
        ..filled
    })
}

fn understand_shafts(table: &Table, sets: usize) -> Result<(Vec<Shaft>, Vec<Member>), Mistake> {
    let mut shafts: Vec<Shaft> =
        ["input", "output"].map(|name| Shaft { name: name.to_owned(), members: Vec::new() }).into();
    let mut held = Vec::new();
    let mut seen: Vec<(Member, String)> = Vec::new();
    for required in ["input", "output"] {
        if !table.contains_key(required) {
            let mend = format!(
                "add a line {required} = [\"S1\"], or {required} = [] if only clutches reach it"
            );
            return Err(Mistake::at(format!("shafts.{required}"), "is missing", mend));
        }
    }
    for (name, value) in table {
        let key = check_name("shafts", name)?;
        let members = understand_members(&key, value, sets)?;
        for member in &members {
            if let Some((_, first)) = seen.iter().find(|(other, _)| other == member) {
                let problem = format!("{member} stands in shafts.{first} already");
                return Err(Mistake::at(key, problem, "name every member exactly once"));
            }
            seen.push((*member, name.clone()));
        }
        match name.as_str() {
            "input" => shafts[INPUT.0].members = members,
            "output" => shafts[OUTPUT.0].members = members,
            "housing" => held = members,
            _ => shafts.push(Shaft { name: name.clone(), members }),
        }
    }
    let all = (0..sets).flat_map(|set| Role::ALL.map(|role| Member::new(set, role)));
    let missing = all.filter(|member| seen.iter().all(|(other, _)| other != member)).join(", ");
    if !missing.is_empty() {
        let mend = "put each on a shaft of its own or with others, or in housing = [...]";
        return Err(Mistake::at("shafts", format!("{missing} on no shaft"), mend));
    }
    if shafts.len() > MOST_SHAFTS {
        let problem = format!("there are {} shafts", shafts.len());
        return Err(Mistake::at("shafts", problem, format!("write at most {MOST_SHAFTS} shafts")));
    }
    let bare = shafts[2..].iter().filter(|shaft| shaft.members.is_empty()).count();
    if bare > MOST_BARE {
        let problem = format!("{bare} shafts besides input and output have no members");
        return Err(Mistake::at(
            "shafts",
            problem,
            format!("write at most {MOST_BARE} such shafts"),
        ));
    }
    Ok((shafts, held))
}

fn understand_members(key: &str, value: &Value, sets: usize) -> Result<Vec<Member>, Mistake> {
    strings(key, value, "write a list of members such as [\"C1\", \"R2\"]")?
        .into_iter()
        .map(|text| {
            Member::parse(text).filter(|member| member.set < sets).ok_or_else(|| {
                let mend =
                    format!("write S, R or C and a set number from 1 to {sets}, such as \"R1\"");
                Mistake::at(key, format!("\"{}\" is not a member", shortened(text)), mend)
            })
        })
        .collect()
}

fn strings<'a>(key: &str, value: &'a Value, mend: &str) -> Result<Vec<&'a str>, Mistake> {
    let list = value.as_array().and_then(|list| list.iter().map(Value::as_str).collect());
    list.ok_or_else(|| Mistake::at(key, format!("is {}", shortened(&value.to_string())), mend))
}

fn understand_elements(table: &Table, shafts: &[Shaft]) -> Result<Vec<Element>, Mistake> {
    if table.len() > MOST_ELEMENTS {
        let problem = format!("there are {} elements", table.len());
        return Err(Mistake::at(
            "elements",
            problem,
            format!("write at most {MOST_ELEMENTS} elements"),
        ));
    }
    table
        .iter()
        .map(|(name, value)| {
            let grip = understand_grip(&check_name("elements", name)?, value, shafts)?;
            Ok(Element { name: name.clone(), grip })
        })
        .collect()
}

fn understand_grip(key: &str, value: &Value, shafts: &[Shaft]) -> Result<Grip, Mistake> {
    let mend = "write { brake = \"a shaft\" } or { clutch = [\"a shaft\", \"another\"] }";
    let known = shafts.iter().map(|shaft| shaft.name.as_str()).join(", ");
    let shaft = |name: &str| {
        shafts.iter().position(|shaft| shaft.name == name).map(ShaftId).ok_or_else(|| {
            let problem = format!("there is no shaft \"{}\"", shortened(name));
            let mend = if name == "housing" {
                "to hold a shaft to the housing, write { brake = \"the shaft\" }".to_owned()
            } else {
                format!("the shafts are {known}")
            };
            Mistake::at(key, problem, mend)
        })
    };
    let table = value.as_table().filter(|table| table.len() == 1);
    match table.and_then(|table| table.iter().next()).map(|(word, value)| (word.as_str(), value)) {
        Some(("brake", Value::String(name))) => Ok(Grip::Brake(shaft(name)?)),
        Some(("clutch", pair)) => match strings(key, pair, mend)?[..] {
            [a, b] if a == b => {
                Err(Mistake::at(key, format!("clutches {a} to itself"), "name two shafts"))
            }
            [a, b] => Ok(Grip::Clutch(shaft(a)?, shaft(b)?)),
            _ => Err(Mistake::at(key, format!("is {}", shortened(&value.to_string())), mend)),
        },
        _ => Err(Mistake::at(key, format!("is {}", shortened(&value.to_string())), mend)),
    }
}

fn understand_gears(table: &Table, elements: &[Element]) -> Result<Vec<Gear>, Mistake> {
    if table.len() > MOST_GEARS {
        let problem = format!("there are {} gears", table.len());
        let mend = format!("name at most {MOST_GEARS}; without [gears] every live state is told");
        return Err(Mistake::at("gears", problem, mend));
    }
    let known = elements.iter().map(|element| element.name.as_str()).join(", ");
    table
        .iter()
        .map(|(name, value)| {
            let key = check_name("gears", name)?;
            let names = strings(&key, value, "write a list of elements such as [\"A\", \"D\"]")?;
            let engaged = names.into_iter().map(|engaged| {
                elements.iter().position(|element| element.name == engaged).ok_or_else(|| {
                    let problem = format!("there is no element \"{}\"", shortened(engaged));
                    Mistake::at(&key, problem, format!("the elements are {known}"))
                })
            });
            let engaged: Vec<usize> = engaged.try_collect()?;
            Ok(Gear { name: name.clone(), engaged: ElementMask::of(engaged) })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::write_layout;
    use super::*;

    const EXAMPLE: &str = include_str!("../../tests/layouts/two-sets.toml");

    #[test]
    fn writes_what_it_reads() {
        let layout = parse_layout(EXAMPLE).unwrap();
        assert_eq!(layout.engaged(), 2);
        assert_eq!(parse_layout(&write_layout(&layout)).unwrap(), layout);
    }

    #[test]
    fn odd_names_survive() {
        let text = EXAMPLE.replace("\"suns\"", "'the \"suns\", both'");
        let text = text.replace("suns = [", "'the \"suns\", both' = [");
        let layout = parse_layout(&text).unwrap();
        assert_eq!(layout.shafts[2].name, "the \"suns\", both");
        assert_eq!(parse_layout(&write_layout(&layout)).unwrap(), layout);
    }

    #[test]
    fn every_mistake_names_its_key() {
        let cases = [
            ("\"S1\", \"S2\"", "\"S1\"", "shafts", "S2 on no shaft"),
            ("[\"R1\"]", "[\"R1\", \"C1\"]", "shafts.front-ring", "C1 stands in shafts.output"),
            ("[\"R1\"]", "[\"R9\"]", "shafts.front-ring", "\"R9\" is not a member"),
            ("brake = \"suns\"", "brake = \"moon\"", "elements.C", "no shaft \"moon\""),
            ("[\"A\", \"D\"]", "[\"A\", \"X\"]", "gears.1", "no element \"X\""),
            ("ring = 66", "ring = 20", "sets[1].ring", "not larger"),
            ("planets = 3", "kind = \"twin\"", "sets[1].kind", "is \"twin\""),
            ("input = []\n", "", "shafts.input", "is missing"),
            ("planets = 3", "planet = -3", "sets[1].planet", "-3"),
            ("planets = 3", "teeth = 3", "sets[1].teeth", "not a key"),
            ("sun = 30\n", "", "sets[1].sun", "is missing"),
            ("suns = [", "\"\" = [", "shafts", "empty name"),
            ("sun = 30\n", "sun = 2020-01-01\n", "sets[1].sun", "is 2020-01-01"),
            ("[gears]", "[gear]", "gear", "not a key of a layout file"),
            ("input = []", "a=[]\nb=[]\nc=[]\nd=[]\ne=[]\ninput = []", "shafts", "5 shafts"),
        ];
        for (old, new, key, problem) in cases {
            let mistake = parse_layout(&EXAMPLE.replacen(old, new, 1)).unwrap_err();
            assert_eq!(mistake.key, key);
            assert!(mistake.problem.contains(problem), "{mistake}");
        }
    }

    #[test]
    fn a_list_is_no_set() {
        let tables = EXAMPLE.find("[[sets]]").unwrap()..EXAMPLE.find("[shafts]").unwrap();
        let mut text = EXAMPLE.to_owned();
        text.replace_range(tables, "sets = [[30, 66, 18, 0, 3, \"single\"], [30, 66]]\n");
        let mistake = parse_layout(&text).unwrap_err();
        assert_eq!(mistake.key, "sets[1]");
        assert!(mistake.problem.contains("is [30, 66"), "{mistake}");
    }

    /// A file that never ends is given up, not read to the end.
    #[cfg(unix)]
    #[test]
    fn a_device_is_not_read_for_ever() {
        let mistake = read_text(Path::new("/dev/zero")).unwrap_err();
        assert!(mistake.to_string().contains("over 4 MiB"), "{mistake}");
    }
}
