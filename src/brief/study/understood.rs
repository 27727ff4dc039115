//! The brief of a study as it is understood: every value checked once, every default filled in.

use super::keys::STUDY;
use super::written::{WrittenBand, WrittenReverse, WrittenStudy, WrittenStudyEffort};
use super::{Band, StudyBrief, StudyEffort};
use crate::brief::checks::{Open, Reach};
use crate::brief::understood::{folder_name, title};
use crate::brief::{Permission, teeth};
use crate::error::Mistake;
use crate::teeth::ToothLimits;
use crate::train::MAX_SETS;

/// What every ratio of a brief lies within.
const RATIOS: (f64, f64) = (0.001, 1000.0);
/// Few base ratios, evenly spread: all their pairs can be tried for every class of two sets.
const SUN: (u32, u32) = (18, 48);
const RING: (u32, u32) = (75, 78);
const PLANETS: u32 = 3;
const SAMPLES: u32 = 250;
const LAYOUTS: u64 = 20_000_000_000;
pub(super) const MOST_LAYOUTS: i64 = 1_000_000_000_000_000;
const AGAIN: u64 = 100_000_000;
const EACH: u64 = 1_000_000_000;
/// What stands for the window of the reverse where none is asked for.
pub(super) const NO_REVERSE: &str = "none";

/// The meaning of what is written; `name` becomes the name of the results folder.
pub(super) fn understand(written: &WrittenStudy, name: &str) -> Result<StudyBrief, Mistake> {
    let name = folder_name(name);
    let title = written.title.as_deref().map_or(Ok(name.clone()), title)?;
    let compared = &written.study;
    let span = |key: &str, value: &Option<Vec<i64>>, default: (u8, u8), ends| {
        let Some(ends_written) = value else { return Ok(default) };
        let (least, most) = STUDY.span(key, ends_written, ends)?;
        Ok::<_, Mistake>((least as u8, most as u8))
    };
    let bare_input = match &compared.bare_input {
        Some(word) => STUDY.word("study.bare_input", word, &Permission::WORDS)?,
        None => Permission::Allowed,
    };
    let default =
        ToothLimits { sun: SUN, ring: RING, planets: vec![PLANETS], ..ToothLimits::default() };
    let brief = StudyBrief {
        title,
        name,
        sets: span("study.sets", &compared.sets, (1, 4), (1, MAX_SETS as u32))?,
        elements: span("study.elements", &compared.elements, (3, 6), (2, 6))?,
        engaged: span("study.engaged", &compared.engaged, (1, 3), (1, 4))?,
        bare_input,
        band: band(&written.band)?,
        teeth: teeth::limits(&STUDY, &written.teeth, default)?,
        mesh: teeth::losses(&STUDY, &written.losses)?,
        effort: effort(&written.effort)?,
    };
    teeth::some_set_fits(&brief.teeth)?;
    Ok(brief)
}

fn band(written: &WrittenBand) -> Result<Band, Mistake> {
    let window = |key: &str, value: &Option<Vec<f64>>, default, least| {
        let reach = Reach { least, most: RATIOS.1, open: Open::Never };
        value.as_ref().map_or(Ok(default), |ends| STUDY.window(key, ends, reach))
    };
    // Ratios fall from gear to gear, so a step of 1 would be the same gear twice.
    let steps = Reach { least: 1.001, most: 100.0, open: Open::Never };
    Ok(Band {
        first: window("band.first", &written.first, (2.5, 6.0), RATIOS.0)?,
        top: window("band.top", &written.top, (0.4, 1.6), RATIOS.0)?,
        step: match &written.step {
            Some(ends) => STUDY.window("band.step", ends, steps)?,
            None => (1.1, 1.8),
        },
        reverse: match &written.reverse {
            None => Some((1.5, 6.0)),
            Some(WrittenReverse::Word(word)) => {
                STUDY.word("band.reverse", word, &[(NO_REVERSE, None)])?
            }
            Some(WrittenReverse::Window(ends)) => {
                let reach = Reach { least: RATIOS.0, most: RATIOS.1, open: Open::Never };
                Some(STUDY.window("band.reverse", ends, reach)?)
            }
        },
    })
}

fn effort(written: &WrittenStudyEffort) -> Result<StudyEffort, Mistake> {
    let samples = written.samples.unwrap_or(SAMPLES.into());
    let size = |key: &str, written: Option<i64>, default: u64| match written {
        None => Ok(default),
        Some(count) if (1..=MOST_LAYOUTS).contains(&count) => Ok(count as u64),
        Some(count) => Err(STUDY.wrong(key, format!("is {count}"))),
    };
    Ok(StudyEffort {
        samples: STUDY.whole("effort.samples", samples, (1, 65_536))?,
        layouts: size("effort.layouts", written.layouts, LAYOUTS)?,
        again: size("effort.again", written.again, AGAIN)?,
        each: size("effort.each", written.each, EACH)?,
    })
}
