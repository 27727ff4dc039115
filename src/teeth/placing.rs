//! The wheels of one set where they stand: centre distances, planets round the sun, and
//! every wheel turned so that all meshes are in phase, in any motion of the set.
//!
//! Lengths are in modules, angles in radians counter-clockwise. The set's axis is the
//! origin, the first planet stands on the x axis.
//!
//! # Phase
//!
//! A wheel's turn τ is the angle of the middle of one of its teeth. Seen from its axis in
//! the direction β, p = z (β − τ) / 2π counts the teeth from that one to the line of
//! centres: a whole number where a tooth stands on the line, a half where a gap does.
//! Teeth and gaps are symmetric and a mesh without backlash has its flanks touch on both
//! sides, so on the line of centres tooth must face gap:
//!
//! - external mesh, wheel 2 in direction β from wheel 1: the wheels turn against each
//!   other, the counts add up, z₁ (β − τ₁) + z₂ (β + π − τ₂) ≡ π (mod 2π);
//! - planet 1 in ring 2, whose teeth meet in the same direction β from both axes: the
//!   wheels turn alike, the counts differ, z₁ (β − τ₁) − z₂ (β − τ₂) ≡ π (mod 2π).
//!
//! Sun and carrier are given, so the planet's turn follows from the first, the ring's
//! from the second, chosen so that they are continuous in both: differentiated, they are
//! the Willis equation of [`GearSet::willis`]. A planet in the direction β = γ + φ asks the
//! single ring for z_R τ_R = (z_S + z_R) β − z_S τ_S + π z_P, the paired one for
//! (z_R − z_S) β + z_S τ_S plus a constant; with φ a multiple of 2π / [`super::places`]
//! all planets ask for the same ring but for whole teeth. Profile shift and centre
//! distance do not enter. Source: counting teeth as above; D785 has the condition for φ.

use std::f64::consts::{PI, TAU};

use super::case::{best_case, planets_of};
use super::flank::{RackTip, RingSpace, Trochoid, polar};
use super::involute::{Rack, Wheel};
use super::limits::ToothLimits;
use super::outline::{Finish, GearData, Outline};
use super::spacing::{places, planet_places};
use super::wheels::{Family, Shifts, Teeth, Wheels};
use crate::train::GearSet;

/// Which two wheels of a set mesh.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mesh {
    SunPlanet,
    /// The two planets of a pair.
    PlanetPlanet,
    PlanetRing,
}

/// Where a wheel stands: its axis, and the angle of the middle of one of its teeth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pose {
    /// In modules from the set's axis.
    pub centre: [f64; 2],
    /// In radians; not reduced, so that it follows a motion without jumps.
    pub turn: f64,
}

impl Pose {
    /// The whole wheel of `outline` where it stands, as [`Outline::closed`]; lengths, also
    /// of the centre, times `scale`.
    pub fn polygon(&self, outline: &Outline, scale: f64) -> Vec<[f64; 2]> {
        let [x, y] = self.centre.map(|length| length * scale);
        let mut points = outline.closed(scale, self.turn);
        points.iter_mut().for_each(|point| *point = [point[0] + x, point[1] + y]);
        points
    }
}

/// All wheels of a set at one moment.
#[derive(Clone, Debug, PartialEq)]
pub struct Poses {
    pub sun: Pose,
    pub ring: Pose,
    /// Planets that mesh with the sun, in the order of [`PlacedSet::angles`].
    pub planets: Vec<Pose>,
    /// Outer planets of a paired set, in the same order; empty for a single set.
    pub outer_planets: Vec<Pose>,
}

/// The wheels of one set with their outlines, placed at their centre distances.
#[derive(Clone, Debug, PartialEq)]
pub struct PlacedSet {
    /// The set, with its planet named and its planets counted.
    pub set: GearSet,
    pub shifts: Shifts,
    /// From the set's axis to the planets that mesh with the sun, in modules.
    pub sun_centre: f64,
    /// From the set's axis to the planets that mesh with the ring, in modules.
    pub ring_centre: f64,
    /// Between the two planets of a pair, in modules.
    pub pair_centre: Option<f64>,
    /// Where the planets that mesh with the sun stand on the carrier, in radians, the
    /// first at 0.
    pub angles: Vec<f64>,
    pub sun: Outline,
    pub planet: Outline,
    pub outer_planet: Option<Outline>,
    pub ring: Outline,
    /// The largest cut off a tip, in modules, so that it clears the other wheel's fillet:
    /// see [`PlacedSet::new`].
    pub tip_cut: f64,
    places: u64,
    planet_places: Vec<u64>,
}

