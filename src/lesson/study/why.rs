//! Why several sets make more gears: what the ratios of a layout are made of.

use super::Page;
use crate::error::Error;
use crate::lesson::telling::{listed, told};
use crate::problem::{Arg, Said};

impl Page<'_> {
    /// The reason in a few sentences, from the first layout of several sets.
    pub(super) fn reason_in_short(&mut self) -> Result<(), Error> {
        let several = self.sets().into_iter().filter(|&sets| sets > 1);
        let shown: Vec<usize> = several.filter_map(|sets| self.shown_witness(sets)).collect();
        let record = self.record;
        let has_products = |&&place: &&usize| !record.witnesses[place].why.identities.is_empty();
        let Some(&place) = shown.iter().find(has_products).or(shown.first()) else {
            return Ok(());
        };
        self.made_of(place)?;
        self.identities(place)
    }

    /// How many gears are what, in a sentence.
    pub(super) fn made_of(&mut self, place: usize) -> Result<(), Error> {
        let facts = self.facts;
        let mut said = Said::new("why-counts")
            .with("name", facts.at(format!("/witnesses/{place}/name"))?.words()?);
        for field in ["direct", "alone", "products", "coupled"] {
            said = said.with(field, self.none_or(&format!("/witnesses/{place}/why/{field}"))?);
        }
        self.tell.paragraph(&said)
    }

    /// Gears that are two others multiplied.
    pub(super) fn identities(&mut self, place: usize) -> Result<(), Error> {
        let facts = self.facts;
        for identity in 0..facts.count(&format!("/witnesses/{place}/why/identities")) {
            let at = |part: u8| {
                facts.at(format!("/witnesses/{place}/why/identities/{identity}/{part}"))?.words()
            };
            let said = Said::new("why-identity")
                .with("product", at(0)?)
                .with("first", at(1)?)
                .with("second", at(2)?);
            self.tell.paragraph(&said)?;
        }
        Ok(())
    }

    /// What each gear of a layout is made of, as a table; and how many base ratios there are to
    /// choose against how many steps to meet.
    pub(super) fn why_table(&mut self, place: usize) -> Result<(), Error> {
        let facts = self.facts;
        let why = &self.record.witnesses[place].why;
        let mut rows = Vec::new();
        for (index, gear) in why.gears.iter().enumerate() {
            let at =
                |field: &str| facts.at(format!("/witnesses/{place}/why/gears/{index}/{field}"));
            let way = |way: usize| {
                let part = |field: &str| at(&format!("ways/{way}/{field}"));
                let role = |field: &str| {
                    let letter = part(field)?.plain()?;
                    Ok::<_, Error>(Said::new(&format!("member-{letter}")))
                };
                let said = Said::new("why-way").with("set", part("set")?.whole()?);
                let said = said.with("driven", role("driven")?).with("held", role("held")?);
                Ok(said.with("output", role("output")?))
            };
            let made = match gear.ways.len() {
                0 => Said::new(&format!("why-made-{}", gear.kind)),
                count => listed((0..count).map(way).collect::<Result<Vec<_>, Error>>()?),
            };
            rows.push(vec![
                told(at("gear")?.words()?),
                told(Arg::Maths(gear.notation.clone())),
                Said::new(&format!("why-kind-{}", gear.kind)),
                made,
            ]);
        }
        let columns = ["gear-column", "ratio-column", "why-kind-column", "why-made-column"];
        self.tell.table(&columns.map(Said::new), &rows)?;
        let count = |field: &str| facts.at(format!("/witnesses/{place}/why/{field}"))?.whole();
        let said = Said::new(match why.steps > why.base_ratios {
            true => "why-more-steps",
            false => "why-enough",
        });
        let said = said.with("steps", count("steps")?).with("base-ratios", count("base_ratios")?);
        self.tell.paragraph(&said)
    }
}
