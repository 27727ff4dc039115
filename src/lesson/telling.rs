//! How lessons say things: blocks of words, tables, numbers.

use num_traits::Zero;

use crate::error::Error;
use crate::num::Fraction;
use crate::paper::{Block, Maths, Run, TableCell, Text, Words};
use crate::problem::{Arg, Said};

/// Says phrases and gathers them as blocks.
pub(super) struct Teller<'a> {
    pub words: &'a Words,
    pub blocks: Vec<Block>,
}

impl<'a> Teller<'a> {
    pub fn new(words: &'a Words) -> Self {
        Self { words, blocks: Vec::new() }
    }

    pub fn heading(&mut self, phrase: &str) -> Result<(), Error> {
        self.headed(&Said::new(phrase))
    }

    pub fn headed(&mut self, said: &Said) -> Result<(), Error> {
        self.blocks.push(Block::Heading(self.words.say(said)?));
        Ok(())
    }

    pub fn label(&mut self, phrase: &str) -> Result<(), Error> {
        self.blocks.push(Block::Label(self.words.word(phrase)?));
        Ok(())
    }

    pub fn paragraph(&mut self, said: &Said) -> Result<(), Error> {
        self.blocks.push(Block::Paragraph(self.words.say(said)?));
        Ok(())
    }

    pub fn note(&mut self, said: &Said) -> Result<(), Error> {
        self.blocks.push(Block::Note(self.words.say(said)?));
        Ok(())
    }

    /// A sentence of a derivation, in which `ω_name` is the speed of a shaft.
    pub fn sentence(&mut self, sentence: &str) {
        let mut pieces = sentence.split("ω_");
        let mut runs = vec![Run::Plain(pieces.next().unwrap_or_default().to_owned())];
        for piece in pieces {
            let (name, rest) = shaft_name(piece);
            let symbol = Maths::Name("omega".to_owned(), Some(name.to_owned()));
            runs.extend([Run::Maths(symbol), Run::Plain(rest.to_owned())]);
        }
        self.blocks.push(Block::Paragraph(Text(runs)));
    }

    /// A line of a solution.
    pub fn step(&mut self, said: &Said) -> Result<(), Error> {
        self.blocks.push(Block::Step(self.words.say(said)?, Text::default()));
        Ok(())
    }

    /// A table of phrases: the heads of its columns, and its rows.
    pub fn table(&mut self, columns: &[Said], rows: &[Vec<Said>]) -> Result<(), Error> {
        let say = |said: &Said| self.words.say(said);
        let columns: Vec<Text> = columns.iter().map(say).collect::<Result<_, _>>()?;
        let cells = |row: &Vec<Said>| {
            row.iter().map(|said| say(said).map(TableCell::Text)).collect::<Result<Vec<_>, _>>()
        };
        let rows = rows.iter().map(cells).collect::<Result<_, _>>()?;
        self.blocks.push(Block::Table(columns, rows));
        Ok(())
    }
}

/// The name of a shaft at the beginning of a text, and what comes behind it: in braces where it
/// is no plain word, as derivations write it.
fn shaft_name(text: &str) -> (&str, &str) {
    if let Some((name, rest)) = text.strip_prefix('{').and_then(|inside| inside.split_once('}')) {
        return (name, rest);
    }
    let part = |c: char| c.is_alphanumeric() || "-_.".contains(c);
    let end = text.find(|c| !part(c)).unwrap_or(text.len());
    // A full stop at the end is the sentence's.
    let name = text[..end].trim_end_matches('.');
    (name, &text[name.len()..])
}

/// A value by itself.
pub(super) fn told(value: Arg) -> Said {
    Said::new("told").with("value", value)
}

/// Phrases behind each other, with commas; a dash for none.
pub(super) fn listed(all: impl IntoIterator<Item = Said>) -> Said {
    let join =
        |before: Said, next: Said| Said::new("listed").with("before", before).with("next", next);
    all.into_iter().reduce(join).unwrap_or_else(|| Said::new("dash"))
}

/// An exact number, with a decimal beside it where it is a fraction.
pub(super) fn number(value: &Fraction) -> Said {
    let plain = Said::new("number-plain").with("value", value);
    if value.is_integer() || value.is_zero() {
        return plain;
    }
    let thousandths = value * Fraction::from(num_bigint::BigInt::from(1000));
    let phrase = if thousandths.is_integer() { "number-is" } else { "number-about" };
    Said::new(phrase).with("value", value).decimal("decimal", value, 3)
}
