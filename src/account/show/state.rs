//! One state as `show` tells it: speeds, torques, powers, losses, the formula.

use num_traits::{One, Zero};

use super::power::power;
use super::{element_names, exact, kind, text};
use crate::account::reason::reason;
use crate::account::shown::{
    ElementMotion, FormulaTold, FormulasTold, HousingLoad, SetMotion, ShaftMotion, State,
};
use crate::motion::{
    PowerFlow, Status, derivation, formula, needed_elements, outer_planet_speed, planet_speed,
    power_flow,
};
use crate::num::{Fraction, to_f64};
use crate::score::GearState;
use crate::train::{ElementMask, INPUT, Layout, OUTPUT, SetKind};

const OPEN_TORQUE: &str = "not determined, because an engaged element is redundant";
const OPEN_TEETH: &str = "the planet's teeth are not known, so its speed is not";

pub(super) fn state(layout: &Layout, solved: &GearState) -> State {
    let motion = &solved.motion;
    let flow = solved.torques.as_ref().map(|torques| power_flow(layout, motion, torques));
    let of_set = |set: usize| set_motion(layout, solved, flow.as_ref(), set);
    let sets: Vec<SetMotion> = (0..layout.sets.len()).map(of_set).collect();
    let losses = solved.losses.as_ref();
    let live = motion.status == Status::Live;
    let rolling: Option<Vec<f64>> = sets.iter().map(|set| set.rolling_power).collect();
    let formulas = live.then(|| formulas(layout, motion.engaged)).flatten();
    let named = layout.gears.iter().any(|gear| gear.name == solved.name);
    State {
        gear: named.then(|| solved.name.clone()),
        engaged: element_names(layout, motion.engaged),
        status: motion.status.word(),
        reason: reason(layout, motion),
        ratio: motion.ratio.as_ref().map(exact),
        formula: formulas.as_ref().map(|formulas| formulas.base_ratios.text.clone()),
        formulas,
        derivation: (live && named).then(|| derivation(layout, motion.engaged)).flatten(),
        shafts: shafts(layout, solved),
        housing: HousingLoad {
            torque: solved.torques.as_ref().map(|torques| torques.housing.to_string()),
        },
        elements: (0..layout.elements.len())
            .map(|index| element_motion(layout, solved, flow.as_ref(), index))
            .collect(),
        efficiency: losses.and_then(|losses| losses.efficiency),
        self_locking: losses.is_some_and(|losses| losses.self_locking),
        circulating_power: rolling.map(|powers| powers.iter().map(|power| power.abs()).sum()),
        back_efficiency: losses.and_then(|losses| losses.back_efficiency),
        back_drives: losses.map(|losses| losses.back_efficiency.is_some()),
        largest_branch_power: flow
            .as_ref()
            .and_then(PowerFlow::largest_branch)
            .as_ref()
            .map(to_f64),
        power: flow.as_ref().map(|flow| power(layout, flow)),
        note: (live && losses.is_none())
            .then_some("the losses are not determined, because an engaged element is redundant"),
        sets,
    }
}

/// The formulas of a live state; of the elements that fix its motion where more are engaged.
fn formulas(layout: &Layout, engaged: ElementMask) -> Option<FormulasTold> {
    let formula = formula(layout, needed_elements(layout, engaged)?)?;
    let teeth = formula.in_teeth();
    let base_ratios =
        FormulaTold { text: formula.to_string(), latex: formula.latex(), mathml: formula.mathml() };
    let teeth =
        FormulaTold { text: teeth.to_string(), latex: teeth.latex(), mathml: teeth.mathml() };
    Some(FormulasTold { base_ratios, teeth })
}

/// From outside, 1 acts on the input, −i on the output, nothing on the others.
fn shafts(layout: &Layout, solved: &GearState) -> Vec<ShaftMotion> {
    let outside = |shaft: usize| {
        let torques = solved.torques.as_ref()?;
        Some(match shaft {
            _ if shaft == INPUT.0 => Fraction::one(),
            _ if shaft == OUTPUT.0 => torques.output.clone(),
            _ => Fraction::zero(),
        })
    };
    let told = layout.shafts.iter().zip(&solved.motion.speeds).enumerate();
    told.map(|(index, (shaft, speed))| ShaftMotion {
        shaft: shaft.name.clone(),
        speed: text(speed),
        torque: text(&outside(index)),
    })
    .collect()
}

fn set_motion(
    layout: &Layout,
    solved: &GearState,
    flow: Option<&PowerFlow>,
    set: usize,
) -> SetMotion {
    let motion = &solved.motion;
    let none = [const { None }; 3];
    let torques = solved.torques.as_ref().map_or(&none, |torques| &torques.members[set]);
    let [sun, _, carrier] = layout.seats(set).map(|seat| motion.speed_at(seat));
    let rolling = sun.zip(carrier).map(|(sun, carrier)| sun - carrier);
    let paired = layout.sets[set].kind == SetKind::Paired;
    let turning = |turns: &Fraction| match &torques[0] {
        // A block rolls nothing, whatever its torque.
        _ if turns.is_zero() && solved.torques.is_some() => Some(0.0),
        Some(torque) => Some(to_f64(&(torque * turns))),
        None => None,
    };
    let planet = planet_speed(layout, motion, set);
    let outer = outer_planet_speed(layout, motion, set);
    let unknown = rolling.is_some() && (planet.is_none() || paired && outer.is_none());
    let lost = solved.losses.as_ref().and_then(|losses| losses.lost_power.get(set).copied());
    let given = |member: usize| text(&flow?.members[set][member]);
    SetMotion {
        set: set + 1,
        sun_torque: text(&torques[0]),
        ring_torque: text(&torques[1]),
        carrier_torque: text(&torques[2]),
        sun_power: given(0),
        ring_power: given(1),
        carrier_power: given(2),
        planet_speed: text(&planet),
        outer_planet_speed: text(&outer),
        rolling_power: rolling.as_ref().and_then(turning),
        lost_power: lost,
        note: match () {
            () if solved.torques.is_some() && torques[0].is_none() => Some(OPEN_TORQUE),
            () if unknown => Some(OPEN_TEETH),
            () => None,
        },
    }
}

fn element_motion(
    layout: &Layout,
    solved: &GearState,
    flow: Option<&PowerFlow>,
    index: usize,
) -> ElementMotion {
    let (motion, element) = (&solved.motion, &layout.elements[index]);
    let engaged = motion.engaged.contains(index);
    let torque = solved.torques.as_ref().and_then(|torques| torques.elements[index].clone());
    // An engaged element does not slip, whatever the speed at which it turns.
    let slip = match motion.slip(element) {
        None if engaged && motion.status != Status::Locked => Some(Fraction::zero()),
        slip => slip,
    };
    ElementMotion {
        element: element.name.clone(),
        kind: kind(element),
        engaged,
        note: (solved.torques.is_some() && torque.is_none()).then_some(OPEN_TORQUE),
        torque: text(&torque),
        slip: text(&slip),
        power: flow.and_then(|flow| text(&flow.elements[index])),
    }
}
