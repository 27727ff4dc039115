//! What Coaxle is built from: every crate under a licence that lets it be used so, from the
//! registry and nowhere else, and none twice without a reason.

use std::collections::{BTreeMap, BTreeSet};
use std::process::Command;

use serde_json::Value;

/// Licences that ask for no more than a notice; MPL-2.0 for its own files only.
const ALLOWED: [&str; 17] = [
    "0BSD",
    "Apache-2.0",
    "Apache-2.0 WITH LLVM-exception",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "BSL-1.0",
    "CC0-1.0",
    "ISC",
    "MIT",
    "MIT-0",
    "MPL-2.0",
    "Unicode-3.0",
    "Unicode-DFS-2016",
    "Unlicense",
    "Zlib",
    // Fonts that sheets and papers carry.
    "OFL-1.1",
    "Ubuntu-font-1.0",
];

/// Crates that may be there in two versions or three, and who still asks for the older one.
const TWICE: [(&str, &str); 5] = [
    ("foldhash", "hashbrown 0.15 has one of its own"),
    ("hashbrown", "petgraph, spade and indexmap each have one of their own"),
    ("itertools", "rayon-cond, for rustworkx-core"),
    ("miniz_oxide", "png"),
    ("windows-sys", "memory-stats; on Windows only"),
];

/// The same for what the feature papers adds: a typesetter with a world of its own.
const TWICE_WITH_PAPERS: [(&str, &str); 15] = [
    ("base64", "plist, for the colours of typst"),
    ("bit-set", "fancy-regex, for syntax colours"),
    ("bit-vec", "bit-set"),
    ("quick-error", "rusty-fork, for tests of proptest"),
    ("quick-xml", "citationberg, for styles of citation"),
    ("rand", "lipsum, for filler text"),
    ("rand_core", "rand"),
    ("roxmltree", "fontconfig-parser"),
    ("serde_spanned", "toml 0.8 of typst"),
    ("syn", "macros only: nothing of it is in the program"),
    ("toml", "typst reads with 0.8"),
    ("toml_datetime", "toml 0.8 of typst"),
    ("toml_edit", "toml 0.8 of typst"),
    ("vello_common", "glifo, for krilla's glyphs"),
    ("winnow", "toml 0.8 of typst"),
];

/// One copy of what passes between rooms and libraries, whatever else is doubled.
const ONE: [&str; 4] = ["num-bigint", "num-rational", "petgraph", "resvg"];

/// The packages that are built, by id, for any system.
fn packages(features: &[&str]) -> Vec<Value> {
    let mut command = Command::new(env!("CARGO"));
    command.args(["metadata", "--format-version", "1", "--locked"]).args(features);
    let output = command.current_dir(env!("CARGO_MANIFEST_DIR")).output().unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let metadata: Value = serde_json::from_slice(&output.stdout).unwrap();
    // `packages` has what stands in the lock; the graph has what the features ask for.
    let nodes = metadata["resolve"]["nodes"].as_array().unwrap();
    let used: BTreeSet<&str> = nodes.iter().map(|node| node["id"].as_str().unwrap()).collect();
    let all = metadata["packages"].as_array().unwrap().iter();
    let all = all.filter(|package| used.contains(package["id"].as_str().unwrap()));
    let others = all.filter(|package| package["name"] != "coaxle");
    let others: Vec<Value> = others.cloned().collect();
    assert!(others.len() > 100, "{} packages", others.len());
    others
}

fn kinds() -> [Vec<Value>; 2] {
    [packages(&[]), packages(&["--features", "papers"])]
}

fn word<'a>(package: &'a Value, key: &str) -> &'a str {
    package[key].as_str().unwrap_or_default()
}

/// Whether an SPDX expression can be met by allowed licences: of `OR` one is enough, of `AND` all
/// are needed, and `AND` binds closer. The slash of old manifests means `OR`.
/// Source: SPDX specification 2.3, annex D.
fn is_allowed(expression: &str) -> bool {
    let spaced = expression.replace('/', " OR ").replace('(', " ( ").replace(')', " ) ");
    let tokens: Vec<&str> = spaced.split_whitespace().collect();
    let mut place = 0;
    let allowed = any(&tokens, &mut place);
    allowed && place == tokens.len()
}

