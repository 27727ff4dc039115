//! What one live state asks of the parts, as the scores need it.

use num_traits::Signed;

use super::{
    Losses, MeshEfficiency, Motion, Torques, losses, outer_planet_speed, planet_speed, solve_state,
    solve_torques,
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
    /// Σ |P_roll| per input power; `None` as for the efficiency.
    pub circulating: Option<f64>,
    /// Largest |torque| of an engaged element per input torque, 0 where none is engaged;
    /// `None` where one is not determined.
    pub element_torque: Option<f64>,
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
            circulating: losses.map(|losses| losses.circulating),
            element_torque: largest(engaged.iter().map(|e| torques.elements[e].clone())),
            open_slip: largest(open.map(|(_, element)| motion.slip(element)))?,
            planet_speed: largest(planets),
        })
    }
}

/// The largest of some sizes, 0 of none; `None` when one is not known.
fn largest(sizes: impl Iterator<Item = Option<Fraction>>) -> Option<f64> {
    sizes.map(|size| Some(to_f64(&size?.abs()))).try_fold(0.0, |a: f64, b| Some(a.max(b?)))
}
