//! The page of a study: from one set to several, each claim from the study's facts.

mod adding;
mod counting;
mod curves;
mod one;
mod price;
mod table;

use super::facts::Facts;
use super::telling::{Teller, listed, told};
use crate::brief::PaperSize;
use crate::error::Error;
use crate::paper::{Block, Document, Drawn, Words};
use crate::problem::Said;
use crate::study::StudyRecord;

/// The page, in words of a language; `facts` are those of the record as `study.json` has them.
///
/// # Errors
/// [`Error::Work`] for a fact or a phrase that is not there and a picture that cannot be drawn.
pub fn study_page(
    record: &StudyRecord,
    facts: &Facts,
    cautions: &[&str],
    language: &str,
) -> Result<Document, Error> {
    let words = Words::of(language, false)?;
    let mut page = Page { record, facts, tell: Teller::new(&words), figures: Vec::new() };
    page.question()?;
    page.one_set()?;
    page.counting()?;
    page.adding()?;
    page.curves()?;
    page.smooth_and_nested()?;
    page.price()?;
    page.shortcut()?;
    page.how(cautions)?;
    let subtitle = Said::new("study-subtitle").with("version", facts.at("/version")?.words()?);
    let subtitle = words.say(&subtitle)?.plain();
    Ok(Document {
        title: words.say(&Said::new("told").with("value", facts.at("/title")?.words()?))?,
        subtitle: Some(subtitle),
        language: language.to_owned(),
        size: PaperSize::A4,
        blocks: page.tell.blocks,
        figures: page.figures,
    })
}

/// What a page gathers.
struct Page<'a> {
    record: &'a StudyRecord,
    facts: &'a Facts,
    tell: Teller<'a>,
    figures: Vec<Drawn>,
}

impl Page<'_> {
    fn figure(&mut self, drawn: Drawn) {
        self.figures.push(drawn);
        self.tell.blocks.push(Block::Figure(self.figures.len() - 1));
    }

    /// The place of an entry in the record.
    fn entry_at(&self, sets: u8, elements: u8, swap: bool, nest: bool) -> Option<usize> {
        self.record.entries.iter().position(|entry| {
            (entry.sets, entry.elements, entry.single_swap, entry.must_nest)
                == (sets, elements, swap, nest)
        })
    }

    /// The place of a witness in the record.
    fn witness_at(&self, name: &str) -> Option<usize> {
        self.record.witnesses.iter().position(|witness| witness.name == name)
    }

    /// Numbers of sets, rising.
    fn sets(&self) -> Vec<u8> {
        let mut sets: Vec<u8> = self.record.entries.iter().map(|entry| entry.sets).collect();
        sets.dedup();
        sets.sort_unstable();
        sets.dedup();
        sets
    }

    /// Numbers of elements, rising.
    fn elements(&self) -> Vec<u8> {
        let mut all: Vec<u8> = self.record.entries.iter().map(|entry| entry.elements).collect();
        all.sort_unstable();
        all.dedup();
        all
    }

    /// Largest number of gears of an entry.
    fn gears(&self, sets: u8, elements: u8, swap: bool, nest: bool) -> u8 {
        self.record.entry(sets, elements, swap, nest).map_or(0, |entry| entry.gears)
    }

    /// The number of elements by which the story is told: where most sets buy more gears; of
    /// equal ones where there are most gears, of these the fewest elements.
    fn story(&self) -> u8 {
        let worth = |elements: &u8| {
            let sets = self.sets().into_iter();
            let gears: Vec<u8> =
                sets.map(|sets| self.gears(sets, *elements, false, true)).collect();
            let steps = gears.windows(2).filter(|pair| pair[0] < pair[1]).count();
            (steps, gears.last().copied(), std::cmp::Reverse(*elements))
        };
        self.elements().into_iter().max_by_key(worth).unwrap_or(0)
    }

    /// A list of whole numbers.
    fn list(&self, pointer: &str) -> Result<Said, Error> {
        let all = 0..self.facts.count(pointer);
        let one = |place| Ok(told(self.facts.at(format!("{pointer}/{place}"))?.whole()?));
        Ok(listed(all.map(one).collect::<Result<Vec<_>, Error>>()?))
    }

    fn question(&mut self) -> Result<(), Error> {
        self.tell.heading("study-question-head")?;
        self.tell.paragraph(&Said::new("study-question"))?;
        let mut usable = Said::new("study-usable");
        for window in ["first", "top", "step", "reverse"] {
            for (place, end) in ["least", "most"].into_iter().enumerate() {
                let fact = self.facts.at(format!("/band/{window}/{place}"))?;
                usable = usable.with(&format!("{window}-{end}"), fact.decimal(1)?);
            }
        }
        self.tell.paragraph(&Said::new("study-ratio-words"))?;
        self.tell.paragraph(&usable)?;
        self.tell.label("study-answer-head")?;
        let elements = self.story();
        for sets in self.sets() {
            let Some(entry) = self.entry_at(sets, elements, false, false) else { continue };
            let facts = self.facts;
            let at = |field: &str| facts.at(format!("/entries/{entry}/{field}"));
            let gears = at("gears")?;
            let proved = if at("proved")?.yes()? { "proved" } else { "open" };
            let answer = match gears.count()? {
                0 => Said::new(&format!("study-answer-none-{proved}")),
                _ => {
                    let answer = Said::new("study-answer-gears").with("gears", gears.whole()?);
                    Said::new(&format!("study-answer-{proved}")).with("answer", answer)
                }
            };
            let line = Said::new("study-answer-line")
                .with("sets", at("sets")?.whole()?)
                .count("count", sets.into())
                .with("elements", at("elements")?.whole()?)
                .with("answer", answer);
            self.tell.paragraph(&line)?;
        }
        Ok(())
    }

    fn how(&mut self, cautions: &[&str]) -> Result<(), Error> {
        self.tell.heading("study-how-head")?;
        let facts = self.facts;
        let mut said = Said::new("study-how");
        for count in ["searches", "families", "layouts"] {
            said = said.with(count, facts.at(format!("/totals/{count}"))?.whole()?);
        }
        for wheel in ["sun", "ring"] {
            for (place, end) in ["least", "most"].into_iter().enumerate() {
                let fact = facts.at(format!("/catalogue/{wheel}/{place}"))?;
                said = said.with(&format!("{wheel}-{end}"), fact.whole()?);
            }
        }
        let planets = self.list("/catalogue/planets")?;
        self.tell.paragraph(&said.with("planets", planets))?;
        for sentence in 0..facts.count("/coverage") {
            let fact = facts.at(format!("/coverage/{sentence}"))?;
            self.tell.note(&Said::new("told").with("value", fact.words()?))?;
        }
        self.every_entry()?;
        self.tell.heading("study-cautions-head")?;
        for caution in cautions {
            self.tell.blocks.push(Block::Note(crate::paper::Text::plainly(*caution)));
        }
        Ok(())
    }
}