impl PlacedSet {
    /// Places `set` (three planets where they are not counted; at equal angles where that
    /// assembles, else at the nearest places) with outlines finished as told.
    ///
    /// Profile shifts are those of [`super::profile_shifts`]; where no shift meets every
    /// condition, those that [`fn@super::conditions`] judges. Tips are as high as the
    /// conditions take them, but for one thing: a tip may reach no deeper than the end of
    /// the other wheel's involute, or it would dig into its root fillet. A ring's tip
    /// usually does (a rack-cut planet's involute begins above its base circle, and the
    /// rule "involute" looks at the base circle), so it is cut to
    /// √(r_b2² + (L_F1 + a sin α_w)²) with L_F1 the planet's generating line at its form
    /// circle; [`PlacedSet::tip_cut`] tells how much that took. An undercut wheel is taken
    /// as free as far as the rack went.
    ///
    /// `None` where wheels are unknown or missing, where they cannot be coaxial, where
    /// there are fewer places than planets, or where a wheel has no outline.
    pub fn new(set: &GearSet, limits: &ToothLimits, finish: &Finish) -> Option<Self> {
        let rack = Rack::new(limits.pressure_angle, limits.addendum);
        let full = best_case(set, Teeth::of(set)?, planets_of(set), limits, &rack).wheels;
        Self::placed(set, limits, finish, &full)
    }

    /// The same with shifts that are given, whatever the conditions say of them: those of
    /// [`super::balanced_shift`], for example.
    ///
    /// `None` also where the shifts do not give both meshes one centre distance. A pair's
    /// planets both take the shift `planet`.
    pub fn with_shifts(
        set: &GearSet,
        limits: &ToothLimits,
        finish: &Finish,
        shifts: &Shifts,
    ) -> Option<Self> {
        let rack = Rack::new(limits.pressure_angle, limits.addendum);
        let teeth = Teeth::of(set)?;
        let placement = Family::of(&teeth, shifts, &rack).at(&teeth, shifts.planet, &rack);
        Self::placed(set, limits, finish, &Wheels::cut(&teeth, placement, &rack))
    }

    fn placed(set: &GearSet, limits: &ToothLimits, finish: &Finish, full: &Wheels) -> Option<Self> {
        let rack = Rack::new(limits.pressure_angle, limits.addendum);
        let (teeth, planets) = (Teeth::of(set)?, planets_of(set));
        let planet_places = planet_places(planets, places(set));
        if planet_places.is_empty() || !coaxial(full) {
            return None;
        }
        let wheels = clear_of_fillets(full, &rack, finish)?;
        let data = |wheel: &Wheel| GearData {
            teeth: wheel.teeth as u32,
            shift: wheel.shift,
            tip: wheel.tip,
            pressure_angle: limits.pressure_angle,
            addendum: limits.addendum,
        };
        let external = |wheel: &Wheel| Outline::external(&data(wheel), finish);
        let outer_planet = match &wheels.outer {
            Some(outer) => Some(external(outer)?),
            None => None,
        };
        let total = places(set);
        let angle = |&place: &u64| TAU * place as f64 / total as f64;
        Some(Self {
            set: GearSet { planet: Some(teeth.planet), planets: Some(planets), ..*set },
            shifts: full.placement.shifts,
            sun_centre: full.placement.sun_centre,
            ring_centre: full.placement.ring_centre,
            pair_centre: full.placement.pair_centre,
            angles: planet_places.iter().map(angle).collect(),
            sun: external(&wheels.sun)?,
            planet: external(&wheels.planet)?,
            outer_planet,
            ring: Outline::internal(&data(&wheels.ring), finish)?,
            tip_cut: largest_cut(full, &wheels),
            places: total,
            planet_places,
        })
    }

    /// The kinds of mesh of the set, from the sun outwards.
    pub fn meshes(&self) -> Vec<Mesh> {
        match self.outer_planet {
            None => vec![Mesh::SunPlanet, Mesh::PlanetRing],
            Some(_) => vec![Mesh::SunPlanet, Mesh::PlanetPlanet, Mesh::PlanetRing],
        }
    }

