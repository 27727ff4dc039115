//! What the page holds for its script: accounts of layouts and scores of candidates read
//! back as what went in, and the whole stays small.

use std::collections::BTreeMap;
use std::io::Read as _;
use std::sync::atomic::AtomicBool;

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use coaxle::account::{Account, Basis, USUAL_SPEEDS, portrait, show};
use coaxle::brief::{ReductionBrief, no_list};
use coaxle::report::{Pictures, Record, page};
use coaxle::score::Criterion;
use coaxle::teeth::MeshProof;
use coaxle::train::parse_layout;
use coaxle::{Controls, Quiet};
use rand::{RngExt as _, SeedableRng as _};
use serde_json::Value;

/// A made record whose front is told in full.
fn record() -> Record {
    let mut record = crate::made::record(crate::made::candidates(4));
    tell(&mut record);
    record
}

fn tell(record: &mut Record) {
    for &place in &record.front {
        let account = Account::of(&record.candidates[place].layout, &Basis::default()).unwrap();
        record.candidates[place].account = Some(Box::new(account));
    }
}

fn html(record: &Record) -> String {
    page(record, &Pictures::of(record).unwrap()).unwrap()
}

/// The text inside the script element of that id.
fn held<'a>(html: &'a str, id: &str) -> &'a str {
    let (_, rest) = html.split_once(&format!("id=\"{id}\">")).unwrap_or_else(|| panic!("{id}"));
    rest.split_once("</script>").unwrap().0
}

fn unpacked(html: &str, id: &str) -> Vec<u8> {
    let bytes = STANDARD.decode(held(html, id)).unwrap();
    let mut plain = Vec::new();
    flate2::read::DeflateDecoder::new(bytes.as_slice()).read_to_end(&mut plain).unwrap();
    plain
}

/// What a layout's account may leave out: other notations of a formula, and of a state what
/// stands among the gears already or is no gear's.
fn each_thing_once(mut shown: Value) -> Value {
    fn one_notation(value: &mut Value) {
        match value {
            Value::Object(fields) => {
                if let Some(mathml) = fields.get("mathml").cloned() {
                    *fields = [("mathml".to_owned(), mathml)].into_iter().collect();
                }
                fields.values_mut().for_each(one_notation);
            }
            Value::Array(values) => values.iter_mut().for_each(one_notation),
            _ => {}
        }
    }
    one_notation(&mut shown);
    for state in shown["states"].as_array_mut().unwrap() {
        let fields = ["gear", "engaged", "status", "ratio", "reason"];
        let kept = if state["gear"].is_string() { &fields[..2] } else { &fields };
        let kept = kept.iter().map(|&field| (field.to_owned(), state[field].clone()));
        *state = kept.collect();
    }
    shown
}

#[test]
fn accounts_read_back_as_what_is_told_of_the_layout() {
    let record = record();
    let html = html(&record);
    let mut pictures_seen = 0;
    for candidate in record.front() {
        let text = unpacked(&html, &format!("account-{}", candidate.id));
        let told: Value = serde_json::from_str(&in_long_words(&text)).unwrap();
        let shown = serde_json::to_value(show(&candidate.layout, &Basis::default())).unwrap();
        assert_eq!(told["shown"], each_thing_once(shown));
        let lines: Vec<&str> =
            told["lines"].as_array().unwrap().iter().map(|line| line.as_str().unwrap()).collect();
        let runs: BTreeMap<String, Vec<usize>> =
            serde_json::from_value(told["pictures"].clone()).unwrap();
        // Sets from in front are drawn by the script, from the wheels that `shown` tells.
        let portraits = portrait(&candidate.layout, &Basis::default(), USUAL_SPEEDS).unwrap();
        let portraits = portraits.into_iter().filter(|one| !one.name.starts_with("face-"));
        let portraits: Vec<_> = portraits.collect();
        assert_eq!(runs.len(), portraits.len());
        for portrait in portraits {
            let runs = runs[&portrait.name].chunks(2);
            let text: Vec<&str> =
                runs.flat_map(|run| lines[run[0]..run[0] + run[1]].iter().copied()).collect();
            assert_eq!(text.join("\n") + "\n", portrait.picture.inline("drawing"));
            pictures_seen += 1;
        }
    }
    assert!(pictures_seen > 50, "{pictures_seen} pictures");
}

