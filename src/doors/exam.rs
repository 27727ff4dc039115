//! The door `exam`: a brief in, parallel papers with keys out.

use std::time::Instant;

use crate::brief::ExamBrief;
use crate::error::Error;
use crate::exam::{self, Exam, ExamPaper, NoPapers};
use crate::problem::Kind;
use crate::program::VERSION;
use crate::report::ExamRecord;
use crate::search::{Controls, Stop, Watch};

/// Makes the pool of a brief and chooses its papers.
///
/// # Errors
/// [`Error::Nothing`] with the bounds that clash where there are no such papers;
/// [`Error::Work`] where the work of the brief was done before that was known, or its time was
/// over before the papers were chosen; [`Error::Interrupted`] where it was stopped.
pub fn exam(brief: &ExamBrief, controls: &Controls<'_>) -> Result<ExamRecord, Error> {
    let started = Instant::now();
    let watch = Watch::timed(Some(brief.forms.seconds), controls);
    let stopped = || watch.should_stop();
    controls.progress.phase("making items", brief.pool as u64);
    let pool = exam::pool_unless(brief, &|| controls.progress.tick(1), &stopped);
    let pool = pool.ok_or_else(|| stopped_early(brief, &watch))?;
    controls.progress.phase("choosing papers", 0);
    let chosen = exam::choose_unless(&pool.items, &brief.forms, &stopped);
    // What a stopped choice gives is not what the brief makes, and so is nothing.
    if watch.stop() != Stop::Finished {
        return Err(stopped_early(brief, &watch));
    }
    let chosen = chosen.map_err(|none| no_papers(brief, &pool.exhausted, &none))?;
    let paper = |(name, items): (&String, &Vec<usize>)| ExamPaper {
        name: name.clone(),
        items: items.iter().map(|&item| pool.items[item].clone()).collect(),
    };
    let papers = brief.paper.names.iter().zip(&chosen.papers).map(paper).collect();
    Ok(ExamRecord {
        brief: brief.clone(),
        version: VERSION.to_owned(),
        exam: Exam {
            title: brief.title.clone(),
            level: brief.level,
            language: brief.paper.language.clone(),
            seed: brief.seed,
            papers,
        },
        pool: pool.items.len(),
        exhausted: pool.exhausted,
        target: chosen.target,
        deviation: chosen.deviation,
        bound: chosen.bound,
        elapsed_s: started.elapsed().as_secs_f64(),
    })
}

fn stopped_early(brief: &ExamBrief, watch: &Watch<'_>) -> Error {
    match watch.stop() {
        Stop::Interrupted => {
            Error::Interrupted("interrupted before the papers were chosen; none were made".into())
        }
        _ => Error::Work(format!(
            "after forms.seconds = {} the papers were not chosen, and none were made\n  mend: allow \
             more seconds, lower forms.work or exam.pool, or widen a bound",
            brief.forms.seconds
        )),
    }
}

fn no_papers(brief: &ExamBrief, exhausted: &[(Kind, usize)], none: &NoPapers) -> Error {
    match none {
        NoPapers::Clash(clash) => {
            let what = match (clash.single, brief.forms.forms) {
                (true, _) => "no paper meets the brief".to_owned(),
                (false, papers) => format!("there are no {papers} such papers"),
            };
            let few = exhausted.iter().map(|(kind, count)| {
                let kind = kind.word();
                format!("exam.kinds: numbers, teeth and topics leave only {count} items of {kind}")
            });
            let lines: Vec<String> = clash.lines().into_iter().chain(few).collect();
            Error::Nothing(format!("{what}; these bounds clash:\n  {}", lines.join("\n  ")))
        }
        NoPapers::Undecided => Error::Work(format!(
            "within forms.work = {} it was not decided whether there are such papers\n  mend: \
             allow more work, widen a bound, or lower exam.pool",
            brief.forms.work
        )),
    }
}
