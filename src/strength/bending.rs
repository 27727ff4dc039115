//! Bending of the tooth root by Lewis' formula.

use super::body::SetBody;
use super::materials::Material;
use super::meshes::Toothed;
use crate::teeth::WheelKind;

/// Fewer teeth than this have no form factor here.
pub(super) const LEAST_TEETH: u32 = 10;

/// A planet's teeth are bent to and fro, and bear 70 % of what they would bear one way.
///
/// Source: the usual factor for idlers (ISO 6336-5, and its mean stress influence in
/// ISO 6336-3). Breaks for plastics, where it is taken over from steel.
const TO_AND_FRO: f64 = 0.7;

/// The root of the teeth of one wheel in one mesh.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ToothBending {
    pub wheel: WheelKind,
    /// z.
    pub teeth: u32,
    /// Y, Lewis' form factor; see [`form_factor`].
    pub form: f64,
    pub material: &'static Material,
    /// 0.7 of a planet, whose teeth are bent to and fro; else 1.
    pub reversal: f64,
    /// σ_F = F_t K_A K_v / (b m Y) in MPa.
    pub stress_mpa: f64,
    /// What the material bears, times `reversal`, in MPa.
    pub allowable_mpa: f64,
    /// Allowable over stress; `None` where nothing loads the tooth.
    pub safety: Option<f64>,
    /// Face width at which the safety is the one asked for, in mm.
    pub width_needed_mm: f64,
}

impl ToothBending {
    /// The root of `wheel` under `force` (with K_A and K_v, in N), asked for `safety`.
    ///
    /// σ_F = F_t K_A K_v / (b m Y). Source: W. Lewis, Investigation of the Strength of Gear
    /// Teeth (1892), in modules as textbooks of machine elements give it. The whole force at
    /// the tip of one tooth, no notch, load even across the face. Breaks for thin rims and
    /// for high loads on soft teeth, whose neighbours then help.
    pub(super) fn of(wheel: &Toothed, body: &SetBody, force: f64, safety: f64) -> Self {
        let form = match wheel.wheel {
            WheelKind::Ring => ring_form_factor(wheel.teeth, wheel.shift),
            _ => form_factor(wheel.teeth, wheel.shift, body.pressure_angle_deg),
        };
        let reversal = if wheel.wheel.is_planet() { TO_AND_FRO } else { 1.0 };
        let allowable = wheel.material.bending_mpa * reversal;
        // N/mm: stress times width.
        let spread = force / (body.module_mm * form);
        let stress = spread / body.width_mm;
        Self {
            wheel: wheel.wheel,
            teeth: wheel.teeth as u32,
            form,
            material: wheel.material,
            reversal,
            stress_mpa: stress,
            allowable_mpa: allowable,
            safety: (stress > 0.0).then(|| allowable / stress),
            width_needed_mm: spread * safety / allowable,
        }
    }
}

/// Y of a rack at 20°.
const RACK_AT_20: f64 = 0.484;
/// No shift makes a tooth weaker than this; such a shift is none that anybody cuts.
const LEAST_FORM: f64 = 0.05;

/// Y, Lewis' form factor of an external wheel of `teeth` teeth and profile shift `shift` at
/// a pressure angle in degrees: 0.484 − 2.87 / z + 9 x / (z + 20) at 20°.
///
/// At 14.5° the unshifted part is 0.39 − 2.15 / z; between the two it is interpolated; above
/// 20° that of 20° is used, which is on the safe side. Sources: the usual straight-line fits
/// to Lewis' table (y = 0.154 − 0.912 / z and 0.124 − 0.684 / z with Y = π y), for full depth
/// teeth with the load at the tip of one. The part of the shift is our own fit. From 12 to
/// 100 teeth, with shifts from −0.5 to 0.5 that leave no undercut, Y is 10 % below to 6 %
/// above what true outlines with ISO 53 fillets have at 20° (tests draw them), at most 8 %
/// above at 14.5°, and as much as a quarter below at 25°. It lies up to 9 % above the older
/// table of textbooks (worst at 25 teeth). Breaks below 10 teeth, and for undercut, stub or
/// thinned teeth.
pub fn form_factor(teeth: f64, shift: f64, pressure_angle_deg: f64) -> f64 {
    let at_20 = RACK_AT_20 - 2.87 / teeth;
    let at_14 = 0.39 - 2.15 / teeth;
    let between = ((pressure_angle_deg - 14.5) / 5.5).clamp(0.0, 1.0);
    let form = at_14 + (at_20 - at_14) * between + 9.0 * shift / (teeth + 20.0);
    form.max(LEAST_FORM)
}

