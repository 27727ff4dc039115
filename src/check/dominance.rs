//! The tables against themselves: who beats whom by the printed objectives.

use super::findings::{Discrepancy, Scope, Verdict};
use super::standing::objective;
use super::written::{Row, WrittenResults};
use crate::front::beats;
use crate::num::grouped;

/// Adds the checks of dominance to `verdict`: no row beats a row of the front, and no candidate
/// that the front has no answer to is left off it.
pub fn judge_dominance(results: &WrittenResults, verdict: &mut Verdict) {
    let objectives = &results.brief.objectives;
    let point = |row: &Row| -> Vec<f64> {
        objectives.iter().map(|&criterion| objective(criterion, row.score(criterion))).collect()
    };
    let front: Vec<(&Row, Vec<f64>)> = results.front.iter().map(|row| (row, point(row))).collect();
    let behind = results.candidates.as_deref().unwrap_or(&[]);
    let behind: Vec<(&Row, Vec<f64>)> = behind.iter().map(|row| (row, point(row))).collect();

    let mut beaten = Vec::new();
    for (row, own) in &front {
        let all = front.iter().map(|other| ("front.csv", other));
        let all = all.chain(behind.iter().map(|other| ("candidates.csv", other)));
        if let Some((file, (by, other))) = all.into_iter().find(|(_, (_, other))| beats(other, own))
        {
            beaten.push(Discrepancy {
                file: "front.csv".into(),
                place: row.place(),
                what: format!("a row of the front is beaten by {} of {file}", by.place()),
                written: told(own),
                found: told(other),
            });
        }
    }
    let rows = front.len() + behind.len();
    let tried = format!(
        "{} rows of the front against {} rows, by {} objectives in six decimals",
        front.len(),
        grouped(rows as u64),
        objectives.len()
    );
    verdict.add("no row beats the front", Scope::Printed, tried, beaten);
    left_off(results, &front, &behind, verdict);
}

/// Candidates that no row of the front is as good as, and rows of the front that may not be
/// there for an element that no gear uses.
fn left_off(
    results: &WrittenResults,
    front: &[(&Row, Vec<f64>)],
    behind: &[(&Row, Vec<f64>)],
    verdict: &mut Verdict,
) {
    const CHECK: &str = "no candidate is left off the front";
    if results.candidates.is_none() {
        let why = "the folder has no candidates.csv";
        return verdict.add(CHECK, Scope::Left, why, Vec::new());
    }
    let useful = behind.iter().chain(front).any(|(row, _)| !row.has_spare_element());
    let mut found = Vec::new();
    for (row, own) in behind {
        let as_good = |other: &[f64]| other.iter().zip(own).all(|(other, own)| other <= own);
        let excused = useful && row.has_spare_element();
        if !excused && !front.iter().any(|(_, other)| as_good(other)) {
            found.push(Discrepancy {
                file: "candidates.csv".into(),
                place: row.place(),
                what: "no row of the front is as good in every objective".into(),
                written: "not on the front".into(),
                found: told(own),
            });
        }
    }
    for (row, own) in front.iter().filter(|(row, _)| useful && row.has_spare_element()) {
        found.push(Discrepancy {
            file: "front.csv".into(),
            place: row.place(),
            what: "an element is engaged in no gear: without it the layout does the same".into(),
            written: "on the front".into(),
            found: told(own),
        });
    }
    let tried = format!(
        "{} candidates; those with an element that no gear uses stay behind",
        grouped(behind.len() as u64)
    );
    verdict.add(CHECK, Scope::Printed, tried, found);
}

fn told(point: &[f64]) -> String {
    let numbers = point.iter().map(|value| value.abs().to_string());
    numbers.collect::<Vec<_>>().join(", ")
}
