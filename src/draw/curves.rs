//! Curves over whole numbers: one line and one kind of mark a series, each named at its end.

use super::canvas::{Anchor, Picture, Size, Type, fitted, text_width};
use super::classes::short;
use super::marker::corners;
use super::palette::Ink;
use super::scene::{Point, Scene, Stroke};
use super::ticks::{ticks, whole_ticks};

/// What is drawn.
#[derive(Clone, Debug)]
pub struct Curves {
    pub title: String,
    /// Words under the axis and above it.
    pub across: String,
    pub up: String,
    /// Four are told apart.
    pub lines: Vec<CurveLine>,
    /// Whether the upper axis counts.
    pub whole: bool,
}

/// One series.
#[derive(Clone, Debug)]
pub struct CurveLine {
    pub name: String,
    /// Rising.
    pub points: Vec<CurvePoint>,
}

/// A whole number and its value.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CurvePoint {
    pub x: u32,
    pub value: f64,
    pub certainty: Certainty,
}

/// How a value is known. What is a bound has an open mark, and an arrow that points to where the
/// true value may lie.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Certainty {
    Settled,
    AtLeast,
    AtMost,
}

const LEFT: f64 = 56.0;
const TOP: f64 = 78.0;
const FOOT: f64 = 52.0;
const RADIUS: f64 = 4.5;
/// Length of the arrow at a bound.
const ARROW: f64 = 19.0;

impl Curves {
    /// The picture in a given size.
    pub fn draw(&self, size: Size) -> Picture {
        let (width, height) = (f64::from(size.width), f64::from(size.height));
        let mut scene = Scene::new(size);
        let title = Type::bold(17.0, Ink::Text).fitted(&self.title, width - 40.0);
        scene.text(&title, (20.0, 26.0), Anchor::Start, Type::bold(17.0, Ink::Text));
        let points = || {
            let all = self.lines.iter().flat_map(|line| &line.points);
            all.map(|point| (point.x, point.value))
        };
        if points().next().is_none() {
            let look = Type::plain(15.0, Ink::Muted);
            scene.text("Nothing to draw.", (width / 2.0, height / 2.0), Anchor::Middle, look);
            return scene.picture(&self.title);
        }
        let names = self.lines.iter().map(|line| text_width(&line.name, 12.0)).fold(0.0, f64::max);
        let (first, last) =
            points().fold((u32::MAX, 0), |(low, high), (x, _)| (low.min(x), high.max(x)));
        let high = points().map(|point| point.1).fold(0.0, f64::max);
        let pane = Pane {
            left: LEFT,
            right: width - 30.0 - names.min(width / 3.0),
            top: TOP,
            bottom: height - FOOT,
            first: f64::from(first),
            last: f64::from(last.max(first + 1)),
            high: if high > 0.0 { high * 1.08 } else { 1.0 },
        };
        let muted = Type::plain(12.0, Ink::Muted);
        scene.text(&fitted(&self.up, 12.0, width - 40.0), (20.0, 52.0), Anchor::Start, muted);
        let middle = (pane.left + pane.right) / 2.0;
        scene.text(
            &fitted(&self.across, 12.0, width - 40.0),
            (middle, height - 12.0),
            Anchor::Middle,
            muted,
        );
        pane.axes(&mut scene, self.whole);
        let ends = self.ends(&pane);
        for (class, line) in self.lines.iter().enumerate() {
            pane.line(&mut scene, line, class % Ink::CLASSES);
            if let (Some(last), Some(&y)) = (line.points.last(), ends.get(class)) {
                let at = pane.at(last.x, last.value);
                let name = fitted(&line.name, 12.0, width / 3.0);
                let beside = (pane.right + 18.0, y);
                scene.line(
                    &[(at.0 + RADIUS, at.1), (beside.0 - 4.0, y)],
                    Stroke::dashed(Ink::Grid, 1.0, 2.0, 3.0),
                );
                scene.text(&name, beside, Anchor::Start, Type::plain(12.0, Ink::Text));
            }
        }
        scene.picture(&self.title)
    }

