//! The judgement of one set under one load: every mesh, every pin, width and speed.

use super::bending::ToothBending;
use super::body::{SetBody, SetLoad};
use super::contact::FlankContact;
use super::demand::{Demand, Making};
use super::fault::Fault;
use super::loads::Loads;
use super::meshes::{MeshGeometry, Meshes};
use super::pins::{PinStrength, pins};
use super::speeds::SpeedLimits;
use crate::teeth::{Mesh, WheelKind};

/// What bounds a mesh.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Limit {
    /// The root of this wheel's teeth.
    Bending(WheelKind),
    Contact,
}

/// Where a set is weakest, measured by the width that it needs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Governing {
    pub mesh: Mesh,
    pub limit: Limit,
    /// Allowable over stress there, at the body's width.
    pub safety: f64,
}

/// One mesh of the most loaded planet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeshStrength {
    pub mesh: Mesh,
    /// α_w in degrees.
    pub working_angle_deg: f64,
    pub making: Making,
    /// K_v of that making at the set's pitch line speed; see [`Making::velocity_factor`].
    pub velocity: f64,
    /// F_t K_A K_v K_Hβ in N.
    pub force_n: f64,
    /// The roots of both wheels, the one nearer to the axis first.
    pub bending: [ToothBending; 2],
    pub contact: FlankContact,
    /// The largest width that the three need, in mm.
    pub width_needed_mm: f64,
}

impl MeshStrength {
    /// `geometry` under `loads`.
    fn of(
        geometry: &MeshGeometry,
        body: &SetBody,
        loads: &Loads,
        demand: &Demand,
        alpha: f64,
    ) -> Self {
        let [one, two] = geometry.wheels;
        let making = demand.making(one.material, two.material);
        let velocity = making.velocity_factor(loads.pitch_speed_m_s);
        let force = loads.force_n * demand.application * demand.face_load * velocity;
        let bending = [one, two].map(|w| ToothBending::of(&w, body, force, demand.safety));
        let contact = FlankContact::of(geometry, body, alpha, force, demand.safety);
        let widths = bending.map(|tooth| tooth.width_needed_mm);
        Self {
            mesh: geometry.mesh,
            working_angle_deg: geometry.working.to_degrees(),
            making,
            velocity,
            force_n: force,
            bending,
            contact,
            width_needed_mm: widths[0].max(widths[1]).max(contact.width_needed_mm),
        }
    }

    /// The three judgements, each with the width that it needs.
    fn limits(&self) -> [(Limit, f64, Option<f64>); 3] {
        let [one, two] = self
            .bending
            .map(|tooth| (Limit::Bending(tooth.wheel), tooth.width_needed_mm, tooth.safety));
        [one, two, (Limit::Contact, self.contact.width_needed_mm, self.contact.safety)]
    }
}

/// What is told of one set under one load.
#[derive(Clone, Debug, PartialEq)]
pub struct SetStrength {
    pub loads: Loads,
    /// From sun to ring.
    pub meshes: Vec<MeshStrength>,
    /// Of the planet, then of the outer planet of a pair.
    pub pins: Vec<PinStrength>,
    /// The smallest face width at which every mesh has the safety asked for, in mm; 0 where
    /// nothing loads the set. As [`width_needed`].
    pub width_needed_mm: f64,
    /// The widths that suit all three materials, least and most in mm; empty (least above
    /// most) where none does.
    pub width_range_mm: (f64, f64),
    /// What asks for that width; `None` where nothing loads the set.
    pub governing: Option<Governing>,
    pub speeds: SpeedLimits,
    /// Of the circle on which the innermost planets' pins stand, in mm.
    pub pin_circle_mm: f64,
}

impl SetStrength {
    /// The least allowable over stress of all teeth; `None` where nothing loads them.
    pub fn least_safety(&self) -> Option<f64> {
        let all = self.meshes.iter().flat_map(MeshStrength::limits);
        all.filter_map(|(_, _, safety)| safety).reduce(f64::min)
    }
}

/// Judges `body` under `load`: stress, allowable and safety of every mesh with all factors,
/// pins, the width needed, and the speeds that materials stand.
///
/// A first estimate, never a rating. A set that turns as a block, or is held, still has its
/// teeth loaded: only K_v is 1 then. Whether the wheels assemble is not asked.
///
/// # Errors
///
/// A [`Fault`] where a number is out of range, planets of a pair are not named, or wheels
/// cannot mesh.
pub fn judge(body: &SetBody, load: &SetLoad, demand: &Demand) -> Result<SetStrength, Fault> {
    body.check_width()?;
    let (meshes, loads) = prepared(body, load, demand)?;
    let strength = |mesh| MeshStrength::of(mesh, body, &loads, demand, meshes.alpha);
    let judged: Vec<MeshStrength> = meshes.iter().map(strength).collect();
    let pins = pins(body, &loads, demand, &meshes);
    let speeds = SpeedLimits::of(body, &loads, &pins);
    let width_needed_mm = judged.iter().map(|mesh| mesh.width_needed_mm).fold(0.0, f64::max);
    Ok(SetStrength {
        loads,
        width_needed_mm,
        width_range_mm: width_range(body),
        governing: governing(&judged),
        meshes: judged,
        pins,
        speeds,
        pin_circle_mm: 2.0 * body.module_mm * meshes.sun.centre.min(meshes.ring.centre),
    })
}

/// The smallest face width in mm at which every mesh has the safety asked for: root stress
/// falls as 1 / b and flank stress as 1 / √b, so each mesh's is a closed form. 0 without a
/// load. The same as that of [`judge`], but quick and without allocating; width and pin of
/// `body` are not looked at.
///
/// # Errors
///
/// As [`judge`].
pub fn width_needed(body: &SetBody, load: &SetLoad, demand: &Demand) -> Result<f64, Fault> {
    let (meshes, loads) = prepared(body, load, demand)?;
    let body = SetBody { width_mm: 1.0, ..*body };
    let width = |mesh| MeshStrength::of(mesh, &body, &loads, demand, meshes.alpha).width_needed_mm;
    Ok(meshes.iter().map(width).fold(0.0, f64::max))
}

/// What both judgements start from, checked.
fn prepared(body: &SetBody, load: &SetLoad, demand: &Demand) -> Result<(Meshes, Loads), Fault> {
    body.check()?;
    load.check()?;
    demand.check()?;
    let meshes = Meshes::of(body)?;
    let loads = Loads::of(body, load, demand, &meshes);
    Ok((meshes, loads))
}

/// The judgement that needs the largest width.
fn governing(meshes: &[MeshStrength]) -> Option<Governing> {
    let all = meshes.iter().flat_map(|mesh| mesh.limits().map(|limit| (mesh.mesh, limit)));
    let (mesh, (limit, _, safety)) = all.max_by(|a, b| a.1.1.total_cmp(&b.1.1))?;
    Some(Governing { mesh, limit, safety: safety? })
}

/// Least and most width that suit all materials of `body`, in mm.
fn width_range(body: &SetBody) -> (f64, f64) {
    let ranges = [body.sun, body.planet, body.ring].map(|material| material.width_modules);
    let least = ranges.iter().map(|range| range.0).fold(0.0, f64::max);
    let most = ranges.iter().map(|range| range.1).fold(f64::INFINITY, f64::min);
    (least * body.module_mm, most * body.module_mm)
}
