//! The wheels of a set with their true teeth, as numbers.

use crate::account::shown::{PoseTold, WheelTold, WheelsTold};
use crate::teeth::{Finish, Outline, PlacedSet, Pose, ToothLimits, outer_diameter};
use crate::train::GearSet;

/// How far the lines of a tooth may be off, in modules.
const CHORD: f64 = 0.01;

/// `None` where the planets are not known or the teeth cannot be.
pub(super) fn wheels_told(set: &GearSet, limits: &ToothLimits) -> Option<WheelsTold> {
    let placed = PlacedSet::new(set, limits, &Finish { chord: CHORD, ..Finish::default() })?;
    let poses = placed.poses();
    Some(WheelsTold {
        sun: wheel(&placed.sun, poses.sun.turn),
        ring: wheel(&placed.ring, poses.ring.turn),
        planet: wheel(&placed.planet, 0.0),
        outer_planet: placed.outer_planet.as_ref().map(|outline| wheel(outline, 0.0)),
        planets: poses.planets.iter().map(pose).collect(),
        outer_planets: poses.outer_planets.iter().map(pose).collect(),
        outside: rounded(outer_diameter(&placed.set, limits) / limits.module / 2.0),
        tip_cut: rounded(placed.tip_cut),
    })
}

fn wheel(outline: &Outline, turn: f64) -> WheelTold {
    WheelTold {
        teeth: outline.teeth,
        pitch_radius: rounded(outline.pitch),
        tooth: outline.points.iter().map(|point| point.map(rounded)).collect(),
        turn: rounded(turn),
    }
}

fn pose(pose: &Pose) -> PoseTold {
    PoseTold { centre: pose.centre.map(rounded), turn: rounded(pose.turn) }
}

/// A ten thousandth of a module is less than anybody cuts.
fn rounded(length: f64) -> f64 {
    // Adding 0 turns the float's -0 into 0.
    (length * 1e4).round() / 1e4 + 0.0
}
