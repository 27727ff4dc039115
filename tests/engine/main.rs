//! What finds: briefs, searches, reductions, studies and exams as data, held against slow and plain oracles.

#[path = "../common/mod.rs"]
mod common;
#[path = "../common/crank.rs"]
mod crank;
#[path = "../common/planting.rs"]
mod planting;

mod briefs;
mod exam_items;
mod exam_layouts;
mod exam_options;
mod exam_papers;
mod fewest;
mod oracle;
mod planted;
mod planted_four;
mod recalled;
mod reduction;
mod reduction_briefs;
mod reduction_refusals;
mod reference;
mod stops;
mod study_oracle;
mod yardsticks;
