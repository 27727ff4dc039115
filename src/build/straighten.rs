//! Makes a true drawing a good one: pulls out one line after the other and lays it again.
//!
//! A line that is laid anew may take any free way, not only one in its old corner: the
//! drawing stays free of crossings whatever the way, and so finds better embeddings too.

use super::draft::{lay, lay_element};
use super::plan::Frame;
use super::route::{Ends, route};
use super::sheet::{BRAKE, DOWN, LEFT, Owner, PIN, RIGHT, RING, SUN, Sheet, UP, opposite};
use crate::train::{HOUSING, Slot};

/// What makes a drawing hard to read; the least sum is best.
const BEND: usize = 12;
const JUNCTION: usize = 5;
const CROSSING_JUNCTION: usize = 9;
/// A row or column of the grid.
const TRACK: usize = 4;
const BRAKE_ELSEWHERE: usize = 12;
const UPRIGHT_CLUTCH: usize = 5;
/// A row between the suns and the way in or out.
const OFF_AXIS: usize = 5;

pub(super) fn cost(sheet: &Sheet, slots: &[Slot]) -> usize {
    let mut cost = TRACK * (sheet.width + sheet.height);
    for (cell, content) in sheet.cells.iter().enumerate() {
        if content.links & 15 == 0 {
            continue;
        }
        let has = |direction: usize| usize::from(sheet.linked(cell, direction));
        let frame = sheet.frame(cell);
        if frame == Some(Frame::Top) {
            continue;
        }
        cost += has(RIGHT) + has(UP);
        match content.owner {
            Owner::Mark(number) => {
                let at_top = sheet.y(cell) == sheet.rows[BRAKE] && has(UP) == 1;
                // What is no element is a link that a draft still has a mark on.
                cost += match slots.get(usize::from(number)).map(|slot| slot.is_brake()) {
                    Some(true) if !at_top => BRAKE_ELSEWHERE,
                    Some(false) if has(UP) == 1 => UPRIGHT_CLUTCH,
                    _ => 0,
                };
            }
            Owner::Piece(_) if frame.is_some() => {
                cost += OFF_AXIS * sheet.y(cell).abs_diff(sheet.rows[SUN]);
            }
            Owner::Piece(_) => {
                let across = has(RIGHT) + has(LEFT);
                cost += match (across, has(UP) + has(DOWN)) {
                    (1, 1) => BEND,
                    (2, 2) => CROSSING_JUNCTION,
                    // Both sides of a carrier, or of a sun that goes on, are no junction.
                    (1, 2) | (2, 1) => JUNCTION,
                    _ => 0,
                };
            }
            _ => {}
        }
    }
    cost
}

/// The sheet after every line has found its best way among the others.
pub(super) fn straightened(mut sheet: Sheet, slots: &[Slot]) -> (usize, Sheet) {
    sheet.prune_all();
    sheet = sheet.compressed();
    let mut least = cost(&sheet, slots);
    let mut lines = lines(&sheet, slots);
    let (mut at, mut in_vain) = (0, 0);
    while in_vain < lines.len() {
        let line = lines[at % lines.len()];
        at += 1;
        in_vain += 1;
        let Some(other) = laid_again(&sheet, line, slots) else { continue };
        let other_cost = cost(&other, slots);
        if other_cost < least {
            (least, sheet) = (other_cost, other);
            lines = self::lines(&sheet, slots);
            in_vain = 0;
        }
    }
    (least, sheet)
}

/// A line that can be pulled out without breaking more than itself.
#[derive(Clone, Copy)]
enum Line {
    Element(usize),
    /// Of one shaft, from a point that is an end or a junction, in a direction.
    Shaft(usize, usize),
}

fn lines(sheet: &Sheet, slots: &[Slot]) -> Vec<Line> {
    let mut lines: Vec<Line> = (0..slots.len()).map(Line::Element).collect();
    for cell in (0..sheet.cells.len()).filter(|&cell| sheet.is_node(cell)) {
        for direction in 0..4 {
            let top = |cell: usize| sheet.frame(cell) == Some(Frame::Top);
            let Some(next) = sheet.along(cell, direction) else { continue };
            if top(cell) && top(next) {
                continue;
            }
            let chain = sheet.chain(cell, direction);
            if chain.last().is_some_and(|&end| end > cell && sheet.is_node(end)) {
                lines.push(Line::Shaft(cell, direction));
            }
        }
    }
    lines
}

fn laid_again(sheet: &Sheet, line: Line, slots: &[Slot]) -> Option<Sheet> {
    match line {
        Line::Element(number) => element_again(sheet, number, slots[number]),
        Line::Shaft(cell, direction) => shaft_again(sheet, cell, direction),
    }
}

