//! What usual mistakes would give in a gear, computed from its own numbers.

use num_traits::Zero;

use super::sense::is_block;
use crate::motion::{Motion, solve_state};
use crate::num::Fraction;
use crate::train::{GearSet, Layout, OUTPUT, Role, SetKind};

/// A mistake and what it gives.
#[derive(Clone, Debug, PartialEq)]
pub struct Slip {
    /// The phrase that tells it.
    pub phrase: &'static str,
    /// The set that is taken wrong, from 1, where it is one.
    pub set: Option<usize>,
    /// `None` where no motion is left.
    pub wrong: Option<Fraction>,
}

/// Mistakes that give another number than the right ratio, each number once.
pub fn slips(layout: &Layout, motion: &Motion) -> Vec<Slip> {
    let Some(right) = &motion.ratio else { return Vec::new() };
    let rolls = (0..layout.sets.len()).any(|set| !is_block(layout, motion, set));
    let mut slips = Vec::new();
    let mut add = |slip: Slip| {
        let known = slips.iter().any(|other: &Slip| other.wrong == slip.wrong);
        if slip.wrong.as_ref() != Some(right) && !known {
            slips.push(slip);
        }
    };
    add(Slip { phrase: "mistake-inverse", set: None, wrong: Some(right.recip()) });
    if !rolls {
        return slips;
    }
    if layout.sets.iter().all(|set| set.planet.is_some()) {
        let with_planet =
            |set: &GearSet| GearSet { ring: set.ring + set.planet.unwrap_or_default(), ..*set };
        let wrong = taken(layout, motion, with_planet);
        if wrong.is_some() {
            add(Slip { phrase: "mistake-planet", set: None, wrong });
        }
    }
    let turned = |set: &GearSet| GearSet {
        kind: match set.kind {
            SetKind::Single => SetKind::Paired,
            SetKind::Paired => SetKind::Single,
        },
        ..*set
    };
    match taken(layout, motion, turned) {
        None => add(Slip { phrase: "mistake-sign-locked", set: None, wrong: None }),
        wrong => add(Slip { phrase: "mistake-sign", set: None, wrong }),
    }
    for set in 0..layout.sets.len() {
        if let Some(wrong) = carrier_still(layout, motion, set) {
            let wrong = Some(wrong);
            add(Slip { phrase: "mistake-carrier", set: Some(set + 1), wrong });
        }
    }
    slips
}

/// The ratio with every set changed.
fn taken(
    layout: &Layout,
    motion: &Motion,
    change: impl Fn(&GearSet) -> GearSet,
) -> Option<Fraction> {
    let sets = layout.sets.iter().map(change).collect();
    solve_state(&Layout { sets, ..layout.clone() }, motion.engaged).ratio
}

/// What the set on the output would give if its carrier stood still, though it turns: the
/// speeds of its wheels as the carrier sees them, one driven with the input, the other taken
/// off or, where the carrier is taken off, left over.
fn carrier_still(layout: &Layout, motion: &Motion, set: usize) -> Option<Fraction> {
    let seats = layout.seats(set);
    let [sun, ring, carrier] = seats.map(|seat| motion.speed_at(seat));
    let (sun, ring, carrier) = (sun?, ring?, carrier?);
    let on_output = seats.contains(&Some(OUTPUT));
    if carrier.is_zero() || !on_output || is_block(layout, motion, set) {
        return None;
    }
    let input = Fraction::from(num_bigint::BigInt::from(1));
    let driven = if sun == input { Role::Sun } else { Role::Ring };
    if sun != input && ring != input {
        return None;
    }
    let (from, to) = match driven {
        Role::Sun => (&sun - &carrier, &ring - &carrier),
        _ => (&ring - &carrier, &sun - &carrier),
    };
    (!to.is_zero()).then(|| from / to)
}
