//! Can sets, shafts and elements be drawn in the half plane above the axis without
//! crossings, with input, output and housing reachable from outside?
//!
//! # The model
//!
//! A set is a wheel with the rim sun, carrier-left, ring, carrier-right: its carrier may
//! leave on both sides, between sun and ring. A shaft that carries planets may therefore
//! fall into two pieces at a set, held together only through the set, and its other
//! attachments (members, elements, the way outside) sit on one piece or the other. The
//! housing is treated alike: a held carrier may be held from either side. Elements are
//! edges between shafts, brakes run to the housing, and an outer vertex is tied to input,
//! output and housing. The layout nests when some way to split is planar.
//!
//! # Why no split needs to be tried for most layouts
//!
//! Contract a wheel and the pieces of its shaft into one vertex. Around that vertex, in
//! any drawing, the sun's edge and the ring's edge cut the other edges into two arcs: the
//! left piece and the right piece. So *every* drawing of the contracted graph is a split
//! and every split contracts to a drawing: some split is planar exactly when the
//! contracted graph is. One small planarity test replaces the 2ᵏ splits.
//!
//! Only a shaft with several carriers asks for more: the pairs (sun, ring) of its sets
//! must not cross around the contracted vertex, because a piece is one body. Chords of a
//! disc that do not cross leave a tree of regions; hanging each region on a neighbouring
//! chord turns it into a tree whose vertices are the sets. So such a shaft becomes one
//! vertex a set, joined by a tree (every tree is tried), and each attachment hangs on one
//! of them (tried by depth-first search, cut where the partial graph is not planar).
//!
//! The test is necessary, not sufficient: it ignores that a sun lies inside its ring, that
//! left and right mean the same for all sets, and every size.

use itertools::Itertools;

use super::planar::Graph;
use crate::train::{Core, HOUSING, Layout, Slot};

/// Whether the layout can be drawn without crossings; see the top of this file.
pub fn nests(layout: &Layout) -> bool {
    let (core, slots) = layout.wiring();
    nests_wiring(&core, &slots)
}

/// The same for a core with elements in `slots`.
///
/// # Panics
/// With more than 58 shafts.
pub fn nests_wiring(core: &Core, slots: &[Slot]) -> bool {
    let drawing = Drawing::new(core, slots);
    drawing.contracted().is_planar()
        && (drawing.split.is_empty() || drawing.nests_split(0, drawing.unlinked()))
}

/// Where a link ends: on a vertex, or anywhere on a shaft that may be split.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum End {
    Vertex(usize),
    Split(usize),
}

/// The graph before split shafts have chosen their shape. Vertex s is shaft s (0 the
/// housing), then follows the outer vertex, then one for every further carrier.
struct Drawing {
    vertices: usize,
    /// Shafts with several carriers: the vertex of each carrier, the first the shaft's own.
    split: Vec<Vec<usize>>,
    /// Links between vertices, settled.
    fixed: Vec<(usize, usize)>,
    /// Links with at least one end on a split shaft.
    free: Vec<(End, End)>,
}

impl Drawing {
    fn new(core: &Core, slots: &[Slot]) -> Self {
        let outer = usize::from(core.shafts) + 1;
        let mut vertices = outer + 1;
        let mut carriers: Vec<Vec<usize>> = vec![Vec::new(); outer];
        let mut links = Vec::new();
        for &[sun, ring, carrier] in core.seats() {
            let body = &mut carriers[usize::from(carrier)];
            let vertex = if body.is_empty() { usize::from(carrier) } else { vertices };
            vertices += usize::from(!body.is_empty());
            body.push(vertex);
            // A sun or ring on its own carrier's shaft is a loop and hinders nobody.
            let members = [sun, ring].into_iter().filter(|&seat| seat != carrier);
            links.extend(members.map(|seat| (End::Vertex(vertex), seat)));
        }
        carriers.retain(|body| body.len() > 1);
        let mut drawing = Self { vertices, split: carriers, fixed: Vec::new(), free: Vec::new() };
        let outside = [core.input, core.output, HOUSING];
        links.extend(outside.map(|seat| (End::Vertex(outer), seat)));
        links.extend(slots.iter().map(|slot| (drawing.end(slot.first), slot.second)));
        for (end, seat) in links {
            drawing.link(end, drawing.end(seat));
        }
        drawing.free.sort_unstable();
        drawing.free.dedup();
        drawing
    }

    fn end(&self, seat: u8) -> End {
        let shaft = usize::from(seat);
        let split = self.split.iter().position(|body| body[0] == shaft);
        split.map_or(End::Vertex(shaft), End::Split)
    }

    fn link(&mut self, a: End, b: End) {
        match (a, b) {
            (End::Vertex(a), End::Vertex(b)) => self.fixed.push((a, b)),
            _ => self.free.push((a.min(b), a.max(b))),
        }
    }

    /// Every split shaft as one vertex: planar if the layout nests.
    fn contracted(&self) -> Graph {
        let whole = |end: End| match end {
            End::Split(body) => self.split[body][0],
            End::Vertex(vertex) => {
                let body = self.split.iter().find(|body| body.contains(&vertex));
                body.map_or(vertex, |body| body[0])
            }
        };
        let fixed = self.fixed.iter().map(|&(a, b)| (End::Vertex(a), End::Vertex(b)));
        let mut graph = Graph::new(self.vertices);
        for (a, b) in fixed.chain(self.free.iter().copied()) {
            graph.join(whole(a), whole(b));
        }
        graph
    }

    fn unlinked(&self) -> Graph {
        let mut graph = Graph::new(self.vertices);
        self.fixed.iter().for_each(|&(a, b)| graph.join(a, b));
        graph
    }

    /// Whether some tree for each split shaft from `body` on, and some way to hang the
    /// free links on them, is planar together with `graph`.
    fn nests_split(&self, body: usize, graph: Graph) -> bool {
        let Some(carriers) = self.split.get(body) else {
            return graph.is_planar() && self.nests_hung(&self.free, &graph);
        };
        trees(carriers).any(|tree| {
            let mut graph = graph.clone();
            tree.into_iter().for_each(|(a, b)| graph.join(a, b));
            self.nests_split(body + 1, graph)
        })
    }

    /// Whether the `free` links can be hung one after the other, planar all the way.
    fn nests_hung(&self, free: &[(End, End)], graph: &Graph) -> bool {
        let Some((&(a, b), rest)) = free.split_first() else { return true };
        self.places(a).cartesian_product(self.places(b)).any(|(a, b)| {
            let mut graph = graph.clone();
            graph.join(a, b);
            graph.is_planar() && self.nests_hung(rest, &graph)
        })
    }

    fn places(&self, end: End) -> impl Iterator<Item = usize> + Clone {
        match end {
            End::Vertex(vertex) => vec![vertex],
            End::Split(body) => self.split[body].clone(),
        }
        .into_iter()
    }
}

/// All trees on the given vertices.
fn trees(vertices: &[usize]) -> impl Iterator<Item = Vec<(usize, usize)>> {
    let count = vertices.len();
    let pairs = vertices.iter().copied().array_combinations().map(|[a, b]| (a, b));
    pairs.combinations(count - 1).filter(move |edges| {
        // Count − 1 edges make a tree when they reach everything.
        let mut reached = vec![edges[0].0];
        for _ in 0..edges.len() {
            for &(a, b) in edges {
                match (reached.contains(&a), reached.contains(&b)) {
                    (true, false) => reached.push(b),
                    (false, true) => reached.push(a),
                    _ => {}
                }
            }
        }
        reached.len() == count
    })
}
