//! The counts of the summary held against a count of our own.

use super::findings::{Discrepancy, Scope, Verdict};
use super::seatings::CoreSpace;
use super::written::WrittenResults;
use crate::num::grouped;

/// Adds the check of `space` in summary.json to `verdict`.
pub fn count_space(
    results: &WrittenResults,
    space: Option<&CoreSpace>,
    stopped: &dyn Fn() -> bool,
    verdict: &mut Verdict,
) {
    const CHECK: &str = "counts of the space";
    if !results.complete {
        let why = "the run says that it is not complete, so its counts are those of a part";
        return verdict.add(CHECK, Scope::Left, why, Vec::new());
    }
    let Some((space, counts)) = space.and_then(|space| Some((space, space.counts(stopped)?)))
    else {
        return verdict.add(CHECK, Scope::Left, "the time was over before", Vec::new());
    };
    let written = [results.space.cores, results.space.layouts, results.space.states];
    let names = ["space.cores", "space.layouts", "space.states"];
    let wrong = (0..3).filter(|&k| written[k] != counts[k]).map(|k| Discrepancy {
        file: "summary.json".into(),
        place: names[k].into(),
        what: "a count of the space is another".into(),
        written: grouped(written[k]),
        found: grouped(counts[k]),
    });
    let tried = format!(
        "{} cores, {} layouts, {} states, counted by orbits of {}",
        grouped(counts[0]),
        grouped(counts[1]),
        grouped(counts[2]),
        space.told()
    );
    verdict.add(CHECK, Scope::Exact, tried, wrong.collect());
}
