//! How the wheels of a set go together: each wheel's marked tooth, and in which gap it stands.
//!
//! # Convention
//!
//! Every wheel has a mark on one tooth, its tooth 0. Teeth are counted counter-clockwise
//! from it, seen from the front; gap g lies between tooth g and tooth g + 1. In the
//! assembly pose planet 1 stands on the carrier's x axis, the sun's marked tooth points to
//! it, every planet's marked tooth is the one nearest to the line to the sun, an outer
//! planet's the one nearest to the line to its inner planet, and the ring's the one nearest
//! to the line of centres with planet 1.
//!
//! Counting teeth as in [`crate::teeth::PlacedSet`]'s file: with p teeth from a wheel's
//! tooth 0 to the line of centres, tooth t of wheel 1 stands t − p₁ pitches
//! counter-clockwise of the line; that is p₁ + p₂ − t teeth from the mark of wheel 2 in an
//! external mesh, p₂ − p₁ + t in a ring, and a gap's middle (g + ½) where the set assembles.

use crate::teeth::{Outline, PlacedSet, Pose, Poses};
use std::f64::consts::{PI, TAU};

/// One wheel of the assembled set; planets are counted from 0 in the order of their angles.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wheel {
    Sun,
    Planet(usize),
    OuterPlanet(usize),
    Ring,
}

impl Wheel {
    /// As it is told to a builder, planets counted from 1.
    fn told(self) -> String {
        match self {
            Self::Sun => "the sun".to_owned(),
            Self::Planet(index) => format!("planet {}", index + 1),
            Self::OuterPlanet(index) => format!("outer planet {}", index + 1),
            Self::Ring => "the ring".to_owned(),
        }
    }
}

/// Where a wheel's marked tooth points in the assembly pose.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TimingMark {
    pub wheel: Wheel,
    /// The marked tooth: 0, where counting begins.
    pub tooth_index: u32,
    /// From the wheel's own axis, in radians counter-clockwise from the carrier's x axis, on
    /// which planet 1 stands; from 0 up to 2π.
    pub angle: f64,
}

/// A tooth of one wheel in a gap of another.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Engaged {
    /// The planet, or the outer one of a pair where it meets its inner planet.
    pub wheel: Wheel,
    /// Counter-clockwise from the wheel's mark.
    pub tooth: u32,
    /// What it meshes with.
    pub partner: Wheel,
    /// The partner's gap, between its teeth `gap` and `gap` + 1 from its mark.
    pub gap: u32,
    /// Pitches from the line of centres to the tooth, counter-clockwise about the wheel's
    /// own axis, −½ to ½: 0 where the tooth stands on the line, ±½ where a flank pair does.
    pub off_line: f64,
}

/// The marks of a set and every mesh told by them.
#[derive(Clone, Debug, PartialEq)]
pub struct Timing {
    /// Sun, planets, outer planets, ring.
    pub marks: Vec<TimingMark>,
    /// Each planet's marked tooth in the sun; of a paired set, each outer planet's in its
    /// inner planet; each planet's tooth nearest to the line of centres in the ring.
    pub meshes: Vec<Engaged>,
}

impl Timing {
    /// The marks of `set` in the pose of [`PlacedSet::poses`], teeth renamed so that marks
    /// lie near the lines of centres.
    pub fn of(set: &PlacedSet) -> Self {
        let poses = set.poses();
        let sun = Seated { wheel: Wheel::Sun, outline: &set.sun, pose: poses.sun };
        let mut ring = Seated { wheel: Wheel::Ring, outline: &set.ring, pose: poses.ring };
        let mut planets = Vec::new();
        let mut outer_planets = Vec::new();
        let mut meshes = Vec::new();
        for (index, &pose) in poses.planets.iter().enumerate() {
            let mut planet = Seated { wheel: Wheel::Planet(index), outline: &set.planet, pose };
            planet.mark_towards(planet.direction(&sun));
            meshes.push(engaged(&planet, 0, &sun, false));
            planets.push(planet);
        }
        let outers = poses.outer_planets.iter().enumerate();
        for ((index, &pose), outline) in outers.zip(set.outer_planet.iter().cycle()) {
            let mut outer = Seated { wheel: Wheel::OuterPlanet(index), outline, pose };
            outer.mark_towards(outer.direction(&planets[index]));
            meshes.push(engaged(&outer, 0, &planets[index], false));
            outer_planets.push(outer);
        }
        let in_ring = if outer_planets.is_empty() { &planets } else { &outer_planets };
        ring.mark_towards(ring.direction(&in_ring[0]));
        for planet in in_ring {
            let tooth = nearest(planet.count(ring.direction(planet)));
            meshes.push(engaged(planet, tooth, &ring, true));
        }
        let wheels = [sun].into_iter().chain(planets).chain(outer_planets).chain([ring]);
        let mark = |seated: Seated| TimingMark {
            wheel: seated.wheel,
            tooth_index: 0,
            angle: seated.pose.turn.rem_euclid(TAU),
        };
        Self { marks: wheels.map(mark).collect(), meshes }
    }

