//! The counting argument, and where the states that are no gears go.

use super::Page;
use super::telling::told;
use crate::error::Error;
use crate::problem::Said;

/// Columns of the table of fates, with the fields of a witness that fill them.
const FATES: [(&str, &str); 10] = [
    ("fate-states", "states"),
    ("fate-gears", "forward_gears"),
    ("fate-reverse", "reverse_gears"),
    ("fate-loose", "loose"),
    ("fate-locked", "locked"),
    ("fate-idle", "idle_output"),
    ("fate-repeated", "repeated"),
    ("fate-other", "other_reverses"),
    ("fate-beyond", "beyond"),
    ("fate-between", "between"),
];

impl Page<'_> {
    pub(super) fn counting(&mut self) -> Result<(), Error> {
        self.tell.heading("study-count-head")?;
        self.tell.paragraph(&Said::new("study-count-states"))?;
        self.states()?;
        let facts = self.tell.facts;
        let elements = self.elements().last().copied().unwrap_or(0);
        if let Some(limit) = self.limit_at(elements) {
            let said = Said::new("study-count-limit")
                .with("elements", facts.at(format!("/limits/{limit}/elements"))?.whole()?)
                .with("most", facts.at(format!("/limits/{limit}/most_gears"))?.whole()?);
            self.tell.paragraph(&said)?;
        }
        self.gears_against_limit()?;
        if self.record.entries.iter().any(|entry| !entry.proved) {
            self.tell.note(&Said::new("study-count-open"))?;
        }
        self.fates()
    }

    fn limit_at(&self, elements: u8) -> Option<usize> {
        self.record.limits.iter().position(|limit| limit.elements == elements)
    }

    /// States of k among s elements.
    fn states(&mut self) -> Result<(), Error> {
        let facts = self.tell.facts;
        let counts = &self.record.counts;
        let mut engaged: Vec<u8> = counts.iter().map(|count| count.engaged).collect();
        engaged.sort_unstable();
        engaged.dedup();
        let place = |e: u8, k: u8| counts.iter().position(|c| (c.elements, c.engaged) == (e, k));
        let mut columns = vec![Said::new("count-elements")];
        for &k in &engaged {
            let here = counts.iter().position(|count| count.engaged == k).unwrap_or(0);
            let k = facts.at(format!("/counts/{here}/engaged"))?.whole()?;
            columns.push(Said::new("count-engaged").with("engaged", k));
        }
        let mut rows = Vec::new();
        for e in self.elements() {
            let Some(first) = counts.iter().position(|count| count.elements == e) else { continue };
            let mut row = vec![told(facts.at(format!("/counts/{first}/elements"))?.whole()?)];
            for &k in &engaged {
                row.push(match place(e, k) {
                    Some(at) => told(facts.at(format!("/counts/{at}/states"))?.whole()?),
                    None => Said::new("dash"),
                });
            }
            rows.push(row);
        }
        self.tell.table(&columns, &rows)
    }

    /// The largest numbers of gears beside the limit by counting.
    fn gears_against_limit(&mut self) -> Result<(), Error> {
        let facts = self.tell.facts;
        let mut columns = vec![Said::new("count-elements"), Said::new("count-limit-column")];
        for sets in self.sets() {
            let Some(entry) = self.record.entries.iter().position(|entry| entry.sets == sets)
            else {
                continue;
            };
            let told = facts.at(format!("/entries/{entry}/sets"))?.whole()?;
            columns.push(
                Said::new("count-sets-column").with("sets", told).count("count", sets.into()),
            );
        }
        let mut rows = Vec::new();
        for (index, limit) in self.record.limits.iter().enumerate() {
            let mut row = vec![
                told(facts.at(format!("/limits/{index}/elements"))?.whole()?),
                told(facts.at(format!("/limits/{index}/most_gears"))?.whole()?),
            ];
            for sets in self.sets() {
                row.push(self.gears_cell(sets, limit.elements, false, false)?);
            }
            rows.push(row);
        }
        self.tell.table(&columns, &rows)
    }

    /// A number of gears, with a question mark where more is not proved impossible.
    pub(super) fn gears_cell(
        &self,
        sets: u8,
        elements: u8,
        swap: bool,
        nest: bool,
    ) -> Result<Said, Error> {
        let Some(entry) = self.entry_at(sets, elements, swap, nest) else {
            return Ok(Said::new("dash"));
        };
        let facts = self.tell.facts;
        let gears = facts.at(format!("/entries/{entry}/gears"))?.whole()?;
        let proved = facts.at(format!("/entries/{entry}/proved"))?.yes()?;
        Ok(if proved { told(gears) } else { Said::new("gears-open").with("gears", gears) })
    }

    fn fates(&mut self) -> Result<(), Error> {
        self.tell.label("study-fates-head")?;
        let facts = self.tell.facts;
        let elements = self.story();
        let mut rows = Vec::new();
        let mut said = None;
        for sets in self.sets() {
            let Some(entry) = self.entry_at(sets, elements, false, true) else { continue };
            if said.is_none() {
                let elements = facts.at(format!("/entries/{entry}/elements"))?.whole()?;
                said = Some(Said::new("study-fates").with("elements", elements));
            }
            let Some(rung) = self.record.entries[entry].rungs.last() else { continue };
            let Some(witness) = self.witness_at(&rung.evenest.witness) else { continue };
            let at = |field: &str| facts.at(format!("/witnesses/{witness}/{field}"));
            let mut row = vec![told(at("name")?.words()?), told(at("sets")?.whole()?)];
            for (_, field) in FATES {
                row.push(told(at(&format!("fates/{field}"))?.whole()?));
            }
            rows.push(row);
        }
        let Some(said) = said else { return Ok(()) };
        self.tell.paragraph(&said)?;
        let heads = ["fate-layout", "fate-sets"].into_iter().chain(FATES.map(|(phrase, _)| phrase));
        let columns: Vec<Said> = heads.map(Said::new).collect();
        self.tell.table(&columns, &rows)?;
        self.tell.note(&Said::new("study-fates-words"))?;
        self.tell.paragraph(&Said::new("study-fates-more"))
    }
}
