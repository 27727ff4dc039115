//! Expressions and equations in four scripts: plain text, LaTeX, presentation MathML, and the small
//! notation in which papers have their formulas.
//!
//! One walk decides on brackets for all of them. It asks the script one thing only:
//! whether quotients are stacked, because a fraction bar does the work of brackets.

mod notation;

use itertools::Itertools;
use num_traits::Signed;
use serde::Serialize;

use notation::Notation;

use super::expression::{Expression, Symbol};
use crate::num::Fraction;
use crate::train::Member;

/// An equation, or a chain of them, in all scripts.
///
/// The text writes `·` for times and `ω_name` for the speed of a shaft. The LaTeX stands
/// without dollar signs and takes `amsmath` for `\text`. The MathML is one `math` element.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Line {
    pub text: String,
    pub latex: String,
    pub mathml: String,
    /// As papers read it: `omega_S1 + rho_1 * omega_R1 = 0`.
    #[serde(skip)]
    pub notation: String,
}

impl Line {
    /// `sides[0] = sides[1] = …`.
    pub(super) fn equal(sides: &[Expression]) -> Self {
        Self::chain(sides, None)
    }

    /// `sides[0] = sides[1] = … ≈ rounded`.
    pub(super) fn chain(sides: &[Expression], rounded: Option<&Expression>) -> Self {
        Self {
            text: chain(sides, rounded, &Text),
            latex: chain(sides, rounded, &Latex),
            mathml: math(&chain(sides, rounded, &MathMl)),
            notation: chain(sides, rounded, &Notation),
        }
    }
}

fn chain(sides: &[Expression], rounded: Option<&Expression>, script: &impl Script) -> String {
    let mut all =
        sides.iter().map(|side| written(side, Place::Alone, script)).join(script.equals());
    if let Some(rounded) = rounded {
        all.push_str(script.about());
        all.push_str(&written(rounded, Place::Alone, script));
    }
    all
}

impl Expression {
    pub fn text(&self) -> String {
        written(self, Place::Alone, &Text)
    }

    pub fn latex(&self) -> String {
        written(self, Place::Alone, &Latex)
    }

    /// In the small notation of papers.
    pub fn notation(&self) -> String {
        written(self, Place::Alone, &Notation)
    }

    /// A whole `math` element.
    pub fn mathml(&self) -> String {
        math(&written(self, Place::Alone, &MathMl))
    }
}

fn math(inside: &str) -> String {
    format!("<math xmlns=\"http://www.w3.org/1998/Math/MathML\">{inside}</math>")
}

/// What stands around an expression decides whether it needs brackets.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Place {
    Alone,
    Term,
    Factor,
    Above,
    Below,
}

fn written(expression: &Expression, place: Place, script: &impl Script) -> String {
    let inside = match expression {
        Expression::Number(number) => script.number(number),
        Expression::Rounded(digits) => script.digits(digits),
        Expression::Symbol(symbol) => script.symbol(symbol),
        Expression::Sum(terms) => {
            let mut sum = String::new();
            for (index, (minus, term)) in terms.iter().enumerate() {
                sum.push_str(script.sign(*minus, index == 0));
                sum.push_str(&written(term, Place::Term, script));
            }
            sum
        }
        Expression::Product(factors) => {
            let mut product = String::new();
            for (index, factor) in factors.iter().enumerate() {
                // 4 beside 3/5 would read as a mixed number, 4 beside 3 as 43.
                let seen = matches!(factor, Expression::Number(_) | Expression::Quotient(..));
                product.push_str(if index > 0 { script.times(seen) } else { "" });
                product.push_str(&written(factor, Place::Factor, script));
            }
            product
        }
        Expression::Quotient(above, below) => script
            .quotient(&written(above, Place::Above, script), &written(below, Place::Below, script)),
    };
    if in_brackets(expression, place, script.stacks()) {
        script.brackets(&inside, expression.is_tall())
    } else {
        inside
    }
}

