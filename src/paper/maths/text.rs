//! A formula as a line of text.

use itertools::Itertools;

use super::{Between, Maths, letter};

impl Maths {
    /// In one line: `i = 1 + Z_R/Z_S`.
    pub fn text(&self) -> String {
        match self {
            Self::Number(digits) => digits.clone(),
            Self::Name(name, None) if name == "deg" => "°".to_owned(),
            Self::Name(name, None) => letter(name).to_owned(),
            Self::Name(name, Some(sub)) => format!("{}_{sub}", letter(name)),
            Self::Word(word) => word.clone(),
            Self::Group(inner) => format!("({})", inner.bare().text()),
            Self::Sum(terms) => terms
                .iter()
                .enumerate()
                .map(|(index, (minus, term))| match (index, minus) {
                    (0, false) => term.text(),
                    (0, true) => format!("−{}", term.text()),
                    (_, false) => format!(" + {}", term.text()),
                    (_, true) => format!(" − {}", term.text()),
                })
                .collect(),
            Self::Product(first, more) => {
                let more = more.iter().map(|(between, factor)| {
                    let between = match (between, factor) {
                        (Between::Dot, _) => " · ",
                        (Between::Colon, _) => " : ",
                        (Between::Mod, _) => " mod ",
                        (Between::Nothing, Self::Word(_)) => " ",
                        (Between::Nothing, _) => "",
                    };
                    format!("{between}{}", factor.text())
                });
                format!("{}{}", first.text(), more.format(""))
            }
            Self::Fraction(above, below) => format!("{}/{}", above.text(), below.text()),
            Self::Power(base, power) => format!("{}^{}", base.text(), power.text()),
            Self::Function(name, arguments) => {
                let arguments = arguments.iter().map(|one| one.bare().text()).join(", ");
                if name == "abs" {
                    format!("|{arguments}|")
                } else {
                    format!("{name}({arguments})")
                }
            }
            Self::Chain(first, sides) => {
                let sides = sides
                    .iter()
                    .map(|(relation, side)| format!(" {} {}", relation.sign, side.bare().text()));
                format!("{}{}", first.bare().text(), sides.format(""))
            }
            Self::List(all) => all.iter().map(|one| one.bare().text()).join(", "),
        }
    }
}
