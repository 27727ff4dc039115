//! What a class tells of its items: how hard they were, how well they part good from weak,
//! and which misconceptions occur how often.

use std::collections::BTreeMap;

use serde::Serialize;

use super::StudentMarks;
use crate::exam::sitting::Exam;
use crate::num::to_f64;
use crate::problem::{Kind, Misconception};

/// Fewest students for a correlation: with fewer it says nothing.
const FEWEST: usize = 5;

/// What the answers of a class show.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ClassReport {
    pub students: usize,
    /// Mean share of the points, 0 to 1, of each paper that was sat: name, students, share.
    pub papers: Vec<(String, usize, f64)>,
    pub items: Vec<ItemReport>,
    /// How often each misconception showed, most often first.
    pub misconceptions: Vec<(Misconception, usize)>,
}

/// One item on one paper.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ItemReport {
    pub paper: String,
    /// From 1.
    pub number: usize,
    pub id: String,
    pub kind: Kind,
    /// Difficulty points by what must be done, as the paper was made.
    pub predicted: u32,
    /// Students whose answers are all marked.
    pub students: usize,
    /// Mean share of the item's points, 0 (nobody) to 1 (everybody right); the easier, the
    /// higher. Source: F. M. Lord, M. R. Novick, Statistical Theories of Mental Test Scores
    /// (1968), chapter 15: item difficulty of classical test theory.
    pub share: Option<f64>,
    /// Correlation of the item's share with the points of all other items of the paper, −1
    /// to 1: below 0.2 it parts good from weak students poorly. `None` for fewer than five
    /// students or where all did alike. Source: the same, corrected item-total correlation.
    pub discrimination: Option<f64>,
    pub misconceptions: Vec<(Misconception, usize)>,
}

/// The report over all marked scripts of an exam.
pub fn class_report(exam: &Exam, marks: &[StudentMarks]) -> ClassReport {
    let of_paper = |name: &str| -> Vec<&StudentMarks> {
        marks.iter().filter(|one| one.paper == name).collect()
    };
    let sat = exam.papers.iter().filter(|paper| !of_paper(&paper.name).is_empty());
    let papers = sat.clone().map(|paper| {
        let shares: Vec<f64> = of_paper(&paper.name).into_iter().map(total_share).collect();
        (paper.name.clone(), shares.len(), mean(&shares))
    });
    let items = sat.clone().flat_map(|paper| {
        let scripts = of_paper(&paper.name);
        paper.items.iter().enumerate().map(move |(index, item)| {
            let pairs: Vec<(f64, f64)> = scripts
                .iter()
                .filter_map(|one| Some((one.share(index)?, rest(one, index))))
                .collect();
            let shares: Vec<f64> = pairs.iter().map(|pair| pair.0).collect();
            ItemReport {
                paper: paper.name.clone(),
                number: index + 1,
                id: item.id.clone(),
                kind: item.kind,
                predicted: item.difficulty(),
                students: pairs.len(),
                share: (!shares.is_empty()).then(|| mean(&shares)),
                discrimination: correlation(&pairs),
                misconceptions: counted(&scripts, Some(index)),
            }
        })
    });
    ClassReport {
        students: marks.len(),
        papers: papers.collect(),
        items: items.collect(),
        misconceptions: counted(&marks.iter().collect::<Vec<_>>(), None),
    }
}

/// Misconceptions of all items or of one, most often first, then by name.
fn counted(marks: &[&StudentMarks], item: Option<usize>) -> Vec<(Misconception, usize)> {
    let mut counts: BTreeMap<Misconception, usize> = BTreeMap::new();
    let all = marks.iter().flat_map(|one| &one.marks);
    for mark in all.filter(|mark| item.is_none_or(|item| mark.item == item)) {
        if let Some(misconception) = mark.misconception {
            *counts.entry(misconception).or_default() += 1;
        }
    }
    let mut sorted: Vec<_> = counts.into_iter().collect();
    sorted.sort_by_key(|&(misconception, count)| (std::cmp::Reverse(count), misconception));
    sorted
}

fn total_share(marks: &StudentMarks) -> f64 {
    to_f64(&marks.total()) / to_f64(&marks.of()).max(f64::MIN_POSITIVE)
}

/// Points of all other items.
fn rest(marks: &StudentMarks, item: usize) -> f64 {
    let others = marks.marks.iter().filter(|mark| mark.item != item);
    others.filter_map(|mark| mark.points.as_ref()).map(to_f64).sum()
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len().max(1) as f64
}

/// Pearson's correlation.
fn correlation(pairs: &[(f64, f64)]) -> Option<f64> {
    if pairs.len() < FEWEST {
        return None;
    }
    let (a, b): (Vec<f64>, Vec<f64>) = pairs.iter().copied().unzip();
    let (mean_a, mean_b) = (mean(&a), mean(&b));
    let sum = |one: &[f64], m: f64, other: &[f64], n: f64| -> f64 {
        one.iter().zip(other).map(|(x, y)| (x - m) * (y - n)).sum()
    };
    let both = sum(&a, mean_a, &b, mean_b);
    let scale = (sum(&a, mean_a, &a, mean_a) * sum(&b, mean_b, &b, mean_b)).sqrt();
    (scale > 1e-12).then(|| both / scale)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Five pairs by hand: deviations (−2 −1 0 1 2) and (−2 −1 1 0 2) give 9 / 10.
    #[test]
    fn correlation_is_that_of_the_textbooks() {
        let pairs = [(1.0, 1.0), (2.0, 2.0), (3.0, 4.0), (4.0, 3.0), (5.0, 5.0)];
        assert!((correlation(&pairs).unwrap() - 0.9).abs() < 1e-12);
        assert_eq!(correlation(&pairs[..4]), None);
        assert_eq!(correlation(&[(1.0, 2.0); 6]), None);
    }
}
