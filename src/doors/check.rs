//! The door `check`: the results of a search in, a second judgement of them out.

use rayon::prelude::*;
use rustc_hash::FxHashSet;

use crate::check::{
    Attempt, CoreSifted, CoreSpace, Counterexample, Scope, Seeker, SetList, Verdict,
    WrittenResults, count_space, judge_dominance, judge_rows,
};
use crate::error::Error;
use crate::num::grouped;
use crate::search::{Controls, Stop, Watch, pool_of};

/// Attempts and positions of one round. Rounds are merged in their order and each goes to its end
/// unless the time is over, so what is found depends on how many rounds there were alone.
const ATTEMPTS: u64 = 48;
const POSITIONS: u64 = 96;

/// Judges what the files say exactly, then seeks for `seconds` what they may have missed. A check
/// that was interrupted gives a verdict too, of what was done until then.
///
/// # Errors
/// [`Error::Work`] when threads cannot be started.
pub fn check(
    results: &WrittenResults,
    seconds: f64,
    controls: &Controls<'_>,
) -> Result<Verdict, Error> {
    let pool = pool_of(controls)?;
    let watch = Watch::timed(Some(seconds), controls);
    let mut verdict = Verdict::default();
    // What is written comes first: it is exact, quick, and what follows rests on it.
    controls.progress.phase("judging what is written", 0);
    judge_rows(results, &|| controls.stopped(), &mut verdict);
    judge_dominance(results, &mut verdict);
    let stopped = || watch.should_stop();
    controls.progress.phase("counting cores", 0);
    let space = CoreSpace::of(&results.brief, &stopped);
    count_space(results, space.as_ref(), &stopped, &mut verdict);
    // A run that says it is not complete claims nothing about what it has not searched.
    if results.complete {
        controls.progress.phase("listing sets", 0);
        let sets = SetList::of(&results.brief.teeth, &stopped);
        let mut sought = Sought::default();
        if let (Some(space), Some(sets)) = (&space, sets) {
            let seeker = Seeker::new(results, sets);
            controls.progress.phase("seeking what the front has no answer to", 0);
            pool.install(|| sought.seek(&seeker, space, &watch));
            sought.tell(&seeker, space, &mut verdict);
        } else {
            let why = "the time was over before";
            verdict.add(SIFTED, Scope::Left, why, Vec::new());
            verdict.add(SOUGHT, Scope::Left, why, Vec::new());
        }
    } else {
        let why = "the run says that it is not complete";
        verdict.add(SIFTED, Scope::Left, why, Vec::new());
        verdict.add(SOUGHT, Scope::Left, why, Vec::new());
    }
    verdict.interrupted = controls.stopped() || watch.stop() == Stop::Interrupted;
    Ok(verdict)
}

const SIFTED: &str = "cores sifted again";
const SOUGHT: &str = "better layouts sought";

/// What seeking has done so far.
#[derive(Default)]
struct Sought {
    /// On wirings of the tables, each once.
    own: Attempt,
    own_tried: usize,
    swept: usize,
    sifted: CoreSifted,
    /// Positions of the space that were looked at.
    positions: u64,
    chance: Attempt,
    attempts: u64,
}

impl Sought {
    fn seek(&mut self, seeker: &Seeker<'_>, space: &CoreSpace, watch: &Watch<'_>) {
        let stopped = || watch.should_stop();
        let tick = || watch.progress().tick(1);
        let known = seeker.known() as u64;
        let mut round = 0;
        // Wirings of the tables, cores of the space and chance take turns, so that a short time has
        // something of each.
        while !stopped() && !self.found_something() {
            let own = range(round, ATTEMPTS, known);
            let own: Vec<Attempt> = own
                .into_par_iter()
                .map(|number| seeker.own(number as usize, &stopped))
                .inspect(|_| tick())
                .collect();
            for attempt in own {
                self.own_tried += 1;
                self.swept += usize::from(attempt.swept);
                self.own.add(attempt);
            }
            let positions = range(round, POSITIONS, space.positions());
            let sifted: Vec<CoreSifted> = positions
                .clone()
                .into_par_iter()
                .map(|number| seeker.sift(scrambled(number, space.positions()), space, &stopped))
                .inspect(|_| tick())
                .collect();
            self.positions += positions.end - positions.start;
            sifted.into_iter().for_each(|sifted| self.add_core(sifted));
            if self.is_whole(seeker, space) {
                return;
            }
            let first = round * ATTEMPTS;
            let chance: Vec<Attempt> = (first..first + ATTEMPTS)
                .into_par_iter()
                .map(|number| seeker.attempt(number, space, &stopped))
                .inspect(|_| tick())
                .collect();
            self.attempts += ATTEMPTS;
            chance.into_iter().for_each(|attempt| self.chance.add(attempt));
            round += 1;
        }
    }

