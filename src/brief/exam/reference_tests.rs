//! Tests only: the mirror, the table of keys and the reference file of exams say the same,
//! and what is written can be read back.

use proptest::prelude::*;

use super::written::WrittenExam;
use super::{EXAM, ExamBrief, canonical};
use crate::brief::reference_tests::Reference;
use crate::brief::written::OneOrMany;
use crate::error::Mistake;
use crate::problem::{Form, Kind, Topic};

const REFERENCE: Reference =
    Reference { text: include_str!("../../../configs/every-exam-key.toml"), dialect: &EXAM };

fn parse(text: &str) -> Result<ExamBrief, Mistake> {
    ExamBrief::parse(text, "every-key")
}

fn right(text: &str) -> ExamBrief {
    parse(text).unwrap_or_else(|mistake| panic!("{mistake}\n{text}"))
}

#[test]
fn every_key_stands_in_the_mirror_the_table_and_the_reference() {
    let entries = REFERENCE.entries();
    let paths: Vec<&str> = entries.iter().map(|entry| entry.path.as_str()).collect();
    let keys: Vec<&str> = EXAM.keys.iter().map(|(key, _)| *key).collect();
    assert_eq!(paths, keys);
    for entry in &entries {
        assert!(entry.comment.contains("Unit: "), "{}", entry.path);
        let known = entry.comment.contains("Default: ") || entry.comment.contains("Required.");
        assert!(known, "{}", entry.path);
    }
    let mut full = canonical::write(&right(REFERENCE.text));
    (full.forms.points, full.forms.minutes) = (Some(OneOrMany::One(1)), Some(OneOrMany::One(1)));
    (full.forms.difficulty, full.forms.spread) = (Some(1), Some(1));
    full.paper.subtitle = Some("x".to_owned());
    let table: toml::Table = toml::from_str(&crate::brief::written::text(&full)).unwrap();
    let mut found: Vec<String> = Vec::new();
    for (name, value) in &table {
        match value.as_table() {
            None => found.push(name.clone()),
            Some(inner) => {
                let plain = inner.iter().filter(|(_, value)| !value.is_table());
                found.extend(plain.map(|(key, _)| format!("{name}.{key}")));
            }
        }
    }
    let mut keys: Vec<String> = keys.into_iter().map(str::to_owned).collect();
    found.sort();
    keys.sort();
    assert_eq!(found, keys);
}

#[test]
fn every_word_stands_in_the_reference() {
    let kinds = Kind::ALL.iter().map(|kind| kind.word());
    let topics = Topic::ALL.iter().map(|topic| topic.word());
    let forms = Form::ALL.iter().map(|form| form.word());
    for word in kinds.chain(topics).chain(forms) {
        assert!(REFERENCE.text.contains(&format!("\"{word}\"")), "{word}");
    }
}

#[test]
fn the_defaults_are_those_of_the_program() {
    let checked = REFERENCE.defaults_are_true(parse, |brief| &brief.title);
    // All but the title, the level and the five that are commented out.
    assert_eq!(checked, EXAM.keys.len() - 7);
}

#[test]
fn the_commented_keys_work_too() {
    let woken = REFERENCE.variant(
        |_| false,
        |line| {
            let text = REFERENCE.text.lines().nth(line).unwrap_or_default();
            [
                "points",
                "minutes",
                "difficulty",
                "spread",
                "subtitle",
                "teeth =",
                "ratio =",
                "choice =",
            ]
            .iter()
            .any(|key| text.starts_with(&format!("# {key}")) && text.contains(" = "))
        },
    );
    let brief = right(&woken);
    assert_eq!((brief.forms.difficulty, brief.forms.spread), (Some(60), Some(20)));
    assert_eq!((brief.forms.topics.len(), brief.forms.answers.len()), (1, 1));
}

#[test]
fn the_examples_are_read() {
    for (text, forms, items) in [
        (include_str!("../../../configs/workshop-exam.toml"), 4, 6),
        (include_str!("../../../configs/course-exam.toml"), 3, 5),
    ] {
        let brief = right(text);
        assert_eq!((brief.forms.forms, brief.forms.items), (forms, items));
    }
    assert!(toml::from_str::<WrittenExam>("[forms]\nzzz = 1").is_err());
}

proptest! {
    /// What a brief says in full is read back as the same brief.
    #[test]
    fn the_canonical_text_is_the_same_brief(
        course in any::<bool>(),
        sizes in (1usize..13, 1usize..21, 240i64..9000, 0i64..1000),
        numbers in (0i64..5, 1i64..5, 1i64..5),
        bounds in (0u32..40, 0u32..40, any::<bool>()),
        words in (any::<bool>(), any::<bool>(), 0u32..3, 0u32..3),
    ) {
        let (forms, items, pool, seed) = sizes;
        let (least, more, wished) = bounds;
        let (comma, letter, topics, choice) = words;
        let level = if course { "course" } else { "workshop" };
        let most = (topics + choice).min(items as u32);
        let text = format!(
            "[exam]\nlevel = \"{level}\"\npool = {pool}\nseed = {seed}\n\
             [numbers]\nplaces = {}\ndigits = {}\nsets = {}\n\
             [forms]\nforms = {forms}\nitems = {items}\npoints = [{least}, {}]\n{}\
             enemies = [[\"ratio\", \"torque\"], [\"torque\", \"ratio\"]]\n\
             [forms.topics]\nteeth = [0, {most}]\n[forms.answers]\nchoice = {}\n\
             [paper]\ndecimal = \"{}\"\nsize = \"{}\"\n",
            numbers.0, numbers.1, numbers.2, least + more,
            if wished { "difficulty = 50\nspread = 9\n" } else { "" },
            choice.min(items as u32),
            if comma { "comma" } else { "point" },
            if letter { "letter" } else { "A4" },
        );
        let brief = right(&text);
        prop_assert_eq!(brief.forms.enemies.len(), 1);
        let again = ExamBrief::parse(&brief.canonical_text(), "every-key").unwrap();
        prop_assert_eq!(again, brief);
    }
}