/// Words that were left out, put back as a reader of the first line would.
fn in_long_words(text: &[u8]) -> String {
    let text = std::str::from_utf8(text).unwrap();
    let (words, rest) = text.split_once('\n').unwrap();
    let words: Vec<String> = serde_json::from_str(words).unwrap();
    let put_back = |c: char| match (c as u32).checked_sub(0xE000) {
        Some(place) if (place as usize) < words.len() => {
            let word = serde_json::to_string(&words[place as usize]).unwrap();
            word[1..word.len() - 1].to_owned()
        }
        _ => c.to_string(),
    };
    rest.chars().map(put_back).collect()
}

#[test]
fn candidates_read_back_within_a_step() {
    let record = record();
    let html = html(&record);
    let index: Value = serde_json::from_str(held(&html, "index")).unwrap();
    let count = record.candidates.len();
    assert_eq!(index["count"], count);
    assert_eq!(serde_json::from_value::<Vec<usize>>(index["front"].clone()).unwrap(), record.front);
    let names = String::from_utf8(unpacked(&html, "names")).unwrap();
    let ids: Vec<&str> = record.candidates.iter().map(|one| one.id.as_str()).collect();
    assert_eq!(names.split('\n').collect::<Vec<_>>(), ids);
    let bytes = unpacked(&html, "scores");
    assert_eq!(bytes.len(), 2 * count * record.criteria.len());
    let step = |at: usize| u16::from_le_bytes([bytes[2 * at], bytes[2 * at + 1]]);
    for (column, &criterion) in record.criteria.iter().enumerate() {
        let told = &index["columns"][column];
        assert_eq!(told["name"], criterion.name());
        let [low, high] = ["low", "high"].map(|end| told[end].as_f64().unwrap());
        for (place, candidate) in record.candidates.iter().enumerate() {
            let step = step(column * count + place);
            let Some(score) = record.score(candidate, criterion) else {
                assert_eq!(step, u16::MAX, "an unknown score is marked");
                continue;
            };
            // Readers see the step deviation in per cent.
            let score = match criterion {
                Criterion::StepDeviation => score.exp_m1() * 100.0,
                _ => score,
            };
            let back = low + f64::from(step) * (high - low) / 65534.0;
            let near = (high - low) / 65534.0 * 0.5000001 + 1e-12;
            assert!((back - score).abs() <= near, "{criterion:?} {score} {back}");
        }
    }
}

#[test]
fn the_same_record_makes_the_same_page() {
    assert!(html(&record()) == html(&record()));
}

/// Names are other people's: in no picture and no formula are they markup.
#[test]
fn names_in_accounts_are_never_markup() {
    let mut record = crate::made::record(crate::made::candidates(4));
    let first = record.front[0];
    let evil = "<img src=x onerror=alert(1)>&\"";
    let layout = &mut record.candidates[first].layout;
    layout.title = Some(evil.to_owned());
    layout.shafts[2].name = evil.to_owned();
    layout.elements[0].name = evil.to_owned();
    layout.gears[0].name = evil.to_owned();
    tell(&mut record);
    let html = html(&record);
    assert!(!crate::data::without_data(&html).contains("<img"));
    let text = unpacked(&html, &format!("account-{}", record.candidates[first].id));
    let told: Value = serde_json::from_str(&in_long_words(&text)).unwrap();
    let mut formulas = Vec::new();
    mathml(&told["shown"], &mut formulas);
    assert!(formulas.len() > 10);
    // What the script sets as markup: pictures and formulas.
    for line in told["lines"].as_array().unwrap().iter().map(|line| line.as_str().unwrap()) {
        assert!(!line.contains("<img"), "{line}");
    }
    for formula in formulas {
        assert!(!formula.contains("<img"), "{formula}");
    }
}

fn mathml<'a>(value: &'a Value, found: &mut Vec<&'a str>) {
    match value {
        Value::Object(fields) => {
            found.extend(fields.get("mathml").and_then(Value::as_str));
            fields.values().for_each(|value| mathml(value, found));
        }
        Value::Array(values) => values.iter().for_each(|value| mathml(value, found)),
        _ => {}
    }
}

