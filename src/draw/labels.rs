//! Where names go beside their marks so that no two boxes overlap.

use super::canvas::{Anchor, text_width};

/// A box in pixels.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Block {
    pub left: f64,
    pub top: f64,
    pub right: f64,
    pub bottom: f64,
}

impl Block {
    pub fn around(at: (f64, f64), half: f64) -> Self {
        Self { left: at.0 - half, top: at.1 - half, right: at.0 + half, bottom: at.1 + half }
    }

    /// Around the line between two points.
    pub fn along(a: (f64, f64), b: (f64, f64), half: f64) -> Self {
        Self {
            left: a.0.min(b.0) - half,
            top: a.1.min(b.1) - half,
            right: a.0.max(b.0) + half,
            bottom: a.1.max(b.1) + half,
        }
    }

    pub fn overlaps(&self, other: &Self) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }

    fn inside(&self, outer: &Self) -> bool {
        self.left >= outer.left
            && self.right <= outer.right
            && self.top >= outer.top
            && self.bottom <= outer.bottom
    }
}

/// A name with a place.
#[derive(Clone, Copy, Debug)]
pub(super) struct Placed {
    /// Point and anchor of the text.
    pub at: (f64, f64),
    pub anchor: Anchor,
    /// Whether a line should lead from the mark to the text.
    pub far: bool,
    pub block: Block,
}

/// Directions in order of liking: beside, then the corners, then above and below.
const WAYS: [(f64, f64); 8] = [
    (1.0, 0.0),
    (-1.0, 0.0),
    (0.8, -0.8),
    (-0.8, -0.8),
    (0.8, 0.8),
    (-0.8, 0.8),
    (0.0, -1.0),
    (0.0, 1.0),
];

/// Distances of a text from its mark in pixels; from the second on a line leads to it.
const REACH: [f64; 4] = [9.0, 24.0, 40.0, 60.0];

/// A place for each `(mark, name)` in turn, inside `frame`, clear of `taken`, of each other
/// and of the lines that lead to others; `None` where there is no room. The first names
/// choose first.
pub(super) fn place(
    names: &[((f64, f64), &str)],
    size: f64,
    frame: Block,
    mut taken: Vec<Block>,
) -> Vec<Option<Placed>> {
    let mut texts: Vec<Block> = Vec::new();
    let mut places = Vec::with_capacity(names.len());
    for &(mark, name) in names {
        let mut tries =
            REACH.iter().flat_map(|&reach| WAYS.map(|way| beside(mark, name, size, way, reach)));
        let clear = |block: &Block, others: &[Block]| !others.iter().any(|o| o.overlaps(block));
        let found = tries.find(|placed| {
            placed.block.inside(&frame)
                && clear(&placed.block, &taken)
                && leader(mark, placed).iter().all(|part| clear(part, &texts))
        });
        if let Some(placed) = &found {
            texts.push(placed.block);
            taken.push(placed.block);
            taken.extend(leader(mark, placed));
        }
        places.push(found);
    }
    places
}

/// The line from a mark to its far text as small boxes, as a slanted line has no box of
/// its own; empty for a near text.
fn leader(mark: (f64, f64), placed: &Placed) -> Vec<Block> {
    const PARTS: u32 = 16;
    if !placed.far {
        return Vec::new();
    }
    // The last part touches the text itself and is left out.
    let at = |part: u32| {
        let t = f64::from(part) / f64::from(PARTS);
        (mark.0 + t * (placed.at.0 - mark.0), mark.1 + t * (placed.at.1 - mark.1))
    };
    (0..PARTS - 1).map(|part| Block::along(at(part), at(part + 1), 0.5)).collect()
}

fn beside(mark: (f64, f64), name: &str, size: f64, way: (f64, f64), reach: f64) -> Placed {
    let at = (mark.0 + way.0 * reach, mark.1 + way.1 * reach);
    let (width, half) = (text_width(name, size), size * 0.6);
    let (anchor, left) = match way.0 {
        x if x > 0.0 => (Anchor::Start, at.0),
        x if x < 0.0 => (Anchor::End, at.0 - width),
        _ => (Anchor::Middle, at.0 - width / 2.0),
    };
    let block = Block { left, top: at.1 - half, right: left + width, bottom: at.1 + half };
    Placed { at, anchor, far: reach > REACH[0], block }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn crowded_names_find_room_or_are_left_out() {
        let frame = Block { left: 0.0, top: 0.0, right: 400.0, bottom: 300.0 };
        let marks: Vec<(f64, f64)> = (0..60)
            .map(|k| (200.0 + f64::from(k % 8) * 6.0, 150.0 + f64::from(k / 8) * 6.0))
            .collect();
        let names: Vec<String> = (0..60).map(|k| format!("L{k:03}")).collect();
        let asked: Vec<_> = marks.iter().copied().zip(names.iter().map(String::as_str)).collect();
        let taken = marks.iter().map(|&mark| Block::around(mark, 5.0)).collect();
        let places: Vec<Placed> = place(&asked, 12.0, frame, taken).into_iter().flatten().collect();
        assert!(places.len() >= 8, "{}", places.len());
        for (index, one) in places.iter().enumerate() {
            assert!(one.block.inside(&frame));
            assert!(places[..index].iter().all(|other| !other.block.overlaps(&one.block)));
        }
    }
}
