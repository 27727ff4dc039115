//! What is told of the layouts on the front of a search, worked out side by side.

use rayon::prelude::*;

use crate::account::{Account, Basis};
use crate::error::Error;
use crate::report::Record;
use crate::search::Controls;

/// So many layouts of the front are told in full at most; a page holds no more.
const TOLD: usize = 100;

/// Adds all that can be told of the front's layouts, the first [`TOLD`] of them.
///
/// # Errors
/// [`Error::Work`] when threads cannot be started or a picture cannot be drawn.
pub(super) fn tell(
    record: &mut Record,
    basis: &Basis,
    controls: &Controls<'_>,
) -> Result<(), Error> {
    let mut builder = rayon::ThreadPoolBuilder::new();
    if let Some(threads) = controls.threads {
        builder = builder.num_threads(threads);
    }
    let pool = builder.build().map_err(|error| Error::Work(format!("no threads: {error}")))?;
    let told: Vec<usize> = record.front.iter().copied().take(TOLD).collect();
    let account = |&place: &usize| {
        let layout = &record.candidates[place].layout;
        Account::of(layout, basis).map(|account| (place, account))
    };
    let accounts = pool.install(|| told.par_iter().map(account).collect::<Result<Vec<_>, _>>())?;
    for (place, account) in accounts {
        record.candidates[place].account = Some(Box::new(account));
    }
    Ok(())
}
