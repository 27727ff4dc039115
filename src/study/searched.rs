//! What came of one search of a study.

use std::cmp::Ordering;

use serde::{Deserialize, Serialize};

use crate::brief::{Family, StudySearch};
use crate::num::to_f64;
use crate::score::Criterion;
use crate::search::{Finding, Findings};
use crate::train::write_layout;

/// One search: a family of layouts, asked for a number of gears.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Searched {
    pub sets: u8,
    pub shafts: u8,
    pub elements: u8,
    /// Elements that a gear engages.
    pub engaged: u8,
    /// Whether the input is a shaft without members.
    pub bare_input: bool,
    /// Forward gears that were asked for.
    pub gears: u8,
    /// Whether a reverse was asked for besides.
    pub reverse: bool,
    pub single_swap: bool,
    pub cores: u64,
    pub layouts: u64,
    /// The funnel of the search.
    pub funnel: Vec<Passed>,
    /// Classes of layouts for which all base ratios of the catalogue were tried or excluded.
    pub complete_classes: u64,
    /// Classes for which a pattern search sought base ratios.
    pub sampled_classes: u64,
    /// Classes for which the effort was spent before base ratios were found or excluded.
    pub undecided_classes: u64,
    /// Choices of layout and teeth that serve.
    pub found: u64,
    /// The best of them, one for each aim that something reaches.
    pub best: Vec<Found>,
}

/// One test of a funnel.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Passed {
    pub test: String,
    #[serde(rename = "in")]
    pub entered: u64,
    #[serde(rename = "out")]
    pub left: u64,
}

/// What is sought among the layouts that serve.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Aim {
    /// The largest spread; of equal ones the evener.
    Widest,
    /// The smallest step deviation; of equal ones the wider.
    Evenest,
}

impl Aim {
    pub const ALL: [Self; 2] = [Self::Widest, Self::Evenest];
}

/// A layout with teeth and gears, the best for an aim.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Found {
    pub aim: Aim,
    /// Whether only layouts that pass the nesting test were asked.
    pub must_nest: bool,
    pub nests: bool,
    /// The canonical spelling of its wiring.
    pub canonical: String,
    pub spread: f64,
    /// max_k |ln φ_k − ln φ*_k| against equal steps.
    pub deviation: f64,
    pub gears: Vec<FoundGear>,
    /// Layout file.
    pub layout: String,
}

/// A gear with its exact ratio `"p/q"`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct FoundGear {
    pub gear: String,
    pub engaged: Vec<String>,
    pub ratio: String,
    /// The same as a float.
    pub value: f64,
}

impl Searched {
    /// What a search found, boiled down to its best layouts.
    pub fn of(search: &StudySearch, findings: &Findings) -> Self {
        let family = search.family;
        let passed = |passage: &crate::search::Passage| Passed {
            test: passage.test.to_owned(),
            entered: passage.entered,
            left: passage.left,
        };
        Self {
            sets: family.sets,
            shafts: family.shafts,
            elements: family.elements,
            engaged: family.engaged(),
            bare_input: family.bare_input,
            gears: search.gears,
            reverse: search.reverse,
            single_swap: search.single_swap,
            cores: findings.cores,
            layouts: findings.layouts,
            funnel: findings.passages.iter().map(passed).collect(),
            complete_classes: findings.solved.0,
            sampled_classes: findings.solved.1,
            undecided_classes: findings.undecided,
            found: findings.found as u64,
            best: best(&findings.findings),
        }
    }

    /// Whether nothing was found and nothing left undecided: proved that there is nothing.
    pub fn proves_none(&self) -> bool {
        self.found == 0 && self.undecided_classes == 0
    }

    /// Whether it was of a family.
    pub fn is_of(&self, family: &Family) -> bool {
        (self.sets, self.shafts, self.elements, self.bare_input)
            == (family.sets, family.shafts, family.elements, family.bare_input)
    }

    /// Whether it proves that a search of the same family finds nothing: what is out of reach
    /// without a reverse is so with one, what no shift reaches no single swap does.
    pub fn excludes(&self, search: &StudySearch) -> bool {
        let weaker = self.reverse <= search.reverse && self.single_swap <= search.single_swap;
        self.is_of(&search.family) && self.gears == search.gears && weaker && self.proves_none()
    }

    /// Whether no other base ratios of the catalogue serve better than those found.
    pub fn is_complete(&self) -> bool {
        self.sampled_classes == 0 && self.undecided_classes == 0
    }
}

fn best(findings: &[Finding]) -> Vec<Found> {
    let mut best = Vec::new();
    for must_nest in [false, true] {
        for aim in Aim::ALL {
            let fitting = findings.iter().filter(|finding| !must_nest || nests(finding));
            let first = fitting.min_by(|a, b| {
                aim.compare(values(a), values(b))
                    .then_with(|| a.spare_element.cmp(&b.spare_element))
                    .then_with(|| nests(b).cmp(&nests(a)))
                    .then_with(|| a.canonical.cmp(&b.canonical))
            });
            best.extend(first.map(|finding| found(finding, aim, must_nest)));
        }
    }
    best
}

impl Aim {
    /// `Less` where `a` is the better (spread, deviation). Rounded to what tables print, so that
    /// the last bit of a float decides nothing.
    pub fn compare(self, a: (f64, f64), b: (f64, f64)) -> Ordering {
        let round = |value: f64| (value * 1e6).round();
        let spread = round(b.0).total_cmp(&round(a.0));
        let deviation = round(a.1).total_cmp(&round(b.1));
        match self {
            Self::Widest => spread.then(deviation),
            Self::Evenest => deviation.then(spread),
        }
    }
}

fn score(finding: &Finding, criterion: Criterion) -> f64 {
    let place = Criterion::ALL.iter().position(|&other| other == criterion);
    place.and_then(|place| finding.scores[place]).unwrap_or(f64::NAN)
}

fn values(finding: &Finding) -> (f64, f64) {
    (score(finding, Criterion::Spread), score(finding, Criterion::StepDeviation))
}

fn nests(finding: &Finding) -> bool {
    score(finding, Criterion::Nests) == 1.0
}

fn found(finding: &Finding, aim: Aim, must_nest: bool) -> Found {
    let (spread, deviation) = values(finding);
    let layout = &finding.layout;
    let gear = |(gear, ratio): (&crate::train::Gear, &crate::num::Fraction)| FoundGear {
        gear: gear.name.clone(),
        engaged: gear.engaged.iter().map(|element| layout.elements[element].name.clone()).collect(),
        ratio: ratio.to_string(),
        value: to_f64(ratio),
    };
    Found {
        aim,
        must_nest,
        nests: nests(finding),
        canonical: finding.canonical.clone(),
        spread,
        deviation,
        gears: layout.gears.iter().zip(&finding.ratios).map(gear).collect(),
        layout: write_layout(layout),
    }
}