    /// The two wheels of `mesh` and their centre distance; the first is external. `None`
    /// for a mesh that the set has not.
    pub(super) fn pair_of(&self, mesh: Mesh) -> Option<(&Outline, &Outline, f64)> {
        let inner = &self.planet;
        let outer = self.outer_planet.as_ref();
        Some(match mesh {
            Mesh::SunPlanet => (&self.sun, inner, self.sun_centre),
            Mesh::PlanetPlanet => (inner, outer?, self.pair_centre?),
            Mesh::PlanetRing => (outer.unwrap_or(inner), &self.ring, self.ring_centre),
        })
    }

    /// Contact ratio of `mesh` with the tips as they are, [`PlacedSet::tip_cut`] taken off:
    /// less than the conditions tell. `None` for a mesh that the set has not. Rounded tips
    /// take more off, which is not counted.
    ///
    /// ε = (ℓ₁ + ℓ₂ − √(a² − (r_b1 + r_b2)²)) / p_b, in a ring
    /// (ℓ₁ − ℓ₂ + √(a² − (r_b2 − r_b1)²)) / p_b, with ℓ = √(r_a² − r_b²) and the base pitch
    /// p_b = 2π r_b1 / z₁. Source: ISO 21771.
    pub fn contact_ratio(&self, mesh: Mesh) -> Option<f64> {
        let (one, two, centre) = self.pair_of(mesh)?;
        let reach = |wheel: &Outline| (wheel.tip.powi(2) - wheel.base.powi(2)).max(0.0).sqrt();
        let side = if mesh == Mesh::PlanetRing { -1.0 } else { 1.0 };
        let line = (centre.powi(2) - (two.base + side * one.base).powi(2)).max(0.0).sqrt();
        let path = reach(one) + side * (reach(two) - line);
        Some(path / (one.base * one.pitch_angle()))
    }

    /// The set as it stands with tooth 0 of the sun and the first planet on the x axis.
    pub fn poses(&self) -> Poses {
        self.turned(0.0, 0.0)
    }

    /// The set after the sun has turned by `sun_turn` and the carrier by `carrier_turn`
    /// from [`PlacedSet::poses`], both against the housing: planets and ring turn along
    /// as their teeth force them to. Formulas: see the head of this file.
    pub fn turned(&self, sun_turn: f64, carrier_turn: f64) -> Poses {
        let axis = [0.0, 0.0];
        let [sun, ring] = [self.set.sun, self.set.ring].map(f64::from);
        let planet = f64::from(self.planet.teeth);
        // In the carrier's frame, then carried round with it.
        let relative = sun_turn - carrier_turn;
        let pose = |radius: f64, angle: f64, turn: f64| Pose {
            centre: polar(radius, angle + carrier_turn),
            turn: turn + carrier_turn,
        };
        let mut planets = Vec::with_capacity(self.angles.len());
        let mut outer_planets = Vec::new();
        for (&angle, &place) in self.angles.iter().zip(&self.planet_places) {
            // z_S φ but for whole turns, which are counted exactly.
            let sun_count = TAU * self.teeth_past(self.set.sun, place);
            // z_P τ_P = z_S (β − τ_S) + z_P (β + π) − π.
            let turn = angle + PI + (sun_count - sun * relative - PI) / planet;
            planets.push(pose(self.sun_centre, angle, turn));
            if let Some(outer) = &self.outer_planet {
                let (lean, across) = self.pair();
                // z_I (β_IO − τ_I) + z_O (β_IO + π − τ_O) = π, β_IO = φ + across.
                let teeth = f64::from(outer.teeth);
                let count = planet * (angle + across - turn) - PI;
                let outer_turn = angle + across + PI + count / teeth;
                outer_planets.push(pose(self.ring_centre, angle + lean, outer_turn));
            }
        }
        // z_R (β − τ_R) = z_P (β − τ_P) − π, of the first planet.
        let (inner, teeth) = match (outer_planets.first(), &self.outer_planet) {
            (Some(outer), Some(outline)) => (outer, f64::from(outline.teeth)),
            _ => (&planets[0], planet),
        };
        let beta = if self.outer_planet.is_some() { self.pair().0 } else { 0.0 };
        let ring_turn = beta - (teeth * (beta - (inner.turn - carrier_turn)) - PI) / ring;
        Poses {
            sun: Pose { centre: axis, turn: sun_turn },
            ring: Pose { centre: axis, turn: ring_turn + carrier_turn },
            planets,
            outer_planets,
        }
    }

