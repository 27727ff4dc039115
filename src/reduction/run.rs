//! The run: all arrangements of all numbers of sets, one variant of materials after the
//! other.

use rayon::prelude::*;
use smallvec::SmallVec;

use super::archive::Archive;
use super::arrangement::{ArrangementCount, Group, arrangements};
use super::choice::Choices;
use super::faces::Faces;
use super::running::Polynomials;
use super::seek::{Seek, choices_of};
use super::weigh::Scales;
use crate::brief::{Direction, ReductionBrief, Variant};
use crate::error::Error;
use crate::num::to_f64;
use crate::search::{Controls, Stop, Watch, pool_of};
use crate::train::SetKind;

/// What a run has found and how far it looked.
pub struct Reductions {
    /// Groups of arrangements by number of sets, as [`super::Found::place`] names them.
    pub groups: Vec<(u8, Vec<Group>)>,
    pub coverage: Vec<Coverage>,
    /// One a variant of the brief, in its order.
    pub variants: Vec<Archive>,
    /// Sets to choose from: single, paired; how many, of how many base ratios.
    pub choices: [(usize, usize); 2],
    pub stop: Stop,
}

/// How reductions of one number of sets were looked through.
#[derive(Clone, Debug, PartialEq)]
pub struct Coverage {
    pub sets: u8,
    pub count: ArrangementCount,
    /// Different ratio functions.
    pub functions: usize,
    /// Of how many base ratios each was tried for all sets but the last, which followed from
    /// all; `None` where all were, so that nothing is missed.
    pub sampled: Option<(usize, usize)>,
}

/// First base ratios of one piece of work.
const BLOCK: usize = 16;
/// Pieces of work between two looks at what was found: a constant, so that the number of
/// threads does not show.
const ROUND: usize = 128;

/// Everything that does not depend on the variant.
pub(super) struct Plan<'a> {
    pub brief: &'a ReductionBrief,
    pub choices: [Choices; 2],
    pub groups: Vec<(u8, Vec<Group>)>,
    pub coverage: Vec<Coverage>,
    /// Classes that are tried, by place in `groups`, kind and class; `None` for all.
    tried: Vec<Option<[Vec<usize>; 2]>>,
}

impl<'a> Plan<'a> {
    pub fn new(brief: &'a ReductionBrief) -> Self {
        let of = |kind: SetKind| match brief.train.kinds.contains(&kind) {
            true => Choices::of(brief, kind),
            false => Choices::default(),
        };
        let choices = [of(SetKind::Single), of(SetKind::Paired)];
        let (mut groups, mut coverage, mut tried) = (Vec::new(), Vec::new(), Vec::new());
        for &sets in &brief.train.sets {
            let (all, count) = arrangements(sets, &brief.train);
            let most = choices.iter().map(|choices| choices.classes.len()).max().unwrap_or(0);
            let each = tries_each(brief, sets, all.len());
            let sampled = (each < most).then_some((each, most));
            coverage.push(Coverage { sets, count, functions: all.len(), sampled });
            tried.push(sampled.map(|_| [0, 1].map(|kind| spread(&choices[kind], each))));
            groups.push((sets, all));
        }
        Self { brief, choices, groups, coverage, tried }
    }

    /// Signed ratios that are wanted.
    fn windows(&self) -> SmallVec<[(f64, f64); 2]> {
        let wish = &self.brief.ratio;
        let target = to_f64(&wish.target);
        let off = wish.tolerance.max(1e-9);
        let (low, high) = (target * (1.0 - off), target * (1.0 + off));
        let (same, reversed) = ((low, high), (-high, -low));
        match wish.direction {
            Direction::Same => [same].into_iter().collect(),
            Direction::Reversed => [reversed].into_iter().collect(),
            Direction::Either => [same, reversed].into_iter().collect(),
        }
    }

