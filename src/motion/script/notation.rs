//! The small notation in which papers have their formulas.

use super::{Script, Text};
use crate::motion::expression::Symbol;
use crate::num::Fraction;

/// The notation that papers read their formulas in.
pub(super) struct Notation;

impl Script for Notation {
    fn stacks(&self) -> bool {
        false
    }

    fn number(&self, number: &Fraction) -> String {
        number.to_string()
    }

    fn digits(&self, digits: &str) -> String {
        digits.to_owned()
    }

    fn symbol(&self, symbol: &Symbol) -> String {
        match symbol {
            Symbol::BaseRatio(set) => format!("rho_{}", set + 1),
            Symbol::Teeth(member) => format!("Z_{member}"),
            Symbol::MemberSpeed(member) => format!("omega_{member}"),
            // A name may be anything but what ends it.
            Symbol::ShaftSpeed(name) => format!("omega_\"{}\"", name.replace(['"', '`'], "'")),
            Symbol::Ratio => "i".to_owned(),
        }
    }

    fn sign(&self, minus: bool, first: bool) -> &'static str {
        Text.sign(minus, first)
    }

    fn times(&self, _: bool) -> &'static str {
        " * "
    }

    fn quotient(&self, above: &str, below: &str) -> String {
        Text.quotient(above, below)
    }

    fn brackets(&self, inside: &str, _: bool) -> String {
        format!("({inside})")
    }

    fn equals(&self) -> &'static str {
        " = "
    }

    fn about(&self) -> &'static str {
        " ~= "
    }
}
