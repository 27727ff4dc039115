//! The whole account of a layout: its data and its pictures together.

use super::portrait::{Portrait, USUAL_SPEEDS, portrait};
use super::show::{Basis, show};
use super::shown::Shown;
use crate::error::Error;
use crate::train::Layout;

/// All that can be told of one layout.
#[derive(Clone, Debug)]
pub struct Account {
    pub shown: Shown,
    /// In the order of [`portrait`].
    pub pictures: Vec<Portrait>,
}

impl Account {
    /// Tells of `layout` what [`show`] and [`portrait`] tell.
    ///
    /// # Errors
    /// As [`portrait`].
    pub fn of(layout: &Layout, basis: &Basis) -> Result<Self, Error> {
        Ok(Self { shown: show(layout, basis), pictures: portrait(layout, basis, USUAL_SPEEDS)? })
    }
}
