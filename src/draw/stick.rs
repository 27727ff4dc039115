//! The stick drawing: a layout in half section above its axis, sets, shafts, brakes and
//! clutches, with the lines that the router of `build` found.

use super::canvas::{Anchor, Picture, Size, Type, text_width};
use super::palette::{Ink, Role};
use super::roles;
use super::scene::{Point, Scene, Stroke};
use crate::build::{Direction, Drawing, Segment};

/// What is drawn. Shafts and elements are named by their places in the layout.
#[derive(Clone, Debug)]
pub struct Stick<'a> {
    pub title: String,
    pub drawing: &'a Drawing,
    pub sets: Vec<StickSet>,
    pub elements: Vec<StickElement>,
    /// What each shaft does in the gear that is drawn; none for the layout as such.
    pub roles: Option<Vec<Role>>,
}

/// A set: the shafts of `[S, R, C]`, none for the housing, and what is written below it.
#[derive(Clone, Debug)]
pub struct StickSet {
    pub seats: [Option<usize>; 3],
    pub teeth: String,
}

/// A brake or a clutch.
#[derive(Clone, Debug)]
pub struct StickElement {
    pub name: String,
    pub brake: bool,
    pub engaged: bool,
}

/// Of a rank along and away from the axis.
const ALONG: f64 = 36.0;
/// More beside a gear.
const BESIDE: f64 = 20.0;
const AWAY: f64 = 30.0;
const LEFT: f64 = 74.0;
const RIGHT: f64 = 74.0;
const HEAD: f64 = 74.0;
const FOOT: f64 = 56.0;
/// Half of the width of a gear, and of the height of a sun or ring.
pub(super) const GEAR: f64 = 13.0;
const RIM: f64 = 4.0;
/// Half of the length of the plates of an element, and of the gap between them.
const PLATE: f64 = 9.0;
const GAP: f64 = 3.0;
const LINE: f64 = 2.6;

/// Where ranks lie in a picture.
pub(super) struct Frame {
    /// Of every rank along the axis.
    across: Vec<f64>,
    axis: f64,
}

impl Frame {
    pub fn at(&self, point: crate::build::Point) -> Point {
        self.rank(point.x, point.y)
    }

    fn rank(&self, x: i32, y: i32) -> Point {
        (self.across[x as usize], self.axis - f64::from(y) * AWAY)
    }
}

impl Stick<'_> {
    /// The picture, as large as its ranks need.
    pub fn draw(&self) -> Picture {
        let (mut scene, frame) = self.ground();
        self.lines(&mut scene, &frame);
        self.marks(&mut scene, &frame);
        scene.picture(&self.title)
    }

    /// An empty picture with title, legend, axis and housing.
    pub(super) fn ground(&self) -> (Scene, Frame) {
        let Drawing { width, height, .. } = *self.drawing;
        let title = Type::bold(17.0, Ink::Text);
        let mut across = self.across();
        let length = across[width as usize];
        let wide = (LEFT + RIGHT + length).max(460.0);
        let high = HEAD + FOOT + f64::from(height) * AWAY;
        let size = Size { width: wide as u32, height: high as u32 };
        let mut scene = Scene::new(size);
        let words = title.fitted(&self.title, wide - 40.0);
        scene.text(&words, (20.0, 24.0), Anchor::Start, title);
        if self.roles.is_some() {
            roles::legend(&mut scene, (20.0, 48.0), wide - 10.0);
        }
        across.iter_mut().for_each(|x| *x += (wide - length) / 2.0);
        let frame = Frame { across, axis: HEAD + f64::from(height) * AWAY };
        let (from, to) = (frame.rank(0, 0), frame.rank(width, 0));
        let axis = [(from.0 - 22.0, from.1), (to.0 + 22.0, to.1)];
        scene.line(&axis, Stroke::dashed(Ink::Muted, 1.0, 14.0, 5.0));
        (scene, frame)
    }

    /// Every rank's distance from the first; wider beside the gears, whose teeth are written
    /// below them.
    fn across(&self) -> Vec<f64> {
        let gears = |x: i32| self.drawing.columns.iter().filter(|column| column.x == x).count();
        let mut at = 0.0;
        let mut across = vec![at];
        for x in 1..=self.drawing.width {
            at += ALONG + BESIDE * (gears(x - 1) + gears(x)) as f64;
            across.push(at);
        }
        across
    }

    fn stroke(&self, shaft: usize) -> Stroke {
        match &self.roles {
            Some(roles) => roles::stroke(roles[shaft], LINE),
            None => Stroke::solid(Ink::Text, LINE * 0.8),
        }
    }

    fn ink(&self, shaft: Option<usize>) -> Ink {
        match (&self.roles, shaft) {
            (_, None) => Ink::Muted,
            (Some(roles), Some(shaft)) => Ink::Role(roles[shaft]),
            (None, Some(_)) => Ink::Text,
        }
    }

    /// Housing, shafts, and the arrows at both ends.
    pub(super) fn lines(&self, scene: &mut Scene, frame: &Frame) {
        let Drawing { width, height, .. } = *self.drawing;
        let top = Segment {
            from: crate::build::Point { x: 0, y: height },
            to: crate::build::Point { x: width, y: height },
        };
        for segment in self.drawing.housing.iter().chain([&top]) {
            housing(scene, frame.at(segment.from), frame.at(segment.to));
        }
        for (shaft, segments) in self.drawing.shafts.iter().enumerate() {
            for segment in segments {
                scene.line(&[frame.at(segment.from), frame.at(segment.to)], self.stroke(shaft));
            }
        }
        for (shaft, x) in [(0, 0), (1, width)] {
            let ends = self.drawing.shafts[shaft].iter().flat_map(|s| [s.from, s.to]);
            let Some(end) = ends.filter(|end| end.x == x).min_by_key(|end| end.y) else { continue };
            self.arrow(scene, frame.at(end), shaft);
        }
    }

    /// The input's arrow comes from the left, the output's leaves to the right.
    fn arrow(&self, scene: &mut Scene, (x, y): Point, shaft: usize) {
        let stroke = Stroke::solid(self.ink(Some(shaft)), LINE);
        let look = Type::plain(12.0, Ink::Text);
        if shaft == 0 {
            scene.arrow((x - 30.0, y), (x, y), stroke);
            scene.text("input", (x - 30.0, y - 11.0), Anchor::Middle, look);
        } else {
            scene.arrow((x, y), (x + 30.0, y), stroke);
            scene.text("output", (x + 30.0, y - 11.0), Anchor::Middle, look);
        }
    }

    /// Gears and elements, over the lines.
    pub(super) fn marks(&self, scene: &mut Scene, frame: &Frame) {
        for (set, column) in self.sets.iter().zip(&self.drawing.columns) {
            let [sun, pin, ring] =
                [column.sun, column.pin, column.ring].map(|y| frame.rank(column.x, y));
            let [on_sun, on_ring, on_carrier] = set.seats;
            let planet = [sun.1 - RIM - 1.5, ring.1 + RIM + 1.5];
            let half = GEAR * 0.62;
            let corners = [
                (pin.0 - half, planet[0]),
                (pin.0 + half, planet[0]),
                (pin.0 + half, planet[1]),
                (pin.0 - half, planet[1]),
            ];
            scene.reserve([pin.0 - GEAR, ring.1 - RIM, pin.0 + GEAR, sun.1 + RIM]);
            let ink = self.ink(on_carrier);
            scene.outlined(&corners, Some(Ink::Paper), Stroke::solid(ink, 1.6));
            scene.line(&[(pin.0 - GEAR, pin.1), (pin.0 + GEAR, pin.1)], Stroke::solid(ink, LINE));
            for (at, shaft) in [(sun, on_sun), (ring, on_ring)] {
                let bar = [
                    (at.0 - GEAR, at.1 - RIM),
                    (at.0 + GEAR, at.1 - RIM),
                    (at.0 + GEAR, at.1 + RIM),
                    (at.0 - GEAR, at.1 + RIM),
                ];
                scene.area(&bar, self.ink(shaft));
            }
            let look = Type::plain(11.0, Ink::Muted);
            scene.text(&set.teeth, (pin.0, frame.axis + 30.0), Anchor::Middle, look);
        }
        for (number, column) in self.drawing.columns.iter().enumerate() {
            let at = (frame.rank(column.x, 0).0, frame.axis + 15.0);
            let words = format!("set {}", number + 1);
            scene.text(&words, at, Anchor::Middle, Type::bold(11.0, Ink::Text));
        }
        for (element, mark) in self.elements.iter().zip(&self.drawing.elements) {
            draw_element(scene, frame.at(mark.at), mark.first, element);
        }
    }
}