/// Y of a ring: 0.484 − 2.2 / z + 5 x / z.
///
/// The rack's 0.484 is often taken for rings; true outlines of rings have less, since the
/// force on the tip leans more. This is our own fit to them at 20°, 5 % below to 3 % above
/// from 40 to 110 teeth with shifts from −0.5 to 0.5 (a test draws them). Breaks as [`form_factor`], and for rings with a
/// thin rim, which bend as a whole.
pub fn ring_form_factor(teeth: f64, shift: f64) -> f64 {
    (RACK_AT_20 - (2.2 - 5.0 * shift) / teeth).max(LEAST_FORM)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::teeth::{Finish, GearData, Outline};

    /// The table of textbooks for 20° full depth teeth (J. E. Shigley, Mechanical
    /// Engineering Design, values of the Lewis form factor).
    #[test]
    fn the_straight_line_lies_at_most_nine_per_cent_above_the_table() {
        let table = [
            (12.0, 0.245),
            (14.0, 0.277),
            (16.0, 0.296),
            (18.0, 0.309),
            (20.0, 0.322),
            (25.0, 0.340),
            (30.0, 0.359),
            (43.0, 0.397),
            (60.0, 0.422),
            (100.0, 0.447),
            (300.0, 0.472),
        ];
        for (teeth, form) in table {
            let over = form_factor(teeth, 0.0, 20.0) / form;
            assert!((0.995..1.09).contains(&over), "{teeth}: {over}");
        }
        // y = 0.124 − 0.684 / z, Y = π y: 0.2821 for 20 teeth at 14.5°.
        assert!((form_factor(20.0, 0.0, 14.5) - 0.2821).abs() < 1e-3);
        assert_eq!(form_factor(30.0, 0.0, 25.0), form_factor(30.0, 0.0, 20.0));
    }

    /// A worked pinion (J. E. Shigley, the Lewis example of the chapter on spur gears): 16
    /// teeth of diametral pitch 8, 1.5 in wide, milled, at 1200 rpm bear 365 lbf at
    /// 10 kpsi with K_v = 1.52 and Y = 0.296. In metres: m = 3.175, b = 38.1, 1623.6 N
    /// and 68.9 MPa. By our Y = 0.484 − 2.87 / 16 = 0.3046 it is
    /// 1623.6 · 1.52 / (38.1 · 3.175 · 0.3046) = 66.97 MPa.
    #[test]
    fn a_worked_pinion() {
        let steel = Material::find("mild-steel").unwrap();
        let wheel = Toothed { wheel: WheelKind::Sun, teeth: 16.0, shift: 0.0, material: steel };
        let body = SetBody {
            module_mm: 3.175,
            width_mm: 38.1,
            ..crate::strength::laws::body_of(crate::train::GearSet::single(16, 66))
        };
        let found = ToothBending::of(&wheel, &body, 1623.6 * 1.52, 1.0);
        assert!((found.stress_mpa - 66.97).abs() < 0.02, "{}", found.stress_mpa);
        assert!((found.stress_mpa / 68.95 - 1.0).abs() < 0.03);
        // 110 MPa are borne by 38.1 · 66.97 / 110 = 23.2 mm.
        assert!((found.width_needed_mm - 23.196).abs() < 0.01);
        assert!((found.safety.unwrap() - 110.0 / 66.97).abs() < 1e-3);
        let planet = Toothed { wheel: WheelKind::Planet, ..wheel };
        let bent_both_ways = ToothBending::of(&planet, &body, 1623.6 * 1.52, 1.0);
        assert!((bent_both_ways.allowable_mpa - 77.0).abs() < 1e-9);
    }

    /// Lewis' factor from the true outline, the slow and plain way: load normal to the flank
    /// at the tip, cut at every height below it; Y is the least s² / 6 h over all cuts, with
    /// F_t at the reference circle: the bending part of F_n = F_t / cos α is F_n cos γ.
    fn lewis(outline: &Outline, alpha: f64) -> f64 {
        let sign = if outline.root < outline.tip { 1.0 } else { -1.0 };
        let half = outline.points.len() / 2;
        let tip = outline.points[..=half]
            .iter()
            .filter(|p| (p[0].hypot(p[1]) - outline.tip).abs() < 1e-6)
            .map(|p| (p[1].abs() / p[0]).atan())
            .fold(0.0, f64::max);
        // The flank's normal at the tip touches the base circle: it crosses the tooth's
        // axis at r_b / cos γ, leaning by γ from the tangential direction.
        let gamma = (outline.base / outline.tip).acos() - sign * tip;
        let crossing = outline.base / gamma.cos();
        let weakest = outline
            .points
            .iter()
            .filter_map(|p| {
                let arm = sign * (crossing - p[0]);
                (arm > 0.0).then(|| (2.0 * p[1]).powi(2) / (6.0 * arm))
            })
            .fold(f64::INFINITY, f64::min);
        weakest * alpha.cos() / gamma.cos()
    }

    const FINE: Finish = Finish { backlash: 0.0, tip_rounding: 0.0, chord: 1e-4 };

    /// The formula against true outlines that are not undercut: near them at 20°, a little
    /// above at 14.5°, well below at 25°.
    #[test]
    fn true_outlines_bear_the_formula_out() {
        for (angle, least, most) in [(14.5f64, 1.0, 1.08), (20.0, 0.9, 1.06), (25.0, 0.75, 1.03)] {
            let mut seen = 0;
            for teeth in [12u32, 14, 18, 20, 25, 30, 40, 60, 100] {
                for step in -5..=5 {
                    let shift = f64::from(step) / 10.0;
                    let data =
                        GearData { pressure_angle: angle, ..GearData::external(teeth, shift) };
                    let outline = Outline::external(&data, &FINE);
                    let Some(outline) = outline.filter(|outline| !outline.undercut) else {
                        continue;
                    };
                    let truth = lewis(&outline, angle.to_radians());
                    let over = form_factor(f64::from(teeth), shift, angle) / truth;
                    assert!((least..most).contains(&over), "{angle}° {teeth} {shift}: {over}");
                    seen += 1;
                }
            }
            assert!(seen > 30, "{angle}°: {seen}");
        }
    }

    /// The same of rings whose flank is an involute all the way.
    #[test]
    fn true_rings_bear_their_formula_out() {
        let mut seen = 0;
        for teeth in [40u32, 50, 66, 80, 110] {
            for step in -5..=5 {
                let shift = f64::from(step) / 10.0;
                let outline = Outline::internal(&GearData::internal(teeth, shift), &FINE).unwrap();
                if outline.tip < outline.base {
                    continue;
                }
                let truth = lewis(&outline, 20f64.to_radians());
                let over = ring_form_factor(f64::from(teeth), shift) / truth;
                assert!((0.95..1.03).contains(&over), "{teeth} {shift}: {over}");
                seen += 1;
            }
        }
        assert!(seen > 40, "{seen}");
    }
}
