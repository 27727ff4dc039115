//! One set: its six ways, how far apart they are, and the workshop shortcut.

use super::Page;
use crate::account::single;
use crate::draw::{Ladder, Rung};
use crate::error::Error;
use crate::lesson::telling::told;
use crate::paper::Drawn;
use crate::problem::Said;
use crate::study::{Entry, SetGear};
use crate::train::{Layout, Role};

/// Width of a picture in points.
pub(super) const WIDTH: u32 = 760;

impl Page<'_> {
    pub(super) fn one_set(&mut self) -> Result<(), Error> {
        self.tell.heading("study-one-head")?;
        let facts = self.facts;
        let mut parts = Said::new("study-one-parts");
        for wheel in ["sun", "planet", "ring"] {
            parts = parts.with(wheel, facts.at(format!("/one_set/{wheel}"))?.whole()?);
        }
        self.tell.paragraph(&parts)?;
        if let Some(picture) = self.told_set().and_then(|layout| single::face(&layout, 0)) {
            self.figure(Drawn { picture, share: 0.5 });
        }
        self.tell.paragraph(&Said::new("study-one-willis"))?;
        let rho = facts.at("/one_set/base_ratio")?.text()?;
        self.tell.paragraph(&Said::new("study-one-rho").with("rho", rho))?;
        self.tell.paragraph(&Said::new("study-one-ways"))?;
        self.ways()?;
        let block = Said::new("study-one-block")
            .with("direct", facts.at("/one_set/direct")?.text()?)
            .with("neutral", facts.at("/one_set/neutral")?.words()?);
        self.tell.paragraph(&block)?;
        let range = Said::new("study-one-range")
            .with("sets", facts.at("/catalogue/sets")?.whole()?)
            .with("ratios", facts.at("/catalogue/base_ratio_count")?.whole()?)
            .with("least", facts.at("/one_set/base_ratios/0")?.decimal(2)?)
            .with("most", facts.at("/one_set/base_ratios/1")?.decimal(2)?);
        self.tell.paragraph(&range)?;
        self.tell.paragraph(&Said::new("study-one-same"))?;
        let picture = self.ladder_of_one()?;
        self.figure(picture);
        self.too_far()
    }

    /// The set by which the chapter counts, sun driven and ring held.
    fn told_set(&self) -> Option<Layout> {
        let one = &self.record.one_set;
        let text = format!(
            "[[sets]]\nsun = {}\nring = {}\nplanets = {}\n[shafts]\ninput = [\"S1\"]\n\
             output = [\"C1\"]\nring = [\"R1\"]\n[elements]\nA = {{ brake = \"ring\" }}\n",
            one.sun,
            one.ring,
            self.record.catalogue.planets.first().copied().unwrap_or(3)
        );
        crate::train::parse_layout(&text).ok()
    }

    fn ways(&mut self) -> Result<(), Error> {
        let facts = self.facts;
        let mut rows = Vec::new();
        for (index, way) in self.record.one_set.ways.iter().enumerate() {
            let at = |field: &str| facts.at(format!("/one_set/ways/{index}/{field}"));
            let member = |letter: char| Said::new(&format!("member-{letter}"));
            let turns = match (at("slower")?.yes()?, at("forward")?.yes()?) {
                (true, true) => "way-slower",
                (false, true) => "way-faster",
                (true, false) => "way-slower-back",
                (false, false) => "way-faster-back",
            };
            let range = Said::new("range")
                .with("least", at("range/0")?.decimal(2)?)
                .with("most", at("range/1")?.decimal(2)?);
            rows.push(vec![
                member(way.driven),
                member(way.held),
                member(way.output),
                told(crate::problem::Arg::Maths(notation(&way.formula))),
                told(at("ratio")?.text()?),
                range,
                Said::new(turns),
            ]);
        }
        let columns = [
            "way-driven",
            "way-held",
            "way-output",
            "way-formula",
            "way-here",
            "way-range",
            "way-does",
        ];
        self.tell.table(&columns.map(Said::new), &rows)
    }

    /// Forward ratios by output, for the smallest, the told and the largest base ratio.
    fn ladder_of_one(&self) -> Result<Drawn, Error> {
        let one = &self.record.one_set;
        let mut rungs = Vec::new();
        let [least, most] = one.base_ratios;
        let middle = f64::from(one.ring) / f64::from(one.sun);
        for output in [Role::Carrier, Role::Ring, Role::Sun] {
            for rho in [least, middle, most] {
                let name = Said::new("ladder-one-rung")
                    .with("output", Said::new(&format!("member-{}", output.letter())))
                    .name("rho", format!("{rho:.2}"));
                let name = self.tell.words.say(&name)?.plain();
                let gears =
                    ratios_of(output, rho).into_iter().map(|r| (String::new(), r)).collect();
                rungs.push(Rung { name, gears, wanted: Vec::new() });
            }
        }
        let title = self.tell.words.word("ladder-one-title")?.plain();
        let picture = Ladder { title, rungs }.draw(WIDTH)?;
        Ok(Drawn { picture, share: 1.0 })
    }

    fn too_far(&mut self) -> Result<(), Error> {
        self.tell.paragraph(&Said::new("study-one-carrier"))?;
        let facts = self.facts;
        let carrier = |output: &SetGear| output.output == 'C';
        if let Some(place) = self.record.one_set.outputs.iter().position(carrier) {
            let at = |end: u8| facts.at(format!("/one_set/outputs/{place}/step_ranges/0/{end}"));
            let limit = facts.at("/band/step/1")?;
            let judged = if at(0)?.float()? > limit.float()? {
                "study-one-step-none"
            } else if at(1)?.float()? > limit.float()? {
                "study-one-step-some"
            } else {
                "study-one-step-fine"
            };
            let said = Said::new("study-one-step-far")
                .with("least", at(0)?.decimal(2)?)
                .with("most", at(1)?.decimal(2)?)
                .with("judged", Said::new(judged).with("limit", limit.decimal(1)?));
            self.tell.paragraph(&said)?;
        }
        for phrase in ["study-one-no-reverse", "study-one-ring", "study-one-sun"] {
            self.tell.paragraph(&Said::new(phrase))?;
        }
        let elements = self.elements().last().copied().unwrap_or(0);
        for asked in self.both() {
            let Some(entry) = self.record.entry_at(1, elements, asked) else { continue };
            self.search_of_one(entry)?;
        }
        let (Some(place), Some((_, entry))) = (self.shown_witness(1), self.shown_entry(1)) else {
            return Ok(());
        };
        let nests = format!("/entries/{entry}/must_nest");
        let said = Said::new("study-one-witness")
            .with("nests", self.verdict(&nests, "word-nests", "word-crosses")?)
            .with("name", facts.at(format!("/witnesses/{place}/name"))?.words()?)
            .with("file", facts.at(format!("/witnesses/{place}/file"))?.words()?);
        self.tell.paragraph(&said)?;
        self.gears_of(place)?;
        self.why_table(place)
    }

    /// What the search says of one set.
    fn search_of_one(&mut self, entry: usize) -> Result<(), Error> {
        let Entry { gears, proved, reverse, .. } = self.record.entries[entry];
        let ask = if reverse { "reverse" } else { "forward" };
        let end = match (gears, proved) {
            (0, true) => "none",
            (0, false) => "open",
            _ => "some",
        };
        let at = |field: &str| self.facts.at(format!("/entries/{entry}/{field}"))?.whole();
        let said = Said::new(&format!("study-one-{ask}-{end}"))
            .with("layouts", self.facts.at("/totals/one_set_layouts")?.whole()?)
            .with("elements", at("elements")?)
            .with("gears", self.none_or(&format!("/entries/{entry}/gears"))?);
        self.tell.paragraph(&said)
    }

    pub(super) fn shortcut(&mut self) -> Result<(), Error> {
        self.tell.heading("study-shortcut-head")?;
        self.tell.paragraph(&Said::new("study-shortcut"))?;
        self.tell.paragraph(&Said::new("study-shortcut-holds"))?;
        let facts = self.facts;
        let mut rows = Vec::new();
        for (index, case) in self.record.shortcut.holds.iter().enumerate() {
            let at = |field: &str| facts.at(format!("/shortcut/holds/{index}/{field}"));
            let teeth = Said::new("shortcut-quotient")
                .with("output", at("output_teeth")?.whole()?)
                .with("driven", at("driven_teeth")?.whole()?);
            rows.push(vec![
                Said::new(&format!("member-{}", case.driven)),
                Said::new(&format!("member-{}", case.output)),
                teeth,
                told(at("shortcut")?.text()?),
                told(at("ratio")?.text()?),
            ]);
        }
        let columns =
            ["way-driven", "way-output", "shortcut-teeth", "shortcut-value", "shortcut-right"];
        self.tell.table(&columns.map(Said::new), &rows)?;
        let fails = match &self.record.shortcut.fails {
            None => Said::new("study-shortcut-none"),
            Some(_) => {
                let at = |field: &str| facts.at(format!("/shortcut/fails/{field}"));
                Said::new("study-shortcut-fails")
                    .with("gear", at("gear")?.words()?)
                    .with("name", at("witness")?.words()?)
                    .with("set", at("set")?.whole()?)
                    .with("shortcut", at("shortcut")?.text()?)
                    .with("output-teeth", at("output_teeth")?.whole()?)
                    .with("driven-teeth", at("driven_teeth")?.whole()?)
                    .with("ratio", at("ratio")?.text()?)
            }
        };
        self.tell.paragraph(&fails)?;
        self.tell.paragraph(&Said::new("study-shortcut-rule"))
    }
}