    fn add_core(&mut self, sifted: CoreSifted) {
        self.sifted.cores += sifted.cores;
        self.sifted.layouts += sifted.layouts;
        self.sifted.points += sifted.points;
        self.sifted.with_ladder += sifted.with_ladder;
        self.sifted.swept += sifted.swept;
        self.sifted.attempt.add(sifted.attempt);
    }

    fn found_something(&self) -> bool {
        let all = [&self.own, &self.sifted.attempt, &self.chance];
        all.iter().any(|attempt| !attempt.found.is_empty())
    }

    /// Whether every layout of the space was tried at every base ratio: chance can add nothing.
    fn is_whole(&self, seeker: &Seeker<'_>, space: &CoreSpace) -> bool {
        let all = self.positions == space.positions() && self.sifted.attempt.unjudged == 0;
        all && seeker.sifts_all_points(space)
    }

    fn tell(self, seeker: &Seeker<'_>, space: &CoreSpace, verdict: &mut Verdict) {
        let whole = self.is_whole(seeker, space);
        let Sought { own, own_tried, swept, sifted, chance, attempts, .. } = self;
        let scope = if whole { Scope::Complete } else { Scope::Sampled };
        let points = if seeker.sifts_all_points(space) { "all" } else { "some" };
        let tried = format!(
            "{} cores with {} layouts, at {points} of their base ratios ({} trials); {} layouts have \
             a ladder there, {} of which were tried at all base ratios",
            grouped(sifted.cores),
            grouped(sifted.layouts),
            grouped(sifted.points),
            grouped(sifted.with_ladder),
            grouped(sifted.swept)
        );
        verdict.add(SIFTED, scope, tried, Vec::new());
        let judged = own.judged + sifted.attempt.judged + chance.judged;
        let tried = format!(
            "{own_tried} of {} wirings of the tables, {swept} of them at all of {} base ratios a set; \
             {} attempts by chance, {} wirings drawn, {} walks downhill, {} points; {} looked better \
             in floats and were judged in fractions, {} more were not",
            seeker.known(),
            seeker.base_ratios(),
            grouped(attempts),
            grouped(chance.drawn),
            grouped(own.walks + sifted.attempt.walks + chance.walks),
            grouped(own.points + sifted.attempt.points + chance.points),
            grouped(judged),
            grouped(own.unjudged + sifted.attempt.unjudged + chance.unjudged),
        );
        let found = distinct([own.found, sifted.attempt.found, chance.found].concat());
        verdict.add(SOUGHT, Scope::Sampled, tried, Vec::new());
        if let Some(line) = verdict.checks.last_mut() {
            line.against = found.len();
        }
        verdict.counterexamples = found;
    }
}

/// Each layout once, those that beat a row first.
fn distinct(found: Vec<Counterexample>) -> Vec<Counterexample> {
    let mut seen = FxHashSet::default();
    let new = |one: &Counterexample| seen.insert((one.canonical.clone(), one.gears.clone()));
    let mut found: Vec<Counterexample> = found.into_iter().filter(new).collect();
    found.sort_by_key(|one| one.beats.is_none());
    found
}

/// The numbers of a round, as far as there are so many.
fn range(round: u64, size: u64, all: u64) -> std::ops::Range<u64> {
    (round * size).min(all)..((round + 1) * size).min(all)
}

/// Position `number` in an order that jumps about and still comes to each position once: steps of
/// the golden section, made odd to what there is.
fn scrambled(number: u64, all: u64) -> u64 {
    let mut step = (all as f64 * 0.618_033_988_749_895) as u64 + 1;
    while num_integer::gcd(step, all) != 1 {
        step += 1;
    }
    (u128::from(number) * u128::from(step) % u128::from(all)) as u64
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_position_has_its_turn() {
        for all in [1, 2, 3, 10, 97, 1000] {
            let mut seen: Vec<u64> = (0..all).map(|number| scrambled(number, all)).collect();
            seen.sort_unstable();
            assert!(seen.into_iter().eq(0..all));
        }
    }
}
