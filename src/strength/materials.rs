//! Materials: what teeth and bores of each are taken to bear, with the source in words.
//!
//! Every figure is a first estimate from the usual ranges of handbooks, for a long life at
//! room temperature and with a modest margin already in it. The figures of a material that
//! is really bought, and of a part that is really made, may be half of it.

/// What a material is, as far as teeth care.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Family {
    Steel,
    Brass,
    /// Cut or moulded.
    Plastic,
    /// Built up in layers by melted filament.
    Printed,
}

impl Family {
    /// As written in reports.
    pub fn word(self) -> &'static str {
        match self {
            Self::Steel => "steel",
            Self::Brass => "brass",
            Self::Plastic => "plastic",
            Self::Printed => "printed",
        }
    }
}

/// What a bore bears that turns on a plain pin, hardened and greased where pin and bore are
/// both of steel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlainBore {
    /// Largest pressure F / (d b) in MPa.
    pub pressure_mpa: f64,
    /// Largest pressure times sliding speed in MPa m/s: the heat that it gets rid of.
    pub pv_mpa_m_s: f64,
    /// Largest sliding speed in m/s.
    pub speed_m_s: f64,
}

/// One material of the table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Material {
    /// The key by which it is asked for, such as `case-hardened-steel`.
    pub name: &'static str,
    pub family: Family,
    /// Nominal Lewis stress that a root bears in MPa, bent one way and back to zero
    /// (pulsating); without notch factor, since Lewis' formula has none.
    pub bending_mpa: f64,
    /// Hertzian stress that a flank bears in MPa.
    pub contact_mpa: f64,
    /// Modulus of elasticity in MPa.
    pub elastic_mpa: f64,
    /// Poisson's ratio.
    pub poisson: f64,
    /// R_e, the yield strength in MPa; of plastics and prints the stress at which they yield
    /// or break.
    pub yield_mpa: f64,
    /// R_m, the tensile strength in MPa.
    pub tensile_mpa: f64,
    /// In kg/m³.
    pub density: f64,
    /// Highest speed of the pitch line relative to the carrier in m/s.
    pub pitch_speed_m_s: f64,
    /// Least and most face width in modules: narrower wastes the width that is there,
    /// wider does not bear evenly.
    pub width_modules: (f64, f64),
    pub bore: PlainBore,
    /// Where the figures come from, and which of them are assumptions.
    pub source: &'static str,
}

impl Material {
    /// The material of that name; [`NAMES`] has all.
    pub fn find(name: &str) -> Option<&'static Material> {
        MATERIALS.iter().find(|material| material.name == name)
    }

    /// Shear stress in MPa that a shaft of it bears under a torque that comes and goes, no
    /// keyway counted: 0.30 R_e or 0.18 R_m, whichever is less.
    ///
    /// Source: the code for transmission shafting of the American Society of Mechanical
    /// Engineers (B17c, 1927) as textbooks of machine elements still give it; of plastics and
    /// prints, for which it was not made, the same shares are a cautious assumption.
    pub fn torsion_mpa(&self) -> f64 {
        (0.30 * self.yield_mpa).min(0.18 * self.tensile_mpa)
    }

    /// Pressure in MPa that the wall of a hole bears, from a key, a pin or a flat that does
    /// not slide in it: R_e / 1.5.
    ///
    /// Source: DIN 6892 takes R_e over a factor of 1.0 to 1.5 for ductile hubs; the larger.
    pub fn wall_mpa(&self) -> f64 {
        self.yield_mpa / 1.5
    }

    /// The name in plain words: `case-hardened steel`, `printed PLA`, `POM`.
    pub fn words(&self) -> &'static str {
        match self.name {
            "case-hardened-steel" => "case-hardened steel",
            "tempered-steel" => "tempered steel",
            "mild-steel" => "mild steel",
            "pom" => "POM",
            "printed-pla" => "printed PLA",
            "printed-petg" => "printed PETG",
            other => other,
        }
    }
}

const fn bore(pressure_mpa: f64, pv_mpa_m_s: f64, speed_m_s: f64) -> PlainBore {
    PlainBore { pressure_mpa, pv_mpa_m_s, speed_m_s }
}