    /// Seeks through everything for one variant. Only where the watch has not stopped it is
    /// the archive whole.
    pub fn variant(&self, variant: &Variant, watch: &Watch<'_>) -> Archive {
        let faces = Faces::new(self.brief, variant);
        let scales = Scales { brief: self.brief, faces: &faces };
        let windows = self.windows();
        let mut archive = Archive::default();
        for (place, (sets, groups)) in self.groups.iter().enumerate() {
            let polynomials: Vec<Polynomials> =
                groups.iter().map(|g| Polynomials::new(&g.function, g.kinds.len())).collect();
            let work = self.work(place);
            watch.progress().phase(&format!("{sets} sets"), work.len() as u64);
            for round in work.chunks(ROUND) {
                let seek = |(group, firsts): &(usize, Vec<usize>)| {
                    let kinds = &groups[*group].kinds;
                    let tried = self.tried[place].as_ref().map(|lists| {
                        let of =
                            |kind: &SetKind| lists[usize::from(*kind == SetKind::Paired)].clone();
                        kinds.iter().map(of).collect::<Vec<_>>()
                    });
                    let seek = Seek {
                        scales,
                        group: &groups[*group],
                        polynomials: &polynomials[*group],
                        place: (*sets, *group),
                        choices: choices_of(&groups[*group], &self.choices),
                        tried: tried.as_deref(),
                        windows: &windows,
                        known: &archive,
                        watch,
                    };
                    let mut found = Archive::default();
                    for &first in firsts {
                        if !seek.seek(first, &mut found) {
                            break;
                        }
                    }
                    watch.progress().tick(1);
                    found
                };
                let found: Vec<Archive> = round.par_iter().map(seek).collect();
                found.into_iter().for_each(|found| archive.merge(found));
                if watch.should_stop() {
                    return archive;
                }
            }
        }
        archive
    }

    /// Groups with the classes of their first variable, in blocks.
    fn work(&self, place: usize) -> Vec<(usize, Vec<usize>)> {
        let groups = self.groups[place].1.iter().enumerate();
        let blocks = groups.flat_map(|(index, group)| {
            let kind = usize::from(group.kinds[0] == SetKind::Paired);
            let all: Vec<usize> = match &self.tried[place] {
                // A single set has no last one that follows: all are tried.
                Some(tried) if group.kinds.len() > 1 => tried[kind].clone(),
                _ => (0..self.choices[kind].classes.len()).collect(),
            };
            all.chunks(BLOCK).map(|block| (index, block.to_vec())).collect::<Vec<_>>()
        });
        blocks.collect()
    }
}

/// How many base ratios may be tried for each set but the last, so that all functions
/// together stay within the tries of the brief.
fn tries_each(brief: &ReductionBrief, sets: u8, functions: usize) -> usize {
    if sets <= 1 || functions == 0 {
        return usize::MAX;
    }
    let tries = brief.effort.tries as f64 * 1e6 / functions as f64;
    (tries.powf(1.0 / f64::from(sets - 1)).floor() as usize).max(2)
}

/// `count` classes spread evenly over all, both ends among them.
fn spread(choices: &Choices, count: usize) -> Vec<usize> {
    let all = choices.classes.len();
    if count >= all {
        return (0..all).collect();
    }
    let at = |index: usize| index * (all - 1) / (count - 1).max(1);
    let mut places: Vec<usize> = (0..count).map(at).collect();
    places.dedup();
    places
}

/// Seeks all that `brief` asks for. The result depends on the brief alone, never on the
/// number of threads.
///
/// # Errors
/// [`Error::Work`] when threads cannot be started.
pub fn reductions(brief: &ReductionBrief, controls: &Controls<'_>) -> Result<Reductions, Error> {
    let watch = Watch::timed(brief.effort.time_limit_s, controls);
    let pool = pool_of(controls)?;
    pool.install(|| {
        let plan = Plan::new(brief);
        let variants = brief.variants.iter().map(|v| plan.variant(v, &watch)).collect();
        let size = |choices: &Choices| (choices.len(), choices.classes.len());
        Ok(Reductions {
            choices: [size(&plan.choices[0]), size(&plan.choices[1])],
            groups: plan.groups,
            coverage: plan.coverage,
            variants,
            stop: watch.stop(),
        })
    })
}
