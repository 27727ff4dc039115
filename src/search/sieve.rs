//! The sieve: cells of base ratios where the states of a layout may be the wanted gears.
//!
//! For each ratio function and each wanted gear, one bit a cell tells whether the ratio may
//! lie in the gear's window there. A layout needs a cell where every gear has a state that
//! may be it, and where enough different functions may be gears at all; one without such a
//! cell can not meet the brief with any teeth of the catalogue: proved by the bounds.

use rayon::prelude::*;
use rustc_hash::FxHashMap;

use super::RatioFunction;
use super::bounds::Bounds;
use super::cells::{CellBits, CellGrid, WORDS, at_least, cell_bits, cell_bounds};
use super::gears::MOST_STATES;
use super::ladder::Ladder;
use super::states::CoreStates;
use super::watch::Watch;

/// Cells where one function may be which gear.
#[derive(Clone, Debug)]
pub struct GearCells {
    /// For each forward gear.
    windows: Vec<CellBits>,
    /// For each reverse gear.
    reverse: Vec<CellBits>,
    /// Cells where it may be any forward gear.
    any_forward: CellBits,
    /// Bit g is set when it may be gear g in some cell; reverses come behind the forward
    /// gears.
    anywhere: u32,
}

impl GearCells {
    /// About how many bytes one takes.
    pub fn size(ladder: &Ladder) -> usize {
        size_of::<Self>() + ladder.gears() * size_of::<CellBits>()
    }

    /// From the function's bounds in every cell.
    pub fn new(bounds: &[Bounds], ladder: &Ladder) -> Self {
        let windows: Vec<CellBits> = ladder
            .windows
            .iter()
            .map(|&window| cell_bits(bounds, |b: Bounds| b.forward.meets(window)))
            .collect();
        let reverse = ladder
            .reverse
            .iter()
            .map(|&window| cell_bits(bounds, |b: Bounds| b.reverse.meets(window)))
            .collect();
        let mut any_forward = [0; WORDS];
        for window in &windows {
            or(&mut any_forward, window);
        }
        let gears = windows.iter().chain(&reverse).enumerate();
        let anywhere = gears.fold(0, |mask, (gear, cells)| {
            mask | u32::from(cells.iter().any(|word| *word != 0)) << gear
        });
        Self { windows, reverse, any_forward, anywhere }
    }
}

fn or(all: &mut CellBits, more: &CellBits) {
    for (word, more) in all.iter_mut().zip(more) {
        *word |= more;
    }
}

/// Cells where different functions may together be all gears of the ladder.
pub fn alive_cells(functions: &[&GearCells], ladder: &Ladder) -> CellBits {
    // The cheapest question first: most layouts fall at it.
    let anywhere = functions.iter().fold(0, |mask, cells| mask | cells.anywhere);
    let mut alive = [0; WORDS];
    if anywhere != (1 << ladder.gears()) - 1 {
        return alive;
    }
    alive = [u64::MAX; WORDS];
    let mut need = |gear: &dyn Fn(&GearCells) -> CellBits| {
        let mut some = [0; WORDS];
        for cells in functions {
            or(&mut some, &gear(cells));
        }
        for (word, some) in alive.iter_mut().zip(some) {
            *word &= some;
        }
        alive.iter().any(|word| *word != 0)
    };
    let all_served = (0..ladder.reverse.len()).all(|gear| need(&|cells| cells.reverse[gear]))
        && (0..ladder.windows.len()).all(|gear| need(&|cells| cells.windows[gear]));
    if !all_served {
        return [0; WORDS];
    }
    let enough = at_least(functions.iter().map(|cells| &cells.any_forward), ladder.forward());
    std::array::from_fn(|word| alive[word] & enough[word])
}

/// Gear cells of all functions of a family, by key.
pub struct Sieve<'a> {
    ladder: &'a Ladder,
    place: FxHashMap<u64, u32>,
    cells: Vec<GearCells>,
}

impl<'a> Sieve<'a> {
    /// For the functions with these different `keys`; `None` when the watch says stop.
    pub fn new(
        grid: &CellGrid,
        keys: &[u64],
        ladder: &'a Ladder,
        watch: &Watch<'_>,
    ) -> Option<Self> {
        let size = GearCells::size(ladder);
        let of_function = |&key: &u64| {
            watch.takes(size);
            let bounds =
                (!watch.should_stop()).then(|| cell_bounds(grid, &RatioFunction::from_key(key)))?;
            Some(GearCells::new(&bounds, ladder))
        };
        let cells: Option<Vec<GearCells>> = keys.par_iter().map(of_function).collect();
        let place = keys.iter().enumerate().map(|(index, &key)| (key, index as u32)).collect();
        Some(Self { ladder, cells: cells?, place })
    }

    /// Bytes that the watch was told of.
    pub fn size(&self) -> usize {
        self.cells.len() * GearCells::size(self.ladder)
    }

    /// Different live ratios that a layout needs.
    pub fn gears(&self) -> usize {
        self.ladder.gears()
    }

    /// The sieve for the layouts of one core.
    pub fn of_core(&self, states: &CoreStates) -> CoreSieve<'_> {
        let cells = |function: &RatioFunction| &self.cells[self.place[&function.key()] as usize];
        CoreSieve { ladder: self.ladder, cells: states.functions.iter().map(cells).collect() }
    }
}

/// The sieve for the layouts of one core.
pub struct CoreSieve<'a> {
    ladder: &'a Ladder,
    cells: Vec<&'a GearCells>,
}

impl CoreSieve<'_> {
    /// Whether some cell is left for a layout with these functions (as from
    /// [`CoreStates::functions_of`]).
    pub fn passes(&self, functions: &[u32]) -> bool {
        let mut seen = [0u32; MOST_STATES];
        let mut different: smallvec::SmallVec<[&GearCells; 32]> = smallvec::SmallVec::new();
        for &function in functions.iter().filter(|function| **function != 0) {
            if !seen[..different.len()].contains(&function) {
                seen[different.len()] = function;
                different.push(self.cells[function as usize - 1]);
            }
        }
        alive_cells(&different, self.ladder).iter().any(|word| *word != 0)
    }
}
