//! The front view of a drawing: one part seen along its axis, with words for its circles
//! and marks in a column beside it.

use super::canvas::{Anchor, Type};
use super::measures::{THIN, mm, spread};
use super::palette::Ink;
use super::scene::{Point, Scene, Stroke};

/// The part seen along its axis.
#[derive(Clone, Debug, Default)]
pub struct FrontView {
    /// Closed lines: edges of the part and of its holes. A point is inside the part where
    /// an odd number of edges, circles of kind [`CircleKind::Edge`] too, goes round it.
    pub outlines: Vec<Vec<[f64; 2]>>,
    pub circles: Vec<SheetCircle>,
    pub marks: Vec<SheetMark>,
}

/// A circle of the front view.
#[derive(Clone, Debug)]
pub struct SheetCircle {
    pub centre: [f64; 2],
    pub diameter: f64,
    pub kind: CircleKind,
    /// Written behind the diameter, such as "bore H7"; a circle without words has no
    /// dimension.
    pub words: Option<String>,
    /// How many of it there are; told where there are several.
    pub count: u32,
}

/// What a circle is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CircleKind {
    /// An edge that is seen.
    Edge,
    /// A thought line: reference circle, circle of hole centres.
    Reference,
    /// Only dimensioned, since it is drawn already: the tips of an outline.
    Drawn,
}

/// A mark on the part, such as one for timing.
#[derive(Clone, Debug)]
pub struct SheetMark {
    pub at: [f64; 2],
    pub words: String,
}

/// Where a front view goes, in pixels.
pub(super) struct FrontPlace {
    pub centre: Point,
    /// Where the words of circles and marks begin and end.
    pub words: (f64, f64),
    /// Their first and last height.
    pub rows: (f64, f64),
}

/// Beyond the part, of its centre lines.
const BEYOND: f64 = 12.0;

impl FrontView {
    /// Left, low, right, high of all that is drawn.
    fn bounds(&self) -> [f64; 4] {
        let corners = self.circles.iter().flat_map(|circle| {
            let [x, y] = circle.centre;
            let r = circle.diameter / 2.0;
            [[x - r, y - r], [x + r, y + r]]
        });
        let points = self.outlines.iter().flatten().copied().chain(corners);
        points.fold([0.0; 4], |[left, low, right, high], [x, y]| {
            [left.min(x), low.min(y), right.max(x), high.max(y)]
        })
    }

    /// Half of the larger side of all that is drawn.
    pub(super) fn reach(&self) -> f64 {
        let [left, low, right, high] = self.bounds();
        ((right - left) / 2.0).max((high - low) / 2.0)
    }

    /// Where the part's axis lies: what is drawn stands in the middle of its place.
    fn view(&self, scale: f64, middle: Point) -> Point {
        let [left, low, right, high] = self.bounds();
        (middle.0 - (left + right) / 2.0 * scale, middle.1 + (low + high) / 2.0 * scale)
    }

    /// Draws the view at `scale` pixels a millimetre.
    pub(super) fn draw(&self, scene: &mut Scene, scale: f64, place: &FrontPlace) {
        let edge = Stroke::solid(Ink::Text, 1.4);
        let ([left, low, right, high], view) = (self.bounds(), self.view(scale, place.centre));
        let at = |[x, y]: [f64; 2]| (view.0 + x * scale, view.1 - y * scale);
        let all = |points: &Vec<[f64; 2]>| points.iter().map(|&point| at(point)).collect();
        let seen = self.circles.iter().filter(|circle| circle.kind == CircleKind::Edge);
        let mut rings: Vec<Vec<Point>> = self.outlines.iter().map(all).collect();
        rings.extend(seen.map(|circle| round(at(circle.centre), circle.diameter / 2.0 * scale)));
        scene.shape(&rings, Some(Ink::Raised), edge);
        let chain = Stroke::chain(Ink::Muted, THIN);
        for circle in &self.circles {
            let (centre, radius) = (at(circle.centre), circle.diameter / 2.0 * scale);
            match circle.kind {
                CircleKind::Reference => scene.circle(centre, radius, chain),
                CircleKind::Edge if circle.centre != [0.0, 0.0] => cross(scene, centre, radius),
                _ => {}
            }
        }
        let ((x0, y0), (x1, y1)) = (at([left, high]), at([right, low]));
        scene.line(&[(x0 - BEYOND, view.1), (x1 + BEYOND, view.1)], chain);
        scene.line(&[(view.0, y0 - BEYOND), (view.0, y1 + BEYOND)], chain);
        self.diameters(scene, scale, view, place);
    }

