//! One part: outline, holes, marks, and the data of its teeth.

use super::shape::Shape;
use crate::teeth::Side;

/// What a part is in its set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PartKind {
    Sun,
    Planet,
    /// The planet of a pair that meshes with the ring.
    OuterPlanet,
    Ring,
    /// The plate with the drive.
    CarrierFront,
    /// The plate that the sun's shaft goes through.
    CarrierBack,
}

impl PartKind {
    /// As written in names of parts.
    pub fn word(self) -> &'static str {
        match self {
            Self::Sun => "sun",
            Self::Planet => "planet",
            Self::OuterPlanet => "outer-planet",
            Self::Ring => "ring",
            Self::CarrierFront => "carrier-front",
            Self::CarrierBack => "carrier-back",
        }
    }
}

/// What a hole is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Purpose {
    /// The ring's teeth.
    Teeth,
    Bore,
    Pin,
    Bolt,
    /// Where the carrier is driven.
    Drive,
    /// The sun's shaft goes through without touching.
    Shaft,
    /// A bolt that holds the two plates apart.
    Spacer,
}

/// One hole.
#[derive(Clone, Debug, PartialEq)]
pub struct Hole {
    pub purpose: Purpose,
    /// As it is cut, the allowance included.
    pub shape: Shape,
}

/// What a mark shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Marked {
    /// On tooth 0, where counting begins.
    Tooth,
    /// In this gap, between tooth g and tooth g + 1, where a planet's marked tooth goes.
    Gap(u32),
    /// Beside the pin of planet 1.
    FirstPin,
}

/// A short line to engrave, from end to end in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mark {
    pub shows: Marked,
    pub from: [f64; 2],
    pub to: [f64; 2],
}

/// What is told of a wheel's teeth. Diameters in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ToothData {
    pub side: Side,
    pub teeth: u32,
    /// Of the transverse section, which is what the outline shows, also of a herringbone
    /// wheel.
    pub module_mm: f64,
    /// Profile shift coefficient, positive away from the wheel's axis.
    pub shift: f64,
    pub tip_mm: f64,
    pub root_mm: f64,
    pub base_mm: f64,
    pub pitch_mm: f64,
}

/// One part, lying in its own plane with its axis at the origin. Tooth 0 of a wheel and the
/// pin of planet 1 in a plate stand on the x axis.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    pub kind: PartKind,
    /// How many of it the set needs.
    pub count: u32,
    pub thickness_mm: f64,
    /// The outer boundary: of sun and planet the teeth.
    pub boundary: Shape,
    pub holes: Vec<Hole>,
    pub marks: Vec<Mark>,
    /// Of wheels.
    pub teeth: Option<ToothData>,
    /// Of herringbone wheels: the turn of the middle section against both ends in radians,
    /// counter-clockwise positive.
    pub twist: Option<f64>,
    /// Largest distance between a round line and the straight lines told for it in solids,
    /// in mm.
    pub chord_mm: f64,
}

impl Part {
    /// The name of the part, which is that of its kind: `sun`, `carrier-front`.
    pub fn name(&self) -> &'static str {
        self.kind.word()
    }

    /// The line of the teeth, if the part has teeth.
    pub fn toothed(&self) -> Option<&[[f64; 2]]> {
        let of_ring = self.holes.iter().find(|hole| hole.purpose == Purpose::Teeth);
        let shape = match of_ring {
            Some(hole) => &hole.shape,
            None => &self.boundary,
        };
        match (shape, self.teeth) {
            (Shape::Polygon(points), Some(_)) => Some(points),
            _ => None,
        }
    }

    /// Area in mm²: the boundary's less that of the holes.
    pub fn area(&self) -> f64 {
        self.boundary.area() - self.holes.iter().map(|hole| hole.shape.area()).sum::<f64>()
    }

    /// One line that tells what the part is: of wheels teeth, module and shift.
    pub fn caption(&self) -> String {
        let size = format!("{} x{} t={} mm", self.name(), self.count, round(self.thickness_mm));
        match self.teeth {
            None => size,
            Some(data) => format!(
                "{size} z={} m={} x={} da={} df={}",
                data.teeth,
                round(data.module_mm),
                round(data.shift),
                round(data.tip_mm),
                round(data.root_mm)
            ),
        }
    }
}

/// To a thousandth, without trailing zeros.
fn round(value: f64) -> f64 {
    // Adding 0 turns a negative zero into a plain one.
    (value * 1000.0).round() / 1000.0 + 0.0
}
