//! Pressure of flank on flank by Hertz' formula, at the pitch point.

use std::f64::consts::PI;

use super::body::SetBody;
use super::materials::Material;
use super::meshes::MeshGeometry;

/// The flanks of one mesh.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FlankContact {
    /// d₁, the smaller wheel's reference diameter in mm.
    pub diameter_mm: f64,
    /// u, teeth of the larger wheel over those of the smaller.
    pub ratio: f64,
    /// Whether one wheel is a ring, so that hollow meets round.
    pub internal: bool,
    /// Z_E in √MPa; see [`elasticity_factor`].
    pub elasticity: f64,
    /// Z_H; see [`zone_factor`].
    pub zone: f64,
    /// σ_H in MPa; see [`contact_stress`].
    pub stress_mpa: f64,
    /// What the weaker of both materials bears in MPa.
    pub allowable_mpa: f64,
    /// The weaker material.
    pub material: &'static Material,
    /// Allowable over stress; `None` where nothing loads the flanks.
    pub safety: Option<f64>,
    /// Face width at which the safety is the one asked for, in mm.
    pub width_needed_mm: f64,
}

impl FlankContact {
    /// The flanks of `mesh` under `force` (with K_A and K_v, in N), asked for `safety`.
    pub(super) fn of(
        mesh: &MeshGeometry,
        body: &SetBody,
        alpha: f64,
        force: f64,
        safety: f64,
    ) -> Self {
        let [one, two] = mesh.wheels.map(|wheel| wheel.material);
        let (smaller, ratio) = mesh.ratio();
        let (diameter, internal) = (body.module_mm * smaller, mesh.internal());
        let (elasticity, zone) = (elasticity_factor(one, two), zone_factor(alpha, mesh.working));
        let factors = elasticity * zone;
        let stress = contact_stress(force, body.width_mm, diameter, ratio, internal, factors);
        let material = if one.contact_mpa <= two.contact_mpa { one } else { two };
        let allowable = material.contact_mpa;
        let excess =
            contact_stress(force, 1.0, diameter, ratio, internal, factors) * safety / allowable;
        Self {
            diameter_mm: diameter,
            ratio,
            internal,
            elasticity,
            zone,
            stress_mpa: stress,
            allowable_mpa: allowable,
            material,
            safety: (stress > 0.0).then(|| allowable / stress),
            // Stress falls as 1 / √b.
            width_needed_mm: excess * excess,
        }
    }
}

/// σ_H = Z_E Z_H √(F_t K (u ± 1) / (b d₁ u)) in MPa, minus for a planet in a ring; `factors`
/// is Z_E Z_H, `force` holds all factors K, lengths in mm.
///
/// Source: H. Hertz (1881) for two cylinders of the flanks' radii at the pitch point, in the
/// form and letters of ISO 6336-2 with all its further factors 1. One pair of teeth carries
/// all, which is on the safe side. Breaks for pinions of few teeth, whose flanks bear more
/// at the inner end of single contact, and for plastics far from small strains.
pub fn contact_stress(
    force: f64,
    width: f64,
    diameter: f64,
    ratio: f64,
    internal: bool,
    factors: f64,
) -> f64 {
    let round = if internal { ratio - 1.0 } else { ratio + 1.0 };
    factors * (force * round / (width * diameter * ratio)).sqrt()
}

/// Z_E = √(1 / (π ((1 − ν₁²) / E₁ + (1 − ν₂²) / E₂))) in √MPa: 189.8 for steel on steel.
///
/// Source: ISO 6336-2, from Hertz. Breaks where elasticity depends on heat and time, as that
/// of plastics does.
pub fn elasticity_factor(one: &Material, two: &Material) -> f64 {
    let soft = |m: &Material| (1.0 - m.poisson * m.poisson) / m.elastic_mpa;
    (1.0 / (PI * (soft(one) + soft(two)))).sqrt()
}

