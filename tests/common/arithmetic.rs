//! A reader of written arithmetic: text, LaTeX and MathML by the usual rules, to a value.
//!
//! It knows nothing of the writer. LaTeX and MathML are turned into text first, each
//! fraction bar into brackets around both its sides.

use coaxle::num::{Fraction, fraction, parse_fraction};
use num_traits::{Signed, Zero};

/// What a symbol such as `ρ1`, `S2`, `ωC1` or `ω_output` stands for.
pub type Values<'a> = &'a dyn Fn(&str) -> Option<Fraction>;

/// The value of a text; `None` where something is divided by zero.
///
/// # Panics
/// Where it does not read, and at a symbol without value.
pub fn value_of(text: &str, values: Values<'_>) -> Option<Fraction> {
    let mut reader = Reader { text: text.chars().collect(), at: 0, values };
    let value = reader.sum()?;
    assert_eq!(reader.at, reader.text.len(), "unread in {text}");
    Some(value)
}

struct Reader<'a> {
    text: Vec<char>,
    at: usize,
    values: Values<'a>,
}

impl Reader<'_> {
    fn take(&mut self, expected: &str) -> bool {
        let expected: Vec<char> = expected.chars().collect();
        let found = self.text[self.at..].starts_with(&expected);
        self.at += if found { expected.len() } else { 0 };
        found
    }

    fn sum(&mut self) -> Option<Fraction> {
        let mut value = if self.take("-") { -self.product()? } else { self.product()? };
        loop {
            if self.take(" + ") {
                value += self.product()?;
            } else if self.take(" - ") {
                value -= self.product()?;
            } else {
                return Some(value);
            }
        }
    }

    /// Factors and divisors from left to right.
    fn product(&mut self) -> Option<Fraction> {
        let mut value = self.atom()?;
        loop {
            if self.take("·") {
                value *= self.atom()?;
            } else if self.take(" / ") {
                let below = self.atom()?;
                if below.is_zero() {
                    return None;
                }
                value /= below;
            } else {
                return Some(value);
            }
        }
    }

    fn atom(&mut self) -> Option<Fraction> {
        if self.take("(") {
            let value = self.sum();
            assert!(value.is_none() || self.take(")"), "no closing bracket");
            return value;
        }
        let rest = self.text[self.at..].iter();
        let word: String = rest.take_while(|c| !" ·()".contains(**c)).collect();
        self.at += word.chars().count();
        let number = word.starts_with(|c: char| c.is_ascii_digit());
        let value = if number { parse_fraction(&word) } else { (self.values)(&word) };
        Some(value.unwrap_or_else(|| panic!("what is {word:?}?")))
    }
}

/// `a = b ≈ c` holds: the sides before `≈` are equal, the last is near to four digits.
pub fn holds(text: &str, values: Values<'_>) -> bool {
    let (exact, rounded) = match text.split_once(" ≈ ") {
        Some((exact, rounded)) => (exact, Some(rounded)),
        None => (text, None),
    };
    let sides: Vec<Option<Fraction>> =
        exact.split(" = ").map(|side| value_of(side, values)).collect();
    let near = rounded.is_none_or(|rounded| {
        let (value, exact) = (value_of(rounded, values).unwrap(), sides[0].clone().unwrap());
        value != exact && (value / exact - fraction(1, 1)).abs() < fraction(1, 1000)
    });
    sides.len() + usize::from(rounded.is_some()) > 1
        && sides.iter().all(|side| side.is_some() && *side == sides[0])
        && near
}

