//! Geometry of involute gears and of one mesh, in modules: base and tip circles, undercut,
//! tip thickness, contact ratio, and the three interferences of a planet in a ring.
//!
//! Knows nothing of sets, numbers of planets or limits. Lengths are in modules, angles in
//! radians. A shift x is positive where the tooth flank moves away from the wheel's axis,
//! for rings too, so that a planet and a ring of equal shift mesh at the standard centre
//! distance. Sources: ISO 21771 (geometry), ISO 53 (basic rack), SDP/SI metric gear
//! handbook D785 (internal gears).

use std::f64::consts::PI;

/// Clearance between a tip and the opposite root in modules: ISO 53, basic rack A.
pub(super) const CLEARANCE: f64 = 0.25;

/// inv α = tan α − α, the involute function (ISO 21771).
pub(super) fn inv(angle: f64) -> f64 {
    angle.tan() - angle
}

/// acos that reads a rounding error or an impossible triangle as the nearest end.
fn acos(cosine: f64) -> f64 {
    cosine.clamp(-1.0, 1.0).acos()
}

/// The basic rack: pressure angle α and addendum h_a, with what follows from them.
#[derive(Clone, Copy, Debug)]
pub(super) struct Rack {
    /// h_a in modules.
    pub addendum: f64,
    /// sin α.
    pub sin: f64,
    /// cos α.
    pub cos: f64,
    /// tan α.
    pub tan: f64,
    /// inv α.
    pub inv: f64,
}

impl Rack {
    /// A rack of pressure angle `degrees` and `addendum` in modules.
    pub fn new(degrees: f64, addendum: f64) -> Self {
        let alpha = degrees.to_radians();
        let (sin, cos) = alpha.sin_cos();
        Self { addendum, sin, cos, tan: alpha.tan(), inv: inv(alpha) }
    }

    /// Teeth below which an unshifted gear is undercut: z = 2 h_a / sin²α, 17.1 at 20°.
    ///
    /// Source: ISO 21771; D785. Breaks when the tool is not a rack: a pinion-shaped
    /// cutter undercuts slightly later.
    pub fn undercut_teeth(&self) -> f64 {
        2.0 * self.addendum / (self.sin * self.sin)
    }

    /// Smallest shift that avoids undercut: x = h_a − z sin²α / 2, which at 20° is the
    /// usual (17.1 − z) / 17.1. Source and limits as for [`Rack::undercut_teeth`].
    pub fn undercut_shift(&self, teeth: f64) -> f64 {
        self.addendum - teeth * self.sin * self.sin / 2.0
    }

    /// Working pressure angle α_w of a mesh: cos α_w = a₀ cos α / a with the standard
    /// centre distance a₀ and the working one a. `None` where a is below a₀ cos α: the
    /// base circles then leave no common tangent. Source: ISO 21771.
    pub fn working_angle(&self, standard: f64, centre: f64) -> Option<f64> {
        let cosine = standard * self.cos / centre;
        (cosine > 0.0 && cosine <= 1.0).then(|| cosine.acos())
    }

    /// Sum of shifts (external mesh, x₁ + x₂) or ring's minus planet's (internal) that
    /// makes a mesh of standard centre distance a₀ free of backlash at a:
    /// 2 a₀ (inv α_w − inv α) / (2 tan α). `None` as for [`Rack::working_angle`].
    ///
    /// Source: ISO 21771; D785. Breaks when backlash is wanted by shift: thin the teeth
    /// instead.
    pub fn shift_for(&self, standard: f64, centre: f64) -> Option<f64> {
        let angle = self.working_angle(standard, centre)?;
        Some(standard * (inv(angle) - self.inv) / self.tan)
    }

    /// The centre distance at which an external mesh of standard distance `standard` and
    /// sum of shifts `sum` is free of backlash: the inverse of [`Rack::shift_for`], by
    /// bisection. Sums beyond those of working angles 0° to 60° are met by these ends.
    pub fn centre_for(&self, standard: f64, sum: f64) -> f64 {
        let wanted = self.inv + sum * self.tan / standard;
        let (mut low, mut high) = (0.0, std::f64::consts::FRAC_PI_3);
        for _ in 0..60 {
            let middle = (low + high) / 2.0;
            if inv(middle) < wanted {
                low = middle;
            } else {
                high = middle;
            }
        }
        if sum == 0.0 { standard } else { standard * self.cos / low.cos() }
    }
}

