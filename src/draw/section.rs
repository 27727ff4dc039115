//! A whole reduction to scale, cut along its axis: sets side by side, above the axis in
//! section through a planet, below it from outside.

use super::canvas::{Anchor, Picture, Size, Type, text_width, wrapped};
use super::hatch::{corners, hatch};
use super::measures::{THIN, level, mm, spread, upright};
use super::palette::Ink;
use super::scene::{Point, Scene, Stroke};

/// A reduction. Lengths are in mm, along the axis from a common start.
#[derive(Clone, Debug)]
pub struct Section {
    pub title: String,
    pub sets: Vec<SectionSet>,
    pub shafts: Vec<SectionShaft>,
    /// Diameter of the bore that the whole must go into.
    pub bore: Option<f64>,
    /// Which members are joined to what, a sentence each; below the picture.
    pub joints: Vec<String>,
}

/// One set. Diameters without teeth: those of the tips.
#[derive(Clone, Debug)]
pub struct SectionSet {
    /// Where the teeth begin and end.
    pub teeth: [f64; 2],
    /// Bore and tip diameter.
    pub sun: [f64; 2],
    /// Bore and tip diameter.
    pub planet: [f64; 2],
    /// Of the outer planet of a pair, drawn outside the inner one; its axis, bore and tip
    /// diameter.
    pub outer_planet: Option<(f64, [f64; 2])>,
    /// From the axis of the set to that of the planet.
    pub centre: f64,
    /// Where the pin begins and ends.
    pub pin: [f64; 2],
    /// Tip diameter and outside diameter.
    pub ring: [f64; 2],
    pub plates: Vec<SectionPlate>,
    /// Names of sun, planet, ring, carrier: S1, P1, R1, C1.
    pub names: [String; 4],
}

/// A plate of a carrier, or the flange of a ring.
#[derive(Clone, Copy, Debug)]
pub struct SectionPlate {
    pub along: [f64; 2],
    /// Inner and outer diameter.
    pub diameters: [f64; 2],
    /// Whether it belongs to the carrier, else to the ring.
    pub carrier: bool,
}

/// A shaft on the axis.
#[derive(Clone, Debug)]
pub struct SectionShaft {
    pub along: [f64; 2],
    /// Bore and outer diameter.
    pub diameters: [f64; 2],
    /// Written at its end, such as "input"; none for what is not named.
    pub name: Option<String>,
}

const WIDE: f64 = 1120.0;
/// Left of the drawing, for the diameter.
const LEFT: f64 = 150.0;
const RIGHT: f64 = 90.0;
const HEAD: f64 = 44.0;
/// Most width of a name at the left end of the axis.
const NAME: f64 = 64.0;
/// Between the title and the drawing, for the names.
const NAMES: f64 = 44.0;
/// Most height of the drawing.
const TALL: f64 = 470.0;
/// Below the drawing, for lengths.
const LENGTHS: f64 = 62.0;
const LINE: f64 = 18.0;

/// From millimetres to pixels.
struct View {
    scale: f64,
    left: f64,
    start: f64,
    axis: f64,
}

impl View {
    fn x(&self, along: f64) -> f64 {
        self.left + (along - self.start) * self.scale
    }

    /// Of a radius above the axis.
    fn y(&self, radius: f64) -> f64 {
        self.axis - radius * self.scale
    }

    /// A box between two radii above the axis (below: negative ones).
    fn block(&self, along: [f64; 2], radii: [f64; 2]) -> [f64; 4] {
        let [left, right] = along.map(|x| self.x(x));
        let [a, b] = radii.map(|radius| self.y(radius));
        [left, a.min(b), right, a.max(b)]
    }
}

impl Section {
    /// The picture; as large as fits, both ways to one scale.
    pub fn draw(&self) -> Picture {
        let joints = self.joints.iter().flat_map(|joint| wrapped(joint, 12.0, WIDE - 40.0));
        let joints: Vec<String> = joints.collect();
        let ([from, to], outside) = (self.ends(), self.outside());
        let around = outside.max(self.bore.unwrap_or(0.0));
        let scale = ((WIDE - LEFT - RIGHT) / (to - from)).min(TALL / around);
        let drawn = around * scale;
        let wide = (to - from) * scale;
        let top = HEAD + NAMES;
        let view = View {
            scale,
            left: LEFT + (WIDE - LEFT - RIGHT - wide) / 2.0,
            start: from,
            axis: top + drawn / 2.0,
        };
        let height = top + drawn + LENGTHS + LINE * joints.len() as f64 + 16.0;
        let mut scene = Scene::new(Size { width: WIDE as u32, height: height as u32 });
        let look = Type::bold(17.0, Ink::Text);
        scene.text(&look.fitted(&self.title, WIDE - 40.0), (20.0, 24.0), Anchor::Start, look);
        self.parts(&mut scene, &view);
        self.axis(&mut scene, &view);
        self.bore(&mut scene, &view);
        self.names(&mut scene, &view);
        self.dimensions(&mut scene, &view, top + drawn);
        for (row, joint) in joints.iter().enumerate() {
            let at = (20.0, top + drawn + LENGTHS + LINE * row as f64);
            scene.text(joint, at, Anchor::Start, Type::plain(12.0, Ink::Muted));
        }
        scene.picture(&self.title)
    }

