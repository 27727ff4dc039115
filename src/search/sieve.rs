//! The sieve: cells of base ratios where the states of a layout may be the wanted gears.
//!
//! For each ratio function and each wanted gear, one bit a cell tells whether the ratio may
//! lie in the gear's window there. A layout needs a cell where every gear has a state that
//! may be it, and where enough different functions may be gears at all; one without such a
//! cell can not meet the brief with any teeth of the catalogue: proved by the bounds.

use std::cell::OnceCell;
use std::sync::{Arc, Mutex, PoisonError};

use rustc_hash::FxHashMap;

use super::RatioFunction;
use super::bounds::{Bounds, Coefficients};
use super::cells::{CellBits, CellGrid, WORDS, at_least, cell_bits, cell_bounds};
use super::gears::MOST_STATES;
use super::ladder::Ladder;
use super::states::CoreStates;

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

/// Gear cells of all ratio functions that come up, worked out when they do.
pub struct Sieve<'a> {
    grid: &'a CellGrid,
    ladder: &'a Ladder,
    /// Those met lately, by key, in several parts so that threads seldom meet.
    met: Vec<Mutex<FxHashMap<u64, Arc<GearCells>>>>,
}

/// Parts of the store of gear cells.
const PARTS: u64 = 64;
/// Functions kept in one part; when there are more, it is emptied.
const MOST_MET: usize = 2000;

impl<'a> Sieve<'a> {
    pub fn new(grid: &'a CellGrid, ladder: &'a Ladder) -> Self {
        Self { grid, ladder, met: (0..PARTS).map(|_| Mutex::default()).collect() }
    }

    /// For each function of a core, whether it may be any gear anywhere in the catalogue.
    pub fn useful(&self, states: &CoreStates) -> Vec<bool> {
        let whole = self.grid.whole();
        let useful = |function: &RatioFunction| {
            let bounds = Coefficients::new(function).bounds(&whole);
            self.ladder.windows.iter().any(|&window| bounds.forward.meets(window))
                || self.ladder.reverse.iter().any(|&window| bounds.reverse.meets(window))
        };
        states.functions.iter().map(useful).collect()
    }

    /// The sieve for the layouts of one core.
    pub fn of_core<'s>(&'s self, states: &'s CoreStates) -> CoreSieve<'s> {
        let cells = states.functions.iter().map(|_| OnceCell::new()).collect();
        CoreSieve { sieve: self, functions: &states.functions, cells }
    }

    fn gear_cells(&self, function: &RatioFunction) -> Arc<GearCells> {
        let key = function.key();
        // The product's high bits depend on all bits of the key.
        let part = key.wrapping_mul(0x9E37_79B9_7F4A_7C15) >> 32;
        let part = &self.met[(part % PARTS) as usize];
        let store = || part.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(cells) = store().get(&key) {
            return Arc::clone(cells);
        }
        let bounds = cell_bounds(self.grid, function);
        let cells = Arc::new(GearCells::new(&bounds, self.ladder));
        let mut met = store();
        if met.len() >= MOST_MET {
            met.clear();
        }
        met.insert(key, Arc::clone(&cells));
        cells
    }
}

/// The sieve for the layouts of one core.
pub struct CoreSieve<'s> {
    sieve: &'s Sieve<'s>,
    functions: &'s [RatioFunction],
    cells: Vec<OnceCell<Arc<GearCells>>>,
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
                different.push(self.cells_of(function as usize - 1));
            }
        }
        alive_cells(&different, self.sieve.ladder).iter().any(|word| *word != 0)
    }

    fn cells_of(&self, function: usize) -> &GearCells {
        self.cells[function].get_or_init(|| self.sieve.gear_cells(&self.functions[function]))
    }
}
