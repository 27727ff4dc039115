//! The saw-tooth: input speed and output torque over road speed, gear by gear, for a given
//! range of input speeds.

use super::canvas::{Anchor, Picture, Size, Type, fitted};
use super::classes::short;
use super::palette::Ink;
use super::plan::round_step;
use super::scene::{Point, Scene, Stroke};

/// What is drawn. Road speed is output speed; in per cent of the fastest that is reached.
#[derive(Clone, Debug)]
pub struct SawTooth {
    pub title: String,
    /// Forward gears, first to top, with their ratios.
    pub gears: Vec<(String, f64)>,
    /// Input speeds that are used, as shares of the highest: least below 1, and 1.
    pub least_speed: f64,
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
        let half = (height - TOP - FOOT - BETWEEN) / 2.0;
        let upper =
            Pane { left: LEFT, right: width - RIGHT, top: TOP, bottom: TOP + half, high: 1.0 };
        let lower_top = TOP + half + BETWEEN;
        let lower = Pane { top: lower_top, bottom: lower_top + half, high: first * 1.05, ..upper };
        let caption = |words: &str| fitted(words, 12.0, width - 40.0);
        let look = Type::plain(12.0, Ink::Muted);
        let above = format!(
            "input speed, % of the highest; used from {} %",
            short(self.least_speed * 100.0)
        );
        scene.text(&caption(&above), (20.0, TOP - 24.0), Anchor::Start, look);
        let below = "output torque / input torque";
        scene.text(&caption(below), (20.0, lower_top - 20.0), Anchor::Start, look);
        upper.grid(&mut scene, 0.2, |share| short(share * 100.0));
        lower.grid(&mut scene, round_step(first / 5.0), short);
        for (index, (name, ratio)) in self.gears.iter().enumerate() {
            self.tooth(&mut scene, [&upper, &lower], index, name, ratio / top);
        }
        lower.across(&mut scene);
        let words = "road speed, % of the fastest";
        let middle = (LEFT + width - RIGHT) / 2.0;
        scene.text(words, (middle, height - 12.0), Anchor::Middle, look);
        scene.picture(&self.title)
    }

    /// One gear: the input speed climbs with the road speed, then drops to the next gear's.
    fn tooth(
        &self,
        scene: &mut Scene,
        [upper, lower]: [&Pane; 2],
        index: usize,
        name: &str,
        times: f64,
    ) {
        let stroke = Stroke::solid(Ink::Class(index % Ink::CLASSES), 2.25);
        let (slowest, fastest) = (self.least_speed / times, 1.0 / times);
        scene.line(&[upper.at(slowest, self.least_speed), upper.at(fastest, 1.0)], stroke);
        if let Some((_, next)) = self.gears.get(index + 1) {
            let after = next / self.gears[index].1;
            let drop = [upper.at(fastest, 1.0), upper.at(fastest, after)];
            scene.line(&drop, Stroke::dashed(Ink::Muted, 1.25, 3.0, 3.0));
        }
        let ratio = self.gears[index].1;
        scene.line(&[lower.at(slowest, ratio), lower.at(fastest, ratio)], stroke);
        let above = (upper.at(fastest, 1.0).0, upper.top - 9.0);
        let beside = lower.at(fastest, ratio);
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
    high: f64,
}

impl Pane {
    /// Road speed as a share of the fastest, and the height's value.
    fn at(&self, road: f64, value: f64) -> Point {
        let x = self.left + road * (self.right - self.left);
        (x, self.bottom - value / self.high * (self.bottom - self.top))
    }

    fn grid(&self, scene: &mut Scene, step: f64, words: impl Fn(f64) -> String) {
        for number in 0..=(self.high / step + 1e-9).floor() as i32 {
            let value = f64::from(number) * step;
            let y = self.at(0.0, value).1;
            let ink = if number == 0 { Ink::Muted } else { Ink::Grid };
            scene.line(&[(self.left, y), (self.right, y)], Stroke::solid(ink, 1.0));
            let at = (self.left - 8.0, y);
            scene.text(&words(value), at, Anchor::End, Type::plain(11.0, Ink::Muted));
        }
    }

    fn across(&self, scene: &mut Scene) {
        for tenth in 0..=5 {
            let road = f64::from(tenth) / 5.0;
            let at = (self.at(road, 0.0).0, self.bottom + 14.0);
            let words = short(road * 100.0);
            scene.text(&words, at, Anchor::Middle, Type::plain(11.0, Ink::Muted));
        }
    }
}