/// The text that a piece of LaTeX stands for; panics where its braces do not match.
pub fn text_of_latex(latex: &str) -> String {
    let mut text = String::new();
    let mut rest = latex;
    while let Some(first) = rest.chars().next() {
        let word = |word: &str| rest.strip_prefix(word);
        if let Some(after) = word(r"\frac") {
            let (above, after) = braced(after);
            let (below, after) = braced(after);
            text.push_str(&format!("(({}) / ({}))", text_of_latex(above), text_of_latex(below)));
            rest = after;
        } else if let Some(after) = word(r"\omega_") {
            let (index, after) = braced(after);
            match index.strip_prefix(r"\text") {
                Some(name) => text.push_str(&format!("ω_{}", braced(name).0)),
                None => text.push_str(&format!("ω{index}")),
            }
            rest = after;
        } else if let Some(after) = word(r"\rho_").or(word("Z_")) {
            let (index, after) = braced(after);
            text.push_str(if rest.starts_with('Z') { "" } else { "ρ" });
            text.push_str(index);
            rest = after;
        } else {
            const WORDS: [(&str, &str); 8] = [
                (r"\left(", "("),
                (r"\right)", ")"),
                (r" \cdot ", "·"),
                (r"\,", "·"),
                (r" \approx ", " ≈ "),
                (" = ", " = "),
                ("+", " + "),
                ("-", " - "),
            ];
            let known = WORDS.into_iter().find(|(latex, _)| rest.starts_with(latex));
            let plain = first.to_string();
            assert!(
                known.is_some() || first.is_ascii_alphanumeric() || "().".contains(first),
                "{latex}"
            );
            let (taken, meant) = known.unwrap_or((&plain, &plain));
            push(&mut text, meant);
            rest = &rest[taken.len()..];
        }
    }
    text
}

/// A minus in front of everything has no space around it.
fn push(text: &mut String, meant: &str) {
    let front = text.is_empty() || text.ends_with(['(', '=', '≈', ' ']);
    text.push_str(if front && meant == " - " { "-" } else { meant });
}

/// `{inside}rest`.
fn braced(latex: &str) -> (&str, &str) {
    assert!(latex.starts_with('{'), "{latex}");
    let mut depth = 0;
    for (at, c) in latex.char_indices() {
        depth += i32::from(c == '{') - i32::from(c == '}');
        if depth == 0 {
            return (&latex[1..at], &latex[at + 1..]);
        }
    }
    panic!("open brace: {latex}");
}

/// The text that a `math` element stands for; panics where it is not well-formed.
pub fn text_of_mathml(mathml: &str) -> String {
    let document = roxmltree::Document::parse(mathml).unwrap_or_else(|e| panic!("{e}: {mathml}"));
    let math = document.root_element();
    let name = math.tag_name();
    assert_eq!(name.namespace(), Some("http://www.w3.org/1998/Math/MathML"));
    assert_eq!(name.name(), "math");
    let mut text = String::new();
    math.children().for_each(|node| walk(node, &mut text));
    text
}

fn walk(node: roxmltree::Node<'_, '_>, text: &mut String) {
    let inside = |node: roxmltree::Node<'_, '_>| {
        let mut text = String::new();
        node.children().for_each(|child| walk(child, &mut text));
        text
    };
    let children: Vec<_> = node.children().collect();
    match node.tag_name().name() {
        "mrow" => children.into_iter().for_each(|child| walk(child, text)),
        "mn" | "mi" => text.push_str(node.text().unwrap()),
        "mo" => push(
            text,
            match node.text().unwrap() {
                "+" => " + ",
                "−" => " - ",
                "·" | "\u{2062}" => "·",
                "=" => " = ",
                "≈" => " ≈ ",
                bracket => bracket,
            },
        ),
        "mfrac" => {
            assert_eq!(children.len(), 2);
            // A number has no mrow around it.
            let side = |node: roxmltree::Node<'_, '_>| match node.tag_name().name() {
                "mn" => node.text().unwrap().to_owned(),
                _ => inside(node),
            };
            text.push_str(&format!("(({}) / ({}))", side(children[0]), side(children[1])));
        }
        "msub" => {
            assert_eq!(children.len(), 2);
            let index = match children[1].tag_name().name() {
                "mtext" => format!("_{}", children[1].text().unwrap()),
                "mrow" => inside(children[1]),
                _ => children[1].text().unwrap().to_owned(),
            };
            let letter = children[0].text().unwrap();
            text.push_str(if letter == "Z" { "" } else { letter });
            text.push_str(&index);
        }
        other => panic!("what is {other}?"),
    }
}