/// Z_H = √(2 cos α_w / (cos² α sin α_w)) of spur wheels: 2.495 unshifted at 20°; angles in
/// radians. Source: ISO 6336-2.
pub fn zone_factor(alpha: f64, working: f64) -> f64 {
    (2.0 * working.cos() / (alpha.cos().powi(2) * working.sin())).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::strength::materials::Family;
    use proptest::prelude::*;

    fn elastic(elastic_mpa: f64, poisson: f64) -> Material {
        Material { elastic_mpa, poisson, ..*Material::find("mild-steel").unwrap() }
    }

    #[test]
    fn factors_of_steel_at_twenty_degrees() {
        let steel = Material::find("case-hardened-steel").unwrap();
        assert_eq!(steel.family, Family::Steel);
        // √(206000 / (2 π 0.91)) = 189.8; ISO 6336-2 has 189.8 too.
        assert!((elasticity_factor(steel, steel) - 189.8).abs() < 0.05);
        // 2 cos 20° / (cos² 20° sin 20°) = 1.87939 / (0.88302 · 0.34202) = 6.2229.
        let alpha = 20f64.to_radians();
        assert!((zone_factor(alpha, alpha) - 2.4946).abs() < 1e-3);
    }

    /// A worked pair (J. E. Shigley, the surface durability example of the chapter on spur
    /// gears): steel of 30 Mpsi and 0.292 on cast iron of 14.5 Mpsi and 0.211, 16 and 50
    /// teeth of diametral pitch 8, 1.5 in wide, 382 lbf times 1.52: C_p = 1817 √psi,
    /// σ = 1817 √(1.52 · 382 / (1.5 cos 20°) · (1/0.342 + 1/1.069)) = 72.4 kpsi, which is
    /// 499 MPa.
    #[test]
    fn a_worked_pair() {
        let psi = 6.894757e-3;
        let (one, two) = (elastic(30e6 * psi, 0.292), elastic(14.5e6 * psi, 0.211));
        let elasticity = elasticity_factor(&one, &two);
        assert!((elasticity / psi.sqrt() - 1817.0).abs() < 2.0);
        let alpha = 20f64.to_radians();
        let factors = elasticity * zone_factor(alpha, alpha);
        let force = 382.0 * 1.52 * 4.448222;
        let stress = contact_stress(force, 38.1, 50.8, 50.0 / 16.0, false, factors);
        assert!((stress / psi - 72_400.0).abs() < 100.0, "{}", stress / psi);
    }

    proptest! {
        /// The plain oracle: two cylinders of the radii that the flanks have at the pitch
        /// point, r_w sin α_w, pressed by F_n (Hertz: p² = F_n / (π b ρ Σ(1 − ν²)/E)).
        #[test]
        fn two_cylinders(
            first in 12f64..80.0,
            more in 5f64..80.0,
            degrees in 15f64..30.0,
            farther in 1f64..1.04,
            internal in any::<bool>(),
            (force, width) in (1f64..1e4, 1f64..100.0),
        ) {
            let second = first + more;
            let alpha = degrees.to_radians();
            let working = (alpha.cos() / farther).acos();
            let steel = Material::find("mild-steel").unwrap();
            let brass = Material::find("brass").unwrap();
            let soft = (1.0 - 0.09) / 206_000.0 + (1.0 - 0.35 * 0.35) / 100_000.0;
            let radius = |diameter: f64| diameter / 2.0 * alpha.cos() / working.cos() * working.sin();
            let hollow = if internal { -1.0 } else { 1.0 };
            let curvature = 1.0 / radius(first) + hollow / radius(second);
            let expected = (force / alpha.cos() * curvature / (PI * width * soft)).sqrt();
            let factors = elasticity_factor(steel, brass) * zone_factor(alpha, working);
            let found = contact_stress(force, width, first, second / first, internal, factors);
            prop_assert!((found / expected - 1.0).abs() < 1e-9, "{} {}", found, expected);
        }
    }
}
