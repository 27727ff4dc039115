//! Which shafts turn as one because engaged elements join them.

use smallvec::SmallVec;

use crate::train::{ElementMask, Grip, Layout, ShaftId};

/// The shafts of one state, sorted into bodies that turn as one; held ones into none.
pub(super) struct Bodies {
    body: SmallVec<[Option<usize>; 16]>,
    /// How many bodies there are; the housing is none.
    pub count: usize,
}

impl Bodies {
    pub fn new(layout: &Layout, engaged: ElementMask) -> Self {
        // Label 0 is the housing.
        let mut label: SmallVec<[usize; 16]> = (1..=layout.shafts.len()).collect();
        for element in engaged.iter() {
            let (a, b) = match layout.elements[element].grip {
                Grip::Brake(shaft) => (0, label[shaft.0]),
                Grip::Clutch(a, b) => (label[a.0].min(label[b.0]), label[a.0].max(label[b.0])),
            };
            label.iter_mut().filter(|label| **label == b).for_each(|label| *label = a);
        }
        let mut kept: SmallVec<[usize; 16]> =
            label.iter().copied().filter(|&label| label != 0).collect();
        kept.sort_unstable();
        kept.dedup();
        let body = label.iter().map(|label| kept.binary_search(label).ok()).collect();
        Self { body, count: kept.len() }
    }

    /// The body of what sits on `shaft`; `None` for what is held, and for the housing.
    pub fn of(&self, shaft: Option<ShaftId>) -> Option<usize> {
        self.body[shaft?.0]
    }
}
