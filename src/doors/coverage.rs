//! What a search is worth, in sentences: what is exact, what is sampled, what is proved.

use itertools::Itertools as _;

use super::search::{LIMITS, fallen_at};
use crate::brief::Brief;
use crate::num::grouped;
use crate::score::Criterion;
use crate::search::{Findings, Stop, UnitCount};

/// What is exact, what is sampled, what is proved: one sentence each.
pub(super) fn coverage(brief: &Brief, findings: &Findings) -> Vec<String> {
    if findings.has_no_plan() {
        return vec![format!(
            "NOT COMPLETE: the run stopped ({}) while the sets and cores of the brief were listed. \
             No layout was searched, and nothing is said about any.",
            findings.stop.word()
        )];
    }
    let mut sentences = vec![interconnections(findings)];
    sentences.extend(left_out(brief));
    sentences.push(discarded(findings));
    sentences.push(match findings.undecided {
        0 => "Undecided classes of layouts: none.".to_owned(),
        some => format!(
            "Undecided: {} classes of layouts (the effort of the brief was spent before teeth \
             were found or excluded); raise effort.samples or set effort.prove = true.",
            grouped(some)
        ),
    });
    sentences.push(teeth(findings));
    sentences.extend(not_sought(brief));
    sentences.push(
        "Ratios, speeds and lossless torques of what is shown: exact, in fractions of tooth \
         counts. Efficiencies are estimates from the mesh efficiencies of the brief."
            .to_owned(),
    );
    if findings.found > findings.findings.len() {
        let [found, kept] =
            [findings.found, findings.findings.len()].map(|count| grouped(count as u64));
        sentences.push(format!(
            "Of {found} choices of layout and teeth, the {kept} nearest to the front are listed \
             (effort.keep = {}; the front is always listed).",
            brief.effort.keep
        ));
    }
    sentences
}

fn interconnections(findings: &Findings) -> String {
    let UnitCount { asked, all, .. } = &findings.units;
    if findings.stop == Stop::Finished && findings.units.is_part() {
        return format!(
            "NOT COMPLETE: units {}..{} of {} were asked for and searched, {} layouts on {} cores; \
             nothing is said about the rest.",
            asked.start,
            asked.end,
            grouped(*all as u64),
            grouped(findings.layouts),
            grouped(findings.cores)
        );
    }
    if findings.stop != Stop::Finished {
        return format!(
            "NOT COMPLETE: the run stopped before its end ({}). What is shown was found until \
             then; nothing is said about the rest.",
            findings.stop.word()
        );
    }
    format!(
        "Interconnections: complete. All {} layouts on all {} cores of the brief's families were \
         judged, one of each up to renumbering the sets.",
        grouped(findings.layouts),
        grouped(findings.cores)
    )
}

/// Families that cannot serve by counting alone, and so are not in any other count.
fn left_out(brief: &Brief) -> Option<String> {
    let gears = (brief.gears.forward + brief.gears.reverse) as u64;
    let families = brief.space.families();
    let small = families.iter().filter(|family| family.states() < gears);
    // More elements never make fewer states, so those that have too few lie side by side.
    let by_size = small.map(|family| ((family.sets, family.shafts), family.elements));
    let mut told =
        by_size.into_group_map().into_iter().sorted().map(|((sets, shafts), elements)| {
            let plural = if sets == 1 { "" } else { "s" };
            let (fewest, most) = elements.into_iter().minmax().into_option().unwrap_or_default();
            let elements = match (fewest, most) {
                (1, 1) => "1 element".to_owned(),
                _ if fewest == most => format!("{fewest} elements"),
                _ => format!("{fewest} to {most} elements"),
            };
            format!("{sets} set{plural} on {shafts} shafts with {elements}")
        });
    let told = told.join("; ");
    (!told.is_empty())
        .then(|| format!("Left out, having fewer states than the {gears} gears wanted: {told}."))
}

fn discarded(findings: &Findings) -> String {
    let how = "Too few different ratios is decided in exact integer algebra; no fitting base \
               ratios is decided by bounds that hold over whole boxes of base ratios (floats \
               rounded outward), down to the single sets of the catalogue.";
    match fallen_at(findings, LIMITS) {
        0 => format!("Discarded layouts: proved. {how}"),
        some => format!(
            "Discarded layouts: proved but for those that fell at the limits. {how} The {} that \
             fell at the limits did so with the teeth that were found; other teeth might keep them.",
            grouped(some)
        ),
    }
}

fn teeth(findings: &Findings) -> String {
    let (sets, ratios) = findings.catalogue;
    let catalogue = format!(
        "{} sets of {} different base ratios that meet every tooth condition",
        grouped(sets as u64),
        grouped(ratios as u64)
    );
    let (all, sampled) = findings.solved;
    let (whole, part) = (grouped(all), grouped(sampled));
    match (all, sampled) {
        (_, 0) => format!(
            "Teeth: complete. For each of {whole} classes of layouts every choice among \
             {catalogue} was tried or excluded by bounds."
        ),
        _ => {
            let rest = match all {
                0 => String::new(),
                _ => format!(" For {whole} classes all choices were tried."),
            };
            format!(
                "Teeth: sampled. For {part} classes of layouts a pattern search looked for the \
                 widest spread and the evenest steps among {catalogue}; a better choice may \
                 exist.{rest}"
            )
        }
    }
}

/// Objectives by which teeth and gears are scored but not chosen.
fn not_sought(brief: &Brief) -> Option<String> {
    let sought = |criterion: &Criterion| {
        matches!(
            criterion,
            Criterion::Spread
                | Criterion::StepDeviation
                | Criterion::ElementCount
                | Criterion::ShiftElements
                | Criterion::Sets
                | Criterion::Nests
        )
    };
    let others = brief.objectives.iter().filter(|criterion| !sought(criterion));
    let others: Vec<String> = others.map(|criterion| criterion.name().replace('_', " ")).collect();
    (!others.is_empty()).then(|| {
        format!(
            "Scored, not sought: {}. Of each class of layouts the teeth and gears were chosen for \
             spread and even steps, and one twin stands for all; the front is the best of these \
             choices, and others may score better.",
            others.join(", ")
        )
    })
}
