//! The door `show`: a layout in, all that can be told of it out.

mod drawing;
mod faults;
mod largest;
mod power;
mod state;
mod wheels;

use itertools::Itertools;

use drawing::drawing_told;
use faults::{faults_told, shifts_told};
use largest::largest;
use state::state;
use wheels::wheels_told;

use super::shown::{
    Assumed, ConditionTold, ElementPlace, Exact, FewestTold, GearServed, Scores, SetTeeth,
    ShaftMembers, Shown, State, Step,
};
use crate::brief::Brief;
use crate::build::nests;
use crate::motion::{MeshEfficiency, MeshScaling};
use crate::num::{Fraction, fraction, to_f64};
use crate::score::{
    Assessment, Criterion, GearState, Progression, Setting, assess, fewest_elements,
};
use crate::teeth::{ToothLimits, conditions, preferences};
use crate::train::{Element, ElementMask, Grip, Layout, canonical};

/// What a layout file does not say, and losses, conditions and scores need.
#[derive(Clone, Debug, PartialEq)]
pub struct Basis {
    pub mesh: MeshEfficiency,
    pub teeth: ToothLimits,
    pub progression: Progression,
}

impl Default for Basis {
    fn default() -> Self {
        let (mesh, teeth) = (MeshEfficiency::default(), ToothLimits::default());
        Self { mesh, teeth, progression: Progression::Geometric }
    }
}

impl From<&Brief> for Basis {
    fn from(brief: &Brief) -> Self {
        let progression = brief.gears.progression.clone();
        Self { mesh: brief.mesh, teeth: brief.teeth.clone(), progression }
    }
}

/// Everything about a layout: teeth, gears, states, scores.
///
/// Ratios, speeds, lossless torques and powers are exact; efficiencies are estimates from
/// the mesh efficiencies of `basis`, which also has the tooth limits and the progression by
/// which conditions and scores are judged. [`Shown`] is `show --json` as it stands.
pub fn show(layout: &Layout, basis: &Basis) -> Shown {
    let Basis { mesh, teeth, progression } = basis;
    let assessment = assess(layout, mesh);
    let setting = Setting { progression, teeth };
    let score = |criterion: Criterion| {
        let score = assessment.score(criterion, layout, &setting);
        (criterion.name(), score.filter(|score| score.is_finite()))
    };
    let gears = layout.gears.iter();
    let gears = gears.map(|gear| GearState::of(layout, &gear.name, gear.engaged, mesh));
    let gears: Vec<State> = gears.map(|solved| state(layout, &solved)).collect();
    let states = states(layout, mesh);
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
        sets: (0..layout.sets.len()).map(|set| set_teeth(layout, set, teeth)).collect(),
        largest: largest(layout, &gears, &states),
        faults: faults_told(layout),
        shifts: shifts_told(layout, &assessment),
        gears,
        states,
        spread: assessment.spread().as_ref().map(exact),
        steps: steps(layout, &assessment),
        nests: nests(layout),
        drawing: drawing_told(layout),
        scores: Scores(Criterion::ALL.into_iter().map(score).collect()),
        fewest_elements: fewest(layout),
        assumed: Assumed {
            mesh_external: mesh.external,
            mesh_internal: mesh.internal,
            losses_by_teeth: mesh.scaling == MeshScaling::Teeth,
            module_mm: teeth.module,
            progression: match progression {
                Progression::Geometric => "geometric",
                Progression::Progressive { .. } => "progressive",
                Progression::Given(_) => "given",
            },
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
        wheels: wheels_told(&set, limits),
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
