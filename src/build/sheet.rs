//! The sheet a drawing is made on: a grid of points, what lies on each and where it goes on.

use super::plan::Frame;

/// Directions in counter-clockwise order; `(d + 2) % 4` is opposite, `(d + 3) % 4` is next
/// clockwise.
pub(super) const RIGHT: usize = 0;
pub(super) const UP: usize = 1;
pub(super) const LEFT: usize = 2;
pub(super) const DOWN: usize = 3;

pub(super) fn opposite(direction: usize) -> usize {
    (direction + 2) % 4
}

/// What lies on a point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Owner {
    Free,
    /// The edge of the sheet, where nothing has come out yet.
    Wall,
    Mesh,
    /// The symbol of an element, or of a link between carriers.
    Mark(u8),
    /// A line of a shaft, or of a piece of one.
    Piece(u8),
}

/// A point of the sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Cell {
    pub owner: Owner,
    /// Bit d: joined to the next point in direction d. Bit 4 + d: by a mesh.
    pub links: u8,
}

const FREE: Cell = Cell { owner: Owner::Free, links: 0 };
const ACROSS: u8 = 1 << RIGHT | 1 << LEFT;
const UPRIGHT: u8 = 1 << UP | 1 << DOWN;

#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Sheet {
    pub width: usize,
    pub height: usize,
    /// Row by row from the axis up.
    pub cells: Vec<Cell>,
    /// x of every set.
    pub columns: Vec<usize>,
    /// y of the suns, pins, rings, and of the row kept for brakes.
    pub rows: [usize; 4],
}

/// Places in [`Sheet::rows`].
pub(super) const SUN: usize = 0;
pub(super) const PIN: usize = 1;
pub(super) const RING: usize = 2;
pub(super) const BRAKE: usize = 3;

impl Sheet {
    /// Walls all around; every set as a column, its points not yet anybody's.
    pub fn new(width: usize, height: usize, columns: Vec<usize>, rows: [usize; 4]) -> Self {
        let cells = vec![FREE; width * height];
        let mut sheet = Self { width, height, cells, columns, rows };
        sheet.wall();
        for x in sheet.columns.clone() {
            for (low, high) in [(rows[SUN], rows[PIN]), (rows[PIN], rows[RING])] {
                let (low, high) = (sheet.at(x, low), sheet.at(x, high));
                sheet.cells[low].links |= 16 << UP;
                sheet.cells[high].links |= 16 << DOWN;
            }
        }
        sheet
    }

    fn wall(&mut self) {
        let (width, last) = (self.width, self.cells.len() - 1);
        let rows = (0..width).flat_map(|x| [x, last - x]);
        let sides = (0..self.height).flat_map(|y| [y * width, y * width + width - 1]);
        for cell in rows.chain(sides) {
            if self.cells[cell].owner == Owner::Free {
                self.cells[cell].owner = Owner::Wall;
            }
        }
    }

    pub fn at(&self, x: usize, y: usize) -> usize {
        y * self.width + x
    }

    pub fn x(&self, cell: usize) -> usize {
        cell % self.width
    }

    pub fn y(&self, cell: usize) -> usize {
        cell / self.width
    }

    /// Which part of the frame a point is on; the upper corners belong to the top.
    pub fn frame(&self, cell: usize) -> Option<Frame> {
        match (self.x(cell), self.y(cell)) {
            (_, y) if y + 1 == self.height => Some(Frame::Top),
            (0, _) => Some(Frame::Left),
            (x, _) if x + 1 == self.width => Some(Frame::Right),
            _ => None,
        }
    }

    /// The next point in a direction, if the sheet goes on there.
    pub fn step(&self, cell: usize, direction: usize) -> Option<usize> {
        let (x, y) = (self.x(cell), self.y(cell));
        match direction {
            RIGHT if x + 1 < self.width => Some(cell + 1),
            UP if y + 1 < self.height => Some(cell + self.width),
            LEFT if x > 0 => Some(cell - 1),
            DOWN if y > 0 => Some(cell - self.width),
            _ => None,
        }
    }

    pub fn linked(&self, cell: usize, direction: usize) -> bool {
        self.cells[cell].links >> direction & 1 == 1
    }

    pub fn meshes(&self, cell: usize, direction: usize) -> bool {
        self.cells[cell].links >> (4 + direction) & 1 == 1
    }

    /// The next point of the same piece in a direction.
    pub fn along(&self, cell: usize, direction: usize) -> Option<usize> {
        let next = self.step(cell, direction).filter(|_| self.linked(cell, direction))?;
        (self.cells[next].owner == self.cells[cell].owner).then_some(next)
    }

    pub fn link(&mut self, cell: usize, direction: usize) {
        let next = self.step(cell, direction).expect("links stay on the sheet");
        self.cells[cell].links |= 1 << direction;
        self.cells[next].links |= 1 << opposite(direction);
    }

    pub fn unlink(&mut self, cell: usize, direction: usize) {
        let next = self.step(cell, direction).expect("links stay on the sheet");
        self.cells[cell].links &= !(1 << direction);
        self.cells[next].links &= !(1 << opposite(direction));
    }

