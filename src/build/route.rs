//! The cheapest way for one line across a sheet, through free points only.
//!
//! Source: E. W. Dijkstra, "A note on two problems in connexion with graphs", Numerische
//! Mathematik 1 (1959), on points with the direction in which they were reached.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use super::plan::Frame;
use super::sheet::{BRAKE, LEFT, Owner, RIGHT, SUN, Sheet, opposite};

/// A way for a line over an expanded sheet costs its steps, and:
const BEND: u32 = 12;
/// Beside every line in use.
const NEW_LINE: u32 = 6;
/// Across, up where only brakes should be, for every step.
const OVER_BRAKES: u32 = 8;
/// In or out above or below the suns, for every row.
const OFF_AXIS: u32 = 2;

/// Sides of points at which a line may end: bit d for side d.
pub(super) struct Ends(Vec<u8>);

impl Ends {
    pub fn new(sheet: &Sheet) -> Self {
        Self(vec![0; sheet.cells.len()])
    }

    pub fn add(&mut self, cell: usize, side: usize) {
        self.0[cell] |= 1 << side;
    }

    /// Everywhere on a part of the frame where nothing has come out yet.
    pub fn add_walls(&mut self, sheet: &Sheet, frame: Frame) {
        let side = match frame {
            Frame::Left => RIGHT,
            Frame::Right => LEFT,
            Frame::Top => super::sheet::DOWN,
        };
        for cell in sheet.of(Owner::Wall).filter(|&cell| sheet.frame(cell) == Some(frame)) {
            if sheet.y(cell) > 0 {
                self.add(cell, side);
            }
        }
    }
}

/// The points of a cheapest line that leaves from one of the `starts` (a point and a side)
/// and comes in at one of the `ends`; both are points that lines own already.
pub(super) fn route(sheet: &Sheet, starts: &[(usize, usize)], ends: &Ends) -> Option<Vec<usize>> {
    let mut search = Search::new(sheet, ends);
    for &(cell, side) in starts.iter().filter(|&&(cell, side)| sheet.step(cell, side).is_some()) {
        let new_line = if search.on_new_line(cell, side) { NEW_LINE } else { 0 };
        search.advance(cell, side, new_line, START);
    }
    search.run()
}

/// No state before this one.
const START: u32 = u32::MAX;

struct Search<'a> {
    sheet: &'a Sheet,
    ends: &'a Ends,
    /// Cost and the state before, for the state 4 · point + direction.
    best: Vec<(u32, u32)>,
    open: BinaryHeap<Reverse<(u32, u32)>>,
    /// From a point to the next one in each direction.
    beside: [isize; 4],
    /// The first point of the row for brakes.
    over_brakes: usize,
}

impl<'a> Search<'a> {
    fn new(sheet: &'a Sheet, ends: &'a Ends) -> Self {
        let best = vec![(u32::MAX, START); 4 * sheet.cells.len()];
        let width = sheet.width as isize;
        let beside = [1, width, -1, -width];
        let over_brakes = sheet.at(0, sheet.rows[BRAKE]);
        Self { sheet, ends, best, open: BinaryHeap::new(), beside, over_brakes }
    }

    /// Lines in use have even numbers on an expanded sheet.
    fn on_new_line(&self, cell: usize, direction: usize) -> bool {
        let across = matches!(direction, RIGHT | LEFT);
        (if across { self.sheet.y(cell) } else { self.sheet.x(cell) }) % 2 == 1
    }

    /// One step in a direction, if the point there is free or an end. There are walls all
    /// around, so a step from a free point stays on the sheet.
    fn advance(&mut self, cell: usize, direction: usize, cost: u32, before: u32) {
        let next = cell.wrapping_add_signed(self.beside[direction]);
        let end = self.ends.0[next] >> opposite(direction) & 1 == 1;
        if !end && self.sheet.cells[next].owner != Owner::Free {
            return;
        }
        let mut cost = cost + 1;
        if matches!(direction, RIGHT | LEFT) && next >= self.over_brakes {
            cost += OVER_BRAKES;
        }
        if self.sheet.cells[next].owner == Owner::Wall {
            cost += OFF_AXIS * self.sheet.y(next).abs_diff(self.sheet.rows[SUN]) as u32;
        }
        let state = 4 * next + direction;
        if cost < self.best[state].0 {
            // The start of a line is its point alone: 4 · point, with no state before.
            let before = if before == START { START - 1 - cell as u32 } else { before };
            self.best[state] = (cost, before);
            self.open.push(Reverse((cost, state as u32)));
        }
    }

    fn run(mut self) -> Option<Vec<usize>> {
        while let Some(Reverse((cost, state))) = self.open.pop() {
            if cost > self.best[state as usize].0 {
                continue;
            }
            let (cell, direction) = (state as usize / 4, state as usize % 4);
            if self.sheet.cells[cell].owner != Owner::Free {
                return Some(self.way_to(state));
            }
            for turn in [0, 1, 3] {
                let next = (direction + turn) % 4;
                let mut cost = cost;
                if turn != 0 {
                    cost += BEND + if self.on_new_line(cell, next) { NEW_LINE } else { 0 };
                }
                self.advance(cell, next, cost, state);
            }
        }
        None
    }

    fn way_to(&self, mut state: u32) -> Vec<usize> {
        let states = self.best.len() as u32;
        let mut way = Vec::new();
        loop {
            way.push(state as usize / 4);
            let before = self.best[state as usize].1;
            if before >= states {
                way.push((START - 1 - before) as usize);
                way.reverse();
                return way;
            }
            state = before;
        }
    }
}
