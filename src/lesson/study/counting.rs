//! The counting argument, and where the states that are no gears go.

use super::Page;
use crate::error::Error;
use crate::lesson::telling::told;
use crate::problem::Said;
use crate::study::Asked;

/// Columns of the table of fates, with the fields of a witness that fill them.
const FATES: [(&str, &str); 10] = [
    ("fate-all", "states"),
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
        let facts = self.facts;
        let elements = self.elements().last().copied().unwrap_or(0);
        if let Some(limit) = self.limit_at(elements) {
            let mut said = Said::new("study-count-limit");
            for field in ["elements", "most_forward", "most_gears"] {
                let fact = facts.at(format!("/limits/{limit}/{field}"))?;
                said = said.with(&field.replace('_', "-"), fact.whole()?);
            }
            self.tell.paragraph(&said)?;
        }
        for asked in self.both() {
            let head = if asked.reverse { "swap-reverse-head" } else { "swap-forward-head" };
            self.tell.label(head)?;
            self.gears_against_limit(asked)?;
        }
        self.fates()
    }

    fn limit_at(&self, elements: u8) -> Option<usize> {
        self.record.limits.iter().position(|limit| limit.elements == elements)
    }

    /// States of k among s elements.
    fn states(&mut self) -> Result<(), Error> {
        let facts = self.facts;
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
    fn gears_against_limit(&mut self, asked: Asked) -> Result<(), Error> {
        let field = if asked.reverse { "most_gears" } else { "most_forward" };
        let facts = self.facts;
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
                told(facts.at(format!("/limits/{index}/{field}"))?.whole()?),
            ];
            for sets in self.sets() {
                row.push(self.gears_cell(sets, limit.elements, asked)?);
            }
            rows.push(row);
        }
        self.tell.table(&columns, &rows)
    }

    /// A number of gears, with a question mark where more is not proved impossible.
    pub(super) fn gears_cell(&self, sets: u8, elements: u8, asked: Asked) -> Result<Said, Error> {
        let Some(entry) = self.record.entry_at(sets, elements, asked) else {
            return Ok(Said::new("dash"));
        };
        let facts = self.facts;
        let gears = self.none_or(&format!("/entries/{entry}/gears"))?;
        let proved = facts.at(format!("/entries/{entry}/proved"))?.yes()?;
        Ok(if proved { told(gears) } else { Said::new("gears-open").with("gears", gears) })
    }

    fn fates(&mut self) -> Result<(), Error> {
        self.tell.label("study-fates-head")?;
        let facts = self.facts;
        let sets = self.sets();
        let shown: Vec<usize> = sets.iter().filter_map(|&sets| self.shown_witness(sets)).collect();
        let asked = self.most_asked();
        let entry = sets.iter().find_map(|&s| self.record.entry_at(s, self.story(), asked));
        let (false, Some(entry)) = (shown.is_empty(), entry) else { return Ok(()) };
        let elements = facts.at(format!("/entries/{entry}/elements"))?.whole()?;
        self.tell.paragraph(&Said::new("study-fates").with("elements", elements))?;
        let columns = self.witness_columns("fate-states", &shown)?;
        let mut rows = Vec::new();
        for (phrase, field) in FATES {
            let mut row = vec![Said::new(phrase)];
            for witness in &shown {
                let fact = facts.at(format!("/witnesses/{witness}/fates/{field}"))?;
                row.push(told(fact.whole()?));
            }
            rows.push(row);
        }
        self.tell.table(&columns, &rows)?;
        self.tell.note(&Said::new("study-fates-words"))?;
        // The share of states that are gears, from set to set.
        let share = |&witness: &usize| {
            let fates = self.record.witnesses[witness].fates;
            f64::from(fates.forward_gears + fates.reverse_gears) / f64::from(fates.states)
        };
        let shares: Vec<f64> = shown.iter().map(share).collect();
        let more = shares.len() > 1 && shares.windows(2).all(|pair| pair[0] < pair[1]);
        if more { self.tell.paragraph(&Said::new("study-fates-more")) } else { Ok(()) }
    }

    /// The head of a table with a column for each layout shown.
    pub(super) fn witness_columns(&self, head: &str, shown: &[usize]) -> Result<Vec<Said>, Error> {
        let column = |witness: &usize| {
            let at = |field: &str| self.facts.at(format!("/witnesses/{witness}/{field}"));
            let (name, sets) = (at("name")?.words()?, at("sets")?);
            let count = sets.count()? as u32;
            let column = Said::new("fate-column").with("name", name);
            Ok(column.with("sets", sets.whole()?).count("count", count))
        };
        std::iter::once(Ok(Said::new(head))).chain(shown.iter().map(column)).collect()
    }
}
