//! The speed plan: every shaft's speed over all gears, in one picture, standstill and the
//! input's speed marked. The same for planets about their pins.

use super::canvas::{Anchor, Picture, Size, Type, fitted, text_width};
use super::classes::short;
use super::palette::Ink;
use super::scene::{Point, Scene, Stroke};

/// What is drawn.
#[derive(Clone, Debug)]
pub struct SpeedPlan {
    pub title: String,
    /// What the heights mean, with the unit.
    pub axis: String,
    pub gears: Vec<String>,
    pub series: Vec<Series>,
}

/// One line: a name, and a speed a gear; `None` where it is not known.
#[derive(Clone, Debug)]
pub struct Series {
    pub name: String,
    pub speeds: Vec<Option<f64>>,
}

const TOP: f64 = 58.0;
const FOOT: f64 = 44.0;
const LEFT: f64 = 62.0;
/// Names at the ends of the lines stand at least this far apart.
const APART: f64 = 15.0;

impl SpeedPlan {
    /// The picture in a given size.
    pub fn draw(&self, size: Size) -> Picture {
        let (width, height) = (f64::from(size.width), f64::from(size.height));
        let mut scene = Scene::new(size);
        let title = Type::bold(17.0, Ink::Text).fitted(&self.title, width - 40.0);
        scene.text(&title, (20.0, 24.0), Anchor::Start, Type::bold(17.0, Ink::Text));
        let axis = fitted(&self.axis, 12.0, width - 40.0);
        scene.text(&axis, (20.0, 43.0), Anchor::Start, Type::plain(12.0, Ink::Muted));
        let names = self.series.iter().map(|series| text_width(&series.name, 12.0));
        let names = names.fold(40.0, f64::max).min(width / 4.0);
        let frame = Frame::new(self, [LEFT, width - names - 42.0], [TOP, height - FOOT]);
        frame.grid(&mut scene, &self.gears);
        for (index, series) in self.series.iter().enumerate() {
            draw_series(&mut scene, &frame, index, series);
        }
        frame.names(&mut scene, &self.series, names);
        scene.picture(&self.title)
    }
}

/// From gears and speeds to pixels.
struct Frame {
    left: f64,
    right: f64,
    top: f64,
    bottom: f64,
    gears: usize,
    low: f64,
    high: f64,
}

impl Frame {
    fn new(plan: &SpeedPlan, [left, right]: [f64; 2], [top, bottom]: [f64; 2]) -> Self {
        let speeds = || plan.series.iter().flat_map(|series| series.speeds.iter().flatten());
        let low = speeds().copied().fold(0.0, f64::min);
        let high = speeds().copied().fold(1.0, f64::max);
        let room = (high - low) * 0.04;
        let gears = plan.gears.len();
        Self { left, right, top, bottom, gears, low: low - room, high: high + room }
    }

    fn at(&self, gear: usize, speed: f64) -> Point {
        let part = if self.gears > 1 { gear as f64 / (self.gears - 1) as f64 } else { 0.5 };
        let rise = (speed - self.low) / (self.high - self.low);
        (self.left + part * (self.right - self.left), self.bottom - rise * (self.bottom - self.top))
    }

    fn grid(&self, scene: &mut Scene, gears: &[String]) {
        let step = round_step((self.high - self.low) / 8.0);
        let first = (self.low / step).ceil() as i64;
        let last = (self.high / step).floor() as i64;
        let marked = |speed: f64| speed.abs() < 1e-9 || (speed - 1.0).abs() < 1e-9;
        for number in first..=last {
            let speed = number as f64 * step;
            let y = self.at(0, speed).1;
            let clear = |mark: f64| (self.at(0, mark).1 - y).abs() > 12.0 || marked(speed);
            if !marked(speed) && clear(0.0) && clear(1.0) {
                scene.line(&[(self.left, y), (self.right, y)], Stroke::solid(Ink::Grid, 1.0));
                self.label(scene, &short(speed), y, Type::plain(11.0, Ink::Muted));
            }
        }
        // Standstill and the input's speed are what all others are read against.
        for speed in [0.0, 1.0] {
            let y = self.at(0, speed).1;
            let stroke = match speed {
                0.0 => Stroke::solid(Ink::Text, 1.5),
                _ => Stroke::dashed(Ink::Text, 1.25, 6.0, 4.0),
            };
            scene.line(&[(self.left, y), (self.right, y)], stroke);
            self.label(scene, &short(speed), y, Type::bold(12.0, Ink::Text));
        }
        for (gear, name) in gears.iter().enumerate() {
            let x = self.at(gear, 0.0).0;
            scene.line(&[(x, self.top), (x, self.bottom)], Stroke::solid(Ink::Grid, 1.0));
            let look = Type::bold(12.0, Ink::Text);
            let apart = (self.right - self.left) / (gears.len().max(2) - 1) as f64;
            let name = look.fitted(name, (apart - 6.0).max(14.0));
            scene.text(&name, (x, self.bottom + 15.0), Anchor::Middle, look);
        }
        let middle = (self.left + self.right) / 2.0;
        let look = Type::plain(12.0, Ink::Muted);
        scene.text("gear", (middle, self.bottom + 33.0), Anchor::Middle, look);
    }