    /// Where the whole begins and ends.
    fn ends(&self) -> [f64; 2] {
        let sets = self.sets.iter().flat_map(|set| {
            [set.teeth, set.pin].into_iter().chain(set.plates.iter().map(|plate| plate.along))
        });
        let all = sets.chain(self.shafts.iter().map(|shaft| shaft.along));
        let ends = all.reduce(|[a, b], [from, to]| [a.min(from), b.max(to)]);
        ends.unwrap_or([0.0, 1.0])
    }

    /// Largest diameter.
    fn outside(&self) -> f64 {
        let plates = self.sets.iter().flat_map(|set| &set.plates).map(|plate| plate.diameters[1]);
        let rings = self.sets.iter().map(|set| set.ring[1]);
        let shafts = self.shafts.iter().map(|shaft| shaft.diameters[1]);
        plates.chain(rings).chain(shafts).fold(1e-9, f64::max)
    }

    fn parts(&self, scene: &mut Scene, view: &View) {
        let half = |[inner, outer]: [f64; 2]| [inner / 2.0, outer / 2.0];
        // Below the axis what is farther out hides what is behind it.
        for shaft in &self.shafts {
            whole(scene, view.block(shaft.along, [0.0, -shaft.diameters[1] / 2.0]));
        }
        for set in &self.sets {
            for plate in &set.plates {
                whole(scene, view.block(plate.along, [0.0, -plate.diameters[1] / 2.0]));
            }
            whole(scene, view.block(set.teeth, [0.0, -set.ring[1] / 2.0]));
        }
        for shaft in &self.shafts {
            cut(scene, view.block(shaft.along, half(shaft.diameters)), Hatch::Back);
        }
        for set in &self.sets {
            for plate in &set.plates {
                let way = if plate.carrier { Hatch::Back } else { Hatch::Forth };
                cut(scene, view.block(plate.along, half(plate.diameters)), way);
            }
            cut(scene, view.block(set.teeth, half(set.ring)), Hatch::Forth);
            cut(scene, view.block(set.teeth, half(set.sun)), Hatch::Forth);
            let planets = [(set.centre, set.planet)].into_iter().chain(set.outer_planet);
            for (centre, [bore, tip]) in planets {
                for side in [-1.0, 1.0] {
                    let radii = [centre + side * bore / 2.0, centre + side * tip / 2.0];
                    cut(scene, view.block(set.teeth, radii), Hatch::Back);
                }
                // A pin is not cut along its length, by custom (ISO 128).
                let radii = [centre - bore / 2.0, centre + bore / 2.0];
                let edge = Stroke::solid(Ink::Text, 1.2);
                scene.outlined(&corners(view.block(set.pin, radii)), Some(Ink::Grid), edge);
                let y = view.y(centre);
                let ends = set.pin.map(|x| view.x(x));
                let chain = Stroke::chain(Ink::Muted, THIN);
                scene.line(&[(ends[0] - 6.0, y), (ends[1] + 6.0, y)], chain);
            }
        }
    }

    fn axis(&self, scene: &mut Scene, view: &View) {
        let [from, to] = self.ends().map(|x| view.x(x));
        let chain = Stroke::chain(Ink::Muted, 1.2);
        scene.line(&[(from - 18.0, view.axis), (to + 18.0, view.axis)], chain);
        for shaft in &self.shafts {
            let Some(name) = &shaft.name else { continue };
            let [a, b] = shaft.along.map(|x| view.x(x));
            let look = Type::bold(12.0, Ink::Text);
            // At the end that is nearer to an end of the whole.
            let (at, anchor, room) = match a - from <= to - b {
                true => ((from - 22.0, view.axis), Anchor::End, NAME),
                false => ((to + 22.0, view.axis), Anchor::Start, WIDE - to - 26.0),
            };
            scene.patched_if_free(&look.fitted(name, room), at, anchor, look);
        }
    }

