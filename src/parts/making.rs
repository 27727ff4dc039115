//! How a set is made: the sizes that teeth do not settle.

use super::carrier;
use super::shape::{Shape, hexagon};
use crate::teeth::PlacedSet;

/// A hole on an axis that holds a shaft.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Bore {
    Round { diameter_mm: f64 },
    Hex { flats_mm: f64 },
}

impl Bore {
    /// The size as it is written: diameter or width across flats.
    pub fn size_mm(self) -> f64 {
        match self {
            Self::Round { diameter_mm } => diameter_mm,
            Self::Hex { flats_mm } => flats_mm,
        }
    }

    /// The hole itself, `wider` being added to diameter or flats.
    pub(super) fn shape(self, wider: f64) -> Shape {
        match self {
            Self::Round { diameter_mm } => {
                Shape::Circle { centre: [0.0, 0.0], diameter_mm: diameter_mm + wider }
            }
            Self::Hex { flats_mm } => Shape::Polygon(hexagon(flats_mm + wider)),
        }
    }

    /// The farthest point from the axis, `wider` being added to diameter or flats.
    pub(super) fn reach(self, wider: f64) -> f64 {
        match self {
            Self::Round { diameter_mm } => (diameter_mm + wider) / 2.0,
            Self::Hex { flats_mm } => (flats_mm + wider) / 3.0_f64.sqrt(),
        }
    }
}

/// Where the bolts of the ring sit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Seat {
    /// In the middle of the wall, which must be thick enough.
    Wall,
    /// In lugs that stand out of the wall as far as it takes.
    Lugs,
}

/// The bolts that hold the ring, evenly spaced, the first half a spacing off the x axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bolts {
    pub count: u32,
    pub diameter_mm: f64,
    pub seat: Seat,
}

/// The outline of the carrier's plates.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PlateShape {
    Round,
    /// An arm to each hole.
    Lobed,
}

/// Sizes in mm. Holes are given as what goes through them; what is cut is larger by
/// `hole_allowance_mm`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Making {
    /// Of the transverse section: a herringbone wheel's normal module is cos β of it.
    pub module_mm: f64,
    /// Width of all wheels.
    pub width_mm: f64,
    /// Largest distance between a round line and straight lines told for it. Teeth come from
    /// the [`PlacedSet`], whose [`crate::teeth::Finish`] has a chord of its own.
    pub chord_mm: f64,
    /// Added to diameters and widths across flats of all holes; printed holes shrink.
    pub hole_allowance_mm: f64,
    /// Least material round a hole in plates and lugs.
    pub edge_mm: f64,
    pub sun_bore: Bore,
    pub pin_mm: f64,
    /// Outside the ring's root circle.
    pub ring_wall_mm: f64,
    pub bolts: Option<Bolts>,
    pub plate_mm: f64,
    pub plate_shape: PlateShape,
    /// In the middle of the front plate.
    pub drive: Bore,
    /// Diameter of the round hole in the middle of the back plate.
    pub shaft_hole_mm: f64,
    /// Diameter of the bolts between the plates, one in every space between neighbouring
    /// planets where it keeps a quarter of a module from all wheels.
    pub spacer_mm: Option<f64>,
    /// β in degrees at the reference pitch circle makes herringbone wheels; none, spur wheels.
    pub helix_degrees: Option<f64>,
}

impl Making {
    /// Sizes in proportion to the module that fit `set`: width 10 modules, bore and pin of
    /// some 0.4 pitch diameters, six bolts in lugs, lobed plates, spacers where there is
    /// room for more than one module. No allowance, straight teeth. Rounded down to 0.1 mm
    /// where that leaves anything. The proportions are rules of thumb, not of strength.
    pub fn suggested(set: &PlacedSet, module_mm: f64) -> Self {
        let m = module_mm;
        let hole = |pitch: f64, root: f64, part: f64| {
            tenth((2.0 * pitch * part).min(2.0 * (root - 1.5)).max(0.2) * m)
        };
        let bore = hole(set.sun.pitch, set.sun.root, 0.4);
        let mut pin = hole(set.planet.pitch, set.planet.root, 0.35);
        if let Some(outer) = &set.outer_planet {
            pin = pin.min(hole(outer.pitch, outer.root, 0.35));
        }
        // What the pins leave in the middle of the plates, one edge kept.
        let middle = 2.0 * (set.sun_centre * m - pin / 2.0 - m);
        let making = Self {
            module_mm,
            width_mm: 10.0 * m,
            chord_mm: 0.005 * m,
            hole_allowance_mm: 0.0,
            edge_mm: m,
            sun_bore: Bore::Round { diameter_mm: bore },
            pin_mm: pin,
            ring_wall_mm: 2.5 * m,
            bolts: Some(Bolts { count: 6, diameter_mm: 2.0 * m, seat: Seat::Lugs }),
            plate_mm: tenth(2.5 * m),
            plate_shape: PlateShape::Lobed,
            drive: Bore::Hex { flats_mm: tenth((0.85 * middle).min(bore)) },
            shaft_hole_mm: tenth(middle.min(bore + m)),
            spacer_mm: None,
            helix_degrees: None,
        };
        making.with_spacers(set)
    }

    /// The same with spacers as thick as the pins or as the room between planets, pins and the
    /// holes in the middle leaves; none where that is less than a module.
    pub fn with_spacers(self, set: &PlacedSet) -> Self {
        let room = carrier::spacer_room(set, &self);
        let spacer = tenth(room.min(self.pin_mm));
        Self { spacer_mm: Some(spacer).filter(|&spacer| spacer >= self.module_mm), ..self }
    }
}

/// Rounded down to 0.1 mm where that leaves something.
fn tenth(length: f64) -> f64 {
    let rounded = (length * 10.0 + 1e-9).floor() / 10.0;
    if rounded > 0.0 { rounded } else { length }
}
