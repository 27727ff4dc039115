//! The price of gears, like compared with like: as many gears from different numbers of sets.

use super::Page;
use crate::error::Error;
use crate::lesson::telling::told;
use crate::problem::Said;
use crate::study::Witness;

/// Rows of the table: the phrase, where in a witness the value stands, how it is written.
const ROWS: [(&str, &str, Writing); 14] = [
    ("fate-gears", "fates/forward_gears", Writing::Whole),
    ("price-spread", "spread", Writing::Decimal),
    ("price-even", "off_percent", Writing::Decimal),
    ("fate-sets", "sets", Writing::Whole),
    ("price-elements", "elements", Writing::Whole),
    ("price-wheels", "wheels", Writing::Whole),
    ("price-planets", "planets", Writing::Whole),
    ("price-open", "scores/open_elements", Writing::Decimal),
    ("price-slip", "scores/open_slip", Writing::Decimal),
    ("price-planet", "scores/planet_speed", Writing::Decimal),
    ("price-torque", "scores/element_torque", Writing::Decimal),
    ("price-worst", "forward_efficiency", Writing::Percent),
    ("price-mean", "scores/mean_efficiency", Writing::Percent),
    ("price-back", "reverse_efficiency", Writing::Percent),
];

#[derive(Clone, Copy)]
enum Writing {
    Whole,
    Decimal,
    Percent,
}

impl Page<'_> {
    pub(super) fn price(&mut self) -> Result<(), Error> {
        self.tell.heading("study-price-head")?;
        self.tell.paragraph(&Said::new("study-price"))?;
        let (phrase, compared) = match self.alike() {
            Some(alike) => ("study-price-alike", alike),
            None => ("study-price-listed", self.shown()),
        };
        if compared.is_empty() {
            return self.tell.paragraph(&Said::new("study-entries-none"));
        }
        self.tell.paragraph(&Said::new(phrase))?;
        let columns = self.witness_columns("price-of", &compared)?;
        let mut rows = Vec::new();
        for (phrase, pointer, writing) in ROWS {
            let cell = |&witness: &usize| self.price_cell(witness, pointer, writing);
            let head = std::iter::once(Ok(Said::new(phrase)));
            rows.push(head.chain(compared.iter().map(cell)).collect::<Result<Vec<_>, Error>>()?);
        }
        self.tell.table(&columns, &rows)?;
        self.tell.note(&Said::new("study-price-words"))?;
        let speed = |&witness: &usize| self.record.witnesses[witness].scores.get("planet_speed");
        if compared.iter().filter_map(speed).any(|&speed| speed > 1.0) {
            self.tell.note(&Said::new("study-price-planets"))?;
        }
        self.tell.note(&Said::new("study-price-estimates"))
    }

    fn price_cell(&self, witness: usize, pointer: &str, writing: Writing) -> Result<Said, Error> {
        let missing = match pointer.strip_prefix("scores/") {
            Some(score) => !self.record.witnesses[witness].scores.contains_key(score),
            None => false,
        };
        let at = format!("/witnesses/{witness}/{pointer}");
        if missing || self.facts.is_null(&at) {
            return Ok(Said::new("dash"));
        }
        let fact = self.facts.at(at)?;
        Ok(told(match writing {
            Writing::Whole => fact.whole()?,
            Writing::Decimal => fact.decimal(2)?,
            Writing::Percent => fact.percent(1)?,
        }))
    }

    /// The layouts of the chapters above.
    fn shown(&self) -> Vec<usize> {
        self.sets().into_iter().filter_map(|sets| self.shown_witness(sets)).collect()
    }

    /// Layouts with as many gears from different numbers of sets, the most even of each that
    /// nest: for the largest number of gears that several numbers of sets have a layout of their
    /// own for.
    fn alike(&self) -> Option<Vec<usize>> {
        let most = self.record.entries.iter().map(|entry| entry.gears).max()?;
        let of = |gears: u8| -> Vec<usize> {
            let own = |sets: u8| {
                let asked = self.most_asked().nesting();
                let entry = self.record.entry(sets, self.story(), asked)?;
                let rung = entry.rungs.iter().find(|rung| rung.gears == gears)?;
                let place = self.witness_at(&rung.evenest.witness)?;
                let is_own = |witness: &Witness| witness.sets == sets;
                is_own(&self.record.witnesses[place]).then_some(place)
            };
            self.sets().into_iter().filter_map(own).collect()
        };
        (2..=most).rev().map(of).find(|layouts| layouts.len() > 1)
    }
}
