//! What of a reduction is too weak as it is built, and what to do about it.

use itertools::Itertools as _;

use super::Workshop;
use crate::reduction::{Bearer, Verdict};
use crate::strength::HubPlace;

impl Workshop {
    /// What has less than the safety asked for, set after set.
    pub fn weak(&self) -> Vec<(usize, Verdict)> {
        // Faces are worked out for that safety, and have it but for rounding.
        let least = self.asked.safety * (1.0 - 1e-9);
        let weak = |verdict: &Verdict| verdict.safety.is_some_and(|safety| safety < least);
        self.verdicts().into_iter().filter(|(_, verdict)| weak(verdict)).collect()
    }

    /// A sentence for each: what is too weak, by how much, and the mend.
    pub fn weak_told(&self) -> Vec<String> {
        let told = |(set, verdict): (usize, Verdict)| {
            let safety = verdict.safety.unwrap_or(0.0);
            let stress = match verdict.stress_mpa.zip(verdict.allowable_mpa) {
                Some((stress, allowable)) if stress.is_finite() => {
                    format!(" ({stress:.0} MPa, and {allowable:.0} are borne)")
                }
                Some(_) => " (no wall is left)".to_owned(),
                None => String::new(),
            };
            format!(
                "Too weak as built: the {}, safety {safety:.2}{stress}. Mend: {}.",
                verdict.bearer.words(set),
                self.mends(&verdict).join("; or ")
            )
        };
        self.weak().into_iter().map(told).collect()
    }

    /// Of all that was asked for and had to give way: a sentence each, with its set.
    pub fn gave_way(&self) -> Vec<String> {
        let told = (1..).zip(&self.sets).flat_map(|(number, work)| {
            let told = work.bench.iter().flat_map(|bench| &bench.gave_way);
            told.map(move |sentence| format!("Set {number}: {sentence}"))
        });
        told.collect()
    }

    /// What would help, the nearest first.
    fn mends(&self, verdict: &Verdict) -> Vec<String> {
        let safety = verdict.safety.unwrap_or(0.0).max(1e-6);
        let mut mends = Vec::new();
        match verdict.bearer {
            Bearer::Sun(place) => {
                if !self.asked.free_shaft {
                    mends.push("leave parts.shaft out, and it is chosen by the torque".to_owned());
                } else {
                    mends.push("cut the sun on its shaft, in one piece".to_owned());
                }
                if place == HubPlace::HoleWall {
                    mends.push("parts.hexagonal = true".to_owned());
                }
                mends.push("larger suns (teeth.sun, room.modules)".to_owned());
            }
            Bearer::Carrier(place) => {
                if !self.asked.free_shaft {
                    mends.push("leave parts.shaft out, and it is chosen by the torque".to_owned());
                }
                if place != HubPlace::Shaft {
                    let plate =
                        (self.asked.plate * self.asked.safety / safety * 10.0).ceil() / 10.0;
                    mends.push(format!(
                        "a hub bolted or welded to the plate, {plate} mm long in all"
                    ));
                    if plate <= THICKEST {
                        mends.push(format!("room.plate = {plate}"));
                    }
                }
            }
            Bearer::Pin(_) if !self.asked.free_pin => {
                mends.push("leave parts.pin out, and it is chosen by the load".to_owned());
            }
            Bearer::Pin(_) => mends.push("larger planets (teeth.planet, room.modules)".to_owned()),
            Bearer::PinHole(_) => {
                let plate = (self.asked.plate * self.asked.safety / safety * 10.0).ceil() / 10.0;
                mends.push(format!("plates of {plate} mm (room.plate)"));
            }
            Bearer::Teeth => mends.push("wider faces (room.width)".to_owned()),
        }
        mends.push("stronger materials, or less load".to_owned());
        mends
    }
}

/// A plate that is still called one, in mm.
const THICKEST: f64 = 40.0;

/// One sentence over several reductions: how safe all of them are as built, or which are not.
/// `None` where none is judged.
pub fn safety_told(front: &[(&str, &Workshop)]) -> Option<String> {
    let judged = front.iter().filter_map(|(id, shop)| Some((*id, *shop, shop.weakest()?)));
    let judged: Vec<(&str, &Workshop, (usize, Verdict))> = judged.collect();
    let safety = |verdict: &Verdict| verdict.safety.unwrap_or(f64::INFINITY);
    let (_, shop, (set, worst)) =
        judged.iter().min_by(|a, b| safety(&a.2.1).total_cmp(&safety(&b.2.1)))?;
    let weakest = format!("{:.2}, the {}", safety(worst), worst.bearer.words(*set));
    let weak = judged.iter().filter(|(_, shop, _)| !shop.weak().is_empty());
    let weak = weak.map(|(id, ..)| *id).collect_vec();
    let asked = shop.asked.safety;
    let unjudged = match front.len() - judged.len() {
        0 => String::new(),
        some => format!(" {some} of them could not be judged."),
    };
    Some(match weak.len() {
        0 => format!(
            "As built, teeth, pins, plates, hubs and, in torsion, shafts of the front have a safety of \
             {asked} or more for the load of the brief; the least is {weakest}. Bending of shafts, \
             bolts, bearings and housings are not judged.{unjudged}"
        ),
        some => format!(
            "TOO WEAK AS BUILT for the load of the brief: {some} of the {} reductions of the front \
             ({}). The least safety is {weakest}. The report says what to change; limits.safety = \
             {{ least = {asked} }} keeps only what holds.{unjudged}",
            front.len(),
            several(&weak)
        ),
    })
}

/// The first few names, and how many more.
fn several(names: &[&str]) -> String {
    const FEW: usize = 8;
    match names.len().saturating_sub(FEW) {
        0 => names.join(", "),
        more => format!("{} and {more} more", names[..FEW].join(", ")),
    }
}
