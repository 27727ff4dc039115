//! Every item can be said: 20,000 of them and more, with every phrase in the catalogue, every
//! place filled and every formula readable, in all writings.

use std::collections::{BTreeMap, BTreeSet};

use crate::common::exam::brief;
use coaxle::paper::{Run, Text, Words};
use coaxle::problem::{Answer, Arg, Cell, Item, Level, Said, Unit};

/// Items of each level.
const ITEMS: usize = 10_500;

/// Everything that an item says.
fn all_said(item: &Item) -> Vec<&Said> {
    let mut all: Vec<&Said> = item.stem.iter().collect();
    for part in &item.parts {
        all.push(&part.ask);
        all.extend(part.steps.iter().map(|step| &step.said));
        match &part.answer {
            Answer::Choice { options, .. } => all.extend(options.iter().map(|option| &option.said)),
            Answer::Table { columns, rows } => {
                all.extend(columns);
                for row in rows {
                    all.push(&row.head);
                    for cell in &row.cells {
                        match cell {
                            Cell::Given(said) => all.push(said),
                            Cell::Word { of, .. } => all.extend(of),
                            Cell::Number { .. } | Cell::Tick(_) => {}
                        }
                    }
                }
            }
            Answer::Written { model } => all.extend(model),
            _ => {}
        }
    }
    all
}

/// Places of a phrase and what of them is said by name in its text.
fn assert_said(words: &Words, said: &Said, item: &Item) -> Text {
    let text = words.say(said).unwrap_or_else(|fault| panic!("{}: {fault}", item.id));
    let plain = text.plain();
    assert!(!plain.is_empty(), "{}: {said:?} says nothing", item.id);
    for sign in ["{", "}", "$", "`", "\u{e000}", "\u{e001}", "  "] {
        assert!(!plain.contains(sign), "{}: {sign:?} in {plain:?}", item.id);
    }
    text
}

#[test]
fn every_item_can_be_said_in_full() {
    let words = Words::of("en", false).unwrap();
    let (mut count, mut kinds) = (0, BTreeSet::new());
    let mut places: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for level in Level::ALL {
        let pool = coaxle::exam::pool(&brief(level, ITEMS));
        for item in &pool.items {
            (count, _) = (count + 1, kinds.insert(item.kind));
            for said in all_said(item) {
                // A phrase has the same places wherever it is said.
                let own: BTreeSet<String> =
                    said.args.iter().map(|(name, _)| name.clone()).collect();
                let known = places.entry(said.phrase.clone()).or_insert_with(|| own.clone());
                assert_eq!(*known, own, "{}: places of {}", item.id, said.phrase);
                for run in assert_said(&words, said, item).0 {
                    if let Run::Maths(maths) = run {
                        assert!(!maths.latex().is_empty() && !maths.typst().is_empty());
                        roxmltree::Document::parse(&maths.mathml()).unwrap();
                    }
                }
            }
            assert_units(item, &words);
        }
    }
    assert!(count >= 20_000, "{count} items only");
    assert_eq!(kinds.len(), 16, "{kinds:?}");
}

/// A number with a unit is asked for in that unit.
fn assert_units(item: &Item, words: &Words) {
    for part in &item.parts {
        let Answer::Number { unit, .. } = &part.answer else { continue };
        let ask = words.say(&part.ask).unwrap().plain();
        let named = match unit {
            Unit::None => true,
            Unit::Rpm => ask.contains("rpm"),
            Unit::NewtonMetre => ask.contains("N m"),
            Unit::Watt => ask.contains("watts"),
            Unit::Percent => ask.contains("percent"),
            Unit::Millimetre => ask.contains("mm"),
        };
        assert!(named, "{}: no unit in {ask:?}", item.id);
    }
}

/// Every filling of a place is seen in the text: nothing that is given gets lost.
#[test]
fn what_fills_a_place_is_seen() {
    let words = Words::of("en", false).unwrap();
    for level in Level::ALL {
        for item in &coaxle::exam::pool(&brief(level, 400)).items {
            for said in all_said(item) {
                let plain = words.say(said).unwrap().plain();
                for (place, arg) in &said.args {
                    let Arg::Exact(value) = arg else { continue };
                    let text = value.to_string().replace('-', "−");
                    assert!(plain.contains(&text), "{}: {place} = {text} in {plain:?}", item.id);
                }
            }
        }
    }
}
