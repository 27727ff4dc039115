//! Sets added one by one: what each brings, with a layout that shows it.

use super::Page;
use super::one::WIDTH;
use crate::account::single;
use crate::draw::{Ladder, Rung};
use crate::error::Error;
use crate::lesson::telling::{listed, told};
use crate::paper::Drawn;
use crate::problem::Said;
use crate::study::Witness;
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
            self.shown(sets)?;
        }
        let picture = self.ladder_of_sets()?;
        self.figure(picture);
        Ok(())
    }

    fn what_is_new(&mut self, sets: u8) -> Result<(), Error> {
        let facts = self.facts;
        let elements = self.story();
        let Some(entry) = self.entry_at(sets, elements, false, false) else { return Ok(()) };
        let at = |field: &str| facts.at(format!("/entries/{entry}/{field}"));
        let before = self.entry_at(sets - 1, elements, false, false);
        let before = match before {
            None => Said::new("nothing"),
            Some(before) => {
                let gears = facts.at(format!("/entries/{before}/gears"))?;
                match gears.count()? {
                    0 => Said::new("study-adding-first"),
                    _ => Said::new("study-adding-before").with("gears", gears.whole()?),
                }
            }
        };
        let said = Said::new("study-adding-gears")
            .with("elements", at("elements")?.whole()?)
            .with("gears", at("gears")?.whole()?)
            .with("before", before);
        self.tell.paragraph(&said)?;
        let limit = self.record.limits.iter().find(|limit| limit.elements == elements);
        let counted = limit
            .is_some_and(|limit| limit.most_gears == u64::from(self.record.entries[entry].gears));
        self.tell.paragraph(&Said::new(match at("proved")?.yes()? {
            true if counted => "study-adding-counted",
            true => "study-adding-proved",
            false => "study-adding-open",
        }))
    }

    /// The witness of a number of sets: the evenest of the most gears that nest.
    pub(super) fn shown_witness(&self, sets: u8) -> Option<usize> {
        let entry = self.entry_at(sets, self.story(), false, true)?;
        let rung = self.record.entries[entry].rungs.last()?;
        self.witness_at(&rung.evenest.witness)
    }

    fn shown(&mut self, sets: u8) -> Result<(), Error> {
        let Some(index) = self.shown_witness(sets) else { return Ok(()) };
        let record = self.record;
        let witness = &record.witnesses[index];
        let facts = self.facts;
        let at = |field: &str| facts.at(format!("/witnesses/{index}/{field}"));
        let said = Said::new("study-adding-witness")
            .with("name", at("name")?.words()?)
            .with("file", at("file")?.words()?)
            .with("deviation", at("off_percent")?.decimal(1)?)
            .with("spread", at("spread")?.decimal(2)?);
        self.tell.paragraph(&said)?;
        self.gears_of(witness, index)?;
        let mut layout = parse_layout(&witness.layout)
            .map_err(|mistake| Error::Work(format!("{} does not read: {mistake}", witness.name)))?;
        layout.title = Some(witness.name.clone());
        if let Some(picture) = single::stick(&layout) {
            self.figure(Drawn { picture, share: 0.7 });
        }
        Ok(())
    }

    fn gears_of(&mut self, witness: &Witness, index: usize) -> Result<(), Error> {
        let facts = self.facts;
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
        let facts = self.facts;
        let mut rows = Vec::new();
        for sets in self.sets() {
            for elements in self.elements() {
                let Some(entry) = self.entry_at(sets, elements, false, false) else { continue };
                let at = |field: &str| facts.at(format!("/entries/{entry}/{field}"));
                if at("gears")?.count()? == 0 {
                    continue;
                }
                rows.push(vec![
                    Said::new("at-most").with("value", at("sets")?.whole()?),
                    Said::new("at-most").with("value", at("elements")?.whole()?),
                    self.gears_cell(sets, elements, false, false)?,
                    self.gears_cell(sets, elements, true, false)?,
                    self.gears_cell(sets, elements, false, true)?,
                    self.gears_cell(sets, elements, true, true)?,
                ]);
            }
        }
        let columns =
            ["fate-sets", "price-elements", "swap-any", "swap-single", "swap-nests", "swap-both"];
        self.tell.table(&columns.map(Said::new), &rows)
    }
}
