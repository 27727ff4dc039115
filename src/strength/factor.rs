//! The factors of a judgement as rows: where, symbol, name, value, unit, source.

use super::judge::{MeshStrength, SetStrength};
use super::loads::Loads;
use super::pins::PinStrength;
use crate::teeth::Mesh;

/// One number that went into a judgement or came out of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Factor {
    /// What it is told of, such as `set`, `sun–planet mesh` or `planet pin`.
    pub place: String,
    /// The trade's letter, such as `K_A`.
    pub symbol: &'static str,
    /// What it is called.
    pub name: &'static str,
    pub value: f64,
    /// Empty for a pure number.
    pub unit: &'static str,
    /// Where it comes from, in few words.
    pub source: String,
}

/// Rows of one place, as they are told.
struct Rows {
    place: String,
    rows: Vec<Factor>,
}

impl Rows {
    fn at(place: impl Into<String>) -> Self {
        Self { place: place.into(), rows: Vec::new() }
    }

    fn tell(
        &mut self,
        symbol: &'static str,
        name: &'static str,
        value: f64,
        unit: &'static str,
        source: impl Into<String>,
    ) {
        let (place, source) = (self.place.clone(), source.into());
        self.rows.push(Factor { place, symbol, name, value, unit, source });
    }

    /// Only where there is a value.
    fn tell_some(
        &mut self,
        symbol: &'static str,
        name: &'static str,
        value: Option<f64>,
        source: &'static str,
    ) {
        if let Some(value) = value {
            self.tell(symbol, name, value, "", source);
        }
    }
}

impl SetStrength {
    /// Every factor and every result, set first, then meshes from sun to ring, then pins.
    pub fn factors(&self) -> Vec<Factor> {
        let mut all = set_rows(&self.loads);
        for mesh in &self.meshes {
            all.extend(mesh_rows(mesh));
            all.extend(mesh.bending.iter().flat_map(|tooth| root_rows(mesh.mesh, tooth)));
        }
        all.extend(self.pins.iter().flat_map(pin_rows));
        all.extend(self.limit_rows());
        all
    }

    fn limit_rows(&self) -> Vec<Factor> {
        let mut rows = Rows::at("set");
        let widest = "largest of all meshes";
        rows.tell("b", "face width needed", self.width_needed_mm, "mm", widest);
        let (least, most) = self.width_range_mm;
        rows.tell("b_min", "least usual face width", least, "mm", "materials");
        rows.tell("b_max", "most usual face width", most, "mm", "materials");
        let limits = [
            ("highest speed of sun to carrier, pitch line", Some(self.speeds.pitch_rpm)),
            ("highest speed of sun to carrier, sliding bores", self.speeds.sliding_rpm),
            ("highest speed of sun to carrier, p v of bores", self.speeds.pv_rpm),
        ];
        for (name, value) in limits {
            if let Some(value) = value {
                rows.tell("n", name, value, "rpm", "materials");
            }
        }
        rows.rows
    }
}

fn set_rows(loads: &Loads) -> Vec<Factor> {
    let mut rows = Rows::at("set");
    rows.tell("T_S", "torque on the sun", loads.sun_torque_nm, "N m", "lossless balance");
    rows.tell("N", "planets", f64::from(loads.planets), "", "given");
    rows.tell("K_γ", "load sharing of planets", loads.sharing, "", "number and spacing, or given");
    rows.tell("d_S", "sun's reference diameter", loads.sun_diameter_mm, "mm", "m Z_S");
    let force = "2000 T_S K_γ / (N d_S)";
    rows.tell("F_t", "tangential force of a mesh", loads.force_n, "N", force);
    rows.tell("K_A", "application factor", loads.application, "", "given; as ISO 6336-6");
    let told = "given; 1 where the face bears evenly";
    rows.tell("K_Hβ", "face load factor", loads.face_load, "", told);
    let speed = "π d_S |n_S − n_C| / 60000";
    rows.tell("v", "pitch line speed to carrier", loads.pitch_speed_m_s, "m/s", speed);
    rows.tell("P", "power through a mesh", loads.mesh_power_w, "W", "F_t v");
    rows.rows
}

/// `sun–planet`, as reports write it.
fn words(mesh: Mesh) -> &'static str {
    match mesh {
        Mesh::SunPlanet => "sun–planet",
        Mesh::PlanetPlanet => "planet–planet",
        Mesh::PlanetRing => "planet–ring",
    }
}

