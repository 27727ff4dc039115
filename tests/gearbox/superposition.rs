//! The speeds of any layout in any state, found by superposition too.

use crate::common::superposed::superposed;
use coaxle::motion::{Status, solve_state};
use coaxle::train::ElementMask;
use proptest::prelude::*;

proptest! {
    #![proptest_config(ProptestConfig::with_cases(10_000))]

    #[test]
    fn superposition_finds_the_same_speeds(layout in crate::common::any_layout(), pick in any::<u64>()) {
        let states: Vec<ElementMask> = layout.states().collect();
        if !states.is_empty() {
            let engaged = states[pick as usize % states.len()];
            let motion = solve_state(&layout, engaged);
            let determined = matches!(motion.status, Status::Live | Status::IdleOutput);
            let expected = determined.then(|| motion.all_speeds().unwrap());
            prop_assert_eq!(superposed(&layout, engaged), expected);
        }
    }
}
