//! The package for learning platforms, held to the shape that QTI 3.0 asks for: elements, where
//! they may stand, attributes, names that refer to each other; and its scoring, worked out here
//! with the right answers.
//!
//! No registry package carries the published schema, so its rules for what we write are told
//! here: a table of elements with their parents and attributes.

use std::collections::{BTreeMap, BTreeSet};

use crate::common::exam::brief;
use coaxle::exam::{Exam, ExamPaper, pool};
use coaxle::paper::{Words, package};
use coaxle::problem::{Answer, Kind, Level};
use roxmltree::{Document, Node};

const QTI: &str = "http://www.imsglobal.org/xsd/imsqtiasi_v3p0";
const MATHML: &str = "http://www.w3.org/1998/Math/MathML";

/// Element, elements that it may stand in, attributes that it must have.
const SHAPE: [(&str, &[&str], &[&str]); 40] = [
    (
        "qti-response-declaration",
        &["qti-assessment-item"],
        &["identifier", "cardinality", "base-type"],
    ),
    ("qti-correct-response", &["qti-response-declaration"], &[]),
    ("qti-value", &["qti-correct-response", "qti-default-value"], &[]),
    (
        "qti-outcome-declaration",
        &["qti-assessment-item", "qti-assessment-test"],
        &["identifier", "cardinality", "base-type"],
    ),
    ("qti-default-value", &["qti-outcome-declaration"], &[]),
    ("qti-item-body", &["qti-assessment-item"], &[]),
    ("p", &["qti-item-body", "div"], &[]),
    ("div", &["qti-item-body"], &[]),
    ("img", &["p"], &["src", "alt"]),
    ("table", &["div"], &[]),
    ("tbody", &["table"], &[]),
    ("tr", &["tbody"], &[]),
    ("th", &["tr"], &[]),
    ("td", &["tr"], &[]),
    ("span", &["p", "td", "th", "qti-simple-choice"], &["class"]),
    ("qti-text-entry-interaction", &["p", "td"], &["response-identifier"]),
    ("qti-extended-text-interaction", &["div"], &["response-identifier"]),
    ("qti-choice-interaction", &["div"], &["response-identifier", "max-choices"]),
    ("qti-simple-choice", &["qti-choice-interaction"], &["identifier"]),
    ("qti-inline-choice-interaction", &["td"], &["response-identifier"]),
    ("qti-inline-choice", &["qti-inline-choice-interaction"], &["identifier"]),
    ("qti-response-processing", &["qti-assessment-item"], &[]),
    ("qti-response-condition", &["qti-response-processing"], &[]),
    ("qti-response-if", &["qti-response-condition"], &[]),
    ("qti-set-outcome-value", &["qti-response-if", "qti-outcome-processing"], &["identifier"]),
    ("qti-outcome-processing", &["qti-assessment-test"], &[]),
    ("qti-sum", &["qti-set-outcome-value"], &[]),
    (
        "qti-variable",
        &["qti-sum", "qti-match", "qti-equal", "qti-string-match", "qti-is-null"],
        &["identifier"],
    ),
    (
        "qti-base-value",
        &["qti-sum", "qti-equal", "qti-string-match", "qti-multiple"],
        &["base-type"],
    ),
    ("qti-match", &["qti-response-if", "qti-or"], &[]),
    ("qti-or", &["qti-response-if"], &[]),
    ("qti-equal", &["qti-response-if", "qti-or"], &["tolerance-mode", "tolerance"]),
    ("qti-string-match", &["qti-or"], &["case-sensitive"]),
    ("qti-is-null", &["qti-or"], &[]),
    ("qti-multiple", &["qti-match"], &[]),
    ("qti-correct", &["qti-match"], &["identifier"]),
    (
        "qti-test-part",
        &["qti-assessment-test"],
        &["identifier", "navigation-mode", "submission-mode"],
    ),
    ("qti-assessment-section", &["qti-test-part"], &["identifier", "title", "visible"]),
    ("qti-assessment-item-ref", &["qti-assessment-section"], &["identifier", "href"]),
    ("qti-test-variables", &["qti-sum"], &["variable-identifier"]),
];

