//! What a builder needs of the reductions on a front, worked out side by side.

use std::collections::HashMap;

use rayon::prelude::*;

use crate::account::workshop::{Workshop, outline_key, proved};
use crate::brief::ReductionBrief;
use crate::reduction::choice::Choice;
use crate::reduction::{Found, Reductions};
use crate::search::{Moment, Watch};
use crate::teeth::MeshProof;
use crate::train::GearSet;

/// Works out the workshops of some reductions. Each set is proved once, however many
/// reductions have it. Where `watch` stops it, those that were not reached have nothing worked
/// out; a run that was stopped before is worked out for a moment only.
pub(super) fn work_out(
    front: &mut [(&mut Workshop, &Found)],
    brief: &ReductionBrief,
    found: &Reductions,
    watch: &Watch<'_>,
) {
    let moment = Moment::after(found.stop);
    let is_over = || moment.as_ref().map_or_else(|| watch.should_stop(), Moment::is_over);
    let mut sets: Vec<Choice> =
        front.iter().flat_map(|(shop, _)| shop.sets.iter().map(|set| set.choice)).collect();
    let key = |choice: &Choice| {
        let (GearSet { sun, ring, planet, outer_planet, planets, kind }, module) =
            outline_key(choice);
        (kind, sun, ring, planet, outer_planet, planets, module)
    };
    sets.sort_by_key(key);
    sets.dedup_by_key(|choice| key(choice));
    watch.progress().phase("proving that the wheels mesh", sets.len() as u64);
    let proofs: HashMap<(GearSet, u64), Vec<MeshProof>> = sets
        .par_iter()
        .filter_map(|choice| {
            let proof = (!is_over()).then(|| (outline_key(choice), proved(choice, brief)));
            watch.progress().tick(1);
            proof
        })
        .collect();
    let proof = |choice: &Choice| proofs.get(&outline_key(choice)).cloned().unwrap_or_default();
    watch.progress().phase("working out the parts", front.len() as u64);
    front.par_iter_mut().for_each(|(shop, one)| {
        // A set without its proof was not reached: nothing is told of its reduction.
        let is_proved = shop.sets.iter().all(|s| proofs.contains_key(&outline_key(&s.choice)));
        if is_proved && !is_over() {
            shop.work_out(one, brief, found, &proof);
        } else {
            shop.makes_parts = false;
        }
        watch.progress().tick(1);
    });
}