    fn label(&self, scene: &mut Scene, words: &str, y: f64, look: Type) {
        scene.text(words, (self.left - 10.0, y), Anchor::End, look);
    }

    /// Names beside the ends of the lines, pushed apart where lines end together, each with
    /// a thin line to the end that it belongs to.
    fn names(&self, scene: &mut Scene, series: &[Series], width: f64) {
        let last = self.gears.saturating_sub(1);
        let ends = series.iter().enumerate().filter_map(|(index, series)| {
            let gear = series.speeds.iter().rposition(Option::is_some)?;
            Some((index, gear, self.at(gear, series.speeds[gear]?)))
        });
        let mut ends: Vec<(usize, usize, Point)> = ends.collect();
        ends.sort_by(|a, b| a.2.1.total_cmp(&b.2.1));
        let wanted: Vec<f64> = ends.iter().map(|end| end.2.1).collect();
        let places = apart(&wanted, self.top, self.bottom);
        for (&(index, gear, end), y) in ends.iter().zip(places) {
            let x = self.right + 26.0;
            let stroke = Stroke::dashed(Ink::Muted, 0.75, 1.0, 3.0);
            let way = if gear == last { vec![end, (x - 5.0, y)] } else { vec![(x - 5.0, y)] };
            scene.line(&way, stroke);
            mark(scene, (x, y), index);
            let name = fitted(&series[index].name, 12.0, width);
            scene.text(&name, (x + 9.0, y), Anchor::Start, Type::plain(12.0, Ink::Text));
        }
    }
}

/// Places near the wanted ones (rising), [`APART`] from each other, within the ends if they
/// have room.
fn apart(wanted: &[f64], top: f64, bottom: f64) -> Vec<f64> {
    let mut places = wanted.to_vec();
    for index in 1..places.len() {
        places[index] = places[index].max(places[index - 1] + APART);
    }
    let over = places.last().map_or(0.0, |last| (last - bottom).max(0.0));
    let mut ceiling = f64::INFINITY;
    for (place, left) in
        places.iter_mut().rev().zip(std::iter::once(over).chain(std::iter::repeat(0.0)))
    {
        *place = (*place - left).min(ceiling);
        ceiling = *place - APART;
    }
    let under = places.first().map_or(0.0, |first| (top - first).max(0.0));
    places.iter().map(|place| place + under).collect()
}

/// A step of 1, 2 or 5 times a power of ten, at least `least`.
pub(super) fn round_step(least: f64) -> f64 {
    let decade = 10f64.powf(least.log10().floor());
    let steps = [1.0, 2.0, 5.0, 10.0].map(|step| step * decade);
    steps.into_iter().find(|step| *step >= least * 0.999).unwrap_or(10.0 * decade)
}

/// Lines of the first four series are whole, of the next dashed, of the rest dotted.
fn line_of(index: usize) -> Stroke {
    let ink = Ink::Class(index % Ink::CLASSES);
    match index / Ink::CLASSES {
        0 => Stroke::solid(ink, 2.0),
        1 => Stroke::dashed(ink, 2.0, 7.0, 4.0),
        _ => Stroke::dashed(ink, 2.0, 1.5, 4.0),
    }
}

fn mark(scene: &mut Scene, (x, y): Point, index: usize) {
    let ink = Ink::Class(index % Ink::CLASSES);
    let half = 3.5;
    match index % 5 {
        0 => scene.disc((x, y), half, ink),
        1 => scene.area(
            &[
                (x - half, y - half),
                (x + half, y - half),
                (x + half, y + half),
                (x - half, y + half),
            ],
            ink,
        ),
        2 => scene.area(&[(x, y - 4.5), (x + 4.5, y + half), (x - 4.5, y + half)], ink),
        3 => scene.area(&[(x, y - 5.0), (x + 5.0, y), (x, y + 5.0), (x - 5.0, y)], ink),
        _ => {
            scene.disc((x, y), 4.0, ink);
            scene.disc((x, y), 1.8, Ink::Paper);
        }
    }
}

fn draw_series(scene: &mut Scene, frame: &Frame, index: usize, series: &Series) {
    let points = series.speeds.iter().enumerate();
    let points = points.map(|(gear, speed)| speed.map(|speed| frame.at(gear, speed)));
    let points: Vec<Option<Point>> = points.collect();
    for run in points.split(Option::is_none) {
        let run: Vec<Point> = run.iter().copied().flatten().collect();
        if run.len() > 1 {
            scene.line(&run, line_of(index));
        }
    }
    points.into_iter().flatten().for_each(|point| mark(scene, point, index));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_keep_apart_and_inside() {
        let places = apart(&[10.0, 11.0, 12.0, 100.0, 101.0], 5.0, 110.0);
        assert!(places.windows(2).all(|pair| pair[1] - pair[0] >= APART - 1e-9), "{places:?}");
        assert!(places[0] >= 5.0 && places[4] <= 110.0 + 1e-9, "{places:?}");
        assert_eq!(apart(&[20.0, 60.0], 0.0, 100.0), [20.0, 60.0]);
        assert_eq!(apart(&[], 0.0, 100.0), [0.0; 0]);
    }

    #[test]
    fn steps_are_round() {
        assert_eq!([0.13, 0.2, 0.9, 3.0].map(round_step), [0.2, 0.2, 1.0, 5.0]);
    }
}
