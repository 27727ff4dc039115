//! Search: a brief goes in, the record of a run comes out.

use std::time::Instant;

use super::accounts::{cut_short, tell};
use super::coverage::{coverage, loose_limits};
use crate::account::Basis;
use crate::brief::Brief;
use crate::error::Error;
use crate::folder::Extent;
use crate::num::{grouped, to_f64};
use crate::program::VERSION;
use crate::report::{Candidate, FrontProof, GearRow, Kind, ProvedGap, Record, SpaceCount, Stage};
use crate::score::Criterion;
use crate::search::{
    Controls, Course, Finding, Findings, Gap, Limits, NO_TEETH, NoLedger, Passage, Stop, UnitCount,
    Watch, is_proved, run_watched,
};

/// Searches all that `brief` asks for: [`search_course`] without a ledger.
///
/// # Errors
/// As [`search_course`].
pub fn search(brief: &Brief, controls: &Controls<'_>) -> Result<Record, Error> {
    let limits = Limits::default();
    search_course(brief, controls, Course { units: None, limits, ledger: &mut NoLedger })
}

/// Searches the units of `brief` that `course` names. A run that was stopped gives a record
/// too, of what was found until then, with `complete` false.
///
/// # Errors
/// [`Error::Request`] when no set fits the tooth limits or there are no such units;
/// [`Error::Interrupted`] when it was stopped before it began; [`Error::Nothing`] when all that
/// was asked for was searched and nothing meets the brief; [`Error::Work`] when threads cannot be
/// started or the ledger cannot be written.
pub fn search_course(
    brief: &Brief,
    controls: &Controls<'_>,
    course: Course<'_>,
) -> Result<Record, Error> {
    let started = Instant::now();
    let watch = Watch::new(brief, course.limits, controls);
    let findings = run_watched(brief, &watch, course)?;
    if findings.has_no_plan() && findings.stop == Stop::Interrupted {
        return Err(Error::Interrupted("interrupted before the search began".to_owned()));
    }
    if findings.findings.is_empty() && findings.stop == Stop::Finished {
        return Err(Error::Nothing(why_nothing(brief, &findings)));
    }
    let mut record = record(brief, &findings);
    let stop = tell(&mut record, &Basis::from(brief), findings.stop, &watch)?;
    if findings.stop == Stop::Finished && stop != Stop::Finished {
        cut_short(&mut record, stop);
    }
    record.elapsed_s = started.elapsed().as_secs_f64();
    Ok(record)
}

/// Tells at which tests the layouts fell, and whether that settles the matter.
fn why_nothing(brief: &Brief, findings: &Findings) -> String {
    let loose = fallen_at(findings, NO_TEETH) > 0 && !loose_limits(brief).is_empty();
    let open = findings.undecided > 0 || fallen_at(findings, LIMITS) > 0 || loose;
    let verdict =
        if open { "nothing found meets the request" } else { "nothing meets the request" };
    let UnitCount { asked, all, .. } = &findings.units;
    let part = match findings.units.is_part() {
        true => format!(" in units {}..{} of {}", asked.start, asked.end, grouped(*all as u64)),
        false => String::new(),
    };
    let mut text = format!("{verdict}{part}: {} layouts were tried", grouped(findings.layouts));
    let mut last = "";
    for passage in &findings.passages {
        let fallen = fallen(passage);
        if fallen > 0 {
            last = passage.test;
            let fallen = grouped(fallen);
            text += &format!("\n  {fallen} fell at \"{}\", which asks: {}", last, passage.why);
        }
    }
    if open {
        text += "\n  not proved: those that fell last did so with the teeth that were tried; \
                 others might do";
    }
    if findings.units.is_part() {
        text +=
            "\n  nothing is said about the other units, and what is finished stays in the folder";
        return format!("{text}\n  mend: search other units, or all of them (without --units)");
    }
    format!("{text}\n  mend: {}", mend(last))
}

