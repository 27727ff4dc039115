//! Briefs of exams for tests, and what stands in phrases.

use coaxle::brief::{ExamBrief, FormsWish, NumberWish, PaperSize, PaperWish, Parallel};
use coaxle::num::Fraction;
use coaxle::problem::{Answer, Arg, Item, Kind, Level, Said, SignRule, Topic};
use coaxle::teeth::ToothLimits;
use num_traits::Signed;

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
            parallel: Parallel::SamePlan,
            points: None,
            minutes: None,
            difficulty: None,
            spread: None,
            topics: Vec::new(),
            kinds: Vec::new(),
            answers: Vec::new(),
            enemies: Vec::new(),
            work: 20_000,
            seconds: 600.0,
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
            Arg::Name(_) | Arg::Maths(_) | Arg::Word(_) | Arg::Told(..) => {}
        }
    }
    found
}

/// Fails an item that a solver or a marker could not use.
pub fn assert_sound(item: &Item) {
    assert!(
        !item.parts.is_empty() && !item.stem.is_empty() && item.difficulty() > 0,
        "{}",
        item.id
    );
    assert!(!item.marks.is_empty() && item.minutes() > 0, "{}", item.id);
    for part in &item.parts {
        assert!(part.points() > 0, "{}", item.id);
        match &part.answer {
            Answer::Choice { options, right } => {
                assert!(options.len() >= 3, "{}", item.id);
                for (index, option) in options.iter().enumerate() {
                    assert_eq!(option.misconception.is_none(), index == *right, "{}", item.id);
                    let same = options.iter().filter(|other| other.said == option.said).count();
                    assert_eq!(same, 1, "{}", item.id);
                }
            }
            Answer::Number { exact, tolerance, wrong, sign, .. } => {
                for one in wrong {
                    let size = |value: &Fraction| match sign {
                        SignRule::Counts => value.clone(),
                        SignRule::Ignored => value.abs(),
                    };
                    let off = (size(&one.value) - size(exact)).abs();
                    assert!(off > *tolerance, "{}: {one:?} is marked right", item.id);
                }
            }
            Answer::Fraction { exact, wrong, .. } => {
                assert!(wrong.iter().all(|one| one.value != *exact), "{}", item.id);
            }
            _ => {}
        }
    }
}
