//! The power drawing: the stick drawing with a ribbon on every line, as wide as the power
//! that runs through it.

use std::collections::BTreeMap;

use super::canvas::{Anchor, Picture, Type};
use super::classes::short;
use super::palette::Ink;
use super::scene::{Point, Scene, Stroke};
use super::stick::{Frame, Stick};
use crate::build::{Point as Rank, Segment};

/// A gear whose power is drawn. Powers are per input power.
#[derive(Clone, Debug)]
pub struct PowerStick<'a> {
    pub stick: Stick<'a>,
    /// Whether any set rolls. Where none does, torques inside are static, and what exceeds the
    /// input's power is nothing that runs round.
    pub rolls: bool,
    /// What the shafts of `[S, R, C]` of each set give to it.
    pub members: Vec<Vec<f64>>,
    /// What each element gives to its first-named shaft.
    pub elements: Vec<f64>,
    /// The shafts of each element, the first-named first; a brake has one.
    pub ends: Vec<(usize, Option<usize>)>,
}

/// Width of a ribbon for the power of the input, and the widest that is drawn.
const INPUT: f64 = 9.0;
const WIDEST: f64 = 24.0;
/// A power this small is none.
const NONE: f64 = 1e-9;

impl PowerStick<'_> {
    /// The picture: ribbons under the lines, powers beside them. What exceeds the input's
    /// power, and so must run round, has the colour of what asks for attention.
    pub fn draw(&self) -> Picture {
        let (mut scene, frame) = self.stick.ground();
        self.legend(&mut scene);
        let shafts = 0..self.stick.drawing.shafts.len();
        let runs: Vec<Run> = shafts.flat_map(|shaft| self.runs(shaft)).collect();
        runs.iter().for_each(|run| ribbon(&mut scene, &frame, run, self.ink(run)));
        self.stick.lines(&mut scene, &frame);
        self.stick.marks(&mut scene, &frame);
        runs.iter().for_each(|run| arrow(&mut scene, &frame, run, self.ink(run)));
        let mut told: Vec<&Run> = runs.iter().collect();
        told.sort_by_key(|run| std::cmp::Reverse(run.length()));
        told.iter().for_each(|run| number(&mut scene, &frame, run));
        scene.picture(&self.stick.title)
    }

    fn ink(&self, run: &Run) -> Ink {
        if self.rolls && run.power > 1.0 + NONE { Ink::Accent } else { Ink::Ribbon }
    }

    fn legend(&self, scene: &mut Scene) {
        let look = Type::plain(12.0, Ink::Muted);
        scene.line(&[(28.0, 48.0), (50.0, 48.0)], Stroke::solid(Ink::Ribbon, INPUT + 3.0));
        scene.text("the input's power, 1", (64.0, 48.0), Anchor::Start, look);
        if !self.rolls {
            let words = "nothing rolls: torques inside are static";
            return scene.text(words, (224.0, 48.0), Anchor::Start, look);
        }
        let wide = Stroke::solid(Ink::Accent, INPUT * 1.6 + 3.0);
        scene.line(&[(224.0, 48.0), (246.0, 48.0)], wide);
        scene.text("more than that runs round", (264.0, 48.0), Anchor::Start, look);
    }

    /// The straight pieces of a shaft's lines with one power each.
    fn runs(&self, shaft: usize) -> Vec<Run> {
        let segments = &self.stick.drawing.shafts[shaft];
        let flows = Tree::new(segments).flows(&self.given(shaft));
        let mut runs: Vec<Run> = Vec::new();
        for (from, to, power) in flows {
            let (from, to, power) =
                if power < 0.0 { (to, from, -power) } else { (from, to, power) };
            if power > NONE {
                runs.push(Run { from, to, power });
            }
        }
        joined(runs)
    }

    /// Where power comes to a shaft, and how much; negative where it leaves.
    fn given(&self, shaft: usize) -> BTreeMap<Rank, f64> {
        let drawing = self.stick.drawing;
        let mut given: BTreeMap<Rank, f64> = BTreeMap::new();
        let mut add = |at: Rank, power: f64| *given.entry(at).or_default() += power;
        for ((set, column), powers) in
            self.stick.sets.iter().zip(&drawing.columns).zip(&self.members)
        {
            for ((seat, y), power) in
                set.seats.iter().zip([column.sun, column.ring, column.pin]).zip(powers)
            {
                if *seat == Some(shaft) {
                    add(Rank { x: column.x, y }, -power);
                }
            }
        }
        for ((mark, power), (first, second)) in
            drawing.elements.iter().zip(&self.elements).zip(&self.ends)
        {
            let sign = f64::from(*first == shaft) - f64::from(*second == Some(shaft));
            add(mark.at, sign * power);
        }
        for (end, x, power) in [(0, 0, 1.0), (1, drawing.width, -1.0)] {
            let points = drawing.shafts[shaft].iter().flat_map(|s| [s.from, s.to]);
            let reached = points.filter(|point| end == shaft && point.x == x).min_by_key(|p| p.y);
            if let Some(at) = reached {
                add(at, power);
            }
        }
        given
    }
}

/// A straight piece of line, in the direction of its power.
#[derive(Clone, Copy)]
struct Run {
    from: Rank,
    to: Rank,
    power: f64,
}

impl Run {
    fn length(&self) -> i32 {
        (self.from.x - self.to.x).abs() + (self.from.y - self.to.y).abs()
    }

    fn direction(&self) -> (i32, i32) {
        ((self.to.x - self.from.x).signum(), (self.to.y - self.from.y).signum())
    }
}

