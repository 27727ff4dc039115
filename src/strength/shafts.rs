//! Shafts, hubs and the walls of holes under torque.
//!
//! A torque gets from a shaft into a wheel or a plate in three places, each of which can give
//! way by itself: the shaft is twisted, the wall of the hub round the hole is sheared, and the
//! key, the pin or the flats press on the wall of the hole. Every torque here has the
//! application factor in it already.

use std::f64::consts::PI;

use super::materials::Material;

/// By how much a keyway, the groove of a pin along the joint or the inner corners of a hexagon
/// raise the stress beside them: 1 / 0.75.
///
/// Source: the code for transmission shafting of the American Society of Mechanical Engineers
/// (B17c, 1927) takes a quarter off the allowable stress where there is a keyway. A keyway with
/// sharp corners has up to 3 (R. E. Peterson; J. E. Shigley, Mechanical Engineering Design,
/// first estimates of notch factors).
pub const KEYWAY: f64 = 4.0 / 3.0;

/// W_t / s³ of a hexagon of s across its flats: the torque that it takes over its stress and
/// the cube of s. Source: Saint-Venant's torsion of a regular hexagon, as tables of section
/// moduli give it; a test solves it again.
const HEXAGON: f64 = 0.188;

/// A feather key (DIN 6885-1, form A): all in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Key {
    pub width: f64,
    pub height: f64,
    /// t₁, how deep its groove is in the shaft.
    pub in_shaft: f64,
    /// t₂, how deep its groove is in the hub.
    pub in_hub: f64,
}

/// Up to which diameter, width, height, t₁, t₂. Source: DIN 6885-1.
const KEYS: [[f64; 5]; 15] = [
    [8.0, 2.0, 2.0, 1.2, 1.0],
    [10.0, 3.0, 3.0, 1.8, 1.4],
    [12.0, 4.0, 4.0, 2.5, 1.8],
    [17.0, 5.0, 5.0, 3.0, 2.3],
    [22.0, 6.0, 6.0, 3.5, 2.8],
    [30.0, 8.0, 7.0, 4.0, 3.3],
    [38.0, 10.0, 8.0, 5.0, 3.3],
    [44.0, 12.0, 8.0, 5.0, 3.3],
    [50.0, 14.0, 9.0, 5.5, 3.8],
    [58.0, 16.0, 10.0, 6.0, 4.3],
    [65.0, 18.0, 11.0, 7.0, 4.4],
    [75.0, 20.0, 12.0, 7.5, 4.9],
    [85.0, 22.0, 14.0, 9.0, 5.4],
    [95.0, 25.0, 14.0, 9.0, 5.4],
    [110.0, 28.0, 16.0, 10.0, 6.4],
];
/// The thinnest shaft that has a key, in mm.
const THINNEST_KEYED: f64 = 6.0;

impl Key {
    /// The key of a shaft of `diameter` mm; `None` below 6 and above 110 mm.
    pub fn of(diameter: f64) -> Option<Self> {
        let row = KEYS.iter().find(|row| diameter <= row[0])?;
        let [_, width, height, in_shaft, in_hub] = *row;
        (diameter >= THINNEST_KEYED).then_some(Self { width, height, in_shaft, in_hub })
    }
}

/// What is twisted, and what shape its hole has.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ShaftForm {
    /// With a key, or below 6 and above 110 mm with a round pin of a fifth of its diameter along
    /// the joint, half in the shaft and half in the hub.
    Round {
        diameter_mm: f64,
    },
    Hexagon {
        flats_mm: f64,
    },
}

impl ShaftForm {
    /// Diameter or width across flats in mm.
    pub fn size_mm(self) -> f64 {
        match self {
            Self::Round { diameter_mm } => diameter_mm,
            Self::Hexagon { flats_mm } => flats_mm,
        }
    }

    /// Diameter in mm of the circle that the hole and its groove reach.
    pub fn reach_mm(self) -> f64 {
        match self {
            Self::Round { diameter_mm: d } => {
                d + 2.0 * Key::of(d).map_or(round_pin(d) / 2.0, |key| key.in_hub)
            }
            Self::Hexagon { flats_mm } => 2.0 * flats_mm / 3.0_f64.sqrt(),
        }
    }

    /// How shaft and hub are joined, such as `key 5 × 5`.
    pub fn joint(self) -> String {
        match self {
            Self::Round { diameter_mm: d } => match Key::of(d) {
                Some(key) => format!("key {} × {}", key.width, key.height),
                None => format!("round pin of {:.1} mm along the joint", round_pin(d)),
            },
            Self::Hexagon { .. } => "hexagon".to_owned(),
        }
    }