fn any(tokens: &[&str], place: &mut usize) -> bool {
    let mut allowed = all(tokens, place);
    while tokens.get(*place) == Some(&"OR") {
        *place += 1;
        allowed |= all(tokens, place);
    }
    allowed
}

fn all(tokens: &[&str], place: &mut usize) -> bool {
    let mut allowed = one(tokens, place);
    while tokens.get(*place) == Some(&"AND") {
        *place += 1;
        allowed &= one(tokens, place);
    }
    allowed
}

fn one(tokens: &[&str], place: &mut usize) -> bool {
    *place += 1;
    // Past the end, where nothing is met and the whole is no expression.
    let Some(&token) = tokens.get(*place - 1) else { return false };
    if token == "(" {
        let allowed = any(tokens, place);
        let closed = tokens.get(*place) == Some(&")");
        *place += 1;
        return allowed && closed;
    }
    if tokens.get(*place) == Some(&"WITH") {
        let exception = tokens.get(*place + 1).copied().unwrap_or_default();
        *place += 2;
        return ALLOWED.contains(&format!("{token} WITH {exception}").as_str());
    }
    ALLOWED.contains(&token)
}

#[test]
fn expressions_are_read_as_spdx_means_them() {
    for expression in [
        "MIT",
        "MIT/Apache-2.0",
        "GPL-2.0-only OR MIT",
        "(MIT OR GPL-3.0-only) AND Unicode-3.0",
        "GPL-3.0-only AND MIT OR Zlib",
        "Apache-2.0 WITH LLVM-exception OR GPL-2.0-only",
    ] {
        assert!(is_allowed(expression), "{expression}");
    }
    for expression in [
        "",
        "GPL-3.0-only",
        "MIT AND GPL-3.0-only",
        "MIT AND (GPL-3.0-only OR LGPL-2.1-only)",
        "GPL-2.0-only WITH Classpath-exception-2.0",
        "(MIT",
        "MIT Zlib",
        "MIT OR",
    ] {
        assert!(!is_allowed(expression), "{expression}");
    }
}

#[test]
fn every_licence_lets_the_program_be_used_and_given_on() {
    let mut wrong = BTreeSet::new();
    for package in kinds().iter().flatten() {
        let licence = word(package, "license");
        if !is_allowed(licence) {
            wrong.insert(format!(
                "{} {}: \"{licence}\"",
                word(package, "name"),
                package["version"]
            ));
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn every_crate_comes_from_the_registry() {
    for package in kinds().iter().flatten() {
        let source = word(package, "source");
        let registry = "registry+https://github.com/rust-lang/crates.io-index";
        assert_eq!(source, registry, "{}", word(package, "name"));
    }
}

#[test]
fn no_crate_is_there_twice_without_a_reason() {
    let [plain, papers] = kinds();
    let doubled = |packages: &[Value]| {
        let mut versions: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
        for package in packages {
            let name = versions.entry(word(package, "name").to_owned()).or_default();
            name.insert(word(package, "version").to_owned());
        }
        versions.retain(|_, versions| versions.len() > 1);
        versions
    };
    let known = |name: &str, lists: &[&[(&str, &str)]]| {
        lists.iter().any(|list| list.iter().any(|(crate_name, _)| *crate_name == name))
    };
    let (plain, papers) = (doubled(&plain), doubled(&papers));
    for (name, versions) in &plain {
        assert!(known(name, &[&TWICE]), "{name} {versions:?}");
    }
    let new: Vec<_> =
        papers.iter().filter(|(name, _)| !known(name, &[&TWICE, &TWICE_WITH_PAPERS])).collect();
    assert!(new.is_empty(), "{new:#?}");
    // A reason that has gone goes from the list.
    for (name, _) in TWICE {
        assert!(plain.contains_key(name), "{name} is there once");
    }
    for (name, _) in TWICE_WITH_PAPERS {
        assert!(papers.contains_key(name), "{name} is there once");
    }
    for name in ONE {
        assert!(!papers.contains_key(name), "{name}: {:?}", papers[name]);
    }
}
