//! Stages of a series: what one set with one member held can make.

use crate::train::SetKind;

use super::choice::{Choices, RatioClass};

/// One set with one member held, between two neighbours of a series.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stage<'a> {
    pub class: &'a RatioClass,
    pub kind: SetKind,
    /// Input speed / output speed.
    pub ratio: f64,
}

/// The ratios of the six ways to drive, hold and take off one set of base ratio `rho`.
///
/// From the Willis row with i₀ = −ρ (single), ρ (paired): carrier held i₀ and 1 / i₀, ring
/// held 1 − i₀ and its inverse, sun held 1 − 1/i₀ and its inverse.
fn ways(rho: f64, kind: SetKind) -> [f64; 6] {
    let basic = match kind {
        SetKind::Single => -rho,
        SetKind::Paired => rho,
    };
    let (ring_held, sun_held) = (1.0 - basic, 1.0 - 1.0 / basic);
    [basic, 1.0 / basic, ring_held, 1.0 / ring_held, sun_held, 1.0 / sun_held]
}

/// Every stage that the choices make, sets of equal base ratio once.
pub(super) fn stages(choices: &[Choices; 2]) -> Vec<Stage<'_>> {
    let kinds = [SetKind::Single, SetKind::Paired];
    let mut all = Vec::new();
    for (choices, kind) in choices.iter().zip(kinds) {
        for class in &choices.classes {
            let made = ways(class.ratio, kind).into_iter();
            all.extend(made.map(|ratio| Stage { class, kind, ratio }));
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::brief::{BackDriving, Coupling, TrainWish};
    use crate::reduction::arrangement::arrangements;
    use crate::reduction::running::Polynomials;

    /// The six ways are those of the arrangements of one set.
    #[test]
    fn six_ways_are_the_arrangements_of_one_set() {
        for kind in [SetKind::Single, SetKind::Paired] {
            let (kinds, back_driving) = (vec![kind], BackDriving::Free);
            let coupling = Coupling::Series;
            let wish = TrainWish { sets: vec![1], kinds, coupling, back_driving, nests: false };
            let (groups, _) = arrangements(1, &wish);
            let mut found: Vec<f64> =
                groups.iter().map(|g| Polynomials::new(&g.function, 1).at(&[2.2])).collect();
            let mut told = ways(2.2, kind).to_vec();
            found.sort_by(f64::total_cmp);
            told.sort_by(f64::total_cmp);
            assert!(found.iter().zip(&told).all(|(a, b)| (a - b).abs() < 1e-12), "{found:?}");
        }
    }
}
