//! A section through a whole reduction, to scale, from its parts.

use super::{Bench, Workshop, joints};
use crate::draw::{Picture, Section, SectionPlate, SectionSet, SectionShaft};
use crate::parts::{Part, PartKind, Parts};
use crate::train::{INPUT, Layout, Member, OUTPUT, Role};

/// Of shafts beyond the sets, in mm.
const STUB: f64 = 12.0;

/// The sets side by side in the order in which the motion passes them from the input, `gap`
/// mm between what turns past each other; `None` where a set has no parts. Shafts are drawn
/// from a carrier to the next sun where these are one; other joints are told in words.
pub fn section(
    shop: &Workshop,
    layout: &Layout,
    title: &str,
    bore: Option<f64>,
    gap: f64,
) -> Option<Picture> {
    let mut sets: Vec<SectionSet> = Vec::new();
    let mut shafts: Vec<SectionShaft> = Vec::new();
    let mut at = STUB;
    let order = along(layout);
    for (place, &set) in order.iter().enumerate() {
        let bench = shop.sets[set].bench.as_ref()?;
        let parts = bench.parts.as_ref().ok()?;
        let (made, end) = drawn(bench, parts, set, at, gap)?;
        let carrier = layout.place(Member::new(set, Role::Carrier));
        let sun = layout.place(Member::new(set, Role::Sun));
        // From the carrier or the sun before it that this sun is one shaft with; else from its
        // own plate, or from outside where it is the input.
        let before = order[..place].iter().zip(&sets).rev().find_map(|(&before, drawn)| {
            let plate = shop.sets[before].bench.as_ref()?.making.plate_mm;
            let seat = |role: Role| layout.place(Member::new(before, role));
            if sun.is_some() && seat(Role::Carrier) == sun {
                return Some(drawn.pin[1] - plate);
            }
            (sun.is_some() && seat(Role::Sun) == sun).then_some(drawn.teeth[1])
        });
        let outside = if sun == Some(INPUT) && place == 0 { at - STUB } else { at };
        let begins = before.unwrap_or(outside);
        shafts.push(SectionShaft {
            along: [begins, made.teeth[1]],
            diameters: [0.0, bench.making.sun_bore.size_mm()],
            name: (sun == Some(INPUT)).then(|| "input".to_owned()),
        });
        let plate = [made.pin[1] - bench.making.plate_mm, end];
        if carrier != Some(OUTPUT) {
            // The hub of the carrier, which may be thicker than the shaft to the next sun.
            shafts.push(SectionShaft {
                along: plate,
                diameters: [0.0, bench.making.drive.size_mm()],
                name: None,
            });
        } else {
            shafts.push(SectionShaft {
                along: [plate[0], end + STUB],
                diameters: [0.0, bench.making.drive.size_mm()],
                name: Some("output".to_owned()),
            });
        }
        sets.push(made);
        at = end + gap;
    }
    let (title, joints) = (title.to_owned(), joints(layout));
    Some(Section { title, sets, shafts, bore, joints }.draw())
}

/// The sets as they are met from the input, each after one that it shares a shaft with where
/// there is such a one.
fn along(layout: &Layout) -> Vec<usize> {
    let mut order: Vec<usize> = Vec::new();
    let mut reached = vec![INPUT];
    let touches = |set: usize, reached: &[crate::train::ShaftId]| {
        layout.seats(set).into_iter().flatten().any(|shaft| reached.contains(&shaft))
    };
    while order.len() < layout.sets.len() {
        let left = || (0..layout.sets.len()).filter(|set| !order.contains(set));
        let Some(next) = left().find(|&set| touches(set, &reached)).or(left().next()) else {
            break;
        };
        reached.extend(layout.seats(next).into_iter().flatten());
        order.push(next);
    }
    order
}

/// One set that begins at `at`, and where it ends.
fn drawn(bench: &Bench, parts: &Parts, set: usize, at: f64, gap: f64) -> Option<(SectionSet, f64)> {
    let (making, placed) = (&bench.making, &bench.placed);
    let module = making.module_mm;
    let outside = |kind: PartKind| parts.find(kind).map(|part: &Part| 2.0 * part.boundary.reach());
    let begin = at + making.plate_mm + gap;
    let teeth = [begin, begin + making.width_mm];
    let end = teeth[1] + gap + making.plate_mm;
    let plate = |along: [f64; 2], kind: PartKind, hole: f64| {
        Some(SectionPlate { along, diameters: [hole, outside(kind)?], carrier: true })
    };
    let back = plate([at, at + making.plate_mm], PartKind::CarrierBack, making.shaft_hole_mm)?;
    let front =
        plate([end - making.plate_mm, end], PartKind::CarrierFront, making.drive.size_mm())?;
    let tip = |radius: f64| 2.0 * radius * module;
    let outer = placed.outer_planet.as_ref();
    let made = SectionSet {
        teeth,
        sun: [making.sun_bore.size_mm(), tip(placed.sun.tip)],
        planet: [making.pin_mm, tip(placed.planet.tip)],
        outer_planet: outer
            .map(|outline| (placed.ring_centre * module, [making.pin_mm, tip(outline.tip)])),
        centre: placed.sun_centre * module,
        pin: [at, end],
        ring: [tip(placed.ring.tip), outside(PartKind::Ring)?],
        plates: vec![back, front],
        names: ["S", "P", "R", "C"].map(|letter| format!("{letter}{}", set + 1)),
    };
    Some((made, end))
}
