//! The run: all arrangements of all numbers of sets, one variant of materials after the
//! other.

use num_traits::Signed as _;
use rayon::prelude::*;
use smallvec::SmallVec;

use super::archive::{Archive, Found};
use super::arrangement::{Arrangement, ArrangementCount, Group, arrangements_unless};
use super::cheapest::cheapest;
use super::choice::{Choices, RatioClass};
use super::exact;
use super::faces::Faces;
use super::nearest::nearest_four;
use super::running::{Polynomials, Running};
use super::seek::{Seek, choices_of};
use super::weigh::Scales;
use super::work::Work;
use crate::brief::{Direction, ReductionBrief, Variant};
use crate::error::Error;
use crate::num::to_f64;
use crate::search::{Controls, Progress, Stop, Watch, pool_of};
use crate::train::{Layout, SetKind};

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

impl Reductions {
    /// The arrangement of what was found.
    ///
    /// # Panics
    /// If it was found in another run.
    pub fn arrangement(&self, found: &Found) -> &Arrangement {
        &self.group(found).members[found.place.2]
    }

    fn group(&self, found: &Found) -> &Group {
        let (sets, group, _) = found.place;
        let (_, groups) = self.groups.iter().find(|(n, _)| *n == sets).expect("of this run");
        &groups[group]
    }

    /// How what was found runs, sets in the order of its choices; `None` where rounding
    /// leaves nothing to tell.
    ///
    /// # Panics
    /// As [`Reductions::arrangement`].
    pub fn running(&self, found: &Found) -> Option<Running> {
        let ratios: Vec<f64> = found.choices.iter().map(|c| c.set.base_ratio()).collect();
        Running::new(self.arrangement(found), &self.group(found).kinds, &ratios)
    }

    /// What was found as a layout with its one gear: `1`, or `R` where it reverses.
    ///
    /// # Panics
    /// As [`Reductions::arrangement`].
    pub fn layout(&self, found: &Found) -> Layout {
        exact::layout(self.arrangement(found), &found.choices, found.ratio.is_negative())
    }
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
    /// Where four sets are sampled: the least error of the ratio, as a share, that a series
    /// of them can have, whatever else the brief asks. Proved.
    pub nearest_series: Option<f64>,
    /// With a stock list: the least price of a series, whatever else the brief asks but the
    /// ratio, and whether that is proved.
    pub cheapest_series: Option<(f64, bool)>,
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
    /// Hears how far the seeking is.
    progress: &'a dyn Progress,
}

impl<'a> Plan<'a> {
    /// `None` when the watch said stop.
    pub fn new(
        brief: &'a ReductionBrief,
        watch: &Watch<'_>,
        progress: &'a dyn Progress,
    ) -> Option<Self> {
        progress.phase("making the sets to choose from", 0);
        let stopped = || watch.should_stop();
        let of = |kind: SetKind| match brief.train.kinds.contains(&kind) {
            true => Choices::of_unless(brief, kind, &stopped),
            false => Some(Choices::default()),
        };
        let choices = [of(SetKind::Single)?, of(SetKind::Paired)?];
        let (mut groups, mut coverage, mut tried) = (Vec::new(), Vec::new(), Vec::new());
        for &sets in &brief.train.sets {
            let (all, count) = arrangements_unless(sets, &brief.train, &stopped)?;
            let most = choices.iter().map(|choices| choices.classes.len()).max().unwrap_or(0);
            let each = tries_each(brief, sets, all.len());
            let sampled = (each < most).then_some((each, most));
            let functions = all.len();
            let (nearest_series, cheapest_series) = (None, None);
            let told =
                Coverage { sets, count, functions, sampled, nearest_series, cheapest_series };
            coverage.push(told);
            tried.push(sampled.map(|_| [0, 1].map(|kind| spread(&choices[kind], each))));
            groups.push((sets, all));
        }
        Some(Self { brief, choices, groups, coverage, tried, progress })
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

    /// Seeks through everything for one variant. Only where the watch has not stopped it, and
    /// some of the work that was `left` still is, the archive is whole.
    pub fn variant(
        &self,
        variant: &Variant,
        proposals: &[Vec<[Choices; 2]>],
        left: &mut u64,
        watch: &Watch<'_>,
    ) -> Archive {
        let stopped = || watch.should_stop();
        let Some(faces) = Faces::new(self.brief, variant, &self.choices, &stopped) else {
            return Archive::default();
        };
        let scales = Scales { brief: self.brief, variant, faces: &faces };
        let mut archive = Archive::default();
        for (place, proposals) in proposals.iter().enumerate() {
            let sweep = Sweep { plan: self, place, scales, watch };
            // What the models propose comes first: it makes the rest quicker to leave out.
            for proposal in proposals {
                sweep.go(proposal, None, left, &mut archive);
            }
            sweep.go(&self.choices, self.tried[place].as_ref(), left, &mut archive);
            if *left == 0 || watch.should_stop() {
                break;
            }
        }
        archive
    }

    /// For each number of sets, choices worth a look that a sample may miss: those of the
    /// nearest series and of the cheapest. Tells the coverage what they prove.
    pub fn propose(&mut self, watch: &Watch<'_>) -> Vec<Vec<[Choices; 2]>> {
        let stopped = || watch.should_stop();
        let brief = self.brief;
        let mut proposals = vec![Vec::new(); self.groups.len()];
        for (proposals, coverage) in proposals.iter_mut().zip(&mut self.coverage) {
            if coverage.sets == 4 && coverage.sampled.is_some() {
                let target = to_f64(&brief.ratio.target);
                let nearest = nearest_four(&self.choices, target, brief.ratio.direction, &stopped);
                coverage.nearest_series = nearest.as_ref().map(|nearest| nearest.off);
                proposals.extend(nearest.map(|nearest| {
                    let has = |class: &RatioClass, kind: SetKind| {
                        nearest
                            .stages
                            .iter()
                            .any(|s| s.kind == kind && s.class.ratio == class.ratio)
                    };
                    narrowed(&self.choices, &has)
                }));
            }
            if let Some(stock) = &brief.stock {
                let cheapest = cheapest(brief, stock, &self.choices, coverage.sets, &stopped);
                coverage.cheapest_series = cheapest.as_ref().map(|one| (one.price, one.proved));
                proposals.extend(cheapest.filter(|_| coverage.sampled.is_some()).map(|cheapest| {
                    let has = |class: &RatioClass, kind: SetKind| {
                        cheapest.sets.iter().any(|(k, c)| *k == kind && class.choices.contains(c))
                    };
                    narrowed(&self.choices, &has)
                }));
            }
        }
        proposals
    }
}

/// The classes of some base ratios only.
fn narrowed(choices: &[Choices; 2], has: &dyn Fn(&RatioClass, SetKind) -> bool) -> [Choices; 2] {
    let of = |choices: &Choices, kind: SetKind| {
        let classes = choices.classes.iter().filter(|class| has(class, kind));
        Choices { classes: classes.cloned().collect() }
    };
    [of(&choices[0], SetKind::Single), of(&choices[1], SetKind::Paired)]
}

/// One way through all arrangements of one number of sets.
struct Sweep<'a> {
    plan: &'a Plan<'a>,
    /// Which number of sets.
    place: usize,
    scales: Scales<'a>,
    watch: &'a Watch<'a>,
}

