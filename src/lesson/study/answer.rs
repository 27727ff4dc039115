//! The question, and its answer in short: a table with forward gears alone and with a reverse,
//! what one set can do, and what it cannot and why.

use super::Page;
use crate::error::Error;
use crate::lesson::telling::{listed, told};
use crate::problem::{Arg, Said};
use crate::study::{Asked, SetGear};

impl Page<'_> {
    pub(super) fn question(&mut self) -> Result<(), Error> {
        self.tell.heading("study-question-head")?;
        self.tell.paragraph(&Said::new("study-question"))?;
        self.tell.paragraph(&Said::new("study-ratio-words"))?;
        let mut usable = Said::new("study-usable");
        for window in ["first", "top", "step"] {
            usable = self.window(usable, window)?;
        }
        self.tell.paragraph(&usable)?;
        let reverse = match self.asks_reverse() {
            true => self.window(Said::new("study-usable-reverse"), "reverse")?,
            false => Said::new("study-usable-no-reverse"),
        };
        self.tell.paragraph(&reverse)?;
        self.tell.label("study-answer-head")?;
        self.answer_table()?;
        self.what_one_set_does()?;
        if self.sets().iter().all(|&sets| sets < 2) {
            return Ok(());
        }
        self.tell.paragraph(&Said::new("study-answer-why"))?;
        self.reason_in_short()
    }

    /// A phrase with both ends of a window of the band.
    fn window(&self, mut said: Said, window: &str) -> Result<Said, Error> {
        for (place, end) in ["least", "most"].into_iter().enumerate() {
            let fact = self.facts.at(format!("/band/{window}/{place}"))?;
            said = said.with(&format!("{window}-{end}"), fact.decimal(1)?);
        }
        Ok(said)
    }

    /// One row for each number of sets: gears without a reverse and with one.
    fn answer_table(&mut self) -> Result<(), Error> {
        let facts = self.facts;
        let elements = self.story();
        let both = self.both();
        let Some(first) = self.record.entry_at(self.sets()[0], elements, both[0]) else {
            return Ok(());
        };
        let told_elements = facts.at(format!("/entries/{first}/elements"))?.whole()?;
        self.tell.paragraph(&Said::new("study-answer-table").with("elements", told_elements))?;
        let mut columns = vec![Said::new("fate-sets")];
        columns.extend(both.iter().map(asked_column));
        let mut rows = Vec::new();
        for sets in self.sets() {
            let Some(entry) = self.record.entry_at(sets, elements, both[0]) else { continue };
            let sets_told = facts.at(format!("/entries/{entry}/sets"))?.whole()?;
            let mut row = vec![Said::new("at-most").with("value", sets_told)];
            for &asked in &both {
                row.push(self.gears_cell(sets, elements, asked)?);
            }
            rows.push(row);
        }
        self.tell.table(&columns, &rows)?;
        if self.record.entries.iter().any(|entry| !entry.proved) {
            self.tell.note(&Said::new("study-count-open"))?;
        }
        Ok(())
    }

    /// Two speeds with lock-up, three forward gears, a reverse: what one set does, and what it
    /// does not.
    fn what_one_set_does(&mut self) -> Result<(), Error> {
        let facts = self.facts;
        let ways = &self.record.one_set.ways;
        let Some(way) = ways.iter().position(|way| (way.driven, way.output) == ('S', 'C')) else {
            return Ok(());
        };
        let range = |end: u8| facts.at(format!("/one_set/ways/{way}/range/{end}"))?.decimal(2);
        let two = Said::new("study-can-two").with("least", range(0)?).with("most", range(1)?);
        self.tell.paragraph(&two)?;
        let carrier = |output: &SetGear| output.output == 'C';
        if let Some(place) = self.record.one_set.outputs.iter().position(carrier) {
            let at = |field: &str| format!("/one_set/outputs/{place}/forward/{field}");
            let gears = facts.at(at("gears"))?;
            let three = match gears.count()? {
                3 => Said::new("study-can-three")
                    .with("gears", gears.whole()?)
                    .with("ratios", self.base_ratios(&at("base_ratios"))?),
                _ => Said::new("study-cannot-three").with("gears", self.none_or(&at("gears"))?),
            };
            self.tell.paragraph(&three)?;
            self.smooth_and_nested_one()?;
        }
        self.tell.paragraph(&Said::new("study-can-reverse"))?;
        let elements = self.elements().last().copied().unwrap_or(0);
        let Some(entry) = self.record.entry_at(1, elements, Asked::any(true)) else {
            return Ok(());
        };
        let proved = facts.at(format!("/entries/{entry}/proved"))?.yes()?;
        let gears = self.none_or(&format!("/entries/{entry}/gears"))?;
        let said = match (self.record.entries[entry].gears, proved) {
            (0, true) => Said::new("study-cannot-both"),
            (0, false) => Said::new("study-cannot-both-open"),
            _ => Said::new("study-can-both"),
        };
        self.tell.paragraph(&said.with("gears", gears))
    }

    /// What is left of one set's forward gears by single swaps, and among layouts that nest.
    fn smooth_and_nested_one(&mut self) -> Result<(), Error> {
        let elements = self.elements().last().copied().unwrap_or(0);
        let any = Asked::any(false);
        let at = |asked| self.record.entry_at(1, elements, asked);
        let (Some(all), Some(smooth), Some(nested)) =
            (at(any), at(any.single_swap()), at(any.nesting()))
        else {
            return Ok(());
        };
        if self.record.entries[all].gears == 0 {
            return Ok(());
        }
        let gears = |entry: usize| self.none_or(&format!("/entries/{entry}/gears"));
        let said = Said::new("study-can-but")
            .with("elements", self.facts.at(format!("/entries/{all}/elements"))?.whole()?)
            .with("all", gears(all)?)
            .with("smooth", gears(smooth)?)
            .with("nested", gears(nested)?);
        self.tell.paragraph(&said)
    }

    /// A whole number, or "none" for zero.
    pub(super) fn none_or(&self, pointer: &str) -> Result<Arg, Error> {
        let fact = self.facts.at(pointer)?;
        match fact.count()? {
            0 => Ok(fact.borne_out(self.within("word-none")?)),
            _ => fact.whole(),
        }
    }

    /// A list of base ratios: all of a few, else the ends of many.
    fn base_ratios(&self, pointer: &str) -> Result<Said, Error> {
        let count = self.facts.count(pointer);
        let one = |place: usize| self.facts.at(format!("{pointer}/{place}"))?.decimal(3);
        if count <= 4 {
            let all = (0..count).map(|place| Ok(told(one(place)?)));
            return Ok(listed(all.collect::<Result<Vec<_>, Error>>()?));
        }
        Ok(Said::new("range").with("least", one(0)?).with("most", one(count - 1)?))
    }
}

/// The head of a column: forward gears alone, or with a reverse.
pub(super) fn asked_column(asked: &Asked) -> Said {
    Said::new(if asked.reverse { "with-reverse-column" } else { "forward-column" })
}
