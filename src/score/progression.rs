//! The ladder that is wanted: how ln of the steps should run from first to top gear.

/// The wanted progression of the steps φ_k = i_k / i_{k+1}.
#[derive(Clone, Debug, PartialEq)]
pub enum Progression {
    /// All steps alike: φ* = spread^(1 / (gears − 1)).
    Geometric,
    /// Steps that fall towards top gear by a fixed factor: φ*_k / φ*_{k+1} = `factor`,
    /// their product the spread. `factor` 1 is [`Progression::Geometric`].
    Progressive { factor: f64 },
    /// Given ratios, first to top; the wanted steps are theirs, whatever the spread.
    Given(Vec<f64>),
}

impl Progression {
    /// ln φ*_k for k = 0 … gears − 2, given ln of the spread.
    ///
    /// Source of the progressive ladder i_k = i_n φ₁^(n−k) φ₂^((n−k)(n−k−1)/2): H. Naunheimer
    /// et al., Automotive Transmissions, 2nd ed., Springer 2011, chapter 4.
    pub fn wanted(&self, log_spread: f64, gears: usize) -> Vec<f64> {
        let steps = gears.saturating_sub(1);
        let even = log_spread / steps.max(1) as f64;
        match self {
            Self::Geometric => vec![even; steps],
            Self::Progressive { factor } => {
                let middle = (steps as f64 - 1.0) / 2.0;
                (0..steps).map(|k| even + (middle - k as f64) * factor.ln()).collect()
            }
            Self::Given(ratios) => ratios.windows(2).map(|pair| (pair[0] / pair[1]).ln()).collect(),
        }
    }

    /// The ratios of the wanted ladder from the first to the last of these, or from the
    /// first down where the progression has steps of its own; empty for no ratios.
    pub fn ladder(&self, ratios: &[f64]) -> Vec<f64> {
        let (Some(&first), Some(last)) = (ratios.first(), ratios.last()) else { return Vec::new() };
        let steps = self.wanted((first / last).ln(), ratios.len());
        let below = steps.iter().scan(first, |ratio, step| {
            *ratio /= step.exp();
            Some(*ratio)
        });
        std::iter::once(first).chain(below).collect()
    }

    /// max_k |ln φ_k − ln φ*_k| of the forward ratios, first to top; 0 for a single gear.
    pub fn deviation(&self, ratios: &[f64]) -> f64 {
        let (Some(first), Some(last)) = (ratios.first(), ratios.last()) else { return 0.0 };
        let wanted = self.wanted((first / last).ln(), ratios.len());
        let steps = ratios.windows(2).map(|pair| (pair[0] / pair[1]).ln());
        steps.zip(wanted).map(|(step, wanted)| (step - wanted).abs()).fold(0.0, f64::max)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_even_ladder_does_not_deviate() {
        assert!(Progression::Geometric.deviation(&[8.0, 4.0, 2.0, 1.0]) < 1e-15);
        let falling = Progression::Progressive { factor: 1.2 };
        assert!(falling.deviation(&[1.44 * 1.2, 1.2, 1.0]) < 1e-12);
        assert!((falling.deviation(&[4.0, 2.0, 1.0]) - 1.2f64.ln() / 2.0).abs() < 1e-12);
    }

    #[test]
    fn the_wanted_ladder_does_not_deviate() {
        let ratios = [4.0, 2.1, 1.4, 0.8];
        for progression in [
            Progression::Geometric,
            Progression::Progressive { factor: 1.2 },
            Progression::Given(vec![5.0, 3.0, 2.0, 1.0]),
        ] {
            let ladder = progression.ladder(&ratios);
            assert_eq!((ladder.len(), ladder[0]), (4, 4.0));
            assert!(progression.deviation(&ladder) < 1e-12);
            let own = matches!(progression, Progression::Given(_));
            assert!(own || (ladder[3] - 0.8).abs() < 1e-12);
        }
        assert!(Progression::Geometric.ladder(&[]).is_empty());
    }
}
