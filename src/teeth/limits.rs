//! What a request allows the teeth of a set to be.

/// Limits and options for the tooth counts of single sets.
#[derive(Clone, Debug, PartialEq)]
pub struct ToothLimits {
    /// Fewest and most teeth of the sun.
    pub sun: (u32, u32),
    /// Fewest and most teeth of a planet.
    pub planet: (u32, u32),
    /// Fewest and most teeth of the ring.
    pub ring: (u32, u32),
    /// Numbers of planets that may be used, such as 3 and 4.
    pub planets: Vec<u32>,
    /// Smallest and largest base ratio Z_R / Z_S.
    pub base_ratio: (f64, f64),
    /// Normal module in mm.
    pub module: f64,
    /// Pressure angle in degrees.
    pub pressure_angle: f64,
    /// Addendum in modules.
    pub addendum: f64,
    /// Least gap between the tips of neighbouring planets, in modules.
    pub gap: f64,
    /// Wall of the ring outside its root circle, in modules; for the outer diameter.
    pub rim: f64,
    /// Largest outside diameter of a ring in mm, if limited.
    pub largest_diameter: Option<f64>,
    /// Largest profile shift coefficient that may be used to avoid undercut and
    /// interference; 0 allows unshifted gears only.
    pub largest_shift: f64,
    /// Whether Z_P may differ from (Z_R − Z_S) / 2 by up to 1, met by profile shift.
    pub odd_planet: bool,
    /// Whether planets may be spaced unequally where equal spacing does not assemble.
    pub unequal_spacing: bool,
    /// Whether the planets must go in radially (then trimming is a condition too).
    pub radial_assembly: bool,
}

impl Default for ToothLimits {
    fn default() -> Self {
        Self {
            sun: (18, 60),
            planet: (16, 48),
            ring: (48, 110),
            planets: vec![3, 4, 5],
            base_ratio: (1.4, 4.5),
            module: 1.5,
            pressure_angle: 20.0,
            addendum: 1.0,
            gap: 0.5,
            rim: 2.5,
            largest_diameter: None,
            largest_shift: 0.5,
            odd_planet: false,
            unequal_spacing: false,
            radial_assembly: false,
        }
    }
}
