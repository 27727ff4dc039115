//! The key: right answers, worked steps with their points, and what wrong answers reveal.

use super::questions::{Maker, letter, table};
use super::{Block, Document, TableCell};
use crate::brief::ExamBrief;
use crate::error::Error;
use crate::exam::ExamPaper;
use crate::num::Fraction;
use crate::paper::words::{Text, Unsaid, Words};
use crate::problem::{
    Answer, Arg, Cell, Choice, Item, Misconception, Part, Said, SignRule, Unit, WrongNumber,
};

/// The key to one paper.
///
/// # Errors
/// [`Error::Work`] for a phrase that the catalogue lacks and a figure that cannot be drawn.
pub fn key(brief: &ExamBrief, paper: &ExamPaper, words: &Words) -> Result<Document, Error> {
    let mut maker = Maker { words, blocks: Vec::new(), figures: Vec::new() };
    for (index, item) in paper.items.iter().enumerate() {
        maker.stem(index, item)?;
        for (index, part) in item.parts.iter().enumerate() {
            maker.ask(item, index)?;
            maker.right(part)?;
            maker.way(part)?;
        }
        maker.data(item)?;
    }
    maker.note(&Said::new("key-caution"))?;
    let title = words.say(&Said::new("key-title").name("name", &paper.name))?;
    Ok(maker.document(brief, title))
}