    /// Every circle with words and every mark has a line to its words, in a column beside
    /// the view: small circles about the middle, large ones above and below.
    fn diameters(&self, scene: &mut Scene, scale: f64, view: Point, place: &FrontPlace) {
        let mut told: Vec<(f64, Target, String)> = Vec::new();
        let mut round: Vec<_> = self.circles.iter().filter(|c| c.words.is_some()).collect();
        round.sort_by(|a, b| b.diameter.total_cmp(&a.diameter));
        // No line to words runs along the centre line.
        let beside = |y: f64| if (y - view.1).abs() < 12.0 { view.1 - 12.0 } else { y };
        let mut above = true;
        for circle in round {
            let radius = circle.diameter / 2.0 * scale;
            let [x, y] = circle.centre;
            let centre = (view.0 + x * scale, view.1 - y * scale);
            let thought = circle.kind == CircleKind::Drawn;
            // Holes off the axis keep their height.
            let side = if x.hypot(y) * scale > 1.0 { 0.0 } else { [0.6, -0.6][above as usize] };
            above ^= side != 0.0;
            let at = beside(centre.1 + side * radius);
            told.push((at, Target { centre, radius, thought }, circle.told()));
        }
        for mark in &self.marks {
            let [x, y] = mark.at;
            let centre = (view.0 + x * scale, view.1 - y * scale);
            scene.disc(centre, 3.4, Ink::Accent);
            scene.circle(centre, 3.4, Stroke::solid(Ink::Text, 1.0));
            let target = Target { centre, radius: 3.4, thought: false };
            told.push((beside(centre.1), target, mark.words.clone()));
        }
        told.sort_by(|a, b| a.0.total_cmp(&b.0));
        let wanted: Vec<f64> = told.iter().map(|one| one.0).collect();
        let look = Type::plain(11.0, Ink::Text);
        let rows = spread(&wanted, 20.0, place.rows);
        for ((_, target, words), y) in told.iter().zip(rows) {
            let thin = Stroke::solid(Ink::Muted, THIN);
            let (elbow, point) = ((place.words.0 - 12.0, y), target.facing(y));
            scene.line(&[elbow, (place.words.0 - 3.0, y)], thin);
            scene.arrow(elbow, point, thin);
            if target.thought {
                scene.line(&target.arc(point), thin);
            }
            let words = look.fitted(words, place.words.1 - place.words.0);
            scene.patched(&words, (place.words.0, y), Anchor::Start, look);
        }
    }
}

impl SheetCircle {
    fn told(&self) -> String {
        let words = self.words.as_deref().unwrap_or_default();
        let count = if self.count > 1 { format!("{} × ", self.count) } else { String::new() };
        format!("{count}⌀ {} {words}", mm(self.diameter)).trim_end().to_owned()
    }
}

/// What words on the right point at.
struct Target {
    centre: Point,
    radius: f64,
    /// No line is there but the one that is pointed at, so a piece of it is drawn.
    thought: bool,
}

impl Target {
    /// The point of the circle that faces words at height `y`.
    fn facing(&self, y: f64) -> Point {
        let off = (y - self.centre.1).clamp(-0.85 * self.radius, 0.85 * self.radius);
        let across = (self.radius * self.radius - off * off).max(0.0).sqrt();
        (self.centre.0 + across, self.centre.1 + off)
    }

    /// A piece of the circle about `point`, 24 pixels long or a twelfth of it.
    fn arc(&self, point: Point) -> Vec<Point> {
        let middle = (point.1 - self.centre.1).atan2(point.0 - self.centre.0);
        let half = (12.0 / self.radius).min(std::f64::consts::PI / 12.0);
        let angle = |n: i32| middle + half * f64::from(n) / 4.0;
        let at =
            |a: f64| (self.centre.0 + self.radius * a.cos(), self.centre.1 + self.radius * a.sin());
        (-4..=4).map(|n| at(angle(n))).collect()
    }
}

/// A circle as a closed line, for areas with holes.
fn round(centre: Point, radius: f64) -> Vec<Point> {
    let angle = |n: u32| f64::from(n) * std::f64::consts::TAU / 120.0;
    let point = |a: f64| (centre.0 + radius * a.cos(), centre.1 + radius * a.sin());
    (0..120).map(|n| point(angle(n))).collect()
}

/// The centre lines of a hole.
fn cross(scene: &mut Scene, (x, y): Point, radius: f64) {
    let (thin, reach) = (Stroke::solid(Ink::Muted, THIN), radius + 5.0);
    scene.line(&[(x - reach, y), (x + reach, y)], thin);
    scene.line(&[(x, y - reach), (x, y + reach)], thin);
}
