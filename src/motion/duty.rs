//! What one live state asks of the parts, as the scores need it.

use num_traits::{Signed, Zero};

use super::{
    Losses, MeshEfficiency, Motion, Torques, losses, outer_planet_speed, planet_speed, power_flow,
    solve_state, solve_torques,
};
use crate::num::{Fraction, to_f64};
use crate::train::{ElementMask, Layout, SetKind};

/// One live state in the few numbers that scores are made of. The ratio is exact; of what
/// is exact by nature each float is the nearest one.
#[derive(Clone, Debug, PartialEq)]
pub struct Duty {
    pub engaged: ElementMask,
    /// i.
    pub ratio: Fraction,
    /// i as a float.
    pub value: f64,
    /// η, 0 for a self-locking state, because it drives nothing; `None` where redundant
    /// elements leave the losses open.
    pub efficiency: Option<f64>,
    /// η with the output driving, 0 where it cannot; `None` as for the efficiency.
    pub back_efficiency: Option<f64>,
    /// Σ |P_roll| per input power; `None` as for the efficiency.
    pub circulating: Option<f64>,
    /// Largest |T ω| of a member or a clutch per input power; `None` where one is not
    /// determined.
    pub branch_power: Option<f64>,
    /// Engaged elements with a torque: without one of them the gear is lost. `None` where a
    /// torque is not determined.
    pub loaded: Option<ElementMask>,
    /// Largest |torque| of an engaged element per input torque, 0 where none is engaged;
    /// `None` where one is not determined.
    pub element_torque: Option<f64>,
    /// Largest |speed| of a shaft per input speed.
    pub shaft_speed: f64,
    /// Largest |slip| of an open element per input speed, 0 where none is open.
    pub open_slip: f64,
    /// Largest |speed| of a planet about its pin per input speed; `None` where a planet's
    /// teeth are not known.
    pub planet_speed: Option<f64>,
}

impl Duty {
    /// The plain way, by the laws of this room in fractions; `None` unless the state is
    /// live. [`super::Duties`] finds the same sooner.
    pub fn plain(layout: &Layout, engaged: ElementMask, mesh: &MeshEfficiency) -> Option<Self> {
        let motion = solve_state(layout, engaged);
        let torques = solve_torques(layout, &motion)?;
        let losses = losses(layout, &motion, &torques, mesh);
        Self::read(layout, &motion, &torques, losses.as_ref())
    }

    fn read(
        layout: &Layout,
        motion: &Motion,
        torques: &Torques,
        losses: Option<&Losses>,
    ) -> Option<Self> {
        let ratio = motion.ratio.clone()?;
        let engaged = motion.engaged;
        let open = layout.elements.iter().enumerate().filter(|(e, _)| !engaged.contains(*e));
        let planets = (0..layout.sets.len()).flat_map(|set| {
            let inner = planet_speed(layout, motion, set);
            let paired = layout.sets[set].kind == SetKind::Paired;
            let outer = paired.then(|| outer_planet_speed(layout, motion, set));
            [inner].into_iter().chain(outer)
        });
        Some(Self {
            engaged,
            value: to_f64(&ratio),
            ratio,
            efficiency: losses.map(|losses| losses.efficiency.unwrap_or(0.0)),
            back_efficiency: losses.map(|losses| losses.back_efficiency.unwrap_or(0.0)),
            circulating: losses.map(|losses| losses.circulating),
            branch_power: power_flow(layout, motion, torques).largest_branch().map(|p| to_f64(&p)),
            loaded: loaded(engaged, torques),
            shaft_speed: largest(motion.speeds.iter().cloned())?,
            element_torque: largest(engaged.iter().map(|e| torques.elements[e].clone())),
            open_slip: largest(open.map(|(_, element)| motion.slip(element)))?,
            planet_speed: largest(planets),
        })
    }
}

/// The engaged elements with a torque.
fn loaded(engaged: ElementMask, torques: &Torques) -> Option<ElementMask> {
    let all = engaged.iter().map(|element| Some((element, torques.elements[element].as_ref()?)));
    let all: Vec<_> = all.collect::<Option<_>>()?;
    let loaded = all.into_iter().filter(|(_, torque)| !torque.is_zero());
    Some(ElementMask::of(loaded.map(|(element, _)| element)))
}

/// The largest of some sizes, 0 of none; `None` when one is not known.
fn largest(sizes: impl Iterator<Item = Option<Fraction>>) -> Option<f64> {
    sizes.map(|size| Some(to_f64(&size?.abs()))).try_fold(0.0, |a: f64, b| Some(a.max(b?)))
}