impl Maker<'_> {
    fn note(&mut self, said: &Said) -> Result<(), Error> {
        self.blocks.push(Block::Note(self.words.say(said)?));
        Ok(())
    }

    /// The right answer, what else is right, and what wrong ones reveal.
    fn right(&mut self, part: &Part) -> Result<(), Error> {
        let label = |words: &Words, phrase| words.word(phrase).map(|t| t.then(Text::plainly(" ")));
        let right = label(self.words, "right-answer")?;
        match &part.answer {
            Answer::Number { exact, unit, places, tolerance, sign, wrong } => {
                let value = with_unit(self.words, &Arg::Decimal(exact.clone(), *places), *unit)?;
                self.blocks.push(Block::Paragraph(right.then(value)));
                self.nearness(tolerance, *sign, *unit)?;
                self.wrong_numbers(wrong, Some(*places))?;
            }
            Answer::Fraction { exact, sign, wrong } => {
                let value = self.words.say(&Said::new("number-plain").with("value", exact))?;
                self.blocks.push(Block::Paragraph(right.then(value)));
                self.nearness(&Fraction::from(num_bigint::BigInt::from(0)), *sign, Unit::None)?;
                self.wrong_numbers(wrong, None)?;
            }
            Answer::Choice { options, right } => self.options(options, *right)?,
            Answer::Table { columns, rows } => {
                let filled = table(self.words, columns, rows, |cell| self.filled(cell))?;
                self.blocks.push(filled);
            }
            Answer::Names { accepted, wrong, .. } => {
                let several = accepted.len() > 1;
                let label =
                    label(self.words, if several { "right-answers" } else { "right-answer" })?;
                let lists: Vec<String> =
                    accepted.iter().map(|names| self.names(names)).collect::<Result<_, _>>()?;
                self.blocks.push(Block::Paragraph(label.then(Text::plainly(lists.join("; ")))));
                for (names, why) in wrong {
                    let said = Said::new("names-reveal").name("names", self.names(names)?);
                    self.note(&said.with("what", misconception(*why)))?;
                }
            }
            Answer::Teeth { accepted } => {
                self.blocks.push(Block::Paragraph(self.words.word("right-answers")?));
                for [sun, planet, ring, planets] in accepted {
                    let said = Said::new("teeth-line")
                        .with("sun", *sun)
                        .with("planet", *planet)
                        .with("ring", *ring)
                        .count("planets", *planets);
                    self.note(&said)?;
                }
            }
            Answer::Drawing { done, .. } => {
                self.figure(done)?;
                self.note(&Said::new("by-hand"))?;
            }
            Answer::Written { model } => {
                self.paragraph(&Said::new("model-answer"))?;
                model.iter().try_for_each(|said| self.paragraph(said))?;
                self.note(&Said::new("by-hand"))?;
            }
        }
        Ok(())
    }

    /// The options, the right one, and what each other reveals.
    fn options(&mut self, options: &[Choice], right: usize) -> Result<(), Error> {
        let all = options.iter().enumerate();
        let all = all.map(|(index, option)| Ok((letter(index), self.words.say(&option.said)?)));
        let all = all.collect::<Result<_, Unsaid>>()?;
        self.blocks.push(Block::Options(all));
        self.paragraph(&Said::new("right-option").name("letter", letter(right)))?;
        for (index, option) in options.iter().enumerate() {
            if let Some(why) = option.misconception {
                let said = Said::new("option-reveals").name("letter", letter(index));
                self.note(&said.with("what", misconception(why)))?;
            }
        }
        Ok(())
    }

    fn names(&self, names: &[String]) -> Result<String, Unsaid> {
        if names.is_empty() {
            return self.words.inside("names-none");
        }
        Ok(names.join(", "))
    }

    fn filled(&self, cell: &Cell) -> Result<TableCell, Unsaid> {
        Ok(TableCell::Text(match cell {
            Cell::Given(said) => self.words.say(said)?,
            Cell::Number { exact, places } => {
                let value = match places {
                    Some(places) => Arg::Decimal(exact.clone(), *places),
                    None => Arg::Exact(exact.clone()),
                };
                self.words.say(&Said::new("number-plain").with("value", value))?
            }
            Cell::Tick(true) => self.words.word("table-tick")?,
            Cell::Tick(false) => Text::default(),
            Cell::Word { of, right } => self.words.say(&of[*right])?,
        }))
    }

    /// What else counts as right.
    fn nearness(&mut self, tolerance: &Fraction, sign: SignRule, unit: Unit) -> Result<(), Error> {
        if *tolerance != Fraction::from(num_bigint::BigInt::from(0)) {
            self.note(&Said::new("near-enough").decimal("tolerance", tolerance, 3))?;
        }
        if sign == SignRule::Ignored && unit != Unit::None {
            self.note(&Said::new("size-only"))?;
        }
        if unit != Unit::None {
            self.note(&Said::new("no-unit-needed"))?;
        }
        Ok(())
    }

    fn wrong_numbers(&mut self, wrong: &[WrongNumber], places: Option<u32>) -> Result<(), Error> {
        for one in wrong {
            let value = match places {
                Some(places) => Arg::Decimal(one.value.clone(), places),
                None => Arg::Exact(one.value.clone()),
            };
            let said = Said::new("number-reveals").with("value", value);
            self.note(&said.with("what", misconception(one.misconception)))?;
        }
        Ok(())
    }

    /// The worked steps and what each is worth.
    fn way(&mut self, part: &Part) -> Result<(), Error> {
        self.blocks.push(Block::Label(self.words.word("way-head")?));
        for step in &part.steps {
            let points = Said::new("points").count("points", step.points);
            let points =
                if step.points == 0 { Text::default() } else { self.words.say(&points)? };
            self.blocks.push(Block::Step(self.words.say(&step.said)?, points));
        }
        Ok(())
    }

    fn data(&mut self, item: &Item) -> Result<(), Error> {
        let topics: Vec<String> = item
            .topics
            .iter()
            .map(|topic| self.words.inside(&format!("topic-{}", topic.word())))
            .collect::<Result<_, Unsaid>>()?;
        let said = Said::new("item-data")
            .with("kind", Said::new(&format!("kind-{}", item.kind.word())))
            .with("difficulty", item.difficulty())
            .count("minutes", item.minutes())
            .name("topics", topics.join(", "))
            .name("id", &item.id);
        self.note(&said)
    }
}

/// The sentence of a misconception.
pub(crate) fn misconception(misconception: Misconception) -> Said {
    Said::new(&format!("misconception-{}", misconception.word()))
}

fn with_unit(words: &Words, value: &Arg, unit: Unit) -> Result<Text, Unsaid> {
    let unit = match unit {
        Unit::None => return words.say(&Said::new("number-plain").with("value", value.clone())),
        Unit::Rpm => "unit-rpm",
        Unit::NewtonMetre => "unit-newton-metre",
        Unit::Watt => "unit-watt",
        Unit::Percent => "unit-percent",
        Unit::Millimetre => "unit-millimetre",
    };
    let said = Said::new("number-with-unit").with("value", value.clone());
    words.say(&said.name("unit", words.inside(unit)?))
}
