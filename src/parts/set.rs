//! All parts of a set, judged together.

use super::carrier;
use super::making::Making;
use super::misfit::{Dimension, Misfit, Trouble};
use super::part::{Part, PartKind};
use super::timing::Timing;
use super::wheels;
use crate::teeth::PlacedSet;

/// The parts of one set, and how they go together.
#[derive(Clone, Debug, PartialEq)]
pub struct Parts {
    /// Sun, planet, outer planet of a paired set, ring, front plate, back plate.
    pub parts: Vec<Part>,
    pub timing: Timing,
}

impl Parts {
    /// Makes every part of `set` as told by `making`, or tells everything that does not fit.
    ///
    /// A wheel keeps one module of material beside its root circle; holes in plates and
    /// lugs keep `edge_mm`, and the plates stay inside the ring's bolts. Seen from the
    /// front, the sun's shaft leaves through the back plate. Wheels are all equally wide and
    /// the plates lie against them: play along the axis is up to the builder (a narrower
    /// planet, a washer).
    pub fn new(set: &PlacedSet, making: &Making) -> Result<Self, Vec<Misfit>> {
        let mut faults = sizes(making);
        if !faults.is_empty() {
            return Err(faults);
        }
        let timing = Timing::of(set);
        let mut parts = vec![wheels::sun(set, making, &timing.sun_gaps(), &mut faults)];
        parts.extend(wheels::planets(set, making, &mut faults));
        parts.push(wheels::ring(set, making, &mut faults));
        parts.extend(carrier::plates(set, making, &mut faults));
        if faults.is_empty() { Ok(Self { parts, timing }) } else { Err(faults) }
    }

    /// The part of that kind, if the set has it.
    pub fn find(&self, kind: PartKind) -> Option<&Part> {
        self.parts.iter().find(|part| part.kind == kind)
    }
}

/// What is no size at all.
fn sizes(making: &Making) -> Vec<Misfit> {
    let mut sizes = vec![
        (Dimension::Module, making.module_mm),
        (Dimension::Width, making.width_mm),
        (Dimension::Chord, making.chord_mm),
        (Dimension::Edge, making.edge_mm),
        (Dimension::SunBore, making.sun_bore.size_mm()),
        (Dimension::Pin, making.pin_mm),
        (Dimension::RingWall, making.ring_wall_mm),
        (Dimension::Plate, making.plate_mm),
        (Dimension::Drive, making.drive.size_mm()),
        (Dimension::ShaftHole, making.shaft_hole_mm),
    ];
    if let Some(bolts) = &making.bolts {
        sizes.push((Dimension::BoltCount, f64::from(bolts.count)));
        sizes.push((Dimension::BoltDiameter, bolts.diameter_mm));
    }
    sizes.extend(making.spacer_mm.map(|spacer| (Dimension::Spacer, spacer)));
    sizes.extend(making.helix_degrees.map(|helix| (Dimension::Helix, helix)));
    let misfit = |dimension, trouble, by| Misfit { dimension, part: None, trouble, by };
    let mut faults = Vec::new();
    for (dimension, size) in sizes {
        if !(size.is_finite() && size > 0.0) {
            faults.push(misfit(dimension, Trouble::NotPositive, -size));
        }
    }
    let allowance = making.hole_allowance_mm;
    if !(allowance.is_finite() && allowance >= 0.0) {
        faults.push(misfit(Dimension::HoleAllowance, Trouble::NotPositive, -allowance));
    }
    if let Some(helix) = making.helix_degrees.filter(|&helix| helix > STEEPEST) {
        faults.push(misfit(Dimension::Helix, Trouble::TooLarge, helix - STEEPEST));
    }
    if let Some(bolts) = making.bolts.filter(|bolts| bolts.count > MOST_BOLTS) {
        let by = f64::from(bolts.count - MOST_BOLTS);
        faults.push(misfit(Dimension::BoltCount, Trouble::TooLarge, by));
    }
    faults
}

/// More bolts than these are a slip of the pen.
const MOST_BOLTS: u32 = 360;

/// Steeper teeth than this are not made, in degrees.
const STEEPEST: f64 = 45.0;