    /// The part of a tooth by which `teeth` teeth to the turn miss a whole number of
    /// teeth at `place`: z · place / places modulo 1.
    fn teeth_past(&self, teeth: u32, place: u64) -> f64 {
        let total = u128::from(self.places);
        let past = u128::from(teeth) * u128::from(place) % total;
        past as f64 / total as f64
    }

    /// Of a pair whose inner planet stands on the x axis: the direction of the outer
    /// planet from the set's axis (it goes before the inner one), and from the inner
    /// planet. By the triangle of the three centre distances.
    fn pair(&self) -> (f64, f64) {
        let (a, b, c) = (self.sun_centre, self.ring_centre, self.pair_centre.unwrap_or(0.0));
        let lean = ((a * a + b * b - c * c) / (2.0 * a * b)).clamp(-1.0, 1.0).acos();
        (lean, (b * lean.sin()).atan2(b * lean.cos() - a))
    }
}

/// Whether the centre distances agree (pair: their triangle closes), as the rule
/// "coaxial" asks, whatever shift that takes.
fn coaxial(wheels: &Wheels) -> bool {
    let placement = &wheels.placement;
    let (sun, ring) = (placement.sun_centre, placement.ring_centre);
    match placement.pair_centre {
        None => (sun - ring).abs() < 1e-9,
        Some(pair) => pair >= (ring - sun).abs() - 1e-9 && pair <= ring + sun + 1e-9,
    }
}

/// The largest difference of a tip between `full` and `cut`.
fn largest_cut(full: &Wheels, cut: &Wheels) -> f64 {
    let outer = full.outer.zip(cut.outer).map_or(0.0, |(full, cut)| full.tip - cut.tip);
    (full.sun.tip - cut.sun.tip)
        .max(full.planet.tip - cut.planet.tip)
        .max(outer)
        .max(cut.ring.tip - full.ring.tip)
}

/// The wheels with tips that touch no fillet of the wheel they mesh with. On the line of
/// action the generating lines of an external mesh add up to a sin α_w, those of a ring
/// and its planet differ by it; so each tip's follows from the other's form circle.
/// `None` where a mesh does not exist.
pub(super) fn clear_of_fillets(full: &Wheels, rack: &Rack, finish: &Finish) -> Option<Wheels> {
    let tool = RackTip::new(rack, finish.backlash / 2.0)?;
    let form =
        |wheel: &Wheel| Trochoid::new(rack, &tool, wheel.teeth, wheel.shift).form_length(rack);
    let line = |standard: f64, centre: f64| {
        rack.working_angle(standard, centre).map(|angle| centre * angle.sin())
    };
    let mut cut = *full;
    let shorten = |wheel: &mut Wheel, length: f64| {
        wheel.tip = wheel.tip.min(wheel.base(rack).hypot(length.max(0.0)));
    };
    let placement = &full.placement;
    let between = line((full.sun.teeth + full.planet.teeth) / 2.0, placement.sun_centre)?;
    shorten(&mut cut.sun, between - form(&full.planet));
    shorten(&mut cut.planet, between - form(&full.sun));
    if let (Some(outer), Some(full_outer), Some(centre)) =
        (&mut cut.outer, &full.outer, placement.pair_centre)
    {
        let between = line((full.planet.teeth + full_outer.teeth) / 2.0, centre)?;
        shorten(outer, between - form(&full.planet));
        shorten(&mut cut.planet, between - form(full_outer));
    }
    let in_ring = full.in_ring();
    let apart = line((full.ring.teeth - in_ring.teeth) / 2.0, placement.ring_centre)?;
    let least = full.ring.base(rack).hypot((form(&in_ring) + apart).max(0.0));
    cut.ring.tip = cut.ring.tip.max(least);
    let space = RingSpace::new(rack, full.ring.teeth, full.ring.shift, finish.backlash / 2.0);
    shorten(cut.outer.as_mut().unwrap_or(&mut cut.planet), space.fillet.length - apart);
    Some(cut)
}