    /// The direction from a point to the one beside it.
    pub fn direction(&self, from: usize, to: usize) -> usize {
        (0..4).find(|&d| self.step(from, d) == Some(to)).expect("the points are neighbours")
    }

    pub fn of(&self, owner: Owner) -> impl Iterator<Item = usize> {
        (0..self.cells.len()).filter(move |&cell| self.cells[cell].owner == owner)
    }

    /// A sun, pin or ring: the set and its row.
    pub fn member(&self, cell: usize) -> Option<(usize, usize)> {
        if self.cells[cell].links < 16 || self.cells[cell].owner == Owner::Mesh {
            return None;
        }
        let set = self.columns.iter().position(|&x| x == self.x(cell))?;
        let row = self.rows[..BRAKE].iter().position(|&y| y == self.y(cell))?;
        Some((set, row))
    }

    /// Once clockwise around the piece that `start` is on: every side of its points from
    /// which the piece does not go on.
    pub fn contour(&self, start: usize) -> Vec<(usize, usize)> {
        let mut sides = Vec::new();
        let (mut cell, mut side) = (start, RIGHT);
        loop {
            if let Some(next) = self.along(cell, side) {
                cell = next;
                side = opposite(side);
            } else {
                sides.push((cell, side));
            }
            side = (side + 3) % 4;
            if (cell, side) == (start, RIGHT) {
                return sides;
            }
        }
    }

    /// The whole sheet on twice as fine a grid.
    pub fn expanded(&self) -> Self {
        let (width, height) = (2 * self.width - 1, 2 * self.height - 1);
        let columns = self.columns.iter().map(|x| 2 * x).collect();
        let cells = vec![FREE; width * height];
        let mut fine = Self { width, height, cells, columns, rows: self.rows.map(|y| 2 * y) };
        for (cell, &content) in self.cells.iter().enumerate() {
            if matches!(content.owner, Owner::Free | Owner::Wall) {
                continue;
            }
            let at = fine.at(2 * self.x(cell), 2 * self.y(cell));
            fine.cells[at] = content;
            for (direction, links) in [(RIGHT, ACROSS), (UP, UPRIGHT)] {
                let middle = at + if direction == RIGHT { 1 } else { width };
                if self.meshes(cell, direction) {
                    fine.cells[middle] = Cell { owner: Owner::Mesh, links: links << 4 };
                } else if self.linked(cell, direction) {
                    let next = self.step(cell, direction).expect("links stay on the sheet");
                    let mark = matches!(content.owner, Owner::Mark(_));
                    let owner = if mark { self.cells[next].owner } else { content.owner };
                    fine.cells[middle] = Cell { owner, links };
                }
            }
        }
        fine.wall();
        fine
    }

    /// The sheet without the rows and columns in which nothing ends, bends or stands.
    pub fn compressed(&self) -> Self {
        let mut across = vec![false; self.width];
        let mut up = vec![false; self.height];
        across[0] = true;
        across[self.width - 1] = true;
        up[0] = true;
        up[self.height - 1] = true;
        self.rows.iter().for_each(|&y| up[y] = true);
        for (cell, content) in self.cells.iter().enumerate() {
            if matches!(content.owner, Owner::Free | Owner::Wall) {
                continue;
            }
            let straight = |direction: usize, links: u8| {
                (content.links == links || content.links == links << 4)
                    && !matches!(content.owner, Owner::Mark(_))
                    && !self.between_marks(cell, direction)
            };
            across[self.x(cell)] |= !straight(RIGHT, ACROSS);
            up[self.y(cell)] |= !straight(UP, UPRIGHT);
        }
        let kept =
            |used: &[bool]| -> Vec<usize> { (0..used.len()).filter(|&line| used[line]).collect() };
        let (xs, ys) = (kept(&across), kept(&up));
        let rank = |kept: &[usize], line: usize| kept.partition_point(|&k| k < line);
        Self {
            width: xs.len(),
            height: ys.len(),
            cells: ys
                .iter()
                .flat_map(|&y| xs.iter().map(move |&x| self.cells[self.at(x, y)]))
                .collect(),
            columns: self.columns.iter().map(|&x| rank(&xs, x)).collect(),
            rows: self.rows.map(|y| rank(&ys, y)),
        }
    }

    /// Whether a straight line runs from a mark just before the point to another mark: then
    /// the point must stay, or the shaft between the marks would be gone.
    fn between_marks(&self, cell: usize, direction: usize) -> bool {
        let mark = |cell: usize| matches!(self.cells[cell].owner, Owner::Mark(_));
        if !self.step(cell, opposite(direction)).is_some_and(mark) {
            return false;
        }
        let mut end = cell;
        while let Some(next) = self.step(end, direction).filter(|_| self.linked(end, direction)) {
            end = next;
            if mark(end) {
                return true;
            }
            if self.cells[end].links & !ACROSS != 0 && self.cells[end].links & !UPRIGHT != 0 {
                return false;
            }
        }
        false
    }
}
