//! Space: what goes between a planet's teeth and its pin.

use super::materials::PlainBore;

/// Wall of a planet under its tooth roots, in modules: a cautious assumption; thinner rims
/// bend, and Lewis' formula no longer holds.
const RIM: f64 = 1.5;
/// Root below the reference circle in modules: addendum 1 and clearance 0.25 of ISO 53.
const DEDENDUM: f64 = 1.25;

/// What a planet turns on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum BearingKind {
    /// The bored planet itself on the pin.
    Plain,
    /// A bronze bush pressed into the planet.
    Bush,
    /// A needle cage between planet and pin, both hardened.
    Needle,
}

impl BearingKind {
    /// As written in reports.
    pub fn word(self) -> &'static str {
        match self {
            Self::Plain => "plain bore",
            Self::Bush => "bronze bush",
            Self::Needle => "needle cage",
        }
    }

    /// Radial room that it takes on a pin of `diameter` mm, in mm: a bush 1 mm to 20 mm
    /// diameter, 1.5 to 28, 2 to 45, 2.5 above; a needle cage 1.5 to 12, 2 to 25, 2.5 to
    /// 45, 4 above.
    ///
    /// Source: usual walls of rolled bushes (ISO 3547-1) and usual heights of needle cages
    /// (ISO 3030), rounded; look the size up before anything is made.
    fn wall_mm(self, diameter: f64) -> f64 {
        let steps: [(f64, f64); 4] = match self {
            Self::Plain => return 0.0,
            Self::Bush => [(20.0, 1.0), (28.0, 1.5), (45.0, 2.0), (f64::INFINITY, 2.5)],
            Self::Needle => [(12.0, 1.5), (25.0, 2.0), (45.0, 2.5), (f64::INFINITY, 4.0)],
        };
        steps.iter().find(|(most, _)| diameter <= *most).map_or(0.0, |(_, wall)| *wall)
    }
}

/// A bronze bush, sintered and soaked with oil. Source: first estimate, the pressure,
/// pv value and speed usually allowed such bushes on a hardened pin; the pressure halved.
const BRONZE: PlainBore = PlainBore { pressure_mpa: 10.0, pv_mpa_m_s: 1.7, speed_m_s: 4.0 };

/// How one kind of bearing serves a planet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bearing {
    pub kind: BearingKind,
    /// Radial room that it takes in mm.
    pub wall_mm: f64,
    /// Whether there is that room between pin and rim.
    pub fits: bool,
    /// What it bears; a needle cage is rated by its maker, not here.
    pub limit: Option<PlainBore>,
    /// Whether pressure, speed and their product keep the limit; `None` as for `limit`.
    pub holds: Option<bool>,
}

/// Radial room in mm between a planet's pin and the wall under its teeth:
/// m (z/2 + x − 1.25 − 1.5) − d/2. Negative where the pin itself is too thick.
///
/// Source: ISO 53 (dedendum); the rim of 1.5 modules is a cautious assumption.
pub fn radial_room(teeth: f64, shift: f64, module_mm: f64, pin_mm: f64) -> f64 {
    module_mm * (teeth / 2.0 + shift - DEDENDUM - RIM) - pin_mm / 2.0
}

/// How a planet of bore figures `own` may turn on a pin of `diameter` mm with `room` mm
/// round it, under `pressure` in MPa and sliding at `speed` in m/s.
pub(super) fn bearings(
    own: PlainBore,
    diameter: f64,
    room: f64,
    pressure: f64,
    speed: f64,
) -> [Bearing; 3] {
    [BearingKind::Plain, BearingKind::Bush, BearingKind::Needle].map(|kind| {
        let wall_mm = kind.wall_mm(diameter);
        let limit = match kind {
            BearingKind::Plain => Some(own),
            BearingKind::Bush => Some(BRONZE),
            BearingKind::Needle => None,
        };
        let holds = limit.map(|limit| {
            pressure <= limit.pressure_mpa * (1.0 + 1e-9)
                && speed <= limit.speed_m_s
                && pressure * speed <= limit.pv_mpa_m_s
        });
        Bearing { kind, wall_mm, fits: room >= wall_mm, limit, holds }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 18 teeth of module 1.5, pin 8 mm: 1.5 · (9 − 2.75) − 4 = 5.375 mm.
    #[test]
    fn room_by_longhand() {
        assert!((radial_room(18.0, 0.0, 1.5, 8.0) - 5.375).abs() < 1e-12);
        assert!((radial_room(18.0, 0.2, 1.5, 8.0) - 5.675).abs() < 1e-12);
        assert!(radial_room(10.0, 0.0, 1.0, 6.0) < 0.0);
    }

    #[test]
    fn what_fits_and_what_holds() {
        let own = PlainBore { pressure_mpa: 5.0, pv_mpa_m_s: 0.1, speed_m_s: 0.8 };
        // 1.2 mm of room take a bush of 1 mm, no cage of 1.5 mm; 4 MPa at 0.1 m/s are
        // 0.4 MPa m/s: too hot for the bore itself, well for bronze.
        let found = bearings(own, 8.0, 1.2, 4.0, 0.1);
        assert_eq!(found.map(|bearing| bearing.fits), [true, true, false]);
        assert_eq!(found.map(|bearing| bearing.holds), [Some(false), Some(true), None]);
        assert_eq!(bearings(own, 8.0, -0.1, 4.0, 0.01).map(|b| b.fits), [false; 3]);
        assert_eq!(bearings(own, 8.0, 9.0, 4.0, 0.02)[0].holds, Some(true));
        assert_eq!(bearings(own, 8.0, 9.0, 6.0, 0.0)[0].holds, Some(false));
        // Walls grow with the pin.
        for kind in [BearingKind::Bush, BearingKind::Needle] {
            let walls = [5.0, 20.0, 26.0, 40.0, 60.0].map(|d| kind.wall_mm(d));
            assert!(walls.is_sorted(), "{walls:?}");
        }
    }
}
