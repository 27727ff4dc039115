//! The door `show`: a layout in, all that can be told of it out.

use itertools::Itertools;
use num_traits::{One, Zero};

use super::reason::reason;
use super::shown::{
    Assumed, ConditionTold, ElementMotion, ElementPlace, Exact, FewestTold, GearServed,
    HousingLoad, Scores, SetMotion, SetTeeth, ShaftMembers, ShaftMotion, Shown, State, Step,
};
use crate::build::nests;
use crate::motion::{MeshEfficiency, Status, formula, outer_planet_speed, planet_speed};
use crate::num::{Fraction, fraction, to_f64};
use crate::score::{
    Assessment, Criterion, GearState, Progression, Setting, assess, fewest_elements,
};
use crate::teeth::{ToothLimits, conditions, preferences};
use crate::train::{Element, ElementMask, Grip, INPUT, Layout, OUTPUT, SetKind, canonical};

const OPEN_TORQUE: &str = "not determined, because an engaged element is redundant";
const OPEN_TEETH: &str = "the planet's teeth are not known, so its speed is not";

/// Everything about a layout: teeth, gears, states, scores.
///
/// Ratios, speeds and lossless torques are exact; efficiencies are estimates from the
/// default mesh efficiencies. Conditions and scores take the default tooth limits and a
/// geometric progression. [`Shown`] is `show --json` as it stands.
pub fn show(layout: &Layout) -> Shown {
    let mesh = MeshEfficiency::default();
    let teeth = ToothLimits::default();
    let progression = Progression::Geometric;
    let assessment = assess(layout, &mesh);
    let setting = Setting { progression: &progression, teeth: &teeth };
    let score = |criterion: Criterion| {
        let score = assessment.score(criterion, layout, &setting);
        (criterion.name(), score.filter(|score| score.is_finite()))
    };
    let (core, slots) = layout.wiring();
    Shown {
        canonical: canonical(&core, &slots).to_string(),
        title: layout.title.clone(),
        shafts: layout
            .shafts
            .iter()
            .map(|shaft| {
                let members = shaft.members.iter().map(ToString::to_string).collect();
                ShaftMembers { shaft: shaft.name.clone(), members }
            })
            .collect(),
        held: layout.held.iter().map(ToString::to_string).collect(),
        elements: layout.elements.iter().map(|element| place(layout, element)).collect(),
        sets: (0..layout.sets.len()).map(|set| set_teeth(layout, set, &teeth)).collect(),
        gears: layout
            .gears
            .iter()
            .map(|gear| state(layout, &GearState::of(layout, &gear.name, gear.engaged, &mesh)))
            .collect(),
        states: states(layout, &mesh),
        spread: assessment.spread().as_ref().map(exact),
        steps: steps(layout, &assessment),
        nests: nests(layout),
        scores: Scores(Criterion::ALL.into_iter().map(score).collect()),
        fewest_elements: fewest(layout),
        assumed: Assumed {
            mesh_external: mesh.external,
            mesh_internal: mesh.internal,
            module_mm: teeth.module,
            progression: "geometric",
        },
    }
}

fn exact(value: &Fraction) -> Exact {
    Exact { exact: value.to_string(), value: to_f64(value) }
}

fn text(value: &Option<Fraction>) -> Option<String> {
    value.as_ref().map(ToString::to_string)
}

fn kind(element: &Element) -> &'static str {
    match element.grip {
        Grip::Brake(_) => "brake",
        Grip::Clutch(..) => "clutch",
    }
}

fn place(layout: &Layout, element: &Element) -> ElementPlace {
    let shafts = match element.grip {
        Grip::Brake(shaft) => vec![shaft],
        Grip::Clutch(a, b) => vec![a, b],
    };
    let shafts = shafts.into_iter().map(|shaft| layout.shafts[shaft.0].name.clone()).collect();
    ElementPlace { element: element.name.clone(), kind: kind(element), shafts }
}

fn set_teeth(layout: &Layout, index: usize, limits: &ToothLimits) -> SetTeeth {
    let set = layout.sets[index];
    let told = |kind: &'static str| {
        move |condition: crate::teeth::Condition| ConditionTold {
            name: condition.name,
            holds: condition.holds,
            detail: condition.detail,
            kind,
        }
    };
    let binding = conditions(&set, limits).into_iter().map(told("condition"));
    let wished = preferences(&set).into_iter().map(told("preference"));
    SetTeeth {
        set: index + 1,
        kind: set.kind.word(),
        sun: set.sun,
        ring: set.ring,
        planet: set.planet,
        outer_planet: set.outer_planet,
        planets: set.planets,
        base_ratio: exact(&fraction(i64::from(set.ring), i64::from(set.sun))),
        conditions: binding.chain(wished).collect(),
    }
}