    fn bore(&self, scene: &mut Scene, view: &View) {
        let Some(bore) = self.bore else { return };
        let [from, to] = self.ends().map(|x| view.x(x));
        let dashes = Stroke::dashed(Ink::Accent, 1.6, 9.0, 5.0);
        for radius in [bore / 2.0, -bore / 2.0] {
            let y = view.y(radius);
            scene.line(&[(from - 18.0, y), (to + 18.0, y)], dashes);
        }
        let words = format!("bore ⌀ {}", mm(bore));
        let (y, look) = (view.y(-bore / 2.0), Type::plain(12.0, Ink::Accent));
        let room = WIDE - to - 24.0;
        let (at, anchor) = match text_width(&words, 12.0) < room {
            true => ((to + 22.0, y), Anchor::Start),
            false => ((WIDE - 6.0, y + 14.0), Anchor::End),
        };
        scene.patched(&words, at, anchor, look);
    }

    /// A name above the drawing for each member, with a line to a point on it.
    fn names(&self, scene: &mut Scene, view: &View) {
        let mut told: Vec<(Point, &str)> = Vec::new();
        for set in &self.sets {
            let [from, to] = set.teeth;
            let along = |part: f64| view.x(from + part * (to - from));
            let between = |[a, b]: [f64; 2]| view.y((a + b) / 4.0);
            let rim = (set.planet[0] + set.planet[1]) / 4.0;
            let [sun, planet, ring, carrier] = &set.names;
            told.push(((along(0.2), between(set.ring)), ring));
            told.push(((along(0.45), view.y(set.centre + rim)), planet));
            told.push(((along(0.7), between(set.sun)), sun));
            let plate = set.plates.iter().find(|plate| plate.carrier);
            let pin = (view.x(set.pin[1]) - 3.0, view.y(set.centre));
            let on_plate = |plate: &SectionPlate| {
                (view.x((plate.along[0] + plate.along[1]) / 2.0), between(plate.diameters))
            };
            told.push((plate.map_or(pin, on_plate), carrier));
        }
        told.sort_by(|a, b| a.0.0.total_cmp(&b.0.0));
        let look = Type::bold(13.0, Ink::Text);
        let widest = told.iter().map(|one| text_width(one.1, 13.0)).fold(0.0, f64::max);
        let wanted: Vec<f64> = told.iter().map(|one| one.0.0).collect();
        let apart = (widest * 1.14 + 8.0).min((WIDE - 40.0) / told.len().max(1) as f64);
        let places = spread(&wanted, apart, (20.0 + apart / 2.0, WIDE - 20.0 - apart / 2.0));
        for ((point, name), x) in told.into_iter().zip(places) {
            let top = (x, HEAD + 18.0);
            scene.line(&[top, (x, HEAD + 24.0), point], Stroke::solid(Ink::Muted, THIN));
            scene.disc(point, 2.6, Ink::Text);
            let name = look.fitted(name, apart - 4.0);
            scene.text(&name, (x, HEAD + 9.0), Anchor::Middle, look);
        }
    }

    /// The width of every set's teeth, the overall length, the largest diameter.
    fn dimensions(&self, scene: &mut Scene, view: &View, bottom: f64) {
        let (small, look) = (Type::plain(11.0, Ink::Text), Type::plain(12.0, Ink::Text));
        for set in &self.sets {
            let ends = set.teeth.map(|x| view.x(x));
            let words = mm(set.teeth[1] - set.teeth[0]);
            // Those that have no room are told by the others or by the drawings of parts.
            if text_width(&words, small.size) + 26.0 < ends[1] - ends[0] {
                let start = view.y(-set.ring[1] / 2.0) + 2.0;
                level(scene, ends, bottom + 14.0, [start; 2], &words, small);
            }
        }
        let ends = self.ends();
        let words = format!("{} overall", mm(ends[1] - ends[0]));
        let at = ends.map(|x| view.x(x));
        level(scene, at, bottom + 38.0, [view.axis + 4.0; 2], &words, look);
        let outside = self.outside();
        let heights = [outside / 2.0, -outside / 2.0].map(|radius| view.y(radius));
        let start = at[0] - 4.0;
        let words = format!("⌀ {}", mm(outside));
        upright(scene, heights, at[0] - 40.0 - NAME, start, &words, look);
    }
}

/// Which way the hatching of a part goes: parts that touch differ.
#[derive(Clone, Copy)]
enum Hatch {
    Forth,
    Back,
}

fn cut(scene: &mut Scene, block: [f64; 4], way: Hatch) {
    let area = corners(block);
    scene.outlined(&area, Some(Ink::Paper), Stroke::solid(Ink::Text, 1.2));
    let thin = Stroke::solid(Ink::Muted, 0.8);
    hatch(scene, &[area], 7.0, matches!(way, Hatch::Back), thin);
}

/// What is seen from outside.
fn whole(scene: &mut Scene, block: [f64; 4]) {
    scene.outlined(&corners(block), Some(Ink::Raised), Stroke::solid(Ink::Text, 1.2));
}