fn in_brackets(expression: &Expression, place: Place, stacks: bool) -> bool {
    let beside = matches!(place, Place::Above | Place::Below) && !stacks;
    match expression {
        Expression::Rounded(_) | Expression::Symbol(_) => false,
        Expression::Number(number) => {
            let slash = !number.is_integer() && !stacks;
            let sign = number.is_negative();
            match place {
                Place::Alone => false,
                Place::Term => sign,
                Place::Factor => sign || slash,
                Place::Above => slash,
                Place::Below => slash || sign && !stacks,
            }
        }
        // A minus in front needs no brackets above a slash.
        Expression::Sum(terms) => match place {
            Place::Alone => false,
            Place::Above => beside && terms.len() > 1,
            Place::Below => beside,
            Place::Term | Place::Factor => true,
        },
        Expression::Product(_) => beside && place == Place::Below,
        Expression::Quotient(..) => beside || place != Place::Alone && !stacks,
    }
}

/// How one script writes the pieces.
trait Script {
    /// Whether quotients stand one above the other.
    fn stacks(&self) -> bool;
    fn number(&self, number: &Fraction) -> String;
    fn digits(&self, digits: &str) -> String;
    fn symbol(&self, symbol: &Symbol) -> String;
    /// In front of a term of a sum.
    fn sign(&self, minus: bool, first: bool) -> &'static str;
    /// Between two factors, seen or by juxtaposition.
    fn times(&self, seen: bool) -> &'static str;
    fn quotient(&self, above: &str, below: &str) -> String;
    fn brackets(&self, inside: &str, tall: bool) -> String;
    fn equals(&self) -> &'static str;
    /// Equals, but for rounding.
    fn about(&self) -> &'static str;
}

struct Text;

impl Script for Text {
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
            Symbol::BaseRatio(set) => format!("ρ{}", set + 1),
            Symbol::Teeth(member) => member.to_string(),
            Symbol::MemberSpeed(member) => format!("ω{member}"),
            Symbol::ShaftSpeed(name) => {
                let plain = |c: char| c.is_alphanumeric() || "-_.".contains(c);
                if name.chars().all(plain) {
                    format!("ω_{name}")
                } else {
                    format!("ω_{{{name}}}")
                }
            }
            Symbol::Ratio => "i".to_owned(),
        }
    }

    fn sign(&self, minus: bool, first: bool) -> &'static str {
        match (first, minus) {
            (true, false) => "",
            (true, true) => "-",
            (false, false) => " + ",
            (false, true) => " - ",
        }
    }

    fn times(&self, _: bool) -> &'static str {
        "·"
    }

    fn quotient(&self, above: &str, below: &str) -> String {
        format!("{above} / {below}")
    }

    fn brackets(&self, inside: &str, _: bool) -> String {
        format!("({inside})")
    }

    fn equals(&self) -> &'static str {
        " = "
    }

    fn about(&self) -> &'static str {
        " ≈ "
    }
}

struct Latex;

impl Script for Latex {
    fn stacks(&self) -> bool {
        true
    }

    fn number(&self, number: &Fraction) -> String {
        if number.is_integer() {
            return number.to_string();
        }
        let sign = if number.is_negative() { "-" } else { "" };
        format!(r"{sign}\frac{{{}}}{{{}}}", number.numer().abs(), number.denom())
    }

    fn digits(&self, digits: &str) -> String {
        digits.to_owned()
    }

    fn symbol(&self, symbol: &Symbol) -> String {
        match symbol {
            Symbol::BaseRatio(set) => format!(r"\rho_{{{}}}", set + 1),
            Symbol::Teeth(member) => format!("Z_{{{member}}}"),
            Symbol::MemberSpeed(member) => format!(r"\omega_{{{member}}}"),
            Symbol::ShaftSpeed(name) => format!(r"\omega_{{\text{{{}}}}}", latex_text(name)),
            Symbol::Ratio => "i".to_owned(),
        }
    }

    fn sign(&self, minus: bool, first: bool) -> &'static str {
        match (first, minus) {
            (true, false) => "",
            (_, true) => "-",
            (false, false) => "+",
        }
    }

    fn times(&self, seen: bool) -> &'static str {
        if seen { r" \cdot " } else { r"\," }
    }

    fn quotient(&self, above: &str, below: &str) -> String {
        format!(r"\frac{{{above}}}{{{below}}}")
    }

    fn brackets(&self, inside: &str, tall: bool) -> String {
        if tall { format!(r"\left({inside}\right)") } else { format!("({inside})") }
    }

    fn equals(&self) -> &'static str {
        " = "
    }

    fn about(&self) -> &'static str {
        r" \approx "
    }
}

