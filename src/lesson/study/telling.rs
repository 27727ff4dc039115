//! How a page says things: blocks of words with facts in them.

use crate::error::Error;
use crate::lesson::facts::Facts;
use crate::paper::{Block, TableCell, Text, Words};
use crate::problem::{Arg, Said};

/// Says phrases and gathers them as blocks.
pub(super) struct Teller<'a> {
    pub words: &'a Words,
    pub facts: &'a Facts,
    pub blocks: Vec<Block>,
}

impl Teller<'_> {
    pub fn heading(&mut self, phrase: &str) -> Result<(), Error> {
        self.blocks.push(Block::Heading(self.words.word(phrase)?));
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

    /// A list of whole numbers as a text.
    pub fn list(&self, pointer: &str) -> Result<Said, Error> {
        let mut said: Option<Said> = None;
        for place in 0..self.facts.count(pointer) {
            let next = told(self.facts.at(format!("{pointer}/{place}"))?.whole()?);
            said = Some(match said {
                Some(before) => Said::new("listed").with("before", before).with("next", next),
                None => next,
            });
        }
        Ok(said.unwrap_or_else(|| Said::new("dash")))
    }
}

/// A value by itself.
pub(super) fn told(value: Arg) -> Said {
    Said::new("told").with("value", value)
}