/// Layouts of four sets with eight gears, 40 of them, before 20,000 candidates whose scores
/// are drawn by lot where they are no counts: nothing packs worse.
fn large() -> Record {
    let mut random = rand_pcg::Pcg64::seed_from_u64(8);
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("results/reference/railcar-8/layouts");
    let mut files: Vec<_> =
        std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.sort();
    let texts = files.iter().map(|file| std::fs::read_to_string(file).unwrap());
    let layouts: Vec<_> = texts.map(|text| parse_layout(&text).unwrap()).collect();
    let made = crate::made::candidates(4);
    let mut record = crate::made::record(Vec::new());
    record.criteria = Criterion::ALL.to_vec();
    record.candidates = (0..20_000).map(|place| made[place % made.len()].clone()).collect();
    record.front = (0..40).collect();
    record.found = 20_000;
    for (place, candidate) in record.candidates.iter_mut().enumerate() {
        candidate.id =
            if place < 40 { format!("F{:02}", place + 1) } else { format!("C{place:05}") };
        if place < 40 {
            candidate.layout = layouts[place % layouts.len()].clone();
        }
        let lot: f64 = random.random();
        // The front lies ahead of all others in both first objectives.
        let spread = if place < 40 { 12.0 - 0.1 * place as f64 } else { 3.0 + 5.0 * lot };
        let off = if place < 40 {
            0.2 - 0.004 * place as f64
        } else {
            0.21 + 0.4 * random.random::<f64>()
        };
        let score = |criterion| match criterion {
            Criterion::Spread => spread,
            Criterion::StepDeviation => off,
            Criterion::ElementCount => random.random_range(9..=10).into(),
            Criterion::ShiftElements | Criterion::Sets => random.random_range(4..=6).into(),
            Criterion::DirectGears | Criterion::Nests => random.random_range(0..=1).into(),
            Criterion::OpenElements | Criterion::SwapsPerShift => random.random_range(1..=3).into(),
            Criterion::GearsAfterFault => random.random_range(0..=6).into(),
            _ => random.random(),
        };
        candidate.scores = record.criteria.iter().copied().map(score).map(Some).collect();
    }
    tell(&mut record);
    record
}

#[test]
fn forty_layouts_and_twenty_thousand_candidates_stay_under_three_megabytes() {
    let record = large();
    let html = html(&record);
    // For the browser's test, which measures how long this page takes.
    if let Ok(place) = std::env::var("COAXLE_LARGE_PAGE") {
        std::fs::write(place, &html).unwrap();
    }
    let packed = |id: &str| held(&html, id).len();
    let held = record.front().filter(|one| html.contains(&format!("id=\"account-{}\"", one.id)));
    let held: Vec<usize> = held.map(|one| packed(&format!("account-{}", one.id))).collect();
    let accounts: usize = held.iter().sum();
    // All kept layouts nest, and so have all their drawings: more than thirty find room.
    assert!(held.len() >= 30, "{} of the front are told in full", held.len());
    println!(
        "page {} bytes: accounts {accounts}, scores {}, names {}",
        html.len(),
        packed("scores"),
        packed("names")
    );
    assert!(html.len() < 3_000_000, "{}", html.len());
}

/// The reductions of a brief of the demo, told in full.
fn reductions() -> Record {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("configs/turntable.toml");
    let text = std::fs::read_to_string(path).unwrap();
    let brief = ReductionBrief::parse(&text, "turntable.toml", no_list).unwrap();
    let stop = AtomicBool::new(false);
    let controls = Controls { threads: Some(2), stop: &stop, progress: &Quiet };
    coaxle::doors::reduce(&brief, &controls).unwrap()
}

/// What the page tells a builder of one reduction.
fn building<'a>(html: &'a str, id: &str) -> &'a str {
    let (_, rest) = html.split_once(&format!("<details id=\"layout-{id}\">")).unwrap();
    let (_, rest) = rest.split_once("<div class=\"building\">").unwrap();
    rest.split_once("<div class=\"pair\">").unwrap().0
}

