//! What of a study is exact, what is sampled, what is proved, in sentences.

use super::course::{Course, LeftOut};
use super::record::totals;
use crate::num::grouped;
use crate::search::Stop;

/// What is exact, what is sampled, what is proved: one sentence each.
pub(super) fn coverage(course: &Course) -> Vec<String> {
    let totals = totals(course);
    let count = |number: u64| grouped(number);
    let mut told = Vec::new();
    told.push(if course.stop == Stop::Finished {
        format!(
            "Interconnections: complete in all {} families that were searched ({} layouts, one of \
             each up to renumbering the sets).",
            totals.families,
            count(totals.layouts)
        )
    } else {
        format!(
            "NOT COMPLETE: the study stopped before its end ({}); {} searches were finished.",
            course.stop.word(),
            totals.searches
        )
    });
    told.push(
        "A number of gears that fails is proved out of reach, by integer algebra and by bounds over \
         whole boxes of base ratios, wherever a search leaves nothing undecided."
            .to_owned(),
    );
    told.push(match totals.undecided_classes {
        0 => "Undecided classes of layouts: none.".to_owned(),
        some => format!(
            "Undecided: {} classes of layouts over all searches (effort.samples was spent before \
             base ratios were found or excluded); raise it to decide more.",
            count(some)
        ),
    });
    told.push(format!(
        "Base ratios: all tried or excluded for {} classes of layouts, sought by a pattern search \
         for {}; entries say which. Values of sampled entries are reached, larger ones may exist.",
        count(totals.complete_classes),
        count(totals.sampled_classes)
    ));
    if !course.left_out.is_empty() {
        let all: Vec<String> = course.left_out.iter().map(LeftOut::told).collect();
        told.push(format!(
            "Left out, being larger than effort.layouts: {}. --thorough searches them.",
            all.join("; ")
        ));
    }
    told.push(
        "Ratios are exact, in fractions of tooth counts. Efficiencies are estimates from the mesh \
         efficiencies of the brief. The nesting test is necessary, not sufficient."
            .to_owned(),
    );
    told
}
