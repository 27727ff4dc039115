//! How large a search is and how long it will take, judged from a few hundred cores.

use std::ops::Range;
use std::time::{Duration, Instant};

use super::plan::Plan;
use super::progress::Controls;
use super::run::pool_of;
use super::unit::{Spent, Worker};
use super::watch::{Limits, Watch};
use crate::brief::Brief;
use crate::error::Error;

/// Cores that are tried at most, and at most one of so many.
const SAMPLE: usize = 256;
const ONE_OF: usize = 16;
/// After so long, what was tried must do.
const PATIENCE: Duration = Duration::from_secs(2);
/// Cores of the largest handful that is worked together. The first has one for each thread, and
/// each that follows twice as many: where one core takes long that is soon known.
const HANDFUL: usize = 32;

/// The size of a search.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Estimate {
    pub units: usize,
    /// Cores of all units; those that serve several numbers of elements count once for each.
    pub cores: u64,
    /// Element sets on them, before any symmetry is taken out.
    pub layouts: u64,
    /// Cores that were worked to their end for the estimate.
    pub sampled: u64,
    /// From the time that the sampled cores took; `None` when none was tried.
    pub seconds: Option<f64>,
    /// Whether patience ended before some family had a core worked to its end: then it takes
    /// at least so long, and nobody knows how long.
    pub at_least: bool,
}

/// Judges the size of a search or of some of its `units`; the time from a sample of its
/// cores, worked in full, where there are at least `timed_from` layouts. `None` where it was
/// stopped while the plan was made.
///
/// # Errors
/// As [`super::run_course`].
pub fn estimate(
    brief: &Brief,
    controls: &Controls<'_>,
    units: Option<Range<usize>>,
    limits: Limits,
    timed_from: u64,
) -> Result<Option<Estimate>, Error> {
    let watch = Watch::new(brief, limits, controls);
    watch.refuse_at_once()?;
    let pool = pool_of(controls)?;
    let Some(plan) = Plan::new(brief, &watch)? else { return Ok(None) };
    let units = &plan.units[plan.units_of(units)?];
    let mut estimate = Estimate { units: units.len(), ..Estimate::default() };
    let mut families: Vec<Vec<usize>> = vec![Vec::new(); plan.families.len()];
    for unit in units {
        let family = &plan.families[unit.family];
        estimate.cores += unit.cores.len() as u64;
        let layouts = unit.cores.clone().map(|core| family.size_of(&family.cores[core]).0);
        estimate.layouts += layouts.sum::<u64>();
        families[unit.family].extend(unit.cores.clone());
    }
    if estimate.layouts < timed_from {
        return Ok(Some(estimate));
    }
    controls.progress.phase("estimating the time", 0);
    // Each family has its part of the patience: one that was never tried would count nothing.
    let asked = families.iter().filter(|cores| !cores.is_empty()).count();
    for (family, cores) in families.iter().enumerate().filter(|(_, cores)| !cores.is_empty()) {
        let patience = PATIENCE / asked as u32;
        let patience = watch.time_left().map_or(patience, |left| left.min(patience));
        let limits = Limits { time: Some(patience), since: None, ..limits };
        let watch = Watch::new(brief, limits, controls);
        let share = SAMPLE as f64 * cores.len() as f64 / estimate.cores as f64;
        let share = (share.ceil() as usize).min(cores.len().div_ceil(ONE_OF));
        let worker = Worker::new(&plan, family, &watch);
        pool.install(|| time(&worker, cores, share, &watch, &mut estimate));
    }
    Ok(Some(estimate))
}

/// Adds to an estimate what the cores of one family will take, judged from `share` of them.
fn time(
    worker: &Worker<'_>,
    cores: &[usize],
    share: usize,
    watch: &Watch<'_>,
    estimate: &mut Estimate,
) {
    let sample = spread(cores, share);
    let mut size = rayon::current_num_threads().min(HANDFUL);
    let (started, mut done) = (Instant::now(), 0);
    while done < sample.len() {
        let some = &sample[done..sample.len().min(done + size)];
        let whole = worker.work(some, &mut Spent::default());
        if whole.is_none_or(|record| record.not_reached > 0) {
            if done == 0 {
                // Each thread had one core for this time and did not end it: all take at least
                // as much.
                estimate.at_least = true;
                done = some.len();
            }
            break;
        }
        done += some.len();
        size = (2 * size).min(HANDFUL);
        estimate.sampled += some.len() as u64;
        if watch.should_stop() {
            break;
        }
    }
    let seconds = started.elapsed().as_secs_f64() * cores.len() as f64 / done as f64;
    *estimate.seconds.get_or_insert(0.0) += seconds;
}

/// So many of the cores, the first ones as far apart as the others: patience may end early.
fn spread(cores: &[usize], share: usize) -> Vec<usize> {
    let every = cores.len().div_ceil(share);
    let evenly: Vec<usize> = cores.iter().skip(every / 2).step_by(every).copied().collect();
    let mut order: Vec<usize> = (0..evenly.len()).collect();
    // By their numbers with the bits turned round: halves first, then quarters.
    order.sort_by_key(|number| number.reverse_bits());
    order.into_iter().map(|number| evenly[number]).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::search::Quiet;
    use std::sync::atomic::AtomicBool;

    #[test]
    fn counts_are_exact_and_the_time_comes_from_a_sample() {
        let brief = Brief::embedded();
        let stop = AtomicBool::new(false);
        let controls = Controls { threads: Some(1), stop: &stop, progress: &Quiet };
        let limits = Limits::default();
        let all = estimate(&brief, &controls, None, limits, u64::MAX).unwrap().unwrap();
        assert_eq!((all.cores, all.layouts, all.units), (4551, 52_919_028, 36));
        assert_eq!((all.sampled, all.seconds), (0, None));
        let part = estimate(&brief, &controls, Some(0..2), limits, 1).unwrap().unwrap();
        assert_eq!((part.cores, part.units), (256, 2));
        assert!(part.sampled == 16 || part.at_least, "{part:?}");
        assert!(part.seconds.is_some_and(|seconds| seconds > 0.0 && seconds.is_finite()));
        assert!(estimate(&brief, &controls, Some(30..37), limits, 1).is_err());
        stop.store(true, std::sync::atomic::Ordering::Relaxed);
        assert_eq!(estimate(&brief, &controls, None, limits, 1).unwrap(), None);
    }
}
