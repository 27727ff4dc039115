//! One planetary gear set: its kind and its teeth.

/// One planet, or two in series, between sun and ring.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SetKind {
    Single,
    Paired,
}

impl SetKind {
    /// As written in files.
    pub fn word(self) -> &'static str {
        match self {
            Self::Single => "single",
            Self::Paired => "paired",
        }
    }
}

/// One planetary gear set with whole teeth. The ring has more teeth than the sun.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct GearSet {
    pub kind: SetKind,
    /// Z_S.
    pub sun: u32,
    /// Z_R, above Z_S.
    pub ring: u32,
    /// Z_P of the planet (paired: of the inner one), where it is known.
    pub planet: Option<u32>,
    /// Z_P of the outer planet of a paired set, where it is known.
    pub outer_planet: Option<u32>,
    /// Number of planets (paired: of pairs), where it is known.
    pub planets: Option<u32>,
}

impl GearSet {
    /// A single set whose planet fills the gap: Z_P = ⌊(Z_R − Z_S) / 2⌋. Where the
    /// difference is odd, this planet needs a profile shift; where there is no gap, there
    /// is no planet.
    pub fn single(sun: u32, ring: u32) -> Self {
        let planet = Some(ring.saturating_sub(sun) / 2).filter(|&teeth| teeth > 0);
        let kind = SetKind::Single;
        Self { kind, sun, ring, planet, outer_planet: None, planets: None }
    }

    /// A paired set; its planets are not determined by sun and ring alone.
    pub fn paired(sun: u32, ring: u32) -> Self {
        let kind = SetKind::Paired;
        Self { kind, sun, ring, planet: None, outer_planet: None, planets: None }
    }

    /// ρ = Z_R / Z_S as a float.
    pub fn base_ratio(&self) -> f64 {
        f64::from(self.ring) / f64::from(self.sun)
    }

    /// Coefficients `[S, R, C]` of the set's speed equation, which sum to zero:
    /// single Z_S ω_S + Z_R ω_R − (Z_S + Z_R) ω_C = 0,
    /// paired −Z_S ω_S + Z_R ω_R − (Z_R − Z_S) ω_C = 0.
    ///
    /// Source: R. Willis, Principles of Mechanism (1841); the same row, read as torques,
    /// gives T_S : T_R : T_C of the lossless set, because the speed equation holds for
    /// every motion and the power of the three torques vanishes in every motion.
    pub fn willis(&self) -> [i64; 3] {
        let (sun, ring) = (i64::from(self.sun), i64::from(self.ring));
        match self.kind {
            SetKind::Single => [sun, ring, -(sun + ring)],
            SetKind::Paired => [-sun, ring, sun - ring],
        }
    }

    /// Coefficients `[S, R, C]` of the lossless member torques for sun torque `Z_S`:
    /// T_S : T_R : T_C = 1 : −i₀ : i₀ − 1 with i₀ = −ρ (single), +ρ (paired).
    pub fn torques(&self) -> [i64; 3] {
        let (sun, ring) = (i64::from(self.sun), i64::from(self.ring));
        match self.kind {
            SetKind::Single => [sun, ring, -(sun + ring)],
            SetKind::Paired => [sun, -ring, ring - sun],
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_ring_without_room_has_no_planet() {
        assert_eq!(GearSet::single(30, 66).planet, Some(18));
        assert_eq!(GearSet::single(30, 31).planet, None);
        assert_eq!(GearSet::single(66, 30).planet, None);
    }

    #[test]
    fn torques_balance_and_follow_the_speed_row() {
        for set in [GearSet::single(30, 66), GearSet::paired(30, 66)] {
            assert_eq!(set.torques().iter().sum::<i64>(), 0);
            assert_eq!(set.willis().iter().sum::<i64>(), 0);
            let (t, w) = (set.torques(), set.willis());
            assert_eq!(t[0] * w[1], t[1] * w[0]);
        }
    }
}
