//! Briefs of exams for tests, and what stands in phrases.

use coaxle::brief::{ExamBrief, FormsWish, NumberWish, PaperSize, PaperWish};
use coaxle::num::Fraction;
use coaxle::problem::{Arg, Kind, Level, Said, Topic};
use coaxle::teeth::ToothLimits;

/// A brief of everything at a level, with a pool of `items`.
pub fn brief(level: Level, items: usize) -> ExamBrief {
    ExamBrief {
        title: "Hollowfell winter class".to_owned(),
        name: "class".to_owned(),
        level,
        kinds: Kind::ALL.to_vec(),
        topics: Topic::ALL.to_vec(),
        pool: items,
        seed: 1,
        numbers: NumberWish {
            teeth: ToothLimits::default(),
            places: 2,
            digits: if level == Level::Workshop { 2 } else { 3 },
            sets: if level == Level::Workshop { 2 } else { 3 },
        },
        forms: FormsWish {
            forms: 2,
            items: 4,
            points: None,
            minutes: None,
            difficulty: None,
            spread: None,
            topics: Vec::new(),
            kinds: Vec::new(),
            answers: Vec::new(),
            enemies: Vec::new(),
            seconds: 10.0,
        },
        paper: PaperWish {
            size: PaperSize::A4,
            decimal_comma: false,
            language: "en".to_owned(),
            formula_sheet: true,
            subtitle: None,
            names: vec!["A".to_owned(), "B".to_owned()],
        },
    }
}

/// All numbers that fill places of a phrase.
pub fn numbers_of(said: &Said) -> Vec<Fraction> {
    let mut found = Vec::new();
    for (_, arg) in &said.args {
        match arg {
            Arg::Exact(value) | Arg::Decimal(value, _) => found.push(value.clone()),
            Arg::Count(count) => found.push(Fraction::from(num_bigint::BigInt::from(*count))),
            Arg::Said(said) => found.extend(numbers_of(said)),
            Arg::Name(_) | Arg::Maths(_) => {}
        }
    }
    found
}
