//! What is told of the layouts on the front of a search, worked out side by side.

use rayon::prelude::*;

use crate::account::{Account, Basis};
use crate::error::Error;
use crate::report::Record;
use crate::search::{Moment, Stop, Watch, pool_of};

/// Marks a record whose search came to its end, but whose telling `stop` cut short.
pub(super) fn cut_short(record: &mut Record, stop: Stop) {
    record.complete = false;
    (record.extent.whole, record.extent.to) = (false, record.extent.to.max(1));
    record.stopped = stop.word().to_owned();
    record.coverage.insert(
        0,
        format!(
            "NOT COMPLETE: all that was asked for was searched, but the run was stopped ({}) before \
             all of the front was worked out and described.",
            stop.word()
        ),
    );
}

/// Adds all that can be told of the front's layouts, as many as the page shows. Where
/// `watch` stops it, those that were not reached have nothing added, and the reason is
/// returned; [`Stop::Finished`] where all have it.
///
/// A run that `stopped` before is described for a moment only.
///
/// # Errors
/// [`Error::Work`] when threads cannot be started or a picture cannot be drawn.
pub(super) fn tell(
    record: &mut Record,
    basis: &Basis,
    stopped: Stop,
    watch: &Watch<'_>,
) -> Result<Stop, Error> {
    let pool = pool_of(watch.controls())?;
    let told: Vec<usize> = record.front.iter().copied().take(record.shown).collect();
    watch.progress().phase("describing the front", told.len() as u64);
    let moment = Moment::after(stopped);
    let account = |&place: &usize| {
        if moment.as_ref().map_or_else(|| watch.should_stop(), Moment::is_over) {
            return Ok(None);
        }
        let layout = &record.candidates[place].layout;
        let account = Account::of(layout, basis)?;
        watch.progress().tick(1);
        Ok(Some((place, account)))
    };
    let accounts =
        pool.install(|| told.par_iter().map(account).collect::<Result<Vec<Option<_>>, Error>>())?;
    for (place, account) in accounts.into_iter().flatten() {
        record.candidates[place].account = Some(Box::new(account));
    }
    // The memory of all that was told counts too.
    watch.should_stop_after_phase();
    Ok(watch.stop())
}