fn mesh_rows(mesh: &MeshStrength) -> Vec<Factor> {
    let mut rows = Rows::at(format!("{} mesh", words(mesh.mesh)));
    let contact = &mesh.contact;
    let making = format!("Barth's form, teeth {}", mesh.making.word());
    rows.tell("K_v", "velocity factor", mesh.velocity, "", making);
    rows.tell("F", "force with factors", mesh.force_n, "N", "F_t K_A K_v K_Hβ");
    rows.tell("α_w", "working pressure angle", mesh.working_angle_deg, "°", "ISO 21771");
    rows.tell("d_1", "smaller wheel's diameter", contact.diameter_mm, "mm", "m z");
    rows.tell("u", "tooth ratio", contact.ratio, "", "larger over smaller");
    rows.tell("Z_E", "elasticity factor", contact.elasticity, "√MPa", "ISO 6336-2, Hertz");
    rows.tell("Z_H", "zone factor", contact.zone, "", "ISO 6336-2");
    let formula = if contact.internal {
        "Z_E Z_H √(F (u − 1) / (b d_1 u)), Hertz"
    } else {
        "Z_E Z_H √(F (u + 1) / (b d_1 u)), Hertz"
    };
    rows.tell("σ_H", "contact stress", contact.stress_mpa, "MPa", formula);
    let material = contact.material;
    let source = format!("{}: {}", material.words(), material.source);
    rows.tell("σ_HP", "allowable contact stress", contact.allowable_mpa, "MPa", source);
    rows.tell_some("S_H", "safety in contact", contact.safety, "σ_HP / σ_H");
    rows.tell("b", "face width needed", mesh.width_needed_mm, "mm", "bending and contact");
    rows.rows
}

fn root_rows(mesh: Mesh, tooth: &super::ToothBending) -> Vec<Factor> {
    let mut rows = Rows::at(format!("{} root, {} mesh", tooth.wheel.word(), words(mesh)));
    rows.tell("z", "teeth", f64::from(tooth.teeth), "", "given");
    let form = if tooth.wheel == crate::teeth::WheelKind::Ring {
        "0.484 − (2.2 − 5 x) / z, fit to true outlines"
    } else {
        "Lewis, 0.484 − 2.87 / z + 9 x / (z + 20) at 20°"
    };
    rows.tell("Y", "form factor", tooth.form, "", form);
    rows.tell("σ_F", "root stress", tooth.stress_mpa, "MPa", "F / (b m Y), Lewis");
    rows.tell("Y_M", "bent to and fro", tooth.reversal, "", "idler factor, ISO 6336-5");
    let source = format!("{}: {}", tooth.material.words(), tooth.material.source);
    rows.tell("σ_FP", "allowable root stress", tooth.allowable_mpa, "MPa", source);
    rows.tell_some("S_F", "safety in bending", tooth.safety, "σ_FP / σ_F");
    rows.rows
}

fn pin_rows(pin: &PinStrength) -> Vec<Factor> {
    let mut rows = Rows::at(format!("{} pin", pin.wheel.word()));
    rows.tell("F_C", "planet flung outward", pin.centrifugal_n, "N", "m_P a ω_C²");
    let force = "vector sum of both meshes times K_A, and F_C";
    rows.tell("F_P", "pin force", pin.force_n, "N", force);
    let diameter = if pin.given { "as built" } else { "larger of the two needed" };
    rows.tell("d", "pin diameter", pin.diameter_mm, "mm", diameter);
    let plates = pin.plates;
    rows.tell("t", "plate on either side", plates.thickness_mm, "mm", "as drawn");
    rows.tell("g", "gap beside the planet", plates.gap_mm, "mm", "as drawn");
    rows.tell("M", "bending moment", pin.moment_nmm, "N mm", "F_P (b + 4 g + 2 t) / 8");
    rows.tell("σ_b", "bending stress", pin.stress_mpa, "MPa", "32 M / (π d³)");
    rows.tell("σ_bP", "allowable bending stress", pin.allowable_mpa, "MPa", "given");
    rows.tell_some("S_b", "safety of the pin", pin.safety, "σ_bP / σ_b");
    let (bending, pressure) = (pin.bending_diameter_mm, pin.pressure_diameter_mm);
    rows.tell("d_b", "diameter needed in bending", bending, "mm", "∛(32 M / (π σ_bP))");
    rows.tell("d_p", "diameter needed in a plain bore", pressure, "mm", "F_P / (b p_P)");
    rows.tell("p", "pressure in the bore", pin.pressure_mpa, "MPa", "F_P / (d b)");
    rows.tell("v_P", "sliding speed in the bore", pin.sliding_m_s, "m/s", "π d n_P / 60000");
    rows.tell("p v", "pressure times speed", pin.pv_mpa_m_s, "MPa m/s", "p v_P");
    let hole = "F_P / (2 d t)";
    rows.tell("p_C", "pressure on the plates' holes", pin.hole_mpa, "MPa", hole);
    let room = "root radius less 1.5 m rim, less d / 2";
    rows.tell("s", "radial room round the pin", pin.room_mm, "mm", room);
    rows.rows
}
