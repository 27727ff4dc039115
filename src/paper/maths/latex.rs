//! A formula for LaTeX, between dollar signs in Markdown.

use itertools::Itertools;

use super::{Between, GREEK, Maths};

impl Maths {
    /// Without the dollar signs: `i = 1 + \frac{Z_{\mathrm{R}}}{Z_{\mathrm{S}}}`.
    pub fn latex(&self) -> String {
        match self {
            Self::Number(digits) => digits.replace(',', "{,}"),
            Self::Name(name, sub) => {
                let base = match name.as_str() {
                    "deg" => "^\\circ".to_owned(),
                    name if GREEK.iter().any(|(greek, _)| *greek == name) => format!("\\{name}"),
                    name if name.chars().count() > 1 => format!("\\mathrm{{{name}}}"),
                    name => name.to_owned(),
                };
                match sub {
                    Some(sub) => format!("{base}_{{\\mathrm{{{}}}}}", escaped(sub)),
                    None => base,
                }
            }
            Self::Word(word) => format!("\\text{{{}}}", escaped(word)),
            Self::Group(inner) if matches!(**inner, Self::Fraction(..)) => inner.latex(),
            Self::Group(inner) => format!("\\left({}\\right)", inner.bare().latex()),
            Self::Sum(terms) => terms
                .iter()
                .enumerate()
                .map(|(index, (minus, term))| match (index, minus) {
                    (0, false) => term.latex(),
                    (0, true) => format!("-{}", term.latex()),
                    (_, false) => format!(" + {}", term.latex()),
                    (_, true) => format!(" - {}", term.latex()),
                })
                .collect(),
            Self::Product(first, more) => product(first, more),
            Self::Fraction(above, below) => {
                format!("\\frac{{{}}}{{{}}}", above.bare().latex(), below.bare().latex())
            }
            Self::Power(base, power) => format!("{}^{{{}}}", base.latex(), power.bare().latex()),
            Self::Function(name, arguments) => {
                let arguments = arguments.iter().map(|one| one.bare().latex()).join(", ");
                match name.as_str() {
                    "abs" => format!("\\left|{arguments}\\right|"),
                    "sqrt" => format!("\\sqrt{{{arguments}}}"),
                    name => format!("\\{name}\\left({arguments}\\right)"),
                }
            }
            Self::Chain(first, sides) => {
                let sides = sides
                    .iter()
                    .map(|(relation, side)| format!(" {} {}", relation.latex, side.bare().latex()));
                format!("{}{}", first.bare().latex(), sides.format(""))
            }
            Self::List(all) => all.iter().map(|one| one.bare().latex()).join(", "),
        }
    }
}

fn product(first: &Maths, more: &[(Between, Maths)]) -> String {
    let more = more.iter().map(|(between, factor)| {
        let between = match (between, factor) {
            (Between::Dot, _) => " \\cdot ",
            (Between::Colon, _) => " : ",
            (Between::Mod, _) => " \\bmod ",
            (Between::Nothing, Maths::Word(_)) => "\\,",
            (Between::Nothing, _) => "",
        };
        format!("{between}{}", factor.latex())
    });
    format!("{}{}", first.latex(), more.format(""))
}

fn escaped(word: &str) -> String {
    let special = |c: char| match c {
        '\\' | '^' | '~' => "/".to_owned(),
        '%' | '&' | '#' | '_' | '$' | '{' | '}' => format!("\\{c}"),
        _ => c.to_string(),
    };
    word.chars().map(special).collect()
}