impl Sweep<'_> {
    /// Seeks among `choices`, of which those that are listed are tried, and adds what is
    /// found. Each round ends with what its pieces left of the work, whoever did them: the
    /// number of threads does not show in where it ends.
    fn go(
        &self,
        choices: &[Choices; 2],
        tried: Option<&[Vec<usize>; 2]>,
        left: &mut u64,
        archive: &mut Archive,
    ) {
        let (sets, groups) = &self.plan.groups[self.place];
        let polynomials: Vec<Polynomials> =
            groups.iter().map(|g| Polynomials::new(&g.function, g.kinds.len())).collect();
        let windows = self.plan.windows();
        let work = self.work(choices, tried);
        let plural = if *sets == 1 { "set" } else { "sets" };
        self.plan.progress.phase(&format!("{sets} {plural}"), work.len() as u64);
        for round in work.chunks(ROUND) {
            let seek = |(group, firsts): &(usize, Vec<usize>)| {
                let kinds = groups[*group].kinds.iter();
                let of = |kind: &SetKind, lists: &[Vec<usize>; 2]| lists[number(*kind)].clone();
                let tried: Option<Vec<Vec<usize>>> =
                    tried.map(|lists| kinds.map(|kind| of(kind, lists)).collect());
                let counted = Work::new(self.watch, *left);
                let seek = Seek {
                    scales: self.scales,
                    group: &groups[*group],
                    polynomials: &polynomials[*group],
                    place: (*sets, *group),
                    choices: choices_of(&groups[*group], choices),
                    tried: tried.as_deref(),
                    windows: &windows,
                    known: archive,
                    work: &counted,
                };
                let mut found = Archive::default();
                for &first in firsts {
                    if !seek.seek(first, &mut found) {
                        break;
                    }
                }
                self.plan.progress.tick(1);
                (found, *left - counted.left())
            };
            let found: Vec<(Archive, u64)> = round.par_iter().map(seek).collect();
            for (found, done) in found {
                archive.merge(found);
                *left = left.saturating_sub(done);
            }
            if *left == 0 || self.watch.should_stop() {
                return;
            }
        }
    }

    /// Groups with the classes of their first variable, in blocks.
    fn work(
        &self,
        choices: &[Choices; 2],
        tried: Option<&[Vec<usize>; 2]>,
    ) -> Vec<(usize, Vec<usize>)> {
        let groups = self.plan.groups[self.place].1.iter().enumerate();
        let blocks = groups.flat_map(|(index, group)| {
            let kind = number(group.kinds[0]);
            let all: Vec<usize> = match tried {
                // A single set has no last one that follows: all are tried.
                Some(tried) if group.kinds.len() > 1 => tried[kind].clone(),
                _ => (0..choices[kind].classes.len()).collect(),
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

/// Where a kind stands in [`Plan::choices`].
fn number(kind: SetKind) -> usize {
    usize::from(kind == SetKind::Paired)
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
    reductions_watched(brief, &Watch::timed(brief.effort.time_limit_s, controls))
}

/// [`reductions`] under the watch of whoever asks, which then tells why it ended.
///
/// # Errors
/// As [`reductions`].
pub fn reductions_watched(brief: &ReductionBrief, watch: &Watch<'_>) -> Result<Reductions, Error> {
    let pool = pool_of(watch.controls())?;
    pool.install(|| {
        let Some(mut plan) = Plan::new(brief, watch, watch.progress()) else {
            return Ok(Reductions {
                choices: [(0, 0); 2],
                groups: Vec::new(),
                coverage: Vec::new(),
                variants: vec![Archive::default(); brief.variants.len()],
                stop: watch.stop(),
            });
        };
        let proposals = plan.propose(watch);
        // Whatever is asked for is done: only trials have a budget.
        let seek = |variant| plan.variant(variant, &proposals, &mut { u64::MAX }, watch);
        let variants = brief.variants.iter().map(seek).collect();
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
