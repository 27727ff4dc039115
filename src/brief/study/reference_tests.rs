//! Tests only: the mirror, the table of keys and the reference file of studies say the same,
//! and what is written can be read back.

use proptest::prelude::*;

use super::written::WrittenStudy;
use super::{STUDY, StudyBrief};
use crate::brief::reference_tests::Reference;
use crate::error::Mistake;

const REFERENCE: Reference =
    Reference { text: include_str!("../../../configs/every-study-key.toml"), dialect: &STUDY };

fn parse(text: &str) -> Result<StudyBrief, Mistake> {
    StudyBrief::parse(text, "every-key")
}

fn right(text: &str) -> StudyBrief {
    parse(text).unwrap_or_else(|mistake| panic!("{mistake}\n{text}"))
}

#[test]
fn every_key_stands_in_the_mirror_the_table_and_the_reference() {
    let entries = REFERENCE.entries();
    let paths: Vec<&str> = entries.iter().map(|entry| entry.path.as_str()).collect();
    let keys: Vec<&str> = STUDY.keys.iter().map(|(key, _)| *key).collect();
    assert_eq!(paths, keys);
    let table: toml::Table = toml::from_str(&right(REFERENCE.text).canonical_text()).unwrap();
    let mut found: Vec<String> = Vec::new();
    for (name, value) in &table {
        match value.as_table() {
            None => found.push(name.clone()),
            Some(inner) => found.extend(inner.keys().map(|key| format!("{name}.{key}"))),
        }
    }
    let mut keys: Vec<String> = keys.into_iter().map(str::to_owned).collect();
    found.sort();
    keys.sort();
    assert_eq!(found, keys);
    for table in STUDY.tables {
        assert!(toml::from_str::<WrittenStudy>(&format!("[{table}]\nzzz = 1")).is_err());
    }
}

#[test]
fn the_defaults_are_those_of_the_program() {
    let checked = REFERENCE.defaults_are_true(parse, |brief| &brief.title);
    assert_eq!(checked, STUDY.keys.len() - 1, "all but the title");
}

#[test]
fn the_built_in_brief_asks_for_the_defaults() {
    let plain = right("title = \"Why several sets? A study for the Hollowfell workshop class\"");
    let embedded = StudyBrief::embedded();
    assert_eq!(StudyBrief { name: "every-key".into(), ..embedded }, plain);
}

#[test]
fn refusals_name_key_and_mend() {
    for (text, key, part) in [
        ("[study]\nsets = [0, 4]", "study.sets", "1 to 4"),
        ("[study]\nelements = [6, 3]", "study.elements", "[3, 6]"),
        ("[study]\nbare_input = \"alowed\"", "study.bare_input", "allowed"),
        ("[band]\nstep = [1.0, 2.0]", "band.step", "1.001"),
        ("[band]\nreverse = \"nun\"", "band.reverse", "or \"none\""),
        ("[band]\nreverse = [6.0, 1.5]", "band.reverse", "[1.5, 6"),
        ("[effort]\nagain = -1", "effort.again", "100000000"),
        ("[effort]\nlayouts = 0", "effort.layouts", "1000000000"),
        ("[space]\nsets = 2", "space", "coaxle search"),
        ("", "study", "every-study-key"),
    ] {
        let mistake = parse(text).unwrap_err();
        assert_eq!(mistake.key, key, "{mistake}");
        assert!(mistake.to_string().contains(part), "{mistake}");
    }
}

#[test]
fn no_reverse_can_be_asked_for() {
    let brief = right("[band]\nreverse = \"none\"");
    assert_eq!((brief.band.reverse, brief.reverses()), (None, &[false][..]));
    assert!(brief.sentence().contains("no reverse is asked for"), "{}", brief.sentence());
    assert_eq!(parse(&brief.canonical_text()).unwrap(), brief);
    assert_eq!(right("[study]\nsets = [1, 2]").reverses(), [false, true]);
}

proptest! {
    /// What a brief says in full is read back as the same brief.
    #[test]
    fn the_canonical_text_is_the_same_brief(
        sets in (1u8..4, 0u8..2), elements in (2u8..6, 0u8..2), again in 1i64..1_000_000_000,
        first in (1.0f64..4.0, 0.0f64..4.0), samples in 1i64..65536, layouts in 1i64..1_000_000_000,
    ) {
        let text = format!(
            "[study]\nsets = [{}, {}]\nelements = [{}, {}]\n[band]\nfirst = [{:?}, {:?}]\n\
             [effort]\nagain = {again}\neach = {again}\nsamples = {samples}\nlayouts = {layouts}\n",
            sets.0, sets.0 + sets.1, elements.0, elements.0 + elements.1,
            first.0, first.0 + first.1,
        );
        let brief = right(&text);
        let again = parse(&brief.canonical_text()).unwrap();
        prop_assert_eq!(again, brief);
    }
}
