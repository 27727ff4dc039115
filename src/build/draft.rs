//! The first drawing of a plan: edge by edge, each in its own corner.
//!
//! # Why this never fails
//!
//! The sets and the frame start as pieces of their own. First come edges that join two
//! components. What is drawn is then a forest, and the frame: it leaves the half plane in
//! one piece, so there is a way from any corner to any other. Every further edge has its
//! two corners on one component, whose edges stand in the order of the plan's embedding.
//! So the two corners lie in one face of the component, and other components, each in one
//! piece, do not cut that face. On a grid twice as fine as the lines in use, every way
//! through a face is a way along free points.

use super::plan::{Edge, Frame, Plan};
use super::route::{Ends, route};
use super::sheet::{BRAKE, DOWN, Owner, PIN, RIGHT, RING, SUN, Sheet, UP};

/// A drawing of the plan with the sets in the given axial order. Pieces are numbered as
/// shafts, 0 the housing, and marks as elements. `None` if there is `enough` on a sheet
/// that is not yet complete.
pub(super) fn draft(
    plan: &Plan,
    order: &[usize],
    enough: impl Fn(&Sheet) -> bool,
) -> Option<Sheet> {
    let mut draft = Draft::new(plan, order);
    let (mut early, mut late) = (draft.waiting(), Vec::new());
    early.retain(|&edge| {
        let [a, b] = draft.ends(edge).map(|vertex| draft.component[vertex]);
        if a == b {
            late.push(edge);
        } else {
            draft.component.iter_mut().filter(|c| **c == b).for_each(|c| *c = a);
        }
        a != b
    });
    for edge in early.into_iter().chain(late) {
        draft.draw(edge)?;
        if enough(&draft.sheet) {
            return None;
        }
    }
    Some(draft.finished())
}

struct Draft<'a> {
    plan: &'a Plan,
    sheet: Sheet,
    /// The component of every vertex, and of every member that waits to be joined.
    component: Vec<usize>,
    /// Whether the sun and the ring of each set wait to be joined to their shaft.
    unjoined: Vec<[bool; 2]>,
    /// Whether input, output and housing are out already.
    out: [bool; 3],
}

impl<'a> Draft<'a> {
    fn new(plan: &'a Plan, order: &[usize]) -> Self {
        let mut columns = vec![0; plan.sets];
        order.iter().enumerate().for_each(|(place, &set)| columns[set] = place + 1);
        let vertices = plan.shafts.len();
        let mut draft = Self {
            plan,
            sheet: Sheet::new(plan.sets + 2 + vertices, 7, columns, [1, 2, 3, 5]),
            component: (0..vertices + 2 * plan.sets).collect(),
            unjoined: vec![[true; 2]; plan.sets],
            out: [false; 3],
        };
        draft.place_members(order);
        draft.place_bare();
        draft.sheet = draft.sheet.compressed();
        draft
    }

    fn piece(&self, cell: usize) -> Option<usize> {
        match self.sheet.cells[cell].owner {
            Owner::Piece(piece) => Some(usize::from(piece)),
            _ => None,
        }
    }

    fn unjoined_piece(&self, set: usize, ring: bool) -> usize {
        self.plan.shafts.len() + Plan::mesh(set, ring)
    }

    /// A carrier starts its vertex, the housing starts at the top unless a carrier is held,
    /// and every other shaft starts at its first member.
    fn place_members(&mut self, order: &[usize]) {
        let mut started: Vec<usize> = self.plan.pins.clone();
        if !started.contains(&0) {
            self.grow_top();
            started.push(0);
        }
        for &set in order {
            let pin = self.plan.pins[set];
            self.put(set, PIN, pin);
            for (ring, row) in [(false, SUN), (true, RING)] {
                let home = self.plan.edges[Plan::mesh(set, ring)][1];
                let first = !started.contains(&home);
                let piece = if first { home } else { self.unjoined_piece(set, ring) };
                started.push(home);
                self.put(set, row, piece);
                self.unjoined[set][usize::from(ring)] = !first;
                self.unite(pin, piece);
            }
        }
    }

    fn put(&mut self, set: usize, row: usize, piece: usize) {
        let cell = self.sheet.at(self.sheet.columns[set], self.sheet.rows[row]);
        self.sheet.cells[cell].owner = Owner::Piece(piece as u8);
    }

    fn unite(&mut self, a: usize, b: usize) {
        let (a, b) = (self.component[a], self.component[b]);
        self.component.iter_mut().filter(|c| **c == b).for_each(|c| *c = a);
    }

