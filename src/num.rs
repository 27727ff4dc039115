//! Numbers: exact fractions, exact linear systems, whole numbers by models.
//!
//! Nothing here knows about gears. Every number that a person reads comes from
//! [`Fraction`]; floats are for sifting, losses and scores.

mod counted;
mod exact;
mod floats;
mod fraction;
mod integer;
mod kernel;

pub use counted::{grouped, listed};
pub use exact::{Solution, determinant, solve};
pub use floats::solve_floats;
pub use fraction::{Fraction, fraction, nearest_f64, parse_fraction, to_f64};
pub use integer::{Solved, solve_within};
pub use kernel::{KERNEL_COLUMNS, KERNEL_ROWS, Kernel, KernelRows, Overflow};
