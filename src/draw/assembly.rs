//! The order of assembly, a picture a step: the set from in front with what is mounted so
//! far, and what is being added told by hatching, thick edges and its name.

use std::cmp::Ordering;

use super::canvas::{Anchor, Picture, Size, Type, wrapped};
use super::hatch::{corners, hatch};
use super::palette::Ink;
use super::scene::{Point, Scene, Stroke};

/// All steps of putting a set together. Lengths are in mm, from the set's axis, y upwards.
#[derive(Clone, Debug)]
pub struct Assembly {
    pub title: String,
    /// In the order in which they lie over each other, the rearmost first.
    pub parts: Vec<AssemblyPart>,
    /// What is done in every step; there are as many steps as captions.
    pub captions: Vec<String>,
}

/// One part, or several alike that go in together.
#[derive(Clone, Debug)]
pub struct AssemblyPart {
    /// In the list beside the picture; parts of one name and step have one line.
    pub name: String,
    /// Number of the step in which it is added, from 1.
    pub step: usize,
    pub role: PartRole,
    /// Closed lines; a point is inside where an odd number of them goes round it.
    pub outlines: Vec<Vec<[f64; 2]>>,
    /// A short word at a place on the part, such as a planet's number.
    pub label: Option<(String, [f64; 2])>,
    /// Timing marks on it.
    pub marks: Vec<[f64; 2]>,
}

/// What a part is, for how it looks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PartRole {
    /// Sun, planet, ring with its flange.
    Wheel,
    /// A plate behind the wheels.
    Plate,
    /// A pin or a shaft, seen on its end.
    Pin,
    /// What lies in front of the wheels and would hide them: drawn as lines only.
    Cover,
}

/// Width of picture, of the view and of the list beside it.
const WIDE: f64 = 900.0;
const VIEW: f64 = 560.0;
const HEAD: f64 = 44.0;
const LINE: f64 = 19.0;

impl Assembly {
    /// How many steps there are.
    pub fn steps(&self) -> usize {
        self.captions.len()
    }

    /// The picture of `step`, from 1. Every step has the same scale and place.
    pub fn draw(&self, step: usize) -> Picture {
        let caption = self.captions.get(step.wrapping_sub(1)).map_or("", String::as_str);
        let lines = wrapped(caption, 13.0, WIDE - 40.0);
        let list = self.list();
        let below = LINE * lines.len() as f64 + 22.0;
        let body = VIEW.max(30.0 + LINE * (list.len() + 4) as f64 + 40.0);
        let height = (HEAD + body + below) as u32;
        let mut scene = Scene::new(Size { width: WIDE as u32, height });
        let look = Type::bold(17.0, Ink::Text);
        let title = format!("Step {step} of {}: {}", self.steps(), self.title);
        let words = look.fitted(&title, WIDE - 40.0);
        scene.text(&words, (20.0, 24.0), Anchor::Start, look);
        self.parts(&mut scene, step);
        self.told(&mut scene, &list, step);
        for (row, line) in lines.iter().enumerate() {
            let at = (20.0, HEAD + body + 10.0 + LINE * row as f64);
            scene.text(line, at, Anchor::Start, Type::plain(13.0, Ink::Text));
        }
        scene.picture(&title)
    }

    /// All pictures, in their order.
    pub fn pictures(&self) -> Vec<Picture> {
        (1..=self.steps()).map(|step| self.draw(step)).collect()
    }

    fn parts(&self, scene: &mut Scene, step: usize) {
        let points = self.parts.iter().flat_map(|part| part.outlines.iter().flatten());
        let reach = points.map(|[x, y]| x.abs().max(y.abs())).fold(1e-9, f64::max);
        let scale = (VIEW / 2.0 - 24.0) / reach;
        let centre = (20.0 + VIEW / 2.0, HEAD + VIEW / 2.0);
        let at = |[x, y]: [f64; 2]| (centre.0 + x * scale, centre.1 - y * scale);
        let here = || self.parts.iter().filter(|part| part.step <= step);
        for part in here() {
            let all = |points: &Vec<[f64; 2]>| points.iter().map(|&p| at(p)).collect();
            let rings: Vec<Vec<Point>> = part.outlines.iter().map(all).collect();
            part.draw(scene, &rings, part.step == step);
        }
        for mark in here().flat_map(|part| &part.marks) {
            timing_mark(scene, at(*mark));
        }
        for part in here() {
            if let Some((words, place)) = &part.label {
                let added = part.step == step;
                let ink = if added { Ink::Accent } else { Ink::Text };
                scene.patched_if_free(words, at(*place), Anchor::Middle, Type::bold(14.0, ink));
            }
        }
    }

