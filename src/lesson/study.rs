//! The page of a study: from one set to several, each claim from the study's facts.

mod adding;
mod answer;
mod counting;
mod curves;
mod one;
mod price;
mod table;
mod why;

use super::facts::Facts;
use super::telling::{Teller, listed, told};
use crate::brief::PaperSize;
use crate::error::Error;
use crate::paper::{Block, Document, Drawn, Words};
use crate::problem::{Arg, Said};
use crate::study::{Asked, StudyRecord};

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

    /// Whether the brief asks for ladders with a reverse, beside those of forward gears alone.
    fn asks_reverse(&self) -> bool {
        self.record.band.reverse.is_some()
    }

    /// With a reverse, where the brief asks for one.
    fn most_asked(&self) -> Asked {
        Asked::any(self.asks_reverse())
    }

    /// Without a reverse and, where the brief asks for it, with one.
    fn both(&self) -> Vec<Asked> {
        let all = if self.asks_reverse() { vec![false, true] } else { vec![false] };
        all.into_iter().map(Asked::any).collect()
    }

    /// A phrase as it stands within a sentence: with a small first letter.
    fn within(&self, phrase: &str) -> Result<String, Error> {
        let words = self.tell.words.word(phrase)?.plain();
        let mut letters = words.chars();
        let first = letters.next().map(|letter| letter.to_lowercase().to_string());
        Ok(first.unwrap_or_default() + letters.as_str())
    }

    /// Words that a fact bears out: one phrase where it is true or above zero, else another.
    fn verdict(&self, pointer: &str, yes: &str, no: &str) -> Result<Arg, Error> {
        let fact = self.facts.at(pointer)?;
        let holds = fact.yes().or_else(|_| fact.count().map(|count| count > 0))?;
        Ok(fact.borne_out(self.within(if holds { yes } else { no })?))
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
    fn gears(&self, sets: u8, elements: u8, asked: Asked) -> u8 {
        self.record.entry(sets, elements, asked).map_or(0, |entry| entry.gears)
    }

    /// The number of elements by which the story is told: where most sets buy more gears; of
    /// equal ones where there are most gears, of these the fewest elements.
    fn story(&self) -> u8 {
        let asked = self.most_asked().nesting();
        let worth = |elements: &u8| {
            let sets = self.sets().into_iter();
            let gears: Vec<u8> = sets.map(|sets| self.gears(sets, *elements, asked)).collect();
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
        self.searched_space()?;
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

    /// Which kinds of layouts were searched, and so which were not.
    fn searched_space(&mut self) -> Result<(), Error> {
        let facts = self.facts;
        let bare = match facts.at("/space/bare_input")?.plain()?.as_str() {
            "never" => "study-space-never",
            "required" => "study-space-required",
            _ => "study-space-allowed",
        };
        let bare = facts.at("/space/bare_input")?.borne_out(self.within(bare)?);
        let said = Said::new("study-space")
            .with("kinds", facts.at("/space/kinds/0")?.words()?)
            .with("held", self.verdict("/space/held_members", "study-held", "study-held-none")?)
            .with("bare", bare)
            .with("least", facts.at("/space/engaged/0")?.whole()?)
            .with("most", facts.at("/space/engaged/1")?.whole()?);
        self.tell.paragraph(&said)
    }
}
