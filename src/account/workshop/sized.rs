//! The sizes that teeth do not settle, from the brief as far as they fit.

use super::SetWork;
use crate::brief::ReductionBrief;
use crate::parts::{Bolts, Bore, Making, Misfit, PartKind, Parts, Seat};
use crate::teeth::PlacedSet;

/// Sizes, the parts made with them or what does not fit, and where the brief had to give
/// way. `pin` is the diameter that the load asks for.
pub(super) fn sized(
    set: &PlacedSet,
    work: &SetWork,
    brief: &ReductionBrief,
    pin: Option<f64>,
) -> (Making, Result<Parts, Vec<Misfit>>, Vec<String>) {
    let (wish, module) = (&brief.making, work.choice.module);
    let suggested = Making::suggested(set, module);
    let mut notes = Vec::new();
    let mut making = Making {
        width_mm: work.width,
        hole_allowance_mm: wish.hole_allowance,
        plate_mm: brief.room.plate,
        ring_wall_mm: brief.teeth.rim * module,
        helix_degrees: Some(wish.helix).filter(|&helix| helix > 0.0),
        ..suggested
    };
    if let Some(pin) = wish.pin {
        making.pin_mm = pin;
    } else if let Some(pin) = pin.map(|pin| (pin * 2.0 - 1e-9).ceil() / 2.0) {
        // The thinner pin leaves the planet more; a thicker one than asked does no harm.
        making.pin_mm = pin.max((suggested.pin_mm * 2.0).floor() / 2.0);
    }
    making = with_shaft(&making, wish.shaft, brief);
    bolt(&mut making, set, brief, &mut notes);
    let parts = match Parts::new(set, &making) {
        Ok(parts) => Ok(parts),
        Err(misfits) => {
            let smaller = smaller(&misfits, &making, &suggested, brief);
            let parts = Parts::new(set, &smaller);
            if parts.is_ok() {
                notes.extend(misfits.iter().map(|misfit| format!("Asked for, but {misfit}.")));
                notes.push(told(&smaller));
                making = smaller;
            }
            parts
        }
    };
    (making, parts, notes)
}

/// The same with a shaft of `size` through sun and carrier.
fn with_shaft(making: &Making, size: f64, brief: &ReductionBrief) -> Making {
    let hexagonal = brief.making.hexagonal;
    let bore = match hexagonal {
        true => Bore::Hex { flats_mm: size },
        false => Bore::Round { diameter_mm: size },
    };
    let shaft_hole_mm = if hexagonal { 1.2 * size } else { size } + brief.room.gap;
    Making { sun_bore: bore, drive: bore, shaft_hole_mm, ..*making }
}

/// The same with the suggested sizes where those asked for do not fit.
fn smaller(
    misfits: &[Misfit],
    making: &Making,
    suggested: &Making,
    brief: &ReductionBrief,
) -> Making {
    let mut smaller = *making;
    let planet = |kind| matches!(kind, PartKind::Planet | PartKind::OuterPlanet);
    if misfits.iter().any(|misfit| misfit.part.is_some_and(planet)) {
        smaller.pin_mm = smaller.pin_mm.min(suggested.pin_mm);
    }
    if misfits.iter().any(|misfit| !misfit.part.is_some_and(planet)) {
        let fits = suggested.sun_bore.size_mm().min(suggested.drive.size_mm());
        let fits = fits.min(brief.making.shaft);
        smaller = with_shaft(&smaller, fits, brief);
        smaller.spacer_mm = suggested.spacer_mm;
        smaller.pin_mm = smaller.pin_mm.min(suggested.pin_mm);
    }
    smaller
}

fn told(making: &Making) -> String {
    format!(
        "Drawn with a shaft of {:.1} mm and pins of {:.1} mm.",
        making.sun_bore.size_mm(),
        making.pin_mm
    )
}

/// Bolts in the ring's wall, or in lugs where the bore leaves room for these; else none.
fn bolt(making: &mut Making, set: &PlacedSet, brief: &ReductionBrief, notes: &mut Vec<String>) {
    let bolts = |seat| Bolts { count: 6, diameter_mm: brief.making.bolt, seat };
    making.bolts = Some(bolts(Seat::Wall));
    if Parts::new(set, making).is_ok() {
        return;
    }
    making.bolts = Some(bolts(Seat::Lugs));
    let room = brief.room.bore.unwrap_or(f64::INFINITY) / 2.0;
    let reach = (set.ring.root * making.module_mm + making.ring_wall_mm) // the wall
        + brief.making.bolt
        + brief.making.hole_allowance
        + making.edge_mm;
    if reach > room {
        making.bolts = None;
        notes.push(
            "The ring has no bolts: neither its wall nor lugs within the bore leave room for them. \
             Pin it, press it or glue it into the housing, and lock it against turning."
                .to_owned(),
        );
    }
}