fn exam() -> Exam {
    let paper = |level: Level| {
        let pool = pool(&brief(level, 320));
        ExamPaper { name: level.word().to_owned(), items: pool.items }
    };
    Exam {
        title: "Hollowfell <& winter> class".to_owned(),
        level: Level::Course,
        language: "en".to_owned(),
        seed: 1,
        papers: Level::ALL.map(paper).into_iter().map(distinct_ids).collect(),
    }
}

/// Both levels use the same names of items; an exam never does.
fn distinct_ids(mut paper: ExamPaper) -> ExamPaper {
    for item in &mut paper.items {
        item.id = format!("{}-{}", paper.name, item.id);
    }
    paper
}

fn is_name(text: &str) -> bool {
    let first = text.chars().next().is_some_and(|c| c.is_ascii_alphabetic() || c == '_');
    first && text.chars().all(|c| c.is_ascii_alphanumeric() || "-_.".contains(c))
}

fn assert_shape(name: &str, document: &Document<'_>) {
    for node in document.root_element().descendants().filter(Node::is_element) {
        let tag = node.tag_name();
        if tag.namespace() == Some(MATHML) {
            continue;
        }
        assert_eq!(tag.namespace(), Some(QTI), "{name}: {}", tag.name());
        if node == document.root_element() {
            continue;
        }
        let (_, parents, attributes) = SHAPE
            .iter()
            .find(|(element, ..)| *element == tag.name())
            .unwrap_or_else(|| panic!("{name}: {} is no element of ours", tag.name()));
        let parent = node.parent_element().unwrap().tag_name().name().to_owned();
        assert!(parents.contains(&parent.as_str()), "{name}: {} in {parent}", tag.name());
        for attribute in *attributes {
            assert!(node.has_attribute(*attribute), "{name}: {} lacks {attribute}", tag.name());
        }
        for attribute in ["identifier", "response-identifier", "variable-identifier"] {
            if let Some(value) = node.attribute(attribute) {
                assert!(is_name(value), "{name}: {value:?} is no identifier");
            }
        }
    }
}

type Values = BTreeMap<String, Vec<String>>;

fn children<'a>(node: Node<'a, 'a>) -> Vec<Node<'a, 'a>> {
    node.children().filter(Node::is_element).collect()
}

fn text_of(node: Node<'_, '_>) -> String {
    node.text().unwrap_or_default().trim().to_owned()
}

/// Whether a condition holds for these responses.
fn holds(node: Node<'_, '_>, given: &Values, right: &Values) -> bool {
    let inner = children(node);
    let values = |node: Node<'_, '_>| -> Vec<String> {
        match node.tag_name().name() {
            "qti-variable" => given[node.attribute("identifier").unwrap()].clone(),
            "qti-correct" => right[node.attribute("identifier").unwrap()].clone(),
            "qti-multiple" => children(node).into_iter().map(text_of).collect(),
            _ => vec![text_of(node)],
        }
    };
    match node.tag_name().name() {
        "qti-or" => inner.into_iter().any(|node| holds(node, given, right)),
        "qti-is-null" => values(inner[0]).is_empty(),
        "qti-match" => {
            let sorted = |node| values(node).into_iter().collect::<BTreeSet<_>>();
            !sorted(inner[0]).is_empty() && sorted(inner[0]) == sorted(inner[1])
        }
        "qti-string-match" => {
            values(inner[0]).first().map(|v| v.to_lowercase())
                == Some(values(inner[1])[0].to_lowercase())
        }
        "qti-equal" => {
            let number = |node| values(node).first().and_then(|text| text.parse::<f64>().ok());
            let tolerance: f64 =
                node.attribute("tolerance").unwrap().split(' ').next().unwrap().parse().unwrap();
            match (number(inner[0]), number(inner[1])) {
                (Some(a), Some(b)) => (a - b).abs() <= tolerance + 1e-9,
                _ => false,
            }
        }
        other => panic!("{other}"),
    }
}

