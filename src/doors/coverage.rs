//! What a search is worth, in sentences: what is exact, what is sampled, what is proved.

use itertools::Itertools as _;

use super::search::{LIMITS, fallen_at, reached};
use crate::brief::{Brief, Limit};
use crate::num::grouped;
use crate::score::{Better, Criterion, is_gear_by_gear};
use crate::search::{Findings, Gap, Stop, UnitCount, is_proved};

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
            "Undecided: {} classes of layouts (the effort of the brief was spent before it was \
             known whether they can serve); raise effort.samples or set effort.prove = true.",
            grouped(some)
        ),
    });
    sentences.push(front(brief, findings));
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

/// What is proved of the front.
fn front(brief: &Brief, findings: &Findings) -> String {
    let objectives = brief.objectives.iter().filter(|objective| is_proved(**objective));
    let objectives = objectives.map(|objective| objective.name().replace('_', " ")).join(", ");
    let proof = &findings.proof;
    let work = format!(
        "{} classes were searched to their end ({} boxes of base ratios bounded, {} choices of teeth \
         tried)",
        grouped(proof.ended),
        grouped(proof.boxes),
        grouped(proof.points)
    );
    let open = proof.open + findings.uncounted;
    let asked_of_found = loose_limits(brief);
    let reached = reached(findings).filter(|_| asked_of_found.is_empty() && !objectives.is_empty());
    let Some(gap) = reached else {
        let limits = match asked_of_found.is_empty() {
            true => String::new(),
            false => format!(
                " The limits on {} were asked of the gears that were found; others may keep them.",
                asked_of_found.join(", ")
            ),
        };
        return format!(
            "The front: sought, not proved. {work}, {} were left open; others may be better.{limits}",
            grouped(open)
        );
    };
    let by = match gap == Gap::default() {
        true => String::new(),
        false => format!(
            " by more than {} in ln spread or {} in step deviation",
            gap.log_spread, gap.deviation
        ),
    };
    let engaging = if proof.with_idle { "" } else { " that engage all its elements" };
    let open = match open {
        0 => String::new(),
        some => format!(" {} were left open, and are within that.", grouped(some)),
    };
    format!(
        "The front: proved. No other layout that was searched, with any base ratios of the catalogue and \
         any gears{engaging}, beats it in {objectives}{by}. {work}.{open}"
    )
}

/// Limits that are asked of the gears that were chosen without them.
pub(super) fn loose_limits(brief: &Brief) -> Vec<String> {
    // The same for a whole class, said by windows too, or cut out of the catalogue.
    let of_class = |criterion| match criterion {
        Criterion::OuterDiameter => true,
        Criterion::StepDeviation => false,
        _ => is_proved(criterion),
    };
    let exact = |limit: &&Limit| {
        let other_side = match limit.criterion.better() {
            Better::Higher => limit.most,
            Better::Lower => limit.least,
        };
        of_class(limit.criterion) || (is_gear_by_gear(limit.criterion) && other_side.is_none())
    };
    let loose = brief.limits.iter().filter(|limit| !exact(limit));
    loose.map(|limit| limit.criterion.name().replace('_', " ")).collect()
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
    let catalogue = format!("{catalogue} (for each base ratio the set that is preferred)");
    let (whole, part) = (grouped(all), grouped(sampled));
    match (all, sampled) {
        (_, 0) => format!(
            "Teeth: complete. For each of {whole} classes of layouts every choice among \
             {catalogue} was tried, or bounds excluded that it betters the front."
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
    let others = brief.objectives.iter().filter(|criterion| !is_proved(**criterion));
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
