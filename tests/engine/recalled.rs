//! Forged records: what a ledger recalls is held against the plan before it is believed. Any
//! change of a real record is refused, or the run goes on with it and ends.

use std::collections::BTreeMap;
use std::path::Path;

use coaxle::brief::StudyBrief;
use coaxle::search::{Course, Ledger, Limits, UnitRecord};
use coaxle::study::{Searched, StudyLedger, StudyRecord};
use coaxle::{Brief, Controls, Error, Quiet, Record, doors};
use proptest::prelude::*;
use serde_json::{Value, json};

/// Where the ledger of these tests is said to be.
const PLACE: &str = "tramway/.coaxle-ledger";

/// Records by number.
#[derive(Clone, Debug)]
struct Kept<R>(BTreeMap<usize, R>);

impl<R> Kept<R> {
    fn nothing() -> Self {
        Self(BTreeMap::new())
    }
}

impl Ledger for Kept<UnitRecord> {
    fn recall(&mut self, unit: usize) -> Result<Option<UnitRecord>, Error> {
        Ok(self.0.get(&unit).cloned())
    }

    fn keep(&mut self, unit: usize, record: &UnitRecord) -> Result<(), Error> {
        self.0.insert(unit, record.clone());
        Ok(())
    }

    fn path(&self) -> Option<&Path> {
        Some(Path::new(PLACE))
    }
}

impl StudyLedger for Kept<Searched> {
    fn recall(&mut self, place: usize) -> Result<Option<Searched>, Error> {
        Ok(self.0.get(&place).cloned())
    }

    fn keep(&mut self, place: usize, searched: &Searched) -> Result<(), Error> {
        self.0.insert(place, searched.clone());
        Ok(())
    }

    fn with_units(
        &mut self,
        _brief: &Brief,
        work: &mut dyn FnMut(&mut dyn Ledger) -> Result<(), Error>,
    ) -> Result<(), Error> {
        work(&mut Kept::nothing())
    }

    fn path(&self) -> Option<&Path> {
        Some(Path::new(PLACE))
    }
}

fn brief() -> Brief {
    let text = "space = { sets = 2, shafts = 4, elements = 3 }\n\
                gears = { forward = 2, reverse = 1, step = [1.5, 1.6] }\n\
                teeth = { sun = [18, 30], planet = [14, 24] }";
    Brief::parse(text, "hand-crank").unwrap()
}

fn search(ledger: &mut Kept<UnitRecord>) -> Result<Record, Error> {
    let stop = Default::default();
    let controls = Controls { threads: Some(1), stop: &stop, progress: &Quiet };
    let course = Course { units: None, limits: Limits::default(), ledger };
    doors::search_course(&brief(), &controls, course)
}

/// A ledger as a whole run leaves it.
fn searched() -> &'static Kept<UnitRecord> {
    static SEARCHED: std::sync::OnceLock<Kept<UnitRecord>> = std::sync::OnceLock::new();
    SEARCHED.get_or_init(|| {
        let mut ledger = Kept::nothing();
        let record = search(&mut ledger).unwrap();
        assert!(record.complete && !ledger.0.is_empty());
        assert!(!ledger.0[&0].solved.is_empty(), "something to forge");
        ledger
    })
}

fn study_brief() -> StudyBrief {
    let text = "[study]\nsets = [2, 2]\nelements = [3, 3]\nengaged = [1, 1]\n\
                [band]\nfirst = [1.2, 8.0]\ntop = [0.3, 2.0]\nstep = [1.1, 4.0]\nreverse = [0.5, 9.0]\n\
                [teeth]\nsun = [18, 30]\nplanet = [14, 24]";
    StudyBrief::parse(text, "hand-crank").unwrap()
}

fn study(ledger: &mut Kept<Searched>) -> Result<StudyRecord, Error> {
    let stop = Default::default();
    let controls = Controls { threads: Some(1), stop: &stop, progress: &Quiet };
    doors::study(&study_brief(), &controls, ledger)
}