/// Least and most width of metal wheels: 8 to 12 modules, the usual range of textbooks for
/// spur wheels carried on both sides.
const METAL_WIDTH: (f64, f64) = (8.0, 12.0);
/// 8 to 15 modules: printed teeth are given more, since width is what they have; a cautious
/// assumption.
const PRINTED_WIDTH: (f64, f64) = (8.0, 15.0);

/// All materials, strongest first.
pub static MATERIALS: [Material; 8] = [
    Material {
        name: "case-hardened-steel",
        family: Family::Steel,
        bending_mpa: 350.0,
        contact_mpa: 1300.0,
        elastic_mpa: 206_000.0,
        poisson: 0.3,
        yield_mpa: 590.0,
        tensile_mpa: 900.0,
        density: 7850.0,
        pitch_speed_m_s: 20.0,
        width_modules: METAL_WIDTH,
        bore: bore(10.0, 1.0, 1.0),
        source: "first estimate: middle of the usual design ranges for case-hardened gear steel \
                 (root 300 to 400 MPa nominal, flank 1200 to 1400 MPa), R_e and R_m those of a core \
                 of 16MnCr5 of some 30 mm; 20 m/s supposes ground teeth; bore and speeds are \
                 cautious assumptions",
    },
    Material {
        name: "tempered-steel",
        family: Family::Steel,
        bending_mpa: 200.0,
        contact_mpa: 600.0,
        elastic_mpa: 206_000.0,
        poisson: 0.3,
        yield_mpa: 430.0,
        tensile_mpa: 650.0,
        density: 7850.0,
        pitch_speed_m_s: 10.0,
        width_modules: METAL_WIDTH,
        bore: bore(6.0, 0.5, 0.5),
        source: "first estimate: lower half of the usual textbook ranges for through-hardened \
                 (quenched and tempered) alloy steel, R_e and R_m those of C45 tempered, of 16 to \
                 40 mm (EN ISO 683-1); bore and speeds are cautious assumptions",
    },
    Material {
        name: "mild-steel",
        family: Family::Steel,
        bending_mpa: 110.0,
        contact_mpa: 300.0,
        elastic_mpa: 206_000.0,
        poisson: 0.3,
        yield_mpa: 235.0,
        tensile_mpa: 360.0,
        density: 7850.0,
        pitch_speed_m_s: 5.0,
        width_modules: METAL_WIDTH,
        bore: bore(3.0, 0.3, 0.3),
        source: "first estimate: below the 140 MPa that older handbooks allow untreated \
                 low-carbon steel with Lewis' formula; R_e and R_m those of S235 (EN 10025-2); flank, \
                 bore and speeds are cautious assumptions",
    },
    Material {
        name: "brass",
        family: Family::Brass,
        bending_mpa: 50.0,
        contact_mpa: 150.0,
        elastic_mpa: 100_000.0,
        poisson: 0.35,
        yield_mpa: 200.0,
        tensile_mpa: 380.0,
        density: 8500.0,
        pitch_speed_m_s: 4.0,
        width_modules: METAL_WIDTH,
        bore: bore(8.0, 1.0, 1.0),
        source: "first estimate: well below the 80 MPa that older handbooks allow phosphor \
                 bronze with Lewis' formula; flank, bore and speeds are cautious assumptions",
    },
    Material {
        name: "pom",
        family: Family::Plastic,
        bending_mpa: 25.0,
        contact_mpa: 40.0,
        elastic_mpa: 2800.0,
        poisson: 0.35,
        yield_mpa: 65.0,
        tensile_mpa: 65.0,
        density: 1410.0,
        pitch_speed_m_s: 4.0,
        width_modules: METAL_WIDTH,
        bore: bore(5.0, 0.1, 0.8),
        source: "first estimate: middle of the usual 20 to 30 MPa for cut acetal wheels, greased, \
                 at room temperature; the flank figure is a cautious assumption, and heat \
                 lowers every one",
    },
    Material {
        name: "nylon",
        family: Family::Plastic,
        bending_mpa: 20.0,
        contact_mpa: 30.0,
        elastic_mpa: 1500.0,
        poisson: 0.4,
        yield_mpa: 50.0,
        tensile_mpa: 50.0,
        density: 1140.0,
        pitch_speed_m_s: 4.0,
        width_modules: METAL_WIDTH,
        bore: bore(4.0, 0.08, 0.8),
        source: "first estimate: lower end of the usual 20 to 30 MPa for polyamide 6 that has \
                 taken up moisture from the air, greased, at room temperature; the flank figure \
                 is a cautious assumption, and heat lowers every one",
    },
    Material {
        name: "printed-pla",
        family: Family::Printed,
        bending_mpa: 10.0,
        contact_mpa: 15.0,
        elastic_mpa: 2500.0,
        poisson: 0.36,
        yield_mpa: 25.0,
        tensile_mpa: 25.0,
        density: 1240.0,
        pitch_speed_m_s: 1.0,
        width_modules: PRINTED_WIDTH,
        bore: bore(1.0, 0.02, 0.3),
        source: "cautious assumption for solid teeth printed flat, short life, cool: untested; \
                 the print decides, so test the part; elasticity and density as makers of \
                 filament tell",
    },
    Material {
        name: "printed-petg",
        family: Family::Printed,
        bending_mpa: 10.0,
        contact_mpa: 12.0,
        elastic_mpa: 1800.0,
        poisson: 0.38,
        yield_mpa: 20.0,
        tensile_mpa: 20.0,
        density: 1270.0,
        pitch_speed_m_s: 1.0,
        width_modules: PRINTED_WIDTH,
        bore: bore(1.0, 0.02, 0.3),
        source: "cautious assumption for solid teeth printed flat, short life: untested; the \
                 print decides, so test the part; elasticity and density as makers of filament \
                 tell",
    },
];

