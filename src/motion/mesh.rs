//! What a tooth mesh loses.

use crate::train::{GearSet, SetKind};

/// Efficiencies of one mesh, and what they depend on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeshEfficiency {
    /// Of two external gears, such as sun and planet.
    pub external: f64,
    /// Of a planet in a ring.
    pub internal: f64,
    pub scaling: MeshScaling,
}

/// Whether small wheels lose more than large ones.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum MeshScaling {
    /// All meshes of a kind lose the same.
    #[default]
    Even,
    /// The given efficiencies are those of the set 30/20/70, see [`MeshEfficiency::basic`].
    Teeth,
}

impl Default for MeshEfficiency {
    fn default() -> Self {
        Self { external: 0.990, internal: 0.995, scaling: MeshScaling::Even }
    }
}

/// Sun, planet and ring whose meshes have the given efficiencies where losses go by teeth.
const REFERENCE: [f64; 3] = [30.0, 20.0, 70.0];

impl MeshEfficiency {
    /// η₀ of a set, the carrier held in thought: the product of the efficiencies of the
    /// meshes from sun to ring. Single: external · internal, paired: external² · internal.
    ///
    /// By teeth, a mesh of z₁ and z₂ teeth loses in proportion to 1/z₁ + 1/z₂ (external) or
    /// 1/z₁ − 1/z₂ (planet z₁ in ring z₂), and that of a set 30/20/70 what is given: the
    /// teeth of larger wheels slide less on each other. Source: the mean loss of involute
    /// teeth, ζ = π μ (1/z₁ ± 1/z₂) f(ε), in G. Niemann and H. Winter, Maschinenelemente II
    /// (1989), chapter 21.11, with friction μ and contact ratio factor f taken as equal in
    /// all meshes. A planet whose teeth are not known is taken to fill its gap.
    pub fn basic(&self, set: &GearSet) -> f64 {
        match (self.scaling, set.kind) {
            (MeshScaling::Even, SetKind::Single) => self.external * self.internal,
            (MeshScaling::Even, SetKind::Paired) => self.external * self.external * self.internal,
            (MeshScaling::Teeth, kind) => {
                let [sun, ring] = [set.sun, set.ring].map(f64::from);
                let (inner, outer) = planets(set);
                let between = match kind {
                    SetKind::Single => 1.0,
                    SetKind::Paired => self.external_mesh(inner, outer),
                };
                self.external_mesh(sun, inner) * between * self.internal_mesh(outer, ring)
            }
        }
    }

    fn external_mesh(&self, first: f64, second: f64) -> f64 {
        let [sun, planet, _] = REFERENCE;
        scaled(self.external, (1.0 / first + 1.0 / second) / (1.0 / sun + 1.0 / planet))
    }

    fn internal_mesh(&self, wheel: f64, ring_teeth: f64) -> f64 {
        let [_, planet, ring] = REFERENCE;
        scaled(self.internal, (1.0 / wheel - 1.0 / ring_teeth) / (1.0 / planet - 1.0 / ring))
    }
}

/// The efficiency of a mesh that loses `times` what the reference loses. A mesh never
/// loses all: the law is one of small losses and means nothing far beyond them.
fn scaled(efficiency: f64, times: f64) -> f64 {
    (1.0 - (1.0 - efficiency) * times).clamp(0.05, 1.0)
}

/// Teeth of the planet at the sun and of the planet at the ring; the same one in a single
/// set. Unknown ones share the gap.
fn planets(set: &GearSet) -> (f64, f64) {
    let gap = (f64::from(set.ring) - f64::from(set.sun)) / 2.0;
    let (inner, outer) = (set.planet.map(f64::from), set.outer_planet.map(f64::from));
    let (inner, outer) = match set.kind {
        SetKind::Single => (inner.unwrap_or(gap), inner.unwrap_or(gap)),
        SetKind::Paired => (inner.unwrap_or(gap / 2.0), outer.unwrap_or(gap / 2.0)),
    };
    // Teeth that cannot be in that ring are somebody's mistake, not a gain.
    (inner.max(1.0), outer.clamp(1.0, f64::from(set.ring)))
}

#[cfg(test)]
mod tests {
    use super::*;

    const BY_TEETH: MeshEfficiency =
        MeshEfficiency { external: 0.990, internal: 0.995, scaling: MeshScaling::Teeth };

    #[test]
    fn the_reference_set_loses_what_is_given() {
        let set = GearSet::single(30, 70);
        assert_eq!(set.planet, Some(20));
        assert!((BY_TEETH.basic(&set) - MeshEfficiency::default().basic(&set)).abs() < 1e-15);
    }

    /// 60/40/140 has half the losses; 30/70 with pairs of 10 and 10 teeth has meshes of
    /// 1/30 + 1/10, 1/10 + 1/10 and 1/10 − 1/70 against 1/30 + 1/20 and 1/20 − 1/70.
    #[test]
    fn losses_go_with_the_teeth() {
        let large = BY_TEETH.basic(&GearSet::single(60, 140));
        assert!((large - 0.995 * 0.9975).abs() < 1e-12, "{large}");
        let mut paired = GearSet::paired(30, 70);
        (paired.planet, paired.outer_planet) = (Some(10), Some(10));
        let expected = (1.0 - 0.01 * 1.6) * (1.0 - 0.01 * 2.4) * (1.0 - 0.005 * 2.4);
        let found = BY_TEETH.basic(&paired);
        assert!((found - expected).abs() < 1e-12, "{found} {expected}");
        // Planets of unknown teeth fill the gap together.
        assert_eq!(BY_TEETH.basic(&GearSet::paired(30, 70)), found);
    }

    #[test]
    fn no_teeth_gain_power_or_lose_all() {
        for ring in 13..200 {
            for set in [GearSet::single(12, ring), GearSet::paired(12, ring)] {
                for given in [0.5, 0.9, 1.0] {
                    let (external, internal) = (given, given);
                    let mesh = MeshEfficiency { external, internal, ..BY_TEETH };
                    assert!((1e-6..=1.0).contains(&mesh.basic(&set)), "{set:?} {given}");
                }
            }
        }
    }
}
