//! Face widths: what a set's teeth need to bear the load.

use super::choice::{Choice, Choices};
use super::running::SetDuty;
use crate::brief::{ReductionBrief, Variant};
use crate::strength::{Demand, Material, Plates, SetBody, SetLoad, WidthLaw};
use crate::train::SetKind;

/// What decides the face width of one variant's sets.
pub struct Faces<'a> {
    brief: &'a ReductionBrief,
    /// Of every choice by kind and number, `None` where it cannot be judged.
    laws: [Vec<Option<WidthLaw>>; 2],
    /// Output torque in N m and input speed in revolutions a minute.
    borne: Option<(f64, f64)>,
}

impl<'a> Faces<'a> {
    /// `None` as soon as `stopped`, which is asked now and then, says so.
    pub fn new(
        brief: &'a ReductionBrief,
        variant: &Variant,
        choices: &[Choices; 2],
        stopped: &dyn Fn() -> bool,
    ) -> Option<Self> {
        let borne = brief.load.as_ref().map(|load| (load.output_torque, load.input_speed));
        let (materials, demand) = (materials(variant), demand(brief));
        let law = |choice: &Choice| {
            WidthLaw::new(&body(brief, materials?, choice, choice.module), &demand).ok()
        };
        let mut laws = [Vec::new(), Vec::new()];
        for (laws, choices) in laws.iter_mut().zip(choices).filter(|_| borne.is_some()) {
            *laws = vec![None; choices.len()];
            for class in &choices.classes {
                if stopped() {
                    return None;
                }
                for choice in &class.choices {
                    laws[choice.number as usize] = law(choice);
                }
            }
        }
        Some(Self { brief, laws, borne })
    }

    /// The face width in mm with which `choice` bears its duty in a reduction of `ratio`, at
    /// least the least of the brief; `None` where the widest that the brief allows does not bear it.
    pub fn width(&self, choice: &Choice, duty: &SetDuty, ratio: f64) -> Option<f64> {
        let (least, most) = self.brief.room.width;
        let width = self.needed(choice, duty, ratio)?.max(least * choice.module);
        (width <= most * choice.module * (1.0 + 1e-12)).then_some(width)
    }

    /// The face width in mm that the load alone asks for, 0 without one.
    fn needed(&self, choice: &Choice, duty: &SetDuty, ratio: f64) -> Option<f64> {
        let Some((output, speed)) = self.borne else { return Some(0.0) };
        let torque = output / ratio.abs();
        let kind = usize::from(choice.set.kind == SetKind::Paired);
        let law = self.laws[kind].get(choice.number as usize)?.as_ref()?;
        let load = SetLoad {
            sun_torque_nm: duty.sun_torque * torque,
            sun_to_carrier_rpm: duty.sun_to_carrier * speed,
            carrier_rpm: duty.carrier * speed,
        };
        Some(law.width(&load))
    }
}

/// What sun, planet and ring of a variant are made of.
pub fn materials(variant: &Variant) -> Option<[&'static Material; 3]> {
    let [sun, planet, ring] = [&variant.sun, &variant.planet, &variant.ring];
    Some([Material::find(sun)?, Material::find(planet)?, Material::find(ring)?])
}

/// What a brief asks of every set.
pub fn demand(brief: &ReductionBrief) -> Demand {
    let wish = &brief.strength;
    let default = Demand { safety: wish.safety, face_load: wish.face_load, ..Demand::default() };
    brief.load.as_ref().map_or(default, |load| Demand {
        application: load.application_factor,
        sharing: load.sharing,
        ..default
    })
}

/// A set of `choice` as it is judged.
pub fn body(
    brief: &ReductionBrief,
    [sun, planet, ring]: [&'static Material; 3],
    choice: &Choice,
    width_mm: f64,
) -> SetBody {
    SetBody {
        set: choice.set,
        shifts: choice.shift,
        module_mm: choice.module,
        pressure_angle_deg: brief.teeth.pressure_angle,
        width_mm,
        sun,
        planet,
        ring,
        pin_mm: None,
        plates: Some(Plates { thickness_mm: brief.room.plate, gap_mm: brief.room.gap }),
    }
}
