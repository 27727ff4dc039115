//! Planarity of the small graphs that the nesting test makes. Knows no gears.

use petgraph::graph::{NodeIndex, UnGraph};
use rustworkx_core::planar::is_planar;

/// A simple graph of at most 64 vertices. Loops and parallel edges are swallowed: they
/// never change whether a graph can be drawn without crossings, and the planarity routine
/// of rustworkx-core cannot bear them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Graph {
    /// Bit b of word a: vertices a and b are joined.
    neighbours: Vec<u64>,
}

impl Graph {
    /// No edges yet.
    ///
    /// # Panics
    /// With more than 64 vertices.
    pub fn new(vertices: usize) -> Self {
        assert!(vertices <= 64, "a word has a bit for each of at most 64 vertices");
        Self { neighbours: vec![0; vertices] }
    }

    pub fn join(&mut self, a: usize, b: usize) {
        if a != b {
            self.neighbours[a] |= 1 << b;
            self.neighbours[b] |= 1 << a;
        }
    }

    #[cfg(test)]
    pub fn joined(&self, a: usize, b: usize) -> bool {
        self.neighbours[a] >> b & 1 == 1
    }

    #[cfg(test)]
    pub fn vertices(&self) -> usize {
        self.neighbours.len()
    }

    /// Whether the graph can be drawn in the plane without crossings.
    pub fn is_planar(&self) -> bool {
        let core = self.without_chains();
        let degrees = || core.neighbours.iter().map(|word| word.count_ones() as usize);
        let vertices = degrees().filter(|&degree| degree > 0).count();
        let edges = degrees().sum::<usize>() / 2;
        // K3,3 with nine edges is the smallest graph that is not planar; K5 has five
        // vertices and ten edges; by Euler a planar graph has at most 3 V − 6 edges.
        if edges < 9 {
            return true;
        }
        if edges > 3 * vertices - 6 || vertices < 6 {
            return edges <= 3 * vertices - 6;
        }
        is_planar(&core.as_petgraph())
    }

    /// The same graph without dead ends, and with every chain of vertices of degree two
    /// drawn as one edge: planar exactly when the whole graph is.
    fn without_chains(&self) -> Self {
        let mut graph = self.clone();
        let mut changed = true;
        while std::mem::take(&mut changed) {
            for vertex in 0..graph.neighbours.len() {
                let around = graph.neighbours[vertex];
                if around == 0 || around.count_ones() > 2 {
                    continue;
                }
                let first = around.trailing_zeros() as usize;
                let last = 63 - around.leading_zeros() as usize;
                graph.neighbours[vertex] = 0;
                graph.neighbours[first] &= !(1 << vertex);
                graph.neighbours[last] &= !(1 << vertex);
                graph.join(first, last);
                changed = true;
            }
        }
        graph
    }

    fn as_petgraph(&self) -> UnGraph<(), ()> {
        let mut graph = UnGraph::with_capacity(self.neighbours.len(), 3 * self.neighbours.len());
        let kept = self.neighbours.iter().filter(|&&word| word != 0);
        let number = |vertex: usize| {
            NodeIndex::new(self.neighbours[..vertex].iter().filter(|&&word| word != 0).count())
        };
        kept.for_each(|_| {
            graph.add_node(());
        });
        for (a, word) in self.neighbours.iter().enumerate() {
            for b in (a + 1..self.neighbours.len()).filter(|b| word >> b & 1 == 1) {
                graph.add_edge(number(a), number(b), ());
            }
        }
        graph
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use itertools::Itertools;
    use proptest::prelude::*;

    /// K. Wagner, "Über eine Eigenschaft der ebenen Komplexe", Math. Ann. 114 (1937): a
    /// graph is planar unless contracting edges leaves a graph that contains K5 or K3,3.
    fn plain_is_planar(graph: &Graph) -> bool {
        !contains_kuratowski(graph)
            && (0..graph.vertices())
                .array_combinations()
                .all(|[a, b]| !graph.joined(a, b) || plain_is_planar(&contracted(graph, a, b)))
    }

    fn contains_kuratowski(graph: &Graph) -> bool {
        let linked = |a: &[usize], b: &[usize]| {
            a.iter().all(|&a| b.iter().all(|&b| a == b || graph.joined(a, b)))
        };
        let five = (0..graph.vertices()).combinations(5).any(|five| linked(&five, &five));
        five || (0..graph.vertices()).combinations(6).any(|six| {
            let with_first = (1..6).array_combinations().map(|[a, b]| [six[0], six[a], six[b]]);
            with_first.into_iter().any(|three| {
                let rest = six.iter().copied().filter(|v| !three.contains(v)).collect_vec();
                linked(&three, &rest)
            })
        })
    }

    fn contracted(graph: &Graph, a: usize, b: usize) -> Graph {
        let mut smaller = Graph::new(graph.vertices() - 1);
        let number = |v: usize| if v == b { a } else { v - usize::from(v > b) };
        for [x, y] in (0..graph.vertices()).array_combinations() {
            if graph.joined(x, y) {
                smaller.join(number(x), number(y));
            }
        }
        smaller
    }

    fn random_graph() -> impl Strategy<Value = Graph> {
        (5usize..=8).prop_flat_map(|vertices| {
            let pairs = proptest::collection::vec((0..vertices, 0..vertices), 9..=20);
            pairs.prop_map(move |pairs| {
                let mut graph = Graph::new(vertices);
                pairs.into_iter().for_each(|(a, b)| graph.join(a, b));
                graph
            })
        })
    }

    proptest! {
        #[test]
        fn agrees_with_wagner(graph in random_graph()) {
            let plain = plain_is_planar(&graph);
            prop_assert_eq!(graph.is_planar(), plain);
            // The routine of the crate is right without our shortcuts as well.
            prop_assert_eq!(is_planar(&graph.as_petgraph()), plain);
        }
    }

    #[test]
    fn the_two_smallest_that_are_not() {
        let mut five = Graph::new(5);
        (0..5).array_combinations().for_each(|[a, b]| five.join(a, b));
        assert!(!five.is_planar() && !plain_is_planar(&five));
        let mut houses = Graph::new(9);
        (0..3).cartesian_product(3..6).for_each(|(a, b)| {
            // One edge is a chain, another is there twice.
            if (a, b) == (0, 3) {
                [(0, 6), (6, 7), (7, 3), (7, 8)].into_iter().for_each(|(x, y)| houses.join(x, y));
            } else {
                houses.join(a, b);
                houses.join(b, a);
            }
        });
        assert!(!houses.is_planar());
    }
}
