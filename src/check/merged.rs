//! The ratio of a state in floats: shafts that engaged elements hold together are one, and as
//! many speeds are unknown as there are sets.

use crate::train::{Core, HOUSING, MAX_SETS, Slot};

/// What stands still.
const STILL: u8 = 0;
/// What turns with the input.
const DRIVEN: u8 = 1;
/// A determinant below this is none: rows are of the size of a base ratio.
const NOTHING: f64 = 1e-9;

/// A state of a wiring: which members turn together. Groups are [`STILL`], [`DRIVEN`], then the
/// unknown ones.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Merged {
    /// Group of sun, ring and carrier of each set.
    groups: [[u8; 3]; MAX_SETS],
    sets: usize,
    output: u8,
}

impl Merged {
    /// `None` where the state is dead whatever the teeth: an element holds together what is
    /// together already, the input or the output is held.
    pub fn new(core: &Core, engaged: &[Slot]) -> Option<Self> {
        let seats = usize::from(core.shafts) + 1;
        let mut group: Vec<u8> = (0..seats as u8).collect();
        for slot in engaged {
            let (a, b) = (group[usize::from(slot.first)], group[usize::from(slot.second)]);
            if a == b {
                return None;
            }
            // The smaller number stays, so what is held keeps that of the housing.
            let (kept, gone) = (a.min(b), a.max(b));
            group.iter_mut().filter(|group| **group == gone).for_each(|group| *group = kept);
        }
        let (input, output) = (group[usize::from(core.input)], group[usize::from(core.output)]);
        if input == HOUSING || output == HOUSING {
            return None;
        }
        let mut names = vec![u8::MAX; seats];
        names[usize::from(HOUSING)] = STILL;
        names[usize::from(input)] = DRIVEN;
        let mut next = DRIVEN + 1;
        for &kept in &group {
            if names[usize::from(kept)] == u8::MAX {
                names[usize::from(kept)] = next;
                next += 1;
            }
        }
        // Fewer elements than leave one motion, or more, are no state of a gear.
        if usize::from(next - 2) != core.sets() {
            return None;
        }
        let name = |seat: u8| names[usize::from(group[usize::from(seat)])];
        let mut groups = [[STILL; 3]; MAX_SETS];
        for (set, seats) in core.seats().iter().enumerate() {
            groups[set] = seats.map(name);
        }
        Some(Self { groups, sets: core.sets(), output: name(core.output) })
    }

    /// Input speed / output speed at these base ratios, one a set; NaN where the state is dead.
    pub fn ratio(&self, base: &[f64]) -> f64 {
        let n = self.sets;
        let mut rows = [[0.0; MAX_SETS + 1]; MAX_SETS];
        for (row, (groups, &rho)) in rows.iter_mut().zip(self.groups[..n].iter().zip(base)) {
            for (&group, factor) in groups.iter().zip([1.0, rho, -1.0 - rho]) {
                match group {
                    STILL => {}
                    DRIVEN => row[n] -= factor,
                    unknown => row[usize::from(unknown) - 2] += factor,
                }
            }
        }
        if !eliminate(&mut rows, n) {
            return f64::NAN;
        }
        if self.output == DRIVEN {
            return 1.0;
        }
        let place = usize::from(self.output) - 2;
        let output = rows[place][n] / rows[place][place];
        if output.abs() < NOTHING { f64::NAN } else { 1.0 / output }
    }
}

/// Gauss and Jordan with the largest pivot of each column; `false` where a speed stays free.
fn eliminate(rows: &mut [[f64; MAX_SETS + 1]; MAX_SETS], n: usize) -> bool {
    for column in 0..n {
        let size = |row: &usize| rows[*row][column].abs();
        let Some(pivot) = (column..n).max_by(|a, b| size(a).total_cmp(&size(b))) else {
            return false;
        };
        if size(&pivot) < NOTHING {
            return false;
        }
        rows.swap(column, pivot);
        let pivot_row = rows[column];
        for (index, row) in rows[..n].iter_mut().enumerate() {
            if index != column {
                let factor = row[column] / pivot_row[column];
                for (value, above) in row[column..=n].iter_mut().zip(&pivot_row[column..=n]) {
                    *value -= factor * above;
                }
            }
        }
    }
    true
}

#[cfg(test)]
mod tests {
    use super::super::exact::exact_ratio;
    use super::*;
    use crate::num::to_f64;
    use crate::train::{ElementMask, GearSet, Layout};
    use itertools::Itertools;

    /// Floats and fractions say the same of every state of every choice of two elements.
    #[test]
    fn floats_follow_the_fractions() {
        let cores = [
            Core::new(&[[1, 2, 3], [1, 3, 4]], 5, 5, 3),
            Core::new(&[[1, 2, 3], [2, 4, 5]], 5, 1, 4),
            Core::new(&[[1, 2, 3], [1, 4, 0]], 4, 2, 3),
        ];
        let sets = vec![GearSet::single(30, 66), GearSet::single(24, 60)];
        let base: Vec<f64> = sets.iter().map(GearSet::base_ratio).collect();
        let mut live = 0;
        for core in cores {
            let engaged = core.engaged();
            for slots in core.slots().into_iter().combinations(engaged) {
                let layout = Layout::from_core(&core, &slots, sets.clone());
                let exact = exact_ratio(&layout, ElementMask::of(0..engaged));
                let float = Merged::new(&core, &slots).map_or(f64::NAN, |m| m.ratio(&base));
                match exact {
                    None => assert!(float.is_nan(), "{core:?} {slots:?}: {float}"),
                    Some(exact) => {
                        assert!((float / to_f64(&exact) - 1.0).abs() < 1e-12, "{core:?} {slots:?}");
                        live += 1;
                    }
                }
            }
        }
        assert!(live > 60, "{live}");
    }
}
