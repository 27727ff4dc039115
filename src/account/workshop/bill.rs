//! The bill of parts, and how the sets of a reduction are joined, in words.

use itertools::Itertools as _;

use super::Workshop;
use super::sheets::material;
use crate::parts::{Bore, Making, PartKind};
use crate::strength::ShaftForm;
use crate::train::{INPUT, Layout, OUTPUT, ShaftId};

/// One line of the bill.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BillRow {
    /// Counted from 1.
    pub set: usize,
    pub part: String,
    pub count: u32,
    pub material: String,
    pub size: String,
    /// Whether it is bought and not made.
    pub bought: bool,
}

/// All parts of a reduction, set after set: those that are made, then pins, bolts and spacers.
/// Sets whose parts cannot be made are left out.
pub fn bill(shop: &Workshop) -> Vec<BillRow> {
    let mut rows = Vec::new();
    for (index, set) in shop.sets.iter().enumerate() {
        let Some(bench) = &set.bench else { continue };
        let Ok(parts) = &bench.parts else { continue };
        let number = index + 1;
        for part in &parts.parts {
            rows.push(BillRow {
                set: number,
                part: part.name().replace('-', " "),
                count: part.count,
                material: material(shop, part.kind),
                size: part.caption(),
                // Wheels from a stock list have a price; plates are always made.
                bought: part.teeth.is_some() && set.choice.price > 0.0,
            });
        }
        let making = &bench.making;
        // A tenth longer does no harm; shorter would.
        let up = |length: f64| (length * 10.0 - 1e-6).ceil() / 10.0;
        let width = up(making.width_mm);
        let between = up(making.width_mm + 2.0 * shop.room.1);
        let through = up(making.width_mm + 2.0 * (making.plate_mm + shop.room.1));
        let mut bought = |part: &str, count: u32, size: String| {
            rows.push(BillRow {
                set: number,
                part: part.to_owned(),
                count,
                material: "steel".to_owned(),
                size,
                bought: true,
            });
        };
        let pins = format!("{} mm × {through} mm", making.pin_mm);
        bought("planet pin", set.choice.planets(), pins);
        if shop.room.1 > 0.0 {
            // One on either side keeps a planet off the plates.
            let size = format!("for {} mm pins, {} mm thick", making.pin_mm, shop.room.1);
            bought("washer beside a planet", 2 * set.choice.planets(), size);
        }
        if let Some(bolts) = making.bolts {
            let size = format!("for {} mm holes, longer than {} mm", bolts.diameter_mm, width);
            bought("ring bolt", bolts.count, size);
        }
        let spacers = parts.find(PartKind::CarrierFront).map_or(0, |plate| {
            let spacer = |hole: &&crate::parts::Hole| hole.purpose == crate::parts::Purpose::Spacer;
            plate.holes.iter().filter(spacer).count() as u32
        });
        if let Some(diameter) = making.spacer_mm.filter(|_| spacers > 0) {
            let size = format!("{diameter} mm × {through} mm, sleeve of {between} mm");
            bought("spacer bolt with sleeve", spacers, size);
        }
        for (name, size) in shafts(making) {
            bought(name, 1, size);
        }
    }
    rows
}

/// The shafts of one set and how they are joined to their hubs.
fn shafts(making: &Making) -> [(&'static str, String); 2] {
    let size = |bore: Bore| {
        let form = match bore {
            Bore::Round { diameter_mm } => ShaftForm::Round { diameter_mm },
            Bore::Hex { flats_mm } => ShaftForm::Hexagon { flats_mm },
        };
        format!("{} mm, {}", bore.size_mm(), form.joint())
    };
    [("shaft in the sun", size(making.sun_bore)), ("shaft in the carrier", size(making.drive))]
}

/// Who turns with whom, who is held, where input and output are: a sentence for each shaft.
pub fn joints(layout: &Layout) -> Vec<String> {
    let mut told = Vec::new();
    for (index, shaft) in layout.shafts.iter().enumerate() {
        let members = shaft.members.iter().map(ToString::to_string).collect_vec();
        let end = match ShaftId(index) {
            INPUT => " the input",
            OUTPUT => " the output",
            _ => "",
        };
        told.push(match (&members[..], end) {
            ([one], "") => format!("{one} turns by itself."),
            ([one], end) => format!("{one} is{end}."),
            (all, "") => format!("{} are one shaft.", all.join(" and ")),
            (all, end) => format!("{} are one shaft, which is{end}.", all.join(" and ")),
        });
    }
    if !layout.held.is_empty() {
        let held = layout.held.iter().join(" and ");
        let verb = if layout.held.len() == 1 { "is" } else { "are" };
        told.push(format!("{held} {verb} held in the housing."));
    }
    told
}
