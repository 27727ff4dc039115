//! What the page calls what it shows, by the kind of run.

use serde::Serialize;

use super::super::record::Kind;

/// Words of one kind of run.
#[derive(Serialize)]
pub(super) struct KindWords {
    heading: &'static str,
    report: &'static str,
    /// Whether there is something to shift.
    shifts: bool,
}

impl KindWords {
    pub fn of(kind: Kind) -> Self {
        match kind {
            Kind::Search => {
                Self { heading: "Search report", report: "search report", shifts: true }
            }
            Kind::Reduction => Self { heading: "Reductions", report: "reductions", shifts: false },
        }
    }
}