    /// Heights of the names: those of the last points, moved apart.
    fn ends(&self, pane: &Pane) -> Vec<f64> {
        let wanted = self.lines.iter().map(|line| {
            line.points.last().map_or(pane.bottom, |last| pane.at(last.x, last.value).1)
        });
        let wanted: Vec<f64> = wanted.collect();
        let mut order: Vec<usize> = (0..wanted.len()).collect();
        order.sort_by(|&a, &b| wanted[a].total_cmp(&wanted[b]).then(b.cmp(&a)));
        let mut ends = wanted.clone();
        let mut above = f64::NEG_INFINITY;
        for &line in &order {
            ends[line] = wanted[line].max(above + 16.0);
            above = ends[line];
        }
        // What ran over the foot comes up again.
        let mut below = pane.bottom + 8.0;
        for &line in order.iter().rev() {
            ends[line] = ends[line].min(below);
            below = ends[line] - 16.0;
        }
        ends
    }
}

struct Pane {
    left: f64,
    right: f64,
    top: f64,
    bottom: f64,
    first: f64,
    last: f64,
    high: f64,
}

impl Pane {
    fn at(&self, x: u32, value: f64) -> Point {
        let part = (f64::from(x) - self.first) / (self.last - self.first);
        let across = self.left + 14.0 + part * (self.right - self.left - 28.0);
        (across, self.bottom - value / self.high * (self.bottom - self.top))
    }

    fn axes(&self, scene: &mut Scene, whole: bool) {
        let range = (0.0, self.high);
        for value in if whole { whole_ticks(range, 6) } else { ticks(range, 6) } {
            let y = self.at(0, value).1;
            let ink = if value == 0.0 { Ink::Muted } else { Ink::Grid };
            scene.line(&[(self.left, y), (self.right, y)], Stroke::solid(ink, 1.0));
            let look = Type::plain(11.0, Ink::Muted);
            scene.text(&short(value), (self.left - 8.0, y), Anchor::End, look);
        }
        for x in self.first as u32..=self.last as u32 {
            let at = (self.at(x, 0.0).0, self.bottom + 14.0);
            scene.text(&x.to_string(), at, Anchor::Middle, Type::plain(11.0, Ink::Muted));
        }
    }

    fn line(&self, scene: &mut Scene, line: &CurveLine, class: usize) {
        let at = |point: &CurvePoint| self.at(point.x, point.value);
        let points: Vec<Point> = line.points.iter().map(at).collect();
        let ink = Ink::Class(class);
        if points.len() > 1 {
            scene.line(&points, Stroke::solid(ink, 2.0));
        }
        for (&at, point) in points.iter().zip(&line.points) {
            match point.certainty {
                Certainty::Settled => mark(scene, class, at, ink),
                Certainty::AtLeast => open_mark(scene, class, at, -ARROW),
                Certainty::AtMost => open_mark(scene, class, at, ARROW),
            }
        }
    }
}

fn mark(scene: &mut Scene, class: usize, (x, y): Point, ink: Ink) {
    match corners(Some(class), (x, y), RADIUS) {
        Some(shape) => scene.area(&shape, ink),
        None => scene.disc((x, y), RADIUS, ink),
    }
}

/// The mark of a bound: hollow, with an arrow up (negative) or down.
fn open_mark(scene: &mut Scene, class: usize, (x, y): Point, arrow: f64) {
    let stroke = Stroke::solid(Ink::Class(class), 1.6);
    let edge = RADIUS.copysign(arrow);
    scene.arrow((x, y + edge), (x, y + arrow), stroke);
    match corners(Some(class), (x, y), RADIUS) {
        Some(shape) => scene.outlined(&shape, Some(Ink::Paper), stroke),
        None => {
            scene.disc((x, y), RADIUS, Ink::Paper);
            scene.circle((x, y), RADIUS, stroke);
        }
    }
}
