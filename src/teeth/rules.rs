//! The rules that the wheels of a set must meet: one table, each rule with its formula,
//! its judgement and its sentence.
//!
//! Judging is numbers only, so that a catalogue can be sifted; sentences are made when
//! somebody reads them. Assembly, which no profile shift changes, is not here but in
//! [`mod@super::conditions`]. Lengths are in modules.

use super::case::Case;
use super::involute::{Wheel, external_contact_ratio};
use crate::train::SetKind;

/// A judgement: what was found and the bound it had to keep.
#[derive(Clone, Copy, Debug)]
pub(super) struct Verdict {
    pub holds: bool,
    pub found: f64,
    pub bound: f64,
}

impl Verdict {
    /// Holds where `found` is at least `bound`, but for rounding.
    fn at_least(found: f64, bound: f64) -> Self {
        Self { holds: found >= bound - 1e-9, found, bound }
    }

    /// Holds where `found` is above `bound` by more than rounding.
    fn above(found: f64, bound: f64) -> Self {
        Self { holds: found > bound + 1e-9, found, bound }
    }
}

/// One rule: its name, its judgement, its sentence.
pub(super) struct Rule {
    pub name: &'static str,
    judge: fn(&Case) -> Verdict,
    tell: fn(&Case, &Verdict) -> String,
}

impl Rule {
    /// Judges and tells in one sentence.
    pub fn report(&self, case: &Case) -> (bool, String) {
        let verdict = (self.judge)(case);
        (verdict.holds, (self.tell)(case, &verdict))
    }

    /// Whether the rule binds under the limits of `case`: trimming only where the planets
    /// go in radially.
    pub fn binds(&self, case: &Case) -> bool {
        self.name != TRIMMING || case.limits.radial_assembly
    }
}

/// Name of the rule that no profile shift within the limits may mend.
pub(super) const COAXIAL: &str = "coaxial";
const TRIMMING: &str = "trimming";

/// Thinnest tip of a tooth in modules: the usual least for hardened wheels (0.2 to 0.4).
const THINNEST_TIP: f64 = 0.2;
/// Least contact ratio: the usual workshop bound for spur gears.
const LEAST_CONTACT: f64 = 1.2;

/// All rules, in the order in which a candidate meets them.
pub(super) static RULES: [Rule; 9] = [
    Rule { name: COAXIAL, judge: coaxial, tell: tell_coaxial },
    Rule { name: "neighbours", judge: neighbours, tell: tell_neighbours },
    Rule { name: "undercut", judge: undercut, tell: tell_undercut },
    Rule { name: "ring tip", judge: ring_tip, tell: tell_ring_tip },
    Rule { name: "involute", judge: involute, tell: tell_involute },
    Rule { name: "trochoid", judge: trochoid, tell: tell_trochoid },
    Rule { name: TRIMMING, judge: trimming, tell: tell_trimming },
    Rule { name: "tip thickness", judge: tip_thickness, tell: tell_tip_thickness },
    Rule { name: "contact ratio", judge: contact_ratio, tell: tell_contact_ratio },
];

/// The first rule of the table that `case` breaks.
pub(super) fn first_broken(case: &Case) -> Option<&'static Rule> {
    RULES.iter().find(|rule| rule.binds(case) && !(rule.judge)(case).holds)
}

/// How many rules `case` breaks.
pub(super) fn count_broken(case: &Case) -> usize {
    RULES.iter().filter(|rule| rule.binds(case) && !(rule.judge)(case).holds).count()
}