/// What to change when the last layouts fell at `test`.
fn mend(test: &str) -> &'static str {
    match test {
        "different useful ratios" => {
            "widen gears.first, gears.top and gears.reverse_ratio, allow more elements or other \
             shafts, or ask for fewer gears"
        }
        "directions and windows" => {
            "widen gears.first, gears.top and gears.reverse_ratio (or targets.tolerance), allow \
             more elements or shafts"
        }
        "ladder in a cell" | "ladder in the catalogue" => {
            "widen gears.step, gears.spread or the limits in [teeth], allow more elements or shafts"
        }
        UNDECIDED => "raise effort.samples, or write effort.prove = true",
        LIMITS | NO_TEETH => {
            "loosen [limits], or ask by windows in [gears] and [teeth] what these can say"
        }
        _ => "widen the windows, allow more elements or shafts, or loosen the limits",
    }
}

/// Names of tests in the funnel about which more is said.
pub(super) const LIMITS: &str = "limits";
const UNDECIDED: &str = "undecided";

fn fallen(passage: &Passage) -> u64 {
    passage.entered.saturating_sub(passage.left)
}

pub(super) fn fallen_at(findings: &Findings, test: &str) -> u64 {
    findings.passages.iter().filter(|passage| passage.test == test).map(fallen).sum()
}

fn record(brief: &Brief, findings: &Findings) -> Record {
    // That all were decided is said in the coverage; a test that nothing failed is noise.
    let told = |passage: &&Passage| passage.test != UNDECIDED || fallen(passage) > 0;
    let stage = |passage: &Passage| Stage {
        test: passage.test.to_owned(),
        entered: passage.entered,
        left: passage.left,
        why: passage.why.to_owned(),
    };
    let numbered = findings.findings.iter().enumerate();
    let spent = &findings.spent;
    Record {
        kind: Kind::Search,
        title: brief.title.clone(),
        brief: brief.canonical_text(),
        request: brief.sentence(),
        version: VERSION.to_owned(),
        complete: findings.stop == Stop::Finished && !findings.units.is_part(),
        extent: extent(findings),
        stopped: findings.stop.word().to_owned(),
        coverage: coverage(brief, findings),
        space: SpaceCount {
            cores: findings.cores,
            layouts: findings.layouts,
            states: findings.states,
        },
        funnel: findings.passages.iter().filter(told).map(stage).collect(),
        objectives: brief.objectives.clone(),
        criteria: Criterion::ALL.to_vec(),
        candidates: numbered.map(|(place, found)| candidate(place, found, findings)).collect(),
        found: findings.found as u64,
        front: (0..findings.front).collect(),
        shown: brief.show.min(findings.front),
        proof: Some(proof(brief, findings)),
        elapsed_s: 0.0,
        spent_s: [spent.sift, spent.solve, spent.score].map(|time| time.as_secs_f64()),
    }
}

/// What is proved of the front, as data.
fn proof(brief: &Brief, findings: &Findings) -> FrontProof {
    let proof = &findings.proof;
    let told = |gap: Gap| ProvedGap { ln_spread: gap.log_spread, step_deviation: gap.deviation };
    let proved = brief.objectives.iter().filter(|objective| is_proved(**objective));
    FrontProof {
        objectives: proved.map(|objective| objective.name()).collect(),
        gap: told(proof.gap),
        reached: reached(findings).map(told),
        classes: proof.ended,
        open: proof.open + findings.uncounted,
        boxes: proof.boxes,
        points: proof.points,
    }
}

/// The gap by which nothing in all that the run was asked for beats the front, where that is
/// proved.
pub(super) fn reached(findings: &Findings) -> Option<Gap> {
    let whole = findings.stop == Stop::Finished && findings.uncounted == 0;
    let spare = findings.findings[..findings.front].iter().any(|finding| finding.spare_element);
    findings.proof.reached.filter(|_| whole && (findings.proof.with_idle || !spare))
}

/// The units of work that the findings rest on.
fn extent(findings: &Findings) -> Extent {
    let units = &findings.units;
    if findings.stop == Stop::Finished && !units.is_part() {
        return Extent::WHOLE;
    }
    Extent::part(units.asked.start as u64, (units.asked.start + units.done) as u64)
}

