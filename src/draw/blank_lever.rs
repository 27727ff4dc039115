//! The lever of one set to draw on: arms and a grid of speeds, nothing filled in.

use super::canvas::{Anchor, Picture, Size, Type};
use super::palette::Ink;
use super::scene::{Scene, Stroke};

/// A lever without speeds.
#[derive(Clone, Debug)]
pub struct BlankLever {
    pub title: String,
    /// Members and their places on the lever, such as sun 1, carrier 0, ring −1/ρ.
    pub pins: Vec<(String, f64)>,
}

const SIZE: Size = Size { width: 520, height: 280 };
const LEFT: f64 = 70.0;
const RIGHT: f64 = 496.0;
const TOP: f64 = 64.0;
const BOTTOM: f64 = 236.0;
/// Lines of the grid to each side of the line of rest.
const LINES: i32 = 6;

impl BlankLever {
    /// The picture: a horizontal line for each member, a line of rest, a grid for speeds.
    pub fn draw(&self) -> Picture {
        let mut scene = Scene::new(SIZE);
        let width = f64::from(SIZE.width) - 40.0;
        let look = Type::bold(15.0, Ink::Text);
        let title = look.fitted(&self.title, width);
        scene.text(&title, (20.0, 24.0), Anchor::Start, look);
        let middle = (LEFT + RIGHT) / 2.0;
        let step = (RIGHT - LEFT) / f64::from(2 * LINES);
        for line in -LINES..=LINES {
            let x = middle + f64::from(line) * step;
            let stroke = match line {
                0 => Stroke::solid(Ink::Text, 1.75),
                _ => Stroke::dashed(Ink::Muted, 0.75, 2.0, 4.0),
            };
            scene.line(&[(x, TOP - 14.0), (x, BOTTOM + 14.0)], stroke);
        }
        scene.text("0", (middle, BOTTOM + 28.0), Anchor::Middle, Type::plain(12.0, Ink::Text));
        let places = || self.pins.iter().map(|(_, place)| *place);
        let (low, high) = places().fold((f64::MAX, f64::MIN), |(l, h), p| (l.min(p), h.max(p)));
        for (member, place) in &self.pins {
            let y = TOP + (high - place) / (high - low).max(1e-9) * (BOTTOM - TOP);
            scene.line(&[(LEFT, y), (RIGHT, y)], Stroke::solid(Ink::Muted, 1.25));
            scene.disc((middle, y), 4.0, Ink::Text);
            scene.text(member, (LEFT - 12.0, y), Anchor::End, Type::bold(13.0, Ink::Text));
        }
        scene.picture(&self.title)
    }
}