/// Coaxial: sun and ring have one axis. Unshifted Z_R = Z_S + 2 Z_P; in general the
/// planet's two meshes have one centre distance. Paired: the triangle of centres closes,
/// |a_R − a_S| ≤ a_IO ≤ a_R + a_S with a_S, a_R, a_IO the centre distances of sun and
/// inner planet, ring and outer planet, and the two planets; unshifted
/// Z_I + Z_O ≥ (Z_R − Z_S) / 2, equal where they stand in line.
///
/// Sources: D785; paired: triangle of the three centre distances. Breaks when planets are
/// stepped, whose two gears differ.
fn coaxial(case: &Case) -> Verdict {
    let placement = &case.wheels.placement;
    let (sun, ring) = (placement.sun_centre, placement.ring_centre);
    let Some(between) = placement.pair_centre else {
        let shift = placement.shifts.largest();
        let within = shift <= case.limits.largest_shift.max(0.0) + 1e-9;
        return Verdict { holds: (sun - ring).abs() < 1e-9 && within, found: sun, bound: ring };
    };
    let holds = between >= (ring - sun).abs() - 1e-9 && between <= ring + sun + 1e-9;
    Verdict { holds, found: between, bound: (ring - sun).abs() }
}

fn tell_coaxial(case: &Case, verdict: &Verdict) -> String {
    let t = &case.teeth;
    if let Some(outer) = t.outer {
        let (planets, found, bound) =
            (format!("{} + {outer}", t.planet), verdict.found, verdict.bound);
        let verb = if verdict.holds { "bridge" } else { "do not bridge" };
        return format!(
            "The planets of a pair, {planets} teeth, have centres {found:.3} modules apart and \
             {verb} the {bound:.3} modules between the centre circles of their meshes."
        );
    }
    let sum = u64::from(t.sun) + 2 * u64::from(t.planet);
    let equation = format!("Z_S + 2 Z_P = {} + 2·{} = {sum}", t.sun, t.planet);
    let excess = t.excess();
    if excess == 0 {
        return format!("{equation} = Z_R: sun and ring share one axis.");
    }
    let off = format!("{equation} but Z_R = {}", t.ring);
    if excess.abs() > 2 {
        return format!("{off}: off by {}, more than a profile shift bridges.", excess.abs());
    }
    if !case.limits.odd_planet {
        return format!("{off}: only profile shift could bridge that, and it is not allowed here.");
    }
    let shifts = told_shifts(case);
    if verdict.holds {
        return format!(
            "{off}: bridged at a centre distance of {:.3} modules by {shifts}.",
            verdict.found
        );
    }
    let largest = case.limits.largest_shift;
    format!("{off}: to bridge that takes {shifts}, and no more than {largest:.2} is allowed.")
}

/// Neighbours: the tips of planets clear each other, 2 a sin(θ/2) > 2 r_aP + gap with θ
/// the smallest angle between planets; unshifted and equal (Z_S + Z_P) sin(π/N) >
/// Z_P + 2 h_a + gap. Paired: the same for inner and for outer planets, between an outer
/// planet and the inner one of the next pair, and of each planet to the central wheel
/// that it must not touch. Found is the least clearance, the bound is the gap.
///
/// Source: D785; the pairs by the law of cosines. Breaks when a carrier web between the
/// planets needs more room: raise the gap.
fn neighbours(case: &Case) -> Verdict {
    let gap = case.limits.gap;
    let (wheels, theta) = (&case.wheels, case.gap);
    let (a, planet) = (wheels.placement.sun_centre, wheels.planet.tip);
    let beside = |centre: f64, tip: f64| match case.planets {
        0 | 1 => f64::INFINITY,
        _ => 2.0 * centre * (theta / 2.0).sin() - 2.0 * tip,
    };
    let Some(outer) = wheels.outer else { return Verdict::above(beside(a, planet), gap) };
    let b = wheels.placement.ring_centre;
    let pair = wheels.placement.pair_centre.unwrap_or(0.0);
    let within = ((a * a + b * b - pair * pair) / (2.0 * a * b)).clamp(-1.0, 1.0).acos();
    let next = (a * a + b * b - 2.0 * a * b * (theta - within).cos()).max(0.0).sqrt();
    let across = if case.planets < 2 { f64::INFINITY } else { next - planet - outer.tip };
    let to_ring = wheels.ring.tip - a - planet;
    let to_sun = b - outer.tip - wheels.sun.tip;
    let clearances = [beside(a, planet), beside(b, outer.tip), across, to_ring, to_sun];
    Verdict::above(clearances.into_iter().fold(f64::INFINITY, f64::min), gap)
}