    /// The gaps of the sun where the planets' marked teeth go, without repeats, in order.
    pub fn sun_gaps(&self) -> Vec<u32> {
        let of_sun = self.meshes.iter().filter(|mesh| mesh.partner == Wheel::Sun);
        let mut gaps: Vec<u32> = of_sun.map(|mesh| mesh.gap).collect();
        gaps.sort_unstable();
        gaps.dedup();
        gaps
    }

    /// Where the wheels stand when they are put together by [`Timing::meshes`] alone: the
    /// sun's mark to planet 1, each further wheel by its tooth and gap, the ring by planet
    /// 1. Equal to [`PlacedSet::poses`] but for whole teeth of a wheel.
    pub fn placed(&self, set: &PlacedSet) -> Poses {
        let mut poses = set.poses();
        poses.sun.turn = 0.0;
        for mesh in &self.meshes {
            let partner = match mesh.partner {
                Wheel::Sun => (&set.sun, poses.sun),
                Wheel::Planet(index) => (&set.planet, poses.planets[index]),
                _ => continue,
            };
            let outer = set.outer_planet.as_ref().unwrap_or(&set.planet);
            let (outline, pose) = match mesh.wheel {
                Wheel::OuterPlanet(index) => (outer, &mut poses.outer_planets[index]),
                Wheel::Planet(index) => (&set.planet, &mut poses.planets[index]),
                _ => continue,
            };
            let two = Seated { wheel: mesh.partner, outline: partner.0, pose: partner.1 };
            let beta = direction(pose.centre, two.pose.centre);
            // p₁ = g + ½ + t − p₂.
            let count = f64::from(mesh.gap) + 0.5 + f64::from(mesh.tooth) - two.count(beta + PI);
            pose.turn = beta - count * outline.pitch_angle();
        }
        let first = self.meshes.iter().find(|mesh| mesh.partner == Wheel::Ring);
        if let Some(mesh) = first {
            let (outline, pose) = match &set.outer_planet {
                Some(outer) => (outer, poses.outer_planets[0]),
                None => (&set.planet, poses.planets[0]),
            };
            let one = Seated { wheel: mesh.wheel, outline, pose };
            let beta = direction(poses.ring.centre, pose.centre);
            // p₂ = g + ½ + p₁ − t.
            let count = f64::from(mesh.gap) + 0.5 + one.count(beta) - f64::from(mesh.tooth);
            poses.ring.turn = beta - count * set.ring.pitch_angle();
        }
        poses
    }

    /// The meshes in words, a line each: what a builder reads at the bench.
    pub fn lines(&self) -> Vec<String> {
        let line = |mesh: &Engaged| {
            let tooth = match mesh.tooth {
                0 => "marked tooth".to_owned(),
                tooth => format!("tooth {tooth} from its mark"),
            };
            let side = if mesh.off_line < 0.0 { "clockwise" } else { "counter-clockwise" };
            format!(
                "{}: its {tooth} stands in gap {gap} of {}, between teeth {gap} and {} \
                 counter-clockwise from the mark, {off:.2} of a pitch {side} of the line of \
                 centres",
                mesh.wheel.told(),
                mesh.partner.told(),
                mesh.gap + 1,
                gap = mesh.gap,
                off = mesh.off_line.abs(),
            )
        };
        self.meshes.iter().map(line).collect()
    }
}

/// A wheel where it stands.
struct Seated<'a> {
    wheel: Wheel,
    outline: &'a Outline,
    pose: Pose,
}

impl Seated<'_> {
    /// The direction from this wheel's axis to another's.
    fn direction(&self, other: &Self) -> f64 {
        direction(self.pose.centre, other.pose.centre)
    }

    /// Teeth from the mark to the direction `beta`, counter-clockwise.
    fn count(&self, beta: f64) -> f64 {
        (beta - self.pose.turn) / self.outline.pitch_angle()
    }

    /// Renames teeth so that tooth 0 is the one nearest to the direction `beta`. A whole
    /// number of teeth is added, so the wheel stays as it is.
    fn mark_towards(&mut self, beta: f64) {
        self.pose.turn += nearest(self.count(beta)) as f64 * self.outline.pitch_angle();
    }
}

/// The tooth nearest to the place `count`; of two that are equally near, the one before,
/// whatever the last bit of the float says.
fn nearest(count: f64) -> i64 {
    (count - 0.5 - 1e-9).ceil() as i64
}

fn direction(from: [f64; 2], to: [f64; 2]) -> f64 {
    (to[1] - from[1]).atan2(to[0] - from[0])
}

/// Tooth `tooth` of `one` in the gap of `two` where it stands.
fn engaged(one: &Seated, tooth: i64, two: &Seated, in_ring: bool) -> Engaged {
    let beta = if in_ring { two.direction(one) } else { one.direction(two) };
    let before = one.count(beta);
    let position = match in_ring {
        true => two.count(beta) - before + tooth as f64,
        false => two.count(beta + PI) + before - tooth as f64,
    };
    let index = |count: i64, teeth: u32| count.rem_euclid(i64::from(teeth)) as u32;
    // Where the set assembles, the position is a whole number and a half.
    let gap = (position - 0.5).round() as i64;
    Engaged {
        wheel: one.wheel,
        tooth: index(tooth, one.outline.teeth),
        partner: two.wheel,
        gap: index(gap, two.outline.teeth),
        off_line: tooth as f64 - before,
    }
}
