//! The demand: how roughly a set is driven, how well it is made, what margin is asked.

use super::fault::{Fault, within};
use super::materials::{Family, Material};
use crate::teeth::places;
use crate::train::GearSet;

/// How teeth are made, which decides how much speed adds to their load.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Making {
    /// Shaved or ground.
    Ground,
    /// Hobbed or shaped.
    Hobbed,
    /// Cut tooth by tooth, or moulded.
    Milled,
    /// Cast or printed, not finished.
    Cast,
}

impl Making {
    /// As written in reports.
    pub fn word(self) -> &'static str {
        match self {
            Self::Ground => "ground",
            Self::Hobbed => "hobbed",
            Self::Milled => "milled",
            Self::Cast => "cast or printed",
        }
    }

    /// K_v, by how much speed raises the load of a tooth; v is the speed of the pitch line
    /// relative to the carrier in m/s. Barth's forms: cast (3.05 + v) / 3.05, milled
    /// (6.1 + v) / 6.1; of the same kind for better teeth: hobbed (3.56 + √v) / 3.56, ground
    /// √((5.56 + √v) / 5.56).
    ///
    /// Source: C. G. Barth's velocity factor in SI units as textbooks of machine elements
    /// give it (J. E. Shigley, Mechanical Engineering Design, chapter on spur gears). Breaks
    /// near resonance, and beyond about 10 m/s for cast, 20 m/s for cut teeth.
    pub fn velocity_factor(self, speed_m_s: f64) -> f64 {
        let v = speed_m_s.abs();
        match self {
            Self::Cast => (3.05 + v) / 3.05,
            Self::Milled => (6.1 + v) / 6.1,
            Self::Hobbed => (3.56 + v.sqrt()) / 3.56,
            Self::Ground => ((5.56 + v.sqrt()) / 5.56).sqrt(),
        }
    }

    /// How the teeth of a mesh are taken to be made where nobody says: as cast where a
    /// wheel is printed, else milled. A cautious assumption.
    fn usual(one: &Material, two: &Material) -> Self {
        let printed = [one, two].iter().any(|material| material.family == Family::Printed);
        if printed { Self::Cast } else { Self::Milled }
    }
}

/// What is asked of a set.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Demand {
    /// K_A, the application factor: 1 for steady running, 1.25 for light shocks, 1.5 for
    /// moderate, 1.75 and more for heavy ones. Source: the usual table of textbooks and of
    /// ISO 6336-6.
    pub application: f64,
    /// K_Hβ, the face load factor: how much more than the mean the most loaded part of the face
    /// bears, because shafts bend and plates are not square; 1 where it bears evenly. Source:
    /// ISO 6336-1, which finds it from the stiffness of everything; textbooks take 1.1 to 1.5
    /// for narrow faces carried on both sides.
    pub face_load: f64,
    /// K_γ, the largest share of a planet over the mean one; [`usual_sharing`] where `None`.
    pub sharing: Option<f64>,
    /// How all teeth are made; as cast where one of the two wheels is printed and else
    /// milled, where `None`.
    pub making: Option<Making>,
    /// Least allowable stress over stress, in bending and in contact; enters
    /// [`super::width_needed`]. 1 uses the material's figures up.
    pub safety: f64,
    /// Thickness of each wall of the carrier that a pin sits in, over the face width.
    pub wall: f64,
    /// Bending stress that a pin bears in MPa. 120 MPa is a fifth of the tensile strength
    /// of a plain steel pin of 600 MPa, the usual share of textbooks under pulsating load.
    pub pin_mpa: f64,
}

impl Default for Demand {
    fn default() -> Self {
        Self {
            application: 1.25,
            face_load: 1.0,
            sharing: None,
            making: None,
            safety: 1.0,
            wall: 0.3,
            pin_mpa: 120.0,
        }
    }
}

impl Demand {
    pub(super) fn check(&self) -> Result<(), Fault> {
        within("the application factor", self.application, 0.1, 100.0)?;
        within("the face load factor", self.face_load, 1.0, 100.0)?;
        if let Some(sharing) = self.sharing {
            within("the load sharing factor", sharing, 1.0, 1000.0)?;
        }
        within("the safety asked for", self.safety, 0.01, 100.0)?;
        within("the carrier's wall over the face width", self.wall, 0.0, 10.0)?;
        within("the stress allowed in a pin in MPa", self.pin_mpa, 0.1, 10_000.0)?;
        Ok(())
    }

    /// How the teeth of a mesh of these materials are made.
    pub(super) fn making(&self, one: &Material, two: &Material) -> Making {
        self.making.unwrap_or(Making::usual(one, two))
    }
}

/// K_γ as usual: how much more than the mean the most loaded planet carries.
///
/// 1 for one planet, 1.1 for two and three with a floating member, 1.25 for four, 1.5 for
/// more; unequally spaced planets, which a floating member cannot balance, count as if they
/// were one more. Source: usual values of textbooks; rules of classification societies
/// for ship gears take 1.0, 1.2, 1.3 and 1.4 for three, four, five and six planets, so these
/// are on the safe side of them. The step for unequal spacing is our own cautious assumption.
/// Breaks when three planets have no floating member: then it is more.
pub fn usual_sharing(set: &GearSet) -> f64 {
    let planets = set.planets.unwrap_or(3);
    let equal = planets > 0 && places(set).is_multiple_of(u64::from(planets));
    match planets.saturating_add(u32::from(!equal)) {
        0 | 1 => 1.0,
        2 | 3 => 1.1,
        4 => 1.25,
        _ => 1.5,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Shigley's worked pinion runs at 628 ft/min = 3.19 m/s: K_v = (1200 + 628) / 1200 =
    /// 1.52 milled. Hobbed in feet: (50 + √628) / 50 = 1.50; ground √((78 + √628) / 78) =
    /// 1.15; cast (600 + 628) / 600 = 2.05. The metric constants are rounded.
    #[test]
    fn velocity_factors_agree_in_feet_and_metres() {
        let v = 628.0 * 0.3048 / 60.0;
        let known = [
            (Making::Cast, 2.047),
            (Making::Milled, 1.523),
            (Making::Hobbed, 1.501),
            (Making::Ground, 1.149),
        ];
        for (making, factor) in known {
            assert!((making.velocity_factor(v) - factor).abs() < 2e-3, "{making:?}");
            assert_eq!(making.velocity_factor(0.0), 1.0);
            assert_eq!(making.velocity_factor(-v), making.velocity_factor(v));
        }
    }

    #[test]
    fn worse_teeth_suffer_more_from_speed() {
        let worse = [Making::Ground, Making::Hobbed, Making::Milled, Making::Cast];
        assert!(worse.is_sorted());
        for v in [4.0, 8.0, 20.0] {
            let factors = worse.map(|making| making.velocity_factor(v));
            assert!(factors.is_sorted(), "{v} {factors:?}");
        }
    }

    #[test]
    fn sharing_by_number_and_spacing() {
        let with = |planets| GearSet { planets, ..GearSet::single(30, 66) };
        let known = [(1, 1.0), (2, 1.1), (3, 1.1), (4, 1.25), (5, 1.5), (6, 1.5)];
        for (planets, factor) in known {
            assert_eq!(usual_sharing(&with(Some(planets))), factor, "{planets}");
        }
        assert_eq!(usual_sharing(&with(None)), 1.1);
        // 30 + 68 = 98 places: three planets stand unequally.
        let unequal = GearSet { planets: Some(3), ..GearSet::single(30, 68) };
        assert_eq!(usual_sharing(&unequal), 1.25);
    }
}