fn studied() -> &'static Kept<Searched> {
    static STUDIED: std::sync::OnceLock<Kept<Searched>> = std::sync::OnceLock::new();
    STUDIED.get_or_init(|| {
        let mut ledger = Kept::nothing();
        assert!(study(&mut ledger).unwrap().complete);
        assert!(ledger.0.values().any(|searched| !searched.best.is_empty()), "something to forge");
        ledger
    })
}

/// Holds what came of a run with a forged record: it went on, or the ledger was refused by name.
fn went_on_or_refused<T>(run: Result<T, Error>) -> Result<(), TestCaseError> {
    match run {
        Ok(_) | Err(Error::Nothing(_)) => Ok(()),
        Err(Error::Request(mistake)) => refused(&mistake.to_string()),
        Err(other) => Err(TestCaseError::fail(format!("{other}"))),
    }
}

fn refused(sentence: &str) -> Result<(), TestCaseError> {
    prop_assert!(sentence.contains(PLACE) && sentence.contains("--afresh"), "{}", sentence);
    Ok(())
}

/// Every place of a record where there is a number, a text, a truth value or a list.
fn places(value: &Value, at: &str, found: &mut Vec<String>) {
    match value {
        Value::Object(map) => {
            map.iter().for_each(|(key, inner)| places(inner, &format!("{at}/{key}"), found));
        }
        Value::Array(list) => {
            found.push(at.to_owned());
            let inner = list.iter().enumerate();
            inner.for_each(|(index, inner)| places(inner, &format!("{at}/{index}"), found));
        }
        _ => found.push(at.to_owned()),
    }
}

/// One change of a record: at a place drawn from all, of a kind that fits what is there.
fn changed(record: &Value, place: usize, change: usize) -> Value {
    let mut all = Vec::new();
    places(record, "", &mut all);
    let mut forged = record.clone();
    let spot = forged.pointer_mut(&all[place % all.len()]).unwrap();
    match spot {
        Value::Array(list) => match change % 4 {
            0 => list.clear(),
            1 => _ = list.pop(),
            2 => list.extend(list.last().cloned()),
            _ => list.reverse(),
        },
        Value::Bool(truth) => *truth = !*truth,
        Value::String(text) => match change % 3 {
            0 => text.clear(),
            1 => text.push('9'),
            _ => *text = text.replace("sun", "ring"),
        },
        number => {
            let small = number.as_u64().unwrap_or(3);
            let numbers = [
                json!(0),
                json!(small.wrapping_add(1)),
                json!(small.saturating_sub(1)),
                json!(255),
                json!(65535),
                json!(u32::MAX),
                json!(u64::MAX),
                json!(-1),
                json!(-0.5),
                json!(1e308),
            ];
            *number = numbers[change % numbers.len()].clone();
        }
    }
    forged
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, ..ProptestConfig::default() })]

    #[test]
    fn a_forged_unit_is_refused_or_does_no_harm(
        changes in prop::collection::vec((0usize..1 << 20, 0usize..60), 1..4),
    ) {
        let mut ledger = searched().clone();
        let mut record = serde_json::to_value(&ledger.0[&0]).unwrap();
        for (place, change) in changes {
            record = changed(&record, place, change);
        }
        // What does not even read is the ledger's to refuse.
        if let Ok(forged) = serde_json::from_value(record) {
            ledger.0.insert(0, forged);
            went_on_or_refused(search(&mut ledger))?;
        }
    }

}

proptest! {
    #![proptest_config(ProptestConfig { cases: 120, ..ProptestConfig::default() })]

    #[test]
    fn a_forged_search_of_a_study_is_refused_or_does_no_harm(
        which in 0usize..1 << 20,
        changes in prop::collection::vec((0usize..1 << 20, 0usize..60), 1..4),
    ) {
        let mut ledger = studied().clone();
        let which = which % ledger.0.len();
        let mut record = serde_json::to_value(&ledger.0[&which]).unwrap();
        for (place, change) in changes {
            record = changed(&record, place, change);
        }
        if let Ok(forged) = serde_json::from_value(record) {
            ledger.0.insert(which, forged);
            went_on_or_refused(study(&mut ledger))?;
        }
    }
}

