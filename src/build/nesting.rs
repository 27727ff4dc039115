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
    Links::new(core, slots).settled().is_some()
}

/// A layout that nests, with every choice made: which carrier of a split shaft each link
/// hangs on. Vertex s is shaft s (0 the housing), then follows the outer vertex, then one
/// for every further carrier of a shaft.
pub(super) struct Hanging {
    /// The shaft of every vertex; the outer vertex counts for itself.
    pub shafts: Vec<usize>,
    /// The vertex of the carrier of every set.
    pub pins: Vec<usize>,
    /// Sun and ring of every set (carrier's vertex first), then the outer vertex with
    /// input, output and housing, then the elements (first seat first).
    pub links: Vec<(usize, usize)>,
    /// What joins the carriers of a split shaft.
    pub trees: Vec<(usize, usize)>,
}

/// The choices that make the layout planar; `None` if it does not nest.
pub(super) fn hanging(core: &Core, slots: &[Slot]) -> Option<Hanging> {
    let links = Links::new(core, slots);
    let settled = links.settled()?;
    let hung = |&(a, b): &(End, End)| match (a, b) {
        (End::Vertex(a), End::Vertex(b)) => (a, b),
        _ => {
            let at = links.free.binary_search(&(a.min(b), a.max(b)));
            // A loop on a split shaft is in no list and hangs anywhere.
            let (low, high) = at.map_or((a.first(&links), b.first(&links)), |at| settled.hung[at]);
            if a <= b { (low, high) } else { (high, low) }
        }
    };
    let mut shafts: Vec<usize> = (0..links.vertices).collect();
    for body in &links.split {
        body.iter().for_each(|&vertex| shafts[vertex] = body[0]);
    }
    Some(Hanging {
        shafts,
        links: links.all.iter().map(hung).collect(),
        pins: links.pins,
        trees: settled.trees,
    })
}

/// Where a link ends: on a vertex, or anywhere on a shaft that may be split.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum End {
    Vertex(usize),
    Split(usize),
}

impl End {
    fn first(self, links: &Links) -> usize {
        match self {
            End::Vertex(vertex) => vertex,
            End::Split(body) => links.split[body][0],
        }
    }
}

/// What split shafts have chosen.
#[derive(Default)]
struct Settled {
    trees: Vec<(usize, usize)>,
    /// The vertices of every free link.
    hung: Vec<(usize, usize)>,
}

/// The graph before split shafts have chosen their shape; vertices as in [`Hanging`].
struct Links {
    vertices: usize,
    pins: Vec<usize>,
    /// Shafts with several carriers: the vertex of each carrier, the first the shaft's own.
    split: Vec<Vec<usize>>,
    /// Every link, in the order of [`Hanging::links`].
    all: Vec<(End, End)>,
    /// Links between vertices, settled.
    fixed: Vec<(usize, usize)>,
    /// Links with at least one end on a split shaft, sorted, each once.
    free: Vec<(End, End)>,
}

impl Links {
    fn new(core: &Core, slots: &[Slot]) -> Self {
        let outer = usize::from(core.shafts) + 1;
        let mut vertices = outer + 1;
        let mut split: Vec<Vec<usize>> = vec![Vec::new(); outer];
        let mut pins = Vec::new();
        for &[_, _, carrier] in core.seats() {
            let body = &mut split[usize::from(carrier)];
            let vertex = if body.is_empty() { usize::from(carrier) } else { vertices };
            vertices += usize::from(!body.is_empty());
            body.push(vertex);
            pins.push(vertex);
        }
        split.retain(|body| body.len() > 1);
        let (all, fixed, free) = (Vec::new(), Vec::new(), Vec::new());
        let mut links = Self { vertices, pins, split, all, fixed, free };
        for (set, &[sun, ring, carrier]) in core.seats().iter().enumerate() {
            let pin = End::Vertex(links.pins[set]);
            for seat in [sun, ring] {
                // A sun or ring on its own carrier's shaft is a loop and hinders nobody.
                let end = if seat == carrier { pin } else { links.end(seat) };
                links.link(pin, end);
            }
        }
        for seat in [core.input, core.output, HOUSING] {
            links.link(End::Vertex(outer), links.end(seat));
        }
        slots.iter().for_each(|slot| links.link(links.end(slot.first), links.end(slot.second)));
        links.free.sort_unstable();
        links.free.dedup();
        links
    }

    fn end(&self, seat: u8) -> End {
        let shaft = usize::from(seat);
        let split = self.split.iter().position(|body| body[0] == shaft);
        split.map_or(End::Vertex(shaft), End::Split)
    }

    fn link(&mut self, a: End, b: End) {
        self.all.push((a, b));
        match (a, b) {
            _ if a == b => {}
            (End::Vertex(a), End::Vertex(b)) => self.fixed.push((a, b)),
            _ => self.free.push((a.min(b), a.max(b))),
        }
    }

    fn settled(&self) -> Option<Settled> {
        if !self.contracted().is_planar() {
            return None;
        }
        if self.split.is_empty() {
            Some(Settled::default())
        } else {
            self.shaped(0, self.unlinked())
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

    /// Some tree for each split shaft from `body` on, and some way to hang the free links
    /// on them, that is planar together with `graph`.
    fn shaped(&self, body: usize, graph: Graph) -> Option<Settled> {
        let Some(carriers) = self.split.get(body) else {
            let hung = if graph.is_planar() { self.hung(&self.free, &graph) } else { None };
            return hung.map(|mut hung| {
                hung.reverse();
                Settled { trees: Vec::new(), hung }
            });
        };
        trees(carriers).find_map(|tree| {
            let mut graph = graph.clone();
            tree.iter().for_each(|&(a, b)| graph.join(a, b));
            let mut settled = self.shaped(body + 1, graph)?;
            settled.trees.extend(tree);
            Some(settled)
        })
    }

    /// The `free` links hung one after the other, planar all the way; the last one first.
    fn hung(&self, free: &[(End, End)], graph: &Graph) -> Option<Vec<(usize, usize)>> {
        let Some((&(a, b), rest)) = free.split_first() else { return Some(Vec::new()) };
        self.places(a).cartesian_product(self.places(b)).find_map(|(a, b)| {
            let mut graph = graph.clone();
            graph.join(a, b);
            let mut hung = if graph.is_planar() { self.hung(rest, &graph) } else { None }?;
            hung.push((a, b));
            Some(hung)
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
