//! The price of gears: elements, open elements, planets' speed, torque, efficiency.

use super::Page;
use crate::error::Error;
use crate::lesson::telling::told;
use crate::problem::Said;

/// Columns of the table, with the scores that fill them and how they are written.
const SCORES: [(&str, &str, Writing); 6] = [
    ("price-elements", "shift_elements", Writing::Whole),
    ("price-open", "open_elements", Writing::Decimal),
    ("price-planet", "planet_speed", Writing::Decimal),
    ("price-torque", "element_torque", Writing::Decimal),
    ("price-worst", "worst_efficiency", Writing::Percent),
    ("price-mean", "mean_efficiency", Writing::Percent),
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
        let facts = self.facts;
        let mut rows = Vec::new();
        for sets in self.sets() {
            let Some(index) = self.shown_witness(sets) else { continue };
            let at = |field: &str| facts.at(format!("/witnesses/{index}/{field}"));
            let mut row = vec![
                told(at("name")?.words()?),
                told(at("sets")?.whole()?),
                told(at("fates/forward_gears")?.whole()?),
            ];
            for (_, score, writing) in SCORES {
                let known = self.record.witnesses[index].scores.contains_key(score);
                if !known {
                    row.push(Said::new("dash"));
                    continue;
                }
                let fact = at(&format!("scores/{score}"))?;
                row.push(told(match writing {
                    Writing::Whole => fact.decimal(0)?,
                    Writing::Decimal => fact.decimal(2)?,
                    Writing::Percent => fact.percent(1)?,
                }));
            }
            rows.push(row);
        }
        let heads = ["fate-layout", "fate-sets", "fate-gears"];
        let heads = heads.into_iter().chain(SCORES.map(|(phrase, ..)| phrase));
        let columns: Vec<Said> = heads.map(Said::new).collect();
        self.tell.table(&columns, &rows)?;
        self.tell.note(&Said::new("study-price-words"))
    }
}
