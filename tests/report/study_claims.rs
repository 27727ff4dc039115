//! The page of a study is read for words that claim much: every "none", "all", "only", "never",
//! "nothing" and "proved" stands on a fact that bears it out, or in a sentence that says what a
//! word or a method means; and a base ratio's three gears are worked out anew.

use std::path::Path;

use crate::program::answer;
use serde_json::Value;

/// Small enough for a test: with a reverse and without.
const SMALL: &str = "[study]\nsets = [1, 2]\nelements = [3, 4]\nengaged = [1, 2]\n";

/// A band in which one set has gears with a reverse, and one without a reverse.
const WIDE: &str = "[study]\nsets = [1, 1]\nelements = [3, 4]\nengaged = [1, 2]\n\
                    [band]\nfirst = [0.9, 8.0]\ntop = [0.2, 2.0]\nstep = [1.05, 6.0]\n\
                    reverse = [0.2, 9.0]\n";

/// Words that claim much.
const CLAIMS: [&str; 6] = ["none", "all", "only", "never", "nothing", "proved"];

/// What must hold of the facts where a sentence is said.
type Holds = fn(&Value) -> bool;

/// Sentences, each known by a part of it, and what must hold where it is said.
const BORNE_OUT: [(&str, Holds); 10] = [
    ("lie in the band where the base ratio is", three_gears_lie_in_the_band),
    ("never turns backwards", |facts| ways(facts, "C").all(|way| way["forward"] == true)),
    ("the only other ways are direct drive and", |facts| {
        let forward: Vec<&Value> = ways(facts, "R").filter(|way| way["forward"] == true).collect();
        forward.len() == 1 && forward[0]["slower"] == false
    }),
    ("nothing reduces at all", |facts| ways(facts, "S").all(|way| way["slower"] == false)),
    ("none of these sets comes down to it", |facts| {
        let carrier = output(facts, "C");
        carrier["step_ranges"][0][0].as_f64() > facts["band"]["step"][1].as_f64()
    }),
    ("ways to wire one set with up to", |facts| {
        facts["totals"]["one_set_layouts"] == layouts(facts, |search| search["sets"] == 1)
    }),
    ("layouts in all", |facts| facts["totals"]["layouts"] == layouts(facts, |_| true)),
    ("the law leaves all three only one speed", |facts| {
        facts["one_set"]["direct"] == "1" && facts["one_set"]["neutral"] == "loose"
    }),
    ("elements never make more than", |facts| {
        list(facts, "limits").iter().all(|limit| {
            let counts = list(facts, "counts").iter();
            let here = counts.filter(|count| count["elements"] == limit["elements"]);
            let most = here.map(|count| count["states"].as_u64().unwrap()).max().unwrap();
            limit["most_forward"] == most && limit["most_gears"] == most - 1
        })
    }),
    ("all six ways", |facts| {
        let holds = list(&facts["shortcut"], "holds");
        holds.len() == 6 && holds.iter().all(|case| case["shortcut"] == case["ratio"])
    }),
];

/// Sentences that say what a word, a mark or a method means, and claim nothing of a result.
const MEANINGS: [&str; 12] = [
    "So of the six ways only those count",
    "Take for each number of sets the layout that its chapter shows",
    "All states",
    "Loose: too few constraints",
    "not only which member of one set is held",
    "That there are not more is",
    "that there are not more is not proved. A filled mark is proved.",
    "Other kinds of layouts were not searched, and nothing is said of them",
    "whether all were searched for so many gears",
    "and that is",
    "That there is none is not proved",
    "among layouts of which none could be drawn",
];

/// Layouts of all families that were searched, each family counted once.
fn layouts(facts: &Value, counts: fn(&Value) -> bool) -> u64 {
    let family = |search: &Value| {
        ["sets", "shafts", "elements", "bare_input"].map(|key| search[key].to_string())
    };
    let searches = list(facts, "searches").iter().filter(|search| counts(search));
    let families = searches.map(|search| (family(search), search["layouts"].as_u64().unwrap()));
    families.collect::<std::collections::BTreeMap<_, _>>().values().sum()
}

