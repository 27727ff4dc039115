//! The plan of a drawing: every edge of a layout that nests, and in which order edges
//! stand around every shaft.

use super::embedding::embedding;
use super::nesting::hanging;
use crate::train::{Core, Slot};

/// Vertices are those of the nesting test: shafts (0 the housing), the outer vertex, then
/// one for every further carrier of a shaft. Edge e has the half-edges 2e and 2e + 1.
pub(super) struct Plan {
    pub sets: usize,
    pub slots: usize,
    /// The shaft of every vertex.
    pub shafts: Vec<usize>,
    /// The vertex of every set's carrier.
    pub pins: Vec<usize>,
    /// The vertices of every edge: sun and ring meshes of every set (carrier first), ties
    /// of input, output and housing (outer vertex first), elements (first seat first),
    /// links between the carriers of a shaft.
    pub edges: Vec<[usize; 2]>,
    /// Half-edges around every vertex, clockwise.
    rotation: Vec<Vec<usize>>,
}

/// What an edge of the plan stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Edge {
    Mesh,
    Tie(Frame),
    /// An element or a link by its number, elements first.
    Element(usize),
}

/// The parts of the frame that something must reach.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Frame {
    Left,
    Right,
    Top,
}

impl Plan {
    /// One of the ways in which the layout nests, another for most `variants`; `None` if it
    /// does not nest.
    pub fn new(core: &Core, slots: &[Slot], variant: usize) -> Option<Self> {
        let hung = hanging(core, slots)?;
        let edges = hung.links.iter().chain(&hung.trees).map(|&(a, b)| [a, b]).collect();
        let mut plan = Self {
            sets: core.sets(),
            slots: slots.len(),
            shafts: hung.shafts,
            pins: hung.pins,
            edges,
            rotation: Vec::new(),
        };
        plan.embed(variant)?;
        Some(plan)
    }

    /// Two vertices on every edge make the graph simple; the vertex next to an end has the
    /// number of the half-edge there.
    fn embed(&mut self, variant: usize) -> Option<()> {
        let vertices = self.shafts.len();
        let mut neighbours = vec![Vec::new(); vertices + 2 * self.edges.len()];
        let count = self.edges.len();
        for step in 0..count {
            let edge = if variant.is_multiple_of(2) { step } else { count - 1 - step };
            let [a, b] = self.edges[edge];
            let near = [vertices + 2 * edge, vertices + 2 * edge + 1];
            for (v, w) in [(a, near[0]), (near[0], near[1]), (near[1], b)] {
                neighbours[v].push(w);
                neighbours[w].push(v);
            }
        }
        if variant / 2 % 2 == 1 {
            neighbours.iter_mut().for_each(|around| around.reverse());
        }
        let around = embedding(&neighbours)?.into_iter().take(vertices);
        self.rotation =
            around.map(|a| a.into_iter().map(|near| near - vertices).collect()).collect();
        // Seen from inside, the frame is input, housing, output clockwise; seen from the
        // outer vertex it is the other way round.
        let outside = &self.rotation[self.outer()];
        let at = |frame| outside.iter().position(|&half| half == 2 * self.tie(frame));
        if (at(Frame::Right)? + 1) % 3 != at(Frame::Top)? {
            self.rotation.iter_mut().for_each(|around| around.reverse());
        }
        Some(())
    }

    pub fn outer(&self) -> usize {
        self.edges[self.tie(Frame::Left)][0]
    }

    pub fn mesh(set: usize, ring: bool) -> usize {
        2 * set + usize::from(ring)
    }

    pub fn tie(&self, frame: Frame) -> usize {
        2 * self.sets + frame as usize
    }

    pub fn element(&self, number: usize) -> usize {
        2 * self.sets + 3 + number
    }

    pub fn edge(&self, edge: usize) -> Edge {
        let ties = 2 * self.sets;
        match edge.checked_sub(ties) {
            None => Edge::Mesh,
            Some(0) => Edge::Tie(Frame::Left),
            Some(1) => Edge::Tie(Frame::Right),
            Some(2) => Edge::Tie(Frame::Top),
            Some(beyond) => Edge::Element(beyond - 3),
        }
    }

    /// The first of the half-edges `met` that comes after `half` around `vertex`.
    pub fn next(&self, vertex: usize, half: usize, met: &[usize]) -> Option<usize> {
        let around = &self.rotation[vertex];
        let at = around.iter().position(|&h| h == half)?;
        let after = around[at + 1..].iter().chain(&around[..at]);
        after.copied().find(|h| met.contains(h))
    }
}