fn element_again(sheet: &Sheet, number: usize, slot: Slot) -> Option<Sheet> {
    let mut sheet = sheet.clone();
    let mark = sheet.of(Owner::Mark(number as u8)).next()?;
    let direction = (0..4).find(|&d| sheet.linked(mark, d))?;
    let (mut first, mut second) =
        (sheet.step(mark, direction)?, sheet.step(mark, opposite(direction))?);
    if sheet.cells[first].owner != Owner::Piece(slot.first) {
        (first, second) = (second, first);
    }
    sheet.unlink(mark, direction);
    sheet.unlink(mark, opposite(direction));
    sheet.clear(mark);
    let (first, second) = (sheet.prune(first), sheet.prune(second));
    let (mut sheet, [first, second]) = finer(&sheet, [first, second]);
    let mut ends = Ends::new(&sheet);
    sheet.contour(second).into_iter().for_each(|(cell, side)| ends.add(cell, side));
    let path = route(&sheet, &sheet.contour(first), &ends)?;
    let brake = slot.first == HOUSING;
    lay_element(&mut sheet, &path, number as u8, [slot.first, slot.second], brake);
    Some(sheet.compressed())
}

fn shaft_again(sheet: &Sheet, start: usize, direction: usize) -> Option<Sheet> {
    let mut sheet = sheet.clone();
    let Owner::Piece(piece) = sheet.cells[start].owner else { return None };
    let chain = sheet.chain(start, direction);
    let mut before = start;
    for &cell in &chain {
        sheet.unlink(before, sheet.direction(before, cell));
        before = cell;
    }
    chain[..chain.len() - 1].iter().for_each(|&cell| sheet.clear(cell));
    let side = |cell: usize| {
        let bare = sheet.cells[cell].links == 0;
        sheet.frame(cell).filter(|&frame| bare && frame != Frame::Top)
    };
    // A way in or out may come out elsewhere.
    let (from, to) = if side(start).is_some() { (before, start) } else { (start, before) };
    let frame = side(to);
    if frame.is_some() {
        sheet.clear(to);
    }
    let (mut sheet, [from, to]) = finer(&sheet, [from, to]);
    let mut ends = Ends::new(&sheet);
    match frame {
        Some(frame) => ends.add_walls(&sheet, frame),
        None => sheet.contour(to).into_iter().for_each(|(cell, side)| ends.add(cell, side)),
    }
    let path = route(&sheet, &sheet.contour(from), &ends)?;
    lay(&mut sheet, &path, piece);
    Some(sheet.compressed())
}

/// The expanded sheet, and where two of its points are then.
fn finer(sheet: &Sheet, cells: [usize; 2]) -> (Sheet, [usize; 2]) {
    let fine = sheet.expanded();
    let moved = cells.map(|cell| fine.at(2 * sheet.x(cell), 2 * sheet.y(cell)));
    (fine, moved)
}

impl Sheet {
    fn is_terminal(&self, cell: usize) -> bool {
        self.member(cell).is_some() || self.frame(cell).is_some()
    }

    fn links(&self, cell: usize) -> u32 {
        (self.cells[cell].links & 15).count_ones()
    }

    /// Ends, junctions, members and ways out.
    fn is_node(&self, cell: usize) -> bool {
        matches!(self.cells[cell].owner, Owner::Piece(_))
            && (self.links(cell) != 2 || self.is_terminal(cell))
    }

    /// Points from beside a node up to the next node, or to the last before a mark.
    fn chain(&self, node: usize, direction: usize) -> Vec<usize> {
        let (mut cell, mut direction, mut chain) = (node, direction, Vec::new());
        while let Some(next) = self.along(cell, direction) {
            chain.push(next);
            if self.is_node(next) {
                break;
            }
            let on = |d: &usize| *d != opposite(direction) && self.linked(next, *d);
            (cell, direction) = (next, (0..4).find(on).expect("a line goes on"));
        }
        chain
    }

    fn clear(&mut self, cell: usize) {
        let frame = self.frame(cell).is_some() || self.y(cell) == 0;
        self.cells[cell].owner = if frame { Owner::Wall } else { Owner::Free };
        self.cells[cell].links = 0;
    }

    /// Takes away a loose end up to where something holds it, and says where that is.
    fn prune(&mut self, mut end: usize) -> usize {
        while !self.is_terminal(end) && self.links(end) == 1 {
            let direction = (0..4).find(|&d| self.linked(end, d)).expect("one link");
            let Some(next) = self.along(end, direction) else { break };
            self.unlink(end, direction);
            self.clear(end);
            end = next;
        }
        end
    }

    fn prune_all(&mut self) {
        for cell in 0..self.cells.len() {
            if matches!(self.cells[cell].owner, Owner::Piece(_)) {
                self.prune(cell);
            }
        }
    }

    /// Whether the carrier of a set leaves on the left and on the right.
    pub fn carrier_leaves(&self, set: usize) -> [bool; 2] {
        let pin = self.at(self.columns[set], self.rows[PIN]);
        [LEFT, RIGHT].map(|direction| self.linked(pin, direction))
    }

    /// Sun, pin and ring of a set.
    pub fn members(&self, set: usize) -> [usize; 3] {
        [SUN, PIN, RING].map(|row| self.at(self.columns[set], self.rows[row]))
    }
}
