//! What is told first of the reductions of a front: how safe they are as built, whether a load
//! drives them back, and where losses are taken too small.

use crate::account::Workshop;
use crate::account::workshop::safety_told;
use crate::report::Candidate;
use crate::score::Criterion;
use crate::strength::Family;

/// Gives every reduction the least safety of what is judged of it as it is built.
pub(super) fn told_as_built(candidates: &mut [Candidate]) {
    let Some(place) = Criterion::REDUCTION.iter().position(|c| *c == Criterion::Safety) else {
        return;
    };
    for candidate in candidates {
        let weakest = candidate.workshop.as_ref().and_then(|shop| shop.weakest());
        if let Some((_, verdict)) = weakest {
            candidate.scores[place] = verdict.safety;
        }
    }
}

/// How safe the front is as built, and whether its load drives it back: what somebody who
/// builds one must know first.
pub(super) fn bears_told(front: &[Candidate]) -> Vec<String> {
    let shops = front.iter().filter_map(|one| Some((one.id.as_str(), one.workshop.as_deref()?)));
    let shops: Vec<(&str, &Workshop)> = shops.collect();
    let borne = shops.iter().any(|(_, shop)| shop.output_torque.is_some());
    let place = Criterion::REDUCTION.iter().position(|c| *c == Criterion::BackEfficiency);
    let back = |one: &Candidate| place.and_then(|place| one.scores[place]);
    let driven: Vec<f64> =
        front.iter().filter_map(back).filter(|share| *share > 0.0 && borne).collect();
    let most = driven.iter().copied().reduce(f64::max).map(|most| {
        let which = match driven.len() == front.len() {
            true => "the reductions shown here can".to_owned(),
            false => format!("{} of the {} reductions can", driven.len(), front.len()),
        };
        format!(
            "Let go of the input and a load that pulls at the output runs down: {which} be driven \
             back (up to {:.1} % of its power comes through). Hold it by a brake that is made for \
             that.",
            100.0 * most
        )
    });
    safety_told(&shops).into_iter().chain(most).chain(slippery_told(&shops)).collect()
}

/// That losses are not those of plastic, where wheels are of it.
fn slippery_told(shops: &[(&str, &Workshop)]) -> Option<String> {
    let mut wheels = shops.iter().flat_map(|(_, shop)| shop.materials.into_iter().flatten());
    let plastic = wheels.any(|wheel| matches!(wheel.family, Family::Plastic | Family::Printed));
    plastic.then(|| {
        "Efficiencies take the mesh efficiencies of the brief for all materials: those of greased \
         steel, if nothing else is written. Plastic and printed teeth lose more; write what is \
         measured of them as losses.external and losses.internal."
            .to_owned()
    })
}
