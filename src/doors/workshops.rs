//! What a builder needs of the reductions on a front, worked out side by side.

use std::collections::HashMap;

use rayon::prelude::*;

use crate::account::workshop::{Workshop, outline_key, proved};
use crate::brief::ReductionBrief;
use crate::reduction::choice::Choice;
use crate::reduction::{Found, Reductions};
use crate::teeth::MeshProof;
use crate::train::GearSet;

/// Works out the workshops of some reductions. Each set is proved once, however many
/// reductions have it.
pub(super) fn work_out(
    front: &mut [(&mut Workshop, &Found)],
    brief: &ReductionBrief,
    found: &Reductions,
) {
    let mut sets: Vec<Choice> =
        front.iter().flat_map(|(shop, _)| shop.sets.iter().map(|set| set.choice)).collect();
    let key = |choice: &Choice| {
        let (GearSet { sun, ring, planet, outer_planet, planets, kind }, module) =
            outline_key(choice);
        (kind, sun, ring, planet, outer_planet, planets, module)
    };
    sets.sort_by_key(key);
    sets.dedup_by_key(|choice| key(choice));
    let proofs: HashMap<(GearSet, u64), Vec<MeshProof>> =
        sets.par_iter().map(|choice| (outline_key(choice), proved(choice, brief))).collect();
    let proof = |choice: &Choice| proofs.get(&outline_key(choice)).cloned().unwrap_or_default();
    front.par_iter_mut().for_each(|(shop, one)| shop.work_out(one, brief, found, &proof));
}
