//! What becomes of the gears when an element fails, and what a shift asks of the elements.
//! Computed from the model of speeds, state by state; nothing is looked up.

use itertools::Itertools;
use num_traits::Zero;

use super::{Motion, Status, solve_state};
use crate::num::Fraction;
use crate::train::{ElementMask, Layout, OUTPUT};

/// How an element fails.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Failure {
    /// It never holds.
    CannotEngage,
    /// It never lets go.
    StaysEngaged,
}

/// One element that fails in one way.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// The element by its place in the layout.
    pub element: usize,
    pub failure: Failure,
    /// What becomes of every gear, in the layout's order.
    pub gears: Vec<Effect>,
    /// Where it stays engaged: what each gear that locks gives when one of its own elements
    /// is opened instead, one entry a state, live ones only.
    pub instead: Vec<Instead>,
}

impl Fault {
    /// What becomes of a gear, by its place in the layout.
    pub fn effect(&self, gear: usize) -> Option<&Effect> {
        self.gears.get(gear)
    }
}

/// What a gear is worth with a fault.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Effect {
    /// The same ratio. `free` when something else turns as it likes, which no power needs.
    Kept { free: bool },
    /// The output turns with another ratio.
    Changed(Fraction),
    /// It drives no more: loose, locked or idle output.
    Lost(Status),
    /// The gear drives nothing without the fault either.
    Dead,
}

/// A state that a stuck element leaves instead of a gear.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Instead {
    /// The gear by its place in the layout.
    pub gear: usize,
    /// The element of the gear that is opened.
    pub opened: usize,
    pub ratio: Fraction,
}

/// Every element of the layout, failing in both ways.
///
/// An element that cannot engage takes its constraint out of the system of speeds; the state
/// is then loose, unless the element carried no torque: its torque is the factor with which
/// its constraint enters the output's speed. One that stays engaged adds a constraint, and
/// the input is locked unless that constraint follows from the others.
pub fn faults(layout: &Layout) -> Vec<Fault> {
    let sound: Vec<Motion> =
        layout.gears.iter().map(|gear| solve_state(layout, gear.engaged)).collect();
    let failures = [Failure::CannotEngage, Failure::StaysEngaged];
    let both = (0..layout.elements.len()).cartesian_product(failures);
    both.map(|(element, failure)| fault(layout, &sound, element, failure)).collect()
}

fn fault(layout: &Layout, sound: &[Motion], element: usize, failure: Failure) -> Fault {
    let gears = sound.iter().map(|motion| {
        let engaged = with_fault(motion.engaged, element, failure);
        effect(motion, || solve_state(layout, engaged))
    });
    let gears: Vec<Effect> = gears.collect();
    let mut instead = Vec::new();
    if failure == Failure::StaysEngaged {
        let locked = |gear: &usize| gears[*gear] == Effect::Lost(Status::Locked);
        for gear in (0..gears.len()).filter(locked) {
            for opened in sound[gear].engaged.iter() {
                let stuck = ElementMask(sound[gear].engaged.0 & !(1 << opened) | 1 << element);
                if let Some(ratio) = solve_state(layout, stuck).ratio {
                    instead.push(Instead { gear, opened, ratio });
                }
            }
        }
    }
    Fault { element, failure, gears, instead }
}

fn with_fault(engaged: ElementMask, element: usize, failure: Failure) -> ElementMask {
    ElementMask(match failure {
        Failure::CannotEngage => engaged.0 & !(1 << element),
        Failure::StaysEngaged => engaged.0 | 1 << element,
    })
}

/// What is left of a gear; `faulty` is its motion with the fault.
fn effect(sound: &Motion, faulty: impl Fn() -> Motion) -> Effect {
    let Some(ratio) = &sound.ratio else { return Effect::Dead };
    let faulty = faulty();
    let output = match (faulty.status, &faulty.speeds[OUTPUT.0]) {
        (Status::Locked | Status::IdleOutput, _) => return Effect::Lost(faulty.status),
        (Status::Loose, None) => return Effect::Lost(Status::Loose),
        (Status::Loose, Some(speed)) if speed.is_zero() => {
            return Effect::Lost(Status::IdleOutput);
        }
        (_, speed) => speed.as_ref().map(Fraction::recip),
    };
    match output {
        Some(changed) if changed != *ratio => Effect::Changed(changed),
        _ => Effect::Kept { free: faulty.status == Status::Loose },
    }
}

/// The way from one live gear to another.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shift {
    /// Gears by their places in the layout.
    pub from: usize,
    pub to: usize,
    pub released: ElementMask,
    pub applied: ElementMask,
    /// Of every element that is engaged before or after, in the layout's order.
    pub elements: Vec<ElementShift>,
}

impl Shift {
    /// Whether at most one element is released and at most one applied.
    pub fn is_single(&self) -> bool {
        self.released.len() <= 1 && self.applied.len() <= 1
    }
}

/// What one element goes through in a shift. Speeds are per input speed before the shift;
/// the output keeps its speed, because the load is heavy and the shift is short.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ElementShift {
    pub element: usize,
    /// Slip before the shift: what an element that is applied must bring to rest.
    pub slip_before: Fraction,
    /// Slip after it: what an element that is released gets.
    pub slip_after: Fraction,
    /// Speed of its first-named shaft after less before.
    pub speed_change: Fraction,
}

/// Every way from one gear to another, upwards through `order` (places of live gears of one
/// direction, first to top); those of other gears are left out.
///
/// With the output's speed kept, the input's after the shift is i_to / i_from times that
/// before.
pub fn shifts(layout: &Layout, order: &[usize]) -> Vec<Shift> {
    let motions: Vec<(usize, Motion)> = order
        .iter()
        .map(|&gear| (gear, solve_state(layout, layout.gears[gear].engaged)))
        .filter(|(_, motion)| motion.status == Status::Live)
        .collect();
    let pairs = motions.iter().array_combinations();
    pairs.filter_map(|[from, to]| shift(layout, from, to)).collect()
}

fn shift(
    layout: &Layout,
    (from, before): &(usize, Motion),
    (to, after): &(usize, Motion),
) -> Option<Shift> {
    let scale = after.ratio.as_ref()? / before.ratio.as_ref()?;
    let (a, b) = (before.engaged.0, after.engaged.0);
    let elements = ElementMask(a | b).iter().map(|index| {
        let element = &layout.elements[index];
        let (first, _) = element.grip.ends();
        let speed_after = after.speed_at(Some(first))? * &scale;
        Some(ElementShift {
            element: index,
            slip_before: before.slip(element)?,
            slip_after: after.slip(element)? * &scale,
            speed_change: speed_after - before.speed_at(Some(first))?,
        })
    });
    Some(Shift {
        from: *from,
        to: *to,
        released: ElementMask(a & !b),
        applied: ElementMask(b & !a),
        elements: elements.collect::<Option<_>>()?,
    })
}
