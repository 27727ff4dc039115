//! Why a layout has the gears it has: what each ratio is made of, computed from its formula.

use serde::Serialize;

use crate::motion::{Makeup, SetWay, formula, needed_elements};
use crate::train::Layout;

/// What the gears of a layout are made of, for all teeth.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Why {
    /// One for each gear of the layout.
    pub gears: Vec<GearWhy>,
    /// Gears whose ratio is one for all teeth.
    pub direct: usize,
    /// Gears of one set with one member held.
    pub alone: usize,
    /// Gears whose ratio is the product of what several sets make with one member held.
    pub products: usize,
    /// Gears whose ratio is no such product.
    pub coupled: usize,
    /// Gears whose ratio is that of two others multiplied: the product, then its factors.
    pub identities: Vec<[String; 3]>,
    /// Base ratios that can be chosen, and steps between forward gears that they must meet.
    pub base_ratios: usize,
    pub steps: usize,
}

/// What one gear is made of.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct GearWhy {
    pub gear: String,
    /// "direct", "alone", "product" or "coupled".
    pub kind: &'static str,
    /// The sets that enter a gear which is no coupled one, in their order.
    pub ways: Vec<WayWhy>,
    /// The ratio in the base ratios.
    pub formula: String,
    /// The same in the notation of papers.
    #[serde(skip)]
    pub notation: String,
}

/// One set with one member held.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct WayWhy {
    /// From 1.
    pub set: usize,
    /// Letters S, R, C.
    pub driven: char,
    pub held: char,
    pub output: char,
}

impl From<&SetWay> for WayWhy {
    fn from(way: &SetWay) -> Self {
        Self {
            set: way.set + 1,
            driven: way.driven.letter(),
            held: way.held.letter(),
            output: way.output.letter(),
        }
    }
}

/// What the gears of a layout are made of; `steps` is how many steps they have to meet.
pub fn why(layout: &Layout, steps: usize) -> Why {
    let mut why = Why { base_ratios: layout.sets.len(), steps, ..Why::default() };
    let mut made: Vec<(String, Vec<SetWay>)> = Vec::new();
    for gear in &layout.gears {
        let needed = needed_elements(layout, gear.engaged);
        let Some(formula) = needed.and_then(|needed| formula(layout, needed)) else { continue };
        let makeup = formula.makeup(&layout.sets);
        let (kind, count) = match &makeup {
            Makeup::Direct => ("direct", &mut why.direct),
            Makeup::Ways(ways) if ways.len() == 1 => ("alone", &mut why.alone),
            Makeup::Ways(_) => ("product", &mut why.products),
            Makeup::Coupled => ("coupled", &mut why.coupled),
        };
        *count += 1;
        let ways = if let Makeup::Ways(ways) = makeup { ways } else { Vec::new() };
        why.gears.push(GearWhy {
            gear: gear.name.clone(),
            kind,
            ways: ways.iter().map(WayWhy::from).collect(),
            formula: formula.to_string(),
            notation: formula.notation(),
        });
        made.push((gear.name.clone(), ways));
    }
    why.identities = identities(&made);
    why
}

/// Gears that are two others multiplied, whatever the teeth: the sets of the one are those of
/// the two others, each doing the same.
fn identities(made: &[(String, Vec<SetWay>)]) -> Vec<[String; 3]> {
    let mut found = Vec::new();
    for (product, ways) in made.iter().filter(|(_, ways)| ways.len() > 1) {
        for (place, (a, first)) in made.iter().enumerate() {
            for (b, second) in made.iter().skip(place + 1) {
                let mut both: Vec<SetWay> = first.iter().chain(second).copied().collect();
                both.sort();
                if !first.is_empty() && !second.is_empty() && both == *ways {
                    found.push([product.clone(), a.clone(), b.clone()]);
                }
            }
        }
    }
    found
}