/// The names of all materials, for messages.
pub const NAMES: [&str; MATERIALS.len()] = {
    let mut names = [""; MATERIALS.len()];
    let mut index = 0;
    while index < names.len() {
        names[index] = MATERIALS[index].name;
        index += 1;
    }
    names
};

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_name_is_found_and_no_other() {
        assert_eq!(NAMES.len(), MATERIALS.len());
        for (name, material) in NAMES.iter().zip(&MATERIALS) {
            assert!(std::ptr::eq(Material::find(name).unwrap(), material));
            assert!(name.chars().all(|c| c.is_ascii_lowercase() || c == '-'), "{name}");
            assert!(!material.words().is_empty());
        }
        assert_eq!(Material::find("steel"), None);
        assert_eq!(Material::find("POM"), None);
    }

    /// A slip of a digit would show here: figures fall from the strongest to the weakest
    /// material, flanks bear more than roots, and untested ones say so.
    #[test]
    fn figures_are_in_order() {
        for pair in MATERIALS.windows(2) {
            assert!(pair[0].bending_mpa >= pair[1].bending_mpa, "{}", pair[1].name);
            assert!(pair[0].contact_mpa >= pair[1].contact_mpa, "{}", pair[1].name);
            assert!(pair[0].pitch_speed_m_s >= pair[1].pitch_speed_m_s, "{}", pair[1].name);
        }
        for material in &MATERIALS {
            assert!(material.contact_mpa > material.bending_mpa);
            assert!(material.yield_mpa <= material.tensile_mpa, "{}", material.name);
            assert!(material.torsion_mpa() < material.wall_mpa(), "{}", material.name);
            assert!(material.bending_mpa > 0.0 && material.elastic_mpa > 1000.0);
            assert!((0.25..0.5).contains(&material.poisson));
            assert!((1000.0..9000.0).contains(&material.density));
            assert!(material.width_modules.0 < material.width_modules.1);
            let bore = material.bore;
            assert!(bore.pv_mpa_m_s <= bore.pressure_mpa * bore.speed_m_s, "{}", material.name);
            let printed = material.family == Family::Printed;
            assert_eq!(material.source.contains("untested"), printed, "{}", material.name);
            let told = if printed { "cautious assumption" } else { "first estimate" };
            assert!(material.source.starts_with(told), "{}", material.name);
        }
    }
}