fn tell_neighbours(case: &Case, verdict: &Verdict) -> String {
    let (found, bound) = (verdict.found, verdict.bound);
    if found == f64::INFINITY {
        return format!("{} planets have no neighbours to touch.", case.planets);
    }
    let what = match case.teeth.kind {
        SetKind::Single => "The tips of neighbouring planets",
        SetKind::Paired => "Planets that do not mesh, and the sun or ring they must miss,",
    };
    let (planets, degrees) = (case.planets, case.gap.to_degrees());
    let distance = if found < 0.0 {
        format!("overlap by {:.3} modules", -found)
    } else {
        format!("are {found:.3} modules apart")
    };
    format!(
        "{what} {distance} with {planets} planets and a smallest angle of {degrees:.2}°; more \
         than {bound} are needed."
    )
}

/// Undercut of sun and planets: x ≥ h_a − z sin²α / 2, unshifted z ≥ 2 h_a / sin²α.
/// Found is the least margin x − x_min. Source and limits: [`super::involute::Rack`].
fn undercut(case: &Case) -> Verdict {
    let margin = |w: &Wheel| w.shift - case.rack.undercut_shift(w.teeth);
    let least = outward(case).map(|w| margin(&w)).fold(f64::INFINITY, f64::min);
    Verdict::at_least(least, 0.0)
}

/// Sun, planet and outer planet.
fn outward<'a>(case: &'a Case) -> impl Iterator<Item = Wheel> + 'a {
    [case.wheels.sun, case.wheels.planet].into_iter().chain(case.wheels.outer)
}

fn tell_undercut(case: &Case, verdict: &Verdict) -> String {
    let margin = |w: &Wheel| w.shift - case.rack.undercut_shift(w.teeth);
    let worst = outward(case).min_by(|a, b| margin(a).total_cmp(&margin(b)));
    let (teeth, shift) = worst.map_or((0.0, 0.0), |w| (w.teeth, w.shift));
    let limit = case.rack.undercut_teeth();
    let verb = if verdict.holds { "is not undercut" } else { "is undercut" };
    let with = if shift == 0.0 { "unshifted".into() } else { format!("with x = {shift:+.3}") };
    let needed = case.rack.undercut_shift(teeth);
    let mut told = format!(
        "The wheel of {teeth} teeth {verb} {with}: unshifted it takes {limit:.1} teeth, at {teeth} \
         a shift of at least {needed:+.3}"
    );
    if case.wheels.placement.shifts.largest() > 0.0 {
        told.push_str(&format!(" ({})", told_shifts(case)));
    }
    told + "."
}

fn told_shifts(case: &Case) -> String {
    let shifts = case.wheels.placement.shifts;
    let (sun, planet, ring) = (shifts.sun, shifts.planet, shifts.ring);
    format!("profile shifts of {sun:+.3} (sun), {planet:+.3} (planet) and {ring:+.3} (ring)")
}

/// Ring tip: r_a2 ≥ r_b2, so that the ring's flank is an involute all the way; unshifted
/// Z_R ≥ 2 h_a / (1 − cos α), 33.2 at 20°. Source: D785. Breaks when the ring's tip is
/// relieved on purpose.
fn ring_tip(case: &Case) -> Verdict {
    Verdict::at_least(case.wheels.ring.tip, case.wheels.ring.base(case.rack))
}

fn tell_ring_tip(_: &Case, verdict: &Verdict) -> String {
    let side = if verdict.holds { "outside" } else { "inside" };
    format!(
        "The ring's tip circle of radius {:.3} lies {side} its base circle of {:.3} modules.",
        verdict.found, verdict.bound
    )
}

