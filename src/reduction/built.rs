//! What a set is built with: pin and shafts as thick as the load asks and the wheels allow, and
//! how safe all of it then is.

use super::choice::Choice;
use super::faces::{body, demand, materials};
use super::running::SetDuty;
use super::verdict::Built;
use crate::brief::{ReductionBrief, Variant};
use crate::strength::{
    Fault, HEXAGONS, Hub, Material, PINS, SHAFTS, SetBody, SetLoad, SetStrength, ShaftForm, judge,
};
use crate::teeth::planet_angles;
use crate::train::SetKind;

/// The least material that a wheel keeps beside its root circle, in modules; that of the parts.
const RIM: f64 = 1.0;
/// Clearance at the root of a tooth in modules (ISO 53).
const CLEARANCE: f64 = 0.25;
/// The middle hole in mm where nothing is borne and the brief names none.
const IDLE_SHAFT: f64 = 8.0;

/// Sizes of one set that carry its load.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sizes {
    /// Diameter of the planets' pins in mm.
    pub pin_mm: f64,
    /// The shaft in the sun.
    pub sun: ShaftForm,
    /// The shaft in the carrier's front plate.
    pub drive: ShaftForm,
}

/// What one set has to bear, as its parts see it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SetDemand {
    pub load: SetLoad,
    /// Of sun and carrier: what goes into the hub and what its shaft carries, in N m, with
    /// losses, without the application factor.
    pub hubs_nm: [[f64; 2]; 2],
}

impl SetDemand {
    /// A set's duty under an input of `torque` N m without losses and `speed` revolutions a
    /// minute; see [`losses`].
    pub fn of(duty: &SetDuty, torque: f64, speed: f64, losses: f64) -> Self {
        let load = SetLoad {
            sun_torque_nm: duty.sun_torque * torque,
            sun_to_carrier_rpm: duty.sun_to_carrier * speed,
            carrier_rpm: duty.carrier * speed,
        };
        Self { load, hubs_nm: duty.hubs.map(|hub| hub.under(torque, losses)) }
    }
}

/// By how much more torque stands before the output than without losses: 1 / η, which is never
/// too little for sets in a row. 1 where the brief gives the input's torque, since losses then
/// take away, and where a reduction locks itself, which no torque turns.
pub fn losses(brief: &ReductionBrief, efficiency: Option<f64>) -> f64 {
    let given = brief.load.as_ref().is_some_and(|load| load.input_torque.is_some());
    efficiency.filter(|&efficiency| efficiency > 0.0 && !given).map_or(1.0, |eta| 1.0 / eta)
}

/// A set of one variant as it is made.
pub struct Maker<'a> {
    brief: &'a ReductionBrief,
    wheels: [&'static Material; 3],
    plate: &'static Material,
    shaft: &'static Material,
}

impl<'a> Maker<'a> {
    /// `None` where a material is not known.
    pub fn new(brief: &'a ReductionBrief, variant: &Variant) -> Option<Self> {
        let plate = Material::find(&variant.carrier)?;
        let shaft = Material::find(&variant.shaft)?;
        Some(Self { brief, wheels: materials(variant)?, plate, shaft })
    }

    /// The set as it is judged, with its pin where it has one.
    fn body(&self, choice: &Choice, width: f64, pin_mm: Option<f64>) -> SetBody {
        SetBody { pin_mm, ..body(self.brief, self.wheels, choice, width) }
    }

    /// The sizes that the brief names, and for those that it leaves free the thinnest sold that
    /// bear `borne` with the safety asked for; the thickest that fit where that is too little.
    ///
    /// # Errors
    /// As [`judge`].
    pub fn sizes(
        &self,
        choice: &Choice,
        width: f64,
        borne: Option<&SetDemand>,
    ) -> Result<Sizes, Fault> {
        let idle = SetLoad { sun_torque_nm: 0.0, sun_to_carrier_rpm: 0.0, carrier_rpm: 0.0 };
        let load = borne.map_or(idle, |borne| borne.load);
        let told = judge(&self.body(choice, width, None), &load, &demand(self.brief))?;
        let room = Room::of(self.brief, choice, &told);
        let pin_mm = room.pin(self.brief, &told);
        let middle = room.middle(pin_mm);
        let (gap, wider) = (self.brief.room.gap, room.wider);
        let in_sun = |form: ShaftForm| {
            form.reach_mm() + wider <= room.hub + 1e-9
                && passing(form) + gap + wider <= middle + 1e-9
        };
        let in_plate = |form: ShaftForm| form.reach_mm() + wider <= middle + 1e-9;
        let root = room.sun_root;
        let sun = |form| self.sun_hub(form, root, width, borne).safety();
        let drive = |form| self.plate_hub(form, borne).safety();
        let nothing = borne.is_none();
        Ok(Sizes {
            pin_mm,
            sun: self.shaft_form(&in_sun, &sun, room.hub, nothing),
            drive: self.shaft_form(&in_plate, &drive, middle, nothing),
        })
    }

