//! What a long run keeps of its finished units, so that it can go on after it was killed.

use std::ops::Range;
use std::path::Path;

use super::unit::UnitRecord;
use super::watch::Limits;
use crate::error::Error;

/// Keeps the records of finished units. This room knows nothing of files.
pub trait Ledger {
    /// The record of a unit that was finished before.
    ///
    /// # Errors
    /// [`Error::Work`] when it cannot be read.
    fn recall(&mut self, unit: usize) -> Result<Option<UnitRecord>, Error>;

    /// Keeps the record of a unit that is finished now.
    ///
    /// # Errors
    /// [`Error::Work`] when it cannot be kept.
    fn keep(&mut self, unit: usize, record: &UnitRecord) -> Result<(), Error>;

    /// Where a person finds it, for sentences about it.
    fn path(&self) -> Option<&Path> {
        None
    }
}

/// Keeps nothing.
#[derive(Clone, Copy, Debug, Default)]
pub struct NoLedger;

impl Ledger for NoLedger {
    fn recall(&mut self, _unit: usize) -> Result<Option<UnitRecord>, Error> {
        Ok(None)
    }

    fn keep(&mut self, _unit: usize, _record: &UnitRecord) -> Result<(), Error> {
        Ok(())
    }
}

/// Which part of a search to do, and where its finished units are kept.
pub struct Course<'a> {
    /// The units of work to do, by number; all where it is `None`.
    pub units: Option<Range<usize>>,
    pub limits: Limits,
    pub ledger: &'a mut dyn Ledger,
}
