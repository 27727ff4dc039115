//! Strength: first estimates of what teeth, planet pins, bearings, shafts and hubs of one set
//! bear.
//!
//! **An estimate, never a rating.** The formulas are the short ones of textbooks: Lewis for
//! the tooth root, Hertz at the pitch point for the flank, a beam for the pin, torsion for the shaft. Load spread
//! across the face, contact ratio, notches, lubricant, heat, wear and life are left out or
//! lumped into one factor. A rating follows ISO 6336 or the applicable national standard and
//! is signed by a qualified engineer. No number here is valid for a printed part without a
//! test.
//!
//! [`judge`] takes a set with module, width and materials ([`SetBody`]), its lossless torque
//! and speeds in one gear ([`SetLoad`]) and what is asked of it ([`Demand`]), and tells every
//! stress with every factor ([`SetStrength`], as rows [`SetStrength::factors`]).
//! [`width_needed`] is its short form for searches: the face width that just bears the load.
//! [`Hub`] judges a shaft, the hub on it and the wall of its hole under a torque.
//! Floats throughout, since nothing here is exact. Nothing here knows of layouts.
//!
//! ```
//! use coaxle::strength::{Demand, Material, SetBody, SetLoad, judge, width_needed};
//! use coaxle::{GearSet, teeth::Shifts};
//!
//! let steel = Material::find("tempered-steel").expect("a name of strength::NAMES");
//! let body = SetBody {
//!     set: GearSet { planets: Some(3), ..GearSet::single(30, 66) },
//!     shifts: Shifts::default(),
//!     module_mm: 1.5,
//!     pressure_angle_deg: 20.0,
//!     width_mm: 15.0,
//!     sun: steel,
//!     planet: steel,
//!     ring: steel,
//!     pin_mm: None,
//!     plates: None,
//! };
//! let load = SetLoad { sun_torque_nm: 5.0, sun_to_carrier_rpm: 600.0, carrier_rpm: 400.0 };
//! let told = judge(&body, &load, &Demand::default())?;
//! assert!(told.least_safety().is_some_and(|safety| safety > 1.0));
//! assert_eq!(told.width_needed_mm, width_needed(&body, &load, &Demand::default())?);
//! # Ok::<(), coaxle::strength::Fault>(())
//! ```

mod bending;
mod body;
mod contact;
mod demand;
mod factor;
mod fault;
mod judge;
mod loads;
mod materials;
mod meshes;
mod pins;
mod shafts;
mod space;
mod speeds;
mod width_law;

#[cfg(test)]
mod laws;

pub use bending::{ToothBending, form_factor, ring_form_factor};
pub use body::{Plates, SetBody, SetLoad};
pub use contact::{FlankContact, contact_stress, elasticity_factor, zone_factor};
pub use demand::{Demand, Making, usual_sharing};
pub use factor::Factor;
pub use fault::Fault;
pub use judge::{Governing, Limit, MeshStrength, SetStrength, judge, width_needed};
pub use loads::Loads;
pub use materials::{Family, MATERIALS, Material, NAMES, PlainBore};
pub use pins::PinStrength;
pub use shafts::{HEXAGONS, Hub, HubPlace, KEYWAY, Key, PINS, SHAFTS, ShaftForm, Twisted};
pub use space::{Bearing, BearingKind, radial_room};
pub use speeds::SpeedLimits;
pub use width_law::WidthLaw;
