//! Clean gearboxes of several sets: wirings of the complete families, proposed by chance and
//! tested exactly, whose live states all have short ratios.

use itertools::Itertools;
use num_traits::{Signed, Zero};

use crate::build::nests;
use crate::exam::clean::is_short;
use crate::exam::shop::Shop;
use crate::motion::{Duties, MeshEfficiency, solve_state, solve_torques};
use crate::num::{Fraction, to_f64};
use crate::train::{Core, Element, ElementMask, Gear, GearSet, Layout, canonical};

/// Proposals of wirings before a generator gives up for this time.
const PROPOSALS: usize = 4000;
/// Ratios that a solver meets: from a strong overdrive to a strong reduction.
const SIZES: std::ops::RangeInclusive<f64> = 0.2..=9.0;

/// A gearbox whose gears are named, forward gears by falling ratio from 1, then R.
pub(super) struct Gearbox {
    pub layout: Layout,
    /// Names, engaged elements and exact ratios of the gears.
    pub gears: Vec<NamedGear>,
}

pub(super) struct NamedGear {
    pub name: String,
    pub engaged: ElementMask,
    pub ratio: Fraction,
}

/// What a kind of item needs of a gearbox.
pub(super) struct Need {
    pub sets: u8,
    /// Elements that a state engages: shafts − sets − 1.
    pub engaged: u8,
    pub elements: usize,
    /// Fewest forward gears.
    pub forward: usize,
}

/// The next gearbox that comes out clean; `None` where none does in the proposals.
pub(super) fn clean(shop: &mut Shop<'_>, need: &Need) -> Option<Gearbox> {
    let mesh = MeshEfficiency::default();
    for _ in 0..PROPOSALS {
        let Some(layout) = proposal(shop, need) else { continue };
        let duties = Duties::new(&layout, &mesh);
        let live = layout.states().filter_map(|state| duties.of(state));
        let rough: Vec<f64> = live.map(|duty| duty.value).collect();
        // In floats first: most proposals fall here.
        let fits =
            |ratio: &f64| SIZES.contains(&ratio.abs()) && looks_short(*ratio, shop.numbers.digits);
        let forward = rough.iter().filter(|ratio| **ratio > 0.0).count();
        if forward < need.forward || !rough.iter().all(fits) || !distinct(&rough) {
            continue;
        }
        if let Some(found) = named(layout, shop.numbers.digits)
            .filter(|found| nests(&found.layout) && found.every_set_works())
        {
            return Some(found);
        }
    }
    None
}

/// Any wiring of the family with sets of simple base ratios and different elements.
fn proposal(shop: &mut Shop<'_>, need: &Need) -> Option<Layout> {
    let shafts = need.sets + 1 + need.engaged;
    let seats: Vec<[u8; 3]> = (0..need.sets)
        .map(|_| {
            let all = shop.chance.shuffled((1..=shafts).collect());
            [all[0], all[1], all[2]]
        })
        .collect();
    let used = seats.iter().flatten().unique().count();
    let ends = shop.chance.shuffled((1..=shafts).collect::<Vec<u8>>());
    let core = Core::new(&seats, shafts, ends[0], ends[1]);
    if used < usize::from(shafts) || !core.is_connected() {
        return None;
    }
    let mut slots = shop.chance.shuffled(core.slots());
    slots.truncate(need.elements);
    slots.sort_unstable_by_key(|slot| (!slot.is_brake(), slot.first, slot.second));
    let sets: Vec<GearSet> = (0..need.sets).map(|_| shop.simple_set()).collect::<Option<_>>()?;
    // Two sets of the same teeth would make half the work.
    let different = sets.iter().map(|set| (set.sun, set.ring)).all_unique();
    different.then(|| Layout::from_core(&core, &slots, sets))
}

/// Whether a fraction of few digits is near.
fn looks_short(ratio: f64, digits: u32) -> bool {
    let most = 10_u32.pow(digits);
    (1..most.min(400)).any(|below| {
        let above = ratio.abs() * f64::from(below);
        above.round() < f64::from(most) && (above - above.round()).abs() < 1e-9
    })
}