#[test]
fn a_builder_reads_the_record_s_numbers() {
    let mut record = reductions();
    // One tooth that does not bear it, and one mesh that overlaps by 12.3 µm.
    let place = record.front[0];
    let bad = record.candidates[place].id.clone();
    let shop = record.candidates[place].workshop.as_mut().unwrap();
    let bench = shop.sets[0].bench.as_mut().unwrap();
    let module = bench.making.module_mm;
    bench.proof[0].depth = 0.0123 / module;
    let built = bench.built.as_mut().unwrap().as_mut().unwrap();
    built.strength.meshes[0].bending[0].safety = Some(0.0687);
    let efficiency = record.criteria.iter().position(|&c| c == Criterion::Efficiency).unwrap();
    record.candidates[place].scores[efficiency] = Some(0.123);
    let html = html(&record);
    let mut told = 0;
    for candidate in record.front() {
        // The template engine escapes slashes.
        let text = &building(&html, &candidate.id).replace("&#x2f;", "/");
        let shop = candidate.workshop.as_ref().unwrap();
        let link = format!("href=\"parts/{}/\"", candidate.id);
        assert_eq!(text.contains(&link), shop.makes_parts);
        for title in ["Building it", "What it bears", "First estimates, no rating", "Proof of mesh"]
        {
            assert!(text.contains(title), "{title}");
        }
        // Four figures, without zeros that say nothing.
        let torque = format!("{:.4}", 40.0 / candidate.gears[0].value.abs());
        let torque = torque.trim_end_matches('0');
        assert!(text.contains(&format!("<dd>{torque} N m</dd>")), "{torque}");
        for work in &shop.sets {
            let bench = work.bench.as_ref().unwrap();
            let strength = bench.strength().unwrap().unwrap();
            let (set, module) = (&work.choice.set, bench.making.module_mm);
            let planets = set.planets.unwrap();
            let teeth = format!("{} / {} / {} × {planets}", set.sun, set.planet.unwrap(), set.ring);
            let mut numbers = vec![teeth];
            numbers.extend(bench.wheels.iter().map(|wheel| format!("{:.3}", wheel.tip_diameter)));
            let spans = bench.wheels.iter().filter_map(|wheel| wheel.span);
            numbers.extend(spans.map(|span| format!("{:.3}", span.length)));
            numbers.extend(bench.meshes.iter().map(|mesh| format!("{:.3}", mesh.contact_ratio)));
            let clearance = |proof: &MeshProof| format!("{:.1}", proof.clearance * module * 1000.0);
            numbers.extend(bench.proof.iter().map(clearance));
            let safeties = strength.meshes.iter().filter_map(|mesh| mesh.contact.safety);
            numbers.extend(safeties.map(|safety| format!("{safety:.2}")));
            for number in numbers {
                assert!(text.contains(&format!(">{number}</t")), "{} {number}", candidate.id);
                told += 1;
            }
        }
        let red = ["<td class=\"poor\">0.07<", "<td class=\"poor\">12.3<", "efficiency is 12.3 %"];
        for words in red {
            assert_eq!(text.contains(words), candidate.id == bad, "{} {words}", candidate.id);
        }
    }
    assert!(told > 500, "{told} numbers");
    let plain = crate::data::without_data(&html);
    assert!(!plain.contains("brakes") && !plain.contains("Shift table"));
}

#[test]
fn sixty_reductions_of_three_sets_stay_under_three_megabytes() {
    let mut record = reductions();
    let threes: Vec<_> = record.front().filter(|one| one.layout.sets.len() == 3).cloned().collect();
    assert!(threes.len() > 5);
    let copies = (0..60).map(|place| {
        let mut copy = threes[place % threes.len()].clone();
        copy.id = format!("F{:02}", place + 1);
        copy
    });
    let behind = record.candidates.split_off(record.front.len());
    record.candidates = copies.chain(behind).collect();
    record.front = (0..60).collect();
    record.shown = 60;
    let html = html(&record);
    println!("page {} bytes", html.len());
    assert!(html.len() < 3_000_000, "{}", html.len());
    for (place, candidate) in record.front().enumerate() {
        let text = building(&html, &candidate.id);
        assert_eq!(text.contains("<details class=\"factors\">"), place < 20);
        assert_eq!(text.contains("for the first 20 of the front only"), place >= 20);
        assert!(html.contains(&format!("id=\"account-{}\"", candidate.id)), "{place}");
    }
}
