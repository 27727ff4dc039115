//! The bank: every ratio function in play, with its bounds over a grid of cells.

use rayon::prelude::*;

use super::RatioFunction;
use super::bounds::{Bounds, Coefficients};
use super::cells::{CellGrid, cell_bounds};
use super::ladder::Ladder;
use super::sieve::GearCells;

/// One function of the bank.
pub struct Entry {
    pub coefficients: Coefficients,
    /// Bounds in every cell.
    pub bounds: Vec<Bounds>,
    /// Where the ratio may be which gear.
    pub gears: GearCells,
}

/// All ratio functions in play over one grid.
pub struct Bank {
    pub grid: CellGrid,
    pub entries: Vec<Entry>,
}

impl Bank {
    /// `None` as soon as `stopped`, which is asked before every function, says so.
    pub fn new(
        grid: CellGrid,
        functions: &[RatioFunction],
        ladder: &Ladder,
        stopped: &(dyn Fn() -> bool + Sync),
    ) -> Option<Self> {
        let entry = |function: &RatioFunction| {
            if stopped() {
                return None;
            }
            let bounds = cell_bounds(&grid, function);
            let gears = GearCells::new(&bounds, ladder);
            Some(Entry { coefficients: Coefficients::new(function), gears, bounds })
        };
        let entries = functions.par_iter().map(entry).collect::<Option<_>>()?;
        Some(Self { grid, entries })
    }
}
