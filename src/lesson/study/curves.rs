//! Curves: gears, spread and evenness over sets, elements and gears.

use super::Page;
use super::one::WIDTH;
use crate::draw::{Certainty, CurveLine, CurvePoint, Curves, Size};
use crate::error::Error;
use crate::paper::Drawn;
use crate::problem::Said;
use crate::study::{Asked, Reached, Rung};

/// Height of a chart in points.
const HEIGHT: u32 = 380;

impl Page<'_> {
    pub(super) fn curves(&mut self) -> Result<(), Error> {
        self.tell.heading("study-curves-head")?;
        self.tell.paragraph(&Said::new("study-curves-gears"))?;
        for asked in self.both() {
            let lines = self.over_sets(asked)?;
            let stem = if asked.reverse { "curve-gears-reverse" } else { "curve-gears" };
            self.chart(stem, "curve-gears-across", lines, true)?;
        }
        self.tell.note(&Said::new("study-curves-bounds"))?;
        let facts = self.facts;
        let (story, asked) = (self.story(), self.most_asked());
        if let Some(entry) = self.record.entry_at(self.sets()[0], story, asked) {
            let said = Said::new("study-curves-spread")
                .with("elements", facts.at(format!("/entries/{entry}/elements"))?.whole()?)
                .with("step", facts.at("/band/step/1")?.decimal(1)?)
                .with(
                    "reverse",
                    self.verdict(
                        &format!("/entries/{entry}/reverse"),
                        "word-reverse",
                        "word-no-reverse",
                    )?,
                );
            self.tell.paragraph(&said)?;
        }
        let lines =
            self.over_gears(|rung| &rung.widest, |reached| reached.spread, Certainty::AtLeast)?;
        self.chart("curve-spread", "curve-over-gears", lines, false)?;
        self.tell.paragraph(&Said::new("study-curves-even"))?;
        let off = |reached: &Reached| 100.0 * (reached.deviation.exp() - 1.0);
        let lines = self.over_gears(|rung| &rung.evenest, off, Certainty::AtMost)?;
        self.chart("curve-even", "curve-over-gears", lines, false)?;
        self.tell.note(&Said::new("study-curves-gaps"))?;
        self.tell.note(&Said::new("study-curves-found"))
    }

    /// The largest numbers of gears: a line for each number of elements.
    fn over_sets(&self, asked: Asked) -> Result<Vec<CurveLine>, Error> {
        let line = |elements: u8| {
            let point = |sets: u8| {
                let entry = self.record.entry(sets, elements, asked)?;
                let certainty = if entry.proved { Certainty::Settled } else { Certainty::AtLeast };
                Some(CurvePoint { x: sets.into(), value: entry.gears.into(), certainty })
            };
            let name = Said::new("curve-elements").count("count", elements.into());
            Ok(CurveLine {
                name: self.tell.words.say(&name)?.plain(),
                points: self.sets().into_iter().filter_map(point).collect(),
            })
        };
        self.elements().into_iter().map(line).collect()
    }

    /// A line for each number of sets, with the number of elements by which the story is told.
    /// What fewer sets reach is no point of a line whose own sets were not searched for it; what
    /// was reached, but not in all families or from sampled base ratios, is a bound.
    fn over_gears(
        &self,
        aim: impl Fn(&Rung) -> &Reached,
        value: impl Fn(&Reached) -> f64,
        bound: Certainty,
    ) -> Result<Vec<CurveLine>, Error> {
        let elements = self.story();
        let mut lines = Vec::new();
        for sets in self.sets() {
            let Some(entry) = self.record.entry(sets, elements, self.most_asked()) else {
                continue;
            };
            let own = |rung: &&Rung| rung.all_searched || aim(rung).sets == sets;
            let point = |rung: &Rung| {
                let settled = rung.all_searched && rung.base_ratios == "complete";
                let certainty = if settled { Certainty::Settled } else { bound };
                CurvePoint { x: rung.gears.into(), value: value(aim(rung)), certainty }
            };
            let points: Vec<CurvePoint> = entry.rungs.iter().filter(own).map(point).collect();
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
        if lines.iter().all(|line| line.points.is_empty()) {
            return self.tell.note(&Said::new("study-curves-empty"));
        }
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
