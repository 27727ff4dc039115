//! Reductions: one ratio from one to four sets with members held, in the room there is.
//!
//! [`reductions`] lists every arrangement ([`arrangement`]), takes the sets that the teeth,
//! the modules and the bore allow ([`choice`]), seeks the base ratios at which an arrangement
//! has the wanted ratio (`seek`: all but the last are tried, the last follows from the ratio
//! function), gives what is found widths and scores (`weigh`) and keeps what nothing beats
//! (`archive`). Everything that is kept has its ratio in whole numbers.
//!
//! This room knows no files, pictures or parts.

mod archive;
pub mod arrangement;
mod built;
mod cheapest;
pub mod choice;
mod exact;
mod faces;
mod lift;
mod measures;
mod nearest;
mod pairs;
mod run;
mod running;
mod seek;
mod stages;
mod stock;
mod verdict;
mod way_out;
mod weigh;
mod work;

pub use archive::{Archive, Found};
pub use built::{Maker, SetDemand, Sizes, least_safety, losses};
pub use faces::{body, demand, materials};
pub use run::{Coverage, Reductions, reductions, reductions_watched};
pub use running::{HubTorque, Running, SetDuty};
pub use verdict::{Bearer, Built, Verdict};
pub use way_out::{out_of_reach, too_weak, way_out};
pub use weigh::{EFFICIENCY_STEP, LENGTH_STEP};
