//! The order of assembly of a reduction: steps in words, each with its picture.

use super::bill::joints;
use super::{Bench, Workshop};
use crate::draw::{Assembly, AssemblyPart, PartRole, Picture};
use crate::parts::{Mark, Marked, PartKind, Parts, Shape, Wheel};
use crate::teeth::{Outline, Pose, Poses};
use crate::train::Layout;

/// One step.
#[derive(Clone, Debug)]
pub struct AssemblyStep {
    /// Counted from 1.
    pub set: usize,
    /// Within the set, counted from 1.
    pub step: usize,
    pub words: String,
    pub picture: Picture,
}

/// The steps of every set that has parts, set after set. How the sets are joined is told by
/// [`joints`].
pub fn assembly(shop: &Workshop, title: &str) -> Vec<AssemblyStep> {
    let mut steps = Vec::new();
    for (index, set) in shop.sets.iter().enumerate() {
        let Some(bench) = &set.bench else { continue };
        let Ok(parts) = &bench.parts else { continue };
        let captions = captions(parts, index + 1);
        let picture = Assembly {
            title: format!("{title}: set {}", index + 1),
            parts: drawn(bench, parts, index + 1),
            captions: captions.clone(),
        };
        for (step, words) in (1..).zip(captions) {
            let picture = picture.draw(step);
            steps.push(AssemblyStep { set: index + 1, step, words, picture });
        }
    }
    steps
}

/// The text that goes with the pictures, as Markdown; `picture` names the file of a step.
pub fn assembly_text(
    shop: &Workshop,
    layout: &Layout,
    title: &str,
    steps: &[AssemblyStep],
    picture: &dyn Fn(&AssemblyStep) -> String,
) -> String {
    let mut text = format!("# {title}: order of assembly\n\n## How the sets are joined\n\n");
    joints(layout).iter().for_each(|joint| text += &format!("- {joint}\n"));
    text += "\nHousing, hubs, keys and the shafts between the sets are not drawn: they are yours. \
             Where a shaft goes through a plate that it is not one with, widen the hole of that plate \
             until it turns freely.\n";
    for (index, set) in shop.sets.iter().enumerate() {
        text += &format!("\n## Set {}\n\n", index + 1);
        let Some(bench) = &set.bench else {
            text += "No parts are drawn: its wheels have no outlines.\n";
            continue;
        };
        match &bench.parts {
            Ok(parts) => {
                for step in steps.iter().filter(|step| step.set == index + 1) {
                    text +=
                        &format!("{}. {}\n\n   ![]({})\n\n", step.step, step.words, picture(step));
                }
                text += "Timing, teeth counted counter-clockwise from each mark, seen from the \
                         front plate:\n\n";
                parts.timing.lines().iter().for_each(|line| text += &format!("- {line}\n"));
            }
            Err(misfits) => {
                text += "No parts are drawn:\n\n";
                misfits.iter().for_each(|misfit| text += &format!("- {misfit}\n"));
            }
        }
        bench.notes.iter().for_each(|note| text += &format!("\n{note}\n"));
    }
    text
}

fn captions(parts: &Parts, set: usize) -> Vec<String> {
    let spacers = parts.find(PartKind::CarrierFront).is_some_and(|plate| {
        plate.holes.iter().any(|hole| hole.purpose == crate::parts::Purpose::Spacer)
    });
    let close = match spacers {
        true => {
            "Put the spacers between the planets and the front plate on the pins, and screw it down."
        }
        false => "Put the front plate on the pins and secure them against wandering.",
    };
    [
        format!("Lay ring R{set} on the bench, teeth upwards, its mark towards you."),
        format!("Put the back plate of carrier C{set} with its pins into the ring."),
        "Put the planets on their pins, one by one, each with its marked tooth towards the axis; \
         the marks say which tooth meets which gap."
            .to_owned(),
        format!(
            "Turn sun S{set} until its marked gaps face the marked teeth of the planets, and push it in. It goes in \
             without force; where it does not, a planet is a tooth off."
        ),
        close.to_owned(),
    ]
    .to_vec()
}

/// All parts in their places, rear ones first.
fn drawn(bench: &Bench, parts: &Parts, set: usize) -> Vec<AssemblyPart> {
    let scene = Scene { bench, parts, poses: parts.timing.placed(&bench.placed) };
    let mut all = vec![
        scene.ring(set),
        part(
            format!("back plate of C{set}"),
            2,
            PartRole::Plate,
            scene.outline(PartKind::CarrierBack),
        ),
    ];
    all.extend(scene.planets());
    all.push(scene.sun(set));
    let cover = scene.outline(PartKind::CarrierFront);
    all.push(part(format!("front plate of C{set}"), 5, PartRole::Cover, cover));
    all
}