    /// Names of all parts, each once a step, and when they are added.
    fn list(&self) -> Vec<(usize, String, PartRole)> {
        let mut list: Vec<(usize, &str, usize, PartRole)> = Vec::new();
        for part in &self.parts {
            let same = |one: &&mut (usize, &str, usize, PartRole)| {
                one.0 == part.step && one.1 == part.name
            };
            match list.iter_mut().find(same) {
                Some(one) => one.2 += 1,
                None => list.push((part.step, &part.name, 1, part.role)),
            }
        }
        list.sort_by_key(|one| one.0);
        let told = |(step, name, count, role): (usize, &str, usize, PartRole)| {
            let count = if count > 1 { format!("{count} × ") } else { String::new() };
            (step, format!("{count}{name}"), role)
        };
        list.into_iter().map(told).collect()
    }

    /// The list beside the view: what is mounted, what is added (hatched), what is to come.
    fn told(&self, scene: &mut Scene, list: &[(usize, String, PartRole)], step: usize) {
        let left = VIEW + 50.0;
        let mut y = HEAD + 16.0;
        let groups = [
            ("mounted before", Ordering::Less),
            ("added in this step", Ordering::Equal),
            ("still to come", Ordering::Greater),
        ];
        for (caption, order) in groups {
            let group: Vec<_> = list.iter().filter(|one| one.0.cmp(&step) == order).collect();
            if group.is_empty() {
                continue;
            }
            let added = order == Ordering::Equal;
            scene.text(caption, (left, y), Anchor::Start, Type::plain(12.0, Ink::Muted));
            y += LINE;
            for (_, words, role) in group {
                if order != Ordering::Greater {
                    swatch(scene, (left, y), role.fill(), added);
                }
                let ink = if order == Ordering::Greater { Ink::Muted } else { Ink::Text };
                let look = if added { Type::bold(13.0, ink) } else { Type::plain(13.0, ink) };
                let words = look.fitted(words, WIDE - left - 46.0);
                scene.text(&words, (left + 30.0, y), Anchor::Start, look);
                y += LINE;
            }
            y += 8.0;
        }
        let marked = |part: &AssemblyPart| part.step <= step && !part.marks.is_empty();
        if self.parts.iter().any(marked) {
            timing_mark(scene, (left + 10.0, y));
            let look = Type::plain(12.0, Ink::Muted);
            scene.text("timing marks face each other", (left + 30.0, y), Anchor::Start, look);
        }
    }
}

impl PartRole {
    fn fill(self) -> Option<Ink> {
        match self {
            Self::Wheel => Some(Ink::Raised),
            Self::Plate => Some(Ink::Grid),
            Self::Pin => Some(Ink::Unclassed),
            Self::Cover => None,
        }
    }
}

impl AssemblyPart {
    fn draw(&self, scene: &mut Scene, rings: &[Vec<Point>], added: bool) {
        let edge =
            if added { Stroke::solid(Ink::Accent, 2.0) } else { Stroke::solid(Ink::Text, 1.2) };
        scene.shape(rings, self.role.fill(), edge);
        if added {
            let apart = if self.role == PartRole::Cover { 13.0 } else { 8.0 };
            hatch(scene, rings, apart, false, Stroke::solid(Ink::Accent, 0.9));
        }
    }
}

/// A sample of a part: added or mounted.
fn swatch(scene: &mut Scene, (left, y): Point, fill: Option<Ink>, added: bool) {
    let area = corners([left, y - 6.0, left + 20.0, y + 6.0]);
    let edge = if added { Stroke::solid(Ink::Accent, 2.0) } else { Stroke::solid(Ink::Text, 1.2) };
    scene.outlined(&area, fill, edge);
    if added {
        hatch(scene, &[area], 6.0, false, Stroke::solid(Ink::Accent, 0.9));
    }
}

/// A dark point with a light edge, seen on any ground.
fn timing_mark(scene: &mut Scene, at: Point) {
    scene.disc(at, 4.6, Ink::Paper);
    scene.disc(at, 3.2, Ink::Text);
}
