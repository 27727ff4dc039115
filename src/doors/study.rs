//! The door `study`: a brief in, the facts of a series of searches out.

use std::time::Instant;

use crate::brief::StudyBrief;
use crate::error::Error;
use crate::search::{Controls, Stop};
use crate::study::{StudyLedger, StudyRecord, run};

/// Makes all searches of a study, but for those that `ledger` recalls. A study that was stopped
/// gives a record too, of what was finished until then, with `complete` false.
///
/// # Errors
/// [`Error::Interrupted`] when it was stopped before it had anything to tell;
/// [`Error::Request`] when no set fits the tooth limits; [`Error::Work`] when threads cannot be
/// started or the ledger fails.
pub fn study(
    brief: &StudyBrief,
    controls: &Controls<'_>,
    ledger: &mut dyn StudyLedger,
) -> Result<StudyRecord, Error> {
    let started = Instant::now();
    let course = run(brief, controls, ledger)?;
    if course.stop == Stop::Interrupted && course.one_set.is_none() {
        let text = "the study stopped before its first search; the same command begins it again";
        return Err(Error::Interrupted(text.to_owned()));
    }
    let mut record = StudyRecord::of(brief, &course)?;
    record.elapsed_s = started.elapsed().as_secs_f64();
    Ok(record)
}
