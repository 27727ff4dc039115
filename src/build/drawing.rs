//! A drawing of a layout that nests: what the nesting test promises, made.

use itertools::Itertools;

use super::draft::draft;
use super::plan::Plan;
use super::sheet::{LEFT, Owner, RIGHT, Sheet, UP};
use super::straighten::{cost, straightened};
use crate::train::{Core, Grip, HOUSING, Layout, Slot};

/// Embeddings that are tried.
const VARIANTS: usize = 2;
/// Drafts that are worked out.
const WORKED_OUT: usize = 3;

/// Sets, shafts, housing and elements in the half plane above the axis. No two lines meet
/// but at the mark of an element, and no line crosses a mesh.
///
/// Coordinates are ranks, not lengths: x from 0 on the input side to `width` on the output
/// side, y from 0, the axis, to `height`, where the housing is. Nothing but the input
/// reaches x = 0, nothing but the output x = `width`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Drawing {
    pub width: i32,
    pub height: i32,
    /// Where each set stands.
    pub columns: Vec<Column>,
    /// The sets along the axis, input side first.
    pub order: Vec<usize>,
    /// For each set, on which sides its carrier leaves; on neither if it only carries.
    pub carrier_sides: Vec<Sides>,
    /// The lines of every shaft; those of an element end at its mark.
    pub shafts: Vec<Vec<Segment>>,
    pub housing: Vec<Segment>,
    pub elements: Vec<Mark>,
}

/// A set: its sun, planet pin and ring stand above each other, with a mesh between each
/// two of them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Column {
    pub x: i32,
    pub sun: i32,
    pub pin: i32,
    pub ring: i32,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sides {
    pub left: bool,
    pub right: bool,
}

/// A straight line along the axis or away from it, the lesser end first. A shaft that is
/// one point has one segment without length.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Segment {
    pub from: Point,
    pub to: Point,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Point {
    pub x: i32,
    pub y: i32,
}

/// The symbol of an element, between two lines that end here from opposite sides.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Mark {
    pub at: Point,
    /// Where the line of the first-named shaft (of a brake: of its shaft) comes from.
    pub first: Direction,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Direction {
    Right,
    Up,
    Left,
    Down,
}

impl Direction {
    /// In the order of the sheet's directions.
    pub(super) const ALL: [Self; 4] = [Self::Right, Self::Up, Self::Left, Self::Down];

    #[must_use]
    pub fn opposite(self) -> Self {
        Self::ALL[(self as usize + 2) % 4]
    }
}

/// A drawing of the layout: there is one exactly when it nests.
pub fn drawing(layout: &Layout) -> Option<Drawing> {
    let (core, slots) = layout.wiring();
    let mut drawing = drawing_of_wiring(&core, &slots)?;
    for (mark, element) in drawing.elements.iter_mut().zip(&layout.elements) {
        if matches!(element.grip, Grip::Clutch(a, b) if a.0 > b.0) {
            mark.first = mark.first.opposite();
        }
    }
    Some(drawing)
}

/// The same for a core with elements in `slots`: shaft k of the drawing is seat k + 1, and
/// the first-named shaft of a clutch is the smaller seat.
pub fn drawing_of_wiring(core: &Core, slots: &[Slot]) -> Option<Drawing> {
    let plans: Vec<Plan> =
        (0..VARIANTS).map_while(|variant| Plan::new(core, slots, variant)).collect();
    let mut drafts: Vec<(usize, Sheet)> = Vec::new();
    for order in (0..core.sets()).permutations(core.sets()) {
        for plan in &plans {
            // More lines hardly ever make a drawing cheaper: give up what is too dear already.
            let bound = drafts.get(WORKED_OUT - 1).map_or(usize::MAX, |&(cost, _)| cost);
            let Some(sheet) = draft(plan, &order, |sheet| cost(sheet, slots) >= bound) else {
                continue;
            };
            let cost = cost(&sheet, slots);
            drafts.insert(drafts.partition_point(|other| other.0 <= cost), (cost, sheet));
            drafts.truncate(WORKED_OUT);
        }
    }
    let worked_out = drafts.into_iter().map(|(_, sheet)| straightened(sheet, slots));
    let (_, best) = worked_out.min_by_key(|&(cost, _)| cost)?;
    Some(Drawing::of(&best, core, slots))
}

impl Drawing {
    fn of(sheet: &Sheet, core: &Core, slots: &[Slot]) -> Self {
        let y = |cell: usize| sheet.y(cell) as i32;
        let column = |set: usize| {
            let [sun, pin, ring] = sheet.members(set);
            Column { x: sheet.x(sun) as i32, sun: y(sun), pin: y(pin), ring: y(ring) }
        };
        let sides = |set: usize| {
            let [left, right] = sheet.carrier_leaves(set);
            Sides { left, right }
        };
        let sets = 0..core.sets();
        Self {
            width: sheet.width as i32 - 1,
            height: sheet.height as i32 - 1,
            columns: sets.clone().map(column).collect(),
            order: sets.clone().sorted_by_key(|&set| sheet.columns[set]).collect(),
            carrier_sides: sets.map(sides).collect(),
            shafts: (1..=core.shafts).map(|shaft| segments(sheet, shaft)).collect(),
            housing: segments(sheet, HOUSING),
            elements: (0..slots.len()).map(|number| mark(sheet, number, slots[number])).collect(),
        }
    }
}

fn point(sheet: &Sheet, cell: usize) -> Point {
    Point { x: sheet.x(cell) as i32, y: sheet.y(cell) as i32 }
}

/// The longest straight pieces of a shaft's lines, up to the marks.
fn segments(sheet: &Sheet, shaft: u8) -> Vec<Segment> {
    let own = |cell: usize| sheet.cells[cell].owner == Owner::Piece(shaft);
    let mut segments = Vec::new();
    for direction in [RIGHT, UP] {
        let joined = |cell: usize| {
            let next = sheet.step(cell, direction).filter(|_| sheet.linked(cell, direction))?;
            (own(cell) || own(next)).then_some(next)
        };
        let mut ends: Vec<(usize, usize)> = Vec::new();
        for cell in 0..sheet.cells.len() {
            let Some(next) = joined(cell) else { continue };
            // Two lines of a shaft may end at a mark from both sides only if it is not theirs.
            match ends.iter_mut().find(|(_, end)| *end == cell && own(cell)) {
                Some((_, end)) => *end = next,
                None => ends.push((cell, next)),
            }
        }
        let segment = |(from, to)| Segment { from: point(sheet, from), to: point(sheet, to) };
        segments.extend(ends.into_iter().map(segment));
    }
    if segments.is_empty() {
        let alone = sheet.of(Owner::Piece(shaft)).map(|cell| point(sheet, cell));
        segments.extend(alone.map(|at| Segment { from: at, to: at }));
    }
    segments
}

fn mark(sheet: &Sheet, number: usize, slot: Slot) -> Mark {
    let cell = sheet.of(Owner::Mark(number as u8)).next().expect("every element is drawn");
    let first = if slot.is_brake() { slot.second } else { slot.first };
    let from_first = |&direction: &usize| {
        sheet.linked(cell, direction)
            && sheet
                .step(cell, direction)
                .is_some_and(|next| sheet.cells[next].owner == Owner::Piece(first))
    };
    let direction =
        [RIGHT, UP, LEFT, 3].into_iter().find(from_first).expect("a mark has two lines");
    Mark { at: point(sheet, cell), first: Direction::ALL[direction] }
}