/// One toothed wheel: teeth z, shift x and tip radius r_a in modules.
#[derive(Clone, Copy, Debug)]
pub(super) struct Wheel {
    pub teeth: f64,
    pub shift: f64,
    pub tip: f64,
}

impl Wheel {
    /// Base radius r_b = z cos α / 2.
    pub fn base(&self, rack: &Rack) -> f64 {
        self.teeth / 2.0 * rack.cos
    }

    /// Pressure angle at the tip circle, cos α_a = r_b / r_a; 0 where the tip lies inside
    /// the base circle (only a ring's can).
    fn tip_angle(&self, rack: &Rack) -> f64 {
        acos(self.base(rack) / self.tip)
    }

    /// Length of the involute's generating line from base to tip: √(r_a² − r_b²).
    pub fn reach(&self, rack: &Rack) -> f64 {
        let base = self.base(rack);
        (self.tip * self.tip - base * base).max(0.0).sqrt()
    }

    /// Tooth thickness at the tip of an external gear in modules:
    /// s_a = 2 r_a (π/2z + 2x tan α / z + inv α − inv α_a).
    ///
    /// Source: ISO 21771. Negative where the flanks meet below the tip circle: the tooth
    /// is pointed before it is full. Breaks on rings, see [`Wheel::ring_tip_thickness`].
    pub fn tip_thickness(&self, rack: &Rack) -> f64 {
        let half = PI / 2.0 + 2.0 * self.shift * rack.tan;
        2.0 * self.tip * (half / self.teeth + rack.inv - inv(self.tip_angle(rack)))
    }

    /// Tooth thickness at the tip of a ring, in modules: the space of a ring is shaped as
    /// the tooth of an external gear, s_a = 2 r_a (π/2z − 2x tan α / z − inv α + inv α_a).
    ///
    /// Source: ISO 21771. Breaks when the tip lies inside the base circle, where no
    /// involute is (α_a = 0 is used there).
    pub fn ring_tip_thickness(&self, rack: &Rack) -> f64 {
        let half = PI / 2.0 - 2.0 * self.shift * rack.tan;
        2.0 * self.tip * (half / self.teeth - rack.inv + inv(self.tip_angle(rack)))
    }
}

/// Contact ratio of two external gears at centre distance a:
/// ε = (√(r_a1² − r_b1²) + √(r_a2² − r_b2²) − a sin α_w) / (π cos α).
///
/// Source: ISO 21771; D785. 0 where the base circles leave no common tangent. Breaks when
/// a tip reaches past the other wheel's base circle point (undercut): ε is then less.
pub(super) fn external_contact_ratio(rack: &Rack, one: &Wheel, two: &Wheel, centre: f64) -> f64 {
    let standard = (one.teeth + two.teeth) / 2.0;
    let Some(angle) = rack.working_angle(standard, centre) else { return 0.0 };
    let path = one.reach(rack) + two.reach(rack) - centre * angle.sin();
    path / (PI * rack.cos)
}

/// A planet (wheel 1) in a ring (wheel 2) at centre distance a, with the angles that the
/// interference formulas share.
#[derive(Clone, Copy, Debug)]
pub(super) struct InternalMesh {
    planet: Wheel,
    ring: Wheel,
    centre: f64,
    /// α_w; `None` where the base circles leave no common tangent.
    working: Option<f64>,
    planet_tip_angle: f64,
    ring_tip_angle: f64,
}

impl InternalMesh {
    /// The mesh of `planet` in `ring`, whose axes are `centre` modules apart.
    pub fn new(rack: &Rack, planet: Wheel, ring: Wheel, centre: f64) -> Self {
        let working = rack.working_angle((ring.teeth - planet.teeth) / 2.0, centre);
        let (planet_tip_angle, ring_tip_angle) = (planet.tip_angle(rack), ring.tip_angle(rack));
        Self { planet, ring, centre, working, planet_tip_angle, ring_tip_angle }
    }

    /// Involute interference: the ring's tip must not touch the planet inside its base
    /// circle. Returns (z₁/z₂, 1 − tan α_a2 / tan α_w); free when the first is at least
    /// the second.
    ///
    /// Source: D785, internal gears. Breaks when the ring's tip lies inside the ring's
    /// base circle (α_a2 = 0 makes the bound 1, which no planet meets), and when the
    /// planet is cut by a rack that leaves a high fillet: its involute then starts above
    /// the base circle, and a mesh close to the bound wants a relieved ring tip.
    pub fn involute(&self) -> (f64, f64) {
        let found = self.planet.teeth / self.ring.teeth;
        let bound =
            self.working.map_or(f64::INFINITY, |w| 1.0 - self.ring_tip_angle.tan() / w.tan());
        (found, bound)
    }

