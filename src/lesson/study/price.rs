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
        let shown: Vec<usize> =
            self.sets().into_iter().filter_map(|sets| self.shown_witness(sets)).collect();
        let columns = self.witness_columns("price-of", &shown)?;
        let facts = self.facts;
        let gears = |witness: &usize| {
            let gears = format!("/witnesses/{witness}/fates/forward_gears");
            Ok(told(facts.at(gears)?.whole()?))
        };
        let head = std::iter::once(Ok(Said::new("fate-gears")));
        let mut rows =
            vec![head.chain(shown.iter().map(gears)).collect::<Result<Vec<_>, Error>>()?];
        for (phrase, score, writing) in SCORES {
            let cell = |&witness: &usize| {
                if !self.record.witnesses[witness].scores.contains_key(score) {
                    return Ok(Said::new("dash"));
                }
                let fact = facts.at(format!("/witnesses/{witness}/scores/{score}"))?;
                Ok(told(match writing {
                    Writing::Whole => fact.decimal(0)?,
                    Writing::Decimal => fact.decimal(2)?,
                    Writing::Percent => fact.percent(1)?,
                }))
            };
            let head = std::iter::once(Ok(Said::new(phrase)));
            rows.push(head.chain(shown.iter().map(cell)).collect::<Result<Vec<_>, Error>>()?);
        }
        self.tell.table(&columns, &rows)?;
        self.tell.note(&Said::new("study-price-words"))?;
        let planets = |&witness: &usize| self.record.witnesses[witness].scores.get("planet_speed");
        if shown.iter().filter_map(planets).any(|&speed| speed > 1.0) {
            self.tell.note(&Said::new("study-price-planets"))?;
        }
        self.tell.note(&Said::new("study-price-estimates"))
    }
}
