//! The reader of the notation: plain recursive descent.

use crate::paper::veil::unveiled;

use super::{Between, FUNCTIONS, Maths, RELATIONS};

/// A text that is no formula.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("the formula \"{text}\" does not read after \"{read}\"")]
pub struct NotMaths {
    text: String,
    read: String,
}

pub(super) fn parse(text: &str) -> Result<Maths, NotMaths> {
    let mut reader = Reader { text, at: 0 };
    let fault = |reader: &Reader<'_>| NotMaths {
        text: text.to_owned(),
        read: text[..reader.at].to_owned(),
    };
    match reader.list() {
        Some(maths) if reader.rest().is_empty() => Ok(maths),
        _ => Err(fault(&reader)),
    }
}

struct Reader<'a> {
    text: &'a str,
    at: usize,
}

impl<'a> Reader<'a> {
    /// What is not read yet, blanks left out.
    fn rest(&mut self) -> &'a str {
        let rest = &self.text[self.at..];
        self.at += rest.len() - rest.trim_start().len();
        rest.trim_start()
    }

    fn take(&mut self, sign: &str) -> bool {
        let there = self.rest().starts_with(sign);
        if there {
            self.at += sign.len();
        }
        there
    }

    /// As many characters as `part` takes.
    fn word(&mut self, part: impl Fn(char) -> bool) -> &'a str {
        let rest = &self.text[self.at..];
        let end = rest.find(|c| !part(c)).unwrap_or(rest.len());
        self.at += end;
        &rest[..end]
    }

    fn list(&mut self) -> Option<Maths> {
        let mut all = vec![self.chain()?];
        while self.take(",") {
            all.push(self.chain()?);
        }
        if all.len() == 1 { all.pop() } else { Some(Maths::List(all)) }
    }

    fn chain(&mut self) -> Option<Maths> {
        let first = self.sum()?;
        let mut sides = Vec::new();
        while let Some(relation) = RELATIONS.iter().find(|relation| self.take(relation.notation)) {
            sides.push((relation, self.sum()?));
        }
        Some(if sides.is_empty() { first } else { Maths::Chain(Box::new(first), sides) })
    }

    fn sum(&mut self) -> Option<Maths> {
        let minus = self.take("-");
        let mut terms = vec![(minus, self.product()?)];
        loop {
            let minus = self.take("-");
            if !minus && !self.take("+") {
                break;
            }
            terms.push((minus, self.product()?));
        }
        match &terms[..] {
            [(false, _)] => terms.pop().map(|(_, term)| term),
            _ => Some(Maths::Sum(terms)),
        }
    }

    fn product(&mut self) -> Option<Maths> {
        let mut left = self.power()?;
        loop {
            let rest = self.rest();
            let between = if self.take("*") {
                Between::Dot
            } else if self.take("/") {
                let below = self.power()?;
                left = Maths::Fraction(Box::new(left), Box::new(below));
                continue;
            } else if self.take(":") {
                Between::Colon
            } else if rest.starts_with("mod ") {
                self.at += "mod".len();
                Between::Mod
            } else if rest.starts_with('"') || rest.starts_with("deg") {
                Between::Nothing
            } else {
                return Some(left);
            };
            let right = self.power()?;
            // A negative number needs no bracket before its unit.
            if let (Between::Nothing, Maths::Group(inner)) = (between, &left)
                && matches!(&**inner, Maths::Sum(terms) if terms.len() == 1)
            {
                left = (**inner).clone();
            }
            left = match left {
                Maths::Product(first, mut more) => {
                    more.push((between, right));
                    Maths::Product(first, more)
                }
                first => Maths::Product(Box::new(first), vec![(between, right)]),
            };
        }
    }

    fn power(&mut self) -> Option<Maths> {
        let base = self.atom()?;
        if self.take("^") {
            let power = self.atom()?;
            return Some(Maths::Power(Box::new(base), Box::new(power)));
        }
        Some(base)
    }

    fn atom(&mut self) -> Option<Maths> {
        let first = self.rest().chars().next()?;
        if first.is_ascii_digit() {
            return self.number();
        }
        if self.take("(") {
            let inner = self.list()?;
            return self.take(")").then(|| Maths::Group(Box::new(inner)));
        }
        if first == '"' {
            return self.quoted().map(Maths::Word);
        }
        let name = self.word(|c| c.is_alphabetic());
        if name.is_empty() {
            return None;
        }
        if FUNCTIONS.contains(&name) && self.take("(") {
            let inner = self.list()?;
            let arguments = if let Maths::List(all) = inner { all } else { vec![inner] };
            return self.take(")").then(|| Maths::Function(name.to_owned(), arguments));
        }
        let sub = self.text[self.at..].starts_with('_').then(|| {
            self.at += 1;
            match self.text[self.at..].starts_with('"') {
                true => self.quoted().unwrap_or_default(),
                false => self.word(|c| c.is_alphanumeric()).to_owned(),
            }
        });
        if sub.as_deref() == Some("") {
            return None;
        }
        Some(Maths::Name(name.to_owned(), sub))
    }

    /// What stands between quotes.
    fn quoted(&mut self) -> Option<String> {
        self.take("\"");
        let word = unveiled(self.word(|c| c != '"'));
        self.take("\"").then_some(word)
    }

    /// Digits, one point or decimal comma among them.
    fn number(&mut self) -> Option<Maths> {
        let digits = self.word(|c| c.is_ascii_digit() || c == '.' || c == ';');
        let points = digits.matches(['.', ';']).count();
        // A comma separates lists; the decimal comma comes as a semicolon.
        let fits = points <= 1 && !digits.ends_with(['.', ';']);
        fits.then(|| Maths::Number(digits.replace(';', ",")))
    }
}
