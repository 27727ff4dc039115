//! Numbers: exact fractions, exact linear systems, and the words of modular arithmetic.
//!
//! Nothing here knows about gears. Every number that a person reads comes from
//! [`Fraction`]; floats are for sifting, losses and scores.

mod exact;
mod fraction;
mod modular;

pub use exact::{Solution, determinant, solve};
pub use fraction::{Fraction, fraction, parse_fraction, to_f64};
pub use modular::Residue;
