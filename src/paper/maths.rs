//! Formulas in a small notation, and their four writings: MathML, Typst, LaTeX and text.
//!
//! ```text
//! i = 1 + Z_R/Z_S          fractions are stacked; brackets around a part of one vanish
//! n_S1 - n_C1 = (-27/11)   names may have a subscript, in quotes what is no plain word;
//!                          a lone bracket vanishes
//! 2 * pi * n/60            * is a dot, Greek letters by their names
//! 120 "rpm"                a unit or a word in quotes
//! sin(180 deg / N) >= 0.5  functions, degrees, relations: = != < > <= >= ~= =>
//! ```

mod latex;
mod mathml;
mod parse;
mod text;
mod typst;

pub use parse::NotMaths;

/// A formula.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Maths {
    /// Digits, with a point or comma as it shall be written.
    Number(String),
    /// A name and its subscript.
    Name(String, Option<String>),
    /// A unit or a word.
    Word(String),
    /// In brackets.
    Group(Box<Maths>),
    /// Terms; `true` for those that are subtracted.
    Sum(Vec<(bool, Maths)>),
    /// Factors with what stands between them.
    Product(Box<Maths>, Vec<(Between, Maths)>),
    Fraction(Box<Maths>, Box<Maths>),
    Power(Box<Maths>, Box<Maths>),
    /// A function and its arguments.
    Function(String, Vec<Maths>),
    /// Sides and the relations between them.
    Chain(Box<Maths>, Vec<(&'static Relation, Maths)>),
    List(Vec<Maths>),
}

/// What stands between two factors.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Between {
    Dot,
    Colon,
    /// A number and its unit, a number and °.
    Nothing,
    Mod,
}

/// A relation sign in the notation and in the scripts.
#[derive(Debug, PartialEq, Eq)]
pub struct Relation {
    pub notation: &'static str,
    pub sign: &'static str,
    pub latex: &'static str,
}

/// All relation signs, longer ones before those that begin them.
pub(super) static RELATIONS: [Relation; 8] = [
    Relation { notation: "<=", sign: "≤", latex: "\\le" },
    Relation { notation: ">=", sign: "≥", latex: "\\ge" },
    Relation { notation: "!=", sign: "≠", latex: "\\ne" },
    Relation { notation: "~=", sign: "≈", latex: "\\approx" },
    Relation { notation: "=>", sign: "⇒", latex: "\\Rightarrow" },
    Relation { notation: "=", sign: "=", latex: "=" },
    Relation { notation: "<", sign: "<", latex: "<" },
    Relation { notation: ">", sign: ">", latex: ">" },
];

/// Greek letters by their names, which are those of LaTeX and Typst too.
pub(super) const GREEK: [(&str, &str); 8] = [
    ("omega", "ω"),
    ("rho", "ρ"),
    ("eta", "η"),
    ("phi", "φ"),
    ("pi", "π"),
    ("alpha", "α"),
    ("Delta", "Δ"),
    ("Sigma", "Σ"),
];

/// Names that are functions where a bracket follows.
pub(super) const FUNCTIONS: [&str; 6] = ["sin", "cos", "ln", "gcd", "abs", "sqrt"];

impl Maths {
    /// Reads the notation.
    ///
    /// # Errors
    /// [`NotMaths`] with the text and the place where it does not read.
    pub fn parse(notation: &str) -> Result<Self, NotMaths> {
        parse::parse(notation)
    }

    /// The formula without brackets around all of it.
    fn bare(&self) -> &Self {
        match self {
            Self::Group(inner) => inner.bare(),
            other => other,
        }
    }
}

/// The letter of a Greek name, else the name itself.
fn letter(name: &str) -> &str {
    GREEK.iter().find(|(greek, _)| *greek == name).map_or(name, |(_, letter)| letter)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Notation, text, LaTeX, Typst.
    const SAMPLES: [(&str, &str, &str, &str); 8] = [
        (
            "i = 1 + Z_R/Z_S",
            "i = 1 + Z_R/Z_S",
            "i = 1 + \\frac{Z_{\\mathrm{R}}}{Z_{\\mathrm{S}}}",
            "i = 1 + frac(Z_\"R\", Z_\"S\")",
        ),
        (
            "n_S1 - n_C1 = (-27/11)",
            "n_S1 − n_C1 = −27/11",
            "n_{\\mathrm{S1}} - n_{\\mathrm{C1}} = -\\frac{27}{11}",
            "n_\"S1\" - n_\"C1\" = -frac(27, 11)",
        ),
        (
            "2 * pi * n/60",
            "2 · π · n/60",
            "\\frac{2 \\cdot \\pi \\cdot n}{60}",
            "frac(2 ⋅ pi ⋅ n, 60)",
        ),
        ("120 \"rpm\"", "120 rpm", "120\\,\\text{rpm}", "120 thin \"rpm\""),
        (
            "sin(180 deg / N) >= 0.5",
            "sin(180°/N) ≥ 0.5",
            "\\sin\\left(\\frac{180^\\circ}{N}\\right) \\ge 0.5",
            "sin(frac(180 degree, N)) >= 0.5",
        ),
        (
            "a * (b - c) != 0",
            "a · (b − c) ≠ 0",
            "a \\cdot \\left(b - c\\right) \\ne 0",
            "a ⋅ (b - c) != 0",
        ),
        (
            "480/(16/5) = 150",
            "480/(16/5) = 150",
            "\\frac{480}{\\frac{16}{5}} = 150",
            "frac(480, frac(16, 5)) = 150",
        ),
        (
            "abs(i) * eta_0^2 ~= 1, 2",
            "|i| · η_0^2 ≈ 1, 2",
            "\\left|i\\right| \\cdot \\eta_{\\mathrm{0}}^{2} \\approx 1, 2",
            "abs(i) ⋅ eta_\"0\"^(2) ≈ 1\\, 2",
        ),
    ];

    #[test]
    fn formulas_are_written_in_every_script() {
        for (notation, text, latex, typst) in SAMPLES {
            let maths = Maths::parse(notation).unwrap();
            assert_eq!(maths.text(), text);
            assert_eq!(maths.latex(), latex);
            assert_eq!(maths.typst(), typst);
            let mathml = maths.mathml();
            roxmltree::Document::parse(&mathml).unwrap_or_else(|error| panic!("{mathml}: {error}"));
        }
    }

    #[test]
    fn what_does_not_read_says_where() {
        for wrong in ["1 +", "(a", "a b c ?", "\"open", "= 2", "sin(", "1..2", ""] {
            let error = Maths::parse(wrong).expect_err(wrong);
            assert!(error.to_string().contains("formula"), "{error}");
        }
    }
}
