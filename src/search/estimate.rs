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

/// Cores that are tried.
const SAMPLE: usize = 256;
/// After so long, what was tried must do.
const PATIENCE: Duration = Duration::from_secs(10);
/// Cores worked together, so that all threads have some.
const HANDFUL: usize = 32;

/// The size of a search.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Estimate {
    pub units: usize,
    /// Cores of all units; those that serve several numbers of elements count once for each.
    pub cores: u64,
    /// Element sets on them, before any symmetry is taken out.
    pub layouts: u64,
    /// Cores that were worked for the estimate.
    pub sampled: u64,
    /// From the time that the sampled cores took; `None` when none was sampled.
    pub seconds: Option<f64>,
}

/// Judges the size of a search or of some of its `units`; the time from a sample of its
/// cores, worked in full, where there are at least `timed_from` layouts.
///
/// # Errors
/// As [`super::run_course`].
pub fn estimate(
    brief: &Brief,
    controls: &Controls<'_>,
    units: Option<Range<usize>>,
    timed_from: u64,
) -> Result<Estimate, Error> {
    let pool = pool_of(controls)?;
    let plan = Plan::new(brief)?;
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
        return Ok(estimate);
    }
    controls.progress.phase("estimating the time", SAMPLE as u64);
    // Each family has its part of the patience: one that was never tried would count nothing.
    let asked = families.iter().filter(|cores| !cores.is_empty()).count();
    let limits = Limits { time: Some(PATIENCE / asked as u32), memory_mib: None };
    let mut seconds = 0.0;
    for (family, cores) in families.iter().enumerate().filter(|(_, cores)| !cores.is_empty()) {
        let watch = Watch::new(brief, limits, controls);
        let share = (SAMPLE as f64 * cores.len() as f64 / estimate.cores as f64).ceil();
        let every = cores.len().div_ceil(share as usize);
        let sample: Vec<usize> = cores.iter().skip(every / 2).step_by(every).copied().collect();
        let worker = Worker::new(&plan, family, &watch);
        // Spread over the family even when patience ends early.
        let handfuls = sample.len().div_ceil(HANDFUL);
        let (started, mut done) = (Instant::now(), 0);
        for first in 0..handfuls {
            let some: Vec<usize> = sample.iter().skip(first).step_by(handfuls).copied().collect();
            if done > 0 && watch.should_stop()
                || pool.install(|| worker.work(&some, &mut Spent::default())).is_none()
            {
                break;
            }
            done += some.len();
        }
        // Where patience ended within the first handful, it is at least so long.
        let done_at_least = done.max(1) as f64;
        seconds += started.elapsed().as_secs_f64() * cores.len() as f64 / done_at_least;
        estimate.sampled += done as u64;
    }
    estimate.seconds = Some(seconds);
    Ok(estimate)
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
        let all = estimate(&brief, &controls, None, u64::MAX).unwrap();
        assert_eq!((all.cores, all.layouts, all.units), (4551, 52_919_028, 36));
        assert_eq!((all.sampled, all.seconds), (0, None));
        let part = estimate(&brief, &controls, Some(0..2), 1).unwrap();
        assert_eq!((part.cores, part.units), (256, 2));
        assert_eq!(part.sampled, 256);
        assert!(part.seconds.is_some_and(|seconds| seconds > 0.0 && seconds.is_finite()));
        assert!(estimate(&brief, &controls, Some(30..37), 1).is_err());
    }
}
