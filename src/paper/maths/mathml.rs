//! A formula as MathML Core, which browsers set by themselves.

use itertools::Itertools;

use super::{Between, Maths, letter};

impl Maths {
    /// A whole `<math>` element.
    pub fn mathml(&self) -> String {
        format!("<math>{}</math>", self.element())
    }

    fn element(&self) -> String {
        match self {
            Self::Number(digits) => format!("<mn>{digits}</mn>"),
            Self::Name(name, None) if name == "deg" => "<mo lspace=\"0\">°</mo>".to_owned(),
            Self::Name(name, sub) => {
                let base = format!("<mi>{}</mi>", letter(name));
                match sub {
                    Some(sub) => format!("<msub>{base}<mtext>{}</mtext></msub>", escaped(sub)),
                    None => base,
                }
            }
            Self::Word(word) => format!("<mtext>{}</mtext>", escaped(word)),
            Self::Group(inner) if matches!(**inner, Self::Fraction(..)) => inner.element(),
            Self::Group(inner) => {
                format!("<mrow><mo>(</mo>{}<mo>)</mo></mrow>", inner.bare().element())
            }
            Self::Sum(terms) => {
                let terms = terms.iter().enumerate().map(|(index, (minus, term))| {
                    let sign = match (index, minus) {
                        (0, false) => "",
                        (0, true) => "<mo form=\"prefix\">−</mo>",
                        (_, false) => "<mo>+</mo>",
                        (_, true) => "<mo>−</mo>",
                    };
                    format!("{sign}{}", term.element())
                });
                format!("<mrow>{}</mrow>", terms.format(""))
            }
            Self::Product(first, more) => product(first, more),
            Self::Fraction(above, below) => {
                let [above, below] = [above, below].map(|part| part.bare().element());
                format!("<mfrac><mrow>{above}</mrow><mrow>{below}</mrow></mfrac>")
            }
            Self::Power(base, power) => {
                format!("<msup>{}{}</msup>", base.element(), power.bare().element())
            }
            Self::Function(name, arguments) => {
                let arguments = arguments.iter().map(|one| one.bare().element()).join("<mo>,</mo>");
                match name.as_str() {
                    "abs" => format!("<mrow><mo>|</mo>{arguments}<mo>|</mo></mrow>"),
                    "sqrt" => format!("<msqrt>{arguments}</msqrt>"),
                    name => format!("<mrow><mi>{name}</mi><mo>(</mo>{arguments}<mo>)</mo></mrow>"),
                }
            }
            Self::Chain(first, sides) => {
                let sides = sides.iter().map(|(relation, side)| {
                    format!("<mo>{}</mo>{}", escaped(relation.sign), side.bare().element())
                });
                format!("<mrow>{}{}</mrow>", first.bare().element(), sides.format(""))
            }
            Self::List(all) => {
                let all = all.iter().map(|one| one.bare().element()).join("<mo>,</mo>");
                format!("<mrow>{all}</mrow>")
            }
        }
    }
}

fn product(first: &Maths, more: &[(Between, Maths)]) -> String {
    let more = more.iter().map(|(between, factor)| {
        let between = match (between, factor) {
            (Between::Dot, _) => "<mo>·</mo>",
            (Between::Colon, _) => "<mo>:</mo>",
            (Between::Mod, _) => "<mo>mod</mo>",
            (Between::Nothing, Maths::Word(_)) => "<mspace width=\"0.2em\"/>",
            (Between::Nothing, _) => "",
        };
        format!("{between}{}", factor.element())
    });
    format!("<mrow>{}{}</mrow>", first.element(), more.format(""))
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}
