//! The largest loads and speeds over the gears, and in which gear each stands.

use num_traits::Signed;

use crate::account::shown::{ElementPeaks, Largest, Peak, SetPeaks, ShaftPeaks, State};
use crate::num::{Fraction, parse_fraction, to_f64};
use crate::train::Layout;

/// Over the named gears that are live; without named gears over all live states.
pub(super) fn largest(layout: &Layout, gears: &[State], states: &[State]) -> Largest {
    let all = if gears.is_empty() { states } else { gears };
    let live: Vec<&State> = all.iter().filter(|state| state.ratio.is_some()).collect();
    let element = |(index, element): (usize, &crate::train::Element)| {
        let torque = |state: &&State| {
            let told = &state.elements[index];
            told.engaged.then(|| told.torque.clone())
        };
        let slip = |state: &&State| {
            let told = &state.elements[index];
            (!told.engaged).then(|| told.slip.clone())
        };
        ElementPeaks {
            element: element.name.clone(),
            torque: peak(&live, torque),
            slip: peak(&live, slip),
        }
    };
    let set = |set: usize| {
        let inner = peak(&live, |state| Some(state.sets[set].planet_speed.clone()));
        let paired = layout.sets[set].kind == crate::train::SetKind::Paired;
        let planet_speed = if paired {
            let outer = peak(&live, |state| Some(state.sets[set].outer_planet_speed.clone()));
            inner
                .zip(outer)
                .map(|(inner, outer)| if outer.value > inner.value { outer } else { inner })
        } else {
            inner
        };
        SetPeaks { set: set + 1, planet_speed }
    };
    let shaft = |(index, shaft): (usize, &crate::train::Shaft)| ShaftPeaks {
        shaft: shaft.name.clone(),
        speed: peak(&live, |state| Some(state.shafts[index].speed.clone())),
    };
    Largest {
        elements: layout.elements.iter().enumerate().map(element).collect(),
        sets: (0..layout.sets.len()).map(set).collect(),
        shafts: layout.shafts.iter().enumerate().map(shaft).collect(),
    }
}

/// The largest size, the first of equal ones; `None` where none counts or one is open.
fn peak(live: &[&State], size: impl Fn(&&State) -> Option<Option<String>>) -> Option<Peak> {
    let mut largest: Option<(Fraction, &State)> = None;
    for state in live {
        let Some(exact) = size(state) else { continue };
        let exact = parse_fraction(&exact?)?.abs();
        if largest.as_ref().is_none_or(|(largest, _)| exact > *largest) {
            largest = Some((exact, state));
        }
    }
    let (exact, state) = largest?;
    let gear = state.gear.clone().unwrap_or_else(|| state.engaged.join(" "));
    Some(Peak { value: to_f64(&exact), exact: exact.to_string(), gear })
}