    /// Trochoid interference: where planet and ring leave mesh, the tips must pass each
    /// other. Returns (θ₁ z₁/z₂ + inv α_w − inv α_a2, θ₂) in radians with
    /// θ₁ = acos((r_a2² − r_a1² − a²) / 2 a r_a1) + inv α_a1 − inv α_w and
    /// θ₂ = acos((a² + r_a2² − r_a1²) / 2 a r_a2); free when the first is at least the
    /// second. For standard 20° gears that is so when z₂ − z₁ > 9.
    ///
    /// Source: D785, internal gears. Breaks when the tip circles do not cross (no mesh
    /// at all): the arcs are then taken as 0 or π.
    pub fn trochoid(&self) -> (f64, f64) {
        let Some(working) = self.working else { return (0.0, f64::INFINITY) };
        let (r1, r2, a) = (self.planet.tip, self.ring.tip, self.centre);
        let crossing = acos((r2 * r2 - r1 * r1 - a * a) / (2.0 * a * r1));
        let planet = crossing + inv(self.planet_tip_angle) - inv(working);
        let ring = acos((a * a + r2 * r2 - r1 * r1) / (2.0 * a * r2));
        let found = planet * self.planet.teeth / self.ring.teeth;
        (found + inv(working) - inv(self.ring_tip_angle), ring)
    }

    /// Trimming: a planet that goes into the ring radially must not foul its tips.
    /// Returns (θ₁ + inv α_a1 − inv α_w, (θ₂ + inv α_a2 − inv α_w) z₂/z₁) in radians with
    /// sin²θ₁ = (1 − (cos α_a1 / cos α_a2)²) / (1 − (z₁/z₂)²) and
    /// sin²θ₂ = ((cos α_a2 / cos α_a1)² − 1) / ((z₂/z₁)² − 1); free when the first is at
    /// least the second. For standard 20° gears that needs z₂ − z₁ of about 17 (the
    /// tables' 18 is for a cutter, whose tip is longer).
    ///
    /// Source: D785, internal gears. Breaks when a sine leaves 0..1, as for planets nearly
    /// as large as their ring: reported as fouling.
    pub fn trimming(&self) -> (f64, f64) {
        let fouls = (0.0, f64::INFINITY);
        let Some(working) = self.working else { return fouls };
        let tips = (self.planet_tip_angle.cos() / self.ring_tip_angle.cos()).powi(2);
        let teeth = (self.planet.teeth / self.ring.teeth).powi(2);
        let planet = (1.0 - tips) / (1.0 - teeth);
        let ring = (1.0 / tips - 1.0) / (1.0 / teeth - 1.0);
        if !(0.0..=1.0).contains(&planet) || !(0.0..=1.0).contains(&ring) {
            return fouls;
        }
        let found = planet.sqrt().asin() + inv(self.planet_tip_angle) - inv(working);
        let bound = ring.sqrt().asin() + inv(self.ring_tip_angle) - inv(working);
        (found, bound * self.ring.teeth / self.planet.teeth)
    }

