//! Faults and shifts, in names.

use super::{element_names, exact};
use crate::account::shown::{EffectTold, ElementShiftTold, FaultTold, InsteadTold, ShiftTold};
use crate::motion::{Effect, ElementShift, Failure, Fault, Instead, Shift, faults, shifts};
use crate::score::Assessment;
use crate::train::Layout;

pub(super) fn faults_told(layout: &Layout) -> Vec<FaultTold> {
    faults(layout).iter().map(|fault| fault_told(layout, fault)).collect()
}

fn fault_told(layout: &Layout, fault: &Fault) -> FaultTold {
    let instead = |instead: &Instead| InsteadTold {
        gear: layout.gears[instead.gear].name.clone(),
        opened: layout.elements[instead.opened].name.clone(),
        ratio: exact(&instead.ratio),
    };
    let gears = layout.gears.iter().zip(&fault.gears);
    FaultTold {
        element: layout.elements[fault.element].name.clone(),
        failure: match fault.failure {
            Failure::CannotEngage => "cannot engage",
            Failure::StaysEngaged => "stays engaged",
        },
        gears: gears.map(|(gear, effect)| effect_told(&gear.name, effect)).collect(),
        instead: fault.instead.iter().map(instead).collect(),
    }
}

fn effect_told(gear: &str, effect: &Effect) -> EffectTold {
    let (effect, status, ratio) = match effect {
        Effect::Kept { free: false } => ("kept", "live", None),
        Effect::Kept { free: true } => ("kept", "live, while a part without load runs free", None),
        Effect::Changed(ratio) => ("changed", "live", Some(exact(ratio))),
        Effect::Lost(status) => ("lost", status.word(), None),
        Effect::Dead => ("dead", "not live without the fault", None),
    };
    EffectTold { gear: gear.to_owned(), effect, status, ratio }
}

/// Forward gears among themselves, then reverse gears among themselves.
pub(super) fn shifts_told(layout: &Layout, assessment: &Assessment) -> Vec<ShiftTold> {
    let [forward, reverse] = assessment.orders();
    let upwards = |order: &[usize]| -> Vec<ShiftTold> {
        let told = shifts(layout, order).into_iter().map(|shift| {
            let place = |gear: usize| order.iter().position(|&other| other == gear);
            let neighbours = place(shift.to) == place(shift.from).map(|place| place + 1);
            shift_told(layout, &shift, neighbours)
        });
        told.collect()
    };
    [upwards(forward), upwards(reverse)].concat()
}

fn shift_told(layout: &Layout, shift: &Shift, neighbours: bool) -> ShiftTold {
    let element = |element: &ElementShift| ElementShiftTold {
        element: layout.elements[element.element].name.clone(),
        slip_before: element.slip_before.to_string(),
        slip_after: element.slip_after.to_string(),
        speed_change: element.speed_change.to_string(),
    };
    ShiftTold {
        from: layout.gears[shift.from].name.clone(),
        to: layout.gears[shift.to].name.clone(),
        released: element_names(layout, shift.released),
        applied: element_names(layout, shift.applied),
        kind: match shift.released.len().max(shift.applied.len()) {
            0 | 1 => "single",
            2 => "double",
            _ => "multiple",
        },
        neighbours,
        elements: shift.elements.iter().map(element).collect(),
    }
}
