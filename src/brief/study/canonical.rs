//! From the understood brief of a study back to a written one that says everything.

use super::StudyBrief;
use super::understood::{MOST_LAYOUTS, NO_REVERSE};
use super::written::{
    WrittenBand, WrittenCompared, WrittenReverse, WrittenStudy, WrittenStudyEffort,
};
use crate::brief::canonical;

/// The written brief with every key in it.
pub(super) fn write(brief: &StudyBrief) -> WrittenStudy {
    let span = |(least, most): (u8, u8)| Some(vec![least.into(), most.into()]);
    let ends = |(least, most): (f64, f64)| Some(vec![least, most]);
    // Without a limit is as large as a file can say.
    let size = |layouts: u64| Some(layouts.min(MOST_LAYOUTS as u64) as i64);
    let (band, effort) = (&brief.band, &brief.effort);
    WrittenStudy {
        title: Some(brief.title.clone()),
        study: WrittenCompared {
            sets: span(brief.sets),
            elements: span(brief.elements),
            engaged: span(brief.engaged),
            bare_input: Some(brief.bare_input.word().to_owned()),
        },
        band: WrittenBand {
            first: ends(band.first),
            top: ends(band.top),
            step: ends(band.step),
            reverse: Some(match band.reverse {
                Some((least, most)) => WrittenReverse::Window(vec![least, most]),
                None => WrittenReverse::Word(NO_REVERSE.to_owned()),
            }),
        },
        teeth: canonical::teeth(&brief.teeth),
        losses: canonical::losses(&brief.mesh),
        effort: WrittenStudyEffort {
            samples: Some(effort.samples.into()),
            layouts: size(effort.layouts),
            again: size(effort.again),
            each: size(effort.each),
        },
    }
}