fn score(document: &Document<'_>, given: &Values, right: &Values) -> f64 {
    let mut score = 0.0;
    let all = document.root_element().descendants();
    for condition in all.filter(|node| node.has_tag_name((QTI, "qti-response-if"))) {
        let inner = children(condition);
        if holds(inner[0], given, right) {
            let points = inner[1].descendants().find(|n| n.has_tag_name((QTI, "qti-base-value")));
            score += text_of(points.unwrap()).parse::<f64>().unwrap();
        }
    }
    score
}

#[test]
fn the_package_has_the_shape_of_the_standard_and_scores_right_answers() {
    let exam = exam();
    let files: BTreeMap<String, String> =
        package(&exam, &Words::of("en", false).unwrap()).unwrap().into_iter().collect();
    let manifest = Document::parse(&files["imsmanifest.xml"]).unwrap();
    let listed: BTreeSet<&str> = manifest
        .descendants()
        .filter(|n| n.tag_name().name() == "file")
        .map(|n| n.attribute("href").unwrap())
        .collect();
    let there: BTreeSet<&str> =
        files.keys().map(String::as_str).filter(|name| *name != "imsmanifest.xml").collect();
    assert_eq!(listed, there);
    let mut kinds = BTreeSet::new();
    for item in exam.papers.iter().flat_map(|paper| &paper.items) {
        kinds.insert(item.kind);
        let name = format!("items/{}.xml", item.id);
        let document = Document::parse(&files[&name]).unwrap_or_else(|e| panic!("{name}: {e}"));
        assert_shape(&name, &document);
        let root = document.root_element();
        let mut right = Values::new();
        for declared in
            root.children().filter(|n| n.has_tag_name((QTI, "qti-response-declaration")))
        {
            let values = declared.descendants().filter(|n| n.has_tag_name((QTI, "qti-value")));
            right.insert(
                declared.attribute("identifier").unwrap().to_owned(),
                values.map(text_of).collect(),
            );
        }
        let asked: BTreeSet<&str> =
            root.descendants().filter_map(|n| n.attribute("response-identifier")).collect();
        assert_eq!(asked, right.keys().map(String::as_str).collect(), "{name}");
        for choice in right.values().flatten().filter(|value| value.starts_with("RESPONSE-")) {
            assert!(
                root.descendants().any(|n| n.attribute("identifier") == Some(choice)),
                "{name}"
            );
        }
        // Right answers earn what a machine can give; no answers earn no more than ticks that
        // are rightly left away.
        let machine: u32 = item
            .parts
            .iter()
            .filter(|part| part.answer.is_marked_by_machine())
            .map(coaxle::problem::Part::points)
            .sum();
        let none: Values = right.keys().map(|id| (id.clone(), Vec::new())).collect();
        assert!((score(&document, &right, &right) - f64::from(machine)).abs() < 1e-6, "{name}");
        let empty_is_right = item.parts.iter().any(|part| {
            matches!(&part.answer, Answer::Names { accepted, .. } if accepted.iter().any(Vec::is_empty))
        });
        assert!(empty_is_right || score(&document, &none, &right) == 0.0, "{name}");
        let images = root.descendants().filter_map(|n| n.attribute("src"));
        for image in images {
            assert!(files.contains_key(image.trim_start_matches("../")), "{name}: {image}");
        }
    }
    assert_eq!(kinds.len(), Kind::ALL.len());
    for paper in &exam.papers {
        let name = format!("test-{}.xml", paper.name);
        let document = Document::parse(&files[&name]).unwrap();
        assert_shape(&name, &document);
        let refs =
            document.descendants().filter(|n| n.has_tag_name((QTI, "qti-assessment-item-ref")));
        assert!(
            refs.map(|n| n.attribute("href").unwrap()).eq(paper
                .items
                .iter()
                .map(|item| format!("items/{}.xml", item.id))
                .collect::<Vec<_>>()
                .iter()
                .map(String::as_str))
        );
    }
}