    /// The thinnest shaft sold that is safe enough, the safest that fits, or the one asked for
    /// as far as it fits; `most` is a little more than fits.
    fn shaft_form(
        &self,
        fits: &dyn Fn(ShaftForm) -> bool,
        safety: &dyn Fn(ShaftForm) -> Option<f64>,
        most: f64,
        idle: bool,
    ) -> ShaftForm {
        let wish = &self.brief.making;
        let form = |size: f64| match wish.hexagonal {
            true => ShaftForm::Hexagon { flats_mm: size },
            false => ShaftForm::Round { diameter_mm: size },
        };
        let sold: &[f64] = if wish.hexagonal { &HEXAGONS } else { &SHAFTS };
        let wanted = wish.shaft.or(idle.then_some(IDLE_SHAFT));
        if let Some(wanted) = wanted.map(form).filter(|&wanted| fits(wanted)) {
            return wanted;
        }
        let fitting = || sold.iter().map(|&size| form(size)).filter(|&form| fits(form));
        let largest = fitting().next_back();
        let enough =
            |form: &ShaftForm| safety(*form).is_none_or(|s| s >= self.brief.strength.safety);
        let safest = || {
            fitting().max_by(|&a, &b| {
                let of = |form| safety(form).unwrap_or(f64::INFINITY);
                of(a).total_cmp(&of(b))
            })
        };
        let chosen = match wanted {
            // What was asked for does not fit.
            Some(_) => largest,
            None => fitting().find(enough).or_else(safest),
        };
        // Finer than anything sold: whatever goes in.
        chosen.unwrap_or_else(|| form((0.5 * most).max(0.1)))
    }

    /// The sun on its shaft.
    fn sun_hub(&self, form: ShaftForm, root_mm: f64, width: f64, borne: Option<&SetDemand>) -> Hub {
        let [torque, shaft] = self.torques(borne, 0);
        Hub {
            form,
            shaft_torque_nm: shaft,
            torque_nm: torque,
            length_mm: width,
            outside_mm: Some(root_mm),
            shaft: self.shaft,
            hub: self.wheels[0],
        }
    }

    /// The front plate on its shaft.
    fn plate_hub(&self, form: ShaftForm, borne: Option<&SetDemand>) -> Hub {
        let [torque, shaft] = self.torques(borne, 1);
        Hub {
            form,
            shaft_torque_nm: shaft,
            torque_nm: torque,
            length_mm: self.brief.room.plate,
            outside_mm: None,
            shaft: self.shaft,
            hub: self.plate,
        }
    }

    /// Of hub and shaft with the application factor.
    fn torques(&self, borne: Option<&SetDemand>, hub: usize) -> [f64; 2] {
        let rough = self.brief.load.as_ref().map_or(1.0, |load| load.application_factor);
        borne.map_or([0.0; 2], |borne| borne.hubs_nm[hub].map(|torque| torque * rough))
    }

    /// A set with these sizes under its load.
    ///
    /// # Errors
    /// As [`judge`].
    pub fn judged(
        &self,
        choice: &Choice,
        width: f64,
        sizes: &Sizes,
        borne: &SetDemand,
    ) -> Result<Built, Fault> {
        let body = self.body(choice, width, Some(sizes.pin_mm));
        let strength = judge(&body, &borne.load, &demand(self.brief))?;
        let root = sun_root(self.brief, choice);
        Ok(Built {
            strength,
            sun: self.sun_hub(sizes.sun, root, width, Some(borne)),
            drive: self.plate_hub(sizes.drive, Some(borne)),
            plate: self.plate,
        })
    }
}

/// How much of a shaft stands in a hole that it turns in, in mm across.
fn passing(form: ShaftForm) -> f64 {
    match form {
        ShaftForm::Round { diameter_mm } => diameter_mm,
        // A little more than its corners.
        ShaftForm::Hexagon { flats_mm } => 1.2 * flats_mm,
    }
}

/// Root diameter in mm of an external wheel: m (z + 2 x − 2 h_a − 2 c) (ISO 53, ISO 21771).
fn root(brief: &ReductionBrief, choice: &Choice, teeth: u32, shift: f64) -> f64 {
    choice.module * (f64::from(teeth) + 2.0 * (shift - brief.teeth.addendum - CLEARANCE))
}