/// Every state that could be determinate, by the name of its gear if it is one.
fn states(layout: &Layout, mesh: &MeshEfficiency) -> Vec<State> {
    let name = |engaged: ElementMask| {
        let gear = layout.gears.iter().find(|gear| gear.engaged == engaged);
        gear.map_or("", |gear| gear.name.as_str())
    };
    let solved = |engaged| GearState::of(layout, name(engaged), engaged, mesh);
    layout.states().map(|engaged| state(layout, &solved(engaged))).collect()
}

fn state(layout: &Layout, solved: &GearState) -> State {
    let motion = &solved.motion;
    let sets: Vec<SetMotion> =
        (0..layout.sets.len()).map(|set| set_motion(layout, solved, set)).collect();
    let losses = solved.losses.as_ref();
    let live = motion.status == Status::Live;
    let rolling: Option<Vec<f64>> = sets.iter().map(|set| set.rolling_power).collect();
    let named = layout.gears.iter().any(|gear| gear.name == solved.name);
    State {
        gear: named.then(|| solved.name.clone()),
        engaged: element_names(layout, motion.engaged),
        status: motion.status.word(),
        reason: reason(layout, motion),
        ratio: motion.ratio.as_ref().map(exact),
        formula: live.then(|| ratio_formula(layout, motion.engaged)).flatten(),
        shafts: shafts(layout, solved),
        housing: HousingLoad {
            torque: solved.torques.as_ref().map(|torques| torques.housing.to_string()),
        },
        elements: (0..layout.elements.len()).map(|e| element_motion(layout, solved, e)).collect(),
        efficiency: losses.and_then(|losses| losses.efficiency),
        self_locking: losses.is_some_and(|losses| losses.self_locking),
        circulating_power: rolling.map(|powers| powers.iter().map(|power| power.abs()).sum()),
        largest_branch_power: losses.map(|losses| losses.largest_branch),
        note: (live && losses.is_none())
            .then_some("the losses are not determined, because an engaged element is redundant"),
        sets,
    }
}

/// The formula of a live state. Where more elements are engaged than needed, that of some
/// of them: the state obeys each of its parts, so a part that leaves one motion has its
/// ratio.
fn ratio_formula(layout: &Layout, engaged: ElementMask) -> Option<String> {
    let parts = engaged.iter().combinations(engaged.len().min(layout.engaged()));
    let mut found = parts.filter_map(|part| formula(layout, ElementMask::of(part)));
    found.next().map(|formula| formula.to_string())
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

fn set_motion(layout: &Layout, solved: &GearState, set: usize) -> SetMotion {
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
    SetMotion {
        set: set + 1,
        sun_torque: text(&torques[0]),
        ring_torque: text(&torques[1]),
        carrier_torque: text(&torques[2]),
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

fn element_motion(layout: &Layout, solved: &GearState, index: usize) -> ElementMotion {
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
    }
}

fn element_names(layout: &Layout, elements: ElementMask) -> Vec<String> {
    elements.iter().map(|element| layout.elements[element].name.clone()).collect()
}

fn fewest(layout: &Layout) -> Option<FewestTold> {
    let fewest = fewest_elements(layout)?;
    let kept = |&element: &usize| fewest.kept.contains(element);
    let (kept, left_out): (Vec<usize>, _) = (0..layout.elements.len()).partition(kept);
    let served = |(gear, state): &(String, ElementMask)| GearServed {
        gear: gear.clone(),
        engaged: element_names(layout, *state),
    };
    Some(FewestTold {
        kept: element_names(layout, ElementMask::of(kept)),
        left_out: element_names(layout, ElementMask::of(left_out)),
        proved: fewest.proved,
        gears: fewest.gears.iter().map(served).collect(),
    })
}

fn steps(layout: &Layout, assessment: &Assessment) -> Vec<Step> {
    let name = |gear: usize| layout.gears[gear].name.clone();
    let step = |((from, higher), (to, lower)): ((usize, &Fraction), (usize, &Fraction))| {
        let Exact { exact, value } = exact(&(higher / lower));
        Step { from: name(from), to: name(to), exact, value }
    };
    assessment.ladder().tuple_windows().map(step).collect()
}