fn part(name: String, step: usize, role: PartRole, outlines: Vec<Vec<[f64; 2]>>) -> AssemblyPart {
    AssemblyPart { name, step, role, outlines, label: None, marks: Vec::new() }
}

/// A set in its assembly pose.
struct Scene<'a> {
    bench: &'a Bench,
    parts: &'a Parts,
    poses: Poses,
}

impl Scene<'_> {
    fn module(&self) -> f64 {
        self.bench.making.module_mm
    }

    /// Every line of a part as it lies.
    fn outline(&self, kind: PartKind) -> Vec<Vec<[f64; 2]>> {
        let Some(part) = self.parts.find(kind) else { return Vec::new() };
        let holes = part.holes.iter().map(|hole| &hole.shape);
        std::iter::once(&part.boundary).chain(holes).map(|shape| shape.polygon(CHORD)).collect()
    }

    /// A wheel where it stands, with a round hole.
    fn wheel(&self, pose: &Pose, outline: &Outline, hole: f64) -> Vec<Vec<[f64; 2]>> {
        let centre = pose.centre.map(|x| x * self.module());
        vec![pose.polygon(outline, self.module()), circle(centre, hole)]
    }

    /// Where the marked tooth of a wheel points, which is not where the pose's tooth 0 does;
    /// `radius` in modules.
    fn mark(&self, pose: &Pose, wheel: Wheel, radius: f64) -> [f64; 2] {
        let told = self.parts.timing.marks.iter().find(|mark| mark.wheel == wheel);
        let (sin, cos) = told.map_or(pose.turn, |mark| mark.angle).sin_cos();
        let [x, y] = pose.centre;
        [x + radius * cos, y + radius * sin].map(|x| x * self.module())
    }

    fn ring(&self, set: usize) -> AssemblyPart {
        let mut outlines = self.outline(PartKind::Ring);
        turn(&mut outlines, self.poses.ring.turn);
        let mut ring = part(format!("ring R{set}"), 1, PartRole::Wheel, outlines);
        let radius = self.bench.placed.ring.root + 0.8;
        ring.marks = vec![self.mark(&self.poses.ring, Wheel::Ring, radius)];
        ring
    }

    /// The planets with their pins, inner ones first.
    fn planets(&self) -> Vec<AssemblyPart> {
        let (placed, poses) = (&self.bench.placed, &self.poses);
        let inner = poses.planets.iter().enumerate();
        let inner = inner.map(|(index, pose)| (pose, &placed.planet, Wheel::Planet(index)));
        let outer = poses.outer_planets.iter().enumerate().zip(placed.outer_planet.iter().cycle());
        let outer = outer.map(|((index, pose), line)| (pose, line, Wheel::OuterPlanet(index)));
        let pin = self.bench.making.pin_mm / 2.0;
        let mut all = Vec::new();
        for (number, (pose, outline, seat)) in (1..).zip(inner.chain(outer)) {
            let centre = pose.centre.map(|x| x * self.module());
            all.push(part("pin".to_owned(), 2, PartRole::Pin, vec![circle(centre, pin)]));
            let wheel = self.wheel(pose, outline, pin);
            let mut planet = part(format!("planet {number}"), 3, PartRole::Wheel, wheel);
            planet.marks = vec![self.mark(pose, seat, 0.85 * outline.root)];
            let away = centre[0].hypot(centre[1]);
            let out = 0.5 * (outline.root * self.module() + pin) / away;
            planet.label = Some((number.to_string(), centre.map(|x| x * (1.0 + out))));
            all.push(planet);
        }
        all
    }

    fn sun(&self, set: usize) -> AssemblyPart {
        let bore = self.bench.making.sun_bore.size_mm() / 2.0;
        let wheel = self.wheel(&self.poses.sun, &self.bench.placed.sun, bore);
        let mut sun = part(format!("sun S{set}"), 4, PartRole::Wheel, wheel);
        // On the x axis as the part lies; each planet's gap is marked.
        let marks = self.parts.find(PartKind::Sun).into_iter().flat_map(|sun| &sun.marks);
        let gaps = marks.filter(|mark| matches!(mark.shows, Marked::Gap(_)));
        let middle = |mark: &Mark| std::array::from_fn(|k| (mark.from[k] + mark.to[k]) / 2.0);
        sun.marks = gaps.map(middle).collect();
        sun
    }
}

/// Largest distance between a circle and the lines drawn for it, in mm.
const CHORD: f64 = 0.05;

fn circle(centre: [f64; 2], radius: f64) -> Vec<[f64; 2]> {
    Shape::Circle { centre, diameter_mm: 2.0 * radius }.polygon(CHORD)
}

fn turn(outlines: &mut [Vec<[f64; 2]>], angle: f64) {
    let (sin, cos) = angle.sin_cos();
    for point in outlines.iter_mut().flatten() {
        let [x, y] = *point;
        *point = [x * cos - y * sin, x * sin + y * cos];
    }
}
