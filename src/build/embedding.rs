//! A planar embedding of a small simple graph: in which order the edges stand around each
//! vertex. Knows no gears.
//!
//! Source: G. Demoucron, Y. Malgrange, R. Pertuiset, "Graphes planaires: reconnaissance et
//! construction de représentations planaires topologiques", Revue Française de Recherche
//! Opérationnelle 8 (1964). Each block (part without cut vertices) starts as one cycle;
//! then a path through some part not yet drawn is laid into a face that holds all contacts
//! of that part, a part with one such face first. The blocks around a cut vertex stand
//! side by side.

use std::collections::VecDeque;

/// For every vertex its neighbours, clockwise (or all counter-clockwise: a mirror image is
/// as good); `None` if the graph is not planar. The order of the neighbours decides which
/// of several embeddings it is. Loops and parallel edges are not allowed.
pub(super) fn embedding(neighbours: &[Vec<usize>]) -> Option<Vec<Vec<usize>>> {
    let mut rotation = vec![Vec::new(); neighbours.len()];
    for block in blocks(neighbours) {
        if let [(a, b)] = block[..] {
            rotation[a].push(b);
            rotation[b].push(a);
            continue;
        }
        let faces = Block::new(&block, neighbours.len()).faces()?;
        append_rotation(&mut rotation, &faces);
    }
    Some(rotation)
}

/// In a face … u, v, w …, w follows u around v.
fn append_rotation(rotation: &mut [Vec<usize>], faces: &[Vec<usize>]) {
    let mut follows: Vec<Vec<(usize, usize)>> = vec![Vec::new(); rotation.len()];
    for face in faces {
        for at in 0..face.len() {
            let [u, v, w] = [0, 1, 2].map(|step| face[(at + step) % face.len()]);
            follows[v].push((u, w));
        }
    }
    for (around, follows) in rotation.iter_mut().zip(follows) {
        let Some(&(first, mut next)) = follows.first() else { continue };
        around.push(first);
        while next != first {
            around.push(next);
            next = follows.iter().find(|&&(before, _)| before == next).map_or(first, |f| f.1);
        }
    }
}

/// The edges of every block. Source: J. Hopcroft, R. Tarjan, "Algorithm 447: efficient
/// algorithms for graph manipulation", Comm. ACM 16 (1973).
fn blocks(neighbours: &[Vec<usize>]) -> Vec<Vec<(usize, usize)>> {
    let count = neighbours.len();
    let (number, low) = (vec![0; count], vec![0; count]);
    let (waiting, found) = (Vec::new(), Vec::new());
    let mut walk = Walk { neighbours, number, low, visited: 0, waiting, found };
    for vertex in 0..count {
        if walk.number[vertex] == 0 {
            walk.visit(vertex, vertex);
        }
    }
    walk.found
}

struct Walk<'a> {
    neighbours: &'a [Vec<usize>],
    /// In which order vertices were reached, from 1; 0 for not yet.
    number: Vec<usize>,
    low: Vec<usize>,
    visited: usize,
    waiting: Vec<(usize, usize)>,
    found: Vec<Vec<(usize, usize)>>,
}

impl Walk<'_> {
    fn visit(&mut self, vertex: usize, parent: usize) {
        self.visited += 1;
        self.number[vertex] = self.visited;
        self.low[vertex] = self.visited;
        for &next in &self.neighbours[vertex] {
            if self.number[next] == 0 {
                let at = self.waiting.len();
                self.waiting.push((vertex, next));
                self.visit(next, vertex);
                self.low[vertex] = self.low[vertex].min(self.low[next]);
                if self.low[next] >= self.number[vertex] {
                    self.found.push(self.waiting.split_off(at));
                }
            } else if next != parent && self.number[next] < self.number[vertex] {
                self.waiting.push((vertex, next));
                self.low[vertex] = self.low[vertex].min(self.number[next]);
            }
        }
    }
}

/// A block that is being drawn.
struct Block {
    /// Edges not yet drawn, from both ends.
    left: Vec<Vec<usize>>,
    /// Vertices drawn already.
    on: Vec<bool>,
    /// Cycles of vertices; each edge runs once each way.
    faces: Vec<Vec<usize>>,
}

/// A part not yet drawn: an edge between drawn vertices, or what hangs together outside them.
struct Part {
    contacts: Vec<usize>,
    inside: Vec<usize>,
}

impl Block {
    fn new(edges: &[(usize, usize)], vertices: usize) -> Self {
        let mut left = vec![Vec::new(); vertices];
        for &(a, b) in edges {
            left[a].push(b);
            left[b].push(a);
        }
        Self { left, on: vec![false; vertices], faces: Vec::new() }
    }

    fn faces(mut self) -> Option<Vec<Vec<usize>>> {
        let first = self.left.iter().position(|around| !around.is_empty())?;
        let second = self.left[first][0];
        self.erase(first, second);
        let cycle = self.path(first, &[second], |_| true)?;
        self.on[first] = true;
        self.on[second] = true;
        self.mark(&cycle);
        self.faces = vec![cycle.clone(), cycle.into_iter().rev().collect()];
        loop {
            let parts = self.parts();
            let fitting = |part: &Part| -> Vec<usize> {
                let holds = |face: &Vec<usize>| part.contacts.iter().all(|c| face.contains(c));
                (0..self.faces.len()).filter(|&face| holds(&self.faces[face])).collect()
            };
            let all: Vec<_> = parts.iter().map(|part| (fitting(part), part)).collect();
            let Some((fitting, part)) = all.into_iter().min_by_key(|(faces, _)| faces.len()) else {
                return Some(self.faces);
            };
            let face = *fitting.first()?;
            let (from, others) = part.contacts.split_first()?;
            let path = self.path(*from, others, |v| part.inside.contains(&v))?;
            self.lay(face, &path);
        }
    }