/// Ids: `F01` … on the front, `C00001` … behind it, in the order of the record.
fn candidate(place: usize, finding: &Finding, findings: &Findings) -> Candidate {
    let id = if place < findings.front {
        format!("F{:02}", place + 1)
    } else {
        format!("C{:05}", place + 1 - findings.front)
    };
    let layout = &finding.layout;
    let row = |(gear, ratio): (&crate::train::Gear, &crate::num::Fraction)| GearRow {
        name: gear.name.clone(),
        engaged: gear.engaged.iter().map(|element| layout.elements[element].name.clone()).collect(),
        ratio: ratio.clone(),
        value: to_f64(ratio),
    };
    Candidate {
        id,
        canonical: finding.canonical.clone(),
        gears: layout.gears.iter().zip(&finding.ratios).map(row).collect(),
        layout: layout.clone(),
        scores: finding.scores.clone(),
        twins: finding.twins.clone(),
        account: None,
        workshop: None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::search::Quiet;
    use std::sync::atomic::AtomicBool;

    const CRANK: &str = "[space]\nsets = 2\nshafts = [4, 5]\nelements = [2, 3]\n\
                         [gears]\nforward = 2\nreverse = 0\n";

    fn asked(more: &str) -> (Brief, Result<Record, Error>) {
        let brief = Brief::parse(&format!("{CRANK}{more}"), "crank").unwrap();
        let stop = AtomicBool::new(false);
        let record = search(&brief, &Controls { threads: Some(1), stop: &stop, progress: &Quiet });
        (brief, record)
    }

    fn told(record: &Record, beginning: &str) -> bool {
        record.coverage.iter().any(|sentence| sentence.starts_with(beginning))
    }

    #[test]
    fn what_is_left_out_or_not_sought_is_said() {
        let (_, record) = asked("");
        let record = record.unwrap();
        // Two elements on five shafts make one state: too few for two gears.
        let left_out = "Left out, having fewer states than the 2 gears wanted: 2 sets on 5 shafts \
                        with 2 elements.";
        assert!(told(&record, left_out), "{:?}", record.coverage);
        assert!(!told(&record, "Scored, not sought"));
        let (_, record) = asked("[score]\nobjectives = [\"spread\", \"worst_efficiency\"]\n");
        assert!(told(&record.unwrap(), "Scored, not sought: worst efficiency."));
    }

    #[test]
    fn the_funnel_has_no_test_of_effort_that_nothing_failed() {
        let (_, record) = asked("");
        let record = record.unwrap();
        assert!(told(&record, "Undecided classes of layouts: none."));
        assert!(record.funnel.iter().all(|stage| stage.test != UNDECIDED));
        assert!(record.funnel.len() > 4);
    }

    /// Limits are asked at some points only where few keep them.
    #[test]
    fn nothing_within_limits_is_no_proof() {
        let (_, nothing) = asked("[limits]\nmean_efficiency = { least = 1.0 }\n");
        let Err(Error::Nothing(text)) = nothing else { panic!("{nothing:?}") };
        assert!(text.starts_with("nothing found meets the request: "), "{text}");
        assert!(text.contains("not proved") && text.contains("loosen [limits]"), "{text}");
        let (_, nothing) =
            asked("first = [900, 1000]\ntop = [9, 20]\nspread = [50, 100]\nstep = [50, 100]\n");
        let Err(Error::Nothing(text)) = nothing else { panic!("{nothing:?}") };
        assert!(text.starts_with("nothing meets the request: "), "{text}");
        assert!(!text.contains("not proved") && text.contains("widen gears."), "{text}");
        assert!(!text.contains("\n  0 fell"), "{text}");
    }

    #[test]
    fn what_is_not_kept_is_still_counted() {
        let (_, record) = asked("[effort]\nkeep = 1\n");
        let record = record.unwrap();
        assert!(record.found > record.candidates.len() as u64);
        assert_eq!(record.candidates.len(), record.front.len().max(1));
    }
}
