//! The lever drawing of one gear: a lever a set, arms from its teeth, the speeds of its
//! members as a straight line across, their torques as arrows.

use super::canvas::{Anchor, Picture, Size, Type, fitted, text_width};
use super::classes::short;
use super::palette::{Ink, Role};
use super::roles;
use super::scene::{Scene, Stroke};

/// A gear to be drawn.
#[derive(Clone, Debug)]
pub struct Levers {
    pub title: String,
    pub levers: Vec<Lever>,
}

/// One set.
#[derive(Clone, Debug)]
pub struct Lever {
    pub name: String,
    pub pins: Vec<Pin>,
}

/// One member on a lever.
#[derive(Clone, Debug)]
pub struct Pin {
    /// Such as "S1".
    pub member: String,
    /// The shaft that it sits on, or the housing.
    pub shaft: String,
    pub role: Role,
    /// Where it sits on the lever: the carrier at 0, the sun at 1, the ring at −1/ρ of a
    /// single set and 1/ρ of a paired one; speeds are then a straight line over the lever.
    pub place: f64,
    /// Per input speed.
    pub speed: f64,
    /// What the shaft exerts on the set, per input torque; `None` where not determined.
    pub torque: Option<f64>,
}

const HEAD: f64 = 64.0;
/// Of a lever from end to end.
const REACH: f64 = 190.0;
const FOOT: f64 = 64.0;
const NAMES: f64 = 112.0;
const ACROSS: f64 = 150.0;
const VALUES: f64 = 150.0;
const PANEL: f64 = NAMES + ACROSS + VALUES;
/// The longest torque arrow.
const ARROW: f64 = 44.0;
const MARGIN: f64 = 20.0;

impl Levers {
    /// The picture, levers beside each other, two in a row.
    pub fn draw(&self) -> Picture {
        let columns = self.levers.len().clamp(1, 2);
        let rows = self.levers.len().div_ceil(columns).max(1);
        let width = 2.0 * MARGIN + PANEL * columns as f64;
        let height = HEAD + (REACH + FOOT) * rows as f64 + 16.0;
        let mut scene = Scene::new(Size { width: width as u32, height: height as u32 });
        let title = Type::bold(17.0, Ink::Text).fitted(&self.title, width - 2.0 * MARGIN);
        scene.text(&title, (MARGIN, 24.0), Anchor::Start, Type::bold(17.0, Ink::Text));
        roles::legend(&mut scene, (MARGIN, 46.0), width - MARGIN);
        let scales = Scales::of(&self.levers);
        for (index, lever) in self.levers.iter().enumerate() {
            let left = MARGIN + PANEL * (index % columns) as f64;
            let top = HEAD + 40.0 + (REACH + FOOT) * (index / columns) as f64;
            draw_lever(&mut scene, lever, &scales, (left, top));
        }
        scene.picture(&self.title)
    }
}

/// What all levers of a picture share, so that they can be compared.
struct Scales {
    slowest: f64,
    fastest: f64,
    strongest: f64,
}

impl Scales {
    fn of(levers: &[Lever]) -> Self {
        let pins = || levers.iter().flat_map(|lever| &lever.pins);
        let speeds = || pins().map(|pin| pin.speed);
        let torques = pins().filter_map(|pin| pin.torque).map(f64::abs);
        Self {
            slowest: speeds().fold(0.0, f64::min),
            fastest: speeds().fold(1.0, f64::max),
            strongest: torques.fold(1e-9, f64::max),
        }
    }

    /// From the left end of the plot.
    fn across(&self, speed: f64) -> f64 {
        (speed - self.slowest) / (self.fastest - self.slowest) * ACROSS
    }
}

fn draw_lever(scene: &mut Scene, lever: &Lever, scales: &Scales, (left, top): (f64, f64)) {
    let name = Type::bold(13.0, Ink::Text).fitted(&lever.name, PANEL - 12.0);
    scene.text(&name, (left, top - 28.0), Anchor::Start, Type::bold(13.0, Ink::Text));
    let places = || lever.pins.iter().map(|pin| pin.place);
    let (low, high) = places().fold((f64::MAX, f64::MIN), |(l, h), p| (l.min(p), h.max(p)));
    let height = |place: f64| top + (high - place) / (high - low).max(1e-9) * (REACH - 34.0);
    let across = |speed: f64| left + NAMES + scales.across(speed);
    let (first, last) = (height(high), height(low));
    for (speed, words) in [(0.0, "0"), (1.0, "1")] {
        let x = across(speed);
        let rest = Stroke::solid(Ink::Muted, 1.25);
        let input = Stroke::dashed(Ink::Muted, 1.0, 4.0, 4.0);
        let stroke = if speed == 0.0 { rest } else { input };
        scene.line(&[(x, first - 8.0), (x, last + 10.0)], stroke);
        scene.text(words, (x, last + 20.0), Anchor::Middle, Type::plain(11.0, Ink::Muted));
    }
    let mut tips: Vec<(f64, f64)> =
        lever.pins.iter().map(|pin| (across(pin.speed), height(pin.place))).collect();
    tips.sort_by(|a, b| a.1.total_cmp(&b.1));
    for pin in &lever.pins {
        let (y, zero) = (height(pin.place), across(0.0));
        scene.line(&[(zero, y), (across(pin.speed), y)], roles::stroke(pin.role, 2.5));
    }
    scene.line(&tips, Stroke::solid(Ink::Text, 1.5));
    for pin in &lever.pins {
        let y = height(pin.place);
        scene.disc((across(0.0), y), 3.5, Ink::Muted);
        roles::knob(scene, (across(pin.speed), y), pin.role);
        let shaft = fitted(&pin.shaft, 11.0, NAMES - 16.0 - text_width(&pin.member, 12.0));
        let at = left + text_width(&pin.member, 12.0) + 6.0;
        scene.text(&pin.member, (left, y), Anchor::Start, Type::bold(12.0, Ink::Text));
        scene.text(&shaft, (at, y), Anchor::Start, Type::plain(11.0, Ink::Muted));
        values(scene, pin, scales, (left + NAMES + ACROSS + 14.0, y));
    }
}

/// Speed above, torque below: as numbers, and the torque as an arrow.
fn values(scene: &mut Scene, pin: &Pin, scales: &Scales, (left, y): (f64, f64)) {
    let speed = format!("ω {}", short(pin.speed));
    scene.text(&speed, (left, y - 7.0), Anchor::Start, Type::plain(11.0, Ink::Text));
    let torque = pin.torque.map_or("T ?".to_owned(), |torque| format!("T {}", short(torque)));
    scene.text(&torque, (left, y + 7.0), Anchor::Start, Type::plain(11.0, Ink::Text));
    let Some(torque) = pin.torque.filter(|torque| torque.abs() > 1e-9) else { return };
    let length = (torque / scales.strongest).abs().max(0.12) * ARROW;
    let from = left + 78.0;
    let ends = [(from, y), (from + length, y)];
    let [from, to] = if torque > 0.0 { ends } else { [ends[1], ends[0]] };
    scene.arrow(from, to, Stroke::solid(Ink::Accent, 2.0));
}