    /// Shafts without members: input and output start on their sides, others anywhere.
    fn place_bare(&mut self) {
        let outer = self.plan.outer();
        for vertex in (0..self.plan.shafts.len()).filter(|&vertex| vertex != outer) {
            let sheet = &self.sheet;
            if sheet.of(Owner::Piece(vertex as u8)).next().is_some() {
                continue;
            }
            let tie = |frame: Frame| self.plan.edges[self.plan.tie(frame)][1] == vertex;
            let cell = if tie(Frame::Left) {
                sheet.at(0, sheet.rows[SUN])
            } else if tie(Frame::Right) {
                sheet.at(sheet.width - 1, sheet.rows[SUN])
            } else {
                sheet.at(self.plan.sets + 1 + vertex, sheet.rows[RING] + 1)
            };
            for (frame, tie) in [(Frame::Left, tie(Frame::Left)), (Frame::Right, tie(Frame::Right))]
            {
                self.out[frame as usize] |= tie;
                if tie {
                    self.unite(outer, vertex);
                }
            }
            self.sheet.cells[cell].owner = Owner::Piece(vertex as u8);
        }
    }

    /// The whole upper edge becomes housing.
    fn grow_top(&mut self) {
        let vertex = self.plan.edges[self.plan.tie(Frame::Top)][1];
        let top = self.sheet.at(0, self.sheet.height - 1);
        for cell in top..self.sheet.cells.len() {
            self.sheet.cells[cell].owner = Owner::Piece(vertex as u8);
        }
        (top..self.sheet.cells.len() - 1).for_each(|cell| self.sheet.link(cell, RIGHT));
        self.out[Frame::Top as usize] = true;
        self.unite(self.plan.outer(), vertex);
    }

    /// Edges that are still to be drawn: members to their shafts, the ways out, links of
    /// carriers, brakes, clutches.
    fn waiting(&self) -> Vec<usize> {
        let plan = self.plan;
        let members = (0..2 * plan.sets).filter(|&edge| self.unjoined[edge / 2][edge % 2]);
        let ties = (0..3).filter(|&tie| !self.out[tie]).map(|tie| 2 * plan.sets + tie);
        let slots = plan.element(0)..plan.element(plan.slots);
        let links = plan.element(plan.slots)..plan.edges.len();
        let brake = |&edge: &usize| plan.shafts[plan.edges[edge][0]] == 0;
        let brakes = slots.clone().filter(brake);
        let clutches = slots.filter(|edge| !brake(edge));
        members.chain(ties).chain(links).chain(brakes).chain(clutches).collect()
    }

    /// The pieces that an edge joins.
    fn ends(&self, edge: usize) -> [usize; 2] {
        let [a, b] = self.plan.edges[edge];
        match self.plan.edge(edge) {
            Edge::Mesh => [self.unjoined_piece(edge / 2, edge % 2 == 1), b],
            _ => [a, b],
        }
    }

    fn draw(&mut self, edge: usize) -> Option<()> {
        let [a, b] = self.ends(edge);
        self.sheet = self.sheet.expanded();
        let mut ends = Ends::new(&self.sheet);
        let starts = match self.plan.edge(edge) {
            Edge::Tie(frame) => {
                ends.add_walls(&self.sheet, frame);
                self.corner(b, 2 * edge + 1)
            }
            kind => {
                self.corner(b, 2 * edge + 1)
                    .into_iter()
                    .for_each(|(cell, side)| ends.add(cell, side));
                if kind == Edge::Mesh { self.whole(a) } else { self.corner(a, 2 * edge) }
            }
        };
        let path = route(&self.sheet, &starts, &ends)?;
        match self.plan.edge(edge) {
            Edge::Mesh => {
                self.rename(a, b);
                lay(&mut self.sheet, &path, b as u8);
            }
            Edge::Tie(frame) => {
                lay(&mut self.sheet, &path, b as u8);
                if frame == Frame::Top {
                    self.grow_top();
                }
            }
            Edge::Element(number) => {
                let brake = number < self.plan.slots && self.plan.shafts[a] == 0;
                lay_element(&mut self.sheet, &path, number as u8, [a as u8, b as u8], brake);
            }
        }
        self.sheet = self.sheet.compressed();
        Some(())
    }

    fn rename(&mut self, old: usize, new: usize) {
        let old: Vec<usize> = self.sheet.of(Owner::Piece(old as u8)).collect();
        old.into_iter().for_each(|cell| self.sheet.cells[cell].owner = Owner::Piece(new as u8));
    }

    fn whole(&self, piece: usize) -> Vec<(usize, usize)> {
        let start = self.sheet.of(Owner::Piece(piece as u8)).next();
        start.map_or(Vec::new(), |start| self.sheet.contour(start))
    }

    /// The sides of a vertex's piece at which an edge may be drawn: those after which,
    /// going clockwise, the edge follows that follows in the plan.
    fn corner(&self, vertex: usize, half: usize) -> Vec<(usize, usize)> {
        let sides = self.whole(vertex);
        let met: Vec<Option<usize>> = sides.iter().map(|&(c, s)| self.half_edge(c, s)).collect();
        let drawn: Vec<usize> = met.iter().copied().flatten().collect();
        let Some(wanted) = self.plan.next(vertex, half, &drawn) else { return sides };
        let mut next = *drawn.first().expect("an edge follows");
        let mut corner = Vec::new();
        for (&side, met) in sides.iter().zip(met).rev() {
            match met {
                Some(half) => next = half,
                None if next == wanted => corner.push(side),
                None => {}
            }
        }
        corner
    }

