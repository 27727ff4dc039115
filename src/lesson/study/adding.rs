//! Sets added one by one: what each brings, with a layout that shows it.

use super::Page;
use super::one::WIDTH;
use crate::account::single;
use crate::draw::{Ladder, Rung};
use crate::error::Error;
use crate::lesson::telling::{listed, told};
use crate::paper::Drawn;
use crate::problem::Said;
use crate::study::Asked;
use crate::train::parse_layout;

impl Page<'_> {
    /// A chapter for every number of sets beyond one.
    pub(super) fn adding(&mut self) -> Result<(), Error> {
        let mut why = true;
        for sets in self.sets().into_iter().filter(|&sets| sets > 1) {
            let head = Said::new("study-adding-head").count("sets", sets.into());
            self.tell.headed(&head)?;
            self.what_is_new(sets)?;
            if std::mem::take(&mut why) {
                self.tell.paragraph(&Said::new("study-adding-why"))?;
            }
            self.chapter_layout(sets)?;
        }
        let picture = self.ladder_of_sets()?;
        self.figure(picture);
        Ok(())
    }

    fn what_is_new(&mut self, sets: u8) -> Result<(), Error> {
        let facts = self.facts;
        let elements = self.story();
        for asked in self.both() {
            let Some(entry) = self.record.entry_at(sets, elements, asked) else { continue };
            let before = match self.record.entry_at(sets - 1, elements, asked) {
                None => Said::new("nothing"),
                Some(before) => Said::new("study-adding-before")
                    .with("gears", self.none_or(&format!("/entries/{before}/gears"))?),
            };
            let phrase = if asked.reverse { "study-adding-reverse" } else { "study-adding-gears" };
            let said = Said::new(phrase)
                .with("elements", facts.at(format!("/entries/{entry}/elements"))?.whole()?)
                .with("gears", self.none_or(&format!("/entries/{entry}/gears"))?)
                .with("before", before)
                .with("proof", self.proof(entry)?);
            self.tell.paragraph(&said)?;
        }
        Ok(())
    }

    /// Whether more gears than those of an entry are excluded, and how.
    fn proof(&self, entry: usize) -> Result<Said, Error> {
        let pointer = format!("/entries/{entry}/proved");
        let entry = &self.record.entries[entry];
        let limit = self.record.limits.iter().find(|limit| limit.elements == entry.elements);
        let most = limit.map(|limit| match entry.reverse {
            true => limit.most_gears,
            false => limit.most_forward,
        });
        let counted = most == Some(u64::from(entry.gears));
        let phrase = match (entry.proved, counted) {
            (true, true) => "study-adding-counted",
            (true, false) => "study-adding-proved",
            (false, _) => "study-adding-open",
        };
        Ok(Said::new(phrase).with("verdict", self.verdict(&pointer, "word-proved", "word-open")?))
    }

    /// The witness of a number of sets: the evenest of the most gears, with a reverse where there
    /// is one, that nests if one does; by single swaps where these cost no gear.
    pub(super) fn shown_witness(&self, sets: u8) -> Option<usize> {
        let (_, entry) = self.shown_entry(sets)?;
        let rung = self.record.entries[entry].rungs.last()?;
        self.witness_at(&rung.evenest.witness)
    }

    /// The entry that it comes from, and what was asked there.
    pub(super) fn shown_entry(&self, sets: u8) -> Option<(Asked, usize)> {
        let elements = self.story();
        let gears = |asked: Asked| self.gears(sets, elements, asked);
        let asked = self.both().into_iter().rev().flat_map(|asked| [asked.nesting(), asked]);
        let asked = asked.into_iter().find(|&asked| gears(asked) > 0)?;
        let smooth = asked.single_swap();
        let asked = if gears(smooth) == gears(asked) { smooth } else { asked };
        Some((asked, self.record.entry_at(sets, elements, asked)?))
    }

    fn chapter_layout(&mut self, sets: u8) -> Result<(), Error> {
        let (Some(index), Some((_, entry))) = (self.shown_witness(sets), self.shown_entry(sets))
        else {
            return Ok(());
        };
        let record = self.record;
        let witness = &record.witnesses[index];
        let facts = self.facts;
        let at = |field: &str| facts.at(format!("/witnesses/{index}/{field}"));
        let asked = |field: &str| format!("/entries/{entry}/{field}");
        let said = Said::new("study-adding-witness")
            .with("name", at("name")?.words()?)
            .with("file", at("file")?.words()?)
            .with("deviation", at("off_percent")?.decimal(1)?)
            .with("spread", at("spread")?.decimal(2)?)
            .with("nests", self.verdict(&asked("must_nest"), "word-nests", "word-crosses")?)
            .with("swaps", self.verdict(&asked("single_swap"), "word-single", "word-any-shift")?)
            .with("reverse", self.verdict(&asked("reverse"), "word-reverse", "word-no-reverse")?);
        self.tell.paragraph(&said)?;
        self.gears_of(index)?;
        self.made_of(index)?;
        self.identities(index)?;
        self.why_table(index)?;
        let mut layout = parse_layout(&witness.layout)
            .map_err(|mistake| Error::Work(format!("{} does not read: {mistake}", witness.name)))?;
        layout.title = Some(witness.name.clone());
        if let Some(picture) = single::stick(&layout) {
            self.figure(Drawn { picture, share: 0.7 });
        }
        Ok(())
    }

    /// The gears of a witness with their ratios and steps, as a table.
    pub(super) fn gears_of(&mut self, index: usize) -> Result<(), Error> {
        let (facts, record) = (self.facts, self.record);
        let witness = &record.witnesses[index];
        let mut rows = Vec::new();
        for (gear, found) in witness.gears.iter().enumerate() {
            let at = |field: &str| facts.at(format!("/witnesses/{index}/gears/{gear}/{field}"));
            let step = match gear < witness.steps.len() {
                true => told(facts.at(format!("/witnesses/{index}/steps/{gear}"))?.decimal(3)?),
                false => Said::new("dash"),
            };
            let engaged = (0..found.engaged.len())
                .map(|place| Ok(told(at(&format!("engaged/{place}"))?.words()?)))
                .collect::<Result<Vec<_>, Error>>()?;
            rows.push(vec![
                told(at("gear")?.words()?),
                listed(engaged),
                told(at("ratio")?.text()?),
                told(at("value")?.decimal(3)?),
                step,
            ]);
        }
        let columns =
            ["gear-column", "engaged-column", "ratio-column", "value-column", "step-column"];
        self.tell.table(&columns.map(Said::new), &rows)
    }

    /// The ladders of the shown layouts below each other.
    fn ladder_of_sets(&self) -> Result<Drawn, Error> {
        let mut rungs = Vec::new();
        for sets in self.sets() {
            let Some(index) = self.shown_witness(sets) else { continue };
            let witness = &self.record.witnesses[index];
            let name = Said::new("curve-sets").count("count", sets.into());
            let gears = witness.gears.iter().map(|gear| (gear.gear.clone(), gear.value));
            rungs.push(Rung {
                name: format!("{}, {}", self.tell.words.say(&name)?.plain(), witness.name),
                gears: gears.collect(),
                wanted: Vec::new(),
            });
        }
        let title = self.tell.words.word("ladder-sets-title")?.plain();
        let picture = Ladder { title, rungs }.draw(WIDTH)?;
        Ok(Drawn { picture, share: 1.0 })
    }

    /// Shifts of one element, and layouts that nest.
    pub(super) fn smooth_and_nested(&mut self) -> Result<(), Error> {
        self.tell.heading("study-swap-head")?;
        self.tell.paragraph(&Said::new("study-swap"))?;
        for asked in self.both() {
            let mut rows = Vec::new();
            for sets in self.sets() {
                for elements in self.elements() {
                    rows.extend(self.swap_row(sets, elements, asked)?);
                }
            }
            if rows.is_empty() {
                continue;
            }
            self.tell.label(if asked.reverse {
                "swap-reverse-head"
            } else {
                "swap-forward-head"
            })?;
            let columns = [
                "fate-sets",
                "price-elements",
                "swap-any",
                "swap-single",
                "swap-nests",
                "swap-both",
            ];
            self.tell.table(&columns.map(Said::new), &rows)?;
        }
        Ok(())
    }

    /// Nothing where there are no gears to lose.
    fn swap_row(&self, sets: u8, elements: u8, asked: Asked) -> Result<Option<Vec<Said>>, Error> {
        let Some(entry) = self.record.entry_at(sets, elements, asked) else { return Ok(None) };
        if self.record.entries[entry].gears == 0 {
            return Ok(None);
        }
        let at = |field: &str| self.facts.at(format!("/entries/{entry}/{field}"))?.whole();
        let mut row = vec![
            Said::new("at-most").with("value", at("sets")?),
            Said::new("at-most").with("value", at("elements")?),
        ];
        let smooth = asked.single_swap();
        for asked in [asked, smooth, asked.nesting(), smooth.nesting()] {
            row.push(self.gears_cell(sets, elements, asked)?);
        }
        Ok(Some(row))
    }
}
