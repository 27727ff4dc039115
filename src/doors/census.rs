//! The door `census`: a family in, its counts out.

use num_integer::binomial;

use crate::error::{Error, Mistake};
use crate::search::{self, Census, Controls, CoreFamily, pool_of};
use crate::train::{Core, MAX_SETS};

/// Most shafts − sets that the counting holds in its small numbers.
const MOST_FREEDOM: u8 = 8;
/// Cores are counted in parts of this many, so that a stop is heard between them.
const PART: usize = 64;

/// Counts the cores and states of a family, exactly.
///
/// # Errors
/// [`Error::Request`] for numbers of sets and shafts that no core has, or that are too
/// many; [`Error::Interrupted`] when stopped, because part of a count is no count.
pub fn census(family: CoreFamily, controls: &Controls<'_>) -> Result<Census, Error> {
    check(family)?;
    controls.progress.phase("listing cores", 0);
    let pool = pool_of(controls)?;
    let stopped = || controls.stopped();
    let Some(cores) = family.cores_unless(&stopped) else {
        let text = "stopped while the cores were listed; nothing was kept";
        return Err(Error::Interrupted(text.to_owned()));
    };
    pool.install(|| count(family, &cores, controls))
}

fn count(family: CoreFamily, cores: &[Core], controls: &Controls<'_>) -> Result<Census, Error> {
    controls.progress.phase("counting states", total_states(cores));
    let tick = |states: u64| controls.progress.tick(states);
    let stopped = || controls.stopped();
    let engaged = family.shafts.saturating_sub(family.sets + 1);
    let mut total =
        Census { sets: family.sets, shafts: family.shafts, engaged, ..Census::default() };
    let mut done = 0;
    for part in cores.chunks(PART) {
        let Some(counted) = search::census(family, part, &tick, &stopped) else {
            let text = format!("stopped after {done} of {} cores; nothing was kept", cores.len());
            return Err(Error::Interrupted(text));
        };
        total.cores += counted.cores;
        total.connected_cores += counted.connected_cores;
        total.states += counted.states;
        total.determinate += counted.determinate;
        total.live += counted.live;
        done += part.len();
    }
    Ok(total)
}

/// All cores of a family have as many slots, so the states need no counting.
fn total_states(cores: &[Core]) -> u64 {
    let Some(core) = cores.first() else { return 0 };
    let slots = core.slots().len() as u64;
    cores.len() as u64 * binomial(slots, core.engaged() as u64)
}

fn check(family: CoreFamily) -> Result<(), Mistake> {
    let CoreFamily { sets, shafts, held, bare_input } = family;
    let most_sets = MAX_SETS as u8;
    if !(1..=most_sets).contains(&sets) {
        let mend = format!("give a number of sets from 1 to {most_sets}");
        return Err(Mistake::at("--sets", format!("is {sets}"), mend));
    }
    // Three members of one set sit on different shafts, one of them perhaps in the housing.
    let bare = u8::from(bare_input);
    let least = (sets + 1).max(3 - u8::from(held) + bare);
    let most = (3 * sets - u8::from(held) + bare).min(sets + MOST_FREEDOM);
    if least > most || !(least..=most).contains(&shafts) {
        let noun = if sets == 1 { "set" } else { "sets" };
        let problem = format!("is {shafts}, and no such core of {sets} {noun} can be counted");
        let mend = format!("give a number of shafts from {least} to {most}");
        return Err(Mistake::at("--shafts", problem, mend));
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::search::Quiet;
    use std::sync::atomic::AtomicBool;

    fn counted(family: CoreFamily, stop: bool) -> Result<Census, Error> {
        let stop = AtomicBool::new(stop);
        census(family, &Controls { threads: Some(1), stop: &stop, progress: &Quiet })
    }

    #[test]
    fn every_family_at_the_edge_of_the_range_counts() {
        for (held, bare_input) in [(false, false), (true, false), (false, true), (true, true)] {
            for sets in 1..=2 {
                for shafts in 0..=9 {
                    let family = CoreFamily { sets, shafts, held, bare_input };
                    match counted(family, false) {
                        Ok(census) => assert!(census.cores > 0, "{family:?}"),
                        Err(Error::Request(_)) => {
                            assert!(family.cores().is_empty() || shafts <= sets)
                        }
                        Err(other) => panic!("{family:?}: {other}"),
                    }
                }
            }
        }
    }

    #[test]
    fn the_total_is_known_beforehand() {
        for (sets, shafts) in [(1, 3), (2, 4), (2, 5), (3, 5)] {
            let family = CoreFamily::plain(sets, shafts);
            let census = counted(family, false).unwrap();
            assert_eq!(census.states, total_states(&family.cores()));
        }
    }

    #[test]
    fn a_stopped_count_says_so() {
        let stopped = counted(CoreFamily::plain(2, 5), true);
        assert!(
            matches!(stopped, Err(Error::Interrupted(text)) if text.contains("cores were listed"))
        );
    }
}