/// A name as text of LaTeX.
fn latex_text(name: &str) -> String {
    let escaped = |c: char| match c {
        '\\' => r"\textbackslash{}".to_owned(),
        '~' => r"\textasciitilde{}".to_owned(),
        '^' => r"\textasciicircum{}".to_owned(),
        '{' | '}' | '$' | '&' | '#' | '%' | '_' => format!("\\{c}"),
        _ => c.to_string(),
    };
    name.chars().map(escaped).collect()
}

struct MathMl;

impl Script for MathMl {
    fn stacks(&self) -> bool {
        true
    }

    fn number(&self, number: &Fraction) -> String {
        let sign = if number.is_negative() { "<mo>−</mo>" } else { "" };
        let above = format!("<mn>{}</mn>", number.numer().abs());
        if number.is_integer() {
            return format!("{sign}{above}");
        }
        format!("{sign}<mfrac>{above}<mn>{}</mn></mfrac>", number.denom())
    }

    fn digits(&self, digits: &str) -> String {
        match digits.strip_prefix('-') {
            Some(size) => format!("<mo>−</mo><mn>{size}</mn>"),
            None => format!("<mn>{digits}</mn>"),
        }
    }

    fn symbol(&self, symbol: &Symbol) -> String {
        let (letter, index) = match symbol {
            Symbol::BaseRatio(set) => ("ρ", format!("<mn>{}</mn>", set + 1)),
            Symbol::Teeth(member) => ("Z", mathml_member(*member)),
            Symbol::MemberSpeed(member) => ("ω", mathml_member(*member)),
            Symbol::ShaftSpeed(name) => ("ω", format!("<mtext>{}</mtext>", xml_text(name))),
            Symbol::Ratio => return "<mi>i</mi>".to_owned(),
        };
        format!("<msub><mi>{letter}</mi>{index}</msub>")
    }

    fn sign(&self, minus: bool, first: bool) -> &'static str {
        match (first, minus) {
            (true, false) => "",
            (_, true) => "<mo>−</mo>",
            (false, false) => "<mo>+</mo>",
        }
    }

    fn times(&self, seen: bool) -> &'static str {
        if seen { "<mo>·</mo>" } else { "<mo>\u{2062}</mo>" }
    }

    fn quotient(&self, above: &str, below: &str) -> String {
        format!("<mfrac><mrow>{above}</mrow><mrow>{below}</mrow></mfrac>")
    }

    fn brackets(&self, inside: &str, _: bool) -> String {
        format!("<mrow><mo>(</mo>{inside}<mo>)</mo></mrow>")
    }

    fn equals(&self) -> &'static str {
        "<mo>=</mo>"
    }

    fn about(&self) -> &'static str {
        "<mo>≈</mo>"
    }
}

/// Not as text, which is for the names of shafts.
fn mathml_member(member: Member) -> String {
    format!("<mrow><mi>{}</mi><mn>{}</mn></mrow>", member.role.letter(), member.set + 1)
}

/// A name as text of XML; characters that XML 1.0 forbids become U+FFFD.
fn xml_text(name: &str) -> String {
    let escaped = |c: char| match c {
        '&' => "&amp;".to_owned(),
        '<' => "&lt;".to_owned(),
        '>' => "&gt;".to_owned(),
        '\t' | '\n' | '\r' => " ".to_owned(),
        '\0'..='\u{1f}' | '\u{fffe}' | '\u{ffff}' => '\u{fffd}'.to_string(),
        _ => c.to_string(),
    };
    name.chars().map(escaped).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn odd_names_are_escaped() {
        let odd = Expression::Symbol(Symbol::ShaftSpeed("a_b & <50%> {x}".to_owned()));
        assert_eq!(odd.text(), "ω_{a_b & <50%> {x}}");
        assert_eq!(odd.latex(), r"\omega_{\text{a\_b \& <50\%> \{x\}}}");
        assert!(odd.mathml().contains("<mtext>a_b &amp; &lt;50%&gt; {x}</mtext>"));
    }
}
