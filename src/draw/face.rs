//! The face view of a set to scale: its wheels with their true teeth, seen along the axis.

use super::canvas::{Anchor, Picture, Size, Type, wrapped};
use super::classes::short;
use super::palette::Ink;
use super::scene::{Point, Scene, Stroke};

/// A set to be drawn. Lengths are in millimetres, from the set's axis, y upwards.
#[derive(Clone, Debug)]
pub struct Face {
    pub title: String,
    /// Sun and planets.
    pub wheels: Vec<FaceWheel>,
    pub ring: FaceRing,
    /// What is written below, a line each, such as teeth and shifts.
    pub notes: Vec<String>,
}

/// A wheel with outer teeth.
#[derive(Clone, Debug)]
pub struct FaceWheel {
    pub name: String,
    pub centre: [f64; 2],
    /// The closed outline.
    pub outline: Vec<[f64; 2]>,
    pub pitch_radius: f64,
}

/// The ring.
#[derive(Clone, Debug)]
pub struct FaceRing {
    /// The closed outline of its hole.
    pub hole: Vec<[f64; 2]>,
    pub pitch_radius: f64,
    pub outer_diameter: f64,
}

const SIDE: f64 = 620.0;
const MARGIN: f64 = 28.0;
const HEAD: f64 = 44.0;
const DIMENSIONS: f64 = 74.0;
const NOTE: f64 = 18.0;

impl Face {
    /// The picture.
    pub fn draw(&self) -> Picture {
        let notes = self.notes.iter().flat_map(|note| wrapped(note, 12.0, SIDE - 40.0));
        let notes: Vec<String> = notes.collect();
        let height = HEAD + SIDE + DIMENSIONS + NOTE * notes.len() as f64 + 14.0;
        let mut scene = Scene::new(Size { width: SIDE as u32, height: height as u32 });
        let title = Type::bold(17.0, Ink::Text);
        let words = title.fitted(&self.title, SIDE - 40.0);
        scene.text(&words, (20.0, 24.0), Anchor::Start, title);
        let outside = self.ring.outer_diameter / 2.0;
        let view = View {
            scale: (SIDE / 2.0 - MARGIN) / outside,
            centre: (SIDE / 2.0, HEAD + SIDE / 2.0),
        };
        self.wheels(&mut scene, &view, outside);
        self.circles(&mut scene, &view);
        self.dimensions(&mut scene, &view);
        for (row, note) in notes.iter().enumerate() {
            let look = Type::plain(12.0, Ink::Muted);
            let at = (20.0, HEAD + SIDE + DIMENSIONS + NOTE * (row as f64 + 0.5));
            scene.text(note, at, Anchor::Start, look);
        }
        scene.picture(&self.title)
    }

    fn wheels(&self, scene: &mut Scene, view: &View, outside: f64) {
        let edge = Stroke::solid(Ink::Text, 1.0);
        let rim: Vec<[f64; 2]> = (0..180)
            .map(|n| f64::from(n) * std::f64::consts::TAU / 180.0)
            .map(|angle| [outside * angle.cos(), outside * angle.sin()])
            .collect();
        scene.outlined(&view.all(&rim), Some(Ink::Raised), edge);
        scene.outlined(&view.all(&self.ring.hole), Some(Ink::Paper), edge);
        for wheel in &self.wheels {
            scene.outlined(&view.all(&wheel.outline), Some(Ink::Raised), edge);
        }
    }

    /// Pitch circles, dashed, and a cross at every axis with the wheel's name.
    fn circles(&self, scene: &mut Scene, view: &View) {
        let dashes = Stroke::dashed(Ink::Accent, 1.0, 6.0, 4.0);
        scene.circle(view.at([0.0, 0.0]), self.ring.pitch_radius * view.scale, dashes);
        for wheel in &self.wheels {
            let (x, y) = view.at(wheel.centre);
            scene.circle((x, y), wheel.pitch_radius * view.scale, dashes);
            let thin = Stroke::solid(Ink::Text, 1.0);
            scene.line(&[(x - 6.0, y), (x + 6.0, y)], thin);
            scene.line(&[(x, y - 6.0), (x, y + 6.0)], thin);
            let look = Type::bold(12.0, Ink::Text);
            let words = look.fitted(&wheel.name, 1.6 * wheel.pitch_radius * view.scale);
            scene.text(&words, (x, y - 15.0), Anchor::Middle, look);
        }
    }

    /// Below the set: the outside diameter, and how far planets stand from the axis.
    fn dimensions(&self, scene: &mut Scene, view: &View) {
        let bottom = HEAD + SIDE;
        let outside = self.ring.outer_diameter / 2.0;
        let words = format!("outside diameter {} mm", short(rounded(self.ring.outer_diameter)));
        dimension(scene, view, [-outside, outside], (bottom, bottom + 46.0), &words);
        let planet = self.wheels.iter().find(|wheel| wheel.centre != [0.0, 0.0]);
        if let Some(planet) = planet {
            let [x, y] = planet.centre;
            let distance = x.hypot(y);
            let words = format!("to the planet's pin {} mm", short(rounded(distance)));
            let from = bottom - SIDE / 2.0;
            dimension(scene, view, [0.0, distance], (from, bottom + 14.0), &words);
        }
    }
}

/// Hundredths of a millimetre are all that a drawing needs.
fn rounded(length: f64) -> f64 {
    (length * 100.0).round() / 100.0
}

/// From millimetres to pixels.
struct View {
    scale: f64,
    centre: Point,
}

impl View {
    fn at(&self, [x, y]: [f64; 2]) -> Point {
        (self.centre.0 + x * self.scale, self.centre.1 - y * self.scale)
    }

    fn all(&self, points: &[[f64; 2]]) -> Vec<Point> {
        points.iter().map(|&point| self.at(point)).collect()
    }
}

/// A dimension line at height `at.1` with lines up to `at.0`, arrows at its ends, and words.
fn dimension(scene: &mut Scene, view: &View, ends: [f64; 2], at: (f64, f64), words: &str) {
    let [left, right] = ends.map(|x| view.at([x, 0.0]).0);
    let thin = Stroke::solid(Ink::Muted, 0.9);
    for x in [left, right] {
        scene.line(&[(x, at.0), (x, at.1 + 6.0)], thin);
    }
    let middle = (left + right) / 2.0;
    scene.arrow((middle, at.1), (left, at.1), thin);
    scene.arrow((middle, at.1), (right, at.1), thin);
    let look = Type::plain(12.0, Ink::Text);
    scene.patched(words, (middle, at.1 + 14.0), Anchor::Middle, look);
}