/// A line of the housing: wide, with hatching on one side.
fn housing(scene: &mut Scene, from: Point, to: Point) {
    scene.line(&[from, to], Stroke::solid(Ink::Muted, 2.0));
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let length = dx.hypot(dy);
    let count = (length / 7.0).floor() as i32;
    for number in 0..=count {
        let part = f64::from(number) / f64::from(count.max(1));
        let (x, y) = (from.0 + dx * part, from.1 + dy * part);
        scene.line(&[(x, y), (x + 4.5, y - 5.5)], Stroke::solid(Ink::Muted, 0.9));
    }
}

/// Two plates across the line, apart when open, one block when engaged; a brake's second
/// plate is hatched, for it stands still. The letter stands beside the line.
fn draw_element(scene: &mut Scene, (x, y): Point, first: Direction, element: &StickElement) {
    let along = matches!(first, Direction::Left | Direction::Right);
    let sign = if matches!(first, Direction::Right | Direction::Up) { 1.0 } else { -1.0 };
    // From (along the line, across it) to pixels; the first-named shaft lies at +.
    let place = |a: f64, b: f64| {
        if along { (x + sign * a, y + b) } else { (x + b, y - sign * a) }
    };
    scene.reserve([x - PLATE, y - PLATE, x + PLATE, y + PLATE]);
    let gap = if element.engaged { 1.2 } else { GAP };
    let block = |from: f64, to: f64| {
        [place(from, -PLATE), place(to, -PLATE), place(to, PLATE), place(from, PLATE)]
    };
    scene.area(&block(-gap - 3.0, gap + 3.0), Ink::Paper);
    let (ink, width) = if element.engaged { (Ink::Accent, 3.0) } else { (Ink::Text, 2.0) };
    if element.engaged {
        scene.area(&block(-gap - 1.0, gap + 1.0), Ink::Accent);
    }
    for side in [gap, -gap] {
        scene.line(&[place(side, -PLATE), place(side, PLATE)], Stroke::solid(ink, width));
    }
    if element.brake {
        for step in -2..=2 {
            let across = f64::from(step) * 4.0;
            let ends = [place(-gap, across), place(-gap - 4.5, across + 3.0)];
            scene.line(&ends, Stroke::solid(Ink::Muted, 1.0));
        }
    }
    let look = Type::bold(13.0, ink);
    let wide = text_width(&element.name, 13.0) / 2.0;
    let (at, anchor) = if along {
        ((x + wide + 6.0, y - PLATE - 8.0), Anchor::Middle)
    } else {
        ((x + PLATE + 7.0, y), Anchor::Start)
    };
    scene.patched(&element.name, at, anchor, look);
}