    /// The half-edge that lies at a side of a piece.
    fn half_edge(&self, cell: usize, side: usize) -> Option<usize> {
        let Some(next) = self.sheet.step(cell, side) else {
            let vertex = self.piece(cell)?;
            let ties = [Frame::Left, Frame::Right, Frame::Top].map(|frame| self.plan.tie(frame));
            let tie = ties.into_iter().find(|&tie| self.plan.edges[tie][1] == vertex)?;
            return Some(2 * tie + 1);
        };
        if self.sheet.meshes(cell, side) {
            let (set, row) = self.sheet.member(cell)?;
            return Some(match (row, side) {
                (PIN, UP) => 2 * Plan::mesh(set, true),
                (PIN, _) => 2 * Plan::mesh(set, false),
                (row, _) => 2 * Plan::mesh(set, row == RING) + 1,
            });
        }
        match self.sheet.cells[next].owner {
            Owner::Mark(number) if self.sheet.linked(cell, side) => {
                let edge = self.plan.element(usize::from(number));
                Some(2 * edge + usize::from(Some(self.plan.edges[edge][0]) != self.piece(cell)))
            }
            _ => None,
        }
    }

    /// Pieces take the numbers of their shafts, links of carriers become plain lines.
    fn finished(mut self) -> Sheet {
        for cell in &mut self.sheet.cells {
            if let Owner::Piece(piece) = cell.owner {
                cell.owner = Owner::Piece(self.plan.shafts[usize::from(piece)] as u8);
            }
        }
        for cell in 0..self.sheet.cells.len() {
            match self.sheet.cells[cell].owner {
                Owner::Mark(number) if usize::from(number) >= self.plan.slots => {
                    let [a, _] = self.plan.edges[self.plan.element(usize::from(number))];
                    self.sheet.cells[cell].owner = Owner::Piece(self.plan.shafts[a] as u8);
                }
                _ => {}
            }
        }
        self.sheet.compressed()
    }
}

/// Draws a line of one piece.
pub(super) fn lay(sheet: &mut Sheet, path: &[usize], piece: u8) {
    for pair in path.windows(2) {
        sheet.link(pair[0], sheet.direction(pair[0], pair[1]));
    }
    path.iter().for_each(|&cell| sheet.cells[cell].owner = Owner::Piece(piece));
}

/// Draws the line of an element from the first piece to the second, with its mark.
pub(super) fn lay_element(
    sheet: &mut Sheet,
    path: &[usize],
    number: u8,
    pieces: [u8; 2],
    brake: bool,
) {
    let Some(at) = mark_place(sheet, path, brake) else {
        // No straight piece of two steps: there is one on a finer grid.
        let corners: Vec<(usize, usize)> =
            path.iter().map(|&c| (2 * sheet.x(c), 2 * sheet.y(c))).collect();
        *sheet = sheet.expanded();
        let mut fine = vec![sheet.at(corners[0].0, corners[0].1)];
        for pair in corners.windows(2) {
            let [(x, y), (to_x, to_y)] = [pair[0], pair[1]];
            fine.extend([sheet.at(x.midpoint(to_x), y.midpoint(to_y)), sheet.at(to_x, to_y)]);
        }
        return lay_element(sheet, &fine, number, pieces, brake);
    };
    lay(sheet, path, pieces[1]);
    path[..at].iter().for_each(|&cell| sheet.cells[cell].owner = Owner::Piece(pieces[0]));
    sheet.cells[path[at]].owner = Owner::Mark(number);
}

/// Where on a path the mark of an element looks best: a brake up at the housing, a clutch
/// far from bends on a line along the axis; never on a bend.
fn mark_place(sheet: &Sheet, path: &[usize], brake: bool) -> Option<usize> {
    let direction = |at: usize| sheet.direction(path[at], path[at + 1]);
    let straight = |at: &usize| direction(at - 1) == direction(*at);
    let ugliness = |at: &usize| {
        if brake {
            let in_row = sheet.y(path[*at]) == sheet.rows[BRAKE] && direction(*at) == DOWN;
            return if in_row { 0 } else { 1 + *at };
        }
        let room = |turns: &mut dyn Iterator<Item = usize>| {
            turns.take_while(|&other| direction(other) == direction(*at)).count()
        };
        let room = room(&mut (*at..path.len() - 1)).min(room(&mut (0..*at).rev())).min(4);
        let vertical = matches!(direction(*at), UP | DOWN);
        let at_set = sheet.columns.contains(&sheet.x(path[*at]));
        20 * usize::from(vertical) + 10 * usize::from(at_set) + 4 * (4 - room)
    };
    (1..path.len() - 1).filter(straight).min_by_key(ugliness)
}
