//! The saw-tooth: input speed and output torque over road speed, gear by gear, for a given
//! range of input speeds.

use super::canvas::{Anchor, Picture, Size, Type, fitted};
use super::classes::short;
use super::palette::Ink;
use super::plan::round_step;
use super::scene::{Point, Scene, Stroke};

/// What is drawn: input speeds from least to most, and the output speeds that they make.
#[derive(Clone, Debug)]
pub struct SawTooth {
    pub title: String,
    /// Forward gears, first to top, with their ratios.
    pub gears: Vec<(String, f64)>,
    pub speeds: InputSpeeds,
}

/// The input speeds that are used.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum InputSpeeds {
    /// From this share of the highest speed, below 1, up to the highest.
    Share(f64),
    /// From least to most, in revolutions a minute.
    Rpm(f64, f64),
}

impl InputSpeeds {
    fn ends(self) -> (f64, f64) {
        match self {
            Self::Share(least) => (100.0 * least, 100.0),
            Self::Rpm(least, most) => (least, most),
        }
    }

    fn input_axis(self) -> String {
        let least = short(self.ends().0);
        match self {
            Self::Share(_) => format!("input speed, % of the highest; used from {least} %"),
            Self::Rpm(..) => format!("input speed, rpm; used from {least}"),
        }
    }

    fn output_axis(self) -> &'static str {
        match self {
            Self::Share(_) => "road speed, % of the fastest",
            Self::Rpm(..) => "output speed, rpm",
        }
    }
}

const LEFT: f64 = 66.0;
const RIGHT: f64 = 24.0;
const TOP: f64 = 76.0;
const FOOT: f64 = 46.0;
const BETWEEN: f64 = 46.0;

impl SawTooth {
    /// The picture in a given size.
    pub fn draw(&self, size: Size) -> Picture {
        let (width, height) = (f64::from(size.width), f64::from(size.height));
        let mut scene = Scene::new(size);
        let title = Type::bold(17.0, Ink::Text).fitted(&self.title, width - 40.0);
        scene.text(&title, (20.0, 24.0), Anchor::Start, Type::bold(17.0, Ink::Text));
        let top = self.gears.iter().map(|gear| gear.1).fold(f64::INFINITY, f64::min);
        let first = self.gears.iter().map(|gear| gear.1).fold(0.0, f64::max);
        if self.gears.is_empty() || !(top > 0.0 && first.is_finite()) {
            let look = Type::plain(15.0, Ink::Muted);
            scene.text("No gears to draw.", (width / 2.0, height / 2.0), Anchor::Middle, look);
            return scene.picture(&self.title);
        }
        let (_, most) = self.speeds.ends();
        let half = (height - TOP - FOOT - BETWEEN) / 2.0;
        let (left, right) = (LEFT, width - RIGHT);
        let far = self.road(most, top, top);
        let upper = Pane { left, right, top: TOP, bottom: TOP + half, far, high: most };
        let lower_top = TOP + half + BETWEEN;
        let lower = Pane { top: lower_top, bottom: lower_top + half, high: first * 1.05, ..upper };
        let caption = |words: &str| fitted(words, 12.0, width - 40.0);
        let look = Type::plain(12.0, Ink::Muted);
        let above = caption(&self.speeds.input_axis());
        scene.text(&above, (20.0, TOP - 24.0), Anchor::Start, look);
        let below = caption("output torque / input torque");
        scene.text(&below, (20.0, lower_top - 20.0), Anchor::Start, look);
        upper.grid(&mut scene, round_step(most / 5.0));
        lower.grid(&mut scene, round_step(first / 5.0));
        for index in 0..self.gears.len() {
            self.tooth(&mut scene, [&upper, &lower], index, top);
        }
        lower.across(&mut scene);
        let middle = (LEFT + width - RIGHT) / 2.0;
        let words = self.speeds.output_axis();
        scene.text(words, (middle, height - 12.0), Anchor::Middle, look);
        scene.picture(&self.title)
    }

    /// The road speed at an input speed in the gear of ratio `ratio`.
    fn road(&self, input: f64, ratio: f64, top: f64) -> f64 {
        match self.speeds {
            InputSpeeds::Share(_) => input * top / ratio,
            InputSpeeds::Rpm(..) => input / ratio,
        }
    }

    /// One gear: the input speed climbs with the road speed, then drops to the next gear's.
    fn tooth(&self, scene: &mut Scene, [upper, lower]: [&Pane; 2], index: usize, top: f64) {
        let (name, ratio) = &self.gears[index];
        let stroke = Stroke::solid(Ink::Class(index % Ink::CLASSES), 2.25);
        let (least, most) = self.speeds.ends();
        let [slowest, fastest] = [least, most].map(|input| self.road(input, *ratio, top));
        scene.line(&[upper.at(slowest, least), upper.at(fastest, most)], stroke);
        if let Some((_, next)) = self.gears.get(index + 1) {
            let drop = [upper.at(fastest, most), upper.at(fastest, most * next / ratio)];
            scene.line(&drop, Stroke::dashed(Ink::Muted, 1.25, 3.0, 3.0));
        }
        scene.line(&[lower.at(slowest, *ratio), lower.at(fastest, *ratio)], stroke);
        let above = (upper.at(fastest, most).0, upper.top - 9.0);
        let beside = lower.at(fastest, *ratio);
        let look = Type::bold(12.0, Ink::Text);
        scene.patched_if_free(name, above, Anchor::Middle, look);
        scene.patched_if_free(name, (beside.0, beside.1 - 10.0), Anchor::Middle, look);
    }
}

/// A frame over the road speed.
#[derive(Clone, Copy)]
struct Pane {
    left: f64,
    right: f64,
    top: f64,
    bottom: f64,
    /// The fastest road speed, and the highest value.
    far: f64,
    high: f64,
}

impl Pane {
    fn at(&self, road: f64, value: f64) -> Point {
        let x = self.left + road / self.far * (self.right - self.left);
        (x, self.bottom - value / self.high * (self.bottom - self.top))
    }

    fn grid(&self, scene: &mut Scene, step: f64) {
        for value in marks(self.high, step) {
            let y = self.at(0.0, value).1;
            let ink = if value == 0.0 { Ink::Muted } else { Ink::Grid };
            scene.line(&[(self.left, y), (self.right, y)], Stroke::solid(ink, 1.0));
            let at = (self.left - 8.0, y);
            scene.text(&short(value), at, Anchor::End, Type::plain(11.0, Ink::Muted));
        }
    }

    fn across(&self, scene: &mut Scene) {
        for road in marks(self.far, round_step(self.far / 6.0)) {
            let at = (self.at(road, 0.0).0, self.bottom + 14.0);
            let look = Type::plain(11.0, Ink::Muted);
            scene.text(&short(road), at, Anchor::Middle, look);
        }
    }
}

/// 0, step, 2 step … up to `most`.
fn marks(most: f64, step: f64) -> impl Iterator<Item = f64> {
    (0..=(most / step + 1e-9).floor() as i32).map(move |number| f64::from(number) * step)
}
