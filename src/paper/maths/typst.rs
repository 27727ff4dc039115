//! A formula for Typst, between its dollar signs.

use itertools::Itertools;

use super::{Between, GREEK, Maths};

impl Maths {
    /// Without the dollar signs: `i = 1 + frac(Z_"R", Z_"S")`.
    pub fn typst(&self) -> String {
        match self {
            // A comma would part arguments.
            Self::Number(digits) if digits.contains(',') => format!("\"{digits}\""),
            Self::Number(digits) => digits.clone(),
            Self::Name(name, sub) => {
                let base = match name.as_str() {
                    "deg" => "degree".to_owned(),
                    name if GREEK.iter().any(|(greek, _)| *greek == name) => name.to_owned(),
                    name if name.chars().count() > 1 => format!("\"{name}\""),
                    name => name.to_owned(),
                };
                match sub {
                    Some(sub) => {
                        format!("{base}_\"{}\"", sub.replace('\\', "\\\\").replace('"', "\\\""))
                    }
                    None => base,
                }
            }
            Self::Word(word) => format!("\"{}\"", word.replace('\\', "\\\\").replace('"', "\\\"")),
            Self::Group(inner) if matches!(**inner, Self::Fraction(..)) => inner.typst(),
            Self::Group(inner) => format!("({})", inner.bare().typst()),
            Self::Sum(terms) => terms
                .iter()
                .enumerate()
                .map(|(index, (minus, term))| match (index, minus) {
                    (0, false) => term.typst(),
                    (0, true) => format!("-{}", term.typst()),
                    (_, false) => format!(" + {}", term.typst()),
                    (_, true) => format!(" - {}", term.typst()),
                })
                .collect(),
            Self::Product(first, more) => product(first, more),
            Self::Fraction(above, below) => {
                format!("frac({}, {})", above.bare().typst(), below.bare().typst())
            }
            Self::Power(base, power) => format!("{}^({})", base.typst(), power.bare().typst()),
            Self::Function(name, arguments) => {
                let arguments = arguments.iter().map(|one| one.bare().typst()).join(", ");
                format!("{name}({arguments})")
            }
            Self::Chain(first, sides) => {
                let sides = sides.iter().map(|(relation, side)| {
                    // "~=" and "=>" mean other signs there.
                    let sign = match relation.notation {
                        "~=" | "=>" => relation.sign,
                        notation => notation,
                    };
                    format!(" {sign} {}", side.bare().typst())
                });
                format!("{}{}", first.bare().typst(), sides.format(""))
            }
            Self::List(all) => all.iter().map(|one| one.bare().typst()).join("\\, "),
        }
    }
}

fn product(first: &Maths, more: &[(Between, Maths)]) -> String {
    let more = more.iter().map(|(between, factor)| {
        let between = match (between, factor) {
            (Between::Dot, _) => " ⋅ ",
            (Between::Colon, _) => " : ",
            (Between::Mod, _) => " mod ",
            (Between::Nothing, Maths::Word(_)) => " thin ",
            (Between::Nothing, _) => " ",
        };
        format!("{between}{}", factor.typst())
    });
    format!("{}{}", first.typst(), more.format(""))
}
