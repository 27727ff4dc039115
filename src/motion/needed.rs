//! Which engaged elements a live state needs.

use super::speeds::{Status, solve_state};
use crate::train::{ElementMask, Layout};

/// The elements of a live state that fix its motion by themselves, the first-named first;
/// the others add nothing. `None` where the state is not live.
///
/// The state obeys each of its parts, so a part with one motion has the same motion. What
/// adds nothing to the rows before it is left out, from the last element on; by the
/// exchange property of linear independence no other choice keeps fewer elements.
pub fn needed_elements(layout: &Layout, engaged: ElementMask) -> Option<ElementMask> {
    let live = |mask: ElementMask| solve_state(layout, mask).status == Status::Live;
    if !live(engaged) {
        return None;
    }
    let mut needed = engaged;
    for element in engaged.iter().collect::<Vec<_>>().into_iter().rev() {
        let without = ElementMask(needed.0 & !(1 << element));
        // With fewer no motion is determined, so there is nothing to try.
        if needed.len() > layout.engaged() && live(without) {
            needed = without;
        }
    }
    Some(needed)
}