    fn erase(&mut self, a: usize, b: usize) {
        self.left[a].retain(|&v| v != b);
        self.left[b].retain(|&v| v != a);
    }

    fn mark(&mut self, path: &[usize]) {
        for pair in path.windows(2) {
            self.erase(pair[0], pair[1]);
        }
        path.iter().for_each(|&vertex| self.on[vertex] = true);
    }

    /// A shortest way along edges not drawn, between its ends only through `inside`.
    fn path(
        &self,
        from: usize,
        ends: &[usize],
        inside: impl Fn(usize) -> bool,
    ) -> Option<Vec<usize>> {
        let mut before = vec![usize::MAX; self.left.len()];
        before[from] = from;
        let mut waiting = VecDeque::from([from]);
        while let Some(vertex) = waiting.pop_front() {
            for &next in &self.left[vertex] {
                let end = ends.contains(&next);
                if before[next] != usize::MAX || !(end || inside(next)) {
                    continue;
                }
                before[next] = vertex;
                if end {
                    let mut path = vec![next];
                    while path[path.len() - 1] != from {
                        path.push(before[path[path.len() - 1]]);
                    }
                    return Some(path);
                }
                waiting.push_back(next);
            }
        }
        None
    }

    fn parts(&self) -> Vec<Part> {
        let mut parts = Vec::new();
        let mut seen = self.on.clone();
        for vertex in 0..self.left.len() {
            if self.on[vertex] {
                let chords = self.left[vertex].iter().filter(|&&w| self.on[w] && vertex < w);
                parts.extend(chords.map(|&w| Part { contacts: vec![vertex, w], inside: vec![] }));
            } else if !seen[vertex] && !self.left[vertex].is_empty() {
                let (mut contacts, mut inside) = (Vec::new(), vec![vertex]);
                seen[vertex] = true;
                let mut at = 0;
                while let Some(&v) = inside.get(at) {
                    at += 1;
                    for &w in &self.left[v] {
                        if self.on[w] {
                            contacts.push(w);
                        } else if !std::mem::replace(&mut seen[w], true) {
                            inside.push(w);
                        }
                    }
                }
                contacts.sort_unstable();
                contacts.dedup();
                parts.push(Part { contacts, inside });
            }
        }
        parts
    }

    /// Cuts a face in two along a path.
    fn lay(&mut self, face: usize, path: &[usize]) {
        self.mark(path);
        let mut cycle = self.faces.swap_remove(face);
        let (first, last) = (path[0], path[path.len() - 1]);
        let start = cycle.iter().position(|&v| v == first).expect("contacts are on the face");
        cycle.rotate_left(start);
        let split = cycle.iter().position(|&v| v == last).expect("contacts are on the face");
        let between = &path[1..path.len() - 1];
        let mut one = cycle[..=split].to_vec();
        one.extend(between.iter().rev());
        let mut other = cycle[split..].to_vec();
        other.push(first);
        other.extend(between);
        self.faces.extend([one, other]);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::build::planar::Graph;
    use proptest::prelude::*;

    /// Number of faces, traced from the rotations alone.
    fn faces(rotation: &[Vec<usize>]) -> usize {
        let mut open: std::collections::BTreeSet<(usize, usize)> = rotation
            .iter()
            .enumerate()
            .flat_map(|(v, around)| around.iter().map(move |&w| (v, w)))
            .collect();
        let mut count = 0;
        while let Some((mut v, mut w)) = open.pop_first() {
            count += 1;
            loop {
                let around = &rotation[w];
                let at = around.iter().position(|&u| u == v).unwrap();
                (v, w) = (w, around[(at + 1) % around.len()]);
                if !open.remove(&(v, w)) {
                    break;
                }
            }
        }
        count
    }

    fn components(neighbours: &[Vec<usize>]) -> usize {
        let mut label: Vec<usize> = (0..neighbours.len()).collect();
        for (v, around) in neighbours.iter().enumerate() {
            for &w in around {
                let (old, new) = (label[v], label[w]);
                label.iter_mut().filter(|l| **l == old).for_each(|l| *l = new);
            }
        }
        label.sort_unstable();
        label.dedup();
        label.len()
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(2000))]

        #[test]
        fn embeds_what_is_planar_and_keeps_euler(
            (vertices, pairs) in (5usize..=12).prop_flat_map(|vertices| {
                let pairs = proptest::collection::vec((0..vertices, 0..vertices), 4..=26);
                (Just(vertices), pairs)
            })
        ) {
            let mut graph = Graph::new(vertices);
            pairs.into_iter().for_each(|(a, b)| graph.join(a, b));
            let neighbours: Vec<Vec<usize>> = (0..vertices)
                .map(|a| (0..vertices).filter(|&b| graph.joined(a, b)).collect())
                .collect();
            let found = embedding(&neighbours);
            prop_assert_eq!(found.is_some(), graph.is_planar());
            let Some(rotation) = found else { return Ok(()) };
            for (around, rotation) in neighbours.iter().zip(&rotation) {
                let mut sorted = rotation.clone();
                sorted.sort_unstable();
                prop_assert_eq!(around, &sorted);
            }
            // Each component has an outer face of its own; a lone vertex traces none.
            let lone = neighbours.iter().filter(|around| around.is_empty()).count();
            let edges = neighbours.iter().map(Vec::len).sum::<usize>() / 2;
            let traced = faces(&rotation) + lone;
            prop_assert_eq!(vertices + traced, edges + 2 * components(&neighbours));
        }
    }
}