fn list<'a>(value: &'a Value, key: &str) -> &'a Vec<Value> {
    value[key].as_array().unwrap_or_else(|| panic!("no list {key}"))
}

fn output<'a>(facts: &'a Value, letter: &str) -> &'a Value {
    let mut outputs = list(&facts["one_set"], "outputs").iter();
    outputs.find(|output| output["output"] == letter).unwrap()
}

fn ways<'a>(facts: &'a Value, output: &'a str) -> impl Iterator<Item = &'a Value> {
    list(&facts["one_set"], "ways").iter().filter(move |way| way["output"] == output)
}

fn within(value: f64, window: &Value) -> bool {
    value >= window[0].as_f64().unwrap() - 1e-9 && value <= window[1].as_f64().unwrap() + 1e-9
}

/// 1 + ρ, 1 + 1/ρ and 1 are a ladder of the band for the base ratios that are named, and for no
/// others of the catalogue.
fn three_gears_lie_in_the_band(facts: &Value) -> bool {
    let band = &facts["band"];
    let serves = |rho: f64| {
        let ratios = [1.0 + rho, 1.0 + 1.0 / rho, 1.0];
        within(ratios[0], &band["first"])
            && within(ratios[2], &band["top"])
            && ratios.windows(2).all(|pair| within(pair[0] / pair[1], &band["step"]))
    };
    let all = list(&facts["catalogue"], "base_ratios").iter();
    let serving: Vec<f64> = all.filter_map(Value::as_f64).filter(|&rho| serves(rho)).collect();
    let told = &output(facts, "C")["forward"];
    let named: Vec<f64> = list(told, "base_ratios").iter().filter_map(Value::as_f64).collect();
    let near = |(a, b): (&f64, &f64)| (a - b).abs() < 1e-9;
    told["gears"] == 3 && named.len() == serving.len() && named.iter().zip(&serving).all(near)
}

/// Texts of paragraphs, cells and headings: without formulas, pictures and what has its source.
fn texts(page: &str) -> Vec<String> {
    let mut page = page.to_owned();
    for tag in ["style", "svg", "math", "title", "data"] {
        while let Some(start) = page.find(&format!("<{tag}")) {
            let close = format!("</{tag}>");
            let end = page[start..].find(&close).unwrap() + start + close.len();
            page.replace_range(start..end, "");
        }
    }
    for block in ["<p", "<td", "<th", "<h", "<div", "<footer"] {
        page = page.replace(block, &format!("\u{1}{block}"));
    }
    let plain = |block: &str| {
        let mut inside = false;
        let outside = |c: &char| match c {
            '<' => {
                inside = true;
                false
            }
            '>' => !std::mem::take(&mut inside),
            _ => !inside,
        };
        block.chars().filter(outside).collect::<String>()
    };
    page.split('\u{1}').map(plain).collect()
}

fn claims(text: &str) -> bool {
    let words = text.split(|c: char| !c.is_alphabetic());
    words.map(str::to_lowercase).any(|word| CLAIMS.contains(&word.as_str()))
}

/// Values with their sources: words that claim much are those of the facts.
fn sourced_words(page: &str, facts: &Value) -> usize {
    let attribute = |tag: &str, name: &str| {
        let rest = &tag[tag.find(&format!("{name}=\"")).unwrap() + name.len() + 2..];
        rest[..rest.find('"').unwrap()].to_owned()
    };
    let mut seen = 0;
    for rest in page.split("<data ").skip(1) {
        let tag = &rest[..rest.find('>').unwrap()];
        let (word, from) = (attribute(tag, "value"), attribute(tag, "data-from"));
        let fact = facts.pointer(&from).unwrap_or_else(|| panic!("no {from}"));
        let holds = match word.to_lowercase().as_str() {
            "none" => *fact == 0,
            "all" | "proved" => *fact == true,
            "some" | "not proved" => *fact == false,
            _ => continue,
        };
        assert!(holds, "{word} from {from}: {fact}");
        seen += 1;
    }
    seen
}