    /// Torsional stress in MPa under `torque` N m, no notch counted: 16 T / (π d³), of a hexagon
    /// T / (0.188 s³). Source: textbooks of strength of materials.
    pub fn torsion_mpa(self, torque: f64) -> f64 {
        match self {
            Self::Round { diameter_mm } => 16e3 * torque / (PI * diameter_mm.powi(3)),
            Self::Hexagon { flats_mm } => 1e3 * torque / (HEXAGON * flats_mm.powi(3)),
        }
    }

    /// What raises that stress: [`KEYWAY`] of a round shaft, whose groove it is; 1 of a hexagon,
    /// which has none.
    fn shaft_notch(self) -> f64 {
        if matches!(self, Self::Round { .. }) { KEYWAY } else { 1.0 }
    }

    /// Pressure in MPa on the wall of a hole `length` mm long under `torque` N m.
    ///
    /// Key: 2 T / (d t₂ l). Source: DIN 6892, method C, the key's height in the hub taken for
    /// what bears. Pin along the joint: 4 T / (d d_pin l), textbooks of machine elements.
    /// Hexagon: 6 T / (s² l); derived: on each of six flats s / √3 wide the pressure grows from
    /// none in the middle to p at one corner, so T = 6 · p l (s / (2 √3))² / 3 = p l s² / 6.
    pub fn wall_pressure_mpa(self, torque: f64, length: f64) -> f64 {
        let t = 1e3 * torque;
        match self {
            Self::Round { diameter_mm: d } => match Key::of(d) {
                Some(key) => 2.0 * t / (d * key.in_hub * length),
                None => 4.0 * t / (d * round_pin(d) * length),
            },
            Self::Hexagon { flats_mm } => 6.0 * t / (flats_mm * flats_mm * length),
        }
    }
}

/// The pin along the joint of a shaft of `diameter` mm.
fn round_pin(diameter: f64) -> f64 {
    diameter / 5.0
}

/// A hub on a shaft.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hub {
    pub form: ShaftForm,
    /// The largest torque in the shaft beside the hub, in N m.
    pub shaft_torque_nm: f64,
    /// What goes from the shaft into the hub, in N m.
    pub torque_nm: f64,
    /// How long the hole is, in mm.
    pub length_mm: f64,
    /// Diameter of a wheel's hub, its root circle, in mm; `None` of a plate, which is wide.
    pub outside_mm: Option<f64>,
    pub shaft: &'static Material,
    pub hub: &'static Material,
}

/// Where a hub on a shaft gives way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HubPlace {
    Shaft,
    /// The material round the hole, in shear.
    HubWall,
    /// The wall of the hole, under the key, the pin or the flats.
    HoleWall,
}

/// One of the three judgements of a hub.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Twisted {
    pub place: HubPlace,
    /// By which `stress_mpa` is raised over the plain formula.
    pub notch: f64,
    /// With the notch; infinite where no wall is left.
    pub stress_mpa: f64,
    pub allowable_mpa: f64,
    /// Allowable over stress; `None` where nothing loads it.
    pub safety: Option<f64>,
}

impl Twisted {
    fn new(place: HubPlace, notch: f64, plain: f64, allowable_mpa: f64) -> Self {
        let stress_mpa = notch * plain;
        let safety = (stress_mpa > 0.0).then(|| allowable_mpa / stress_mpa);
        Self { place, notch, stress_mpa, allowable_mpa, safety }
    }
}

impl Hub {
    /// Shaft, hub wall, hole wall.
    ///
    /// The wall of a wheel's hub is a hollow shaft between the circle that the hole reaches and
    /// the root circle, 16 T D / (π (D⁴ − d⁴)); that of a plate a cylinder round the hole as
    /// long as the plate is thick, 2 T / (π d² l); both with [`KEYWAY`]. Source: textbooks of
    /// strength of materials.
    pub fn judge(&self) -> [Twisted; 3] {
        let (form, length) = (self.form, self.length_mm);
        let (torque, inner) = (self.torque_nm.abs(), form.reach_mm());
        let wall = match self.outside_mm {
            Some(outer) if outer > inner => {
                16e3 * torque * outer / (PI * (outer.powi(4) - inner.powi(4)))
            }
            Some(_) => f64::INFINITY,
            None => 2e3 * torque / (PI * inner * inner * length),
        };
        let wall = if torque > 0.0 { wall } else { 0.0 };
        let twisted = form.torsion_mpa(self.shaft_torque_nm.abs());
        let pressed = form.wall_pressure_mpa(torque, length);
        let softer = self.shaft.wall_mpa().min(self.hub.wall_mpa());
        [
            Twisted::new(HubPlace::Shaft, form.shaft_notch(), twisted, self.shaft.torsion_mpa()),
            Twisted::new(HubPlace::HubWall, KEYWAY, wall, self.hub.torsion_mpa()),
            Twisted::new(HubPlace::HoleWall, 1.0, pressed, softer),
        ]
    }