    /// Contact ratio ε = (√(r_a1² − r_b1²) − √(r_a2² − r_b2²) + a sin α_w) / (π cos α).
    ///
    /// Source: ISO 21771; D785. Breaks as [`external_contact_ratio`] does.
    pub fn contact_ratio(&self, rack: &Rack) -> f64 {
        let Some(working) = self.working else { return 0.0 };
        let path = self.planet.reach(rack) - self.ring.reach(rack) + self.centre * working.sin();
        path / (PI * rack.cos)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rack() -> Rack {
        Rack::new(20.0, 1.0)
    }

    fn external(teeth: f64, shift: f64) -> Wheel {
        Wheel { teeth, shift, tip: teeth / 2.0 + 1.0 + shift }
    }

    fn internal(planet: u32, ring: u32) -> InternalMesh {
        let (z1, z2) = (f64::from(planet), f64::from(ring));
        let ring = Wheel { teeth: z2, shift: 0.0, tip: z2 / 2.0 - 1.0 };
        InternalMesh::new(&rack(), external(z1, 0.0), ring, (z2 - z1) / 2.0)
    }

    #[test]
    fn undercut_begins_below_17_1_teeth() {
        assert!((rack().undercut_teeth() - 17.097).abs() < 1e-3);
        // The textbook form (17.1 − z) / 17.1.
        for teeth in [8.0, 12.0, 16.0] {
            let textbook = (17.097 - teeth) / 17.097;
            assert!((rack().undercut_shift(teeth) - textbook).abs() < 1e-4);
        }
    }

    /// D785, worked example of a shifted external pair: module 3, 12 and 24 teeth,
    /// centre distance 56.4999 mm, x₁ + x₂ = 0.96, α_w = 26.0886°.
    #[test]
    fn shifts_of_a_worked_external_pair() {
        let centre = 56.4999 / 3.0;
        let angle = rack().working_angle(18.0, centre).unwrap();
        assert!((angle.to_degrees() - 26.0886).abs() < 1e-3);
        assert!((rack().shift_for(18.0, centre).unwrap() - 0.96).abs() < 1e-4);
        assert!((rack().centre_for(18.0, 0.96) - centre).abs() < 1e-4);
    }

    /// D785, worked example of a shifted internal pair: module 3, 16 and 24 teeth,
    /// centre distance 13.1683 mm, x₂ − x₁ = 0.5, α_w = 31.0937°.
    #[test]
    fn shifts_of_a_worked_internal_pair() {
        let centre = 13.1683 / 3.0;
        let angle = rack().working_angle(4.0, centre).unwrap();
        assert!((angle.to_degrees() - 31.0937).abs() < 1e-3);
        assert!((rack().shift_for(4.0, centre).unwrap() - 0.5).abs() < 1e-4);
        assert_eq!(rack().working_angle(4.0, 3.0), None);
    }

    /// D785, worked example of a crest width: module 2, 16 teeth, x = 0.3, tip diameter
    /// 37.2 mm: s_a = 1.03762 mm.
    #[test]
    fn crest_of_a_worked_gear() {
        let thickness = external(16.0, 0.3).tip_thickness(&rack());
        assert!((2.0 * thickness - 1.03762).abs() < 1e-5);
    }

    /// The unshifted planets that just clear involute interference: 24 teeth in a ring of
    /// 40, 22 in 50, 19 in 100 (tables of D785 for 20° gears).
    #[test]
    fn smallest_planets_free_of_involute_interference() {
        for (ring, least) in [(40, 24), (50, 22), (100, 19)] {
            let free = |planet| {
                let (found, bound) = internal(planet, ring).involute();
                found >= bound
            };
            assert_eq!((5..ring).find(|&planet| free(planet)), Some(least));
        }
    }

    #[test]
    fn trochoid_is_clear_when_the_ring_has_ten_teeth_more() {
        for planet in 25..80 {
            let (found, bound) = internal(planet, planet + 10).trochoid();
            assert!(found >= bound, "planet {planet}");
            let (found, bound) = internal(planet, planet + 7).trochoid();
            assert!(found < bound, "planet {planet}");
        }
    }

    #[test]
    fn trimming_needs_about_eighteen_teeth_of_difference() {
        for planet in 20..60 {
            let (found, bound) = internal(planet, planet + 18).trimming();
            assert!(found >= bound, "planet {planet}");
            for difference in [1, 3, 9, 14, 15] {
                let (found, bound) = internal(planet, planet + difference).trimming();
                assert!(found < bound, "planet {planet} in {}", planet + difference);
            }
        }
    }

    /// Two racks touch over ε = 4 h_a / (π sin 2α) = 1.981 pitches; their crest is
    /// π/2 − 2 h_a tan α wide. Large wheels come close to both.
    #[test]
    fn large_wheels_approach_the_rack() {
        let wheel = external(1e6, 0.0);
        assert!((external_contact_ratio(&rack(), &wheel, &wheel, 1e6) - 1.981).abs() < 1e-3);
        assert!((wheel.tip_thickness(&rack()) - (PI / 2.0 - 2.0 * rack().tan)).abs() < 1e-3);
        let ring = Wheel { teeth: 1e6, shift: 0.0, tip: 0.5e6 - 1.0 };
        assert!((ring.ring_tip_thickness(&rack()) - (PI / 2.0 - 2.0 * rack().tan)).abs() < 1e-3);
        let mesh = InternalMesh::new(&rack(), external(5e5, 0.0), ring, 2.5e5);
        assert!((mesh.contact_ratio(&rack()) - 1.981).abs() < 1e-3);
    }
}