/// Steps that follow each other in one direction with one power, as one.
fn joined(mut steps: Vec<Run>) -> Vec<Run> {
    let mut runs: Vec<Run> = Vec::new();
    while let Some(mut run) = steps.pop() {
        let alike = |run: &Run, step: &Run| {
            (step.power - run.power).abs() < NONE && step.direction() == run.direction()
        };
        loop {
            let next = steps
                .iter()
                .position(|step| alike(&run, step) && (step.from == run.to || step.to == run.from));
            let Some(next) = next else { break };
            let step = steps.swap_remove(next);
            if step.from == run.to { run.to = step.to } else { run.from = step.from }
        }
        runs.push(run);
    }
    runs.sort_by_key(|run| (run.from, run.to));
    runs
}

/// The lines of a shaft, cut into steps of one rank.
struct Tree {
    steps: Vec<(Rank, Rank)>,
}

impl Tree {
    fn new(segments: &[Segment]) -> Self {
        let steps = segments.iter().flat_map(|segment| {
            let (from, to) = (segment.from, segment.to);
            let (dx, dy) = ((to.x - from.x).signum(), (to.y - from.y).signum());
            let length = (to.x - from.x).abs() + (to.y - from.y).abs();
            (0..length).map(move |n| {
                let at = |n: i32| Rank { x: from.x + n * dx, y: from.y + n * dy };
                (at(n), at(n + 1))
            })
        });
        Self { steps: steps.collect() }
    }

    /// The power through every step, from its first end to its second. The lines of a shaft
    /// are a tree, so what comes in at a leaf goes through its only step.
    fn flows(mut self, given: &BTreeMap<Rank, f64>) -> Vec<(Rank, Rank, f64)> {
        let mut waiting = given.clone();
        let mut flows = Vec::new();
        loop {
            let degree = |at: Rank| self.steps.iter().filter(|(a, b)| *a == at || *b == at).count();
            let leaf = self.steps.iter().position(|&(a, b)| degree(a) == 1 || degree(b) == 1);
            let Some(leaf) = leaf else { break };
            let (a, b) = self.steps[leaf];
            let (end, inner) = if degree(a) == 1 { (a, b) } else { (b, a) };
            self.steps.swap_remove(leaf);
            let power = waiting.get(&end).copied().unwrap_or(0.0);
            *waiting.entry(inner).or_default() += power;
            flows.push((end, inner, power));
        }
        flows
    }
}

fn ribbon(scene: &mut Scene, frame: &Frame, run: &Run, ink: Ink) {
    let width = (INPUT * run.power).clamp(1.5, WIDEST) + 3.0;
    scene.line(&[frame.at(run.from), frame.at(run.to)], Stroke::solid(ink, width));
}

fn middle(frame: &Frame, run: &Run) -> Point {
    let (a, b) = (frame.at(run.from), frame.at(run.to));
    ((a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0)
}

/// Where the power goes, on pieces that are long enough to tell.
fn arrow(scene: &mut Scene, frame: &Frame, run: &Run, ink: Ink) {
    let (x, y) = middle(frame, run);
    let (dx, dy) = run.direction();
    let (dx, dy) = (f64::from(dx) * 7.0, f64::from(-dy) * 7.0);
    let sides = [(x - dx - dy * 0.8, y - dy + dx * 0.8), (x - dx + dy * 0.8, y - dy - dx * 0.8)];
    scene.outlined(
        &[(x + dx, y + dy), sides[0], sides[1]],
        Some(ink),
        Stroke::solid(Ink::Paper, 1.2),
    );
}

fn number(scene: &mut Scene, frame: &Frame, run: &Run) {
    let (x, y) = middle(frame, run);
    let words = short((run.power * 1000.0).round() / 1000.0);
    let look = Type::bold(11.0, Ink::Text);
    let wide = (INPUT * run.power).clamp(1.5, WIDEST) / 2.0 + 4.0;
    if run.direction().1 == 0 {
        scene.patched_if_free(&words, (x, y - wide - 8.0), Anchor::Middle, look);
    } else {
        scene.patched_if_free(&words, (x + wide + 3.0, y), Anchor::Start, look);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A trunk from (0,0) to (4,0) with a branch up at (2,0): what comes in at the left goes
    /// out at the other two ends.
    #[test]
    fn power_on_a_tree_is_what_lies_behind() {
        let at = |x: i32, y: i32| Rank { x, y };
        let segments =
            [Segment { from: at(0, 0), to: at(4, 0) }, Segment { from: at(2, 0), to: at(2, 3) }];
        let given = BTreeMap::from([(at(0, 0), 1.0), (at(4, 0), -1.6), (at(2, 3), 0.6)]);
        let flows = Tree::new(&segments).flows(&given);
        assert_eq!(flows.len(), 7);
        let through = |a: Rank, b: Rank| {
            let sign = |flow: &(Rank, Rank, f64)| match (flow.0, flow.1) {
                ends if ends == (a, b) => Some(flow.2),
                ends if ends == (b, a) => Some(-flow.2),
                _ => None,
            };
            flows.iter().find_map(sign).unwrap()
        };
        assert!((through(at(0, 0), at(1, 0)) - 1.0).abs() < 1e-12);
        assert!((through(at(3, 0), at(4, 0)) - 1.6).abs() < 1e-12);
        assert!((through(at(2, 1), at(2, 0)) - 0.6).abs() < 1e-12);
    }

    #[test]
    fn steps_of_one_power_are_one_run() {
        let step =
            |x: i32, power: f64| Run { from: Rank { x, y: 0 }, to: Rank { x: x + 1, y: 0 }, power };
        let runs = joined(vec![step(1, 0.5), step(0, 0.5), step(2, 0.25), step(3, 0.25)]);
        let ends: Vec<(i32, i32)> = runs.iter().map(|run| (run.from.x, run.to.x)).collect();
        assert_eq!(ends, [(0, 2), (2, 4)]);
    }
}
