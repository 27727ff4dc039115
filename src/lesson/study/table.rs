//! Every entry of the study in a table: what is reached, by which layout, and how it was found.

use super::Page;
use crate::error::Error;
use crate::lesson::telling::{listed, told};
use crate::problem::Said;

impl Page<'_> {
    /// The entries with any shift and without the nesting test, one row a number of gears; of
    /// numbers that fewer sets or elements reach as well, no row.
    pub(super) fn every_entry(&mut self) -> Result<(), Error> {
        self.tell.label("study-entries-head")?;
        self.tell.paragraph(&Said::new("study-entries"))?;
        let mut rows = Vec::new();
        for (index, entry) in self.record.entries.iter().enumerate() {
            if entry.single_swap || entry.must_nest {
                continue;
            }
            for (place, rung) in entry.rungs.iter().enumerate() {
                let own = |reached: &crate::study::Reached| {
                    (reached.sets, reached.elements) == (entry.sets, entry.elements)
                };
                if own(&rung.widest) || own(&rung.evenest) {
                    rows.push(self.entry_row(index, place)?);
                }
            }
        }
        let columns = [
            "fate-sets",
            "price-elements",
            "fate-gears",
            "entry-widest",
            "entry-evenest",
            "entry-families",
            "entry-ratios",
        ];
        self.tell.table(&columns.map(Said::new), &rows)
    }

    fn entry_row(&self, index: usize, place: usize) -> Result<Vec<Said>, Error> {
        let facts = self.facts;
        let of = |field: &str| facts.at(format!("/entries/{index}/{field}"));
        let at = |field: &str| facts.at(format!("/entries/{index}/rungs/{place}/{field}"));
        let all = if at("all_searched")?.yes()? { "entry-all" } else { "entry-some" };
        // A value and the layout that reaches it.
        let by = |value, aim: &str| {
            let witness = at(&format!("{aim}/witness"))?.words()?;
            Ok::<_, Error>(listed([told(value), told(witness)]))
        };
        Ok(vec![
            told(of("sets")?.whole()?),
            told(of("elements")?.whole()?),
            told(at("gears")?.whole()?),
            by(at("widest/spread")?.decimal(3)?, "widest")?,
            by(at("evenest/deviation")?.decimal(4)?, "evenest")?,
            Said::new(all),
            told(at("base_ratios")?.words()?),
        ])
    }
}