/// Forward and reverse ratios of a set of base ratio ρ with one member as the output, direct
/// drive among them: the laws of the page, put into numbers for the picture.
fn ratios_of(output: Role, rho: f64) -> Vec<f64> {
    match output {
        Role::Carrier => vec![1.0 + rho, 1.0 + 1.0 / rho, 1.0],
        Role::Ring => vec![1.0, rho / (1.0 + rho), -rho],
        Role::Sun => vec![1.0, 1.0 / (1.0 + rho), -1.0 / rho],
    }
}

/// A formula in ρ1 as the notation of papers has it.
fn notation(formula: &str) -> String {
    formula.replace("ρ1", "rho").replace('−', "-")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::motion::solve_state;
    use crate::num::to_f64;
    use crate::train::{Core, ElementMask, GearSet, Slot};

    /// The picture's ratios are those of the laws of motion.
    #[test]
    fn the_ladder_of_one_set_is_true() {
        let set = GearSet::single(30, 72);
        for output in Role::ALL {
            let mut found = vec![1.0];
            for driven in Role::ALL.into_iter().filter(|&role| role != output) {
                let shaft = |role| {
                    if role == driven {
                        1
                    } else if role == output {
                        2
                    } else {
                        3
                    }
                };
                let core = Core::new(&[Role::ALL.map(shaft)], 3, 1, 2);
                let layout = Layout::from_core(&core, &[Slot::brake(3)], vec![set]);
                found.push(to_f64(&solve_state(&layout, ElementMask::of([0])).ratio.unwrap()));
            }
            let mut told = ratios_of(output, set.base_ratio());
            found.sort_by(f64::total_cmp);
            told.sort_by(f64::total_cmp);
            assert!(found.iter().zip(&told).all(|(a, b)| (a - b).abs() < 1e-12), "{output:?}");
        }
    }
}
