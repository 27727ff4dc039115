//! Laws of drawings: one for every layout that nests, and true; the checker sees planted
//! faults. Tests only.

use proptest::prelude::*;

use super::drawing::{Direction, Drawing, Point, Segment, drawing, drawing_of_wiring};
use super::wheels::random_wiring;
use super::{nests, nests_wiring};
use crate::train::{Core, Layout, Slot, parse_layout};

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn what_nests_is_drawn_and_truly((core, slots) in random_wiring(1..=4)) {
        let drawing = drawing_of_wiring(&core, &slots);
        prop_assert_eq!(drawing.is_some(), nests_wiring(&core, &slots));
        if let Some(drawing) = drawing {
            prop_assert_eq!(drawing.check_wiring(&core, &slots), Ok(()));
        }
    }
}
