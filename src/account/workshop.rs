//! What it takes to make one reduction: sets with modules and widths, what they bear.

use crate::brief::ReductionBrief;
use crate::reduction::{Found, Reductions};

/// What a builder needs besides the layout.
#[derive(Clone, Debug)]
pub struct Workshop {
    /// Name of the variant of materials, empty where there is one only.
    pub variant: String,
    /// In the order of the layout's sets.
    pub sets: Vec<SetWork>,
}

/// What a builder needs of one set.
#[derive(Clone, Debug)]
pub struct SetWork {
    /// mm.
    pub module: f64,
    /// mm.
    pub width: f64,
}

impl Workshop {
    pub fn new(one: &Found, variant: usize, brief: &ReductionBrief, found: &Reductions) -> Self {
        let order = &found.arrangement(one).order;
        let mut sets = vec![SetWork { module: 0.0, width: 0.0 }; order.len()];
        for (variable, &set) in order.iter().enumerate() {
            let module = one.choices[variable].module;
            sets[set] = SetWork { module, width: one.widths[variable] };
        }
        Self { variant: brief.variants[variant].name.clone(), sets }
    }
}