    /// The least safety of the three; `None` where nothing loads it.
    pub fn safety(&self) -> Option<f64> {
        self.judge().iter().filter_map(|place| place.safety).reduce(f64::min)
    }
}

/// Diameters in mm in which round bars and pins are sold, rising. Source: preferred diameters of
/// ISO 2338 (pins) and of DIN 748 (shaft ends), what is common to drawn bars.
pub const SHAFTS: [f64; 34] = [
    2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 14.0, 15.0, 16.0, 18.0, 20.0, 22.0, 25.0, 28.0, 30.0,
    32.0, 35.0, 38.0, 40.0, 42.0, 45.0, 48.0, 50.0, 55.0, 60.0, 65.0, 70.0, 75.0, 80.0, 90.0,
    100.0, 110.0,
];

/// Widths across flats in mm in which hexagonal bars are sold, rising. Source: DIN 176.
pub const HEXAGONS: [f64; 27] = [
    2.0, 2.5, 3.0, 3.5, 4.0, 5.0, 5.5, 6.0, 7.0, 8.0, 9.0, 10.0, 11.0, 12.0, 13.0, 14.0, 17.0,
    19.0, 22.0, 24.0, 27.0, 30.0, 36.0, 41.0, 46.0, 50.0, 60.0,
];

/// Diameters in mm of parallel pins (ISO 2338), rising.
pub const PINS: [f64; 21] = [
    0.6, 0.8, 1.0, 1.2, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 16.0, 20.0, 25.0, 30.0,
    40.0, 50.0, 60.0,
];

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn steel(name: &str) -> &'static Material {
        Material::find(name).unwrap()
    }

    fn round(diameter_mm: f64) -> ShaftForm {
        ShaftForm::Round { diameter_mm }
    }

    /// Three shafts by hand: 40 N m on 8.0 mm, 16 · 40000 / (π · 512) = 397.9 MPa; 25 N m on
    /// 8 mm 248.7; 300 N m on 12 mm 884.2.
    #[test]
    fn torsion_by_longhand() {
        for (torque, diameter, stress) in
            [(40.0, 8.0, 397.887), (25.0, 8.0, 248.680), (300.0, 12.0, 884.194)]
        {
            let found = round(diameter).torsion_mpa(torque);
            assert!((found - stress).abs() < 1e-3, "{found}");
        }
    }

    /// DIN 6885-1: a shaft of 30 mm has 8 × 7 with 4.0 and 3.3, one of 30.1 mm 10 × 8.
    #[test]
    fn keys_of_the_standard() {
        let key = Key::of(30.0).unwrap();
        assert_eq!([key.width, key.height, key.in_shaft, key.in_hub], [8.0, 7.0, 4.0, 3.3]);
        assert_eq!(Key::of(30.1).unwrap().width, 10.0);
        assert_eq!((Key::of(5.9), Key::of(110.5)), (None, None));
        // The two grooves hold the key and leave it a little room.
        for row in KEYS {
            assert!((0.1..=0.41).contains(&(row[3] + row[4] - row[2])), "{row:?}");
        }
        assert!(KEYS.is_sorted() && HEXAGONS.is_sorted() && SHAFTS.is_sorted() && PINS.is_sorted());
    }

    /// A key in a hub 36 mm long on a shaft of 30 mm under 200 N m: 2 · 200000 / (30 · 3.3 · 36)
    /// = 112.2 MPa. A pin along a joint of 5 mm (1 mm thick), 10 mm long, under 1 N m: 4 · 1000
    /// / (5 · 1 · 10) = 80 MPa. A hexagon of 10 mm, 12 mm long, under 20 N m: 6 · 20000 /
    /// (100 · 12) = 100 MPa.
    #[test]
    fn walls_of_holes_by_longhand() {
        assert!((round(30.0).wall_pressure_mpa(200.0, 36.0) - 112.233).abs() < 1e-3);
        assert!((round(5.0).wall_pressure_mpa(1.0, 10.0) - 80.0).abs() < 1e-9);
        let hexagon = ShaftForm::Hexagon { flats_mm: 10.0 };
        assert!((hexagon.wall_pressure_mpa(20.0, 12.0) - 100.0).abs() < 1e-9);
    }

    /// Tempered steel (430 / 650 MPa) bears min(129, 117) = 117 MPa; keyed, 40 N m on 8 mm are
    /// 397.9 / 0.75 = 530.5 MPa: safety 0.2205. The wall between the groove of an 8 mm bore
    /// (10 mm) and a root circle of 20 mm under 40 N m: 16 · 40000 · 20 / (π (160000 − 10000))
    /// = 27.16, with the keyway 36.22 MPa. A plate of 4 mm: 2 · 40000 / (π · 100 · 4) = 63.66,
    /// with the keyway 84.9 MPa; its key 2 · 40000 / (8 · 1 · 4) = 2500 MPa.
    #[test]
    fn a_hub_by_longhand() {
        let tempered = steel("tempered-steel");
        let wheel = Hub {
            form: round(8.0),
            shaft_torque_nm: 40.0,
            torque_nm: -40.0,
            length_mm: 4.0,
            outside_mm: Some(20.0),
            shaft: tempered,
            hub: tempered,
        };
        let [shaft, wall, hole] = wheel.judge();
        assert!((shaft.safety.unwrap() - 0.2205).abs() < 1e-4);
        assert!((wall.stress_mpa - 36.217).abs() < 1e-3, "{}", wall.stress_mpa);
        assert!((hole.stress_mpa - 2500.0).abs() < 1e-9);
        assert!((wheel.safety().unwrap() - 430.0 / 1.5 / 2500.0).abs() < 1e-12);
        let [_, wall, _] = Hub { outside_mm: None, ..wheel }.judge();
        assert!((wall.stress_mpa - 84.883).abs() < 1e-3, "{}", wall.stress_mpa);
        // A bore that reaches the teeth leaves nothing, unless nothing is asked of it.
        let cut = Hub { outside_mm: Some(9.9), ..wheel };
        assert_eq!(cut.safety(), Some(0.0));
        assert_eq!(Hub { torque_nm: 0.0, shaft_torque_nm: 0.0, ..cut }.safety(), None);
        // The softer of two walls gives way: mild steel has 235 / 1.5.
        let soft = Hub { hub: steel("mild-steel"), ..wheel };
        assert!((soft.judge()[2].allowable_mpa - 235.0 / 1.5).abs() < 1e-9);
    }

    /// Saint-Venant's problem solved again: Δφ = −2 within a hexagon 1 across its flats, φ = 0 on
    /// its edge, T = 2 ∫ φ, and the largest stress is the slope of φ at the middle of a flat. By
    /// Gauss-Seidel with overrelaxation on a quarter of it.
    #[test]
    fn a_hexagon_by_finite_differences() {
        const N: usize = 120;
        let h = 0.5 / N as f64;
        // Flats at y = ±½; corners on the x axis at 1 / √3.
        let across = (N as f64 * 2.0 / 3.0_f64.sqrt()).ceil() as usize + 1;
        let inside = |i: usize, j: usize| {
            let (x, y) = (i as f64 * h, j as f64 * h);
            y < 0.5 - 1e-12 && 3.0_f64.sqrt() / 2.0 * x + y / 2.0 < 0.5 - 1e-12
        };
        let mut phi = vec![vec![0.0; N + 1]; across + 1];
        for _ in 0..1500 {
            for i in 0..across {
                for j in (0..N).filter(|&j| inside(i, j)) {
                    let left = if i == 0 { phi[1][j] } else { phi[i - 1][j] };
                    let below = if j == 0 { phi[i][1] } else { phi[i][j - 1] };
                    let mean = (left + phi[i + 1][j] + below + phi[i][j + 1] + 2.0 * h * h) / 4.0;
                    phi[i][j] += 1.95 * (mean - phi[i][j]);
                }
            }
        }
        let mut torque = 0.0;
        for (i, column) in phi.iter().enumerate() {
            for (j, value) in column.iter().enumerate() {
                let mirrored = if i == 0 { 1.0 } else { 2.0 } * if j == 0 { 1.0 } else { 2.0 };
                torque += 2.0 * value * mirrored * h * h;
            }
        }
        // Of second order at the edge: (4 φ₁ − φ₂) / 2h.
        let slope = (4.0 * phi[0][N - 1] - phi[0][N - 2]) / (2.0 * h);
        let found = torque / slope;
        assert!((found / HEXAGON - 1.0).abs() < 0.02, "{found}");
    }

    proptest! {
        /// More torque is less safe, in proportion; a stronger shaft never hurts.
        #[test]
        fn safety_falls_with_torque(size in 3f64..60.0, torque in 0.1f64..500.0, times in 1.1f64..9.0,
                                    hexagonal: bool) {
            let form = if hexagonal { ShaftForm::Hexagon { flats_mm: size } } else { round(size) };
            let mild = steel("mild-steel");
            let hub = Hub { form, shaft_torque_nm: torque, torque_nm: torque, length_mm: 10.0,
                            outside_mm: Some(3.0 * size), shaft: mild, hub: mild };
            let more = Hub { shaft_torque_nm: times * torque, torque_nm: times * torque, ..hub };
            let (less, least) = (hub.safety().unwrap(), more.safety().unwrap());
            prop_assert!((less / least / times - 1.0).abs() < 1e-9);
            let stronger = Hub { shaft: steel("tempered-steel"), ..hub };
            prop_assert!(stronger.safety().unwrap() >= less);
        }
    }
}