/// Whether no two ratios are near each other.
fn distinct(ratios: &[f64]) -> bool {
    let sorted: Vec<f64> = ratios.iter().copied().sorted_by(f64::total_cmp).collect();
    sorted.windows(2).all(|pair| (pair[1] - pair[0]).abs() > 0.02)
}

/// The gearbox with its gears named, exactly; `None` where an element is never used.
fn named(mut layout: Layout, digits: u32) -> Option<Gearbox> {
    let mut live: Vec<(Fraction, ElementMask)> = layout
        .states()
        .filter_map(|state| Some((solve_state(&layout, state).ratio?, state)))
        .collect();
    if live.iter().any(|(ratio, _)| !is_short(ratio, digits)) {
        return None;
    }
    let used = live.iter().fold(0, |used, (_, state)| used | state.0);
    if used.count_ones() as usize != layout.elements.len() {
        return None;
    }
    live.sort_by(|(a, _), (b, _)| (a.is_negative(), b).cmp(&(b.is_negative(), a)));
    let reverses = live.iter().filter(|(ratio, _)| ratio.is_negative()).count();
    let mut gears = Vec::new();
    for (index, (ratio, engaged)) in live.into_iter().enumerate() {
        let name = match (ratio.is_negative(), reverses) {
            (false, _) => (index + 1).to_string(),
            (true, 1) => "R".to_owned(),
            (true, _) => format!(
                "R{}",
                gears.iter().filter(|g: &&NamedGear| g.ratio.is_negative()).count() + 1
            ),
        };
        gears.push(NamedGear { name, engaged, ratio });
    }
    layout.gears =
        gears.iter().map(|gear| Gear { name: gear.name.clone(), engaged: gear.engaged }).collect();
    Some(Gearbox { layout, gears })
}

impl Gearbox {
    /// What no other item may have: the wiring and the teeth.
    pub fn marks(&self) -> Vec<String> {
        let (core, slots) = self.layout.wiring();
        let wiring = std::iter::once(format!("layout:{}", canonical(&core, &slots)));
        let teeth = self.layout.sets.iter().map(|set| format!("teeth:{}/{}", set.sun, set.ring));
        wiring.chain(teeth).unique().collect()
    }

    pub fn forward(&self) -> impl Iterator<Item = &NamedGear> {
        self.gears.iter().filter(|gear| gear.ratio.is_positive())
    }

    /// Whether every set carries torque in some gear: one that never does is there for nothing.
    fn every_set_works(&self) -> bool {
        let working: Vec<Vec<bool>> =
            self.gears.iter().map(|gear| working(&self.layout, gear.engaged)).collect();
        (0..self.layout.sets.len()).all(|set| working.iter().any(|sets| sets[set]))
    }

    /// Whether all sets carry torque in a gear, so that each must be solved.
    pub fn all_work(&self, gear: &NamedGear) -> bool {
        working(&self.layout, gear.engaged).into_iter().all(|works| works)
    }

    /// Names of engaged elements.
    pub fn names(&self, engaged: ElementMask) -> Vec<String> {
        names(&self.layout, engaged)
    }

    /// Digits of the longest ratio.
    pub fn digits(&self) -> u32 {
        self.gears.iter().map(|gear| crate::exam::clean::digits(&gear.ratio)).max().unwrap_or(1)
    }
}

/// Of each set whether it carries torque in a state, losses left out.
fn working(layout: &Layout, engaged: ElementMask) -> Vec<bool> {
    let motion = solve_state(layout, engaged);
    let torques = solve_torques(layout, &motion);
    let works = |set: usize| {
        let sun = torques.as_ref().and_then(|torques| torques.members[set][0].as_ref());
        sun.is_some_and(|torque| !torque.is_zero())
    };
    (0..layout.sets.len()).map(works).collect()
}

pub(super) fn names(layout: &Layout, engaged: ElementMask) -> Vec<String> {
    engaged.iter().map(|element| layout.elements[element].name.clone()).collect()
}

/// Whether an element is a brake.
pub(super) fn is_brake(element: &Element) -> bool {
    element.grip.ends().1.is_none()
}

/// The size of a ratio.
pub(super) fn size(ratio: &Fraction) -> f64 {
    to_f64(ratio).abs()
}
