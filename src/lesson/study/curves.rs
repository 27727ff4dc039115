//! Curves: gears, spread and evenness over sets, elements and gears.

use super::Page;
use super::one::WIDTH;
use crate::draw::{CurveLine, Curves, Size};
use crate::error::Error;
use crate::paper::Drawn;
use crate::problem::Said;
use crate::study::{Reached, Rung};

/// Height of a chart in points.
const HEIGHT: u32 = 380;

impl Page<'_> {
    pub(super) fn curves(&mut self) -> Result<(), Error> {
        self.tell.heading("study-curves-head")?;
        self.tell.paragraph(&Said::new("study-curves-gears"))?;
        let mut lines = Vec::new();
        for elements in self.elements() {
            let points = self
                .sets()
                .into_iter()
                .map(|sets| (u32::from(sets), f64::from(self.gears(sets, elements, false, false))));
            let name = Said::new("curve-elements").count("count", elements.into());
            let name = self.tell.words.say(&name)?.plain();
            lines.push(CurveLine { name, points: points.collect() });
        }
        self.chart("curve-gears", "curve-gears-across", lines, true)?;
        let facts = self.facts;
        let story = self.story();
        if let Some(entry) = self.entry_at(self.sets()[0], story, false, false) {
            let said = Said::new("study-curves-spread")
                .with("elements", facts.at(format!("/entries/{entry}/elements"))?.whole()?)
                .with("step", facts.at("/band/step/1")?.decimal(1)?);
            self.tell.paragraph(&said)?;
        }
        let lines = self.over_gears(|rung| &rung.widest, |reached| reached.spread)?;
        self.chart("curve-spread", "curve-over-gears", lines, false)?;
        self.tell.paragraph(&Said::new("study-curves-even"))?;
        let off = |reached: &Reached| 100.0 * (reached.deviation.exp() - 1.0);
        let lines = self.over_gears(|rung| &rung.evenest, off)?;
        self.chart("curve-even", "curve-over-gears", lines, false)?;
        self.tell.note(&Said::new("study-curves-gaps"))?;
        self.tell.note(&Said::new("study-curves-found"))
    }

    /// A line for each number of sets, with the number of elements by which the story is told.
    /// What fewer sets reach is no point of a line whose own sets were not searched for it.
    fn over_gears(
        &self,
        aim: impl Fn(&Rung) -> &Reached,
        value: impl Fn(&Reached) -> f64,
    ) -> Result<Vec<CurveLine>, Error> {
        let elements = self.story();
        let mut lines = Vec::new();
        for sets in self.sets() {
            let Some(entry) = self.record.entry(sets, elements, false, false) else { continue };
            let own = |rung: &&Rung| rung.all_searched || aim(rung).sets == sets;
            let point = |rung: &Rung| (u32::from(rung.gears), value(aim(rung)));
            let points = entry.rungs.iter().filter(own).map(point);
            let points: Vec<(u32, f64)> = points.collect();
            if !points.is_empty() {
                let name = Said::new("curve-sets").count("count", sets.into());
                lines.push(CurveLine { name: self.tell.words.say(&name)?.plain(), points });
            }
        }
        Ok(lines)
    }

    fn chart(
        &mut self,
        stem: &str,
        across: &str,
        lines: Vec<CurveLine>,
        whole: bool,
    ) -> Result<(), Error> {
        let word = |phrase: &str| self.tell.words.word(phrase).map(|text| text.plain());
        let curves = Curves {
            title: word(&format!("{stem}-title"))?,
            across: word(across)?,
            up: word(&format!("{stem}-up"))?,
            lines,
            whole,
        };
        let picture = curves.draw(Size { width: WIDTH, height: HEIGHT });
        self.figure(Drawn { picture, share: 1.0 });
        Ok(())
    }
}