/// The sentence with which a run refuses the real record with `value` at `pointer`.
fn refusal(pointer: &str, value: Value) -> String {
    let mut ledger = searched().clone();
    let mut record = serde_json::to_value(&ledger.0[&0]).unwrap();
    *record.pointer_mut(pointer).unwrap_or_else(|| panic!("no {pointer}")) = value;
    ledger.0.insert(0, serde_json::from_value(record).unwrap());
    match search(&mut ledger) {
        Err(Error::Request(mistake)) => mistake.to_string(),
        other => panic!("{pointer}: {other:?}"),
    }
}

#[test]
fn each_kind_of_nonsense_in_a_unit_has_its_refusal() {
    let cases = [
        ("/cores", json!(1), "counts other cores"),
        ("/not_reached", json!(1), "was not finished"),
        ("/no_teeth", json!(u64::MAX), "do not add up"),
        ("/undecided_classes", json!([1, 2, 3]), "undecided classes"),
        ("/solved/0/keys", json!([1]), "other states"),
        ("/solved/0/members/0/core", json!(u32::MAX), "another unit"),
        ("/solved/0/members/0/slots/0", json!(255), "slots that its core has not"),
        ("/solved/0/members/0/sets/0", json!(9), "numbers its sets"),
        ("/solved/0/solutions/0/point/0", json!(65535), "no such base ratios"),
        ("/solved/0/solutions/0/chain/reverse", json!([]), "other gears"),
        ("/solved/0/solutions/0/chain/forward/0", json!(64), "state that no layout has"),
    ];
    for (pointer, value, fault) in cases {
        let sentence = refusal(pointer, value);
        assert!(sentence.contains(fault), "{pointer}: {sentence}");
        assert!(sentence.contains(PLACE) && sentence.contains("--afresh"), "{sentence}");
    }
}

#[test]
fn each_kind_of_nonsense_in_a_study_has_its_refusal() {
    let first = studied().0.iter().find(|(_, searched)| !searched.best.is_empty());
    let (&place, real) = first.unwrap();
    let spread = real.best[0].spread;
    let cases = [
        ("/gears", json!(99), "another search"),
        ("/layouts", json!(1), "other layouts"),
        ("/cores", json!(u64::MAX), "other cores"),
        ("/undecided_classes", json!(u64::MAX), "more classes"),
        ("/funnel/0/out", json!(u64::MAX), "funnel"),
        ("/best", json!([]), "missing"),
        ("/best/0/layout", json!("sets = []"), "does not read"),
        ("/best/0/canonical", json!("other"), "another wiring"),
        ("/best/0/gears/0/ratio", json!("1/2"), "other gears"),
        ("/best/0/spread", json!(spread * 1.01), "other scores"),
    ];
    for (pointer, value, fault) in cases {
        let mut ledger = studied().clone();
        let mut record = serde_json::to_value(real).unwrap();
        *record.pointer_mut(pointer).unwrap_or_else(|| panic!("no {pointer}")) = value;
        ledger.0.insert(place, serde_json::from_value(record).unwrap());
        let sentence = match study(&mut ledger) {
            Err(Error::Request(mistake)) => mistake.to_string(),
            other => panic!("{pointer}: {other:?}"),
        };
        assert!(sentence.contains(fault), "{pointer}: {sentence}");
        assert!(sentence.contains(PLACE) && sentence.contains("--afresh"), "{sentence}");
    }
}

/// The check itself does no harm: a real ledger is gone on with, and gives the same.
#[test]
fn real_records_are_believed() {
    let (mut units, mut searches) = (searched().clone(), studied().clone());
    let afresh = search(&mut Kept::nothing()).unwrap();
    let resumed = search(&mut units).unwrap();
    assert_eq!(afresh.front, resumed.front);
    let told = |record: &Record| format!("{:?}", record.candidates);
    assert_eq!(told(&afresh), told(&resumed));
    let (afresh, resumed) = (study(&mut Kept::nothing()).unwrap(), study(&mut searches).unwrap());
    let facts = |mut record: StudyRecord| {
        record.elapsed_s = 0.0;
        serde_json::to_value(record).unwrap()
    };
    assert_eq!(facts(afresh), facts(resumed));
}