fn sun_root(brief: &ReductionBrief, choice: &Choice) -> f64 {
    root(brief, choice, choice.set.sun, choice.shift.sun)
}

/// Diameters in mm that the wheels of a set leave for pins and shafts.
struct Room {
    sun_root: f64,
    /// Of the largest hole of a sun.
    hub: f64,
    /// Of the largest pin.
    pin: f64,
    /// Of the pin that goes well with the planet.
    usual_pin: f64,
    pin_circle: f64,
    edge: f64,
    /// Of holes over what goes through them.
    wider: f64,
}

impl Room {
    fn of(brief: &ReductionBrief, choice: &Choice, told: &SetStrength) -> Self {
        let (module, wider) = (choice.module, brief.making.hole_allowance);
        let sun_root = sun_root(brief, choice);
        let planets = [choice.set.planet, choice.set.outer_planet].into_iter().flatten();
        let (mut pin, mut usual_pin) = (f64::INFINITY, f64::INFINITY);
        for teeth in planets {
            let root = root(brief, choice, teeth, choice.shift.planet);
            pin = pin.min(root - 2.0 * RIM * module - wider);
            let usual = (0.35 * module * f64::from(teeth)).min(root - 3.0 * module);
            usual_pin = usual_pin.min(usual.max(0.2 * module));
        }
        let edge = module;
        if choice.set.kind == SetKind::Single {
            let apart = told.pin_circle_mm * half_angle(choice).sin();
            pin = pin.min(apart - edge - wider);
        }
        let hub = sun_root - 2.0 * RIM * module;
        Self { sun_root, hub, pin, usual_pin, pin_circle: told.pin_circle_mm, edge, wider }
    }

    /// The pin asked for as far as it fits; else the thinnest sold that bears its load and is
    /// not thinner than usual, or the thickest that fits.
    fn pin(&self, brief: &ReductionBrief, told: &SetStrength) -> f64 {
        let most = self.pin.max(0.1);
        if let Some(pin) = brief.making.pin {
            return pin.min(most);
        }
        let needed = told.pins.iter().map(|pin| {
            // Bending stress goes with the cube of the diameter.
            let bending = pin.bending_diameter_mm * brief.strength.safety.cbrt();
            bending.max(pin.pressure_diameter_mm)
        });
        let needed = needed.fold(0.0, f64::max);
        let fits = || PINS.into_iter().filter(|&pin| pin <= most + 1e-9);
        let usual = fits().rfind(|&pin| pin <= self.usual_pin + 1e-9).unwrap_or(0.0);
        let wanted = needed.max(usual) - 1e-9;
        fits().find(|&pin| pin >= wanted).or_else(|| fits().next_back()).unwrap_or(most)
    }

    /// Between pins of `pin` mm across the axis, less an edge on either side.
    fn middle(&self, pin: f64) -> f64 {
        self.pin_circle - pin - self.wider - 2.0 * self.edge
    }
}

/// Half the least angle between neighbouring planets, in radians.
fn half_angle(choice: &Choice) -> f64 {
    let angles = planet_angles(&choice.set, choice.set.planets.unwrap_or(1));
    let next = angles.iter().skip(1).copied().chain(angles.first().map(|first| first + 360.0));
    let least = angles.iter().zip(next).map(|(a, b)| b - a).fold(360.0, f64::min);
    (least / 2.0).min(90.0).to_radians()
}

/// The least safety of all sets of a reduction as they would be built; `None` without a load or
/// where a set cannot be judged. `ratio` is input speed / output speed, `sets` its choices with
/// their widths and duties.
pub fn least_safety<'a>(
    brief: &ReductionBrief,
    variant: &Variant,
    (ratio, efficiency): (f64, f64),
    sets: impl Iterator<Item = (&'a Choice, f64, &'a SetDuty)>,
) -> Option<f64> {
    let load = brief.load.as_ref()?;
    let (maker, losses) = (Maker::new(brief, variant)?, losses(brief, Some(efficiency)));
    let torque = load.output_torque / ratio.abs();
    let mut least = f64::INFINITY;
    for (choice, width, duty) in sets {
        let borne = SetDemand::of(duty, torque, load.input_speed, losses);
        let sizes = maker.sizes(choice, width, Some(&borne)).ok()?;
        let built = maker.judged(choice, width, &sizes, &borne).ok()?;
        least = least.min(built.safety().unwrap_or(f64::INFINITY));
    }
    Some(least).filter(|least| least.is_finite())
}
