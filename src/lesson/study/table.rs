//! Every entry of the study in a table: what is reached, by which layout, and how it was found.

use super::Page;
use crate::error::Error;
use crate::lesson::telling::{listed, told};
use crate::problem::Said;
use crate::study::Asked;

impl Page<'_> {
    /// The entries with any shift and without the nesting test, one row a number of gears; of
    /// numbers that fewer sets or elements reach as well, no row.
    pub(super) fn every_entry(&mut self) -> Result<(), Error> {
        self.tell.label("study-entries-head")?;
        self.tell.paragraph(&Said::new("study-entries"))?;
        for asked in self.both() {
            self.tell.label(if asked.reverse {
                "swap-reverse-head"
            } else {
                "swap-forward-head"
            })?;
            self.entries_asked(asked)?;
        }
        Ok(())
    }

    fn entries_asked(&mut self, asked: Asked) -> Result<(), Error> {
        let mut rows = Vec::new();
        for (index, entry) in self.record.entries.iter().enumerate() {
            if entry.asked() != asked {
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
        if rows.is_empty() {
            return self.tell.paragraph(&Said::new("study-entries-none"));
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
        let all = format!("/entries/{index}/rungs/{place}/all_searched");
        let all = self.verdict(&all, "word-all", "word-some")?;
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
            told(all),
            told(at("base_ratios")?.words()?),
        ])
    }
}