/// A number of gears that is none, and those that are proved, are so by every search of the
/// facts: none of them found more, and where it is proved none left anything undecided.
fn entries_stand_on_searches(facts: &Value) {
    for entry in list(facts, "entries") {
        let number = |value: &Value, key: &str| value[key].as_u64().unwrap();
        let here = list(facts, "searches").iter().filter(|search| {
            number(search, "sets") <= number(entry, "sets")
                && number(search, "elements") <= number(entry, "elements")
                // A layout that serves a stronger wish serves the entry's.
                && (search["reverse"] == true || entry["reverse"] == false)
                && (search["single_swap"] == true || entry["single_swap"] == false)
        });
        for search in here.filter(|search| number(search, "gears") > number(entry, "gears")) {
            assert!(entry["must_nest"] == true || search["found"] == 0, "{search} {entry}");
            let asked = search["reverse"] == entry["reverse"]
                && search["single_swap"] == entry["single_swap"];
            let open = number(search, "undecided_classes") > 0;
            assert!(!(asked && open && entry["proved"] == true), "{search} {entry}");
        }
    }
}

fn every_claim_is_borne_out(folder: &Path) -> usize {
    let read = |name: &str| std::fs::read_to_string(folder.join(name)).unwrap();
    let (page, facts) = (read("study.html"), read("study.json"));
    let facts: Value = serde_json::from_str(&facts).unwrap();
    for text in texts(&page) {
        for (part, holds) in BORNE_OUT {
            assert!(!text.contains(part) || holds(&facts), "not so: {text}");
        }
        let known = BORNE_OUT.iter().map(|(part, _)| *part).chain(MEANINGS);
        let known = known.into_iter().any(|part| text.contains(part));
        assert!(known || !claims(&text), "a claim without a fact: {text}");
    }
    entries_stand_on_searches(&facts);
    sourced_words(&page, &facts)
}

fn made(brief: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("small.toml");
    std::fs::write(&path, brief).unwrap();
    let out = folder.path().join("out");
    let arguments = ["study", path.to_str().unwrap(), "--quiet", "--out", out.to_str().unwrap()];
    assert_eq!(answer(&arguments), "");
    folder
}

#[test]
fn every_claim_of_the_page_is_borne_out() {
    let small = made(SMALL);
    assert!(every_claim_is_borne_out(&small.path().join("out")) > 20);
    // One set has gears with a reverse here, and the page does not say otherwise.
    let wide = made(WIDE);
    let out = wide.path().join("out");
    every_claim_is_borne_out(&out);
    let page = std::fs::read_to_string(out.join("study.html")).unwrap();
    assert!(page.contains("one set also makes") && !page.contains("What one set cannot do"));
    // Without a reverse there is no column for one, and no word about one set's lack of it.
    let forward = made(&SMALL.replace("[study]", "[band]\nreverse = \"none\"\n[study]"));
    let out = forward.path().join("out");
    every_claim_is_borne_out(&out);
    let page = std::fs::read_to_string(out.join("study.html")).unwrap();
    assert!(!page.contains("with a reverse besides") && !page.contains("What one set cannot do"));
}

/// What the laws of one set say and what the search of all its wirings finds is the same.
#[test]
fn one_set_by_law_and_by_search() {
    for brief in [SMALL, WIDE] {
        let folder = made(brief);
        let facts = std::fs::read_to_string(folder.path().join("out/study.json")).unwrap();
        let facts: Value = serde_json::from_str(&facts).unwrap();
        for (reverse, ladder) in [(false, "forward"), (true, "with_reverse")] {
            let outputs = list(&facts["one_set"], "outputs").iter();
            let by_law = outputs.map(|output| output[ladder]["gears"].as_u64().unwrap()).max();
            let entry = list(&facts, "entries").iter().find(|entry| {
                entry["sets"] == 1
                    && entry["elements"] == 4
                    && entry["reverse"] == reverse
                    && entry["single_swap"] == false
                    && entry["must_nest"] == false
            });
            assert_eq!(entry.unwrap()["gears"].as_u64(), by_law, "{brief} {ladder}");
        }
    }
}
