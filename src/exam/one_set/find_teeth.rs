//! Teeth for a wanted ratio under limits: every right answer is listed.

use super::{GAP, Way, is_sure, layout_of, member, room};
use crate::exam::clean::{digits, is_short};
use crate::exam::shop::{Draft, Shop, step};
use crate::num::Fraction;
use crate::problem::{Answer, Demands, Item, Kind, Said, Step, Topic};
use crate::train::{GearSet, write_layout};

/// Most right answers: with more, almost anything would do.
const ANSWERS: usize = 6;

/// What a solver is told: the numbers of teeth that may be used.
struct Limits {
    least_sun: u32,
    least_planet: u32,
    most_ring: u32,
    planets: u32,
}

pub(in crate::exam) fn find_teeth(shop: &mut Shop<'_>) -> Option<Item> {
    let way = *shop.chance.pick(&Way::all())?;
    let short = shop.numbers.digits.min(2);
    let set = shop.set(|set| is_short(&way.ratio(set), short))?;
    let target = way.ratio(&set);
    let limits = Limits {
        least_sun: shop.numbers.teeth.sun.0,
        least_planet: shop.numbers.teeth.planet.0,
        // The set itself is within; a little room above it lets others in.
        most_ring: set.ring.div_ceil(5) * 5,
        planets: set.planets?,
    };
    let (accepted, sure) = all_answers(way, &target, &limits);
    if !sure || accepted.is_empty() || accepted.len() > ANSWERS {
        return None;
    }
    item(shop, way, &set, &target, &limits, accepted)
}

/// Every set of whole teeth within the limits that has the ratio, is coaxial, can be put
/// together with planets spaced equally and leaves room between their tips: all suns and all
/// planets are tried. Also whether none stands on the edge of its room.
fn all_answers(way: Way, target: &Fraction, limits: &Limits) -> (Vec<[u32; 4]>, bool) {
    let (mut found, mut sure) = (Vec::new(), true);
    for sun in limits.least_sun..limits.most_ring {
        for planet in limits.least_planet.. {
            let ring = sun + 2 * planet;
            if ring > limits.most_ring {
                break;
            }
            let set = GearSet::single(sun, ring);
            let phase = (sun + ring).is_multiple_of(limits.planets);
            if !phase || way.ratio(&set) != *target {
                continue;
            }
            let room = room(sun, planet, limits.planets);
            sure &= is_sure(room);
            if room >= GAP {
                found.push([sun, planet, ring, limits.planets]);
            }
        }
    }
    (found, sure)
}

fn item(
    shop: &mut Shop<'_>,
    way: Way,
    set: &GearSet,
    target: &Fraction,
    limits: &Limits,
    accepted: Vec<[u32; 4]>,
) -> Option<Item> {
    let layout = write_layout(&layout_of(set, way));
    let topics = [Topic::Teeth, Topic::OneSet];
    let told = Said::new("find-teeth-given")
        .with("scene", Said::new(&format!("scene-{}", shop.scene())))
        .with("driver", member(way.driver))
        .with("held", member(way.held))
        .with("out", member(way.out))
        .with("ratio", target);
    let bounds = Said::new("find-teeth-limits")
        .with("sun", limits.least_sun)
        .with("planet", limits.least_planet)
        .with("ring", limits.most_ring)
        .count("planets", limits.planets);
    let demands = Demands {
        sets: 1,
        equations: 3,
        unknowns: 2,
        sign_changes: 0,
        digits: digits(target).max(2),
        concepts: 3,
        results: 3,
    };
    let variant = way.letters();
    let draft = Draft::new(Kind::FindTeeth, shop.level, &variant, &topics, layout)
        .fact("ratio", target)
        .fact("least-sun", limits.least_sun)
        .fact("least-planet", limits.least_planet)
        .fact("most-ring", limits.most_ring)
        .fact("planets", limits.planets)
        .stem(told)
        .stem(bounds);
    let steps = steps(way, set, target, limits, &accepted);
    // No two items of an exam share any of their answers.
    let draft = accepted
        .iter()
        .fold(draft, |draft, [sun, _, ring, _]| draft.mark(format!("teeth:{sun}/{ring}")));
    Some(draft.part(Said::new("find-teeth-ask"), Answer::Teeth { accepted }, steps).done(demands))
}

/// From the ratio to the teeth, condition by condition.
fn steps(
    way: Way,
    set: &GearSet,
    target: &Fraction,
    limits: &Limits,
    accepted: &[[u32; 4]],
) -> Vec<Step> {
    let rho = set_ratio(set);
    let list: Vec<String> =
        accepted.iter().map(|[sun, planet, ring, _]| format!("{sun}/{planet}/{ring}")).collect();
    let base = Said::new("find-teeth-base")
        .maths("formula", way.formula())
        .with("ratio", target)
        .with("rho", &rho);
    vec![
        step(base, 1),
        step(Said::new("find-teeth-coaxial").with("rho", &rho), 1),
        step(Said::new("find-teeth-phase").count("planets", limits.planets), 1),
        step(Said::new("find-teeth-room").with("planets", limits.planets), 1),
        step(Said::new("find-teeth-all").name("list", list.join(", ")), 1),
    ]
}

/// ρ = Z_R / Z_S.
fn set_ratio(set: &GearSet) -> Fraction {
    crate::num::fraction(i64::from(set.ring), i64::from(set.sun))
}
