//! Search: a brief goes in, the record of a run comes out.

use std::time::Instant;

use crate::brief::Brief;
use crate::error::Error;
use crate::num::to_f64;
use crate::report::{Candidate, GearRow, Record, SpaceCount, Stage};
use crate::score::Criterion;
use crate::search::{Controls, Finding, Findings, Stop, run};

/// Searches what `brief` asks for. A run that was stopped gives a record too, of what was
/// found until then, with `complete` false.
///
/// # Errors
/// [`Error::Request`] when no set fits the tooth limits; [`Error::Nothing`] when the whole
/// space was searched and nothing meets the brief; [`Error::Work`] when threads cannot be
/// started.
pub fn search(brief: &Brief, controls: &Controls<'_>) -> Result<Record, Error> {
    let started = Instant::now();
    let findings = run(brief, controls)?;
    if findings.findings.is_empty() && findings.stop == Stop::Finished {
        return Err(Error::Nothing(why_nothing(&findings)));
    }
    Ok(record(brief, &findings, started.elapsed().as_secs_f64()))
}

/// Tells at which test the last layouts fell.
fn why_nothing(findings: &Findings) -> String {
    let mut text = format!("nothing meets the request: {} layouts were tried", findings.layouts);
    for passage in findings.passages.iter().filter(|passage| passage.entered > 0) {
        let fallen = passage.entered - passage.left.min(passage.entered);
        text += &format!("\n  {fallen} fell at \"{}\": {}", passage.test, passage.why);
    }
    text + "\n  mend: widen the windows, allow more elements or shafts, or loosen the limits"
}

fn record(brief: &Brief, findings: &Findings, elapsed_s: f64) -> Record {
    let stage = |passage: &crate::search::Passage| Stage {
        test: passage.test.to_owned(),
        entered: passage.entered,
        left: passage.left,
        why: passage.why.to_owned(),
    };
    let numbered = findings.findings.iter().enumerate();
    Record {
        title: brief.title.clone(),
        brief: brief.canonical_text(),
        request: brief.sentence(),
        version: env!("CARGO_PKG_VERSION").to_owned(),
        complete: findings.stop == Stop::Finished,
        stopped: findings.stop.word().to_owned(),
        coverage: coverage(brief, findings),
        space: SpaceCount {
            cores: findings.cores,
            layouts: findings.layouts,
            states: findings.states,
        },
        funnel: findings.passages.iter().map(stage).collect(),
        objectives: brief.objectives.clone(),
        criteria: Criterion::ALL.to_vec(),
        candidates: numbered.map(|(place, found)| candidate(place, found, findings)).collect(),
        front: (0..findings.front).collect(),
        elapsed_s,
    }
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
    }
}

/// What is exact, what is sampled, what is proved: one sentence each.
fn coverage(brief: &Brief, findings: &Findings) -> Vec<String> {
    let whole = findings.stop == Stop::Finished;
    let mut sentences = vec![if whole {
        format!(
            "Interconnections: complete. All {} layouts on all {} cores of the brief's families \
             were judged, one of each up to renumbering the sets.",
            findings.layouts, findings.cores
        )
    } else {
        format!(
            "NOT COMPLETE: the run stopped before its end ({}). What is shown was found until \
             then; nothing is said about the rest.",
            findings.stop.word()
        )
    }];
    sentences.push(
        "Discarded layouts: proved. Too few different ratios is decided in exact integer \
         algebra; no fitting base ratios is decided by bounds that hold over whole boxes of base \
         ratios (floats rounded outward), down to the single sets of the catalogue."
            .to_owned(),
    );
    sentences.push(match findings.undecided {
        0 => "Undecided classes of layouts: none.".to_owned(),
        some => format!(
            "Undecided: {some} classes of layouts (the effort of the brief was spent before teeth \
             were found or excluded); raise effort.samples or set effort.prove = true."
        ),
    });
    let (sets, ratios) = findings.catalogue;
    sentences.push(format!(
        "Teeth: sampled. For each class of layouts a pattern search looked for the widest spread \
         and the evenest steps among {sets} sets of {ratios} different base ratios that meet \
         every tooth condition; a better choice of teeth may exist."
    ));
    sentences.push(
        "Ratios, speeds and lossless torques of what is shown: exact, in fractions of tooth \
         counts. Efficiencies are estimates from the mesh efficiencies of the brief."
            .to_owned(),
    );
    if findings.found > findings.findings.len() {
        let kept = findings.findings.len();
        sentences.push(format!(
            "Of {} choices of layout and teeth, the first {kept} are listed (effort.keep = {}).",
            findings.found, brief.effort.keep
        ));
    }
    sentences
}