/// Involute interference: z₁/z₂ ≥ 1 − tan α_a2 / tan α_w; see
/// [`super::involute::InternalMesh::involute`].
fn involute(case: &Case) -> Verdict {
    let (found, bound) = case.ring_mesh.involute();
    Verdict::at_least(found, bound)
}

fn tell_involute(case: &Case, verdict: &Verdict) -> String {
    let verb = if verdict.holds { "clears" } else { "digs into" };
    format!(
        "The ring's tip {verb} the planet's root: Z_P / Z_R = {}/{} = {:.4}, at least {:.4} is \
         needed.",
        case.teeth.in_ring(),
        case.teeth.ring,
        verdict.found,
        verdict.bound
    )
}

/// Trochoid interference; see [`super::involute::InternalMesh::trochoid`].
fn trochoid(case: &Case) -> Verdict {
    let (found, bound) = case.ring_mesh.trochoid();
    Verdict::at_least(found, bound)
}

fn tell_trochoid(case: &Case, verdict: &Verdict) -> String {
    let verb = if verdict.holds { "pass" } else { "do not pass" };
    let difference = case.teeth.ring - case.teeth.in_ring();
    format!(
        "With {difference} teeth more in the ring, the tips {verb} each other on leaving mesh: \
         {:.4} rad, at least {:.4} is needed.",
        verdict.found, verdict.bound
    )
}

/// Trimming, where planets go in radially; see
/// [`super::involute::InternalMesh::trimming`].
fn trimming(case: &Case) -> Verdict {
    let (found, bound) = case.ring_mesh.trimming();
    Verdict::at_least(found, bound)
}

fn tell_trimming(case: &Case, verdict: &Verdict) -> String {
    let verb = if verdict.holds { "goes" } else { "does not go" };
    let difference = case.teeth.ring - case.teeth.in_ring();
    format!(
        "With {difference} teeth more in the ring, a planet {verb} in radially: {:.4} rad, at \
         least {:.4} is needed.",
        verdict.found, verdict.bound
    )
}

/// Tip thickness: every tooth at least 0.2 modules wide at its tip; see
/// [`Wheel::tip_thickness`]. Breaks for surface-hardened teeth, which want 0.4.
fn tip_thickness(case: &Case) -> Verdict {
    let rack = case.rack;
    let least = outward(case).map(|w| w.tip_thickness(rack)).fold(f64::INFINITY, f64::min);
    Verdict::at_least(least.min(case.wheels.ring.ring_tip_thickness(rack)), THINNEST_TIP)
}

fn tell_tip_thickness(_: &Case, verdict: &Verdict) -> String {
    format!(
        "The thinnest tip is {:.3} modules wide, at least {} is needed.",
        verdict.found, verdict.bound
    )
}

/// Contact ratio: every mesh at least 1.2; see [`external_contact_ratio`] and
/// [`super::involute::InternalMesh::contact_ratio`]. Breaks for helical teeth, whose
/// overlap adds to it.
fn contact_ratio(case: &Case) -> Verdict {
    let (rack, wheels) = (case.rack, &case.wheels);
    let sun =
        external_contact_ratio(rack, &wheels.sun, &wheels.planet, wheels.placement.sun_centre);
    let pair = wheels.outer.zip(wheels.placement.pair_centre);
    let pair = pair.map_or(f64::INFINITY, |(outer, centre)| {
        external_contact_ratio(rack, &wheels.planet, &outer, centre)
    });
    let least = sun.min(pair).min(case.ring_mesh.contact_ratio(rack));
    Verdict::at_least(least, LEAST_CONTACT)
}

fn tell_contact_ratio(_: &Case, verdict: &Verdict) -> String {
    format!(
        "The least contact ratio of the meshes is {:.3}, at least {} is needed.",
        verdict.found, verdict.bound
    )
}
