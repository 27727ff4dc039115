//! A reduction with teeth judged exactly: its ratio in whole numbers, its losses by the full
//! solution of `motion`.

use num_bigint::BigInt;
use num_traits::Zero as _;

use super::arrangement::{Arrangement, Group};
use super::choice::Choice;
use crate::motion::{Duties, MeshEfficiency};
use crate::num::Fraction;
use crate::search::{RatioFunction, Signs};
use crate::train::{ElementMask, Gear, GearSet, Layout};

/// Input speed / output speed: both polynomials times the product of all Z_S are sums of
/// products of a Z_S or a Z_R of each set.
pub(super) fn exact_ratio(function: &RatioFunction, choices: &[Choice]) -> Fraction {
    let value = |signs: Signs| {
        let mut sum = BigInt::zero();
        for (subset, coefficient) in signs.coefficients()[..1 << choices.len()].iter().enumerate() {
            if *coefficient != 0 {
                let teeth = choices.iter().enumerate().map(|(variable, choice)| {
                    let GearSet { sun, ring, .. } = choice.set;
                    i128::from(if subset >> variable & 1 == 1 { ring } else { sun })
                });
                // Four wheels of 500 teeth at most: far below 2¹²⁷.
                sum += BigInt::from(i128::from(*coefficient) * teeth.product::<i128>());
            }
        }
        sum
    };
    Fraction::new(value(function.numerator), value(function.denominator))
}

/// The reduction as a layout with its one gear, sets in the order of the arrangement.
pub(super) fn layout(arrangement: &Arrangement, choices: &[Choice], reverses: bool) -> Layout {
    let mut sets = vec![choices[0].set; choices.len()];
    for (&set, choice) in arrangement.order.iter().zip(choices) {
        sets[set] = choice.set;
    }
    let mut layout = Layout::from_core(&arrangement.core, &[], sets);
    let name = if reverses { "R" } else { "1" }.to_owned();
    layout.gears = vec![Gear { name, engaged: ElementMask::default() }];
    layout
}

/// η and η', 0 where that end cannot drive.
pub(super) fn efficiencies(
    arrangement: &Arrangement,
    group: &Group,
    choices: &[Choice],
    mesh: &MeshEfficiency,
) -> Option<[f64; 2]> {
    debug_assert_eq!(group.kinds.len(), choices.len());
    let layout = layout(arrangement, choices, false);
    let duty = Duties::new(&layout, mesh).of(ElementMask::default())?;
    Some([duty.efficiency?, duty.back_efficiency?])
}
