//! The sizes that teeth do not settle: those that carry the load, or those of the brief, as far
//! as they fit.

use super::SetWork;
use crate::brief::ReductionBrief;
use crate::parts::{Bolts, Bore, Making, Misfit, PartKind, Parts, Seat};
use crate::reduction::Sizes;
use crate::strength::ShaftForm;
use crate::teeth::PlacedSet;

/// A set's sizes and parts.
pub(super) struct Sized {
    pub making: Making,
    /// The parts, or what does not fit.
    pub parts: Result<Parts, Vec<Misfit>>,
    /// Sentences for the builder.
    pub notes: Vec<String>,
    /// Where a size of the brief had to give way: a sentence each.
    pub gave_way: Vec<String>,
}

/// The set with `sizes`, which carry its load, and what the brief asks of the rest.
pub(super) fn sized(
    set: &PlacedSet,
    work: &SetWork,
    brief: &ReductionBrief,
    sizes: Option<&Sizes>,
) -> Sized {
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
    if let Some(sizes) = sizes {
        making.pin_mm = sizes.pin_mm;
        making = with_shafts(&making, sizes.sun, sizes.drive, brief);
    }
    making = with_bolts_sold(making.with_spacers(set));
    bolt(&mut making, set, brief, &mut notes);
    let parts = Parts::new(set, &making).or_else(|misfits| {
        let smaller = smaller(&misfits, &making, &suggested, brief).with_spacers(set);
        let smaller = with_bolts_sold(smaller);
        let parts = Parts::new(set, &smaller);
        if parts.is_ok() {
            notes.extend(
                misfits.iter().map(|misfit| format!("Smaller than the load asks: {misfit}.")),
            );
            making = smaller;
        }
        parts
    });
    let gave_way = gave_way(&making, brief);
    Sized { making, parts, notes, gave_way }
}

/// Where a size of the brief is not what is made: what is, and what to do.
fn gave_way(making: &Making, brief: &ReductionBrief) -> Vec<String> {
    let wish = &brief.making;
    let less = |made: f64, wanted: Option<f64>| wanted.filter(|&wanted| made < wanted - 1e-9);
    let mut told = Vec::new();
    let hubs = [("sun", making.sun_bore), ("carrier's front plate", making.drive)];
    for (part, bore) in hubs {
        if let Some(wanted) = less(bore.size_mm(), wish.shaft) {
            told.push(format!(
                "parts.shaft = {wanted} does not go into the {part}, which has room for {:.1} mm and \
                 is made so. Mend: leave parts.shaft out, take {:.1}, or allow larger wheels \
                 (room.modules, teeth.sun).",
                bore.size_mm(),
                bore.size_mm()
            ));
        }
    }
    if let Some(wanted) = less(making.pin_mm, wish.pin) {
        told.push(format!(
            "parts.pin = {wanted} does not go into the planets, which have room for {made:.1} mm and \
             are made so; that is what is judged. Mend: leave parts.pin out, take {made:.1}, or \
             allow larger planets.",
            made = making.pin_mm
        ));
    }
    told
}

/// Metric screws from M2 to M16 (ISO 261): the largest that is not thicker than the room.
fn with_bolts_sold(making: Making) -> Making {
    const METRIC: [f64; 10] = [2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 16.0];
    let sold = |room: f64| METRIC.into_iter().rfind(|&bolt| bolt <= room + 1e-9);
    Making { spacer_mm: making.spacer_mm.and_then(sold), ..making }
}

/// The same with these shafts through sun and carrier.
fn with_shafts(
    making: &Making,
    sun: ShaftForm,
    drive: ShaftForm,
    brief: &ReductionBrief,
) -> Making {
    let bore = |form: ShaftForm| match form {
        ShaftForm::Hexagon { flats_mm } => Bore::Hex { flats_mm },
        ShaftForm::Round { diameter_mm } => Bore::Round { diameter_mm },
    };
    let through = match sun {
        ShaftForm::Hexagon { flats_mm } => 1.2 * flats_mm,
        ShaftForm::Round { diameter_mm } => diameter_mm,
    };
    let shaft_hole_mm = through + brief.room.gap;
    Making { sun_bore: bore(sun), drive: bore(drive), shaft_hole_mm, ..*making }
}

/// The shafts and the pin that a set is made with.
pub(super) fn sizes_of(making: &Making) -> Sizes {
    let form = |bore: Bore| match bore {
        Bore::Hex { flats_mm } => ShaftForm::Hexagon { flats_mm },
        Bore::Round { diameter_mm } => ShaftForm::Round { diameter_mm },
    };
    Sizes { pin_mm: making.pin_mm, sun: form(making.sun_bore), drive: form(making.drive) }
}

/// The same with the suggested sizes where the others do not fit.
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
        let fits = brief.making.shaft.map_or(fits, |shaft| shaft.min(fits));
        let form = match brief.making.hexagonal {
            true => ShaftForm::Hexagon { flats_mm: fits },
            false => ShaftForm::Round { diameter_mm: fits },
        };
        smaller = with_shafts(&smaller, form, form, brief);
        smaller.pin_mm = smaller.pin_mm.min(suggested.pin_mm);
    }
    smaller
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
